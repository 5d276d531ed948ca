/* One setup without a job. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

/* Options that are fields: where each goes. */
static const struct {
    const char *option;
    enum sg_kind kind;
    const char *field;
} settings[] = {
    {"thickness", SG_KIND_STOCK, "thickness"}, {"stack", SG_KIND_STOCK, "stack"},
    {"edge", SG_KIND_STOCK, "edge"},           {"pierce", SG_KIND_STOCK, "pierce"},
    {"pressure", SG_KIND_HEAD, "pressure"},    {"low-pressure", SG_KIND_HEAD, "low_pressure"},
    {"orifice", SG_KIND_HEAD, "orifice"},      {"tube", SG_KIND_HEAD, "tube"},
    {"garnet", SG_KIND_HEAD, "garnet"},        {"discharge", SG_KIND_HEAD, "discharge"},
    {"heads", SG_KIND_HEAD, "heads"},          {"machinability", SG_KIND_MATERIAL, "machinability"},
    {"top-feed", SG_KIND_MACHINE, "top_feed"},
};

enum { SETTINGS = sizeof settings / sizeof *settings, ASSUMED = 16 };

struct speed {
    const struct sg_args *args;
    struct sg_arena arena;
    struct sg_shop shop;         /* the library, and fresh heads */
    struct sg_material material; /* the one asked for */
    struct sg_head head;
    struct sg_stock stock;
    struct sg_setup setup;
    char assumed[ASSUMED][80];
    int n_assumed;
    struct sg_caution cautions[SG_CAUTIONS];
    int n_cautions;
};

static void assume(struct speed *speed, const char *name, const struct sg_field *field, const void *record)
{
    struct sg_value value;
    char shown[60];
    sg_field_get(field, record, &value);
    sg_field_show(field, &speed->shop, &value, shown, sizeof shown);
    if (speed->n_assumed < ASSUMED)
        snprintf(speed->assumed[speed->n_assumed++], sizeof *speed->assumed, "%s=%s", name, shown);
}

static enum sg_status choose_material(struct speed *speed, struct sg_error *error)
{
    const char *name = sg_option(speed->args, "material");
    speed->material = sg_fresh_material;
    if (!name && !sg_option(speed->args, "machinability"))
        return sg_fail(error, SG_USAGE, "speed needs --material NAME or --machinability N, and --thickness");
    if (!name)
        return SG_OK;
    struct sg_typed typed;
    sg_field_read(sg_field_find(SG_KIND_STOCK, "material"), &speed->shop, name, &typed);
    if (typed.state != SG_PARSE_WHOLE)
        return sg_fail(error, SG_BAD_DATA, "--material %.60s: %s", name, typed.text);
    speed->material = speed->shop.materials[typed.value.whole];
    return SG_OK;
}

static enum sg_status choose_head(struct speed *speed, struct sg_error *error)
{
    const char *word = sg_option(speed->args, "head");
    int kind = speed->material.head;
    if (word && strcmp(word, "abrasive") != 0 && strcmp(word, "water") != 0)
        return sg_fail(error, SG_USAGE, "--head is abrasive or water, not \"%.40s\"", word);
    if (word)
        kind = word[0] == 'a' ? SG_HEAD_ABRASIVE : SG_HEAD_WATER;
    else if (speed->n_assumed < ASSUMED)
        snprintf(speed->assumed[speed->n_assumed++], sizeof *speed->assumed, "head=%s",
                 sg_words_head_kind[kind]);
    speed->head = sg_fresh_heads[kind];
    return SG_OK;
}

static void *record_of(struct speed *speed, enum sg_kind kind)
{
    switch (kind) {
    case SG_KIND_STOCK:
        return &speed->stock;
    case SG_KIND_HEAD:
        return &speed->head;
    case SG_KIND_MATERIAL:
        return &speed->material;
    default:
        return &speed->shop.machine;
    }
}

/* Whether a setting that was not given plays a part, so that its value was assumed. */
static bool matters(const struct speed *speed, const char *option)
{
    static const char *const garnet_only[] = {"edge", "low-pressure", "tube", "garnet", "pierce", NULL};
    bool water = speed->head.kind == SG_HEAD_WATER;
    bool low =
        (sg_option(speed->args, "pierce") ? speed->stock.pierce : speed->material.pierce) == SG_PIERCE_LOW;
    for (int i = 0; garnet_only[i]; i++)
        if (strcmp(garnet_only[i], option) == 0)
            return !water && (low || strcmp(option, "low-pressure") != 0);
    return strcmp(option, "machinability") != 0;
}

static enum sg_status read_setting(struct speed *speed, int i, struct sg_error *error)
{
    const struct sg_field *field = sg_field_find(settings[i].kind, settings[i].field);
    void *record = record_of(speed, settings[i].kind);
    const char *text = sg_option(speed->args, settings[i].option);
    if (!text) {
        if (strcmp(settings[i].option, "thickness") == 0)
            return sg_fail(error, SG_USAGE, "speed needs --thickness");
        if (strcmp(settings[i].option, "pierce") == 0)
            speed->stock.pierce = speed->material.pierce;
        if (matters(speed, settings[i].option))
            assume(speed, settings[i].option, field, record);
        return SG_OK;
    }
    struct sg_typed typed;
    sg_field_read(field, &speed->shop, text, &typed);
    if (typed.state != SG_PARSE_WHOLE || typed.value.none)
        return sg_fail(error, SG_BAD_DATA, "--%s %.60s: %s", settings[i].option, text,
                       typed.text[0] ? typed.text : "a value is expected");
    if (typed.text[0])
        sg_cli_say(SG_OK, "--%s %.60s: %s", settings[i].option, text, typed.text);
    sg_field_put(field, record, &typed.value);
    return SG_OK;
}

static enum sg_status read_settings(struct speed *speed, struct sg_error *error)
{
    enum sg_status status = SG_OK;
    speed->stock = sg_fresh_stock;
    for (int i = 0; i < SETTINGS && status == SG_OK; i++)
        status = read_setting(speed, i, error);
    if (status == SG_OK && sg_option(speed->args, "machinability"))
        speed->material.basis = SG_BASIS_TYPED;
    return status;
}

/* The cautions of a plan with this one stock: a shop of one head, material and part, planned. */
static enum sg_status find_cautions(struct speed *speed, struct sg_error *error)
{
    struct sg_shift shift = sg_fresh_shift;
    struct sg_job job = sg_fresh_job;
    struct sg_part part = sg_fresh_part;
    struct sg_shop shop = {.units = speed->shop.units,
                           .machine = speed->shop.machine,
                           .n_materials = 1,
                           .n_heads = 1,
                           .n_shifts = 1,
                           .n_jobs = 1,
                           .n_stocks = 1,
                           .n_parts = 1,
                           .materials = &speed->material,
                           .heads = &speed->head,
                           .shifts = &shift,
                           .jobs = &job,
                           .stocks = &speed->stock,
                           .parts = &part};
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan;
    shop.machine.head_fitted = 0;
    job.n_stocks = speed->stock.n_parts = 1;
    speed->stock.material = speed->stock.head = 0;
    shift.calendar.close_s = 8 * 3600;
    enum sg_status status = planner ? sg_plan_shift(planner, &shop, 0, &plan, error)
                                    : sg_fail(error, SG_FAULT, "no memory for a plan");
    if (status == SG_OK) {
        speed->setup = plan->stocks[0].setup;
        for (int i = 0; i < plan->n_cautions && speed->n_cautions < SG_CAUTIONS; i++)
            if (plan->cautions[i].kind != SG_KIND_PART && plan->cautions[i].code != SG_CAUTION_NO_SHEET &&
                plan->cautions[i].code != SG_CAUTION_JET)
                speed->cautions[speed->n_cautions++] = plan->cautions[i];
    }
    sg_planner_free(planner);
    return status;
}

static double garnet_kg_h(const struct speed *speed)
{
    return speed->setup.garnet * 60 / 1000 * speed->head.heads;
}

static void put_json(struct speed *speed, struct sg_text *out)
{
    const struct sg_setup *s = &speed->setup;
    struct sg_json json;
    sg_json_start(&json, out);
    sg_json_number(&json, "traverse_mm_min", s->traverse);
    sg_json_number(&json, "separation_mm_min", s->separation);
    sg_json_number(&json, "edge_cut", s->edge_cut);
    sg_json_number(&json, "water_l_min", s->water * speed->head.heads);
    sg_json_number(&json, "jet_velocity_m_s", s->jet_velocity);
    sg_json_number(&json, "jet_kw", s->jet_power * speed->head.heads);
    sg_json_number(&json, "shaft_kw", s->shaft_power * speed->head.heads);
    sg_json_number(&json, "loading_ratio", s->loading_ratio);
    sg_json_number(&json, "pierce_s", s->pierce);
    sg_json_number(&json, "garnet_kg_h", garnet_kg_h(speed));
    sg_json_number(&json, "kerf_mm", s->kerf);
    sg_json_text(&json, "basis", sg_basis_word(s->traverse_basis));
    sg_json_text(&json, "pierce_basis", sg_basis_word(s->pierce_basis));
    sg_json_text(&json, "source", speed->material.source[0] ? speed->material.source : NULL);
    sg_json_array(&json, "assumed");
    for (int i = 0; i < speed->n_assumed; i++)
        sg_json_text(&json, NULL, speed->assumed[i]);
    sg_json_end_array(&json);
    sg_json_array(&json, "cautions");
    for (int i = 0; i < speed->n_cautions; i++) {
        char text[600];
        sg_caution_text(&speed->cautions[i], speed->shop.units, text, sizeof text);
        sg_json_object(&json, NULL);
        sg_json_text(&json, "code", sg_caution_word(speed->cautions[i].code));
        sg_json_text(&json, "where", sg_kind_word((enum sg_kind)speed->cautions[i].kind));
        sg_json_text(&json, "text", text);
        sg_json_end_object(&json);
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
}

static void put_line(const struct speed *speed, struct sg_text *out, const char *title, double value,
                     enum sg_dimension dimension, int decimals, const char *trust)
{
    char number[64];
    const struct sg_unit *unit = sg_unit_of_shop(dimension, speed->shop.units);
    sg_number_format(value, unit, decimals, number, sizeof number);
    sg_text_format(out, "%-16s %10s %s%s%s\n", title, number, unit->name, trust[0] ? "  " : "", trust);
}

static void put_text(struct speed *speed, struct sg_text *out)
{
    const struct sg_setup *s = &speed->setup;
    const char *traverse_basis = sg_basis_word(s->traverse_basis);
    int32_t heads = speed->head.heads;
    put_line(speed, out, "traverse", s->traverse, SG_DIM_FEED, 2, traverse_basis);
    put_line(speed, out, "separation", s->separation, SG_DIM_FEED, 2, traverse_basis);
    put_line(speed, out, "pierce", s->pierce, SG_DIM_DURATION, 1, sg_basis_word(s->pierce_basis));
    put_line(speed, out, "water", s->water * heads, SG_DIM_FLOW, 3, "");
    sg_text_format(out, "%-16s %10.0f m/s\n", "jet velocity", s->jet_velocity);
    put_line(speed, out, "jet power", s->jet_power * heads, SG_DIM_POWER, 2, "");
    put_line(speed, out, "shaft power", s->shaft_power * heads, SG_DIM_POWER, 2, "");
    if (s->abrasive) {
        sg_text_format(out, "%-16s %10.3f\n", "loading ratio", s->loading_ratio);
        put_line(speed, out, "garnet, 1 h on", garnet_kg_h(speed), SG_DIM_MASS, 2, "");
    }
    if (speed->material.source[0])
        sg_wrap(out, "source ", 8, 100, speed->material.source);
    sg_text_put(out, "assumed ");
    for (int i = 0; i < speed->n_assumed; i++)
        sg_text_format(out, "%s%s", i ? ", " : "", speed->assumed[i]);
    sg_text_put(out, speed->n_assumed ? "\n" : "nothing\n");
    for (int i = 0; i < speed->n_cautions; i++) {
        char text[600];
        sg_caution_text(&speed->cautions[i], speed->shop.units, text, sizeof text);
        sg_wrap(out, "caution:", 9, 100, text);
    }
}

/* The library: of the shop file where one is named, else the starter library. */
static enum sg_status load_library(struct speed *speed, struct sg_error *error)
{
    struct sg_store *store;
    struct sg_store_new how = {.units = SG_UNITS_US};
    const char *file = sg_option(speed->args, "f");
    enum sg_status status = file ? sg_store_open(file, SG_STORE_READ, &store, error)
                                 : sg_store_memory("the starter library", &how, &store, error);
    if (status != SG_OK)
        return status;
    status = sg_store_load(store, &speed->arena, &speed->shop, error);
    sg_store_close(store);
    if (status == SG_OK)
        status = sg_cli_units(speed->args, &speed->shop.units, error);
    speed->shop.machine = sg_fresh_machine;
    return status;
}

int sg_run_speed(const struct sg_args *args)
{
    struct speed speed = {.args = args};
    struct sg_error error;
    struct sg_text out = {0};
    enum sg_status status = load_library(&speed, &error);
    if (status == SG_OK)
        status = choose_material(&speed, &error);
    if (status == SG_OK)
        status = choose_head(&speed, &error);
    if (status == SG_OK)
        status = read_settings(&speed, &error);
    if (status == SG_OK)
        status = find_cautions(&speed, &error);
    int code;
    if (status != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        if (sg_option(args, "json"))
            put_json(&speed, &out);
        else
            put_text(&speed, &out);
        code = sg_cli_put(&out, SG_OK);
    }
    sg_arena_free(&speed.arena);
    return code;
}
