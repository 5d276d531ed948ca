/* Time studies of the shop's clocks. */
#include "cli/cli.h"
#include "edit/studies.h"
#include "exchange/actual_render.h"

#include <string.h>

static const struct {
    const char *word;
    unsigned use;
} uses[] = {{"speed", SG_STUDY_USE_SPEED},
            {"thickness", SG_STUDY_USE_THICKNESS},
            {"pierce", SG_STUDY_USE_PIERCE},
            {"feed", SG_STUDY_USE_FEED},
            {"all", SG_STUDY_USE_SPEED | SG_STUDY_USE_THICKNESS | SG_STUDY_USE_PIERCE | SG_STUDY_USE_FEED}};

/* ---- looking ---- */

static enum sg_status put_studies(const struct sg_args *args, const struct sg_shop *shop, struct sg_text *out,
                                  struct sg_error *error)
{
    struct sg_studied s = {0};
    enum sg_status status = sg_studied_look(&s, shop, error);
    struct sg_studies_view view = {.shop = shop,
                                   .runs = s.runs,
                                   .n_runs = s.n_runs,
                                   .left_out = s.left_out,
                                   .why = s.why,
                                   .groups = s.groups,
                                   .n_groups = s.n_groups,
                                   .study = &s.study,
                                   .arena = &s.arena};
    bool json = sg_option(args, "json") != NULL;
    if (status == SG_OK && !(json ? sg_studies_json : sg_studies_text)(out, &view))
        status = sg_fail(error, SG_FAULT, "no memory for studies of %d runs", s.n_runs);
    sg_studied_free(&s);
    return status;
}

static int show(const struct sg_args *args, struct sg_desk *desk)
{
    struct sg_text out = {0};
    struct sg_error error;
    if (put_studies(args, sg_desk_shop(desk), &out, &error) == SG_OK)
        return sg_cli_put(&out, SG_OK);
    sg_text_free(&out);
    return sg_cli_fail(&error);
}

/* ---- using ---- */

static enum sg_status read_use(const struct sg_args *args, unsigned *use, struct sg_error *error)
{
    for (size_t i = 0; i < sizeof uses / sizeof *uses && args->n_words > 1; i++)
        if (strcmp(uses[i].word, args->words[1]) == 0) {
            *use = uses[i].use;
            return SG_OK;
        }
    return sg_fail(error, SG_USAGE,
                   "usage: sandglass studies use speed|thickness|pierce|feed|all [MATERIAL]");
}

/* Speed and thickness are of a material; pierces and feeds are not. */
static enum sg_status read_material(const struct sg_args *args, const struct sg_shop *shop, unsigned *use,
                                    int32_t *material, struct sg_error *error)
{
    char near[SG_NEAR_SIZE];
    int others;
    *material = SG_UNKNOWN;
    if (args->n_words < 3)
        return SG_OK;
    if (!(*use & (SG_STUDY_USE_SPEED | SG_STUDY_USE_THICKNESS)))
        return sg_fail(error, SG_USAGE, "%s is of all materials", args->words[1]);
    *use &= SG_STUDY_USE_SPEED | SG_STUDY_USE_THICKNESS;
    *material = sg_find_material(shop, args->words[2], &others);
    if (*material != SG_UNKNOWN)
        return SG_OK;
    sg_near_materials(shop, args->words[2], others, near, sizeof near);
    return sg_fail(error, SG_BAD_DATA, "material \"%.60s\": %s", args->words[2], near);
}

static int put_used(const struct sg_args *args, struct sg_desk *desk, const struct sg_used *used,
                    struct sg_text *out)
{
    const struct sg_plan *plan;
    struct sg_error error;
    const struct sg_shop *shop = sg_desk_shop(desk);
    bool json = sg_option(args, "json") != NULL, kept = !sg_option(args, "dry-run");
    struct sg_json writer;
    if (json) {
        sg_json_start(&writer, out);
        sg_json_text(&writer, "used", used->words);
        sg_json_text(&writer, "mind", used->mind[0] ? used->mind : NULL);
        sg_json_yes(&writer, "kept", kept);
    }
    bool planned =
        shop->n_shifts > 0 && sg_desk_plan(desk, sg_plan_default_shift(shop), &plan, &error) == SG_OK;
    if (json && planned)
        sg_answers_json(&writer, shop, plan);
    if (json)
        sg_json_finish(&writer);
    if (!json && planned) {
        sg_text_put(out, "after   ");
        sg_answers_text(out, shop, plan);
    }
    if (!json)
        sg_wrap(out, kept ? "used" : "would use", 10, 100, used->words);
    if (!json && used->mind[0])
        sg_wrap(out, "mind", 10, 100, used->mind);
    return sg_cli_put(out, SG_OK);
}

static int use(const struct sg_args *args, struct sg_desk *desk)
{
    unsigned which = 0;
    int32_t material;
    struct sg_used used;
    struct sg_error error;
    struct sg_text out = {0};
    const struct sg_plan *plan;
    const struct sg_shop *shop = sg_desk_shop(desk);
    enum sg_status status = read_use(args, &which, &error);
    if (status == SG_OK)
        status = read_material(args, shop, &which, &material, &error);
    if (status == SG_OK && !sg_option(args, "json") && shop->n_shifts > 0 &&
        sg_desk_plan(desk, sg_plan_default_shift(shop), &plan, &error) == SG_OK) {
        sg_text_put(&out, "before  ");
        sg_answers_text(&out, shop, plan);
    }
    if (status == SG_OK)
        status = sg_desk_use_studies(desk, which, material, sg_cli_today(), !sg_option(args, "dry-run"),
                                     &used, &error);
    if (status == SG_OK)
        return put_used(args, desk, &used, &out);
    sg_text_free(&out);
    return sg_cli_fail(&error);
}

int sg_run_studies(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_error error;
    bool uses_them = args->n_words > 0;
    if (uses_them && strcmp(args->words[0], "use") != 0)
        return sg_cli_say(SG_USAGE, "usage: sandglass studies %s", args->command->words);
    bool writes = uses_them && !sg_option(args, "dry-run");
    if (sg_cli_open(args, writes ? SG_STORE_WRITE : SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code = uses_them ? use(args, desk) : show(args, desk);
    sg_desk_close(desk);
    return code;
}
