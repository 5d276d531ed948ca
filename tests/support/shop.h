/* A shop built in memory for a test. */
#ifndef SANDGLASS_TESTS_SHOP_H
#define SANDGLASS_TESTS_SHOP_H

#include "sandglass/outline.h"
#include "sandglass/shop.h"

enum { TEST_MATERIALS = 24, TEST_HEADS = 4, TEST_SHIFTS = 3, TEST_DRAWN = 8 };

/* A plate of 100 x 60 mm with a round hole of 20 mm in its middle, which is cut first: 320 + 20 pi mm to cut,
 * 6000 - 100 pi mm2. The plate begins at its lower left corner, the hole at its right. */
extern const struct sg_outline test_plate;

/* Fresh machine and heads, one shift 06:00 to 14:00, no jobs; four materials: 0 "steel, mild", 1 "aluminium
 * 6061", 2 "glass, float", 3 "foam, polyethylene"; one outline, test_plate as "plate.dxf". */
struct test_shop {
    struct sg_shop shop;
    struct sg_material materials[TEST_MATERIALS];
    struct sg_head heads[TEST_HEADS];
    struct sg_shift shifts[TEST_SHIFTS];
    struct sg_drawn drawn[TEST_DRAWN];
    int32_t jobs_room, stocks_room, parts_room;
};

void test_shop_make(struct test_shop *out);
void test_shop_free(struct test_shop *shop);

/* Add a fresh row behind the last one and return it; the pointer holds until the next add of its kind. A
 * stock goes to the last job, a part to the last stock. */
struct sg_job *test_shop_job(struct test_shop *shop, int32_t shift);
struct sg_stock *test_shop_stock(struct test_shop *shop, int32_t material, double thickness_mm);
struct sg_part *test_shop_part(struct test_shop *shop, int32_t quantity, double cut_length_mm,
                               double length_mm, double width_mm);

/* One more outline, which stays the caller's; its index. */
int32_t test_shop_drawn(struct test_shop *shop, const char *name, const struct sg_outline *outline,
                        bool program);

/* A break of the first shift, seconds after its start. */
void test_shop_break(struct test_shop *shop, double from_s, double to_s);

#endif
