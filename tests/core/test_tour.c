/* Rapid order against published tours, exact orders and closed forms. The instances are TSPLIB's; sources in
 * fixtures/checks/rapid-order/index.csv. */
#include "sandglass/tour.h"

#include "support/random.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 200 };

struct points {
    double x[MOST], y[MOST];
    int32_t n, after[MOST];
};

static const double nowhere = (double)NAN;

static FILE *open_check(const char *name)
{
    char path[300];
    snprintf(path, sizeof path, FIXTURES "/checks/rapid-order/%s", name);
    FILE *file = fopen(path, "r");
    ck_assert_msg(file != NULL, "%s cannot be read", path);
    return file;
}

static void read_points(const char *instance, struct points *points)
{
    char name[100], line[200];
    snprintf(name, sizeof name, "%s.csv", instance);
    FILE *file = open_check(name);
    points->n = 0;
    ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    while (points->n < MOST && fgets(line, sizeof line, file)) {
        char *rest;
        ck_assert_int_eq(strtol(line, &rest, 10), points->n + 1);
        points->x[points->n] = strtod(rest + 1, &rest);
        points->y[points->n++] = strtod(rest + 1, NULL);
    }
    fclose(file);
    memset(points->after, 0xFF, sizeof points->after); /* -1 */
}

static struct sg_tour_input input_of(const struct points *points)
{
    return (struct sg_tour_input){.x = points->x,
                                  .y = points->y,
                                  .n = points->n,
                                  .after = points->after,
                                  .start_x = nowhere,
                                  .start_y = nowhere};
}

/* The length of an order, recomputed; every point must be in it once, in a permitted order. */
static double length_of(const struct sg_tour_input *in, const int32_t *order)
{
    int32_t place[MOST];
    double length = 0;
    memset(place, 0xFF, sizeof place);
    for (int32_t i = 0; i < in->n; i++) {
        ck_assert_int_ge(order[i], 0);
        ck_assert_int_lt(order[i], in->n);
        ck_assert_int_eq(place[order[i]], -1);
        place[order[i]] = i;
        if (i > 0)
            length += hypot(in->x[order[i]] - in->x[order[i - 1]], in->y[order[i]] - in->y[order[i - 1]]);
    }
    for (int32_t i = 0; in->after && i < in->n; i++)
        ck_assert(in->after[i] < 0 || place[in->after[i]] > place[i]);
    if (in->n > 0 && in->closed)
        length += hypot(in->x[order[0]] - in->x[order[in->n - 1]], in->y[order[0]] - in->y[order[in->n - 1]]);
    if (in->n > 0 && !in->closed && !isnan(in->start_x))
        length += hypot(in->x[order[0]] - in->start_x, in->y[order[0]] - in->start_y);
    return length;
}

static double solve(const struct sg_tour_input *in, int32_t *order)
{
    double told, length;
    ck_assert(sg_tour(in, order, &told));
    length = length_of(in, order);
    ck_assert_double_eq_tol(told, length, 1e-6);
    return length;
}

/* ---- published tours ---- */

static const struct {
    const char *name;
    double best; /* published, of distances rounded to whole ones */
    double
        unrounded; /* of the published tour: index.csv; of unrounded distances another one may be shorter */
} instances[] = {{"berlin52", 7542, 7544.3659},
                 {"st70", 675, 678.5975},
                 {"eil76", 538, 545.3876},
                 {"kroA100", 21282, 21285.4432}};

enum { INSTANCES = sizeof instances / sizeof *instances };

static double rounded_length(const struct points *points, const int32_t *order)
{
    double length = 0;
    for (int32_t i = 0; i < points->n; i++) {
        int32_t a = order[i], b = order[(i + 1) % points->n];
        length += floor(hypot(points->x[a] - points->x[b], points->y[a] - points->y[b]) + 0.5);
    }
    return length;
}

static double excess(int instance, int32_t kicks)
{
    struct points points;
    int32_t order[MOST];
    read_points(instances[instance].name, &points);
    struct sg_tour_input in = input_of(&points);
    in.closed = true;
    in.after = NULL;
    in.kicks = kicks;
    solve(&in, order);
    return rounded_length(&points, order) / instances[instance].best - 1;
}

/* The optimal tours of the fixtures have the lengths that index.csv gives: both are read right. */
START_TEST(the_published_tours_have_their_published_lengths)
{
    for (int i = 0; i < INSTANCES; i++) {
        struct points points;
        int32_t order[MOST], n = 0;
        char name[100], line[100];
        read_points(instances[i].name, &points);
        snprintf(name, sizeof name, "%s.opt.csv", instances[i].name);
        FILE *file = open_check(name);
        ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
        while (n < points.n && fgets(line, sizeof line, file))
            order[n++] = (int32_t)strtol(line, NULL, 10) - 1;
        fclose(file);
        struct sg_tour_input in = input_of(&points);
        in.closed = true;
        ck_assert_int_eq(n, points.n);
        ck_assert_double_eq_tol(length_of(&in, order), instances[i].unrounded, 1e-4);
        ck_assert_double_eq(rounded_length(&points, order), instances[i].best);
    }
}
END_TEST

START_TEST(one_pass_is_within_8_percent)
{
    for (int i = 0; i < INSTANCES; i++) {
        double over = excess(i, 0);
        ck_assert_double_ge(over, 0); /* nothing beats the optimum */
        ck_assert_double_le(over, 0.08);
    }
}
END_TEST

START_TEST(with_500_kicks_the_mean_is_within_2_percent)
{
    double sum = 0;
    for (int i = 0; i < INSTANCES; i++) {
        double over = excess(i, 500);
        ck_assert_double_ge(over, 0); /* nothing beats the optimum */
        sum += over;
    }
    ck_assert_double_le(sum / INSTANCES, 0.02);
}
END_TEST

/* ---- inner before outer ---- */

/* "1<-4+5 6<-8": 4 and 5 come before 1. */
static void read_after(const char *text, struct points *points)
{
    char *rest;
    while (*text) {
        int32_t outer = (int32_t)strtol(text, &rest, 10) - 1;
        ck_assert(strncmp(rest, "<-", 2) == 0);
        do {
            int32_t inner = (int32_t)strtol(rest + (*rest == '<' ? 2 : 1), &rest, 10) - 1;
            ck_assert(inner >= 0 && inner < points->n);
            points->after[inner] = outer;
        } while (*rest == '+');
        text = *rest == ' ' ? rest + 1 : rest;
    }
}

/* Columns: id, base, nodes, start x and y, pairs, optimum, order, optimum without the pairs. The optimum is
 * from a program of its own over all subsets. */
START_TEST(few_points_with_inner_ones_are_in_the_best_order)
{
    FILE *file = open_check("precedence.csv");
    char line[400];
    int rows = 0;
    ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    while (fgets(line, sizeof line, file)) {
        char *cells[9], *save = NULL, *cell = strtok_r(line, ",", &save);
        struct points points;
        int32_t order[MOST];
        for (int i = 0; i < 9; i++, cell = strtok_r(NULL, ",", &save)) {
            ck_assert_ptr_nonnull(cell);
            cells[i] = cell;
        }
        read_points(cells[1], &points);
        points.n = (int32_t)strtol(cells[2] + strlen("first "), NULL, 10);
        struct sg_tour_input in = input_of(&points);
        in.start_x = strtod(cells[3], NULL);
        in.start_y = strtod(cells[4], NULL);
        ck_assert_double_eq_tol(solve(&in, order), strtod(cells[8], NULL), 1e-6);
        read_after(cells[5], &points);
        ck_assert_double_eq_tol(solve(&in, order), strtod(cells[6], NULL), 1e-6);
        rows++;
    }
    fclose(file);
    ck_assert_int_eq(rows, 3);
}
END_TEST

START_TEST(among_many_every_inner_one_comes_before_its_outer_one)
{
    struct random random = {0x70e5u};
    for (int round = 0; round < 100; round++) {
        struct points points = {.n = 15 + (int32_t)random_below(&random, 120)};
        int32_t order[MOST];
        for (int32_t i = 0; i < points.n; i++) {
            points.x[i] = 1000 * random_unit(&random);
            points.y[i] = 1000 * random_unit(&random);
            points.after[i] = -1; /* an outer one of a higher number, itself inside of another now and then */
            if (i + 1 < points.n && random_below(&random, 3))
                points.after[i] = i + 1 + (int32_t)random_below(&random, (unsigned)(points.n - i - 1));
        }
        struct sg_tour_input in = input_of(&points);
        in.start_x = in.start_y = 0;
        double one_pass = solve(&in, order); /* checks the order */
        in.kicks = 200;
        ck_assert_double_le(solve(&in, order), one_pass + 1e-9);
    }
}
END_TEST

/* All orders of up to 7 points, one by one. */
static double best_by_trying(const struct sg_tour_input *in, int32_t *order, int32_t k)
{
    if (k == in->n) {
        int32_t place[MOST];
        double length =
            isnan(in->start_x) ? 0 : hypot(in->x[order[0]] - in->start_x, in->y[order[0]] - in->start_y);
        for (int32_t i = 0; i < in->n; i++)
            place[order[i]] = i;
        for (int32_t i = 0; i < in->n; i++)
            if (in->after[i] >= 0 && place[in->after[i]] < place[i])
                return (double)INFINITY;
        for (int32_t i = 1; i < in->n; i++)
            length += hypot(in->x[order[i]] - in->x[order[i - 1]], in->y[order[i]] - in->y[order[i - 1]]);
        return length;
    }
    double best = (double)INFINITY;
    for (int32_t i = k; i < in->n; i++) {
        int32_t node = order[k];
        order[k] = order[i];
        order[i] = node;
        best = fmin(best, best_by_trying(in, order, k + 1));
        order[i] = order[k];
        order[k] = node;
    }
    return best;
}

START_TEST(up_to_seven_points_are_as_short_as_trying_all_orders)
{
    struct random random = {0x7777u};
    for (int round = 0; round < 200; round++) {
        struct points points = {.n = 1 + (int32_t)random_below(&random, 7)};
        int32_t order[MOST];
        for (int32_t i = 0; i < points.n; i++) {
            points.x[i] = 100 * random_unit(&random);
            points.y[i] = 100 * random_unit(&random);
            points.after[i] = i + 1 < points.n && random_below(&random, 2) ? i + 1 : -1;
        }
        struct sg_tour_input in = input_of(&points);
        if (random_below(&random, 2))
            in.start_x = in.start_y = 50;
        double length = solve(&in, order);
        for (int32_t i = 0; i < points.n; i++)
            order[i] = i;
        ck_assert_double_eq_tol(length, best_by_trying(&in, order, 0), 1e-9);
    }
}
END_TEST

/* ---- closed forms ---- */

START_TEST(points_on_a_circle_are_a_round)
{
    struct points points = {.n = 90};
    int32_t order[MOST];
    for (int32_t i = 0; i < points.n; i++) {
        double a = 2 * acos(-1.0) * (i * 37 % points.n) / points.n; /* in no order */
        points.x[i] = 500 * cos(a);
        points.y[i] = 500 * sin(a);
    }
    struct sg_tour_input in = input_of(&points);
    in.after = NULL;
    in.closed = true;
    in.kicks = 500;
    double chord = 1000 * sin(acos(-1.0) / points.n); /* 2 R sin(pi/n) each */
    ck_assert_double_eq_tol(solve(&in, order), points.n * chord, 1e-6);
    in.closed = false; /* open: all but one */
    ck_assert_double_eq_tol(solve(&in, order), (points.n - 1) * chord, 1e-6);
}
END_TEST

START_TEST(a_grid_has_no_way_longer_than_its_spacing)
{
    struct points points = {.n = 100};
    int32_t order[MOST];
    for (int32_t i = 0; i < points.n; i++) {
        points.x[i] = i % 10 * 25;
        points.y[i] = i / 10 * 25;
    }
    struct sg_tour_input in = input_of(&points);
    in.after = NULL;
    in.closed = true;
    in.kicks = 500;
    ck_assert_double_le(solve(&in, order), 100 * 25 * 1.02); /* k2 d for even k; it may miss a little */
    ck_assert_double_ge(solve(&in, order), 100 * 25 - 1e-6);
}
END_TEST

START_TEST(very_many_points_stay_as_drawn_but_for_inner_before_outer)
{
    enum { MANY = 4 * SG_TOUR_SEARCHED };
    static double x[MANY], y[MANY];
    static int32_t after[MANY], order[MANY], place[MANY];
    struct random random = {0x3a9u};
    double length;
    for (int32_t i = 0; i < MANY; i++) {
        x[i] = random_unit(&random);
        y[i] = random_unit(&random);
        after[i] = i % 4 == 0 ? -1 : i - i % 4; /* the outer one is drawn before its three holes */
        place[i] = -1;
    }
    const struct sg_tour_input in = {.x = x, .y = y, .n = MANY, .after = after, .kicks = 500};
    ck_assert(sg_tour(&in, order, &length));
    for (int32_t i = 0; i < MANY; i++) {
        ck_assert_int_eq(place[order[i]], -1);
        place[order[i]] = i;
    }
    for (int32_t i = 0; i < MANY; i++)
        ck_assert_int_eq(place[i], i % 4 == 0 ? i + 3 : i - 1);
}
END_TEST

START_TEST(few_and_no_points_are_orders_too)
{
    const struct points points = {.x = {3, 0}, .y = {4, 0}, .n = 2, .after = {-1, -1}};
    int32_t order[MOST];
    struct sg_tour_input in = input_of(&points);
    in.start_x = in.start_y = 0;
    ck_assert_double_eq(solve(&in, order), 5);
    ck_assert_int_eq(order[0], 1);
    in.closed = true;
    ck_assert_double_eq(solve(&in, order), 10);
    in.closed = false;
    in.n = 1;
    ck_assert_double_eq(solve(&in, order), 5);
    in.n = 0;
    ck_assert_double_eq(solve(&in, order), 0);
}
END_TEST

START_TEST(points_on_one_spot_are_an_order)
{
    struct points points = {.n = 60};
    int32_t order[MOST];
    memset(points.after, 0xFF, sizeof points.after);
    struct sg_tour_input in = input_of(&points);
    in.kicks = 50;
    ck_assert_double_eq(solve(&in, order), 0);
}
END_TEST

/* Far away the last digits of a distance are worth more than a change may save. */
START_TEST(points_at_the_end_of_the_world_are_an_order)
{
    struct random random = {0xFA7u};
    for (int round = 0; round < 3000; round++) {
        struct points points = {.n = 15 + (int32_t)random_below(&random, 30)};
        int32_t order[MOST];
        double far = random_below(&random, 2) ? 333333333 : 1e9;
        for (int32_t i = 0; i < points.n; i++) {
            points.x[i] =
                random_below(&random, 6) ? 5.0 * random_below(&random, 5) : far * random_unit(&random);
            points.y[i] = random_below(&random, 6) ? 10.0 * random_below(&random, 3) : -far;
        }
        struct sg_tour_input in = input_of(&points);
        in.after = NULL;
        in.kicks = 10;
        double told;
        ck_assert(sg_tour(&in, order, &told));
        ck_assert_double_eq_tol(told, length_of(&in, order), 1e-12 * points.n * far);
    }
}
END_TEST

START_TEST(the_same_points_give_the_same_order_twice)
{
    struct points points;
    int32_t first[MOST], second[MOST];
    read_points("kroA100", &points);
    for (int32_t i = 0; i < points.n - 1; i += 3)
        points.after[i] = i + 1;
    struct sg_tour_input in = input_of(&points);
    in.kicks = 300;
    solve(&in, first);
    solve(&in, second);
    ck_assert_mem_eq(first, second, (size_t)points.n * sizeof *first);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tour");
    TCase *tests = tcase_create("tour");
    tcase_add_test(tests, the_published_tours_have_their_published_lengths);
    tcase_add_test(tests, one_pass_is_within_8_percent);
    tcase_add_test(tests, with_500_kicks_the_mean_is_within_2_percent);
    tcase_add_test(tests, few_points_with_inner_ones_are_in_the_best_order);
    tcase_add_test(tests, among_many_every_inner_one_comes_before_its_outer_one);
    tcase_add_test(tests, up_to_seven_points_are_as_short_as_trying_all_orders);
    tcase_add_test(tests, points_on_a_circle_are_a_round);
    tcase_add_test(tests, a_grid_has_no_way_longer_than_its_spacing);
    tcase_add_test(tests, very_many_points_stay_as_drawn_but_for_inner_before_outer);
    tcase_add_test(tests, few_and_no_points_are_orders_too);
    tcase_add_test(tests, points_on_one_spot_are_an_order);
    tcase_add_test(tests, points_at_the_end_of_the_world_are_an_order);
    tcase_add_test(tests, the_same_points_give_the_same_order_twice);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
