/* An outline typed into a draft: its plan before Enter, everything as it was after Esc; and what-ifs with
 * one. */
#include "edit/drawing_files.h"
#include "edit/what_ifs.h"

#include "sandglass/rules.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

static char plate[700]; /* its path */

static void open_all(void)
{
    open_example();
    enter_drawings();
    put_plate("plate.dxf", 100, 60, 10, 4);
    snprintf(plate, sizeof plate, "%s/plate.dxf", drawings);
}

static void close_all(void)
{
    leave_drawings();
    close_example();
}

static struct sg_target found(const char *key)
{
    struct sg_target target = {SG_KIND_MACHINE, 0};
    must(sg_key_find(sg_draft_shop(draft), key, &target, &error));
    return target;
}

static const struct sg_part *drafted(const char *key)
{
    return sg_target_record(sg_draft_shop(draft), found(key));
}

static struct sg_typed typed_into(const char *key, const char *field, const char *text)
{
    struct sg_typed typed;
    sg_draft_type(draft, found(key), sg_field_find(SG_KIND_PART, field), text, &typed);
    return typed;
}

static void ck_as_kept(const char *when)
{
    const char *where = shop_difference(sg_draft_shop(draft), sg_desk_shop(desk));
    ck_assert_msg(*where == '\0', "%s: %s of the draft differs", when, where);
    ck_same_figures(drafted_figures(), kept_figures());
}

static void ck_plate(const struct sg_part *part)
{
    ck_assert(part->outline != SG_UNKNOWN);
    ck_assert_double_eq_tol(part->cut_length, 320 + 20 * pi, 1e-9);
    ck_assert_double_eq_tol(part->area, 6000 - 100 * pi, 1e-9);
    ck_assert(part->pierces == 2 && part->length == 100 && part->width == 60);
}

/* ---- typing ---- */

START_TEST(typed_letter_by_letter_the_outline_is_planned_before_it_is_kept)
{
    size_t n = strlen(plate);
    char text[700];
    for (size_t i = 0; i < n; i++) {
        snprintf(text, i + 1, "%s", plate);
        struct sg_typed typed = typed_into("2601/1/A", "outline", text);
        ck_assert_msg(typed.state != SG_PARSE_WHOLE && typed.text[0], "\"%s\" is taken", text);
        ck_as_kept(text);
    }
    struct sg_typed typed = typed_into("2601/1/A", "outline", plate);
    ck_assert_msg(typed.state == SG_PARSE_WHOLE && strstr(typed.text, "measured: cut "), "%s", typed.text);
    ck_plate(drafted("2601/1/A"));
    const struct sg_plan *plan;
    must(sg_draft_plan(draft, 0, &plan, &error));
    ck_assert(plan->parts[0].split.corner > 0);
    struct figures shown = figures_of(plan);
    ck_assert_int_eq(sg_desk_shop(desk)->n_drawn, 0); /* nothing is kept yet */
    struct sg_edit edit = {.key = "2601/1/A"};
    struct sg_change change;
    struct sg_clash clash;
    snprintf(edit.assignment, sizeof edit.assignment, "outline=%s", plate);
    must(sg_desk_keep(desk, &edit, 1, NULL, &change, &clash, &error));
    ck_same_figures(shown, kept_figures());
    must(sg_draft_reset(draft, &error));
    ck_as_kept("kept");
}
END_TEST

START_TEST(escape_and_every_text_that_is_not_taken_bring_all_figures_back)
{
    static const char *const texts[] = {"", "none", "plate.dx", "x"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        typed_into("2601/1/A", "outline", plate);
        ck_plate(drafted("2601/1/A"));
        typed_into("2601/1/A", "outline", texts[i]);
        ck_as_kept(texts[i]);
    }
    typed_into("2601/1/A", "outline", plate);
    must(sg_draft_reset(draft, &error));
    ck_as_kept("a reset");
}
END_TEST

/* Over an outline that is kept: another one, none, and back. */
START_TEST(escape_brings_a_kept_outline_back)
{
    char assignment[800];
    snprintf(assignment, sizeof assignment, "outline=%s", plate);
    set_kept(desk, "2601/1/A", assignment);
    must(sg_draft_reset(draft, &error));
    put_plate("other.dxf", 200, 150, 20, 4);
    ck_assert_int_eq(typed_into("2601/1/A", "outline", "other.dxf").state, SG_PARSE_WHOLE);
    ck_assert(drafted("2601/1/A")->length == 200);
    ck_assert_int_eq(typed_into("2601/1/A", "outline", "plate.dxf").state, SG_PARSE_WHOLE);
    ck_as_kept("its own file again");
    ck_assert_int_eq(typed_into("2601/1/A", "outline", "none").state, SG_PARSE_WHOLE);
    ck_assert_int_eq(drafted("2601/1/A")->outline, SG_UNKNOWN);
    ck_assert(drafted("2601/1/A")->length == 100); /* the figures stay */
    ck_assert_int_eq(typed_into("2601/1/A", "outline", "other.dx").state, SG_PARSE_UNFINISHED);
    ck_as_kept("escape");
}
END_TEST

/* A draft that is dropped leaves its places: another outline in the same place is planned as itself. */
START_TEST(another_outline_in_the_place_of_a_dropped_one_is_planned_anew)
{
    put_plate("other.dxf", 100, 60, 10, 4);
    put_file("notched.nc", "G21 G90\nG00 X0 Y0\nG01 X100\nY60\nX60\nY50\nX40\nY60\nX0\nY0\nM30\n");
    put_file("square.nc", "G21 G90\nG00 X0 Y0\nG01 X100\nY60\nX0\nY0\nM30\n");
    put_plate("square.dxf", 100, 60, 0, 4);
    static const char *const names[] = {"notched.nc", "square.nc", "square.dxf", "plate.dxf"};
    double first[4];
    for (int i = 0; i < 12; i++) {
        const struct sg_plan *plan;
        must(sg_draft_reset(draft, &error));
        ck_assert_int_eq(typed_into("2601/1/A", "outline", names[i % 4]).state, SG_PARSE_WHOLE);
        must(sg_draft_plan(draft, 0, &plan, &error));
        double each = plan->parts[0].each;
        if (i < 4)
            first[i] = each;
        ck_assert_msg(each == first[i % 4], "%s takes %.17g s and then %.17g s", names[i % 4], first[i % 4],
                      each);
    }
    ck_assert(first[1] < first[2]); /* the drawing has leads */
}
END_TEST

START_TEST(an_outline_is_typed_into_several_rows)
{
    static const char *const keys[] = {"2601/1/A", "2601/1/B", "2603/1/A"};
    struct sg_target targets[3];
    struct sg_typed typed;
    for (int i = 0; i < 3; i++)
        targets[i] = found(keys[i]);
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "outline");
    sg_draft_type_rows(draft, targets, 3, field, plate, &typed);
    ck_assert_int_eq(typed.state, SG_PARSE_WHOLE);
    for (int i = 0; i < 3; i++)
        ck_plate(drafted(keys[i]));
    ck_assert_int_eq(sg_draft_shop(draft)->n_drawn, 1);
    sg_draft_type_rows(draft, targets, 3, field, "", &typed);
    ck_as_kept("escape");
}
END_TEST

START_TEST(a_figure_typed_into_rows_of_which_one_has_an_outline_is_refused_and_names_it)
{
    static const char *const keys[] = {"2602/1/A", "2601/1/A", "2603/1/A"};
    char assignment[800];
    struct sg_target targets[3];
    struct sg_typed typed;
    snprintf(assignment, sizeof assignment, "outline=%s", plate);
    set_kept(desk, "2601/1/A", assignment);
    must(sg_draft_reset(draft, &error));
    for (int i = 0; i < 3; i++)
        targets[i] = found(keys[i]);
    sg_draft_type_rows(draft, targets, 3, sg_field_find(SG_KIND_PART, "pierces"), "7", &typed);
    ck_assert_int_eq(typed.state, SG_PARSE_WRONG);
    ck_assert_msg(strstr(typed.text, "2601/1/A: pierces is measured from the outline plate.dxf"), "%s",
                  typed.text);
    ck_as_kept("refused");
}
END_TEST

/* The outline is only in the draft yet. */
START_TEST(a_figure_of_an_outline_that_is_typed_but_not_kept_is_refused)
{
    typed_into("2601/1/A", "outline", plate);
    struct sg_typed typed = typed_into("2601/1/A", "cut_length", "5 in");
    ck_assert_int_eq(typed.state, SG_PARSE_WRONG);
    ck_assert_msg(strstr(typed.text, "measured from the outline plate.dxf"), "%s", typed.text);
    ck_plate(drafted("2601/1/A"));
    must(sg_rules_check(SG_KIND_PART, drafted("2601/1/A"), sg_draft_shop(draft), &error));
}
END_TEST

START_TEST(what_is_no_outline_leaves_the_draft_alone)
{
    put_file("words.dxf", "only words\n");
    struct sg_typed typed = typed_into("2601/1/A", "outline", "words.dxf");
    ck_assert_msg(typed.state == SG_PARSE_WRONG && strstr(typed.text, "words.dxf"), "%s", typed.text);
    ck_as_kept("no outline");
    typed = typed_into("2601/1/A", "outline", drawings);
    ck_assert_msg(typed.state == SG_PARSE_UNFINISHED && strstr(typed.text, "a folder"), "%s", typed.text);
    ck_as_kept("a folder");
}
END_TEST

/* ---- what-ifs ---- */

static int32_t drawn_in_file(void)
{
    struct sg_desk *now = shop_file_desk(&file, SG_STORE_READ);
    int32_t n = sg_desk_shop(now)->n_drawn;
    sg_desk_close(now);
    return n;
}

START_TEST(a_what_if_with_an_outline_is_shown_dropped_and_put_into_the_plan)
{
    char assignment[800];
    struct figures before = kept_figures();
    snprintf(assignment, sizeof assignment, "outline=%s", plate);
    must(add("drawn", "2601/1/A", assignment));
    ck_plate(drafted("2601/1/A"));
    struct figures shown = drafted_figures();
    ck_same_figures(before, kept_figures());
    ck_assert_int_eq(drawn_in_file(), 0); /* a what-if is no plan */
    must(sg_draft_reset(draft, &error));
    ck_as_kept("a reset");
    show("drawn");
    ck_same_figures(shown, drafted_figures());
    keep("drawn");
    ck_same_figures(shown, kept_figures());
    ck_assert_int_eq(drawn_in_file(), 1);
    ck_assert_int_eq(unlink("plate.dxf"), 0);
    struct sg_step_told told;
    must(sg_desk_undo(desk, &told, &error));
    ck_same_figures(before, kept_figures());
}
END_TEST

START_TEST(a_what_if_whose_drawing_is_gone_says_so)
{
    char assignment[800];
    snprintf(assignment, sizeof assignment, "outline=%s", plate);
    must(add("drawn", "2601/1/A", assignment));
    ck_assert_int_eq(unlink("plate.dxf"), 0);
    must(sg_what_if_read(desk, "drawn", &edits, &error));
    ck_assert_int_eq(sg_what_if_show(draft, &edits, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no file"), "%s", error.text);
    ck_as_kept("refused");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outlines, drafts");
    TCase *tests = tcase_create("outlines, drafts");
    tcase_add_checked_fixture(tests, open_all, close_all);
    tcase_add_test(tests, typed_letter_by_letter_the_outline_is_planned_before_it_is_kept);
    tcase_add_test(tests, escape_and_every_text_that_is_not_taken_bring_all_figures_back);
    tcase_add_test(tests, escape_brings_a_kept_outline_back);
    tcase_add_test(tests, another_outline_in_the_place_of_a_dropped_one_is_planned_anew);
    tcase_add_test(tests, an_outline_is_typed_into_several_rows);
    tcase_add_test(tests, a_figure_typed_into_rows_of_which_one_has_an_outline_is_refused_and_names_it);
    tcase_add_test(tests, a_figure_of_an_outline_that_is_typed_but_not_kept_is_refused);
    tcase_add_test(tests, what_is_no_outline_leaves_the_draft_alone);
    tcase_add_test(tests, a_what_if_with_an_outline_is_shown_dropped_and_put_into_the_plan);
    tcase_add_test(tests, a_what_if_whose_drawing_is_gone_says_so);
    suite_add_tcase(suite, tests);
    return run(suite);
}
