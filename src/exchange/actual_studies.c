/* Took against planned, what the runs tell of the numbers behind the plan, and what using it would change. */
#include "exchange/actual_render.h"

#include <stdio.h>
#include <string.h>

enum { CELL = 160, NAME = 300 };

typedef char cell[CELL];

static const struct {
    const char *word;
    unsigned use;
} uses[] = {{"speed", SG_STUDY_USE_SPEED},
            {"thickness", SG_STUDY_USE_SPEED | SG_STUDY_USE_THICKNESS},
            {"pierce", SG_STUDY_USE_PIERCE},
            {"feed", SG_STUDY_USE_FEED},
            {"all", SG_STUDY_USE_SPEED | SG_STUDY_USE_THICKNESS | SG_STUDY_USE_PIERCE | SG_STUDY_USE_FEED}};

enum { USES = sizeof uses / sizeof *uses };

/* ---- groups ---- */

void sg_study_few_words(const struct sg_shop *shop, const struct sg_study_group *group, char *out,
                        size_t size)
{
    const struct sg_material *material = &shop->materials[group->material];
    bool water = shop->heads[group->head].kind == SG_HEAD_WATER;
    char source[CELL];
    if (sg_study_source(material, shop->heads[group->head].kind, source, sizeof source))
        snprintf(out, size, "%s %.4g is in use", water ? "cut energy" : "machinability",
                 water ? material->cut_energy : material->machinability);
    else
        snprintf(out, size, "too few to use (%d needed)", SG_STUDY_RUNS);
}

static void band_words(const struct sg_shop *shop, int32_t band, char *out, size_t size)
{
    double above, up_to;
    cell low, high;
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, shop->units);
    sg_study_band_ends(band, &above, &up_to);
    sg_number_short(above, unit, 2, low, sizeof low);
    if (isinf(up_to)) {
        snprintf(out, size, "above %.40s %s", low, unit->name);
        return;
    }
    sg_number_short(up_to, unit, 2, high, sizeof high);
    snprintf(out, size, above > 0 ? "%.40s to %.40s %s" : "%.0s up to %.40s %s", low, high, unit->name);
}

static bool is_in_group(const struct sg_study_run *run, const struct sg_study_group *group)
{
    double edge = fmin(fmax(run->edge, 1), SG_EDGES);
    return run->material == group->material && run->head == group->head &&
           sg_study_band(run->height) == group->band && lround(edge) == group->edge;
}

/* What its median as a factor would change, of the group's runs. */
static bool change_of_group(const struct sg_studies_view *view, const struct sg_study_group *group,
                            struct sg_study_change *out)
{
    struct sg_study_run *runs = sg_arena_take(view->arena, ((size_t)view->n_runs + 1) * sizeof *runs);
    int32_t n = 0;
    if (!runs)
        return false;
    for (int32_t i = 0; i < view->n_runs; i++)
        if (is_in_group(&view->runs[i], group))
            runs[n++] = view->runs[i];
    return sg_study_change_of_factor(runs, n, group->median, view->arena, out);
}

static void off_words(const struct sg_study_change *change, char *out)
{
    if (sg_known(change->before))
        snprintf(out, CELL, "%.0f -> %.0f %%", change->before * 100, change->after * 100);
    else
        snprintf(out, CELL, "-");
}

static bool put_group(struct sg_table *table, const struct sg_studies_view *view,
                      const struct sg_study_group *group)
{
    cell band, edge, count, range, spread, off;
    struct sg_study_change change;
    if (!change_of_group(view, group, &change))
        return false;
    band_words(view->shop, group->band, band, sizeof band);
    snprintf(edge, sizeof edge, "%d", group->edge);
    snprintf(count, sizeof count, "%d", group->count);
    snprintf(range, sizeof range, "%.2f ..[%.2f].. %.2f", group->lowest, group->median, group->highest);
    snprintf(spread, sizeof spread, "%.2f", group->spread);
    if (group->few)
        sg_study_few_words(view->shop, group, off, sizeof off);
    else
        off_words(&change, off);
    sg_table_row(table,
                 (const char *[]){view->shop->materials[group->material].name, band,
                                  view->shop->heads[group->head].name, edge, count, range, spread, off});
    return true;
}

static bool put_groups(struct sg_text *out, const struct sg_studies_view *view)
{
    struct sg_table table;
    bool made = true;
    if (view->n_groups == 0)
        return true;
    sg_table_start(&table,
                   (const char *[]){"Took / planned of", "Thickness", "Head", ">Edge", ">Runs",
                                    "Low ..[median].. high", ">Spread", "Off by, with the median"},
                   8);
    for (int32_t i = 0; i < view->n_groups; i++)
        made = put_group(&table, view, &view->groups[i]) && made;
    sg_table_put(&table, 0, out);
    return made;
}

/* ---- numbers ---- */

/* A number as it is in the plan and as the runs have it. */
struct number {
    const char *name;
    double now;
    const struct sg_study_number *number;
    enum sg_dimension dimension;
    bool in_use;
    const struct sg_study_number *goes_with; /* the pierce that says how sure it is; NULL: itself */
};

/* "shop, 6 runs, +-3 %", "in use: shop, 6 runs, +-3 %", "as the pierce: ..." */
static void how_sure(const struct number *number, char *out)
{
    char sentence[CELL / 2];
    sg_study_sentence(number->goes_with ? number->goes_with : number->number, sentence, sizeof sentence);
    snprintf(out, CELL, "%s%s%s", number->in_use ? "in use: " : "",
             number->goes_with ? "together in a pierce: " : "", sentence);
}

typedef void put_number(void *context, const struct number *number);

static void each_cutting(const struct sg_studies_view *view, const struct sg_study_cutting *cutting,
                         put_number *put, void *context)
{
    const struct sg_material *material = &view->shop->materials[cutting->material];
    bool water = cutting->head_kind == SG_HEAD_WATER;
    bool bent = sg_has_exponent(material), in_use = sg_study_has_material(cutting, bent, material);
    const struct sg_study_number *speed = bent && in_use ? &cutting->speed_at : &cutting->speed;
    char name[NAME];
    snprintf(name, sizeof name, "%s of %.200s", water ? "cut energy" : "machinability", material->name);
    put(context, &(struct number){name, water ? material->cut_energy : material->machinability, speed,
                                  water ? SG_DIM_CUT_ENERGY : SG_DIM_NUMBER, in_use, NULL});
    if (water)
        return;
    snprintf(name, sizeof name, "thickness exponent of %.200s", material->name);
    double exponent = material->thickness_exponent > 0 ? material->thickness_exponent : SG_TRAVERSE_EXPONENT;
    put(context, &(struct number){name, exponent, &cutting->exponent, SG_DIM_NUMBER, bent && in_use, NULL});
}

/* t0, kappa, and the pierce that they make in the runs: what is told well. */
static void each_pierce(const struct sg_machine *machine, enum sg_pierce_way way,
                        const struct sg_study *study, put_number *put, void *context)
{
    const struct sg_study_piercing *piercing = &study->piercing[way];
    double base = machine->pierce_base[way], factor = machine->pierce_factor[way];
    bool in_use = sg_study_has_machine(study, way, machine);
    char name[NAME];
    snprintf(name, sizeof name, "%s pierce, t0", sg_words_pierce[way]);
    put(context, &(struct number){name, base, &piercing->base, SG_DIM_DURATION, in_use, &piercing->pierce});
    snprintf(name, sizeof name, "%s pierce, kappa", sg_words_pierce[way]);
    put(context, &(struct number){name, factor, &piercing->factor, SG_DIM_NUMBER, in_use, &piercing->pierce});
    snprintf(name, sizeof name, "%s pierce, mean of its runs", sg_words_pierce[way]);
    put(context, &(struct number){name, base + factor * piercing->rise, &piercing->pierce, SG_DIM_DURATION,
                                  in_use, NULL});
}

static void each_number(const struct sg_studies_view *view, put_number *put, void *context)
{
    char name[NAME];
    const struct sg_machine *machine = &view->shop->machine;
    for (int32_t i = 0; i < view->study->n_cutting; i++)
        each_cutting(view, &view->study->cutting[i], put, context);
    for (int way = 0; way < SG_PIERCE_WAYS; way++)
        if (view->study->piercing[way].base.n > 0)
            each_pierce(machine, (enum sg_pierce_way)way, view->study, put, context);
    for (int32_t i = 0; i < view->study->n_feeds; i++) {
        const struct sg_study_feed *feed = &view->study->feeds[i];
        const struct sg_head *head = &view->shop->heads[feed->head];
        snprintf(name, sizeof name, "garnet feed of %.200s", head->name);
        bool in_use = feed->feed.verdict == SG_STUDY_OFFERED && sg_study_in_use(&feed->feed, head->garnet);
        put(context, &(struct number){name, head->garnet, &feed->feed, SG_DIM_GARNET_FEED, in_use, NULL});
    }
}

struct listing {
    const struct sg_studies_view *view;
    struct sg_table *table;
    struct sg_json *json;
};

static void figure(const struct sg_shop *shop, enum sg_dimension dimension, double value, char *out)
{
    const struct sg_unit *unit =
        dimension == SG_DIM_DURATION ? sg_unit_canonical(dimension) : sg_unit_of_shop(dimension, shop->units);
    char number[60] = "-";
    if (sg_known(value))
        sg_number_short(value, unit, 3, number, sizeof number);
    snprintf(out, CELL, "%s%s%s", number, sg_known(value) && unit->name[0] ? " " : "",
             sg_known(value) ? unit->name : "");
}

static void put_number_row(void *context, const struct number *number)
{
    struct listing *listing = context;
    cell now, shop, sentence;
    figure(listing->view->shop, number->dimension, number->now, now);
    figure(listing->view->shop, number->dimension, number->number->estimate, shop);
    how_sure(number, sentence);
    sg_table_row(listing->table, (const char *[]){number->name, now, shop, sentence});
}

/* ---- what using them would change ---- */

static bool is_exponent_offered(const struct sg_study *study)
{
    for (int32_t i = 0; i < study->n_cutting; i++)
        if (study->cutting[i].exponent.verdict == SG_STUDY_OFFERED)
            return true;
    return false;
}

static bool put_changes(struct sg_text *out, const struct sg_studies_view *view)
{
    struct sg_table table;
    sg_table_start(&table, (const char *[]){"Using", ">Runs", ">Plan off by", "With it"}, 4);
    for (size_t i = 0; i < USES; i++) {
        struct sg_study_change change;
        cell runs, before, after;
        if (uses[i].use & SG_STUDY_USE_THICKNESS && !(uses[i].use & SG_STUDY_USE_PIERCE) &&
            !is_exponent_offered(view->study))
            continue; /* it would be the row of the speed again */
        if (!sg_study_change_of_numbers(view->runs, view->n_runs, view->study, &view->shop->machine,
                                        uses[i].use, view->arena, &change))
            return false;
        snprintf(runs, sizeof runs, "%d", change.n);
        snprintf(before, sizeof before, "%.1f %%", change.before * 100);
        snprintf(after, sizeof after, "%.1f %%", change.after * 100);
        sg_table_row(&table, (const char *[]){uses[i].word, runs, before, after});
    }
    sg_table_put(&table, 0, out);
    return true;
}

static const struct {
    enum sg_actual_left_out why;
    const char *name, *words;
} reasons[] = {{SG_LEFT_SHORT, "check", "stopped before a piece was counted and not cut on"},
               {SG_LEFT_FORGOTTEN, "forgotten", "nobody noted when it ended"},
               {SG_LEFT_SPOILT, "spoilt", "no piece of it was good"},
               {SG_LEFT_GONE, "gone", "its material or head is no longer in the shop"}};

enum { REASONS = sizeof reasons / sizeof *reasons };

static void put_left_out(struct sg_text *out, const struct sg_studies_view *view)
{
    const char *between = "";
    if (view->left_out == 0)
        return;
    sg_text_format(out, ", %d left out (", view->left_out);
    for (size_t i = 0; i < REASONS; i++) {
        if (view->why[reasons[i].why] == 0)
            continue;
        sg_text_format(out, "%s%d: %s", between, view->why[reasons[i].why], reasons[i].words);
        between = "; ";
    }
    sg_text_put(out, ")");
}

bool sg_studies_text(struct sg_text *out, const struct sg_studies_view *view)
{
    struct sg_table table;
    struct listing listing = {.view = view, .table = &table};
    sg_text_format(out, "STUDIES  %d run%s", view->n_runs, view->n_runs == 1 ? "" : "s");
    put_left_out(out, view);
    sg_text_put(out, "\n");
    if (view->n_runs == 0)
        return true;
    if (!put_groups(out, view))
        return false;
    sg_text_put(out, "\n");
    sg_table_start(&table, (const char *[]){"Number", ">Now", ">By the runs", "How sure"}, 4);
    each_number(view, put_number_row, &listing);
    sg_table_put(&table, 0, out);
    sg_text_put(out, "\n");
    return put_changes(out, view);
}

/* ---- JSON ---- */

static bool put_group_json(struct sg_json *json, const struct sg_studies_view *view,
                           const struct sg_study_group *group)
{
    double above, up_to;
    struct sg_study_change change;
    if (!change_of_group(view, group, &change))
        return false;
    sg_study_band_ends(group->band, &above, &up_to);
    sg_json_object(json, NULL);
    sg_json_text(json, "material", view->shop->materials[group->material].name);
    sg_json_text(json, "head", view->shop->heads[group->head].name);
    sg_json_number(json, "above_mm", above);
    sg_json_number(json, "up_to_mm", up_to);
    sg_json_whole(json, "edge", group->edge);
    sg_json_whole(json, "runs", group->count);
    sg_json_yes(json, "few", group->few);
    sg_json_number(json, "median", group->median);
    sg_json_number(json, "spread", group->spread);
    sg_json_number(json, "lowest", group->lowest);
    sg_json_number(json, "highest", group->highest);
    sg_json_number(json, "off_before", change.before);
    sg_json_number(json, "off_after", change.after);
    sg_json_end_object(json);
    return true;
}

static void put_number_json(void *context, const struct number *number)
{
    struct listing *listing = context;
    cell sentence;
    how_sure(number, sentence);
    sg_json_object(listing->json, NULL);
    sg_json_text(listing->json, "number", number->name);
    sg_json_text(listing->json, "unit", sg_unit_canonical(number->dimension)->name);
    sg_json_number(listing->json, "now", number->now);
    sg_json_number(listing->json, "estimate", number->number->estimate);
    sg_json_number(listing->json, "low", number->number->low);
    sg_json_number(listing->json, "high", number->number->high);
    sg_json_whole(listing->json, "runs", number->number->n);
    sg_json_whole(listing->json, "wild", number->number->wild);
    sg_json_yes(listing->json, "offered", number->number->verdict == SG_STUDY_OFFERED && !number->in_use);
    sg_json_yes(listing->json, "in_use", number->in_use);
    sg_json_text(listing->json, "sentence", sentence);
    sg_json_end_object(listing->json);
}

bool sg_studies_json(struct sg_text *out, const struct sg_studies_view *view)
{
    struct sg_json json;
    struct listing listing = {.view = view, .json = &json};
    bool made = true;
    sg_json_start(&json, out);
    sg_json_whole(&json, "runs", view->n_runs);
    sg_json_whole(&json, "left_out", view->left_out);
    sg_json_object(&json, "left_out_why");
    for (size_t i = 0; i < REASONS; i++)
        sg_json_whole(&json, reasons[i].name, view->why[reasons[i].why]);
    sg_json_end_object(&json);
    sg_json_array(&json, "groups");
    for (int32_t i = 0; i < view->n_groups; i++)
        made = put_group_json(&json, view, &view->groups[i]) && made;
    sg_json_end_array(&json);
    sg_json_array(&json, "numbers");
    each_number(view, put_number_json, &listing);
    sg_json_end_array(&json);
    sg_json_array(&json, "uses");
    for (size_t i = 0; i < USES; i++) {
        struct sg_study_change change = {0, (double)NAN, (double)NAN};
        made = sg_study_change_of_numbers(view->runs, view->n_runs, view->study, &view->shop->machine,
                                          uses[i].use, view->arena, &change) &&
               made;
        sg_json_object(&json, NULL);
        sg_json_text(&json, "use", uses[i].word);
        sg_json_whole(&json, "runs", change.n);
        sg_json_number(&json, "off_before", change.before);
        sg_json_number(&json, "off_after", change.after);
        sg_json_end_object(&json);
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
    return made;
}
