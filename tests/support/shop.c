#include "support/shop.h"

#include <stdlib.h>
#include <string.h>

#define UNKNOWN ((double)NAN)

static const char *const ids[] = {"A", "B", "C", "D", "E", "F", "G", "H"};

static void *grown(void *array, int32_t *room, int32_t need, size_t item)
{
    if (need <= *room)
        return array;
    *room = need * 2;
    void *more = realloc(array, (size_t)*room * item);
    if (!more)
        abort();
    return more;
}

void test_shop_make(struct test_shop *t)
{
    static const struct sg_material materials[] = {
        {.name = "steel, mild",
         .aliases = "mild steel;carbon steel",
         .density = 7850,
         .machinability = 87.6,
         .cut_energy = UNKNOWN,
         .threshold = UNKNOWN,
         .pierce = SG_PIERCE_STILL,
         .head = SG_HEAD_ABRASIVE,
         .basis = SG_BASIS_RECALLED,
         .source = ""},
        {.name = "aluminium 6061",
         .aliases = "aluminum;aluminum 6061",
         .density = 2700,
         .machinability = 213,
         .cut_energy = UNKNOWN,
         .threshold = UNKNOWN,
         .pierce = SG_PIERCE_MOVING,
         .head = SG_HEAD_ABRASIVE,
         .hazards = SG_HAZARD_HYDROGEN,
         .basis = SG_BASIS_RECALLED,
         .source = ""},
        {.name = "glass, float",
         .aliases = "",
         .density = 2500,
         .machinability = 596,
         .cut_energy = UNKNOWN,
         .threshold = UNKNOWN,
         .pierce = SG_PIERCE_LOW,
         .head = SG_HEAD_ABRASIVE,
         .hazards = SG_HAZARD_BRITTLE | SG_HAZARD_TEMPERED,
         .basis = SG_BASIS_RECALLED,
         .source = ""},
        {.name = "foam, polyethylene",
         .aliases = "",
         .density = 35,
         .machinability = UNKNOWN,
         .cut_energy = 0.5,
         .threshold = UNKNOWN,
         .pierce = SG_PIERCE_STILL,
         .head = SG_HEAD_WATER,
         .water_possible = 1,
         .basis = SG_BASIS_ESTIMATE,
         .source = ""},
    };
    memset(t, 0, sizeof *t);
    memcpy(t->materials, materials, sizeof materials);
    memcpy(t->heads, sg_fresh_heads, sizeof sg_fresh_heads);
    t->shifts[0] = sg_fresh_shift;
    t->shifts[0].calendar = (struct sg_calendar){.epoch = 1.8e9, .close_s = 8 * 3600};
    t->shop = (struct sg_shop){.units = SG_UNITS_US,
                               .machine = sg_fresh_machine,
                               .n_materials = 4,
                               .n_heads = 2,
                               .n_shifts = 1,
                               .materials = t->materials,
                               .heads = t->heads,
                               .shifts = t->shifts};
}

void test_shop_free(struct test_shop *t)
{
    free(t->shop.jobs);
    free(t->shop.stocks);
    free(t->shop.parts);
}

struct sg_job *test_shop_job(struct test_shop *t, int32_t shift)
{
    struct sg_shop *shop = &t->shop;
    shop->jobs = grown(shop->jobs, &t->jobs_room, shop->n_jobs + 1, sizeof *shop->jobs);
    struct sg_job *job = &shop->jobs[shop->n_jobs];
    *job = sg_fresh_job;
    job->id = ids[(size_t)shop->n_jobs % (sizeof ids / sizeof *ids)];
    job->shift = shift;
    job->order = ++shop->n_jobs;
    job->first_stock = shop->n_stocks;
    return job;
}

struct sg_stock *test_shop_stock(struct test_shop *t, int32_t material, double thickness_mm)
{
    struct sg_shop *shop = &t->shop;
    shop->stocks = grown(shop->stocks, &t->stocks_room, shop->n_stocks + 1, sizeof *shop->stocks);
    struct sg_stock *stock = &shop->stocks[shop->n_stocks++];
    struct sg_job *job = &shop->jobs[shop->n_jobs - 1];
    *stock = sg_fresh_stock;
    stock->job = shop->n_jobs - 1;
    stock->number = ++job->n_stocks;
    stock->material = material;
    stock->thickness = thickness_mm;
    stock->first_part = shop->n_parts;
    return stock;
}

struct sg_part *test_shop_part(struct test_shop *t, int32_t quantity, double cut_length_mm, double length_mm,
                               double width_mm)
{
    struct sg_shop *shop = &t->shop;
    shop->parts = grown(shop->parts, &t->parts_room, shop->n_parts + 1, sizeof *shop->parts);
    struct sg_part *part = &shop->parts[shop->n_parts++];
    struct sg_stock *stock = &shop->stocks[shop->n_stocks - 1];
    *part = sg_fresh_part;
    part->id = ids[(size_t)stock->n_parts % (sizeof ids / sizeof *ids)];
    part->stock = shop->n_stocks - 1;
    part->quantity = quantity;
    part->cut_length = cut_length_mm;
    part->length = length_mm;
    part->width = width_mm;
    stock->n_parts++;
    return part;
}

void test_shop_break(struct test_shop *t, double from_s, double to_s)
{
    struct sg_calendar *calendar = &t->shifts[0].calendar;
    calendar->breaks[calendar->n_breaks].from_s = from_s;
    calendar->breaks[calendar->n_breaks].to_s = to_s;
    calendar->n_breaks++;
}
