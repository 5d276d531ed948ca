#include "support/shop.h"

#include <stdlib.h>
#include <string.h>

#define UNKNOWN ((double)NAN)

static const char *const ids[] = {"A", "B", "C", "D", "E", "F", "G", "H"};

#define TEST_PI 3.14159265358979323846

static struct sg_segment plate_segments[] = {
    {.x0 = 60, .y0 = 30, .x1 = 60, .y1 = 30, .cx = 50, .cy = 30, .sweep = 2 * TEST_PI},
    {.x0 = 0, .y0 = 0, .x1 = 100, .y1 = 0},
    {.x0 = 100, .y0 = 0, .x1 = 100, .y1 = 60},
    {.x0 = 100, .y0 = 60, .x1 = 0, .y1 = 60},
    {.x0 = 0, .y0 = 60, .x1 = 0, .y1 = 0},
};

static struct sg_contour plate_contours[] = {
    {.first = 0,
     .n = 1,
     .closed = true,
     .inner = true,
     .depth = 1,
     .outside = 1,
     .length = 20 * TEST_PI,
     .area = 100 * TEST_PI,
     .box = {40, 20, 60, 40}},
    {.first = 1,
     .n = 4,
     .closed = true,
     .outside = SG_UNKNOWN,
     .length = 320,
     .area = 6000,
     .box = {0, 0, 100, 60},
     .corners = 4},
};

const struct sg_outline test_plate = {.segments = plate_segments,
                                      .n_segments = 5,
                                      .contours = plate_contours,
                                      .n_contours = 2,
                                      .closed = 2,
                                      .pierces = 2,
                                      .cut_length = 320 + 20 * TEST_PI,
                                      .box = {0, 0, 100, 60},
                                      .area = 6000 - 100 * TEST_PI,
                                      .corners = 4,
                                      .smallest_radius = 10};

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
                               .rates = sg_fresh_rates,
                               .n_materials = 4,
                               .n_heads = 2,
                               .n_shifts = 1,
                               .materials = t->materials,
                               .heads = t->heads,
                               .shifts = t->shifts,
                               .drawn = t->drawn};
    test_shop_drawn(t, "plate.dxf", &test_plate, false);
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

int32_t test_shop_drawn(struct test_shop *t, const char *name, const struct sg_outline *outline, bool program)
{
    int32_t index = t->shop.n_drawn++;
    size_t size = sg_outline_pack(outline, NULL);
    unsigned char *bytes = malloc(size);
    if (!bytes || index >= TEST_DRAWN)
        abort();
    sg_outline_pack(outline, bytes);
    t->drawn[index] = (struct sg_drawn){.row = index + 1,
                                        .name = name,
                                        .outline = outline,
                                        .print = sg_outline_print(bytes, size),
                                        .program = program,
                                        .rapid_length = program ? 0 : UNKNOWN};
    free(bytes);
    return index;
}

void test_shop_break(struct test_shop *t, double from_s, double to_s)
{
    struct sg_calendar *calendar = &t->shifts[0].calendar;
    calendar->breaks[calendar->n_breaks].from_s = from_s;
    calendar->breaks[calendar->n_breaks].to_s = to_s;
    calendar->n_breaks++;
}
