/* One question, one sentence: the words, the answer, the table of questions. */
#include "cli/ask.h"

#include <string.h>

/* ---- times ---- */

enum sg_status sg_ask_wrong_words(struct sg_asked *a)
{
    return sg_fail(&a->error, SG_USAGE, "usage: sandglass ask %s", a->usage);
}

enum sg_status sg_ask_read_time(struct sg_asked *a, const char *text, double after, double *out)
{
    const struct sg_shift *shift = &a->shop->shifts[a->shift];
    int64_t day = shift->date == SG_NO_DATE ? 0 : shift->date, moment;
    int32_t time;
    if (sg_moment_parse(text, &moment)) {
        *out = sg_moment_epoch(moment) - a->epoch;
        return SG_OK;
    }
    if (!sg_time_parse(text, &time))
        return sg_fail(&a->error, SG_USAGE,
                       "\"%.60s\" is no time such as 12:30 or \"2026-12-01 12:30\"; usage: sandglass ask %s",
                       text, a->usage);
    do
        *out = sg_moment_epoch(day++ * SG_DAY_S + time) - a->epoch;
    while (*out <= after);
    return SG_OK;
}

const char *sg_ask_clock(const struct sg_asked *a, double t, char *out)
{
    sg_clock_on_day(a->epoch, a->epoch + t, out, SG_ASK_CELL);
    return out;
}

const char *sg_ask_part_key(const struct sg_asked *a, int32_t part, char *out)
{
    sg_key_write(a->shop, (struct sg_target){SG_KIND_PART, part}, out, SG_ASK_KEY);
    return out;
}

/* ---- the answer ---- */

bool sg_ask_answer(struct sg_asked *a, bool yes)
{
    a->yes = yes;
    a->out.failed = a->out.failed || a->sentence.failed;
    if (!sg_option(a->args, "json")) {
        sg_text_format(&a->out, "%s\n", a->sentence.data ? a->sentence.data : "");
        return false;
    }
    sg_json_start(&a->json, &a->out);
    sg_json_text(&a->json, "question", a->args->words[0]);
    sg_json_yes(&a->json, "yes", yes);
    sg_json_text(&a->json, "sentence", a->sentence.data);
    sg_shift_json(&a->json, &a->shop->shifts[a->shift]);
    return true;
}

void sg_ask_put_time(struct sg_asked *a, const char *name, double t)
{
    char text[64];
    if (sg_known(t))
        sg_iso_format(a->epoch + t, text, sizeof text);
    sg_json_text(&a->json, name, sg_known(t) ? text : NULL);
}

const struct sg_event *sg_ask_event(const struct sg_asked *a, int32_t event)
{
    return event < 0 ? NULL : &a->plan->run.events[event];
}

void sg_ask_say_stop(struct sg_asked *a, const struct sg_event *stop)
{
    char at[SG_ASK_CELL];
    int32_t bags = a->plan->run.bags_short;
    sg_text_format(&a->sentence, "the garnet runs out at %s in ", sg_ask_clock(a, stop->at, at));
    sg_event_where(&a->sentence, a->shop, a->plan, stop);
    if (a->shop->machine.bag > 0)
        sg_text_format(&a->sentence, ", at least %d bag%s short", bags, bags == 1 ? "" : "s");
}

void sg_ask_say_no_end(struct sg_asked *a, const struct sg_ask_done *done)
{
    char key[SG_ASK_KEY];
    if (done->end == SG_ASK_NO_GARNET)
        sg_ask_say_stop(a, sg_ask_event(a, done->event));
    else if (done->end == SG_ASK_NOT_TIMED)
        sg_text_format(&a->sentence, "%s cannot be timed", sg_ask_part_key(a, done->part, key));
    else
        sg_text_put(&a->sentence, "nobody works on that day");
}

void sg_ask_put_no_end(struct sg_asked *a, enum sg_ask_end end)
{
    static const char *const words[] = {[SG_ASK_CLOSED] = "closed_day",
                                        [SG_ASK_NO_GARNET] = "out_of_garnet",
                                        [SG_ASK_NOT_TIMED] = "not_timed"};
    sg_json_text(&a->json, "reason", end == SG_ASK_ENDS || end == SG_ASK_NOTHING ? NULL : words[end]);
}

/* ---- the questions ---- */

static const struct question {
    const char *name, *usage;
    int min_words, max_words;
    int key;           /* which word is the key of a row; -1: none */
    enum sg_kind kind; /* of that row */
    enum sg_status (*run)(struct sg_asked *a);
} questions[] = {
    {"ends", "ends", 0, 0, -1, 0, sg_ask_ends},
    {"refill", "refill", 0, 0, -1, 0, sg_ask_refill},
    {"lasts", "lasts", 0, 0, -1, 0, sg_ask_whether_lasts},
    {"alone", "alone FROM TO", 2, 2, -1, 0, sg_ask_whether_alone},
    {"done-by", "done-by TIME [JOB]", 1, 2, 1, SG_KIND_JOB, sg_ask_done_by},
    {"fits", "fits JOB/STOCK/PART before TIME", 3, 3, 0, SG_KIND_PART, sg_ask_what_fits},
};

static const struct question *find_question(const char *name)
{
    for (size_t i = 0; i < sizeof questions / sizeof *questions; i++)
        if (strcmp(questions[i].name, name) == 0)
            return &questions[i];
    return NULL;
}

/* The shift that is named, or that of the row that is asked about. */
static enum sg_status choose_shift(struct sg_asked *a, const struct question *question)
{
    const char *named = sg_option(a->args, "shift");
    enum sg_status status = sg_shown_shift(&a->shown, named, &a->shift, &a->error);
    if (status != SG_OK || question->key < 0 || question->key >= a->n_words)
        return status;
    const char *key = a->words[question->key];
    status = sg_key_find(a->shop, key, &a->target, &a->error);
    if (status != SG_OK)
        return status;
    if (a->target.kind != question->kind)
        return sg_fail(&a->error, SG_BAD_DATA, "%.60s is a %s; usage: sandglass ask %s", key,
                       sg_kind_word(a->target.kind), a->usage);
    int32_t own = sg_shift_of(a->shop, a->target);
    if (named && own != a->shift)
        return sg_fail(&a->error, SG_BAD_DATA, "%.60s is in shift %s, not in %.60s", key,
                       a->shop->shifts[own].id, named);
    a->shift = own;
    return SG_OK;
}

static enum sg_status run_question(struct sg_asked *a, const struct question *question)
{
    a->usage = question->usage;
    a->words = a->args->words + 1;
    a->n_words = a->args->n_words - 1;
    if (a->n_words < question->min_words || a->n_words > question->max_words)
        return sg_ask_wrong_words(a);
    enum sg_status status = sg_shown_open(&a->shown, &a->error);
    if (status != SG_OK)
        return status;
    a->shop = a->shown.shop;
    status = choose_shift(a, question);
    if (status == SG_OK)
        status = sg_shown_plan(&a->shown, a->shift, &a->plan, &a->error);
    if (status != SG_OK)
        return status;
    a->epoch = a->shop->shifts[a->shift].calendar.epoch;
    a->begun = sg_desk_shop(a->shown.desk)->shifts[a->shift].calendar.epoch - a->epoch;
    sg_shown_say(&a->shown, a->shift, NULL);
    return question->run(a);
}

int sg_run_ask(const struct sg_args *args)
{
    struct sg_asked a = {.args = args, .shown = {.args = args}};
    const struct question *question = find_question(args->words[0]);
    if (!question)
        return sg_cli_say(SG_USAGE, "\"%.60s\" is no question; usage: sandglass ask %s", args->words[0],
                          args->command->words);
    enum sg_status status = run_question(&a, question);
    if (status == SG_OK && sg_option(args, "json"))
        sg_json_finish(&a.json);
    if (status != SG_OK)
        sg_text_free(&a.out);
    int code = status == SG_OK ? sg_cli_put(&a.out, a.yes ? SG_OK : SG_NO) : sg_cli_fail(&a.error);
    sg_text_free(&a.sentence);
    sg_shown_close(&a.shown);
    return code;
}
