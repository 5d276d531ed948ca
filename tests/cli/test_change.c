/* add and set: what they say, what they keep, and that they keep all of it or nothing. */
#include "cli/json.h"
#include "cli/run.h"

/* shop.db: metric, job J with stock 1 of 6 mm mild steel and part A, ten pieces. */
static void make_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "cut_length=500", "length=100", "width=50",
            "quantity=10");
}

/* One field of one target as --list shows it now. */
static void ck_now(const char *target, const char *field, const char *now)
{
    struct ran ran = run("set", "-f", "shop.db", target, "--list", NULL);
    char line[80] = "\n";
    ck_code(ran, 0);
    strcat(strcat(line, field), " ");
    const char *at = strstr(ran.out, line);
    ck_assert_msg(at != NULL, "%s has no %s", target, field);
    at += strlen(line);
    at += strspn(at, " ");
    ck_assert_msg(strncmp(at, now, strlen(now)) == 0 && strchr(" \n", at[strlen(now)]), "%s %s: %.60s",
                  target, field, at);
    done(&ran);
}

/* ---- add ---- */

START_TEST(every_kind_is_added_and_found_again)
{
    make_shop();
    struct ran ran =
        run("add", "-f", "shop.db", "job", "J1", "name=lids", "customer=c 7", "due=2026-12-02 10:00", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "J1 name: none -> lids\n");
    ck_says(ran.out, "J1 due: none -> 2026-12-02 10:00\n");
    ck_says(ran.out, "ends 06:00, in time | refill none, the hopper lasts | alone no breaks in the shift\n");
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    ran = run("add", "-f", "shop.db", "stock", "J1", "material=304", "thickness=3", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_str_eq(json_text(ran.out, "$.target"), "J1/1");
    ck_assert_str_eq(json_text(ran.out, "$.changes[0].field"), "material");
    ck_assert_str_eq(json_text(ran.out, "$.changes[0].after"), "stainless 304");
    ck_assert_str_eq(json_type(ran.out, "$.kept"), "true");
    done(&ran);
    ck_quiet("add", "-f", "shop.db", "stock", "J1");
    ck_quiet("add", "-f", "shop.db", "part", "J1/1", "lid 1", "cut_length=300");
    ck_quiet("add", "-f", "shop.db", "shift", "B", "date=2026-12-02", "start=14:00", "end=22:00");
    ck_quiet("add", "-f", "shop.db", "head", "second", "pressure=380", "garnet=350");
    ck_quiet("add", "-f", "shop.db", "material", "alloy x", "machinability=100", "density=5000");
    ck_now("J1", "customer", "c 7");
    ck_now("J1/1", "material", "stainless 304");
    ck_now("J1/2", "thickness", "none");
    ck_now("J1/1/lid 1", "cut_length", "300 mm");
    ck_now("shift:B", "end", "22:00");
    ck_now("head:second", "garnet", "350 g/min");
    ck_now("material:alloy x", "machinability", "100");
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(what_cannot_be_added_changes_nothing)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "job J exists already", "add", "-f", "shop.db", "job", "J");
    ck_refused(3, "part A exists already", "add", "-f", "shop.db", "part", "J/1", "A");
    ck_refused(3, "shift A exists already", "add", "-f", "shop.db", "shift", "A");
    ck_refused(3, "head abrasive exists already", "add", "-f", "shop.db", "head", "abrasive");
    ck_refused(3, "material copper exists already", "add", "-f", "shop.db", "material", "copper");
    ck_refused(3, "no job \"K\"; jobs: J", "add", "-f", "shop.db", "stock", "K");
    ck_refused(3, "has no stock 2", "add", "-f", "shop.db", "part", "J/2", "A");
    ck_refused(3, "a part is added to a stock; J is a job", "add", "-f", "shop.db", "part", "J", "B");
    ck_refused(3, "a stock is added to a job", "add", "-f", "shop.db", "stock", "J/1");
    ck_refused(3, "may not hold / or :", "add", "-f", "shop.db", "job", "a/b");
    ck_refused(3, "may not hold / or :", "add", "-f", "shop.db", "job", "shift:A");
    ck_refused(3, "may not be empty", "add", "-f", "shop.db", "job", "");
    ck_refused(3, "start or end with a blank", "add", "-f", "shop.db", "part", "J/1", " B");
    ck_refused(3, "tab or line break", "add", "-f", "shop.db", "part", "J/1", "B\tC");
    ck_refused(3, "quantity=x", "add", "-f", "shop.db", "part", "J/1", "B", "cut_length=5", "quantity=x");
    ck_refused(3, "has no field \"size\"; it has name, outline, quantity", "add", "-f", "shop.db", "part",
               "J/1", "B", "size=5");
    ck_refused(2, "quantity is given twice", "add", "-f", "shop.db", "part", "J/1", "B", "quantity=1",
               "quantity=2");
    ck_refused(2, "\"B\" is not of the form FIELD=VALUE", "add", "-f", "shop.db", "job", "K", "B");
    ck_refused(3, "z_travel", "add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=250");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

START_TEST(jobs_stand_in_the_order_that_was_asked_for)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "one");
    ck_done("add", "-f", "shop.db", "job", "three");
    ck_done("add", "-f", "shop.db", "job", "two", "order=2");
    ck_done("add", "-f", "shop.db", "job", "zero", "order=1");
    ck_done("add", "-f", "shop.db", "job", "four", "order=99");
    ck_done("set", "-f", "shop.db", "four", "order=1");
    ck_done("set", "-f", "shop.db", "four", "order=4");
    static const char *const order[] = {"zero", "one", "two", "four", "three"};
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.jobs"), 5);
    for (int i = 0; i < 5; i++) {
        char path[40];
        snprintf(path, sizeof path, "$.jobs[%d].job", i);
        ck_assert_str_eq(json_text(ran.out, path), order[i]);
    }
    done(&ran);
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-02");
    ck_done("set", "-f", "shop.db", "one", "shift=B");
    ran = run("plan", "-f", "shop.db", "B", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.jobs"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].job"), "one");
    done(&ran);
    ck_done("set", "-f", "shop.db", "shift:A", "closed=yes");
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.shift.id"), "B");
    done(&ran);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

/* ---- set ---- */

START_TEST(every_kind_of_target_is_set)
{
    make_job();
    static const struct {
        const char *target, *field, *assignment, *now;
    } sets[] = {
        {"J", "note", "note=two lines", "two lines"},
        {"J", "due", "due=2026-12-24", "2026-12-24"},
        {"J/1", "edge", "edge=fine", "4 fine"},
        {"J/1", "feed_override", "feed_override=80", "80%"},
        {"J/1", "pierce", "pierce=low", "low"},
        {"J/1", "head", "head=water", "water"},
        {"J/1", "load", "load=7:30", "7.5 min"},
        {"J/1", "turn", "turn=no", "no"},
        {"J/1/A", "edge", "edge=2.5", "2.5"},
        {"J/1/A", "pierce_seconds", "pierce_seconds=4.5", "4.5 s"},
        {"J/1/A", "feed", "feed=10in/min", "254 mm/min"},
        {"shift:A", "breaks", "breaks=09:30-09:45,12:00-12:30", "09:30-09:45,12:00-12:30"},
        {"machine:main", "hopper_level", "hopper_level=100", "100 kg"},
        {"machine:main", "refill_amount", "refill_amount=enough", "enough"},
        {"head:abrasive", "pressure", "pressure=50ksi", "344.74 MPa"},
        {"material:aluminum", "machinability", "machinability=220", "220"},
    };
    for (size_t i = 0; i < sizeof sets / sizeof *sets; i++) {
        struct ran ran = run("set", "-f", "shop.db", sets[i].target, sets[i].assignment, NULL);
        char piece[300];
        ck_code(ran, 0);
        snprintf(piece, sizeof piece, " %s: ", sets[i].field);
        ck_says(ran.out, piece);
        ck_says(ran.out, "\nbefore  ends ");
        ck_says(ran.out, "\nafter   ends ");
        done(&ran);
        ck_now(sets[i].target, sets[i].field, sets[i].now);
    }
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(what_a_change_gives_cause_to_warn_of_is_said_once)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=1000",
            "sheet_width=500");
    struct ran ran = run("add", "-f", "shop.db", "part", "J/1", "A", "length=100", "width=50", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "caution no cut length");
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1/A", "cut_length=300", "length=1200", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "does not fit on the sheet");
    ck_assert(!strstr(ran.out, "no cut length"));
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1/A", "quantity=2", NULL);
    ck_code(ran, 0);
    ck_assert(!strstr(ran.out, "caution"));
    done(&ran);
}
END_TEST

START_TEST(none_clears_what_may_be_unknown_and_nothing_else)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J", "customer=c", "due=2026-12-24", "note=n");
    ck_done("set", "-f", "shop.db", "J/1", "feed=200", "pierce_seconds=3");
    ck_done("set", "-f", "shop.db", "J/1/A", "area=4000", "rapid_length=50", "feed=200", "pierce_seconds=3",
            "edge=2", "note=n");
    ck_quiet("set", "-f", "shop.db", "J", "customer=none", "due=none", "note=none", "name=none");
    ck_quiet("set", "-f", "shop.db", "J/1", "feed=none", "pierce_seconds=none", "sheet_length=none",
             "head=none", "pierce=none", "load=none", "sheets=none");
    ck_quiet("set", "-f", "shop.db", "J/1/A", "length=none", "width=none", "area=none", "cut_length=none",
             "rapid_length=none", "feed=none", "pierce_seconds=none", "edge=none", "note=none");
    ck_now("J", "due", "none");
    ck_now("J/1", "feed", "none");
    ck_now("J/1/A", "cut_length", "none");
    struct bytes before = bytes_of("shop.db");
    static const char *const never[][2] = {
        {"J/1/A", "quantity=none"}, {"J/1/A", "pierces=none"},       {"J/1", "thickness=none"},
        {"J/1", "material=none"},   {"J/1", "stack=none"},           {"J/1", "gap=none"},
        {"J", "shift=none"},        {"machine:main", "hopper=none"}, {"head:abrasive", "tube=none"},
        {"shift:A", "date=none"}};
    for (size_t i = 0; i < sizeof never / sizeof *never; i++) {
        struct ran ran = run("set", "-f", "shop.db", never[i][0], never[i][1], NULL);
        ck_assert_msg(ran.code == 3, "%s %s: exit %d", never[i][0], never[i][1], ran.code);
        ck_assert_str_eq(ran.out, "");
        done(&ran);
    }
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(a_dry_run_shows_all_and_leaves_every_byte)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("set", "-f", "shop.db", "J/1/A", "quantity=200", "--dry-run", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "J/1/A quantity: 10 -> 200\n");
    ck_says(ran.out, "after   ends ");
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1/A", "quantity=200", "--dry-run", "--json", NULL);
    ck_document(ran.out);
    ck_keys(ran.out, "$", "target:text kept:bool changes:array answers:object");
    ck_keys(ran.out, "$.changes[0]", "field:text before:text after:text note:text? odd:bool");
    ck_assert_str_eq(json_type(ran.out, "$.kept"), "false");
    char ends[40];
    snprintf(ends, sizeof ends, "%s", json_text(ran.out, "$.answers.ends_at"));
    done(&ran);
    ck_refused(3, "quantity=x", "set", "-f", "shop.db", "J/1/A", "quantity=x", "--dry-run");
    ck_unchanged("shop.db", &before);
    ran = run("set", "-f", "shop.db", "J/1/A", "quantity=200", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.answers.ends_at"), ends);
    ck_assert_str_eq(json_type(ran.out, "$.kept"), "true");
    done(&ran);
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.answers.ends_at"), ends);
    done(&ran);
}
END_TEST

START_TEST(all_of_it_or_none)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "cut_length=bad: a number is expected", "set", "-f", "shop.db", "J/1/A", "quantity=5",
               "cut_length=bad");
    ck_refused(3, "has no field \"color\"", "set", "-f", "shop.db", "J/1/A", "quantity=5", "color=red");
    ck_refused(2, "quantity is given twice", "set", "-f", "shop.db", "J/1/A", "quantity=5", "pierces=2",
               "quantity=5");
    ck_refused(3, "z_travel", "set", "-f", "shop.db", "J/1", "edge=2", "thickness=100", "stack=3");
    ck_refused(3, "low_line", "set", "-f", "shop.db", "machine:main", "bag=10", "low_line=500");
    ck_refused(3, "hopper_level", "set", "-f", "shop.db", "machine:main", "bag=10", "hopper_level=500");
    ck_refused(3, "tube", "set", "-f", "shop.db", "head:abrasive", "garnet=200", "tube=0.3");
    ck_refused(3, "low_pressure", "set", "-f", "shop.db", "head:abrasive", "pressure=100");
    ck_refused(3, "break", "set", "-f", "shop.db", "shift:A", "start=7:00", "breaks=06:30-07:30");
    ck_unchanged("shop.db", &before);
    /* Together they are possible, each alone is not. */
    ck_quiet("set", "-f", "shop.db", "head:abrasive", "pressure=100", "low_pressure=50");
}
END_TEST

START_TEST(an_unknown_target_is_named)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "no job \"K\"; jobs: J", "set", "-f", "shop.db", "K", "name=x");
    ck_refused(3, "job J has no stock 2; it has 1", "set", "-f", "shop.db", "J/2", "edge=2");
    ck_refused(3, "\"x\" is not the number of a stock", "set", "-f", "shop.db", "J/x", "edge=2");
    ck_refused(3, "stock J/1 has no part \"B\"", "set", "-f", "shop.db", "J/1/B", "quantity=2");
    ck_refused(3, "no shift \"Q\"; the first is A", "set", "-f", "shop.db", "shift:Q", "start=7:00");
    ck_refused(3, "it is machine:main", "set", "-f", "shop.db", "machine:m", "bag=10");
    ck_refused(3, "head:abrasive, head:water", "set", "-f", "shop.db", "head:x", "garnet=200");
    ck_refused(3, "\"zz\"", "set", "-f", "shop.db", "material:zz", "density=200");
    ck_refused(3, "\"foam\"", "set", "-f", "shop.db", "material:foam", "density=200");
    ck_refused(3, "no shift \"Z\"", "set", "-f", "shop.db", "J", "shift=Z");
    ck_refused(3, "no head \"laser\"", "set", "-f", "shop.db", "J/1", "head=laser");
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(an_odd_value_is_kept_with_a_sentence)
{
    make_job();
    struct ran ran = run("set", "-f", "shop.db", "J/1", "gap=150", NULL);
    ck_code(ran, 0);
    ck_says(ran.err, "J/1 gap: ");
    ck_says(ran.err, "unusually large");
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1", "thickness=4,5", "--json", NULL);
    ck_code(ran, 0);
    ck_says(ran.err, "read as 4.5");
    ck_assert_str_eq(json_text(ran.out, "$.changes[0].note"), "read as 4.5");
    done(&ran);
    ck_now("J/1", "gap", "150 mm");
    ck_now("J/1", "thickness", "4.5 mm");
}
END_TEST

START_TEST(the_list_names_every_field_of_the_contract)
{
    make_job();
    static const struct {
        const char *target, *fields;
    } lists[] = {
        {"J", "name customer due note shift order"},
        {"J/1", "material thickness stack sheet_length sheet_width sheets head edge pierce load first_check "
                "gap margin "
                "feed_override feed pierce_seconds turn"},
        {"J/1/A", "name quantity cut_length pierces length width area rapid_length edge feed pierce_seconds"},
        {"shift:A", "date start end breaks run_in_breaks closed_days"},
        {"machine:main", "table_length table_width z_travel slat_load slat_pitch top_feed rapid acceleration "
                         "z_lift edge_error hopper "
                         "low_line hopper_level bag bags_in_stock refill refill_per_bag refill_stops_cutting "
                         "refill_at refill_amount "
                         "refill_when head_change index_move tube_change orifice_change head_buffer "
                         "head_fitted pump pump_power "
                         "pump_efficiency max_pressure max_flow"},
        {"head:abrasive",
         "kind pressure low_pressure orifice tube garnet discharge heads abrasive_factor tube_wear "
         "tube_hours tube_life orifice_hours orifice_life"},
        {"material:copper",
         "density machinability cut_energy threshold pierce head water_possible source basis"},
    };
    struct bytes before = bytes_of("shop.db");
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        char fields[600], *rest = NULL;
        struct ran ran = run("set", "-f", "shop.db", lists[i].target, "--list", NULL);
        ck_code(ran, 0);
        ck_says(ran.out, "Field ");
        ck_says(ran.out, "Range ");
        snprintf(fields, sizeof fields, "%s", lists[i].fields);
        for (char *field = strtok_r(fields, " ", &rest); field; field = strtok_r(NULL, " ", &rest)) {
            char line[60];
            snprintf(line, sizeof line, "\n%s ", field);
            ck_says(ran.out, line);
        }
        done(&ran);
    }
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(a_part_may_be_called_three_quarters)
{
    make_job();
    ck_quiet("add", "-f", "shop.db", "part", "J/1", "3/4", "cut_length=10");
    ck_quiet("set", "-f", "shop.db", "J/1/3/4", "quantity=7");
    ck_now("J/1/3/4", "quantity", "7");
    ck_quiet("add", "-f", "shop.db", "part", "J/1", "none", "cut_length=10");
    ck_quiet("add", "-f", "shop.db", "part", "J/1", "-", "cut_length=10");
    ck_quiet("set", "-f", "shop.db", "J/1/none", "quantity=3");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, what_a_change_gives_cause_to_warn_of_is_said_once);
    tcase_add_test(tcase, every_kind_is_added_and_found_again);
    tcase_add_test(tcase, what_cannot_be_added_changes_nothing);
    tcase_add_test(tcase, jobs_stand_in_the_order_that_was_asked_for);
    tcase_add_test(tcase, every_kind_of_target_is_set);
    tcase_add_test(tcase, none_clears_what_may_be_unknown_and_nothing_else);
    tcase_add_test(tcase, a_dry_run_shows_all_and_leaves_every_byte);
    tcase_add_test(tcase, all_of_it_or_none);
    tcase_add_test(tcase, an_unknown_target_is_named);
    tcase_add_test(tcase, an_odd_value_is_kept_with_a_sentence);
    tcase_add_test(tcase, the_list_names_every_field_of_the_contract);
    tcase_add_test(tcase, a_part_may_be_called_three_quarters);
}

int main(void)
{
    return run_suite("change", fill);
}
