/* Rows moved up and down, added beside others, refused; and what another person does meanwhile. */
#include "edit/clips.h"
#include "edit/run_suite.h"

/* The file as it was before; nothing was kept. */
static void ck_nothing_kept(struct sg_desk *before, int steps)
{
    ck_shows(before, error.text);
    ck_assert_int_eq(history().n, steps);
}

/* ---- up and down ---- */

START_TEST(rows_step_together_and_keep_their_order)
{
    static const struct {
        const char *keys;
        int by;
        const char *order, *words; /* words NULL: SG_NO */
    } steps[] = {
        {"2603/1/B", -1, "B,A,C,D,E", "2603/1/B moved up"},
        {"2603/1/B", -1, "2603/1/B is first already", NULL},
        {"2603/1/E", 1, "2603/1/E is last already", NULL},
        {"2603/1/C,2603/1/E", -1, "B,C,A,E,D", "moved 2 parts of 2603/1 up: C, E"},
        {"2603/1/A,2603/1/C", 1, "B,E,C,A,D", "moved 2 parts of 2603/1 down: C, A"},
        {"2603/1/D,2603/1/B", 1, "2603/1/D is last already", NULL},
        {"2603/1/C,2603/1/A", -9, "C,A,B,E,D", "moved 2 parts of 2603/1 up: C, A"},
        {"2603/1/C", 9, "A,B,E,D,C", "2603/1/C moved down"},
        {"2603/1/A,2603/1/B,2603/1/E,2603/1/D,2603/1/C", 1, "2603/1/C is last already", NULL},
    };
    int kept = STEPS_BEFORE;
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        enum sg_status status = step_rows(steps[i].keys, steps[i].by);
        if (!steps[i].words) {
            ck_assert_int_eq(status, SG_NO);
            ck_assert_str_eq(error.text, steps[i].order);
            ck_assert_int_eq(history().n, kept);
            continue;
        }
        must(status);
        ck_assert_str_eq(parts_of("2603/1"), steps[i].order);
        ck_newest(++kept, "office", steps[i].words);
    }
}
END_TEST

START_TEST(jobs_step_within_their_shift)
{
    must(step_rows("2603,2602", -1));
    ck_assert_str_eq(jobs_of("shift:A"), "2602,2603,2601,2604");
    ck_newest(STEPS_BEFORE + 1, "office", "moved 2 jobs of shift:A up: 2602, 2603");
    ck_assert_int_eq(step_rows("2602", -1), SG_NO);
    ck_assert_str_eq(error.text, "2602 is first already");
    ck_assert_int_eq(step_rows("2605", 1), SG_NO);
    turn(sg_desk_undo, "moved 2 jobs of shift:A up: 2602, 2603", true);
    ck_assert_str_eq(jobs_of("shift:A"), "2601,2602,2603,2604");
}
END_TEST

/* ---- refusals ---- */

static enum sg_status do_yank(const char *keys)
{
    return yank(keys, false);
}

static enum sg_status do_cut(const char *keys)
{
    return yank(keys, true);
}

static enum sg_status paste_part(const char *beside)
{
    must(yank("2603/1/A", false));
    return paste(beside, false);
}

static enum sg_status paste_job(const char *beside)
{
    must(yank("2603", false));
    return paste(beside, false);
}

static enum sg_status paste_head(const char *beside)
{
    must(yank("head:water", false));
    return paste(beside, false);
}

static enum sg_status step_down(const char *keys)
{
    return step_rows(keys, 1);
}

static enum sg_status add_part_beside(const char *beside)
{
    return add_beside(SG_KIND_PART, beside, "Z", NULL);
}

START_TEST(what_cannot_be_done_is_said_and_nothing_changes)
{
    static const struct {
        enum sg_status (*deed)(const char *);
        const char *keys;
        enum sg_status status;
        const char *why;
    } refused[] = {
        {do_yank, "", SG_USAGE, "no row is named"},
        {do_cut, "", SG_USAGE, "no row is named"},
        {do_yank, "2603,2603/1", SG_USAGE, "rows of one kind go together: 2603 is a job, 2603/1 is a stock"},
        {do_cut, "machine:main", SG_USAGE, "one machine, which stays"},
        {do_cut, "2603/1/A,2603/1/Z", SG_BAD_DATA, "has no part \"Z\""},
        {do_cut, "material:titan", SG_BAD_DATA, "type the whole name"},
        {paste_part, "machine:main", SG_USAGE,
         "a part is put beside a part or into a stock; machine:main is a machine"},
        {paste_part, "2603", SG_USAGE, "a part is put beside a part or into a stock; 2603 is a job"},
        {paste_part, "2699/1", SG_BAD_DATA, "no job \"2699\""},
        {paste_job, "2603/1", SG_USAGE, "a job is put beside a job or into a shift; 2603/1 is a stock"},
        {paste_head, "2603", SG_USAGE, "a head is put beside a head; 2603 is a job"},
        {duplicate, "2603/1/A,2603", SG_USAGE, "rows of one kind"},
        {duplicate, "machine:main", SG_USAGE, "one machine"},
        {step_down, "2605/1", SG_USAGE, "the stocks of a job stand by their numbers"},
        {step_down, "head:water", SG_USAGE, "heads have no order"},
        {step_down, "2603,2605", SG_USAGE, "jobs of one shift are moved together; these are of several"},
        {step_down, "2603/1/A,2601/1/A", SG_USAGE, "parts of one stock are moved together"},
        {add_part_beside, "2603", SG_USAGE, "a part is put beside a part or into a stock; 2603 is a job"},
        {add_part_beside, "2603/7", SG_BAD_DATA, "has no stock 7"},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        enum sg_status status = refused[i].deed(refused[i].keys);
        ck_assert_msg(status == refused[i].status && strstr(error.text, refused[i].why),
                      "%s: %d, \"%s\" is not in: %s", refused[i].keys, status, refused[i].why, error.text);
        ck_nothing_kept(before, STEPS_BEFORE);
    }
    sg_desk_close(before);
}
END_TEST

/* ---- new rows ---- */

START_TEST(a_new_row_stands_below_the_one_named)
{
    must(add_beside(SG_KIND_PART, "2603/1/B", "new", "quantity=7"));
    ck_assert_str_eq(parts_of("2603/1"), "A,B,new,C,D,E");
    ck_assert_int_eq(part_of(desk, "2603/1/new")->quantity, 7);
    ck_assert_str_eq(key_of_target(), "2603/1/new");
    ck_newest(STEPS_BEFORE + 1, "office", "2603/1/new added");
    must(add_beside(SG_KIND_PART, "2603/1", "end", NULL));
    ck_assert_str_eq(parts_of("2603/1"), "A,B,new,C,D,E,end");
    must(add_beside(SG_KIND_JOB, "2602", "2606", "customer=customer 9"));
    must(add_beside(SG_KIND_JOB, "shift:B", "2607", NULL));
    ck_assert_str_eq(jobs_of("shift:A"), "2601,2602,2606,2603,2604");
    ck_assert_str_eq(jobs_of("shift:B"), "2605,2607");
    must(add_beside(SG_KIND_STOCK, "2605/1", NULL, "thickness=0.5"));
    ck_assert_str_eq(key_of_target(), "2605/3");
    must(add_beside(SG_KIND_STOCK, "2607", NULL, NULL));
    ck_assert_str_eq(key_of_target(), "2607/1");
}
END_TEST

START_TEST(a_new_row_that_is_wrong_is_not_there)
{
    struct sg_desk *before = snapshot();
    ck_assert_int_eq(add_beside(SG_KIND_PART, "2603/1/B", "C", NULL), SG_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text, "part C exists already"));
    ck_assert_int_eq(add_beside(SG_KIND_PART, "2603/1/B", "x", "quantity=-1"), SG_BAD_DATA);
    ck_assert_int_eq(add_beside(SG_KIND_JOB, "2602", "2/6", NULL), SG_BAD_DATA);
    ck_assert_int_eq(add_beside(SG_KIND_JOB, "2602", "2606", "order=1"), SG_USAGE);
    ck_assert_int_eq(add_beside(SG_KIND_JOB, "2602", "2606", "shift=B"), SG_USAGE);
    ck_assert_int_eq(add_beside(SG_KIND_HEAD, "head:water", "x", NULL), SG_USAGE);
    ck_assert_int_eq(add_beside(SG_KIND_STOCK, "2602", NULL, "thickness=90"), SG_BAD_DATA); /* inches */
    ck_nothing_kept(before, STEPS_BEFORE);
    sg_desk_close(before);
}
END_TEST

static void ck_free(enum sg_kind kind, const char *beside, const char *wanted)
{
    char id[SG_FREE_ID] = "?";
    ck_assert_int_eq(sg_desk_free_id(desk, kind, beside, id, sizeof id), *wanted != '\0');
    ck_assert_str_eq(id, wanted);
}

START_TEST(free_keys_are_those_a_person_would_take)
{
    ck_free(SG_KIND_PART, "2603/1/B", "F");
    ck_free(SG_KIND_PART, "2602/1", "B");
    ck_free(SG_KIND_JOB, "2602", "2606");
    ck_free(SG_KIND_JOB, "shift:B", "2606");
    ck_free(SG_KIND_JOB, "2699", "");
    ck_free(SG_KIND_STOCK, "2602", "");
    ck_free(SG_KIND_PART, "2602", "");
    ck_free(SG_KIND_HEAD, NULL, "head-1");
    must(duplicate("2604")); /* 2604-2 is a 2604 */
    ck_free(SG_KIND_JOB, "2604-2", "2606");
    must(sg_desk_copy(desk, "2604", "J-009", &target, &error));
    ck_free(SG_KIND_JOB, "J-009", "J-010");
    ck_free(SG_KIND_JOB, "2604", "2606");
    must(sg_desk_copy(desk, "2604", "urgent", &target, &error));
    ck_free(SG_KIND_JOB, "urgent", "2606"); /* like the last in the shop that has a number */
    must(yank("2601,2602,2603,2604,2605,2604-2,J-009", true));
    ck_free(SG_KIND_JOB, "urgent", "job-1");
    must(add_beside(SG_KIND_JOB, "urgent", "job-1", NULL));
    ck_free(SG_KIND_JOB, "urgent", "job-2");
    must(add_beside(SG_KIND_STOCK, "job-1", NULL, NULL));
    for (int i = 0; i < 28; i++) {
        char id[SG_FREE_ID];
        ck_assert(sg_desk_free_id(desk, SG_KIND_PART, "job-1/1", id, sizeof id));
        must(add_beside(SG_KIND_PART, "job-1/1", id, NULL));
    }
    ck_assert(there("job-1/1/Z") && there("job-1/1/AA") && there("job-1/1/AB"));
}
END_TEST

/* ---- two people ---- */

START_TEST(anothers_later_change_is_not_taken_back)
{
    struct sg_desk *lead = desk_of("lead");
    must(yank("2603/1/A,2603/1/B", false));
    must(paste("2603/1/A", false));
    must(set_by(lead, "2603/1/D", "quantity=77")); /* its place has moved, its quantity has not */
    turn(sg_desk_undo, "pasted 2 parts into 2603/1: A-2, B-2", true);
    ck_assert_str_eq(parts_of("2603/1"), "A,B,C,D,E");
    ck_assert_int_eq(part_of(desk, "2603/1/D")->quantity, 77);
    turn(sg_desk_redo, "pasted 2 parts into 2603/1: A-2, B-2", false);
    ck_assert_str_eq(parts_of("2603/1"), "A,A-2,B-2,B,C,D,E");
    must(set_by(lead, "2603/1/A-2", "quantity=78"));
    struct sg_desk *before = snapshot();
    struct sg_step_told told;
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text, "lead changed it"));
    bool moved;
    must(sg_desk_look(desk, &moved, NULL, NULL, &error));
    ck_shows(before, "78 stays");
    sg_desk_close(before);
    sg_desk_close(lead);
}
END_TEST

START_TEST(rows_that_another_removed_are_not_there)
{
    struct sg_desk *lead = desk_of("lead");
    must(yank("2603/1/A", false));
    must(sg_desk_remove(lead, "2603/1", &error));
    ck_assert_int_eq(paste("2603/1/B", false), SG_BAD_DATA);
    ck_assert_int_eq(yank("2603/1/A", true), SG_BAD_DATA);
    must(paste("2602/1", false)); /* the clip has it still */
    ck_assert_str_eq(parts_of("2602/1"), "A,A-2");
    sg_desk_close(lead);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("clip, beside");
    TCase *tcase = tcase_create("many rows");
    tcase_add_checked_fixture(tcase, open_parts, close_parts);
    tcase_add_test(tcase, rows_step_together_and_keep_their_order);
    tcase_add_test(tcase, jobs_step_within_their_shift);
    tcase_add_test(tcase, what_cannot_be_done_is_said_and_nothing_changes);
    tcase_add_test(tcase, a_new_row_stands_below_the_one_named);
    tcase_add_test(tcase, a_new_row_that_is_wrong_is_not_there);
    tcase_add_test(tcase, free_keys_are_those_a_person_would_take);
    tcase_add_test(tcase, anothers_later_change_is_not_taken_back);
    tcase_add_test(tcase, rows_that_another_removed_are_not_there);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
