#include "sandglass/repeat.h"

#include "sandglass/field.h"
#include "sandglass/number.h"
#include "sandglass/setup.h"
#include "sandglass/traverse.h"

#include <math.h>
#include <stdio.h>

/* What was clocked of one stock. */
struct clocked {
    int32_t cuts, loads, checks;
    double took, planned;
    double natural; /* s now of cutting at an override of 1, or, with typed feeds, at those */
    double fixed;   /* s now of pierces and rapids */
    double load, check;
};

/* A stock as the shop plans it now, at an override of 1. */
struct present {
    struct sg_setup setup;
    double feed;    /* the typed feed of the stock; NaN */
    bool own_feeds; /* parts have a feed of their own: a clock is a mixture */
};

static struct present present_of(const struct sg_shop *shop, const struct sg_stock *stock)
{
    struct present now = {.feed = stock->feed};
    struct sg_machine machine = shop->machine;
    struct sg_stock plain = *stock;
    plain.feed_override = 1;
    machine.top_feed = (double)INFINITY; /* what it took says itself how fast it was */
    sg_setup_compute(&machine, &shop->heads[sg_setup_head(shop, stock)],
                     stock->material == SG_UNKNOWN ? NULL : &shop->materials[stock->material], &plain,
                     &now.setup);
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        now.own_feeds = now.own_feeds || sg_known(shop->parts[i].feed);
    return now;
}

/* By how much longer the plan of a clock's cutting is now, at an override of 1 or the typed feed, than it was
 * then. What the clock does not tell is as it was. */
static double longer_now(const struct present *now, const struct sg_clock *clock)
{
    double then = clock->cut_length / clock->planned_cut * 60;
    double edge = now->setup.abrasive ? sg_edge_factor(clock->edge) : 1;
    double feed = sg_known(now->feed) ? now->feed : now->setup.separation * edge;
    double longer = then / feed;
    if (now->own_feeds || !(longer > 0) || !isfinite(longer))
        return sg_known(now->feed) ? 1 : clock->feed_override;
    return longer;
}

/* s of a clock's pierces by the shop's numbers now; those that were typed, and water's, which go with the
 * speed that is looked for, are as they were. */
static double pierces_now(const struct present *now, const struct sg_clock *clock)
{
    double seconds = clock->pierces * now->setup.pierce;
    bool fitted = clock->head_kind == SG_HEAD_ABRASIVE && now->setup.abrasive &&
                  clock->pierce != SG_UNKNOWN && clock->pierces > 0 && isfinite(seconds);
    return fitted ? seconds : clock->planned_pierce;
}

static void add_cut(struct clocked *c, const struct sg_clock *clock, const struct sg_actual_run *run,
                    const struct present *now)
{
    double cut = (clock->planned_cut + clock->planned_corner + clock->planned_acceleration) * run->scale;
    if (!(run->planned > 0) || !(run->took > 0))
        return;
    c->cuts++;
    c->took += run->took;
    c->planned += run->planned;
    c->natural += cut * longer_now(now, clock);
    c->fixed += clock->cut_only ? 0 : (pierces_now(now, clock) + clock->planned_rapid) * run->scale;
}

/* Of loads and first checks. */
static void add_hands(struct clocked *c, const struct sg_clock *clock, const struct sg_actual_clock *actual)
{
    double net = sg_actual_net(actual);
    if (clock->phase == SG_PHASE_LOAD) {
        c->loads += clock->sheets;
        c->load += net;
    } else {
        c->checks++;
        c->check += net;
    }
}

static struct clocked clocked_of(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock)
{
    const struct present now = present_of(shop, &shop->stocks[stock]);
    struct clocked c = {0};
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        const struct sg_clock *clock = &shop->clocks[i];
        const struct sg_actual_clock *was = &actual->clocks[i];
        struct sg_actual_run run;
        if (!was->happened || was->running || sg_actual_stock(shop, clock->place) != stock)
            continue;
        if (sg_actual_run_of(shop, actual, i, &run) == SG_LEFT_NOTHING)
            add_cut(&c, clock, &run, &now);
        else if (clock->phase != SG_PHASE_CUT && !was->mended)
            add_hands(&c, clock, was);
    }
    return c;
}

static bool holds(const char *name, double value)
{
    struct sg_value typed = {.number = {value}};
    return sg_field_in_range(sg_field_find(SG_KIND_STOCK, name), &typed);
}

static void speed(const struct clocked *c, struct sg_stock *stock, struct sg_part *parts, struct sg_took *out)
{
    double cutting = c->took - c->fixed, faster = c->natural / cutting;
    out->before = out->feed ? stock->feed : stock->feed_override;
    out->after = out->feed ? stock->feed * faster : faster;
    out->held = c->cuts == 0 || !(cutting > 0) || !(faster > 0) ||
                !holds(out->feed ? "feed" : "feed_override", out->after);
    if (out->held) {
        out->after = out->before;
        return;
    }
    if (out->feed)
        stock->feed = out->after;
    else
        stock->feed_override = out->after;
    for (int32_t i = 0; i < stock->n_parts; i++) /* a feed of their own wins over both */
        if (sg_known(parts[i].feed) && holds("feed", parts[i].feed * out->after / out->before))
            parts[i].feed *= out->after / out->before;
}

void sg_took_stock(const struct sg_shop *shop, const struct sg_actual *actual, int32_t index,
                   struct sg_stock *stock, struct sg_part *parts, struct sg_took *out)
{
    bool feed = sg_known(stock->feed);
    struct clocked c = clocked_of(shop, actual, index);
    *out = (struct sg_took){.clocks = c.cuts,
                            .planned = c.planned,
                            .took = c.took,
                            .planned_now = c.natural / (feed ? 1 : stock->feed_override) + c.fixed,
                            .feed = feed,
                            .load = c.loads > 0 ? c.load / c.loads : (double)NAN,
                            .first_check = c.checks > 0 ? c.check / c.checks : (double)NAN};
    speed(&c, stock, parts, out);
    if (sg_known(out->load) && holds("load", out->load))
        stock->load = out->load;
    if (sg_known(out->first_check) && holds("first_check", out->first_check))
        stock->first_check = out->first_check;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        const struct sg_actual_part *done = &actual->parts[stock->first_part + i];
        if (done->good + done->scrapped > 0)
            parts[i].scrap = (int32_t)fmin((double)done->scrapped, 1e6);
    }
}

int sg_took_text(const struct sg_shop *shop, const struct sg_took *took, char *out, size_t size)
{
    char took_text[40], planned[40], planned_now[40], before[80], after[80];
    const char *name = took->feed ? "feed" : "feed_override";
    const struct sg_field *field = sg_field_find(SG_KIND_STOCK, name);
    struct sg_value old = {.number = {took->before}}, new = {.number = {took->after}};
    if (took->clocks == 0)
        return snprintf(out, size, "no cut of it was clocked to its end: as it was planned");
    sg_duration_format(took->took, took_text, sizeof took_text);
    sg_duration_format(took->planned, planned, sizeof planned);
    sg_field_show(field, shop, &old, before, sizeof before);
    sg_field_show(field, shop, &new, after, sizeof after);
    sg_duration_format(took->planned_now, planned_now, sizeof planned_now);
    bool same = fabs(took->planned_now - took->planned) < 0.005 * took->planned;
    int used =
        snprintf(out, size, "%s of %s planned%s (x %.2f)%s%s%s in %d clocked cut%s: ", took_text, planned,
                 same ? "" : " then", took->took / took->planned, same ? "" : ", ", same ? "" : planned_now,
                 same ? "" : " now,", took->clocks, took->clocks == 1 ? "" : "s");
    size_t at = used < (int)size ? (size_t)used : size;
    if (took->held)
        return used + snprintf(out + at, size - at, "%s stays %s, as no other gives that time", name, before);
    return used + snprintf(out + at, size - at, "%s %s -> %s", name, before, after);
}
