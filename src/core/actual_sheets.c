/* Sheets by the log: which are cut, which is next, and what is left of one that is cut in part. */
#include "actual_inside.h"

#include <math.h>
#include <string.h>

/* ---- what a stop without a count means ---- */

/* Of the time that was planned: a cut that ended before that is not finished. A sheet that is done ends early
 * where the speeds are published ones, but hardly by more than a quarter; practice. */
#define SHORT_AT_A_STOP 0.5
#define SHORT_WITH_A_REASON 0.75

bool sg_actual_broke_off(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_clock *cut = &shop->clocks[clock];
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (cut->phase != SG_PHASE_CUT || !c->happened || c->counted || c->running ||
        (c->stop == SG_UNKNOWN && !c->mended))
        return false;
    bool reason = c->stop != SG_UNKNOWN && shop->records[c->stop].reason[0];
    double least = reason ? SHORT_WITH_A_REASON : SHORT_AT_A_STOP;
    return sg_actual_net(c) + sg_actual_before(shop, actual, clock) < least * sg_clock_planned(cut);
}

bool sg_actual_uncounted(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    return shop->clocks[clock].phase == SG_PHASE_CUT && c->happened && !c->running && !c->counted &&
           !sg_actual_cut_short(shop, actual, clock) && !sg_actual_broke_off(shop, actual, clock);
}

void sg_actual_end_forgotten(const struct sg_shop *shop, struct sg_actual *actual, int32_t stock)
{
    int32_t clock = actual->running;
    if (clock == SG_UNKNOWN || actual->clocks[clock].stock != stock)
        return;
    struct sg_actual_clock running = actual->clocks[clock];
    actual->clocks[clock].running = false;
    actual->clocks[clock].mended = true;
    if (sg_actual_uncounted(shop, actual, clock))
        actual->running = SG_UNKNOWN;
    else
        actual->clocks[clock] = running;
}

/* ---- pieces ---- */

static bool is_id(const char *id, const struct sg_lies *lies)
{
    return strncmp(id, lies->part, lies->length) == 0 && id[lies->length] == '\0';
}

int32_t sg_actual_part_of_line(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                               const struct sg_lies *lies, int32_t last)
{
    int32_t index = actual->clocks[clock].stock;
    if (index == SG_UNKNOWN)
        return SG_UNKNOWN;
    const struct sg_stock *stock = &shop->stocks[index];
    int32_t behind = last == SG_UNKNOWN ? 0 : last + 1 - stock->first_part;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        int32_t part = stock->first_part + (behind + i) % stock->n_parts;
        if (is_id(shop->parts[part].id, lies))
            return part;
    }
    return SG_UNKNOWN;
}

/* Pieces of a line's part on the loads of the groups before it. */
static int64_t in_groups_before(const struct sg_clock *clock, const struct sg_lies *lies)
{
    struct sg_lies line = SG_LIES_START;
    int64_t pieces = 0;
    for (const char *text = clock->lies; lies->group > 1 && sg_lies_next(&text, &line);) {
        if (line.group == lies->group)
            break;
        if (line.length == lies->length && strncmp(line.part, lies->part, line.length) == 0)
            pieces += (int64_t)line.pieces * line.loads;
    }
    return pieces;
}

int64_t sg_actual_left_of_line(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                               const struct sg_lies *lies, int32_t part)
{
    int64_t all = (int64_t)lies->pieces * lies->loads;
    if (part == SG_UNKNOWN)
        return all;
    int64_t counted = sg_actual_counted(actual, clock, part) - in_groups_before(&shop->clocks[clock], lies);
    return counted <= 0 ? all : counted < all ? all - counted : 0;
}

/* Pieces that are left, and their share of the clock's plan; NaN where that is not known. */
static int64_t count_left(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                          double *share)
{
    const struct sg_clock *frozen = &shop->clocks[clock];
    const struct sg_actual_clock *c = &actual->clocks[clock];
    struct sg_lies lies = SG_LIES_START;
    int32_t part = SG_UNKNOWN;
    int64_t left = 0;
    *share = 0;
    for (const char *text = frozen->lies; sg_lies_next(&text, &lies);) {
        int32_t found = sg_actual_part_of_line(shop, actual, clock, &lies, part);
        if (found == SG_UNKNOWN)
            continue; /* it is asked for no more */
        part = found;
        int64_t here = sg_actual_left_of_line(shop, actual, clock, &lies, part);
        *share += (double)here * lies.share;
        left += here;
    }
    if (frozen->lies[0])
        return left;
    left = frozen->pieces - c->good - c->scrapped;
    left = left > 0 ? left : 0;
    *share = frozen->pieces > 0 ? (double)left / frozen->pieces : (double)NAN;
    return left;
}

int64_t sg_actual_pieces_left(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    double share;
    return count_left(shop, actual, clock, &share);
}

double sg_actual_gone(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    double planned = sg_clock_planned(&shop->clocks[clock]), gone = 0;
    if (c->running)
        gone = sg_actual_net_from(actual, clock, c->good_at) - c->spoilt * planned;
    else if (!c->counted)
        gone = sg_actual_net(c);
    if (!c->counted)
        gone += sg_actual_before(shop, actual, clock);
    return planned > 0 ? fmax(0, gone) : 0;
}

double sg_actual_to_go(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    double share, planned = sg_clock_planned(&shop->clocks[clock]);
    count_left(shop, actual, clock, &share);
    return planned * share - sg_actual_gone(shop, actual, clock);
}

/* ---- sheets ---- */

bool sg_actual_was_checked(const struct sg_shop *shop, const struct sg_actual *actual, const char *stock)
{
    for (int32_t i = 0; i <= actual->last; i++)
        if (shop->clocks[i].phase == SG_PHASE_CHECK && strcmp(shop->clocks[i].place, stock) == 0)
            return true;
    return false;
}

int32_t sg_actual_last_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock)
{
    int32_t clock = actual->last;
    while (clock >= 0 && (actual->clocks[clock].stock != stock || !actual->clocks[clock].happened ||
                          shop->clocks[clock].phase != SG_PHASE_CUT))
        clock--;
    return clock;
}

bool sg_actual_half_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (c->counted && shop->clocks[clock].pieces > 0)
        return sg_actual_pieces_left(shop, actual, clock) > 0;
    return c->running || sg_actual_cut_short(shop, actual, clock) || sg_actual_broke_off(shop, actual, clock);
}

/* By the pieces of all parts, where nobody knows which lie on which load. */
static int32_t loads_by_pieces(const struct sg_clock *frozen, int64_t left)
{
    if (frozen->pieces <= 0 || left >= frozen->pieces)
        return 0;
    return (int32_t)((frozen->pieces - left) * frozen->sheets / frozen->pieces);
}

int32_t sg_actual_loads_done(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_clock *frozen = &shop->clocks[clock];
    struct sg_lies lies = SG_LIES_START;
    int32_t done = frozen->sheets, first = 0, group = 0, loads = 0, part = SG_UNKNOWN;
    if (frozen->lies[0] != '*')
        return loads_by_pieces(frozen, sg_actual_pieces_left(shop, actual, clock));
    for (const char *text = frozen->lies; sg_lies_next(&text, &lies);) {
        first += lies.group != group ? loads : 0; /* the load of the group that is cut first */
        group = lies.group;
        loads = lies.loads;
        int32_t found = sg_actual_part_of_line(shop, actual, clock, &lies, part);
        if (found == SG_UNKNOWN)
            continue;
        part = found;
        int64_t left = sg_actual_left_of_line(shop, actual, clock, &lies, part);
        int64_t here = first + ((int64_t)lies.pieces * loads - left) / lies.pieces;
        if (left > 0 && here < done)
            done = (int32_t)here;
    }
    return done;
}

bool sg_actual_on_table(const struct sg_shop *shop, const struct sg_actual *actual, const char *key)
{
    if (actual->last == SG_UNKNOWN || strcmp(shop->clocks[actual->last].place, key) != 0)
        return false;
    int32_t phase = shop->clocks[actual->last].phase;
    if (phase == SG_PHASE_CUT)
        return sg_actual_half_cut(shop, actual, actual->last);
    return phase == SG_PHASE_CHECK || !actual->clocks[actual->last].running;
}

int32_t sg_actual_next_sheet(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                             bool *on)
{
    char key[400];
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    int32_t clock = sg_actual_last_cut(shop, actual, stock);
    *on = sg_actual_on_table(shop, actual, key);
    if (clock < 0)
        return 1;
    const struct sg_clock *frozen = &shop->clocks[clock];
    int32_t first = frozen->sheet == SG_UNKNOWN ? 1 : frozen->sheet;
    if (!sg_actual_half_cut(shop, actual, clock))
        return first + frozen->sheets;
    return first + (actual->clocks[clock].counted ? sg_actual_loads_done(shop, actual, clock) : 0);
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
