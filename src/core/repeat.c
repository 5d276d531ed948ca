#include "sandglass/repeat.h"

#include "sandglass/field.h"
#include "sandglass/number.h"

#include <stdio.h>

/* What was clocked of one stock. */
struct clocked {
    int32_t cuts, loads, checks;
    double took, planned;
    double natural; /* s of cutting at an override of 1, or, with typed feeds, at those */
    double fixed;   /* s of pierces and rapids */
    double load, check;
};

static void add_cut(struct clocked *c, const struct sg_clock *clock, const struct sg_actual_run *run,
                    bool feed)
{
    double cut = (clock->planned_cut + clock->planned_corner + clock->planned_acceleration) * run->scale;
    if (!(run->planned > 0) || !(run->took > 0))
        return;
    c->cuts++;
    c->took += run->took;
    c->planned += run->planned;
    c->natural += cut * (feed ? 1 : clock->feed_override);
    c->fixed += clock->cut_only ? 0 : run->planned - cut;
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

static struct clocked clocked_of(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                                 bool feed)
{
    struct clocked c = {0};
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        const struct sg_clock *clock = &shop->clocks[i];
        const struct sg_actual_clock *was = &actual->clocks[i];
        struct sg_actual_run run;
        if (!was->happened || was->running || sg_actual_stock(shop, clock->place) != stock)
            continue;
        if (sg_actual_run_of(shop, actual, i, &run) == SG_LEFT_NOTHING)
            add_cut(&c, clock, &run, feed);
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
    struct clocked c = clocked_of(shop, actual, index, feed);
    *out = (struct sg_took){.clocks = c.cuts,
                            .planned = c.planned,
                            .took = c.took,
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
    char took_text[40], planned[40], before[80], after[80];
    const char *name = took->feed ? "feed" : "feed_override";
    const struct sg_field *field = sg_field_find(SG_KIND_STOCK, name);
    struct sg_value old = {.number = {took->before}}, new = {.number = {took->after}};
    if (took->clocks == 0)
        return snprintf(out, size, "no cut of it was clocked to its end: as it was planned");
    sg_duration_format(took->took, took_text, sizeof took_text);
    sg_duration_format(took->planned, planned, sizeof planned);
    sg_field_show(field, shop, &old, before, sizeof before);
    sg_field_show(field, shop, &new, after, sizeof after);
    int used = snprintf(out, size, "%s of %s planned (x %.2f) in %d clocked cut%s: ", took_text, planned,
                        took->took / took->planned, took->clocks, took->clocks == 1 ? "" : "s");
    size_t at = used < (int)size ? (size_t)used : size;
    if (took->held)
        return used + snprintf(out + at, size - at, "%s stays %s, as no other gives that time", name, before);
    return used + snprintf(out + at, size - at, "%s %s -> %s", name, before, after);
}
