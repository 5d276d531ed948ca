/* The desk: set, add and import keep all or nothing, the order of jobs is what a plain list says, and what
 * the desk shows is what the file holds. */
#include "edit/desk.h"
#include "edit/shop_file.h"
#include "support/random.h"

#include <check.h>

enum { SOME = 8 };

static struct shop_file file;
static struct sg_desk *desk;
static struct sg_error error;
static struct sg_change changes[SOME];
static struct sg_target target;

static void open_example(void)
{
    shop_file_make(&file, true);
    desk = shop_file_desk(&file, SG_STORE_WRITE);
}

static void close_example(void)
{
    sg_desk_close(desk);
    ck_assert_msg(shop_file_remove(&file), "something was left in %s", file.folder);
}

static enum sg_status set_one(struct sg_desk *on, const char *key, const char *assignment)
{
    return sg_desk_set(on, key, &assignment, 1, true, changes, &target, &error);
}

static enum sg_status add(enum sg_kind kind, const char *parent, const char *id)
{
    return sg_desk_add(desk, kind, parent, id, NULL, 0, 20000, changes, &target, &error);
}

static const struct sg_part *part_of(const struct sg_desk *on, const char *key)
{
    struct sg_target found;
    ck_assert_msg(sg_key_find(sg_desk_shop(on), key, &found, &error) == SG_OK, "%s", error.text);
    ck_assert_int_eq(found.kind, SG_KIND_PART);
    return &sg_desk_shop(on)->parts[found.index];
}

/* The desk's shop is the file's: every job, stock and part at its place with its fields. */
static void ck_as_in_file(void)
{
    struct sg_desk *fresh = shop_file_desk(&file, SG_STORE_READ);
    const struct sg_shop *a = sg_desk_shop(desk), *b = sg_desk_shop(fresh);
    ck_assert_int_eq(a->n_jobs, b->n_jobs);
    ck_assert_int_eq(a->n_stocks, b->n_stocks);
    ck_assert_int_eq(a->n_parts, b->n_parts);
    for (int32_t i = 0; i < a->n_jobs; i++) {
        ck_assert_str_eq(a->jobs[i].id, b->jobs[i].id);
        ck_assert_int_eq(a->jobs[i].order, b->jobs[i].order);
        ck_assert_int_eq(a->jobs[i].shift, b->jobs[i].shift);
        ck_assert_int_eq(a->jobs[i].first_stock, b->jobs[i].first_stock);
        ck_assert_int_eq(a->jobs[i].n_stocks, b->jobs[i].n_stocks);
    }
    for (int32_t i = 0; i < a->n_stocks; i++) {
        ck_assert_int_eq(a->stocks[i].row, b->stocks[i].row);
        ck_assert_int_eq(a->stocks[i].job, b->stocks[i].job);
        ck_assert_int_eq(a->stocks[i].first_part, b->stocks[i].first_part);
    }
    for (int32_t i = 0; i < a->n_parts; i++) {
        ck_assert_int_eq(a->parts[i].row, b->parts[i].row);
        ck_assert_int_eq(a->parts[i].stock, b->parts[i].stock);
        ck_assert_int_eq(a->parts[i].quantity, b->parts[i].quantity);
    }
    sg_desk_close(fresh);
}

/* ---- set ---- */

START_TEST(a_set_tells_what_was_and_what_is)
{
    static const char *const assignments[] = {"quantity=25", "note=first one to the office",
                                              "cut_length=1 1/2"};
    ck_assert_int_eq(sg_desk_set(desk, "2601/1/A", assignments, 3, true, changes, &target, &error), SG_OK);
    ck_assert_str_eq(changes[0].before, "20");
    ck_assert_str_eq(changes[0].after, "25");
    ck_assert_str_eq(changes[1].before, "none");
    ck_assert_str_eq(changes[1].after, "first one to the office");
    ck_assert_str_eq(changes[2].after, "1.5 in");
    ck_assert_int_eq(target.kind, SG_KIND_PART);
    ck_assert(part_of(desk, "2601/1/A")->cut_length == 38.1);
    ck_as_in_file();
}
END_TEST

START_TEST(one_wrong_value_keeps_all_out)
{
    static const struct {
        const char *key, *assignments[3];
        enum sg_status status;
    } wrong[] = {
        {"2601/1/A", {"quantity=25", "pierces=x", NULL}, SG_BAD_DATA},
        {"2601/1/A", {"quantity=25", "colour=red", NULL}, SG_BAD_DATA},
        {"2601/1/A", {"quantity=25", "quantity=26", NULL}, SG_USAGE},
        {"2601/1/A", {"quantity=25", "pierces", NULL}, SG_USAGE},
        {"2601/1", {"edge=2", "thickness=9", NULL}, SG_BAD_DATA},
        {"shift:A", {"end=16:00", "breaks=05:00-05:30", NULL}, SG_BAD_DATA},
        {"machine:main", {"bag=50", "low_line=600", NULL}, SG_BAD_DATA},
        {"2601/9", {"edge=2", NULL, NULL}, SG_BAD_DATA},
        {"2699", {"name=x", NULL, NULL}, SG_BAD_DATA},
    };
    struct file_bytes before = file_bytes_of(file.path);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        for (int keep = 0; keep < 2; keep++) {
            int n = 0;
            while (wrong[i].assignments[n])
                n++;
            ck_assert_int_eq(
                sg_desk_set(desk, wrong[i].key, wrong[i].assignments, n, keep, changes, &target, &error),
                wrong[i].status);
            ck_assert_int_eq(error.status, wrong[i].status);
            ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 20);
        }
    ck_assert(file_bytes_are(file.path, &before));
    free(before.at);
    ck_as_in_file();
}
END_TEST

START_TEST(without_keep_only_the_desk_changes)
{
    struct file_bytes before = file_bytes_of(file.path);
    const char *assignment = "quantity=99";
    ck_assert_int_eq(sg_desk_set(desk, "2601/1/A", &assignment, 1, false, changes, &target, &error), SG_OK);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 99);
    ck_assert(file_bytes_are(file.path, &before));
    free(before.at);
    ck_assert_int_eq(set_one(desk, "2601/1/B", "quantity=7"),
                     SG_OK); /* reads the file anew: the trial is gone */
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 20);
    ck_as_in_file();
}
END_TEST

START_TEST(a_change_of_the_shift_fills_its_calendar)
{
    ck_assert_int_eq(set_one(desk, "shift:A", "start=05:00"), SG_OK);
    const struct sg_shift *shift = &sg_desk_shop(desk)->shifts[0];
    ck_assert(shift->calendar.close_s == 9.5 * 3600); /* 05:00 to 14:30 */
    ck_assert(shift->calendar.breaks[0].from_s == 4.5 * 3600);
    ck_assert_int_eq(set_one(desk, "2601", "due=2026-12-01 07:00"), SG_OK);
    shift = &sg_desk_shop(desk)->shifts[0];
    ck_assert(sg_desk_shop(desk)->jobs[0].due_epoch - shift->calendar.epoch == 2 * 3600);
    const struct sg_plan *plan;
    ck_assert_int_eq(sg_desk_plan(desk, 0, &plan, &error), SG_OK);
    ck_assert(plan->jobs[0].late > 0);
}
END_TEST

START_TEST(two_desks_on_one_file_keep_both_changes)
{
    struct sg_desk *other = shop_file_desk(&file, SG_STORE_WRITE);
    ck_assert_int_eq(set_one(desk, "2601/1/A", "quantity=41"), SG_OK);
    ck_assert_int_eq(set_one(other, "2601/1/A", "pierces=6"), SG_OK); /* it has not seen the first one yet */
    ck_assert_int_eq(part_of(other, "2601/1/A")->quantity, 41);
    ck_assert_int_eq(set_one(desk, "2601/1/B", "quantity=5"), SG_OK);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 6);
    sg_desk_close(other);
    ck_as_in_file();
}
END_TEST

START_TEST(a_desk_for_reading_writes_nothing)
{
    struct file_bytes before = file_bytes_of(file.path);
    struct sg_desk *reader = shop_file_desk(&file, SG_STORE_READ);
    ck_assert_int_ne(set_one(reader, "2601/1/A", "quantity=41"), SG_OK);
    ck_assert_int_eq(part_of(reader, "2601/1/A")->quantity, 20);
    ck_assert(file_bytes_are(file.path, &before));
    sg_desk_close(reader);
    free(before.at);
}
END_TEST

/* ---- order ---- */

/* The same moves on plain lists of numbers, one for each shift. */
enum { JOBS = 9, SHIFTS = 3 };

struct lists {
    int jobs[SHIFTS][JOBS], n[SHIFTS];
};

static int take_out(struct lists *lists, int job)
{
    for (int s = 0; s < SHIFTS; s++)
        for (int i = 0; i < lists->n[s]; i++)
            if (lists->jobs[s][i] == job) {
                for (int k = i; k + 1 < lists->n[s]; k++)
                    lists->jobs[s][k] = lists->jobs[s][k + 1];
                lists->n[s]--;
                return s;
            }
    ck_abort_msg("job %d is in no list", job);
}

/* place from 1; beyond the end is the end. */
static void put_in(struct lists *lists, int shift, int place, int job)
{
    int at = place - 1 > lists->n[shift] ? lists->n[shift] : place - 1;
    for (int k = lists->n[shift]; k > at; k--)
        lists->jobs[shift][k] = lists->jobs[shift][k - 1];
    lists->jobs[shift][at] = job;
    lists->n[shift]++;
}

static void ck_lists(const struct lists *lists)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    for (int s = 0; s < SHIFTS; s++) {
        char name[4] = {(char)('A' + s)};
        int32_t shift = sg_find_shift(shop, name);
        int place = 0;
        for (int32_t i = 0; i < shop->n_jobs; i++) {
            if (shop->jobs[i].shift != shift)
                continue;
            ck_assert_int_lt(place, lists->n[s]);
            ck_assert_int_eq(atoi(shop->jobs[i].id + 1), lists->jobs[s][place++]);
            ck_assert_int_eq(shop->jobs[i].order, place);
        }
        ck_assert_int_eq(place, lists->n[s]);
    }
}

START_TEST(jobs_move_as_in_plain_lists)
{
    struct lists lists = {.n = {0}};
    struct random dice = {.state = 20261201};
    sg_desk_close(desk);
    ck_assert(shop_file_remove(&file));
    shop_file_make(&file, false);
    desk = shop_file_desk(&file, SG_STORE_WRITE);
    ck_assert_int_eq(add(SG_KIND_SHIFT, NULL, "B"), SG_OK);
    ck_assert_int_eq(add(SG_KIND_SHIFT, NULL, "C"), SG_OK);
    for (int job = 0; job < JOBS; job++) {
        char id[8], stock[12];
        snprintf(id, sizeof id, "J%d", job);
        snprintf(stock, sizeof stock, "J%d/1", job);
        ck_assert_int_eq(add(SG_KIND_JOB, NULL, id), SG_OK);
        ck_assert_int_eq(add(SG_KIND_STOCK, id, ""), SG_OK);
        ck_assert_int_eq(add(SG_KIND_PART, stock, "A"), SG_OK);
        put_in(&lists, 0, JOBS, job);
    }
    for (int round = 0; round < 120; round++) {
        int job = (int)random_below(&dice, JOBS), place = 1 + (int)random_below(&dice, JOBS + 2);
        int shift = (int)random_below(&dice, SHIFTS), what = (int)random_below(&dice, 3);
        char id[8], to_shift[12], to_place[20];
        snprintf(id, sizeof id, "J%d", job);
        snprintf(to_shift, sizeof to_shift, "shift=%c", 'A' + shift);
        snprintf(to_place, sizeof to_place, "order=%d", place);
        const char *both[] = {to_shift, to_place};
        int from = take_out(&lists, job);
        put_in(&lists, what == 0 ? from : shift, what == 1 ? JOBS : place, job);
        const char *const *first = what == 0 ? both + 1 : both;
        ck_assert_msg(sg_desk_set(desk, id, first, what == 2 ? 2 : 1, true, changes, &target, &error) ==
                          SG_OK,
                      "%s", error.text);
        ck_assert_str_eq(sg_desk_shop(desk)->jobs[target.index].id, id);
        ck_lists(&lists);
        ck_as_in_file();
    }
}
END_TEST

/* ---- add ---- */

START_TEST(a_new_row_is_fresh_but_for_what_was_said)
{
    const char *const said[] = {"thickness=1/8", "material=copper"};
    ck_assert_int_eq(sg_desk_add(desk, SG_KIND_STOCK, "2605", "", said, 2, 20000, changes, &target, &error),
                     SG_OK);
    const struct sg_stock *stock = &sg_desk_shop(desk)->stocks[target.index];
    ck_assert_int_eq(stock->number, 3);
    ck_assert(stock->thickness == 25.4 / 8);
    ck_assert(stock->edge == sg_fresh_stock.edge && stock->gap == sg_fresh_stock.gap &&
              !sg_known(stock->load));
    ck_assert_int_eq(add(SG_KIND_SHIFT, NULL, "B"), SG_OK);
    ck_assert_int_eq(sg_desk_shop(desk)->shifts[target.index].date, 20000);
    ck_assert_int_eq(add(SG_KIND_HEAD, NULL, "second"), SG_OK);
    ck_assert(sg_desk_shop(desk)->heads[target.index].orifice == sg_fresh_heads[0].orifice);
    ck_assert_int_eq(add(SG_KIND_MATERIAL, NULL, "alloy"), SG_OK);
    ck_assert(!sg_known(sg_desk_shop(desk)->materials[target.index].machinability));
    ck_as_in_file();
}
END_TEST

START_TEST(what_cannot_be_added_is_not)
{
    struct file_bytes before = file_bytes_of(file.path);
    const char *const bad[] = {"quantity=3", "cut_length=long"};
    ck_assert_int_eq(add(SG_KIND_JOB, NULL, "2601"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_JOB, NULL, "a/b"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_JOB, NULL, ""), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_PART, "2601/1", "A"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_PART, "2601", "Z"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_STOCK, "2601/1", ""), SG_BAD_DATA);
    ck_assert_int_eq(sg_desk_add(desk, SG_KIND_PART, "2601/1", "Z", bad, 2, 20000, changes, &target, &error),
                     SG_BAD_DATA);
    ck_assert(file_bytes_are(file.path, &before));
    free(before.at);
    ck_as_in_file();
}
END_TEST

/* ---- import ---- */

struct refusals {
    int n, rows[SOME];
    enum sg_refusal why[SOME];
    char sentences[SOME][400];
};

static void note(void *context, int row, enum sg_refusal why, const char *sentence)
{
    struct refusals *refusals = context;
    ck_assert_int_lt(refusals->n, SOME);
    ck_assert_uint_gt(strlen(sentence), 10);
    ck_assert_ptr_null(strstr(sentence, "--")); /* the words of a command are the command's */
    snprintf(refusals->sentences[refusals->n], sizeof refusals->sentences[0], "%s", sentence);
    refusals->why[refusals->n] = why;
    refusals->rows[refusals->n++] = row;
}

static bool said_quantity[32];

/* A part of a list that says its key and its quantity. */
static struct sg_incoming incoming(const char *id, int quantity, const char *material, double thickness)
{
    struct sg_incoming in = {
        .part = sg_fresh_part, .has = said_quantity, .material = material, .thickness = thickness};
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    said_quantity[sg_field_find(SG_KIND_PART, "quantity") - fields] = true;
    in.part.id = id;
    in.part.quantity = quantity;
    return in;
}

START_TEST(an_import_is_one_change)
{
    const double unknown = (double)NAN;
    const struct sg_incoming parts[] = {incoming("N1", 3, NULL, unknown), incoming("A", 4, NULL, unknown),
                                        incoming("N2", 5, NULL, unknown), incoming("N1", 6, NULL, unknown)};
    struct refusals refusals = {0};
    struct sg_import_how how = {.keep = true, .refuse = note, .context = &refusals};
    struct sg_import_result result;
    struct file_bytes before = file_bytes_of(file.path);
    ck_assert_int_eq(sg_desk_import(desk, "2601/1", parts, 4, &how, &result, &error), SG_BAD_DATA);
    ck_assert_int_eq(refusals.n, 2);
    ck_assert(refusals.rows[0] == 1 && refusals.rows[1] == 3);
    ck_assert(refusals.why[0] == SG_REFUSED_EXISTS && refusals.why[1] == SG_REFUSED_OTHER);
    ck_assert_str_eq(refusals.sentences[0], "part \"A\" is in the plan already");
    ck_assert_str_eq(error.text, "2 of 4 rows cannot be taken: nothing is imported");
    ck_assert(file_bytes_are(file.path, &before));
    ck_as_in_file();
    how.good_only = true;
    how.keep = false;
    ck_assert_int_eq(sg_desk_import(desk, "2601/1", parts, 4, &how, &result, &error), SG_OK);
    ck_assert(result.added == 2 && result.refused == 2 && result.replaced == 0);
    ck_assert(file_bytes_are(file.path, &before));
    free(before.at);
    how.keep = true;
    how.replace = true;
    ck_assert_int_eq(sg_desk_import(desk, "2601/1", parts, 4, &how, &result, &error), SG_OK);
    ck_assert(result.added == 2 && result.replaced == 1 && result.refused == 1 && result.stocks_made == 0);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 4);
    ck_assert(part_of(desk, "2601/1/A")->cut_length == 965.2); /* the list did not say it */
    ck_assert_int_eq(part_of(desk, "2601/1/N1")->quantity, 3);
    ck_as_in_file();
}
END_TEST

START_TEST(an_import_into_a_job_finds_or_makes_its_stocks)
{
    const struct sg_incoming parts[] = {incoming("N", 1, "aluminium 6061", 12.7),
                                        incoming("N", 2, "copper", 3),
                                        incoming("M", 3, "copper", 3 + 1e-12),
                                        incoming("N", 4, "copper", 4),
                                        incoming("O", 5, NULL, 4),
                                        incoming("P", 6, "copper", 400)};
    struct refusals refusals = {0};
    const struct sg_import_how how = {.keep = true, .good_only = true, .refuse = note, .context = &refusals};
    struct sg_import_result result;
    ck_assert_int_eq(sg_desk_import(desk, "2601", parts, 6, &how, &result, &error), SG_OK);
    ck_assert(result.added == 4 && result.stocks_made == 2 && result.refused == 2);
    ck_assert(refusals.rows[0] == 4 && refusals.rows[1] == 5);
    ck_assert(refusals.why[0] == SG_REFUSED_NO_STOCK && refusals.why[1] == SG_REFUSED_OTHER);
    ck_assert_int_eq(part_of(desk, "2601/1/N")->quantity, 1);
    ck_assert_int_eq(part_of(desk, "2601/2/N")->quantity, 2);
    ck_assert_int_eq(part_of(desk, "2601/2/M")->quantity, 3);
    ck_assert_int_eq(part_of(desk, "2601/3/N")->quantity, 4);
    ck_as_in_file();
    ck_assert_int_eq(sg_desk_import(desk, "2601/1/A", parts, 1, &how, &result, &error), SG_BAD_DATA);
    ck_assert_int_eq(sg_desk_import(desk, "2699", parts, 1, &how, &result, &error), SG_BAD_DATA);
    ck_as_in_file();
}
END_TEST

/* 2601/1 is aluminium 6061, 12.7 mm; the example shop shows inches. */
START_TEST(an_import_into_a_stock_leaves_out_what_is_of_other_sheets)
{
    const double unknown = (double)NAN;
    const struct sg_incoming parts[] = {
        incoming("N1", 1, "aluminium 6061", 12.7), incoming("N2", 2, "steel, mild", 6.35),
        incoming("N3", 3, "steel, mild", unknown), incoming("N4", 4, NULL, 6.35),
        incoming("N5", 5, NULL, unknown),          incoming("N6", 6, "aluminium 6061", 12.7 + 1e-12)};
    struct refusals refusals = {0};
    const struct sg_import_how how = {.keep = true, .good_only = true, .refuse = note, .context = &refusals};
    struct sg_import_result result;
    ck_assert_int_eq(sg_desk_import(desk, "2601/1", parts, 6, &how, &result, &error), SG_OK);
    ck_assert(result.added == 3 && result.refused == 3 && result.stocks_made == 0);
    ck_assert(refusals.rows[0] == 1 && refusals.rows[1] == 2 && refusals.rows[2] == 3);
    ck_assert_str_eq(refusals.sentences[0],
                     "the list says steel, mild 0.25 in, stock 2601/1 is aluminium 6061 "
                     "0.5 in: import into the job to make a new stock");
    ck_assert_str_eq(refusals.sentences[1],
                     "the list says steel, mild, stock 2601/1 is aluminium 6061 0.5 in: "
                     "import into the job to make a new stock");
    ck_assert_str_eq(refusals.sentences[2], "the list says 0.25 in, stock 2601/1 is aluminium 6061 0.5 in: "
                                            "import into the job to make a new stock");
    ck_assert_int_eq(part_of(desk, "2601/1/N6")->quantity, 6);
    ck_as_in_file();
}
END_TEST

/* Another takes a material out that stands before the list's, after the list was read. */
START_TEST(an_import_finds_its_material_again)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    char gone[300], name[200];
    int others = 0;
    int32_t used = sg_find_material(shop, "copper", &others), other = SG_UNKNOWN;
    for (int32_t i = 0; i < used && other == SG_UNKNOWN; i++) {
        other = i;
        for (int32_t k = 0; k < shop->n_stocks; k++)
            other = shop->stocks[k].material == i ? SG_UNKNOWN : other;
    }
    ck_assert(used > 0 && other != SG_UNKNOWN);
    snprintf(gone, sizeof gone, "material:%s", shop->materials[other].name);
    snprintf(name, sizeof name, "%s", shop->materials[other].name);
    const struct sg_incoming parts[] = {incoming("N", 1, "copper", 3), incoming("M", 1, name, 3)};
    struct sg_desk *theirs = shop_file_desk(&file, SG_STORE_WRITE);
    ck_assert_msg(sg_desk_remove(theirs, gone, &error) == SG_OK, "%s", error.text);
    sg_desk_close(theirs);
    struct refusals refusals = {0};
    const struct sg_import_how how = {.keep = true, .good_only = true, .refuse = note, .context = &refusals};
    struct sg_import_result result;
    ck_assert_int_eq(sg_desk_import(desk, "2601", parts, 2, &how, &result, &error), SG_OK);
    ck_assert(result.added == 1 && result.refused == 1 && refusals.rows[0] == 1);
    ck_assert_ptr_nonnull(strstr(refusals.sentences[0], "is gone since the list was read"));
    shop = sg_desk_shop(desk);
    ck_assert_str_eq(shop->materials[shop->stocks[part_of(desk, "2601/2/N")->stock].material].name, "copper");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("desk");
    TCase *tcase = tcase_create("desk");
    tcase_set_timeout(tcase, 120);
    tcase_add_checked_fixture(tcase, open_example, close_example);
    tcase_add_test(tcase, a_set_tells_what_was_and_what_is);
    tcase_add_test(tcase, one_wrong_value_keeps_all_out);
    tcase_add_test(tcase, without_keep_only_the_desk_changes);
    tcase_add_test(tcase, a_change_of_the_shift_fills_its_calendar);
    tcase_add_test(tcase, two_desks_on_one_file_keep_both_changes);
    tcase_add_test(tcase, a_desk_for_reading_writes_nothing);
    tcase_add_test(tcase, jobs_move_as_in_plain_lists);
    tcase_add_test(tcase, a_new_row_is_fresh_but_for_what_was_said);
    tcase_add_test(tcase, what_cannot_be_added_is_not);
    tcase_add_test(tcase, an_import_is_one_change);
    tcase_add_test(tcase, an_import_into_a_job_finds_or_makes_its_stocks);
    tcase_add_test(tcase, an_import_into_a_stock_leaves_out_what_is_of_other_sheets);
    tcase_add_test(tcase, an_import_finds_its_material_again);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
