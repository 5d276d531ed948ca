/* Took against plan for like work: below the log. */
#include "tui/actuals.h"

#include "exchange/actual_render.h"

#include <stdio.h>
#include <string.h>

enum { WORDS = 300, NUMBER = 40 };

static void band_words(const struct sg_shop *shop, int band, char *out, size_t size)
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, shop->units);
    char from[NUMBER], to[NUMBER];
    double above, up_to;
    int decimals = shop->units == SG_UNITS_US ? 2 : 0;
    sg_study_band_ends(band, &above, &up_to);
    sg_number_short(above, unit, decimals, from, sizeof from);
    sg_number_short(up_to, unit, decimals, to, sizeof to);
    if (up_to > 1e9)
        snprintf(out, size, "above %s %s", from, unit->name);
    else
        snprintf(out, size, "%s-%s %s", from, to, unit->name);
}

static void group_words(const struct sg_shop *shop, const struct sg_study_group *group, char *out,
                        size_t size)
{
    char like[WORDS], band[2 * NUMBER];
    band_words(shop, group->band, band, sizeof band);
    snprintf(like, sizeof like, "%.60s %s e%d", shop->materials[group->material].name, band, group->edge);
    int used =
        snprintf(out, size, "%-34.100s %3d run%s  ", like, group->count, group->count == 1 ? " " : "s");
    if (used < 0 || (size_t)used >= size)
        return;
    if (group->few)
        sg_study_few_words(shop, group, out + used, size - (size_t)used);
    else
        snprintf(out + used, size - (size_t)used, "%.2f ..[%.2f].. %.2f", group->lowest, group->median,
                 group->highest);
}

/* "feed last weighed 310 g/min, head h1, 2026-11-26 09:30" */
static void weighed_words(const struct sg_shop *shop, const struct sg_actual *actual, char *out, size_t size)
{
    char amount[NUMBER + 20], at[NUMBER];
    snprintf(out, size, "The garnet feed was not weighed yet: m notes what was caught.");
    for (int32_t i = shop->n_records - 1; i >= 0; i--) {
        const struct sg_record *record = &shop->records[i];
        if (record->what != SG_RECORD_WEIGH || record->at > actual->now)
            continue;
        int64_t days = actual->now / SG_DAY_S - record->at / SG_DAY_S;
        sg_record_amount(shop, record, amount, sizeof amount);
        sg_log_clock(record->at, at);
        if (days > 0)
            snprintf(at, sizeof at, "%lld day%s ago", (long long)days, days == 1 ? "" : "s");
        snprintf(out, size, "feed of head %.60s last weighed%s, %s", record->place, amount, at);
        return;
    }
}

void sg_actuals_panel(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_shop *shop = ui->kept.shop;
    struct sg_arena arena = {0};
    struct sg_study_run *runs;
    struct sg_study_group *groups;
    int32_t n_runs, left_out, n_groups = 0, row = 1;
    char words[WORDS];
    if (!actual || area.rows < 2)
        return;
    bool read = sg_actual_runs(shop, actual, &arena, &runs, NULL, &n_runs, &left_out) &&
                sg_study_groups(runs, n_runs, &arena, &groups, &n_groups);
    sg_canvas_put(canvas, area.row, area.column, area.columns, SG_ROLE_LABEL,
                  !read          ? "no memory for took / plan"
                  : n_groups > 0 ? "Took / plan of like work: lowest ..[median].. highest"
                                 : "Took / plan of like work: nothing was clocked to its end yet");
    int32_t most = n_groups < area.rows - 2 ? n_groups : area.rows - 2;
    for (int32_t i = 0; read && i < most; i++, row++) {
        group_words(shop, &groups[i], words, sizeof words);
        sg_canvas_put(canvas, area.row + row, area.column + 2, area.columns - 2, SG_ROLE_RESULT, words);
    }
    if (most < n_groups)
        sg_canvas_format(canvas, area.row, area.column + 56, area.columns - 56, SG_ROLE_LABEL, "%d of %d",
                         (int)most, (int)n_groups);
    weighed_words(shop, actual, words, sizeof words);
    sg_canvas_put(canvas, area.row + row, area.column + 2, area.columns - 2, SG_ROLE_RESULT, words);
    sg_arena_free(&arena);
}
