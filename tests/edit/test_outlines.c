/* A drawing or part program typed as a part's outline, kept, undone and read again. */
#include "edit/clip.h"
#include "edit/drawing_files.h"
#include "edit/steps.h"

#include "sandglass/outline.h"
#include "sandglass/rules.h"

#include <math.h>
#include <sys/stat.h>

static const double pi = 3.14159265358979323846;

static void open_all(void)
{
    open_example();
    enter_drawings();
    put_plate("plate.dxf", 100, 60, 10, 4);
}

static void close_all(void)
{
    leave_drawings();
    close_example();
}

static const char *outline_of(const char *key)
{
    const struct sg_part *part = part_of(desk, key);
    return part->outline == SG_UNKNOWN ? "none" : sg_desk_shop(desk)->drawn[part->outline].name;
}

static void ck_near(double found, double expected)
{
    ck_assert_msg(fabs(found - expected) <= 1e-12 * fabs(expected), "%.17g, expected %.17g", found, expected);
}

static void ck_plate(const char *key, double scale)
{
    const struct sg_part *part = part_of(desk, key);
    ck_near(part->cut_length, scale * (320 + 20 * pi));
    ck_near(part->length, scale * 100);
    ck_near(part->width, scale * 60);
    ck_near(part->area, scale * scale * (6000 - 100 * pi));
    ck_assert_int_eq(part->pierces, 2);
}

static int32_t drawn_in_file(void)
{
    struct sg_desk *now = snapshot();
    int32_t n = sg_desk_shop(now)->n_drawn;
    sg_desk_close(now);
    return n;
}

/* ---- kept ---- */

START_TEST(an_outline_is_kept_undone_done_again_and_there_after_reopening)
{
    struct sg_desk *before = snapshot();
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    ck_newest(1, "office", "outline of 2601/1/A: none -> plate.dxf");
    ck_assert_str_eq(changes[0].after, "plate.dxf");
    ck_assert_msg(strstr(changes[0].say, "measured: cut ") && strstr(changes[0].say, "2 pierces"), "%s",
                  changes[0].say);
    ck_plate("2601/1/A", 1);
    struct sg_desk *with = snapshot();
    ck_shows(with, "kept");
    const struct sg_plan *plan;
    must(sg_desk_plan(desk, 0, &plan, &error));
    ck_assert(plan->parts[0].split.corner > 0);
    double each = plan->parts[0].each;
    reopen();
    ck_shows(with, "reopened");
    must(sg_desk_plan(desk, 0, &plan, &error));
    ck_assert(plan->parts[0].each == each);
    turn(sg_desk_undo, "outline of 2601/1/A: none -> plate.dxf", true);
    ck_shows(before, "undone");
    reopen();
    ck_assert_int_eq(unlink("plate.dxf"), 0); /* what was measured stays */
    turn(sg_desk_redo, "outline of 2601/1/A: none -> plate.dxf", false);
    ck_shows(with, "done again");
    sg_desk_close(before);
    sg_desk_close(with);
}
END_TEST

START_TEST(a_part_is_added_with_its_outline)
{
    static const char *const fields[] = {"outline=plate.dxf", "quantity=4"};
    must(sg_desk_add(desk, SG_KIND_PART, "2601/1", "Z", fields, 2, 0, changes, &target, &error));
    ck_plate("2601/1/Z", 1);
    ck_assert_int_eq(part_of(desk, "2601/1/Z")->quantity, 4);
    put_plate("beside.dxf", 50, 40, 5, 4);
    static const char *const others[] = {"quantity=4", "outline=beside.dxf"};
    must(sg_desk_add_beside(desk, SG_KIND_PART, "2601/1/A", "Y", others, 2, changes, &target, &error));
    ck_near(part_of(desk, "2601/1/Y")->cut_length, 180 + 10 * pi);
    reopen();
    ck_assert_str_eq(outline_of("2601/1/Y"), "beside.dxf");
    ck_assert_str_eq(outline_of("2601/1/Z"), "plate.dxf");
}
END_TEST

START_TEST(the_same_outline_is_kept_once_under_each_name)
{
    put_plate("copy.dxf", 100, 60, 10, 4);
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    must(set_by(desk, "2601/1/B", "outline=plate.dxf"));
    ck_assert_int_eq(drawn_in_file(), 1);
    must(set_by(desk, "2602/1/A", "outline=copy.dxf"));
    ck_assert_str_eq(outline_of("2602/1/A"), "copy.dxf"); /* what the floor gets is what was typed */
    ck_assert_int_eq(drawn_in_file(), 2);
    const struct sg_edit edits[] = {edit_of("2603/1/A", "outline=copy.dxf", NULL),
                                    edit_of("2603/1/B", "outline=plate.dxf", NULL)};
    struct sg_clash clash;
    must(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error));
    ck_assert_int_eq(drawn_in_file(), 2);
}
END_TEST

/* New in two rows of one step. */
START_TEST(an_outline_that_is_new_in_two_rows_is_kept_once)
{
    const struct sg_edit edits[] = {edit_of("2603/1/A", "outline=plate.dxf", NULL),
                                    edit_of("2603/1/B", "outline=plate.dxf", NULL)};
    struct sg_clash clash;
    must(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error));
    ck_assert_int_eq(drawn_in_file(), 1);
    ck_plate("2603/1/A", 1);
    ck_plate("2603/1/B", 1);
    reopen();
    ck_assert_str_eq(outline_of("2603/1/B"), "plate.dxf");
    ck_assert_int_eq(history().n, 1);
}
END_TEST

START_TEST(another_drawing_of_the_same_name_gets_a_number)
{
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    put_plate("plate.dxf", 100, 60, 8, 4);
    must(set_by(desk, "2601/1/B", "outline=plate.dxf"));
    put_plate("plate.dxf", 100, 60, 6, 4);
    must(set_by(desk, "2602/1/A", "outline=plate.dxf"));
    ck_assert_str_eq(outline_of("2601/1/A"), "plate.dxf");
    ck_assert_str_eq(outline_of("2601/1/B"), "plate.dxf (2)");
    ck_assert_str_eq(outline_of("2602/1/A"), "plate.dxf (3)");
    ck_plate("2601/1/A", 1); /* the first stays what it was */
    ck_near(part_of(desk, "2602/1/A")->cut_length, 320 + 12 * pi);
    must(set_by(desk, "2603/1/A", "outline=plate.dxf (2)"));
    ck_near(part_of(desk, "2603/1/A")->cut_length, 320 + 16 * pi);
    ck_assert_int_eq(drawn_in_file(), 3);
}
END_TEST

/* A drawing gets leads, a program has them: one may not stand for the other. */
START_TEST(a_drawing_and_a_program_of_the_same_contours_are_two)
{
    put_plate("bare.dxf", 100, 60, 0, 4);
    put_file("bare.nc", "G21 G90\nG00 X0 Y0\nG01 X100\nY60\nX0\nY0\nM30\n");
    must(set_by(desk, "2601/1/A", "outline=bare.dxf"));
    must(set_by(desk, "2601/1/B", "outline=bare.nc"));
    ck_assert_str_eq(outline_of("2601/1/A"), "bare.dxf");
    ck_assert_str_eq(outline_of("2601/1/B"), "bare.nc");
    const struct sg_plan *plan;
    must(sg_desk_plan(desk, 0, &plan, &error));
    ck_assert(plan->parts[0].split.lead > 0);
    ck_assert_double_eq(plan->parts[1].split.lead, 0);
}
END_TEST

START_TEST(a_kept_outline_is_found_by_its_name_without_its_file)
{
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    ck_assert_int_eq(unlink("plate.dxf"), 0);
    must(set_by(desk, "2601/1/B", "outline= plate.dxf "));
    ck_plate("2601/1/B", 1);
    ck_assert_int_eq(set_by(desk, "2602/1/A", "outline=plate"), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no file \"plate\", and no outline of that name is kept"), "%s",
                  error.text);
}
END_TEST

START_TEST(copies_of_a_part_keep_its_outline)
{
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    must(sg_desk_copy(desk, "2601/1/A", "2605/1/Z", &target, &error));
    must(sg_desk_copy(desk, "2601", "2701", &target, &error));
    must(sg_desk_move(desk, "2601/1/A", "2605/2/Y", &target, &error));
    static const char *const keys[] = {"2605/1/Z", "2701/1/A", "2605/2/Y"};
    for (int i = 0; i < 3; i++) {
        ck_plate(keys[i], 1);
        ck_assert_str_eq(outline_of(keys[i]), "plate.dxf");
    }
    reopen();
    ck_plate("2605/1/Z", 1);
    ck_assert_int_eq(drawn_in_file(), 1);
}
END_TEST

START_TEST(rows_that_are_copied_cut_and_put_keep_their_outline)
{
    struct sg_clip *clip = NULL;
    static const char *const keys[] = {"2601/1/A", "2601/1/B"};
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    must(sg_desk_duplicate(desk, keys, 1, &target, &error));
    ck_assert_int_eq(sg_desk_shop(desk)->parts[target.index].outline, 0);
    must(sg_desk_yank(desk, keys, 2, true, &clip, &error));
    put_plate("other.dxf", 50, 50, 0, 4);
    must(set_by(desk, "2602/1/A", "outline=other.dxf"));
    must(sg_desk_paste(desk, clip, "2605/2", false, &target, &error));
    const struct sg_part *part = &sg_desk_shop(desk)->parts[target.index];
    ck_assert_str_eq(sg_desk_shop(desk)->drawn[part->outline].name, "plate.dxf");
    ck_near(part->cut_length, 320 + 20 * pi);
    ck_assert_int_eq(part[1].outline, SG_UNKNOWN);
    sg_clip_free(clip);
}
END_TEST

START_TEST(another_desk_sees_the_outline_and_its_plan)
{
    struct sg_desk *floor = desk_of("floor");
    const struct sg_plan *mine, *theirs;
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    looked(floor, true);
    ck_same_shop(sg_desk_shop(desk), sg_desk_shop(floor), "looked at");
    must(sg_desk_plan(desk, 0, &mine, &error));
    must(sg_desk_plan(floor, 0, &theirs, &error));
    ck_assert(mine->ends == theirs->ends && theirs->parts[0].split.corner > 0);
    must(set_by(floor, "2601/1/B", "outline=plate.dxf")); /* and the same file is no new one there */
    ck_assert_int_eq(drawn_in_file(), 1);
    sg_desk_close(floor);
}
END_TEST

/* ---- what is measured is not typed ---- */

START_TEST(measured_fields_are_refused_while_there_is_an_outline)
{
    static const char *const typed[] = {"cut_length=5 in", "pierces=7", "length=3 in", "width=none",
                                        "area=none"};
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    struct sg_desk *before = snapshot();
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(set_by(desk, "2601/1/A", typed[i]), SG_BAD_DATA);
        ck_assert_msg(
            strstr(error.text, "is measured from the outline plate.dxf: outline=none lets it be typed") &&
                strncmp(error.text, typed[i], strcspn(typed[i], "=")) == 0,
            "%s", error.text);
        ck_shows(before, typed[i]);
        const struct sg_edit edits[] = {edit_of("2602/1/A", typed[i], NULL),
                                        edit_of("2601/1/A", typed[i], NULL)};
        struct sg_clash clash;
        ck_assert_int_eq(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error), SG_BAD_DATA);
        ck_assert_msg(strstr(error.text, "2601/1/A: "), "%s", error.text);
        ck_shows(before, "a bulk edit of one that has an outline");
    }
    must(set_by(desk, "2601/1/A", "quantity=3")); /* all else may be typed */
    must(set_by(desk, "2601/1/A", "rapid_length=10 in"));
    sg_desk_close(before);
}
END_TEST

/* Whichever stands first. */
START_TEST(an_outline_and_a_figure_that_it_measures_are_not_typed_at_once)
{
    static const char *const ways[][2] = {{"outline=plate.dxf", "cut_length=5 in"},
                                          {"cut_length=5 in", "outline=plate.dxf"}};
    struct sg_desk *before = snapshot();
    ck_assert_int_eq(sg_desk_set(desk, "2601/1/A", ways[_i], 2, true, changes, &target, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "cut_length is measured from the outline plate.dxf"), "%s", error.text);
    ck_shows(before, "refused");
    ck_assert_int_eq(drawn_in_file(), 0);
    sg_desk_close(before);
}
END_TEST

START_TEST(without_its_outline_a_part_keeps_the_figures_and_they_can_be_typed)
{
    static const char *const typed[] = {"outline=none", "cut_length=5 in"};
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    must(set_by(desk, "2601/1/A", "outline=none"));
    ck_plate("2601/1/A", 1);
    ck_assert_str_eq(outline_of("2601/1/A"), "none");
    must(set_by(desk, "2601/1/A", "pierces=3"));
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    ck_plate("2601/1/A", 1);
    must(sg_desk_set(desk, "2601/1/A", typed, 2, true, changes, &target, &error));
    ck_near(part_of(desk, "2601/1/A")->cut_length, 127);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 2);
    reopen();
    ck_near(part_of(desk, "2601/1/A")->cut_length, 127);
}
END_TEST

/* ---- units, words, layers ---- */

START_TEST(a_unit_may_stand_behind_the_name)
{
    put_plate("bare.dxf", 100, 60, 10, 0);
    must(set_by(desk, "2601/1/A", "outline=bare.dxf"));
    ck_assert_msg(strstr(changes[0].say, "it names no unit, mm is assumed: type \"bare.dxf in\" for inches"),
                  "%s", changes[0].say);
    ck_plate("2601/1/A", 1);
    put_plate("bare.dxf", 10, 6, 1, 0);
    must(set_by(desk, "2601/1/A", "outline=bare.dxf in"));
    ck_assert_ptr_null(strstr(changes[0].say, "assumed"));
    ck_plate("2601/1/A", 2.54);
    must(set_by(desk, "2601/1/B", "outline=bare.dxf mm"));
    ck_plate("2601/1/B", 0.1);
    put_plate("part in", 100, 60, 10, 4); /* a file that is called so */
    must(set_by(desk, "2602/1/A", "outline=part in"));
    ck_plate("2602/1/A", 1);
}
END_TEST

START_TEST(the_words_of_the_machines_jet_are_followed)
{
    static const char *const words[] = {"jet_on=M3", "jet_off=M5"};
    put_file("jet.nc", "G21 G90\nG01 X10 Y0\nM3\nG01 X40\nM5\nG01 X100\nM30\n");
    must(set_by(desk, "2601/1/A", "outline=jet.nc")); /* without them all of G01 is cut */
    ck_near(part_of(desk, "2601/1/A")->cut_length, 100);
    must(sg_desk_set(desk, "machine:main", words, 2, true, changes, &target, &error));
    must(set_by(desk, "2601/1/B", "outline=jet.nc"));
    ck_near(part_of(desk, "2601/1/B")->cut_length, 30);
    ck_near(part_of(desk, "2601/1/A")->cut_length, 100); /* measured before */
    ck_assert_int_eq(set_by(desk, "machine:main", "jet_off=none"), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "jet_on and jet_off go together"), "%s", error.text);
}
END_TEST

START_TEST(layers_that_are_no_cuts_are_left_out)
{
    must(set_by(desk, "machine:main", "layers_out= NOTES, holes"));
    must(set_by(desk, "2601/1/A", "outline=plate.dxf"));
    ck_near(part_of(desk, "2601/1/A")->cut_length, 320);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 1);
    ck_assert_ptr_null(strstr(changes[0].say, "NOTES"));
}
END_TEST

/* ---- names ---- */

START_TEST(a_file_of_any_name_gives_an_outline_that_is_read_again)
{
    static char long_name[240], name[700];
    memset(long_name, 'x', 145);
    strcat(long_name, "\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4.dxf");
    static const char *const names[] = {"a\nb.dxf",
                                        "a\x1b[2Jb.dxf",
                                        "\xFF\xFE.dxf",
                                        "none",
                                        " blank .dxf",
                                        "=1+1.dxf",
                                        "f\xC3\xBCr 1\".dxf",
                                        "a\xE2\x80\xAE"
                                        "b.dxf",
                                        long_name};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        put_plate(names[i], 100 + (double)i, 60, 10, 4);
        snprintf(name, sizeof name, "outline=%s/%s", drawings, names[i]);
        ck_assert_msg(set_by(desk, "2601/1/A", name) == SG_OK, "name %zu: %s", i, error.text);
        ck_near(part_of(desk, "2601/1/A")->length, 100 + (double)i);
        ck_assert_ptr_null(strpbrk(outline_of("2601/1/A"), "\n\x1b"));
        reopen();
        ck_near(part_of(desk, "2601/1/A")->length, 100 + (double)i);
        ck_assert_int_eq(sg_store_check(sg_desk_store(desk), complain, NULL, &error), 0);
    }
}
END_TEST

/* ---- what is none ---- */

static const struct {
    const char *name, *text, *words;
} nothing[] = {
    {"empty.dxf", "", "empty.dxf"},
    {"words.dxf", "these are only words\nand some more\n", "words.dxf"},
    {"texts.dxf",
     "0\nSECTION\n2\nENTITIES\n0\nTEXT\n8\n0\n10\n0\n20\n0\n40\n5\n1\nhello\n0\nENDSEC\n0\nEOF\n",
     "there is no line in it that is cut"},
    {"nothing.nc", "G21\nG00 X10 Y10\nM30\n", "there is no line in it that is cut"},
    {"cycle.dxf",
     "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n10\n0\n20\n0\n0\nINSERT\n2\nA\n10\n1\n20\n1\n0\nENDBLK\n0\nENDSE"
     "C\n"
     "0\nSECTION\n2\nENTITIES\n0\nINSERT\n2\nA\n10\n0\n20\n0\n0\nENDSEC\n0\nEOF\n",
     "cycle.dxf"},
    {"far.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1e308\n20\n0\n11\n0\n21\n0\n0\nENDSEC\n0\nEOF\n",
     "far.dxf"},
    {"nan.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nnan\n20\n0\n11\n0\n21\n0\n0\nENDSEC\n0\nEOF\n",
     "nan.dxf"},
    {"huge.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n9e8\n20\n0\n11\n0\n21\n0\n0\nENDSEC\n0\nEOF\n",
     "cannot be that of a part"},
    {"cut.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1\n20\n0\n11\n", "cut.dxf"},
    {"picture.dxf", "\x89PNG\r\n", "picture.dxf"},
    {"sums.nc", "G21\nG01 X#1 Y0\nM30\n", "sums.nc"},
};

START_TEST(what_is_no_outline_says_why_and_changes_nothing)
{
    char typed[80];
    struct sg_desk *before = snapshot();
    struct file_bytes bytes = file_bytes_of(file.path);
    put_file(nothing[_i].name, nothing[_i].text);
    snprintf(typed, sizeof typed, "outline=%s", nothing[_i].name);
    ck_assert_int_eq(set_by(desk, "2601/1/A", typed), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, nothing[_i].words) && strstr(error.text, "outline"), "%s", error.text);
    ck_assert_msg(strlen(error.text) > strlen(typed) + 10, "%s", error.text);
    ck_shows(before, typed);
    ck_assert(file_bytes_are(file.path, &bytes));
    free(bytes.at);
    sg_desk_close(before);
}
END_TEST

START_TEST(bytes_of_0_and_what_is_no_file_say_why)
{
    struct sg_desk *before = snapshot();
    static const char *const typed[] = {"outline=folder", "outline=pipe", "outline=gone.dxf",
                                        "outline=", "outline=/"};
    ck_assert_int_eq(mkdir("folder", 0700), 0);
    ck_assert_int_eq(mkfifo("pipe", 0600), 0);
    for (size_t i = 0; i < sizeof typed / sizeof *typed; i++) {
        ck_assert_int_eq(set_by(desk, "2601/1/A", typed[i]), SG_BAD_DATA);
        ck_assert_msg(strlen(error.text) > 20, "%s", error.text);
    }
    put_bytes("zero.dxf", "0\nSECTION\n2\nENT\0TIES\n0\nEOF\n", 28);
    ck_assert_int_eq(set_by(desk, "2601/1/A", "outline=zero.dxf"), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "zero.dxf"), "%s", error.text);
    if (geteuid() != 0) { /* to root every file is readable */
        ck_assert_int_eq(chmod("plate.dxf", 0), 0);
        ck_assert_int_eq(set_by(desk, "2601/1/A", "outline=plate.dxf"), SG_BAD_DATA);
        ck_assert_msg(strstr(error.text, "plate.dxf"), "%s", error.text);
    }
    ck_shows(before, "refused");
    sg_desk_close(before);
}
END_TEST

/* A folder is said to be one. */
START_TEST(a_folder_is_no_outline_and_said_to_be_one)
{
    ck_assert_int_eq(mkdir("folder", 0700), 0);
    ck_assert_int_eq(set_by(desk, "2601/1/A", "outline=folder"), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "a folder"), "%s", error.text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outlines");
    TCase *tests = tcase_create("outlines");
    tcase_add_checked_fixture(tests, open_all, close_all);
    tcase_add_test(tests, an_outline_is_kept_undone_done_again_and_there_after_reopening);
    tcase_add_test(tests, a_part_is_added_with_its_outline);
    tcase_add_test(tests, the_same_outline_is_kept_once_under_each_name);
    tcase_add_test(tests, an_outline_that_is_new_in_two_rows_is_kept_once);
    tcase_add_test(tests, another_drawing_of_the_same_name_gets_a_number);
    tcase_add_test(tests, a_drawing_and_a_program_of_the_same_contours_are_two);
    tcase_add_test(tests, a_kept_outline_is_found_by_its_name_without_its_file);
    tcase_add_test(tests, copies_of_a_part_keep_its_outline);
    tcase_add_test(tests, rows_that_are_copied_cut_and_put_keep_their_outline);
    tcase_add_test(tests, another_desk_sees_the_outline_and_its_plan);
    tcase_add_test(tests, measured_fields_are_refused_while_there_is_an_outline);
    tcase_add_loop_test(tests, an_outline_and_a_figure_that_it_measures_are_not_typed_at_once, 0, 2);
    tcase_add_test(tests, without_its_outline_a_part_keeps_the_figures_and_they_can_be_typed);
    tcase_add_test(tests, a_unit_may_stand_behind_the_name);
    tcase_add_test(tests, the_words_of_the_machines_jet_are_followed);
    tcase_add_test(tests, layers_that_are_no_cuts_are_left_out);
    tcase_add_test(tests, a_file_of_any_name_gives_an_outline_that_is_read_again);
    tcase_add_loop_test(tests, what_is_no_outline_says_why_and_changes_nothing, 0,
                        (int)(sizeof nothing / sizeof *nothing));
    tcase_add_test(tests, bytes_of_0_and_what_is_no_file_say_why);
    tcase_add_test(tests, a_folder_is_no_outline_and_said_to_be_one);
    suite_add_tcase(suite, tests);
    return run(suite);
}
