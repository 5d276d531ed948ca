/* Outlines as bytes: back they are what they were, and bytes from a stranger do no harm. */
#include "support/random_outline.h"

#include "sandglass/motion.h"
#include "sandglass/shop.h"

#include <stdlib.h>
#include <string.h>

static struct random r;
static struct sg_arena arena;

static void set_up(void)
{
    r = (struct random){20261204};
}

static void tear_down(void)
{
    sg_arena_free(&arena);
}

/* ---- what goes in comes out ---- */

static unsigned char *packed(const struct sg_outline *outline, size_t *size)
{
    *size = sg_outline_pack(outline, NULL);
    unsigned char *bytes = malloc(*size + 8);
    memset(bytes + *size, 0xA5, 8);
    ck_assert_uint_eq(sg_outline_pack(outline, bytes), *size);
    for (int i = 0; i < 8; i++)
        ck_assert_msg(bytes[*size + (size_t)i] == 0xA5, "a byte is written behind the end");
    return bytes;
}

static bool same_numbers(const double *a, const double *b, size_t n)
{
    return memcmp(a, b, n * sizeof *a) == 0;
}

static void ck_same_segment(const struct sg_segment *a, const struct sg_segment *b)
{
    const double x[] = {a->x0, a->y0, a->x1, a->y1, a->sweep}, y[] = {b->x0, b->y0, b->x1, b->y1, b->sweep};
    ck_assert(same_numbers(x, y, 5) && a->fitted == b->fitted);
    if (sg_is_arc(a)) /* a line has no centre */
        ck_assert(same_numbers(&a->cx, &b->cx, 1) && same_numbers(&a->cy, &b->cy, 1));
}

static void ck_same_contour(const struct sg_contour *a, const struct sg_contour *b)
{
    const double x[] = {a->length, a->area}, y[] = {b->length, b->area};
    ck_assert(a->first == b->first && a->n == b->n && a->closed == b->closed && a->inner == b->inner &&
              a->clockwise == b->clockwise);
    ck_assert(a->depth == b->depth && a->outside == b->outside && a->corners == b->corners);
    ck_assert(same_numbers(x, y, 2) && same_numbers(a->box, b->box, 4));
}

static void ck_same(const struct sg_outline *a, const struct sg_outline *b)
{
    const double x[] = {a->cut_length, a->area, a->smallest_radius},
                 y[] = {b->cut_length, b->area, b->smallest_radius};
    ck_assert(a->n_segments == b->n_segments && a->n_contours == b->n_contours);
    ck_assert(a->closed == b->closed && a->open == b->open && a->pierces == b->pierces);
    ck_assert(a->corners == b->corners && same_numbers(x, y, 3) && same_numbers(a->box, b->box, 4));
    for (int64_t i = 0; i < a->n_segments; i++)
        ck_same_segment(&a->segments[i], &b->segments[i]);
    for (int32_t i = 0; i < a->n_contours; i++)
        ck_same_contour(&a->contours[i], &b->contours[i]);
}

static void ck_comes_back(const struct sg_outline *outline)
{
    size_t size, again_size;
    struct sg_outline again;
    struct sg_error error = {.text = ""};
    unsigned char *bytes = packed(outline, &size), *twice;
    ck_assert_msg(sg_outline_unpack(bytes, size, &arena, &again, &error) == SG_OK, "%s", error.text);
    ck_same(outline, &again);
    twice = packed(&again, &again_size);
    ck_assert(size == again_size && memcmp(bytes, twice, size) == 0);
    free(bytes);
    free(twice);
}

START_TEST(a_packed_outline_comes_back_bit_for_bit)
{
    int open = 0, holes = 0, islands = 0;
    for (int i = 0; i < 300; i++) {
        struct sg_outline outline = {0};
        random_outline(&r, &outline);
        open += outline.open > 0;
        for (int32_t k = 0; k < outline.n_contours; k++) {
            holes += outline.contours[k].depth == 1;
            islands += outline.contours[k].depth == 2;
        }
        ck_assert(i % 2 || sg_outline_arrange(&outline, 10));
        ck_comes_back(&outline);
        sg_outline_free(&outline);
    }
    ck_assert(open > 50 && holes > 300 && islands > 50); /* all kinds are among them */
}
END_TEST

START_TEST(an_outline_without_contours_comes_back)
{
    struct sg_outline none = {.box = {(double)NAN, (double)NAN, (double)NAN, (double)NAN},
                              .smallest_radius = (double)NAN};
    ck_comes_back(&none);
}
END_TEST

/* Readers may give an arc a rounding more than one turn, which sg_outline_make takes. */
START_TEST(what_can_be_made_can_be_packed)
{
    static struct drawing drawing;
    static const double turns[] = {2 * 3.14159265358979323846, 2 * 3.14159265358979323846 + 9e-10,
                                   -2 * 3.14159265358979323846 - 9e-10};
    for (size_t i = 0; i < sizeof turns / sizeof *turns; i++) {
        struct sg_outline outline = {0};
        drawing.n = 0;
        draw(&drawing, circle(50, 30, 10, false));
        drawing.segments[0].sweep = turns[i];
        draw(&drawing, line(-1e9, 1e9, 1e9, -1e9));
        draw(&drawing, (struct sg_segment){0, 0, 10, 0, 5, 1e9, 1e-8, false});
        outline_of(&drawing, &outline);
        ck_comes_back(&outline);
        sg_outline_free(&outline);
    }
}
END_TEST

/* The same bytes on every machine: the low byte first. Written here by hand. */
START_TEST(bytes_are_those_of_the_format)
{
    static struct drawing drawing;
    struct sg_outline outline = {0};
    size_t size;
    drawing.n = 0;
    draw(&drawing, line(1, 0, 3, 0));
    outline_of(&drawing, &outline);
    unsigned char *bytes = packed(&outline, &size);
    static const unsigned char head[] = {'s', 'g', 'd', 'r', 'a', 'w', 'n',         '1', 1, 0, 0, 0, 1, 0,
                                         0,   0,   0,   0,   0,   0,   /* 2.0 */ 0, 0,   0, 0, 0, 0, 0, 0x40};
    static const unsigned char segment[] = {0,    /* 1, 0, 3, 0 */ 0,
                                            0,    0,
                                            0,    0,
                                            0,    0xF0,
                                            0x3F, 0,
                                            0,    0,
                                            0,    0,
                                            0,    0,
                                            0,    0,
                                            0,    0,
                                            0,    0,
                                            0,    0x08,
                                            0x40, 0,
                                            0,    0,
                                            0,    0,
                                            0,    0,
                                            0};
    ck_assert_uint_eq(size, 84 + 77 + 33);
    ck_assert(memcmp(bytes, head, sizeof head) == 0);
    ck_assert(memcmp(bytes + 84 + 77, segment, sizeof segment) == 0);
    free(bytes);
    sg_outline_free(&outline);
}
END_TEST

/* FNV-1a of 64 bits; the first two values are those of its authors' table of test vectors, from memory. */
START_TEST(the_print_is_another_one_when_a_bit_is_another_one)
{
    unsigned char bytes[300];
    ck_assert_uint_eq(sg_outline_print((const unsigned char *)"", 0), 0xcbf29ce484222325u);
    ck_assert_uint_eq(sg_outline_print((const unsigned char *)"a", 1), 0xaf63dc4c8601ec8cu);
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (unsigned char)random_bits(&r);
    uint64_t print = sg_outline_print(bytes, sizeof bytes);
    for (size_t i = 0; i < 8 * sizeof bytes; i++) {
        bytes[i / 8] ^= (unsigned char)(1 << i % 8);
        ck_assert_uint_ne(sg_outline_print(bytes, sizeof bytes), print);
        bytes[i / 8] ^= (unsigned char)(1 << i % 8);
    }
}
END_TEST

/* ---- what others may put there ---- */

/* All that the planner does with an outline. */
static void use(const struct sg_outline *o)
{
    static struct sg_motion_memory *memory;
    struct sg_motion motion;
    double length, x, y;
    const struct sg_motion_limits limits = {
        .feed = 5, .top = 100, .acceleration = 500, .deviation = SG_DEVIATION, .lag = 2, .error = 0.1};
    if (!memory)
        memory = sg_motion_memory_new();
    ck_assert(sg_motion_outline(o, &limits, memory, &motion));
    sg_outline_leads(o, 5);
    for (int32_t i = 0; i < o->n_contours; i++)
        sg_outline_pierce(o, i, 5, &x, &y);
    sg_outline_rapid(o, 5, 100, 100, 500, &length);
}

static void ck_valid(const struct sg_outline *o)
{
    ck_assert(o->n_contours >= 0 && o->n_segments >= 0 && o->cut_length >= 0 && o->corners >= 0);
    ck_assert(o->closed + o->open == o->n_contours && o->pierces == o->n_contours);
    for (int32_t i = 0; i < o->n_contours; i++) {
        const struct sg_contour *c = &o->contours[i];
        ck_assert(c->first >= 0 && c->n > 0 && c->first + c->n <= o->n_segments);
        ck_assert(c->outside == SG_UNKNOWN || (c->outside >= 0 && c->outside < o->n_contours));
        ck_assert(c->depth >= 0 && c->depth < o->n_contours && c->length >= 0 && c->area >= 0);
        ck_assert(c->corners >= 0 && c->box[0] <= c->box[2] && c->box[1] <= c->box[3]);
    }
    for (int64_t i = 0; i < o->n_segments; i++) {
        const struct sg_segment *s = &o->segments[i];
        ck_assert(fabs(s->x0) <= SG_OUTLINE_REACH && fabs(s->y1) <= SG_OUTLINE_REACH);
        ck_assert(fabs(s->sweep) <= 2 * pi + 1e-9);
    }
    use(o);
}

/* In a block of its own, so that a byte read behind it is found. */
static enum sg_status unpack(const unsigned char *bytes, size_t size, struct sg_outline *out)
{
    struct sg_error error = {.text = ""};
    unsigned char *own = malloc(size + (size == 0));
    memcpy(own, bytes, size);
    out->n_contours = -77;
    enum sg_status status = sg_outline_unpack(own, size, &arena, out, &error);
    free(own);
    ck_assert(status == SG_OK ||
              (status == SG_BAD_DATA && strstr(error.text, "not the bytes of an outline")));
    ck_assert(status == SG_OK || out->n_contours == -77); /* untouched */
    return status;
}

START_TEST(bytes_cut_off_anywhere_are_refused)
{
    struct sg_outline outline = {0}, out;
    size_t size;
    random_outline(&r, &outline);
    unsigned char *bytes = packed(&outline, &size);
    for (size_t i = 0; i < size; i++)
        ck_assert_int_eq(unpack(bytes, i, &out), SG_BAD_DATA);
    ck_assert_int_eq(unpack(bytes, size, &out), SG_OK);
    ck_assert_int_eq(unpack(bytes, size + 1, &out), SG_BAD_DATA);
    free(bytes);
    sg_outline_free(&outline);
}
END_TEST

START_TEST(bytes_changed_at_random_are_refused_or_an_outline)
{
    int taken = 0, refused = 0;
    for (int round = 0; round < 20; round++) {
        struct sg_outline outline = {0}, out;
        size_t size;
        random_outline(&r, &outline);
        unsigned char *bytes = packed(&outline, &size);
        for (int i = 0; i < 1000; i++) {
            unsigned at = random_below(&r, (unsigned)size), bit = random_below(&r, 8);
            unsigned char was = bytes[at];
            bytes[at] =
                random_below(&r, 2) ? was ^ (unsigned char)(1 << bit) : (unsigned char)random_bits(&r);
            bool good = unpack(bytes, size, &out) == SG_OK;
            if (good)
                ck_valid(&out);
            taken += good;
            refused += !good;
            bytes[at] = was;
            sg_arena_free(&arena);
        }
        free(bytes);
        sg_outline_free(&outline);
    }
    ck_assert(taken > 1000 && refused > 1000);
}
END_TEST

/* The counts stand at 8 and 12: no memory is taken for what the bytes cannot hold. */
START_TEST(counts_that_the_bytes_cannot_hold_are_refused)
{
    struct sg_outline outline = {0}, out;
    size_t size;
    random_outline(&r, &outline);
    unsigned char *bytes = packed(&outline, &size), *own = malloc(size);
    for (int at = 8; at < 20; at++)
        for (int byte = 0; byte < 256; byte++) {
            memcpy(own, bytes, size);
            own[at] = (unsigned char)byte;
            ck_assert_int_eq(unpack(own, size, &out), own[at] == bytes[at] ? SG_OK : SG_BAD_DATA);
        }
    free(bytes);
    free(own);
    sg_outline_free(&outline);
}
END_TEST

/* Of a contour, 77 bytes from 84 on, the depth stands behind 21: no contour lies in more than all others. One
 * more than the deepest number is none (the sanitizer tells). */
START_TEST(contours_deeper_than_there_are_any_are_refused)
{
    static struct drawing drawing;
    static const unsigned char depths[][4] = {
        {0xFF, 0xFF, 0xFF, 0x7F}, {0, 0, 0, 0x80}, {0xFF, 0xFF, 0xFF, 0xFF}, {2, 0, 0, 0}};
    struct sg_outline outline = {0}, out;
    size_t size;
    drawing.n = 0;
    draw(&drawing, circle(0, 0, 50, false));
    draw(&drawing, circle(0, 0, 20, false));
    outline_of(&drawing, &outline);
    ck_assert_int_eq(outline.n_contours, 2);
    unsigned char *bytes = packed(&outline, &size);
    for (size_t contour = 0; contour < 2; contour++)
        for (size_t i = 0; i < sizeof depths / sizeof *depths; i++) {
            unsigned char was[4], *at = bytes + 84 + 77 * contour + 21;
            memcpy(was, at, 4);
            memcpy(at, depths[i], 4);
            ck_assert_int_eq(unpack(bytes, size, &out), SG_BAD_DATA);
            memcpy(at, was, 4);
        }
    ck_assert_int_eq(unpack(bytes, size, &out), SG_OK);
    free(bytes);
    sg_outline_free(&outline);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outlines as bytes");
    TCase *tests = tcase_create("outlines as bytes");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_packed_outline_comes_back_bit_for_bit);
    tcase_add_test(tests, an_outline_without_contours_comes_back);
    tcase_add_test(tests, what_can_be_made_can_be_packed);
    tcase_add_test(tests, bytes_are_those_of_the_format);
    tcase_add_test(tests, the_print_is_another_one_when_a_bit_is_another_one);
    tcase_add_test(tests, bytes_cut_off_anywhere_are_refused);
    tcase_add_test(tests, bytes_changed_at_random_are_refused_or_an_outline);
    tcase_add_test(tests, counts_that_the_bytes_cannot_hold_are_refused);
    tcase_add_test(tests, contours_deeper_than_there_are_any_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
