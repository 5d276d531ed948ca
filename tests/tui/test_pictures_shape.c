/* Outlines in characters. */
#include "tui/shape.h"

#include "support/drawing.h"
#include "support/must.h"
#include "support/shop.h"

#include <check.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE = 4000, DOTS = 400 };

static struct sg_canvas canvas;
static struct drawing drawing;
static struct sg_outline outline;

static void setup(void)
{
    setlocale(LC_ALL, "C.UTF-8");
    drawing.n = 0;
    outline = (struct sg_outline){0};
}

static void teardown(void)
{
    sg_canvas_free(&canvas);
    sg_outline_free(&outline);
}

static void make(struct sg_path path)
{
    struct sg_error error;
    struct sg_outline_how how = {.tolerance = 1e-6};
    ck_assert_msg(sg_outline_make(&path, &how, &outline, &error) == SG_OK, "%s", error.text);
}

static const char *row(int index)
{
    static char line[LINE];
    sg_canvas_row(&canvas, index, line, sizeof line);
    return line;
}

static const char *cell(int at_row, int column)
{
    must_hold(at_row >= 0 && at_row < canvas.rows && column >= 0 && column < canvas.columns);
    return canvas.cells[at_row * canvas.columns + column].text;
}

static struct sg_area picture(const struct sg_outline *of, const struct sg_shape_how *how, int rows,
                              int columns)
{
    struct sg_area area = {0, 0, rows, columns};
    struct sg_area cells = sg_shape_cells(area, of, how);
    ck_assert(sg_canvas_clear(&canvas, rows, columns));
    sg_shape_draw(&canvas, area, cells, of, how);
    return cells;
}

/* The first rows are these, the others empty. */
static void are_rows(const char *const *rows)
{
    for (int i = 0; i < canvas.rows; i++) {
        ck_assert_str_eq(row(i), *rows ? *rows : "");
        rows += *rows != NULL;
    }
}

/* ---- in ASCII ---- */

/* A column is 5 mm, a row 10 mm from the middle of one cell to that of the next. */
START_TEST(a_plate_with_a_hole)
{
    static const char *const rows[] = {
        "+-------------------+", /* 60 mm up */
        "|                   |",
        "|        ---        |", /* the hole, 20 mm across */
        "|       |   |       |",
        "|        ---        |",
        "|                   |",
        "+-------------------+",
        NULL,
    };
    struct sg_area cells = picture(&test_plate, &(struct sg_shape_how){.fine = false}, 9, 21);
    ck_assert_int_eq(cells.rows, 7);
    ck_assert_int_eq(cells.columns, 21);
    are_rows(rows);
}
END_TEST

START_TEST(a_turned_plate)
{
    static const char *const rows[] = {
        "+-----------+", "|           |", "|           |", "|           |", "|    ---    |", "|   |   |   |",
        "|    ---    |", "|           |", "|           |", "|           |", "+-----------+", NULL,
    };
    picture(&test_plate, &(struct sg_shape_how){.turned = true}, 11, 21);
    are_rows(rows);
}
END_TEST

START_TEST(its_pierces_in_cutting_order)
{
    picture(&test_plate, &(struct sg_shape_how){.pierces = true}, 9, 21);
    ck_assert_str_eq(cell(3, 12), "1"); /* the hole, at its right */
    ck_assert_str_eq(cell(6, 0), "2");
    picture(&test_plate, &(struct sg_shape_how){.pierces = true, .lead = 5}, 9, 22);
    ck_assert_str_eq(cell(3, 12), "1"); /* inwards */
}
END_TEST

START_TEST(inside_is_filled_and_a_hole_is_not)
{
    static const char *const rows[] = {
        "+-------------------+", "|aaaaaaaaaaaaaaaaaaa|", "|aaaaaaaa---aaaaaaaa|", "|aaaaaaa|   |aaaaaaa|",
        "|aaaaaaaa---aaaaaaaa|", "|aaaaaaaaaaaaaaaaaaa|", "+-------------------+", NULL,
    };
    picture(&test_plate, &(struct sg_shape_how){.fill = "a"}, 7, 21);
    are_rows(rows);
}
END_TEST

/* A triangle whose long side rises by a row in two columns. */
static void make_triangle(void)
{
    draw(&drawing, line(0, 0, 16, 0));
    draw(&drawing, line(16, 0, 16, 16));
    draw(&drawing, line(16, 16, 0, 0));
    make(path_of(&drawing));
}

START_TEST(a_slope_rises_and_falls)
{
    static const char *const rising[] = {
        "       /+", /* half of each cell beside a step is in either row */
        "     ///|", "   ///  |", " ///    |", "++------+", NULL,
    };
    static const char *const falling[] = {
        "++------+", " \\\\\\    |", "   \\\\\\  |", "     \\\\\\|", "       \\+", NULL,
    };
    make_triangle();
    picture(&outline, &(struct sg_shape_how){.fine = false}, 5, 9);
    are_rows(rising);
    picture(&outline, &(struct sg_shape_how){.turned = true}, 5, 9);
    are_rows(falling);
}
END_TEST

START_TEST(what_has_no_height_is_a_line)
{
    draw(&drawing, line(3, 7, 9, 7));
    make(path_of(&drawing));
    struct sg_area cells = picture(&outline, &(struct sg_shape_how){.fine = false}, 5, 8);
    ck_assert_int_eq(cells.rows, 1);
    are_rows((const char *const[]){"--------", NULL});
    picture(&outline, &(struct sg_shape_how){.turned = true}, 3, 8);
    are_rows((const char *const[]){"|", "|", "|", NULL});
}
END_TEST

/* ---- many pierces ---- */

START_TEST(pierces_are_numbered_then_lettered_then_starred)
{
    static const char marks[] = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ***";
    enum { N = 38 };
    for (int i = 0; i < N; i++)
        draw(&drawing, line(10 * i, 0, 10 * i, 0.001)); /* open ones, pierced where they begin */
    make(path_of(&drawing));
    ck_assert_int_eq(outline.n_contours, N);
    picture(&outline, &(struct sg_shape_how){.pierces = true}, 1, N);
    ck_assert_str_eq(row(0), marks);
    picture(&outline, &(struct sg_shape_how){.pierces = true}, 1, 4); /* none has a cell of its own */
    ck_assert_str_eq(row(0), "****");
}
END_TEST

/* ---- in dots ---- */

static bool dots[DOTS][DOTS];

/* The dots of a picture in Braille. */
static void read_dots(void)
{
    static const int place[8][2] = {{0, 0}, {1, 0}, {2, 0}, {0, 1}, {1, 1}, {2, 1}, {3, 0}, {3, 1}};
    memset(dots, 0, sizeof dots);
    for (int r = 0; r < canvas.rows; r++)
        for (int c = 0; c < canvas.columns; c++) {
            const unsigned char *text = (const unsigned char *)cell(r, c);
            if (text[0] == ' ')
                continue;
            must_hold(text[0] == 0xE2 && (text[1] & 0xFC) == 0xA0 && text[3] == '\0');
            int bits = (text[1] & 3) << 6 | (text[2] & 0x3F);
            for (int bit = 0; bit < 8; bit++)
                if (bits >> bit & 1)
                    dots[4 * r + place[bit][0]][2 * c + place[bit][1]] = true;
        }
}

/* 24 by 16: a step, and a slope of two in one; no symmetry. */
static void make_step(void)
{
    static const double corners[][2] = {{0, 0}, {23, 0}, {23, 8}, {12, 8}, {8, 15}, {0, 15}};
    enum { N = 6 };
    for (int i = 0; i < N; i++)
        draw(&drawing, line(corners[i][0], corners[i][1], corners[(i + 1) % N][0], corners[(i + 1) % N][1]));
    draw_box(&drawing, 3, 3, 4, 6);
    make(path_of(&drawing));
}

START_TEST(dots_stand_where_the_lines_are)
{
    make_step();
    struct sg_area cells = picture(&outline, &(struct sg_shape_how){.fine = true}, 4, 12);
    ck_assert_int_eq(cells.rows, 4); /* 16 dots high */
    ck_assert_int_eq(cells.columns, 12);
    read_dots();
    for (int x = 0; x < 24; x++) {
        ck_assert_int_eq(dots[15][x], true); /* y = 0 */
        ck_assert_int_eq(dots[0][x], x <= 8);
        ck_assert_int_eq(dots[7][x], x == 0 || x == 3 || x == 7 || x >= 12);
    }
    ck_assert(dots[9][3] && dots[9][7] && !dots[9][5] && dots[12][5] && dots[6][5]); /* the hole */
}
END_TEST

/* Where the dot x, y of the picture as drawn comes to lie (nest.h says the same of millimetres). */
static void lie(bool turned, bool flipped, int *x, int *y)
{
    int was_x = flipped ? 23 - *x : *x, was_y = flipped ? 15 - *y : *y;
    *x = turned ? 15 - was_y : was_x;
    *y = turned ? was_x : was_y;
}

START_TEST(a_turned_one_is_the_turned_picture)
{
    static bool straight[DOTS][DOTS];
    bool turned = _i & 1, flipped = _i >> 1;
    make_step();
    picture(&outline, &(struct sg_shape_how){.fine = true}, 4, 12);
    read_dots();
    memcpy(straight, dots, sizeof dots);
    struct sg_shape_how how = {.fine = true, .turned = turned, .flipped = flipped};
    picture(&outline, &how, turned ? 6 : 4, turned ? 8 : 12);
    read_dots();
    int high = turned ? 24 : 16, seen = 0;
    for (int y = 0; y < 16; y++)
        for (int x = 0; x < 24; x++) {
            int to_x = x, to_y = y;
            lie(turned, flipped, &to_x, &to_y);
            must(straight[15 - y][x] == dots[high - 1 - to_y][to_x], "%d, %d", x, y);
            seen += straight[15 - y][x];
        }
    ck_assert_int_gt(seen, 80); /* 24 + 16 + 9 + 9 + 12 of the outer one, 20 of the hole */
}
END_TEST

START_TEST(every_dotted_cell_is_one_column)
{
    for (int bits = 0; bits < 256; bits++) {
        char text[4] = {(char)0xE2, (char)(0xA0 + (bits >> 6)), (char)(0x80 + (bits & 0x3F)), '\0'};
        must(sg_text_columns(text) == 1, "U+28%02X", bits);
    }
    struct sg_area area = {0, 0, 6, 30};
    struct sg_shape_how how = {.fine = true};
    ck_assert(sg_canvas_clear(&canvas, 6, 40));
    for (int i = 0; i < 6; i++)
        sg_canvas_put(&canvas, i, 30, 1, SG_ROLE_TEXT, "|");
    sg_shape_draw(&canvas, area, sg_shape_cells(area, &test_plate, &how), &test_plate, &how);
    for (int i = 0; i < 6; i++) {
        ck_assert_int_eq(sg_text_columns(row(i)), 31);
        ck_assert_str_eq(cell(i, 30), "|");
    }
}
END_TEST

/* ---- areas ---- */

static void is_inside(const struct sg_shape_how *how, int rows, int columns)
{
    enum { EDGE = 2 };
    struct sg_area area = {EDGE, EDGE, rows, columns};
    struct sg_area cells = sg_shape_cells(area, &test_plate, how);
    bool any = false;
    ck_assert(sg_canvas_clear(&canvas, rows + 2 * EDGE, columns + 2 * EDGE));
    sg_shape_draw(&canvas, area, cells, &test_plate, how);
    must(cells.rows >= 1 && cells.rows <= rows && cells.columns >= 1 && cells.columns <= columns, "%dx%d",
         columns, rows);
    for (int r = 0; r < canvas.rows; r++)
        for (int c = 0; c < canvas.columns; c++) {
            bool inside = r >= EDGE && r < EDGE + cells.rows && c >= EDGE && c < EDGE + cells.columns;
            must(inside || strcmp(cell(r, c), " ") == 0, "%dx%d: \"%s\" at %d, %d", columns, rows, cell(r, c),
                 r - EDGE, c - EDGE);
            any = any || strcmp(cell(r, c), " ") != 0;
        }
    must(any, "%dx%d is empty", columns, rows);
}

START_TEST(nothing_is_drawn_outside)
{
    for (int bits = 0; bits < 16; bits++) {
        struct sg_shape_how how = {.fine = bits & 1,
                                   .turned = bits & 2,
                                   .pierces = bits & 4,
                                   .lead = 3,
                                   .fill = bits & 8 ? "a" : NULL};
        for (int rows = 1; rows <= 40; rows += rows < 8 ? 1 : 7)
            for (int columns = 1; columns <= 120; columns += columns < 20 ? 1 : 13)
                is_inside(&how, rows, columns);
    }
    struct sg_shape_how how = {.fine = false};
    ck_assert_int_eq(sg_shape_cells((struct sg_area){0, 0, 0, 5}, &test_plate, &how).rows, 0);
    sg_shape_draw(&canvas, (struct sg_area){0, 0, 0, 5}, (struct sg_area){0, 0, 1, 1}, &test_plate, &how);
}
END_TEST

/* Through a window one sees what is there. */
START_TEST(a_part_of_a_picture_is_that_of_the_whole)
{
    static char whole[90][90][SG_CELL_BYTES];
    struct sg_shape_how how = {.fine = _i & 1, .fill = "a"};
    struct sg_area cells = {0, 0, 45, 90};
    make_step();
    ck_assert(sg_canvas_clear(&canvas, 45, 90));
    sg_shape_draw(&canvas, cells, cells, &outline, &how);
    for (int r = 0; r < 45; r++)
        for (int c = 0; c < 90; c++)
            snprintf(whole[r][c], sizeof whole[r][c], "%s", cell(r, c));
    for (int top = -5; top < 45; top += 7)
        for (int left = -5; left < 90; left += 11) {
            struct sg_area moved = {1 - top, 1 - left, 45, 90};
            ck_assert(sg_canvas_clear(&canvas, 12, 22));
            sg_shape_draw(&canvas, (struct sg_area){1, 1, 10, 20}, moved, &outline, &how);
            /* At the edge of the window nobody knows whether a line goes on beside. */
            for (int r = 1; r < 9; r++)
                for (int c = 1; c < 19; c++) {
                    int y = top + r, x = left + c;
                    const char *there = y >= 0 && y < 45 && x >= 0 && x < 90 ? whole[y][x] : " ";
                    must(strcmp(cell(1 + r, 1 + c), there) == 0, "%d, %d: \"%s\" for \"%s\"", y, x,
                         cell(1 + r, 1 + c), there);
                }
        }
}
END_TEST

/* ---- very much, and nothing ---- */

START_TEST(a_million_chords_look_like_their_circle)
{
    enum { N = 1000000 };
    static const double r = 100;
    struct sg_segment *chords = malloc(N * sizeof *chords);
    ck_assert_ptr_nonnull(chords);
    for (int i = 0; i < N; i++)
        chords[i] = line(r * cos(2 * pi * i / N), r * sin(2 * pi * i / N), r * cos(2 * pi * (i + 1) / N),
                         r * sin(2 * pi * (i + 1) / N));
    struct sg_contour contour = {.n = N, .closed = true, .outside = SG_UNKNOWN, .box = {-r, -r, r, r}};
    struct sg_outline many = {.segments = chords,
                              .n_segments = N,
                              .contours = &contour,
                              .n_contours = 1,
                              .closed = 1,
                              .pierces = 1,
                              .box = {-r, -r, r, r}};
    static bool of_chords[DOTS][DOTS];
    int other = 0, set = 0;
    picture(&many, &(struct sg_shape_how){.fine = true}, 30, 60);
    read_dots();
    memcpy(of_chords, dots, sizeof dots);
    draw(&drawing, circle(0, 0, r, false));
    make(path_of(&drawing));
    picture(&outline, &(struct sg_shape_how){.fine = true}, 30, 60);
    read_dots();
    for (int y = 0; y < DOTS; y++)
        for (int x = 0; x < DOTS; x++) {
            set += dots[y][x];
            other += dots[y][x] != of_chords[y][x];
        }
    ck_assert_int_gt(set, 300);
    ck_assert_int_lt(other, set / 10); /* where it passes between two dots */
    free(chords);
}
END_TEST

/* Hatching that no screen can show: it ends, and what is outside is drawn. */
START_TEST(endless_hatching_ends)
{
    enum { N = DRAWING_MOST - 4 };
    for (int i = 0; i < N; i++)
        draw(&drawing, line(1 + 98.0 * i / N, 1, 1 + 98.0 * i / N, 99));
    draw_box(&drawing, 0, 0, 100, 100);
    make(path_of(&drawing));
    ck_assert_int_eq(outline.n_contours, N + 1);
    picture(&outline, &(struct sg_shape_how){.pierces = true}, 50, 100);
    for (int c = 1; c < 99; c++)
        ck_assert_str_ne(cell(0, c), " ");
}
END_TEST

START_TEST(as_far_out_as_a_drawing_may_be)
{
    draw(&drawing, line(-1e9, -1e9, 1e9, 1e9));
    draw(&drawing, circle(0, 0, 1e-6, false));
    make(path_of(&drawing));
    picture(&outline, &(struct sg_shape_how){.pierces = true, .lead = 2}, 3, 5);
    ck_assert_str_ne(row(0), "");
    struct sg_area far = {-1000000, -1000000, 2000001, 2000001};
    struct sg_shape_how how = {.fine = true, .fill = "a"};
    sg_shape_draw(&canvas, (struct sg_area){0, 0, 3, 5}, far, &outline, &how);
    sg_outline_free(&outline);
    outline = (struct sg_outline){.box = {(double)NAN, (double)NAN, (double)NAN, (double)NAN}};
    struct sg_area cells = picture(&outline, &how, 3, 5);
    ck_assert_int_eq(cells.rows * cells.columns, 1);
    ck_assert_str_eq(row(0), "");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pictures of outlines");
    TCase *tcase = tcase_create("pictures of outlines");
    tcase_add_checked_fixture(tcase, setup, teardown);
    tcase_add_test(tcase, a_plate_with_a_hole);
    tcase_add_test(tcase, a_turned_plate);
    tcase_add_test(tcase, its_pierces_in_cutting_order);
    tcase_add_test(tcase, inside_is_filled_and_a_hole_is_not);
    tcase_add_test(tcase, a_slope_rises_and_falls);
    tcase_add_test(tcase, what_has_no_height_is_a_line);
    tcase_add_test(tcase, pierces_are_numbered_then_lettered_then_starred);
    tcase_add_test(tcase, dots_stand_where_the_lines_are);
    tcase_add_loop_test(tcase, a_turned_one_is_the_turned_picture, 0, 4);
    tcase_add_test(tcase, every_dotted_cell_is_one_column);
    tcase_add_test(tcase, nothing_is_drawn_outside);
    tcase_add_loop_test(tcase, a_part_of_a_picture_is_that_of_the_whole, 0, 2);
    tcase_add_test(tcase, a_million_chords_look_like_their_circle);
    tcase_add_test(tcase, endless_hatching_ends);
    tcase_add_test(tcase, as_far_out_as_a_drawing_may_be);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
