/* Typing numbers into a draft and planning asks for no memory. */
#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* RTLD_NEXT */
#endif
#include "edit/drafting.h"

#include <dlfcn.h>

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__) || defined(SANITIZED)
#define COUNT_CALLS 0
#else
#define COUNT_CALLS 1
#endif

/* ---- calls of the allocator, counted ---- */

#if COUNT_CALLS
static volatile long allocations; /* volatile: a compiler knows malloc and thinks it changes nothing here */

static void *next_function(const char *name)
{
    void *found = dlsym(RTLD_NEXT, name);
    if (!found)
        abort();
    return found;
}

void *malloc(size_t size)
{
    static void *(*real)(size_t);
    if (!real) {
        void *found = next_function("malloc");
        memcpy(&real, &found, sizeof real);
    }
    allocations++;
    return real(size);
}

void *realloc(void *old, size_t size)
{
    static void *(*real)(void *, size_t);
    if (!real) {
        void *found = next_function("realloc");
        memcpy(&real, &found, sizeof real);
    }
    allocations++;
    return real(old, size);
}

void *calloc(size_t n, size_t size)
{
    static void *(*real)(size_t, size_t);
    static bool looking;
    if (looking)
        return NULL; /* asked for by dlsym itself, which can do without */
    if (!real) {
        looking = true;
        void *found = next_function("calloc");
        looking = false;
        memcpy(&real, &found, sizeof real);
    }
    allocations++;
    return real(n, size);
}
#endif

#if COUNT_CALLS
enum { MOST_PARTS = 600 };

/* Outlines that are tried against each other take memory while they are: here boxes alone are laid out. */
static void lay_out_boxes(void)
{
    const char *const boxes = "interlock=no";
    struct sg_change change;
    struct sg_target target;
    struct sg_error why;
    for (int32_t i = 0; i < mirror.shop.n_stocks; i++) {
        char key[400];
        sg_key_write(&mirror.shop, (struct sg_target){SG_KIND_STOCK, i}, key, sizeof key);
        if (sg_draft_set(draft, key, &boxes, 1, &change, &target, &why) != SG_OK)
            ck_abort_msg("%s", why.text);
    }
}

static void type_numbers(int n)
{
    static const struct {
        const char *field;
        double low, step;
    } numbers[] = {{"quantity", 1, 1}, {"cut_length", 5, 0.5}, {"pierces", 0, 1}, {"edge", 1, 0.05}};
    const struct sg_plan *plan;
    struct sg_typed typed;
    char text[32];
    for (int i = 0; i < n; i++) {
        const struct sg_target part = {SG_KIND_PART, i * 7 % mirror.shop.n_parts}, head = {SG_KIND_HEAD, 0};
        /* what an outline measures is not typed */
        const int field = mirror.shop.parts[part.index].outline == SG_UNKNOWN ? i % 4 : 0;
        snprintf(text, sizeof text, "%g", numbers[field].low + numbers[field].step * (i % 40));
        sg_draft_type(draft, part, sg_field_find(SG_KIND_PART, numbers[field].field), text, &typed);
        if (i % 50 == 0) {
            snprintf(text, sizeof text, "%d ksi", 40 + i % 15);
            sg_draft_type(draft, head, sg_field_find(SG_KIND_HEAD, "pressure"), text, &typed);
        }
        if (typed.state != SG_PARSE_WHOLE || sg_draft_plan(draft, 0, &plan, NULL) != SG_OK)
            ck_abort_msg("%s: %s", text, typed.text);
    }
}

START_TEST(a_thousand_numbers_typed_and_planned_ask_for_no_memory)
{
    long before = allocations;
    void *volatile taken = malloc(10);
    free(taken);
    ck_assert_int_gt(allocations, before); /* calls are counted at all */
    lay_out_boxes();
    type_numbers(1000);
    before = allocations;
    type_numbers(1000);
    ck_assert_int_eq(allocations - before, 0);
}
END_TEST

START_TEST(numbers_typed_into_all_rows_at_once_ask_for_no_memory)
{
    static struct sg_target targets[MOST_PARTS];
    const struct sg_field *quantity = sg_field_find(SG_KIND_PART, "quantity");
    const struct sg_plan *plan;
    struct sg_typed typed;
    long before = 0;
    const int n = mirror.shop.n_parts;
    ck_assert_int_le(n, MOST_PARTS);
    lay_out_boxes();
    for (int i = 0; i < n; i++)
        targets[i] = (struct sg_target){SG_KIND_PART, n - 1 - i};
    for (int i = 0; i < 60; i++) {
        char text[8];
        if (i == 30)
            before = allocations;
        snprintf(text, sizeof text, "%d", 1 + i % 30);
        sg_draft_type_rows(draft, targets, n, quantity, text, &typed);
        if (typed.state != SG_PARSE_WHOLE || sg_draft_plan(draft, 0, &plan, NULL) != SG_OK)
            ck_abort_msg("%s: %s", text, typed.text);
    }
    ck_assert_int_eq(allocations - before, 0);
}
END_TEST
#endif

int main(void)
{
    Suite *suite = suite_create("memory of drafts");
    TCase *lines = on_shop(suite, "500 lines", open_lines);
#if COUNT_CALLS
    tcase_add_test(lines, a_thousand_numbers_typed_and_planned_ask_for_no_memory);
    tcase_add_test(lines, numbers_typed_into_all_rows_at_once_ask_for_no_memory);
#else
    (void)lines; /* the sanitizer has an allocator of its own */
#endif
    return run(suite);
}
