/* Every change through the desk is one step of the history that can be taken back; what others did is told
 * once; whole rows are removed, copied and moved, or nothing is. */
#include "edit/desk.h"
#include "edit/shop_file.h"

#include <check.h>
#include <time.h>

enum { SOME = 8, STEPS = 60 };

static struct shop_file file;
static struct sg_desk *desk;
static struct sg_error error;
static struct sg_change changes[SOME];
static struct sg_target target;

static struct sg_desk *desk_of(const char *who)
{
    struct sg_desk *made = shop_file_desk(&file, SG_STORE_WRITE);
    sg_desk_sign(made, who);
    return made;
}

static void open_example(void)
{
    shop_file_make(&file, true);
    desk = desk_of("office");
}

static void close_example(void)
{
    sg_desk_close(desk);
    ck_assert_msg(shop_file_remove(&file), "something was left in %s", file.folder);
}

static void must(enum sg_status status)
{
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

/* ---- the history as it is read back ---- */

struct told {
    int n;
    struct sg_step_told steps[STEPS];
};

static void note(void *context, const struct sg_step_told *step)
{
    struct told *told = context;
    ck_assert_int_lt(told->n, STEPS);
    told->steps[told->n++] = *step;
}

/* Newest first. */
static struct told history(void)
{
    struct told told = {0};
    must(sg_store_history(sg_desk_store(desk), 0, note, &told, &error));
    return told;
}

static void ck_newest(int n, const char *who, const char *words)
{
    struct told told = history();
    ck_assert_msg(told.n == n, "%d steps, expected %d for %s", told.n, n, words);
    ck_assert_str_eq(told.steps[0].who, who);
    ck_assert_str_eq(told.steps[0].words, words);
    ck_assert_int_eq(told.steps[0].kind, SG_STEP_CHANGE);
    ck_assert(!told.steps[0].undone);
}

/* ---- shops compared ---- */

/* The same rows under the same keys, with the same fields. */
static void ck_same_shop(const struct sg_shop *a, const struct sg_shop *b, const char *when)
{
    const char *where = shop_difference(a, b);
    ck_assert_msg(*where == '\0', "%s: %s differs", when, where);
    for (int kind = 0; kind < SG_KINDS; kind++)
        for (int32_t i = 0; i < rows_of(a, (enum sg_kind)kind); i++) {
            char x[1200], y[1200];
            int64_t p, q;
            const struct sg_target at = {(enum sg_kind)kind, i};
            sg_key_write(a, at, x, sizeof x);
            sg_key_write(b, at, y, sizeof y);
            memcpy(&p, sg_target_record(a, at), sizeof p);
            memcpy(&q, sg_target_record(b, at), sizeof q);
            ck_assert_msg(strcmp(x, y) == 0 && p == q, "%s: %s is %s", when, x, y);
        }
}

/* The shop as the file holds it now, kept by a desk of its own that is never asked again. */
static struct sg_desk *snapshot(void)
{
    return shop_file_desk(&file, SG_STORE_READ);
}

/* The desk and the file both show what the snapshot does; nothing is wrong with the file. */
static void complain(void *context, const char *sentence)
{
    (void)context;
    ck_abort_msg("check: %s", sentence);
}

static void ck_shows(struct sg_desk *wanted, const char *when)
{
    struct sg_desk *now = snapshot();
    ck_same_shop(sg_desk_shop(wanted), sg_desk_shop(desk), when);
    ck_same_shop(sg_desk_shop(wanted), sg_desk_shop(now), when);
    ck_assert_int_eq(sg_store_check(sg_desk_store(now), complain, NULL, &error), 0);
    sg_desk_close(now);
}

static bool differ(struct sg_desk *a, struct sg_desk *b)
{
    return *shop_difference(sg_desk_shop(a), sg_desk_shop(b)) != '\0';
}

static struct sg_target found(const struct sg_desk *on, const char *key)
{
    struct sg_target at = {SG_KIND_JOB, 0};
    ck_assert_msg(sg_key_find(sg_desk_shop(on), key, &at, &error) == SG_OK, "%s", error.text);
    return at;
}

static bool there(const char *key)
{
    struct sg_target at;
    return sg_key_find(sg_desk_shop(desk), key, &at, NULL) == SG_OK;
}

static const struct sg_part *part_of(const struct sg_desk *on, const char *key)
{
    struct sg_target at = found(on, key);
    ck_assert_int_eq(at.kind, SG_KIND_PART);
    return &sg_desk_shop(on)->parts[at.index];
}

/* ---- changes of every kind ---- */

static enum sg_status set_by(struct sg_desk *by, const char *key, const char *assignment)
{
    return sg_desk_set(by, key, &assignment, 1, true, changes, &target, &error);
}

static enum sg_status add(enum sg_kind kind, const char *parent, const char *id)
{
    return sg_desk_add(desk, kind, parent, id, NULL, 0, 20000, changes, &target, &error);
}

static struct sg_edit edit_of(const char *key, const char *assignment, const char *before)
{
    struct sg_edit edit = {.before = before};
    snprintf(edit.key, sizeof edit.key, "%s", key);
    snprintf(edit.assignment, sizeof edit.assignment, "%s", assignment);
    return edit;
}

static enum sg_status import_two(void)
{
    static bool said[64];
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    struct sg_incoming parts[2];
    const struct sg_import_how how = {.keep = true, .replace = true, .list = "north.csv"};
    struct sg_import_result result;
    said[sg_field_find(SG_KIND_PART, "quantity") - fields] = true;
    for (int i = 0; i < 2; i++) {
        parts[i] = (struct sg_incoming){
            .part = sg_fresh_part, .has = said, .material = SG_UNKNOWN, .thickness = (double)NAN};
        parts[i].part.id = i ? "N" : "A";
        parts[i].part.quantity = 3 + i;
    }
    return sg_desk_import(desk, "2601/1", parts, 2, &how, &result, &error);
}

static enum sg_status keep_four(void)
{
    const struct sg_edit edits[] = {edit_of("2601/1/A", "edge=2", NULL), edit_of("2602/1/A", "edge=2", NULL),
                                    edit_of("2603", "order=1", NULL),
                                    edit_of("machine:main", "bags_in_stock=9", NULL)};
    struct sg_clash clash;
    return sg_desk_keep(desk, edits, 4, "edge for four", changes, &clash, &error);
}

static enum sg_status set_one(void)
{
    return set_by(desk, "2601/1/A", "quantity=16");
}

static enum sg_status set_several(void)
{
    static const char *const assignments[] = {"due=2026-12-03", "order=1", "note=call first"};
    return sg_desk_set(desk, "2604", assignments, 3, true, changes, &target, &error);
}

static enum sg_status set_shift(void)
{
    return set_by(desk, "shift:A", "breaks=none");
}

static enum sg_status add_job(void)
{
    static const char *const first[] = {"order=2"};
    return sg_desk_add(desk, SG_KIND_JOB, NULL, "2700", first, 1, 20000, changes, &target, &error);
}

static enum sg_status add_stock(void)
{
    return add(SG_KIND_STOCK, "2602", NULL);
}

static enum sg_status add_part(void)
{
    return add(SG_KIND_PART, "2605/2", "3/4 ring");
}

static enum sg_status add_shift(void)
{
    return add(SG_KIND_SHIFT, NULL, "B");
}

static enum sg_status remove_job(void)
{
    return sg_desk_remove(desk, "2602", &error);
}

static enum sg_status remove_stock(void)
{
    return sg_desk_remove(desk, "2605/1", &error);
}

static enum sg_status remove_part(void)
{
    return sg_desk_remove(desk, "2601/1/A", &error);
}

static enum sg_status copy_job(void)
{
    return sg_desk_copy(desk, "2605", "2705", &target, &error);
}

static enum sg_status copy_stock(void)
{
    return sg_desk_copy(desk, "2601/1", "2605", &target, &error);
}

static enum sg_status copy_part(void)
{
    return sg_desk_copy(desk, "2601/1/A", "2602/1/C", &target, &error);
}

static enum sg_status copy_head(void)
{
    return sg_desk_copy(desk, "head:abrasive", "head:abrasive two", &target, &error);
}

static enum sg_status copy_material(void)
{
    return sg_desk_copy(desk, "material:copper", "material:copper, soft", &target, &error);
}

static enum sg_status copy_shift(void)
{
    return sg_desk_copy(desk, "shift:A", "shift:late", &target, &error);
}

static enum sg_status move_stock(void)
{
    return sg_desk_move(desk, "2605/1", "2601", &target, &error);
}

static enum sg_status move_part(void)
{
    return sg_desk_move(desk, "2601/1/B", "2602/1", &target, &error);
}

/* Words as the header gives them; a step without such words is named by what was typed. */
static const struct {
    enum sg_status (*make)(void);
    const char *words;
} each[] = {
    {set_one, "quantity of 2601/1/A: 20 -> 16"},
    {set_several, "due of 2604: 2026-12-02 -> 2026-12-03; order of 2604: 4 -> 1; note of "
                  "2604: annealed glass only: tempered breaks -> call first"},
    {set_shift, "breaks of shift:A: 09:30-09:45,12:00-12:30 -> none"},
    {add_job, "2700 added"},
    {add_stock, "2602/2 added"},
    {add_part, "2605/2/3/4 ring added"},
    {add_shift, "shift:B added"},
    {import_two, "1 parts added and 1 replaced in 2601/1 from north.csv"},
    {keep_four, "edge for four"},
    {remove_job, "2602 removed"},
    {remove_stock, "2605/1 removed"},
    {remove_part, "2601/1/A removed"},
    {copy_job, "2605 copied to 2705"},
    {copy_stock, "2601/1 copied to 2605"},
    {copy_part, "2601/1/A copied to 2602/1/C"},
    {copy_head, "head:abrasive copied to head:abrasive two"},
    {copy_material, "material:copper copied to material:copper, soft"},
    {copy_shift, "shift:A copied to shift:late"},
    {move_stock, "2605/1 moved to 2601"},
    {move_part, "2601/1/B moved to 2602/1"},
};
enum { EACH = sizeof each / sizeof *each };

START_TEST(a_change_is_one_step_with_who_when_and_words)
{
    double from = (double)time(NULL);
    must(each[_i].make());
    double to = (double)time(NULL) + 1;
    ck_newest(1, "office", each[_i].words);
    struct told told = history();
    ck_assert(told.steps[0].at >= from && told.steps[0].at <= to);
}
END_TEST

static void turn(enum sg_status (*how)(struct sg_desk *, struct sg_step_told *, struct sg_error *),
                 const char *words, bool undone)
{
    struct sg_step_told told = {0};
    must(how(desk, &told, &error));
    ck_assert_str_eq(told.words, words);
    ck_assert_int_eq(told.undone, undone);
}

static void reopen(void)
{
    sg_desk_close(desk);
    desk = desk_of("office");
}

START_TEST(undo_and_redo_give_the_same_shop_again)
{
    const char *words = each[_i].words;
    struct sg_desk *before = snapshot();
    must(each[_i].make());
    struct sg_desk *after = snapshot();
    ck_assert_msg(differ(before, after), "%s changed nothing", words);
    ck_shows(after, "made");
    turn(sg_desk_undo, words, true);
    ck_shows(before, "undone");
    turn(sg_desk_redo, words, false);
    ck_shows(after, "done again");
    reopen();
    turn(sg_desk_undo, words, true);
    ck_shows(before, "undone after it was opened anew");
    reopen();
    turn(sg_desk_redo, words, false);
    ck_shows(after, "done again after it was opened anew");
    ck_assert_int_eq(history().n, 5);
    sg_desk_close(before);
    sg_desk_close(after);
}
END_TEST

/* One after the other, all of them back, all of them again. */
START_TEST(a_day_of_changes_is_taken_back_to_its_morning)
{
    static const int day[] = {0, 1, 8, 3, 7, 12, 4, 18, 9, 2};
    enum { DAY = sizeof day / sizeof *day };
    struct sg_desk *shops[DAY + 1] = {snapshot()};
    for (int i = 0; i < DAY; i++) {
        must(each[day[i]].make());
        shops[i + 1] = snapshot();
    }
    for (int i = DAY - 1; i >= 0; i--) {
        turn(sg_desk_undo, history().steps[2 * (DAY - 1 - i)].words, true);
        ck_shows(shops[i], each[day[i]].words);
    }
    struct sg_step_told told;
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_NO);
    for (int i = 0; i < DAY; i++) {
        turn(sg_desk_redo, each[day[i]].words, false);
        ck_shows(shops[i + 1], each[day[i]].words);
    }
    ck_assert_int_eq(sg_desk_redo(desk, &told, &error), SG_NO);
    for (int i = 0; i <= DAY; i++)
        sg_desk_close(shops[i]);
}
END_TEST

START_TEST(what_keeps_nothing_is_no_step)
{
    const char *good = "quantity=25", *bad = "quantity=many", *same = "quantity=20";
    const struct sg_edit edits[] = {edit_of("2601/1/A", "quantity=7", NULL),
                                    edit_of("2601/1/B", "quantity=-1", NULL)};
    struct sg_clash clash;
    struct sg_step_told told;
    struct sg_desk *before = snapshot();
    must(sg_desk_set(desk, "2601/1/A", &good, 1, false, changes, &target, &error));
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 25);
    ck_assert_int_eq(history().n, 0);
    ck_assert_int_eq(sg_desk_set(desk, "2601/1/A", &bad, 1, true, changes, &target, &error), SG_BAD_DATA);
    ck_shows(before, "a wrong value");
    must(sg_desk_set(desk, "2601/1/A", &same, 1, true, changes, &target, &error));
    ck_assert_int_eq(set_by(desk, "9999", "note=x"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_JOB, NULL, "2601"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_PART, "2601", "Z"), SG_BAD_DATA);
    ck_assert_int_eq(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error), SG_BAD_DATA);
    must(sg_desk_keep(desk, edits, 0, NULL, changes, &clash, &error));
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_NO);
    ck_shows(before, "all that");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(before);
}
END_TEST

/* ---- two people ---- */

START_TEST(a_later_change_of_another_is_in_the_way_and_named)
{
    struct sg_desk *floor = desk_of("floor");
    struct sg_step_told told = {.id = 77};
    must(set_by(desk, "2601/1/A", "quantity=16"));
    must(set_by(floor, "2601/1/A", "quantity=18"));
    struct sg_desk *kept = snapshot();
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "floor changed it at ") &&
                      strstr(error.text, "quantity of 2601/1/A: 16 -> 18"),
                  "%s", error.text);
    ck_assert_int_eq(told.id, 77);
    must(sg_desk_undo(floor, &told, &error));
    turn(sg_desk_undo, "quantity of 2601/1/A: 20 -> 16", true);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 20);
    ck_assert_int_eq(part_of(kept, "2601/1/A")->quantity, 18); /* the snapshot was one */
    sg_desk_close(kept);
    sg_desk_close(floor);
}
END_TEST

START_TEST(each_takes_back_their_own_and_leaves_the_others)
{
    struct sg_desk *floor = desk_of("floor");
    must(set_by(desk, "2601/1/A", "quantity=16"));
    must(set_by(floor, "2601/1/A", "pierces=9"));
    must(set_by(floor, "2601/1/B", "quantity=5"));
    turn(sg_desk_undo, "quantity of 2601/1/A: 20 -> 16", true);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 20);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 9);
    ck_assert_int_eq(part_of(desk, "2601/1/B")->quantity, 5);
    sg_desk_close(floor);
}
END_TEST

START_TEST(a_desk_that_nobody_signed_for_is_somebodys)
{
    sg_desk_sign(desk, "");
    must(set_one());
    ck_newest(1, "somebody", "quantity of 2601/1/A: 20 -> 16");
    sg_desk_sign(desk, NULL);
    turn(sg_desk_undo, "quantity of 2601/1/A: 20 -> 16", true);
}
END_TEST

/* ---- several rows at once ---- */

START_TEST(four_rows_are_kept_as_one_step_and_undone_as_one)
{
    const struct sg_edit edits[] = {
        edit_of("2601/1/A", "quantity=1", "20"), edit_of("2601/1/B", "quantity=2", "36"),
        edit_of("2602/1/A", "quantity=3", "12"), edit_of("2603/1/A", "quantity=4", "12")};
    struct sg_clash clash;
    struct sg_desk *before = snapshot();
    must(sg_desk_keep(desk, edits, 4, NULL, changes, &clash, &error));
    ck_newest(1, "office",
              "quantity of 2601/1/A: 20 -> 1; quantity of 2601/1/B: 36 -> 2; quantity of 2602/1/A: 12 -> 3; "
              "quantity of 2603/1/A: 12 -> 4");
    ck_assert_str_eq(changes[2].before, "12");
    ck_assert_str_eq(changes[2].after, "3");
    ck_assert_int_eq(part_of(desk, "2603/1/A")->quantity, 4);
    turn(sg_desk_undo, history().steps[0].words, true);
    ck_shows(before, "one undo");
    sg_desk_close(before);
}
END_TEST

/* Wherever the wrong one stands. */
START_TEST(of_several_rows_all_are_kept_or_none)
{
    static const char *const wrong[][2] = {{"2601/1/A", "quantity=x"},
                                           {"2699/1/A", "quantity=1"},
                                           {"shift:A", "end=06:30"},
                                           {"2601", "colour=1"}};
    struct sg_edit edits[4] = {edit_of("2602/1/A", "quantity=3", NULL), edit_of("2603", "order=1", NULL),
                               edit_of("head:abrasive", "garnet=0.6 lb/min", NULL),
                               edit_of("2605", "note=soon", NULL)};
    const struct sg_edit good = edits[_i];
    struct sg_clash clash;
    struct sg_desk *before = snapshot();
    edits[_i] = edit_of(wrong[_i][0], wrong[_i][1], NULL);
    ck_assert_int_eq(sg_desk_keep(desk, edits, 4, "four", changes, &clash, &error), SG_BAD_DATA);
    ck_shows(before, error.text);
    ck_assert_int_eq(history().n, 0);
    edits[_i] = good;
    must(sg_desk_keep(desk, edits, 4, "four", changes, &clash, &error));
    ck_newest(1, "office", "four");
    sg_desk_close(before);
}
END_TEST

START_TEST(words_that_do_not_fit_are_cut_and_the_step_stands)
{
    char assignment[300], words[SG_WORDS_SIZE];
    struct sg_edit edits[3];
    struct sg_clash clash;
    snprintf(assignment, sizeof assignment, "note=%0250d", 7);
    for (int i = 0; i < 3; i++)
        edits[i] = edit_of(i == 0 ? "2601" : i == 1 ? "2602" : "2603", assignment, NULL);
    struct sg_desk *before = snapshot();
    must(sg_desk_keep(desk, edits, 3, NULL, changes, &clash, &error));
    struct told told = history();
    ck_assert_int_eq(told.n, 1);
    snprintf(words, sizeof words, "note of 2601: none -> %0250d; note of 2602: first", 7);
    ck_assert_msg(strncmp(told.steps[0].words, words, strlen(words)) == 0, "%s", told.steps[0].words);
    turn(sg_desk_undo, told.steps[0].words, true);
    ck_shows(before, "undone");
    sg_desk_close(before);
}
END_TEST

START_TEST(a_field_that_another_set_while_it_was_typed_is_a_clash)
{
    struct sg_desk *floor = desk_of("floor");
    const struct sg_edit edits[] = {edit_of("2602/1/A", "quantity=14", "12"),
                                    edit_of("2601/1/A", "quantity=25", "20")};
    struct sg_clash clash;
    memset(&clash, 'x', sizeof clash);
    must(set_by(floor, "2601/1/A", "quantity=18"));
    struct sg_desk *before = snapshot();
    ck_assert_int_eq(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error), SG_NO);
    ck_assert_int_eq(clash.edit, 1);
    ck_assert_str_eq(clash.theirs, "18");
    ck_assert_str_eq(clash.yours, "25");
    ck_assert_str_eq(clash.step.who, "floor");
    ck_assert_str_eq(clash.step.words, "quantity of 2601/1/A: 20 -> 18");
    ck_assert_msg(strstr(error.text, "floor set quantity of 2601/1/A to 18 while you typed 25"), "%s",
                  error.text);
    ck_shows(before, "a clash");
    ck_assert_int_eq(history().n, 1);
    sg_desk_close(before);
    sg_desk_close(floor);
}
END_TEST

/* Taken back it is no clash any more; another field of the row never was one. */
START_TEST(without_a_clash_both_keep_theirs)
{
    struct sg_desk *floor = desk_of("floor");
    const struct sg_edit edit = edit_of("2601/1/A", "quantity=25", "20");
    struct sg_clash clash;
    struct sg_step_told told;
    must(set_by(floor, "2601/1/A", "quantity=18"));
    must(sg_desk_undo(floor, &told, &error));
    must(set_by(floor, "2601/1/A", "pierces=9"));
    must(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error));
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 25);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 9);
    ck_newest(4, "office", "quantity of 2601/1/A: 20 -> 25");
    sg_desk_close(floor);
}
END_TEST

START_TEST(a_clash_with_what_the_history_does_not_say_is_nobodys)
{
    const struct sg_edit edit = edit_of("2601/1/A", "quantity=25", "19");
    struct sg_clash clash;
    ck_assert_int_eq(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error), SG_NO);
    ck_assert_int_eq(clash.step.id, 0);
    ck_assert_str_eq(clash.theirs, "20");
    ck_assert_int_eq(history().n, 0);
}
END_TEST

/* What is shown of a long note is cut; a note that nobody touched is no clash. */
START_TEST(a_long_note_is_no_clash_with_itself)
{
    static char assignment[3000], note_text[2990];
    const char *long_note = assignment;
    snprintf(note_text, sizeof note_text, "%02000d", 1);
    snprintf(assignment, sizeof assignment, "note=%s", note_text);
    must(sg_desk_set(desk, "2601", &long_note, 1, true, changes, &target, &error));
    const struct sg_edit edit = edit_of("2601", "note=short", note_text);
    struct sg_clash clash;
    must(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error));
    ck_assert_str_eq(sg_desk_shop(desk)->jobs[0].note, "short");
}
END_TEST

/* ---- the watch ---- */

static struct told looked(struct sg_desk *on, bool moved)
{
    struct told told = {0};
    bool did = !moved;
    must(sg_desk_look(on, &did, note, &told, &error));
    ck_assert_int_eq(did, moved);
    return told;
}

START_TEST(what_another_did_is_told_once_and_shown)
{
    struct sg_desk *floor = desk_of("floor");
    ck_assert_int_eq(looked(floor, false).n, 0);
    must(set_one());
    must(remove_job());
    ck_assert_int_eq(part_of(floor, "2601/1/A")->quantity, 20);
    struct told told = looked(floor, true);
    ck_assert_int_eq(told.n, 2);
    ck_assert_str_eq(told.steps[0].who, "office");
    ck_assert_str_eq(told.steps[0].words, "quantity of 2601/1/A: 20 -> 16");
    ck_assert_str_eq(told.steps[1].words, "2602 removed");
    ck_same_shop(sg_desk_shop(desk), sg_desk_shop(floor), "looked");
    ck_assert_int_eq(looked(floor, false).n, 0);
    struct sg_step_told undone;
    must(sg_desk_undo(desk, &undone, &error));
    told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "undo: 2602 removed");
    ck_assert_int_eq(told.steps[0].kind, SG_STEP_UNDO);
    ck_same_shop(sg_desk_shop(desk), sg_desk_shop(floor), "looked again");
    ck_assert_int_eq(looked(floor, false).n, 0);
    sg_desk_close(floor);
}
END_TEST

START_TEST(what_one_did_oneself_is_no_news)
{
    struct sg_desk *floor = desk_of("floor");
    must(set_by(floor, "2601/1/B", "quantity=5"));
    ck_assert_int_eq(looked(floor, false).n, 0);
    must(set_one());
    must(set_by(floor, "2601/1/B", "quantity=6")); /* the file is read anew for it, and the news waits */
    ck_assert_int_eq(part_of(floor, "2601/1/A")->quantity, 16);
    struct told told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "quantity of 2601/1/A: 20 -> 16");
    ck_assert_int_eq(looked(floor, false).n, 0);
    sg_desk_close(floor);
}
END_TEST

START_TEST(what_was_done_before_the_desk_was_opened_is_no_news)
{
    must(set_one());
    must(remove_job());
    struct sg_desk *floor = desk_of("floor");
    ck_assert_int_eq(looked(floor, false).n, 0);
    must(set_by(desk, "2603/1/A", "quantity=3"));
    struct told told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "quantity of 2603/1/A: 12 -> 3");
    sg_desk_close(floor);
}
END_TEST

/* A name that is cut or cleaned when it is written down stays one's own. */
START_TEST(a_long_or_odd_name_is_ones_own_all_the_same)
{
    static char name[200];
    for (int i = 0; i < 66; i++)
        memcpy(name + 3 * i, "\xE2\x82\xAC", 4); /* a character of three bytes, cut at 99 or before */
    name[1] = _i ? name[1] : '\t';
    const char *who = _i ? name : "floor\tone";
    struct sg_desk *floor = desk_of(who);
    must(set_by(floor, "2601/1/B", "quantity=5"));
    must(set_by(desk, "2601/1/A", "quantity=6"));
    must(set_by(floor, "2601/1/B", "quantity=7"));
    ck_assert_int_eq(looked(floor, true).n, 1);
    struct sg_step_told told;
    must(sg_desk_undo(floor, &told, &error));
    ck_assert_str_eq(told.words, "quantity of 2601/1/B: 5 -> 7");
    sg_desk_close(floor);
}
END_TEST

/* ---- whole rows ---- */

static void ck_orders_close_up(void)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    int32_t place = 0;
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        place = i > 0 && shop->jobs[i - 1].shift == shop->jobs[i].shift ? place + 1 : 1;
        ck_assert_int_eq(shop->jobs[i].order, place);
    }
}

START_TEST(a_removed_row_takes_along_what_belongs_to_it)
{
    must(sg_desk_remove(desk, "2602", &error));
    ck_assert(!there("2602") && !there("2602/1") && !there("2602/1/A"));
    ck_assert_int_eq(sg_desk_shop(desk)->n_jobs, 4);
    ck_orders_close_up();
    must(sg_desk_remove(desk, "2605/1", &error));
    ck_assert(!there("2605/1") && there("2605/2/A"));
    must(sg_desk_remove(desk, "2601/1/A", &error));
    ck_assert(!there("2601/1/A") && there("2601/1/B"));
    must(add(SG_KIND_CHORE, NULL, "wash"));
    must(sg_desk_remove(desk, "chore:wash", &error));
    ck_assert(!there("chore:wash"));
    must(add_shift());
    must(sg_desk_remove(desk, "shift:B", &error));
    must(copy_head());
    must(sg_desk_remove(desk, "head:abrasive two", &error));
    must(sg_desk_remove(desk, "material:BeCu", &error)); /* by another name of it */
    ck_assert(!there("material:copper, beryllium"));
    ck_newest(10, "office", "material:copper, beryllium removed");
    struct sg_desk *now = snapshot();
    ck_shows(now, "all that");
    sg_desk_close(now);
}
END_TEST

static void ck_refusal(enum sg_status status, const char *why, struct sg_desk *before)
{
    ck_assert_msg(status == SG_BAD_DATA, "%s gives %d", why, status);
    ck_assert_msg(strstr(error.text, why) != NULL, "\"%s\" is not in: %s", why, error.text);
    ck_shows(before, error.text);
    ck_assert_int_eq(history().n, 0);
}

START_TEST(what_is_in_use_or_not_there_is_not_removed)
{
    static const char *const refused[][2] = {
        {"shift:A", "job 2601 and 4 more use it"},
        {"head:abrasive", "machine main uses it"},
        {"material:glass, float", "stock 2604/1 uses it"},
        {"machine:main", "machine cannot be removed"},
        {"2699", "no job \"2699\""},
        {"2601/9", "9"},
        {"2601/1/Z", "no part \"Z\""},
        {"chore:none", "none"},
        {"", ""},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        ck_refusal(sg_desk_remove(desk, refused[i][0], &error), refused[i][1], before);
    sg_desk_close(before);
}
END_TEST

static void ck_same_parts(const char *a, const char *b)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_stock *x = &shop->stocks[found(desk, a).index], *y = &shop->stocks[found(desk, b).index];
    int n_fields;
    const struct sg_field *fields = sg_fields(SG_KIND_STOCK, &n_fields);
    struct sg_value p, q;
    for (int f = 0; f < n_fields; f++) {
        sg_field_get(&fields[f], x, &p);
        sg_field_get(&fields[f], y, &q);
        ck_assert_msg(sg_field_same(&fields[f], &p, &q), "%s of %s", fields[f].name, b);
    }
    ck_assert_int_eq(x->n_parts, y->n_parts);
    fields = sg_fields(SG_KIND_PART, &n_fields);
    for (int32_t i = 0; i < x->n_parts; i++) {
        const struct sg_part *k = &shop->parts[x->first_part + i], *l = &shop->parts[y->first_part + i];
        ck_assert_str_eq(k->id, l->id);
        for (int f = 0; f < n_fields; f++) {
            sg_field_get(&fields[f], k, &p);
            sg_field_get(&fields[f], l, &q);
            ck_assert_msg(sg_field_same(&fields[f], &p, &q), "%s of %s/%s", fields[f].name, b, l->id);
        }
    }
}

START_TEST(a_copied_job_has_everything_and_stands_at_the_end)
{
    must(copy_job());
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_assert_int_eq(target.kind, SG_KIND_JOB);
    const struct sg_job *copy = &shop->jobs[target.index], *from = &shop->jobs[found(desk, "2605").index];
    ck_assert_str_eq(copy->id, "2705");
    ck_assert_str_eq(copy->name, from->name);
    ck_assert_str_eq(copy->customer, "customer 7");
    ck_assert_int_eq(copy->due, from->due);
    ck_assert_int_eq(copy->shift, from->shift);
    ck_assert_int_eq(copy->order, 6);
    ck_assert_int_eq(copy->n_stocks, 2);
    ck_same_parts("2605/1", "2705/1");
    ck_same_parts("2605/2", "2705/2");
    ck_orders_close_up();
}
END_TEST

START_TEST(a_copied_stock_gets_the_next_number)
{
    must(sg_desk_copy(desk, "2601/1", "2605", &target, &error));
    ck_assert_int_eq(sg_desk_shop(desk)->stocks[target.index].number, 3);
    ck_same_parts("2601/1", "2605/3");
    must(sg_desk_copy(desk, "2605/1", "2605", &target, &error)); /* to its own job */
    ck_same_parts("2605/1", "2605/4");
}
END_TEST

START_TEST(a_copied_part_keeps_its_key_or_gets_a_new_one)
{
    must(sg_desk_copy(desk, "2601/1/B", "2602/1", &target, &error));
    ck_assert_int_eq(part_of(desk, "2602/1/B")->quantity, 36);
    ck_assert_ptr_eq(part_of(desk, "2602/1/B"), &sg_desk_shop(desk)->parts[target.index]);
    must(sg_desk_copy(desk, "2601/1/B", "2602/1/3/4 in", &target, &error));
    ck_assert_str_eq(sg_desk_shop(desk)->parts[target.index].id, "3/4 in");
    must(sg_desk_copy(desk, "2602/1/3/4 in", "2601/1", &target, &error));
    ck_assert_int_eq(part_of(desk, "2601/1/3/4 in")->quantity, 36);
    ck_assert_int_eq(part_of(desk, "2601/1/B")->quantity, 36); /* the original stays */
}
END_TEST

START_TEST(heads_materials_shifts_and_chores_are_copied_to_another_name)
{
    const struct sg_shop *shop;
    const char *time_of_it = "time=7 min";
    must(copy_head());
    shop = sg_desk_shop(desk);
    ck_assert_str_eq(shop->heads[target.index].name, "abrasive two");
    ck_assert(shop->heads[target.index].orifice == shop->heads[found(desk, "head:abrasive").index].orifice);
    must(copy_material());
    shop = sg_desk_shop(desk);
    ck_assert(shop->materials[target.index].density ==
              shop->materials[found(desk, "material:copper").index].density);
    must(copy_shift());
    shop = sg_desk_shop(desk);
    ck_assert_int_eq(shop->shifts[target.index].n_breaks, 2);
    ck_assert_int_eq(shop->n_jobs, 5); /* a shift's jobs do not belong to it */
    must(sg_desk_add(desk, SG_KIND_CHORE, NULL, "wash", &time_of_it, 1, 20000, changes, &target, &error));
    must(sg_desk_copy(desk, "chore:wash", "chore:wash again", &target, &error));
    ck_assert(sg_desk_shop(desk)->chores[target.index].time == 420);
    ck_assert_int_eq(sg_desk_shop(desk)->n_chores, 2);
}
END_TEST

START_TEST(a_copy_that_has_no_place_is_refused)
{
    static const char *const refused[][3] = {
        {"2601", "2602", "2602 exists already"},
        {"2601", "27/01", "may not hold / or :"},
        {"2601", "", ""},
        {"2601/1", "2699", "no job \"2699\""},
        {"2601/1", "2602/1", "a stock goes to a JOB; 2602/1 is a stock"},
        {"2601/1", "shift:A", "a stock goes to a JOB; shift:A is a shift"},
        {"2601/1/A", "2602/1", "A exists already"},
        {"2601/1/A", "2601/1/B", "B exists already"},
        {"2601/1/A", "2602", "a part goes to JOB/STOCK or JOB/STOCK/PART; 2602 is a job"},
        {"2601/1/A", "2602/9/A", "9"},
        {"2601/1/A", "2602/1/", ""},
        {"head:abrasive", "head:water", "water exists already"},
        {"head:abrasive", "water two", "a head is copied to head:NAME"},
        {"head:abrasive", "head:", ""},
        {"material:copper", "material:acrylic", "acrylic exists already"},
        {"material:copper", "head:copper", "a material is copied to material:NAME"},
        {"shift:A", "shift:A", "A exists already"},
        {"machine:main", "machine:two", "a shop file holds one machine"},
        {"2699", "2700", "no job \"2699\""},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        ck_refusal(sg_desk_copy(desk, refused[i][0], refused[i][1], &target, &error), refused[i][2], before);
    sg_desk_close(before);
}
END_TEST

START_TEST(what_is_moved_is_there_and_no_longer_where_it_was)
{
    must(add_shift());
    must(sg_desk_move(desk, "2602", "shift:B", &target, &error));
    ck_assert_int_eq(target.kind, SG_KIND_JOB);
    ck_assert_str_eq(sg_desk_shop(desk)->jobs[target.index].id, "2602");
    ck_assert_str_eq(sg_desk_shop(desk)->shifts[sg_desk_shop(desk)->jobs[target.index].shift].id, "B");
    ck_orders_close_up();
    ck_newest(2, "office", "shift of 2602: A -> B");
    must(sg_desk_move(desk, "2605/1", "2601", &target, &error));
    ck_assert_int_eq(sg_desk_shop(desk)->stocks[target.index].number, 2);
    ck_assert(there("2601/2/A") && !there("2605/1") && there("2605/2/A"));
    ck_assert_int_eq(part_of(desk, "2601/2/A")->pierces, 6);
    must(sg_desk_move(desk, "2601/1/B", "2602/1", &target, &error));
    ck_assert(!there("2601/1/B"));
    ck_assert_int_eq(part_of(desk, "2602/1/B")->quantity, 36);
    must(sg_desk_move(desk, "2602/1/B", "2602/1/C", &target, &error)); /* so a part gets another key */
    ck_assert(!there("2602/1/B"));
    ck_assert_int_eq(part_of(desk, "2602/1/C")->quantity, 36);
    ck_assert_int_eq(history().n, 5);
    struct sg_desk *now = snapshot();
    ck_shows(now, "all that");
    sg_desk_close(now);
}
END_TEST

START_TEST(a_move_that_has_no_place_is_refused)
{
    static const char *const refused[][3] = {
        {"2601", "shift:Z", "Z"},
        {"2601", "2602", "a job is moved to shift:ID"},
        {"2601", "A", "a job is moved to shift:ID"},
        {"2601/1", "2699", "no job \"2699\""},
        {"2601/1", "shift:A", "a stock goes to a JOB"},
        {"2601/1/A", "2602/1", "A exists already"},
        {"2601/1/A", "2601/1", "A exists already"},
        {"2601/1/A", "2602", "a part goes to JOB/STOCK"},
        {"head:abrasive", "head:two", "head:abrasive is a head"},
        {"shift:A", "shift:B", "shift:A is a shift"},
        {"machine:main", "machine:two", "machine:main is a machine"},
        {"2699", "shift:A", "no job \"2699\""},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        ck_refusal(sg_desk_move(desk, refused[i][0], refused[i][1], &target, &error), refused[i][2], before);
    sg_desk_close(before);
}
END_TEST

/* Another desk removed it in the meantime, or added it. */
START_TEST(what_another_desk_did_to_a_row_counts)
{
    struct sg_desk *floor = desk_of("floor");
    must(sg_desk_remove(floor, "2602", &error));
    ck_assert(there("2602")); /* not looked yet */
    ck_assert_int_eq(sg_desk_remove(desk, "2602", &error), SG_BAD_DATA);
    ck_assert(!there("2602"));
    must(sg_desk_copy(floor, "2601", "2801", &target, &error));
    looked(desk, true);
    must(sg_desk_move(desk, "2801/1/A", "2603/1/Z", &target, &error));
    ck_assert_int_eq(part_of(desk, "2603/1/Z")->quantity, 20);
    sg_desk_close(floor);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("steps");
    TCase *tests = tcase_create("steps");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_loop_test(tests, a_change_is_one_step_with_who_when_and_words, 0, EACH);
    tcase_add_loop_test(tests, undo_and_redo_give_the_same_shop_again, 0, EACH);
    tcase_add_test(tests, a_day_of_changes_is_taken_back_to_its_morning);
    tcase_add_test(tests, what_keeps_nothing_is_no_step);
    tcase_add_test(tests, a_later_change_of_another_is_in_the_way_and_named);
    tcase_add_test(tests, each_takes_back_their_own_and_leaves_the_others);
    tcase_add_test(tests, a_desk_that_nobody_signed_for_is_somebodys);
    tcase_add_test(tests, four_rows_are_kept_as_one_step_and_undone_as_one);
    tcase_add_loop_test(tests, of_several_rows_all_are_kept_or_none, 0, 4);
    tcase_add_test(tests, words_that_do_not_fit_are_cut_and_the_step_stands);
    tcase_add_test(tests, a_field_that_another_set_while_it_was_typed_is_a_clash);
    tcase_add_test(tests, without_a_clash_both_keep_theirs);
    tcase_add_test(tests, a_clash_with_what_the_history_does_not_say_is_nobodys);
    tcase_add_test(tests, a_long_note_is_no_clash_with_itself);
    tcase_add_test(tests, what_another_did_is_told_once_and_shown);
    tcase_add_test(tests, what_one_did_oneself_is_no_news);
    tcase_add_test(tests, what_was_done_before_the_desk_was_opened_is_no_news);
    tcase_add_loop_test(tests, a_long_or_odd_name_is_ones_own_all_the_same, 0, 2);
    tcase_add_test(tests, a_removed_row_takes_along_what_belongs_to_it);
    tcase_add_test(tests, what_is_in_use_or_not_there_is_not_removed);
    tcase_add_test(tests, a_copied_job_has_everything_and_stands_at_the_end);
    tcase_add_test(tests, a_copied_stock_gets_the_next_number);
    tcase_add_test(tests, a_copied_part_keeps_its_key_or_gets_a_new_one);
    tcase_add_test(tests, heads_materials_shifts_and_chores_are_copied_to_another_name);
    tcase_add_test(tests, a_copy_that_has_no_place_is_refused);
    tcase_add_test(tests, what_is_moved_is_there_and_no_longer_where_it_was);
    tcase_add_test(tests, a_move_that_has_no_place_is_refused);
    tcase_add_test(tests, what_another_desk_did_to_a_row_counts);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
