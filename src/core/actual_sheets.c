/* Sheets by the log: which are cut, which is next, and what still lies on one that is cut in part. */
#include "actual_inside.h"

#include "sandglass/sheet.h"

#include <math.h>
#include <string.h>

/* ---- sheets that are cut ---- */

bool sg_actual_was_checked(const struct sg_shop *shop, const struct sg_actual *actual, const char *stock)
{
    for (int32_t i = 0; i <= actual->last; i++)
        if (shop->clocks[i].phase == SG_PHASE_CHECK && strcmp(shop->clocks[i].place, stock) == 0)
            return true;
    return false;
}

static bool is_cut_of(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                      const char *key)
{
    return actual->clocks[clock].happened && shop->clocks[clock].phase == SG_PHASE_CUT &&
           strcmp(shop->clocks[clock].place, key) == 0;
}

static int32_t last_cut_of(const struct sg_shop *shop, const struct sg_actual *actual, const char *key)
{
    int32_t clock = actual->last;
    while (clock >= 0 && !is_cut_of(shop, actual, clock, key))
        clock--;
    return clock;
}

/* Of the time that was planned: a cut that ended before that is not finished. A sheet that is done ends early
 * where the speeds are published ones, but hardly by more than a quarter; practice. */
#define SHORT_AT_A_STOP 0.5
#define SHORT_WITH_A_REASON 0.75

bool sg_actual_broke_off(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_clock *cut = &shop->clocks[clock];
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (cut->phase != SG_PHASE_CUT || !c->happened || c->counted || c->running || c->stop == SG_UNKNOWN)
        return false;
    double least = shop->records[c->stop].reason[0] ? SHORT_WITH_A_REASON : SHORT_AT_A_STOP;
    return sg_actual_net(c) < least * sg_clock_planned(cut);
}

bool sg_actual_uncounted(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    return shop->clocks[clock].phase == SG_PHASE_CUT && !c->running && !c->counted &&
           !sg_actual_cut_short(shop, actual, clock) && !sg_actual_broke_off(shop, actual, clock);
}

/* Whether something is left of what a clock began. */
static bool is_half_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_clock *frozen = &shop->clocks[clock];
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (c->counted && frozen->pieces > 0)
        return c->good + c->scrapped < frozen->pieces;
    return c->running || sg_actual_cut_short(shop, actual, clock) || sg_actual_broke_off(shop, actual, clock);
}

/* The load on which the next piece of a half cut clock lies, from 0. */
static int32_t load_of(const struct sg_clock *frozen, const struct sg_actual_clock *c)
{
    if (!c->counted || frozen->pieces <= 0)
        return 0;
    return (int32_t)((c->good + c->scrapped) * frozen->sheets / frozen->pieces);
}

/* Whether the sheet of a stock lies on the table: nothing else was clocked since. */
bool sg_actual_on_table(const struct sg_shop *shop, const struct sg_actual *actual, const char *key)
{
    if (actual->last == SG_UNKNOWN || strcmp(shop->clocks[actual->last].place, key) != 0)
        return false;
    int32_t phase = shop->clocks[actual->last].phase;
    if (phase == SG_PHASE_CUT)
        return is_half_cut(shop, actual, actual->last);
    return phase == SG_PHASE_CHECK || !actual->clocks[actual->last].running;
}

static int32_t first_of(const struct sg_clock *frozen)
{
    return frozen->sheet == SG_UNKNOWN ? 1 : frozen->sheet;
}

int32_t sg_actual_next_sheet(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                             bool *on)
{
    char key[400];
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    int32_t clock = last_cut_of(shop, actual, key);
    *on = sg_actual_on_table(shop, actual, key);
    if (clock < 0)
        return 1;
    const struct sg_clock *frozen = &shop->clocks[clock];
    bool half = is_half_cut(shop, actual, clock);
    return first_of(frozen) + (half ? load_of(frozen, &actual->clocks[clock]) : frozen->sheets);
}

/* ---- what lies on them ---- */

/* Of all index moves of a load as many as of its plan is left. */
static int32_t moves_left(const struct sg_machine *machine, const struct sg_stock *stock, double share)
{
    bool across = sg_sheet_lies_across(machine->table_width, stock->sheet_length, stock->sheet_width);
    double length = across ? stock->sheet_width : stock->sheet_length;
    if (!sg_known(length))
        return 0;
    return (int32_t)lround((double)sg_index_moves(length, machine->table_length) * fmin(share, 1));
}

/* The part of a stock with that id; its lines are mostly in the order of the parts, so the search goes on
 * behind the last. */
static int32_t part_of_line(const struct sg_shop *shop, const struct sg_stock *stock,
                            const struct sg_lies *lies, int32_t behind)
{
    for (int32_t i = 0; i < stock->n_parts; i++) {
        int32_t index = (behind + i) % stock->n_parts;
        const char *id = shop->parts[stock->first_part + index].id;
        if (strncmp(id, lies->part, lies->length) == 0 && id[lies->length] == '\0')
            return index;
    }
    return SG_UNKNOWN;
}

/* The pieces that are left on the loads of a clock, into the parts; most: of one part. Returns their share of
 * the clock's plan. */
static double lay_pieces(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                         const struct sg_stock *of, struct sg_part *parts, int32_t *most)
{
    struct sg_lies lies;
    double share = 0;
    int32_t part = SG_UNKNOWN;
    *most = 0;
    for (const char *text = shop->clocks[clock].lies; sg_lies_next(&text, &lies);) {
        int32_t found = part_of_line(shop, of, &lies, part + 1);
        if (found == SG_UNKNOWN)
            continue;
        part = found;
        int64_t left = sg_actual_left_of_line(shop, actual, &shop->clocks[clock], &lies);
        int32_t begun = left < parts[part].quantity ? (int32_t)left : parts[part].quantity;
        parts[part].begun = begun;
        share += begun * lies.share;
        *most = begun > *most ? begun : *most;
    }
    return share;
}

int32_t sg_actual_lay_begun(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                            struct sg_stock *to, struct sg_part *parts)
{
    char key[400];
    int32_t most;
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    int32_t clock = last_cut_of(shop, actual, key);
    if (clock < 0)
        return 0;
    const struct sg_clock *frozen = &shop->clocks[clock];
    bool half = is_half_cut(shop, actual, clock);
    bool gone = clock == actual->last && sg_actual_uncounted(shop, actual, clock);
    int32_t cut = half ? load_of(frozen, &actual->clocks[clock]) : gone ? 0 : frozen->sheets;
    int32_t loads = frozen->sheets - cut;
    to->loads_before = first_of(frozen) - 1 + cut;
    if (loads == 0)
        return 0;
    double share = lay_pieces(shop, actual, clock, &shop->stocks[stock], parts, &most);
    int32_t stacks = (most + to->stack - 1) / to->stack;
    to->begun_loads = loads < stacks ? loads : stacks; /* on each lies something */
    if (to->begun_loads > 0)
        to->begun_moves = moves_left(&shop->machine, to, share * frozen->sheets / to->begun_loads);
    return gone ? to->begun_loads : 0;
}

/* ---- what is on hand ---- */

int64_t sg_actual_loads_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock)
{
    bool on;
    int64_t loads = sg_actual_next_sheet(shop, actual, stock, &on) - 1 - (int64_t)actual->moved_loads[stock];
    return loads > 0 ? loads : 0;
}

void sg_use_up_sheets(struct sg_stock *stock, int64_t loads)
{
    int64_t sheets = loads * stock->stack;
    for (int64_t i = 0; i < stock->remnants.n && sheets > 0; i++) {
        double taken = fmin(stock->remnants.at[i][2], (double)sheets);
        stock->remnants.at[i][2] -= taken;
        sheets -= (int64_t)taken;
    }
    struct sg_items *items = &stock->remnants;
    int64_t n = 0;
    for (int64_t i = 0; i < items->n; i++)
        if (items->at[i][2] > 0)
            memmove(items->at[n++], items->at[i], sizeof items->at[i]);
    items->n = n;
    if (stock->sheets != SG_UNKNOWN)
        stock->sheets = stock->sheets > sheets ? (int32_t)(stock->sheets - sheets) : 0;
}
