/* What of a stock is begun: the pieces that lie on loads that are cut in part, and those that are cut though
 * nobody counted them. */
#include "actual_inside.h"

#include "sandglass/sheet.h"

enum { MOST_LINES = 100000 };

/* A stock of the rest while what is begun is laid on it. */
struct laying {
    const struct sg_shop *shop;
    const struct sg_actual *actual;
    int32_t clock; /* that cut it last */
    struct sg_stock *to;
    struct sg_part *parts; /* of it, quantities what is left */
    struct sg_begun *begun;
    double *shares; /* of each line, one piece */
    int32_t n;
};

/* Its part from the first of its stock on; *last is the one of the line before. SG_UNKNOWN: none. */
static int32_t part_of(const struct laying *l, int32_t clock, const struct sg_lies *lies, int32_t *last)
{
    int32_t part = sg_actual_part_of_line(l->shop, l->actual, clock, lies, *last);
    if (part == SG_UNKNOWN)
        return SG_UNKNOWN;
    *last = part;
    return part - l->shop->stocks[l->actual->clocks[clock].stock].first_part;
}

/* Of so many pieces no more than are asked for and have no place yet. */
static int32_t allowed(const struct sg_part *part, int64_t pieces)
{
    int32_t most = part->quantity - part->uncounted - part->begun;
    return pieces < most ? (int32_t)pieces : most;
}

/* ---- loads that nobody counted ---- */

static void take_uncounted(struct laying *l, int32_t clock)
{
    struct sg_lies lies = SG_LIES_START;
    int32_t last = SG_UNKNOWN;
    for (const char *text = l->shop->clocks[clock].lies; sg_lies_next(&text, &lies);) {
        int32_t part = part_of(l, clock, &lies, &last);
        if (part != SG_UNKNOWN)
            l->parts[part].uncounted += allowed(&l->parts[part], (int64_t)lies.pieces * lies.loads);
    }
}

static void take_all_uncounted(struct laying *l)
{
    for (int32_t i = l->clock; i != SG_UNKNOWN && l->actual->clocks[i].from >= l->actual->since;
         i = sg_actual_cut_before(l->shop, l->actual, i))
        if (sg_actual_uncounted(l->shop, l->actual, i))
            take_uncounted(l, i);
}

/* ---- loads that are cut in part ---- */

/* Lines of a text, each load of a group counted. */
static int64_t count_lines(const char *text)
{
    struct sg_lies lies = SG_LIES_START;
    int64_t n = 0;
    while (sg_lies_next(&text, &lies))
        n += lies.loads;
    return n;
}

/* Pieces of a line that are left on one load of its group. */
static int64_t left_on(const struct laying *l, const struct sg_lies *lies, int32_t part, int32_t load)
{
    int32_t index = l->shop->stocks[l->actual->clocks[l->clock].stock].first_part + part;
    int64_t all = (int64_t)lies->pieces * lies->loads;
    int64_t counted = all - sg_actual_left_of_line(l->shop, l->actual, l->clock, lies, index);
    int64_t here = counted - (int64_t)load * lies->pieces;
    return here <= 0 ? lies->pieces : here < lies->pieces ? lies->pieces - here : 0;
}

/* The lines of a group for one of its loads; text is behind them then. */
static void lay_load(struct laying *l, const char **text, struct sg_lies *lies, int32_t load)
{
    int32_t group = SG_UNKNOWN, last = SG_UNKNOWN, before = l->n;
    double left_share = 0, all_share = 0;
    struct sg_lies line = *lies;
    for (const char *at = *text; sg_lies_next(&at, &line); *text = at, *lies = line) {
        if (group != SG_UNKNOWN && line.group != group)
            break;
        group = line.group;
        int32_t part = part_of(l, l->clock, &line, &last);
        if (part == SG_UNKNOWN)
            continue;
        int32_t left = allowed(&l->parts[part], left_on(l, &line, part, load));
        all_share += line.pieces * line.share;
        left_share += left * line.share;
        if (left <= 0)
            continue;
        int32_t cuts = (int32_t)sg_stack_cuts(l->to->stack, left);
        l->parts[part].begun += left;
        l->parts[part].begun_cuts += cuts;
        l->shares[l->n] = line.share;
        l->begun[l->n++] =
            (struct sg_begun){.load = l->to->begun_loads, .part = part, .pieces = left, .cuts = cuts};
    }
    if (l->n > before && l->to->begun_loads++ == 0)
        l->to->begun_share = all_share > 0 ? left_share / all_share : 0;
}

/* Load after load, those of a group one after another. */
static void lay_loads(struct laying *l)
{
    struct sg_lies start = SG_LIES_START;
    const char *text = l->shop->clocks[l->clock].lies;
    for (;;) {
        struct sg_lies first = start, end = start;
        const char *peek = text, *behind = text;
        if (!sg_lies_next(&peek, &first))
            return;
        for (int32_t load = 0; load < first.loads; load++) {
            behind = text;
            end = start;
            lay_load(l, &behind, &end, load);
        }
        text = behind;
        start = end;
    }
}

/* What is cut though it is not counted: the first lines, for as long as it was cut. */
static void cut_some(struct laying *l)
{
    double planned = sg_clock_planned(&l->shop->clocks[l->clock]);
    double share = sg_actual_gone(l->shop, l->actual, l->clock) / planned;
    for (int32_t i = 0; i < l->n && share > 0; i++) {
        double all = l->shares[i] * l->begun[i].pieces;
        double part = share < all ? share / all : 1;
        l->begun[i].cut = part * l->begun[i].cuts;
        l->parts[l->begun[i].part].begun_cut += l->begun[i].cut;
        share -= part * all;
    }
}

static bool lay_half_cut(struct laying *l, struct sg_arena *arena)
{
    int64_t most = count_lines(l->shop->clocks[l->clock].lies);
    if (most == 0 || most > MOST_LINES)
        return true;
    l->begun = sg_arena_take(arena, (size_t)most * sizeof *l->begun);
    l->shares = sg_arena_take(arena, (size_t)most * sizeof *l->shares);
    if (!l->begun || !l->shares)
        return false;
    lay_loads(l);
    cut_some(l);
    l->to->begun = l->begun;
    l->to->n_begun = l->n;
    return true;
}

bool sg_actual_lay_begun(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                         struct sg_arena *arena, struct sg_stock *to, struct sg_part *parts)
{
    bool on;
    struct laying l = {.shop = shop,
                       .actual = actual,
                       .clock = sg_actual_last_cut(shop, actual, stock),
                       .to = to,
                       .parts = parts};
    to->loads_before = sg_actual_next_sheet(shop, actual, stock, &on) - 1;
    if (l.clock < 0)
        return true;
    take_all_uncounted(&l);
    return !sg_actual_half_cut(shop, actual, l.clock) || lay_half_cut(&l, arena);
}
