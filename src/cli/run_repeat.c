/* A job again, with what it really took. */
#include "cli/cli.h"

#include "edit/repeat.h"

#include <stdlib.h>

static void put_text(struct sg_text *out, const struct sg_shop *shop, int32_t job, const struct sg_took *took)
{
    char words[400];
    for (int32_t i = 0; i < shop->jobs[job].n_stocks; i++) {
        sg_took_text(shop, &took[i], words, sizeof words);
        sg_text_format(out, "%s/%d  %s\n", shop->jobs[job].id,
                       shop->stocks[shop->jobs[job].first_stock + i].number, words);
    }
}

static void put_json(struct sg_json *json, const struct sg_shop *shop, int32_t job,
                     const struct sg_took *took)
{
    sg_json_text(json, "job", shop->jobs[job].id);
    sg_json_array(json, "stocks");
    for (int32_t i = 0; i < shop->jobs[job].n_stocks; i++) {
        const struct sg_took *t = &took[i];
        bool known = t->clocks > 0;
        sg_json_object(json, NULL);
        sg_json_whole(json, "stock", shop->stocks[shop->jobs[job].first_stock + i].number);
        sg_json_whole(json, "clocks", t->clocks);
        sg_json_number(json, "planned_s", known ? t->planned : (double)NAN);
        sg_json_number(json, "planned_now_s", known ? t->planned_now : (double)NAN);
        sg_json_number(json, "took_s", known ? t->took : (double)NAN);
        sg_json_number(json, t->feed ? "feed_mm_min" : "feed_override", t->after);
        sg_json_number(json, "load_s", t->load);
        sg_json_number(json, "first_check_s", t->first_check);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static int repeat(const struct sg_args *args, struct sg_desk *desk)
{
    enum { MOST_STOCKS = 1000 };
    struct sg_took *took = calloc(MOST_STOCKS, sizeof *took);
    struct sg_target job;
    struct sg_error error;
    struct sg_text out = {0};
    const struct sg_plan *plan;
    if (!took)
        return sg_cli_say(SG_FAULT, "no memory");
    struct sg_repeat how = {.from = args->words[0],
                            .to = args->words[1],
                            .shift = sg_option(args, "shift"),
                            .took = took,
                            .room = MOST_STOCKS};
    enum sg_status status = sg_desk_repeat(desk, &how, &job, &error);
    const struct sg_shop *shop = sg_desk_shop(desk);
    if (status == SG_OK)
        status = sg_desk_plan(desk, shop->jobs[job.index].shift, &plan, &error);
    if (status == SG_OK && sg_option(args, "json")) {
        struct sg_json writer;
        sg_json_start(&writer, &out);
        put_json(&writer, shop, job.index, took);
        sg_answers_json(&writer, shop, plan);
        sg_json_finish(&writer);
    } else if (status == SG_OK) {
        sg_text_format(&out, "%s repeated: %s\n", args->words[0], shop->jobs[job.index].id);
        put_text(&out, shop, job.index, took);
        sg_answers_text(&out, shop, plan);
    }
    free(took);
    return status == SG_OK ? sg_cli_put(&out, SG_OK) : sg_cli_fail(&error);
}

int sg_run_repeat(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_error error;
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code = repeat(args, desk);
    sg_desk_close(desk);
    return code;
}
