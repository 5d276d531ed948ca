/* Many rows at once: what comes of it, in which order, under which keys, in which words. */
#include "edit/clips.h"
#include "edit/run_suite.h"

/* The file as it was before; nothing was kept. */
static void ck_nothing_kept(struct sg_desk *before, int steps)
{
    ck_shows(before, error.text);
    ck_assert_int_eq(history().n, steps);
}

/* ---- copy, cut ---- */

START_TEST(copied_rows_outlive_the_shop_they_are_from)
{
    must(yank("2603/1/D,2603/1/C,2603/1/C", false));
    ck_assert_int_eq(sg_clip_kind(clip), SG_KIND_PART);
    ck_assert_int_eq(sg_clip_count(clip), 2);
    ck_assert_int_eq(history().n, STEPS_BEFORE); /* nothing was written */
    struct sg_desk *before = snapshot();
    must(sg_desk_remove(desk, "2603", &error));
    reopen();
    must(paste("2601/1", false));
    ck_assert_str_eq(key_of_target(), "2601/1/C");
    ck_assert_str_eq(parts_of("2601/1"), "A,B,C,D");
    ck_assert_str_eq(part_of(desk, "2601/1/C")->note, "grind the edge, see drawing 7");
    ck_same_fields(sg_desk_shop(before), found(before, "2603/1/C"), sg_desk_shop(desk),
                   found(desk, "2601/1/C"), NULL);
    ck_newest(STEPS_BEFORE + 2, "office", "pasted 2 parts into 2601/1: C, D");
    sg_desk_close(before);
}
END_TEST

START_TEST(cut_rows_go_as_one_step)
{
    struct sg_desk *before = snapshot();
    must(yank("2603/1/B,2603/1/C,2603/1/D,2603/1/A", true));
    ck_assert_str_eq(parts_of("2603/1"), "E");
    ck_newest(STEPS_BEFORE + 1, "office", "removed 4 parts of 2603/1: A, B, C, D");
    turn(sg_desk_undo, "removed 4 parts of 2603/1: A, B, C, D", true);
    ck_shows(before, "all four came back");
    must(yank("2602,2604", true));
    ck_assert_str_eq(jobs_of("shift:A"), "2601,2603");
    must(yank("2605/2", true));
    ck_newest(STEPS_BEFORE + 4, "office", "2605/2 removed");
    must(yank("2601/1/A,2605/1/A", true));
    ck_newest(STEPS_BEFORE + 5, "office", "removed 2 parts: 2601/1/A, 2605/1/A");
    sg_desk_close(before);
}
END_TEST

START_TEST(a_row_that_is_in_use_keeps_all_of_them)
{
    must(sg_desk_copy(desk, "head:abrasive", "head:long", &target, &error));
    struct sg_desk *before = snapshot();
    ck_assert_int_eq(yank("head:long,head:abrasive", true), SG_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text, "machine main uses it"));
    ck_nothing_kept(before, STEPS_BEFORE + 1);
    sg_desk_close(before);
}
END_TEST

START_TEST(long_lists_of_keys_are_cut_to_fit)
{
    char long_key[200], key[240];
    memset(long_key, 'k', 150);
    for (int i = 0; i < 10; i++) {
        snprintf(long_key + 150, sizeof long_key - 150, "%d", i);
        must(add(SG_KIND_PART, "2601/1", long_key));
        snprintf(key, sizeof key, "2601/1/%s", long_key);
    }
    must(yank("2601/1", false));
    const struct sg_stock *stock = &sg_desk_shop(desk)->stocks[found(desk, "2601/1").index];
    char names[12][240];
    const char *list[12];
    for (int32_t i = 0; i < stock->n_parts; i++) {
        sg_key_write(sg_desk_shop(desk), (struct sg_target){SG_KIND_PART, stock->first_part + i}, names[i],
                     sizeof names[i]);
        list[i] = names[i];
    }
    struct sg_clip *all = NULL;
    must(sg_desk_yank(desk, list, 12, true, &all, &error));
    sg_clip_free(all);
    struct told told = history();
    const char *words = told.steps[0].words;
    ck_assert_ptr_eq(strstr(words, "removed 12 parts of 2601/1: A, B, kkk"), words);
    ck_assert_str_eq(words + strlen(words) - strlen(", and 7 more"), ", and 7 more");
}
END_TEST

/* ---- paste ---- */

START_TEST(parts_go_below_above_and_to_the_end)
{
    static const struct {
        const char *beside;
        bool above;
        const char *first, *order, *words;
    } pastes[] = {
        {"2603/1/B", false, "2603/1/A-2", "A,B,A-2,C-2,C,D,E", "pasted 2 parts into 2603/1: A-2, C-2"},
        {"2603/1/A", true, "2603/1/A-3", "A-3,C-3,A,B,A-2,C-2,C,D,E", "pasted 2 parts into 2603/1: A-3, C-3"},
        {"2603/1", true, "2603/1/A-4", "A-3,C-3,A,B,A-2,C-2,C,D,E,A-4,C-4",
         "pasted 2 parts into 2603/1: A-4, C-4"},
        {"2603/1/C-4", false, "2603/1/A-5", "A-3,C-3,A,B,A-2,C-2,C,D,E,A-4,C-4,A-5,C-5",
         "pasted 2 parts into 2603/1: A-5, C-5"},
    };
    must(yank("2603/1/A,2603/1/C", false));
    for (int i = 0; i < 4; i++) {
        must(paste(pastes[i].beside, pastes[i].above));
        ck_assert_str_eq(key_of_target(), pastes[i].first);
        ck_assert_str_eq(parts_of("2603/1"), pastes[i].order);
        ck_newest(STEPS_BEFORE + i + 1, "office", pastes[i].words);
        ck_assert_str_eq(sg_clip_said(clip), "");
    }
    struct sg_desk *now = snapshot();
    ck_shows(now, "pasted");
    sg_desk_close(now);
}
END_TEST

/* A-2 is taken for the second A where there is an A; else it is a key like another. */
START_TEST(copies_of_copies_count_on)
{
    must(duplicate("2603/1/A"));
    must(duplicate("2603/1/A-2"));
    ck_assert_str_eq(parts_of("2603/1"), "A,A-2,A-3,B,C,D,E");
    must(add(SG_KIND_PART, "2602/1", "00417-3"));
    must(duplicate("2602/1/00417-3"));
    ck_assert_str_eq(parts_of("2602/1"), "A,00417-3,00417-3-2");
    must(yank("2603/1/A-2", true));
    must(paste("2603/1/E", false)); /* free again */
    ck_assert_str_eq(parts_of("2603/1"), "A,A-3,B,C,D,E,A-2");
}
END_TEST

START_TEST(a_copy_of_a_long_key_is_cut_to_what_a_key_may_be)
{
    char job[200], part[1000];
    for (int i = 0; i < 60; i++)
        memcpy(job + 3 * i, "\xE2\x82\xAC", 4); /* 60 times U+20AC, 3 bytes each */
    for (int i = 0; i < 200; i++)
        memcpy(part + i, "x", 2);
    must(sg_desk_copy(desk, "2602", job, &target, &error));
    must(duplicate(job));
    const char *key = key_of_target();
    ck_assert_int_eq(sg_key_check(SG_KIND_JOB, key, &error), SG_OK);
    ck_assert_int_eq(strncmp(key, job, 3 * 58), 0);
    ck_assert_str_eq(key + 3 * 58, "-2");
    must(add(SG_KIND_PART, "2602/1", part));
    char whole[1100];
    snprintf(whole, sizeof whole, "2602/1/%s", part);
    must(duplicate(whole));
    ck_assert_uint_eq(strlen(key_of_target()), strlen("2602/1/") + 200);
    ck_assert_str_eq(key_of_target() + strlen("2602/1/") + 198, "-2");
}
END_TEST

START_TEST(jobs_go_to_the_shift_of_the_job_named)
{
    must(yank("2601,2603", true));
    must(paste("2605", true));
    ck_assert_str_eq(jobs_of("shift:A"), "2602,2604");
    ck_assert_str_eq(jobs_of("shift:B"), "2601,2603,2605");
    ck_newest(STEPS_BEFORE + 2, "office", "pasted 2 jobs into shift:B: 2601, 2603");
    must(paste("shift:A", false));
    ck_assert_str_eq(jobs_of("shift:A"), "2602,2604,2601-2,2603-2");
    ck_assert_str_eq(key_of_target(), "2601-2");
    ck_assert_str_eq(parts_of("2603-2/1"), "A,B,C,D,E");
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_same_fields(shop, found(desk, "2603/1"), shop, found(desk, "2603-2/1"), NULL);
    ck_same_fields(shop, found(desk, "2603/1/C"), shop, found(desk, "2603-2/1/C"), NULL);
    ck_assert_str_eq(shop->jobs[found(desk, "2601").index].customer,
                     shop->jobs[found(desk, "2601-2").index].customer);
    must(paste("2602", false));
    ck_assert_str_eq(jobs_of("shift:A"), "2602,2601-3,2603-3,2604,2601-2,2603-2");
}
END_TEST

START_TEST(stocks_get_the_next_numbers)
{
    must(yank("2605/1,2605/2", false));
    must(paste("2601", false));
    ck_assert_str_eq(key_of_target(), "2601/2");
    ck_newest(STEPS_BEFORE + 1, "office", "pasted 2 stocks into 2601: 2, 3");
    must(paste("2605/1", false));
    ck_assert_str_eq(key_of_target(), "2605/3");
    ck_assert(there("2605/4/A") && there("2601/3/A"));
    ck_same_fields(sg_desk_shop(desk), found(desk, "2605/2"), sg_desk_shop(desk), found(desk, "2605/4"),
                   NULL);
}
END_TEST

START_TEST(what_is_gone_is_not_known_and_said)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    must(sg_desk_copy(desk, "head:abrasive", "head:long", &target, &error));
    must(sg_desk_copy(desk, "material:copper", "material:copper, soft", &target, &error));
    must(set_by(desk, "2602/1", "material=copper, soft"));
    must(set_by(desk, "2602/1", "head=long"));
    must(yank("2602/1", true));
    must(sg_desk_remove(desk, "head:long", &error));
    must(sg_desk_remove(desk, "material:copper, soft", &error));
    must(paste("2602", false));
    ck_assert_str_eq(sg_clip_said(clip), "material copper, soft, head long are gone: not known there now");
    ck_newest(STEPS_BEFORE + 8, "office",
              "2602/1 pasted; material copper, soft, head long are gone: not known there now");
    const struct sg_stock *stock = &shop->stocks[target.index];
    ck_assert_int_eq(stock->material, SG_UNKNOWN);
    ck_assert_int_eq(stock->head, SG_UNKNOWN);
    ck_assert_int_eq(stock->n_parts, 1);
    must(sg_desk_copy(desk, "material:copper", "material:copper, soft", &target, &error));
    must(sg_desk_copy(desk, "head:abrasive", "head:long", &target, &error));
    must(paste("2602", false)); /* found again by their names */
    ck_assert_str_eq(sg_clip_said(clip), "");
    ck_assert_str_eq(shop->materials[shop->stocks[target.index].material].name, "copper, soft");
    ck_assert_str_eq(shop->heads[shop->stocks[target.index].head].name, "long");
}
END_TEST

/* ---- doubled ---- */

START_TEST(doubled_rows_stand_behind_the_last_of_their_parent)
{
    must(duplicate("2603/1/D,2603/1/B"));
    ck_assert_str_eq(parts_of("2603/1"), "A,B,C,D,B-2,D-2,E");
    ck_assert_str_eq(key_of_target(), "2603/1/B-2");
    ck_newest(STEPS_BEFORE + 1, "office", "duplicated 2 parts in 2603/1: B-2, D-2");
    must(duplicate("2603/1/A,2601/1/B"));
    ck_assert_str_eq(parts_of("2603/1"), "A,A-2,B,C,D,B-2,D-2,E");
    ck_assert_str_eq(parts_of("2601/1"), "A,B,B-2");
    ck_newest(STEPS_BEFORE + 2, "office", "duplicated 2 parts: 2601/1/B-2, 2603/1/A-2");
    must(duplicate("2605,2602"));
    ck_assert_str_eq(jobs_of("shift:A"), "2601,2602,2602-2,2603,2604");
    ck_assert_str_eq(jobs_of("shift:B"), "2605,2605-2");
    ck_assert(there("2605-2/2/A"));
    must(duplicate("2605/1"));
    ck_assert_str_eq(key_of_target(), "2605/3");
    ck_newest(STEPS_BEFORE + 4, "office", "2605/3 duplicated");
}
END_TEST

/* 2604 is in shift A, 2604-2 in shift B: both go on counting from 2604. */
START_TEST(copies_in_several_shifts_get_keys_of_their_own)
{
    must(duplicate("2604"));
    must(set_by(desk, "2604-2", "shift=B"));
    must(duplicate("2604,2604-2"));
    ck_assert_str_eq(jobs_of("shift:A"), "2601,2602,2603,2604,2604-3");
    ck_assert_str_eq(jobs_of("shift:B"), "2605,2604-2,2604-4");
}
END_TEST

START_TEST(heads_materials_shifts_and_chores_can_be_doubled)
{
    static const char *const rows[][2] = {{"head:water", "head:water-2"},
                                          {"material:titanium", "material:titanium-2"},
                                          {"shift:A", "shift:A-2"},
                                          {"chore:wash", "chore:wash-2"}};
    must(add(SG_KIND_CHORE, NULL, "wash"));
    must(add(SG_KIND_CHORE, NULL, "oil"));
    for (size_t i = 0; i < 4; i++) {
        must(duplicate(rows[i][0]));
        ck_assert_str_eq(key_of_target(), rows[i][1]);
        ck_same_fields(sg_desk_shop(desk), found(desk, rows[i][0]), sg_desk_shop(desk),
                       found(desk, rows[i][1]), NULL);
        must(yank(rows[i][1], true));
        must(paste(rows[i][0], true));
        ck_assert_str_eq(key_of_target(), rows[i][1]);
    }
    ck_assert_str_eq(sg_desk_shop(desk)->shifts[0].id, "A-2"); /* these have an order */
    ck_assert_str_eq(sg_desk_shop(desk)->chores[0].name, "wash-2");
    must(step_rows("chore:wash-2", 2));
    ck_assert_str_eq(sg_desk_shop(desk)->chores[2].name, "wash-2");
    must(step_rows("shift:A-2", 1));
    ck_assert_str_eq(sg_desk_shop(desk)->shifts[1].id, "A-2");
    ck_assert_str_eq(jobs_of("shift:A"), "2601,2602,2603,2604");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("clip");
    TCase *tcase = tcase_create("many rows");
    tcase_add_checked_fixture(tcase, open_parts, close_parts);
    tcase_add_test(tcase, copied_rows_outlive_the_shop_they_are_from);
    tcase_add_test(tcase, cut_rows_go_as_one_step);
    tcase_add_test(tcase, a_row_that_is_in_use_keeps_all_of_them);
    tcase_add_test(tcase, long_lists_of_keys_are_cut_to_fit);
    tcase_add_test(tcase, parts_go_below_above_and_to_the_end);
    tcase_add_test(tcase, copies_of_copies_count_on);
    tcase_add_test(tcase, a_copy_of_a_long_key_is_cut_to_what_a_key_may_be);
    tcase_add_test(tcase, jobs_go_to_the_shift_of_the_job_named);
    tcase_add_test(tcase, stocks_get_the_next_numbers);
    tcase_add_test(tcase, what_is_gone_is_not_known_and_said);
    tcase_add_test(tcase, doubled_rows_stand_behind_the_last_of_their_parent);
    tcase_add_test(tcase, copies_in_several_shifts_get_keys_of_their_own);
    tcase_add_test(tcase, heads_materials_shifts_and_chores_can_be_doubled);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
