/* What a new shop starts with, against the list in words. */
#include "sandglass/field.h"

#include "support/shop.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    enum sg_kind kind;
    const void *record;
    const char *field, *typed;
} fresh[] = {
#define M SG_KIND_MACHINE, &sg_fresh_machine
    {M, "table_width", "60 in"},
    {M, "table_length", "120 in"},
    {M, "z_travel", "8 in"},
    {M, "slat_load", "350 lb/ft2"},
    {M, "slat_pitch", "4 in"},
    {M, "top_feed", "400 in/min"},
    {M, "rapid", "400 in/min"},
    {M, "acceleration", "20 in/s2"},
    {M, "z_lift", "2 s"},
    {M, "hopper", "600 lb"},
    {M, "low_line", "60 lb"},
    {M, "hopper_level", "600 lb"},
    {M, "bag", "55 lb"},
    {M, "bags_in_stock", "20"},
    {M, "refill", "3 min"},
    {M, "refill_per_bag", "0:30"},
    {M, "refill_stops_cutting", "yes"},
    {M, "refill_at", "pieces"},
    {M, "refill_amount", "full"},
    {M, "refill_when", "latest"},
    {M, "head_change", "15 min"},
    {M, "index_move", "10 min"},
    {M, "tube_change", "10 min"},
    {M, "orifice_change", "10 min"},
    {M, "load_fixed", "5 min"},
    {M, "load_mass", "100 lb"},
    {M, "pump", "direct"},
    {M, "pump_power", "50 hp"},
    {M, "pump_efficiency", "90 %"},
    {M, "max_pressure", "58 ksi"},
    {M, "max_flow", "1 gpm"},
    {M, "head_fitted", "abrasive"},
    {M, "head_buffer", "0 kg"},
    {M, "edge_error", "0.50mm 0.25mm 0.15mm 0.10mm 0.05mm"},
    {M, "pierce_base", "1.5s 1.5s 4.5s 0.5s"},
    {M, "pierce_factor", "3 1.5 2 0"},
#define A SG_KIND_HEAD, &sg_fresh_heads[0]
    {A, "kind", "abrasive"},
    {A, "pressure", "55 ksi"},
    {A, "low_pressure", "15 ksi"},
    {A, "orifice", "0.013 in"},
    {A, "tube", "0.040 in"},
    {A, "garnet", "0.7 lb/min"},
    {A, "discharge", "0.70"},
    {A, "tube_life", "80 h"},
    {A, "orifice_life", "60 h"},
    {A, "tube_hours", "0 h"},
    {A, "orifice_hours", "0 h"},
    {A, "tube_wear", "0 mm"},
    {A, "heads", "1"},
    {A, "abrasive_factor", "1"},
#define W SG_KIND_HEAD, &sg_fresh_heads[1]
    {W, "kind", "water"},
    {W, "pressure", "55 ksi"},
    {W, "orifice", "0.006 in"},
    {W, "discharge", "0.70"},
#define SHIFT SG_KIND_SHIFT, &sg_fresh_shift
    {SHIFT, "start", "06:00"},
    {SHIFT, "end", "14:00"},
    {SHIFT, "run_in_breaks", "yes"},
#define STOCK SG_KIND_STOCK, &sg_fresh_stock
    {STOCK, "stack", "1"},
    {STOCK, "edge", "3"},
    {STOCK, "first_check", "3 min"},
    {STOCK, "gap", "0.25 in"},
    {STOCK, "margin", "0.25 in"},
    {STOCK, "feed_override", "100 %"},
#define PART SG_KIND_PART, &sg_fresh_part
    {PART, "quantity", "1"},
    {PART, "pierces", "1"},
};

/* The compiler's product of a US figure and its factor may differ in the last bit from what is read. */
static bool same_value(const struct sg_field *field, const struct sg_value *a, const struct sg_value *b)
{
    if (field->type != SG_FIELD_NUMBER && field->type != SG_FIELD_NUMBERS)
        return sg_field_same(field, a, b);
    for (int i = 0; i < field->count; i++)
        if (!(fabs(a->number[i] - b->number[i]) <= 1e-15 * fabs(b->number[i])))
            return false;
    return true;
}

START_TEST(a_fresh_shop_holds_what_the_list_says)
{
    static struct test_shop shop;
    test_shop_make(&shop);
    for (size_t i = 0; i < sizeof fresh / sizeof *fresh; i++) {
        const struct sg_field *field = sg_field_find(fresh[i].kind, fresh[i].field);
        struct sg_value value;
        struct sg_typed typed;
        ck_assert_msg(field != NULL, "no field %s", fresh[i].field);
        sg_field_get(field, fresh[i].record, &value);
        sg_field_read(field, &shop.shop, fresh[i].typed, &typed);
        ck_assert_msg(typed.state == SG_PARSE_WHOLE, "%s = %s: %s", fresh[i].field, fresh[i].typed,
                      typed.text);
        char shown[100];
        sg_field_show(field, &shop.shop, &value, shown, sizeof shown);
        ck_assert_msg(same_value(field, &value, &typed.value), "%s is %s, not %s", fresh[i].field, shown,
                      fresh[i].typed);
    }
    test_shop_free(&shop);
}
END_TEST

START_TEST(a_fresh_shop_is_possible_and_has_no_breaks)
{
    static const struct {
        enum sg_kind kind;
        const void *record;
    } records[] = {{M}, {A}, {W}, {SHIFT}, {STOCK}, {PART}};
    static const char *const optional[] = {"date"};
    for (size_t i = 0; i < sizeof records / sizeof *records; i++) {
        int n;
        const struct sg_field *fields = sg_fields(records[i].kind, &n);
        for (int k = 0; k < n; k++) {
            struct sg_value value;
            sg_field_get(&fields[k], records[i].record, &value);
            bool later = strcmp(fields[k].name, optional[0]) == 0 || fields[k].type == SG_FIELD_MATERIAL;
            ck_assert_msg(later || sg_field_in_range(&fields[k], &value), "%s %s",
                          sg_kind_word(records[i].kind), fields[k].name);
        }
    }
    ck_assert_int_eq(sg_fresh_shift.n_breaks, 0);
    ck_assert(isnan(sg_fresh_stock.load) && isnan(sg_fresh_part.cut_length));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fresh");
    TCase *values = tcase_create("values");
    tcase_add_test(values, a_fresh_shop_holds_what_the_list_says);
    tcase_add_test(values, a_fresh_shop_is_possible_and_has_no_breaks);
    suite_add_tcase(suite, values);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
