/* Ellipses and splines as arcs, against closed forms and Simpson's rule. */
#include "exchange/drawing_inside.h"

#include "drawings.h"
#include "support/random.h"

static struct random generator = {0xE111D5Eu};

static double between(double low, double high)
{
    return low + (high - low) * random_unit(&generator);
}

/* ---- the arcs of a curve ---- */

enum { ARCS_MOST = 20000 };

static struct sg_segment arcs[ARCS_MOST];
static int n_arcs;

static bool keep(void *context, const struct sg_segment *segment)
{
    (void)context;
    ck_assert_int_lt(n_arcs, ARCS_MOST);
    arcs[n_arcs++] = *segment;
    return true;
}

static void fit(const struct curve *curve)
{
    n_arcs = 0;
    ck_assert(curve_fit(curve, keep, NULL));
    ck_assert_int_gt(n_arcs, 0);
}

static double all_length(void)
{
    double length = 0;
    for (int i = 0; i < n_arcs; i++)
        length += sg_segment_length(&arcs[i]);
    return length;
}

static double all_area(void)
{
    double area = 0;
    for (int i = 0; i < n_arcs; i++)
        area += sg_segment_area(&arcs[i]);
    return area;
}

/* Each begins where the one before ends, to the bit; the turn between them stays under `most` radians. */
static void expect_chain(double most, bool closed)
{
    for (int i = 0; i + 1 < n_arcs + closed; i++) {
        const struct sg_segment *s = &arcs[i], *next = &arcs[(i + 1) % n_arcs];
        double t[8];
        ck_assert_double_eq(s->x1, next->x0);
        ck_assert_double_eq(s->y1, next->y0);
        sg_segment_tangents(s, &t[0], &t[1], &t[2], &t[3]);
        sg_segment_tangents(next, &t[4], &t[5], &t[6], &t[7]);
        ck_assert_double_lt(hypot(t[2] - t[4], t[3] - t[5]), most);
    }
}

/* ---- whole ellipses ---- */

/* Half axes of any length and direction, one over the other from 1e-4 to nearly 1. */
static struct curve any_ellipse(double *a, double *b, double *angle)
{
    static const double least[3] = {1e-4, 0.05, 0.999};
    double ratio = between(least[random_below(&generator, 3)], 1);
    if (random_below(&generator, 3) == 0)
        ratio = pow(ratio, 4);
    *a = exp(between(-2, 7));
    *b = *a * fmax(ratio, 1.01e-4);
    *angle = random_below(&generator, 4) ? between(0, 7) : 0.5 * pi * random_below(&generator, 4);
    double turned = random_below(&generator, 2) ? 1 : -1;
    return (struct curve){.cx = between(-100, 100),
                          .cy = between(-100, 100),
                          .ux = *a * cos(*angle),
                          .uy = *a * sin(*angle),
                          .vx = -turned * *b * sin(*angle),
                          .vy = turned * *b * cos(*angle),
                          .t1 = 2 * pi};
}

/* About how far a point lies off the ellipse: its equation over the slope of that. */
static double off_ellipse(const struct curve *curve, double a, double b, double angle, double x, double y)
{
    x -= curve->cx;
    y -= curve->cy;
    double along = x * cos(angle) + y * sin(angle), across = y * cos(angle) - x * sin(angle);
    double p = along / a, q = across / b;
    return fabs(p * p + q * q - 1) / (2 * hypot(p / a, q / b));
}

static double most_off(const struct curve *curve, double a, double b, double angle)
{
    double most = 0;
    for (int i = 0; i < n_arcs; i++)
        for (int k = 1; k < 6; k++) {
            const struct sg_segment *s = &arcs[i];
            double turn = atan2(s->y0 - s->cy, s->x0 - s->cx) + s->sweep * k / 6, r = sg_segment_radius(s);
            most = fmax(most, off_ellipse(curve, a, b, angle, s->cx + r * cos(turn), s->cy + r * sin(turn)));
        }
    return most;
}

START_TEST(a_whole_ellipse_keeps_its_length_area_and_box)
{
    for (int i = 0; i < 5000; i++) {
        double a, b, angle, box[4] = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
        struct curve curve = any_ellipse(&a, &b, &angle);
        fit(&curve);
        ck_assert_int_le(n_arcs, 400);
        ck_assert_double_eq_tol(all_length() / ellipse_perimeter(a, b), 1, 2e-7);
        ck_assert_double_eq_tol(fabs(all_area()) / (pi * a * b), 1, 1e-6);
        double half_x = hypot(curve.ux, curve.vx), half_y = hypot(curve.uy, curve.vy);
        for (int k = 0; k < n_arcs; k++)
            sg_segment_box(&arcs[k], box);
        ck_assert_double_eq_tol(box[0], curve.cx - half_x, 1e-11 * (100 + a));
        ck_assert_double_eq_tol(box[1], curve.cy - half_y, 1e-11 * (100 + a));
        ck_assert_double_eq_tol(box[2], curve.cx + half_x, 1e-11 * (100 + a));
        ck_assert_double_eq_tol(box[3], curve.cy + half_y, 1e-11 * (100 + a));
        ck_assert_double_le(most_off(&curve, a, b, angle), fmin(SG_CURVE_OFF, 1e-5 * (a + b)) * 1.01);
        expect_chain(0.02, true);
    }
}
END_TEST

/* Thinner than can be fitted by steps, and a line there and back. */
START_TEST(a_needle_keeps_its_length)
{
    static const double thickness[] = {5e-3, 1e-6, 0};
    for (int i = 0; i < 3; i++) {
        struct curve curve = {.ux = 60, .uy = 80, .vx = -0.8 * thickness[i], .vy = 0.6 * thickness[i]};
        curve.t1 = 2 * pi;
        fit(&curve);
        ck_assert_double_eq_tol(all_length(), ellipse_perimeter(100, fmax(thickness[i], 1e-9)), 2e-5);
        ck_assert_double_eq(arcs[0].x0, arcs[n_arcs - 1].x1);
    }
}
END_TEST

/* ---- parts of ellipses ---- */

/* Length by Simpson's rule with so many steps that what it is off is nothing here. */
static double simpson(double (*speed)(const struct curve *curve, double t), const struct curve *curve,
                      double t0, double t1)
{
    enum { STEPS = 2000 };
    double sum = 0, step = (t1 - t0) / STEPS;
    for (int i = 0; i <= STEPS; i++)
        sum += (i == 0 || i == STEPS ? 1 : i % 2 ? 4 : 2) * speed(curve, t0 + i * step);
    return fabs(sum * step / 3);
}

static double ellipse_speed(const struct curve *e, double t)
{
    return hypot(e->vx * cos(t) - e->ux * sin(t), e->vy * cos(t) - e->uy * sin(t));
}

static void expect_ends(double x0, double y0, double x1, double y1, double close)
{
    ck_assert_double_eq_tol(arcs[0].x0, x0, close);
    ck_assert_double_eq_tol(arcs[0].y0, y0, close);
    ck_assert_double_eq_tol(arcs[n_arcs - 1].x1, x1, close);
    ck_assert_double_eq_tol(arcs[n_arcs - 1].y1, y1, close);
}

/* Half axes that do not stand upright on each other, as a tilted plane makes them; from anywhere to anywhere,
 * either way. The sector from the middle is half of u x v (t1 - t0). */
START_TEST(a_part_of_an_ellipse_keeps_its_length_and_sector)
{
    for (int i = 0; i < 2000; i++) {
        double size = exp(between(-1, 5)), squeeze = between(0.05, 1), skew = between(-0.5, 0.5);
        struct curve e = {.ux = size * between(0.2, 1), .uy = size * between(-1, 1)};
        e.vx = skew * e.ux - squeeze * e.uy;
        e.vy = skew * e.uy + squeeze * e.ux;
        e.t0 = between(-10, 10);
        e.t1 = e.t0 + between(-6.2, 6.2);
        double across = e.ux * e.vy - e.uy * e.vx;
        fit(&e);
        double length = simpson(ellipse_speed, &e, e.t0, e.t1);
        ck_assert_double_eq_tol(all_length() / length, 1, 2.1e-7);
        ck_assert_double_eq_tol(all_area(), across * (e.t1 - e.t0) / 2, 1e-6 * fabs(across * (e.t1 - e.t0)));
        expect_ends(e.ux * cos(e.t0) + e.vx * sin(e.t0), e.uy * cos(e.t0) + e.vy * sin(e.t0),
                    e.ux * cos(e.t1) + e.vx * sin(e.t1), e.uy * cos(e.t1) + e.vy * sin(e.t1), 1e-12 * size);
        expect_chain(0.1, false);
    }
}
END_TEST

/* ---- pieces of splines ---- */

static double cubic_speed(const struct curve *curve, double t)
{
    double d[2];
    for (int k = 0; k < 2; k++) {
        const double(*p)[3] = curve->points;
        d[k] = 3 * ((1 - t) * (1 - t) * (p[1][k] - p[0][k]) + 2 * t * (1 - t) * (p[2][k] - p[1][k]) +
                    t * t * (p[3][k] - p[2][k]));
    }
    return hypot(d[0], d[1]);
}

/* 1/2 of the integral of x dy - y dx of a cubic: a polynomial, written out. */
static double cubic_area(const struct curve *curve)
{
    static const double weight[4][4] = {{0, 6, 3, 1}, {0, 0, 3, 3}, {0, 0, 0, 6}};
    double area = 0;
    for (int i = 0; i < 4; i++)
        for (int k = i + 1; k < 4; k++)
            area += weight[i][k] / 20 *
                    (curve->points[i][0] * curve->points[k][1] - curve->points[k][0] * curve->points[i][1]);
    return area;
}

/* Smooth ones: control points that go forward. */
START_TEST(a_cubic_keeps_its_length_and_area)
{
    for (int i = 0; i < 1000; i++) {
        double size = exp(between(-1, 5));
        struct curve curve = {.degree = 3};
        for (int k = 0; k < 4; k++) {
            curve.points[k][0] = size * (k + between(-0.3, 0.3));
            curve.points[k][1] = size * between(-1, 1);
            curve.points[k][2] = 1;
        }
        fit(&curve);
        double length = simpson(cubic_speed, &curve, 0, 1);
        ck_assert_double_eq_tol(all_length() / length, 1, 2e-7);
        ck_assert_double_eq_tol(all_area(), cubic_area(&curve), 1.01e-7 * length * length);
        expect_ends(curve.points[0][0], curve.points[0][1], curve.points[3][0], curve.points[3][1],
                    1e-12 * size);
    }
}
END_TEST

/* The same curve with one control point more. */
static void raise_degree(struct curve *curve)
{
    int n = curve->degree++;
    for (int c = 0; c < 3; c++) {
        curve->points[n + 1][c] = curve->points[n][c];
        for (int i = n; i > 0; i--) {
            double part = (double)i / (n + 1);
            curve->points[i][c] = part * curve->points[i - 1][c] + (1 - part) * curve->points[i][c];
        }
    }
}

/* Low degrees are worked out in another way than high ones. */
START_TEST(a_piece_of_a_raised_degree_is_the_same)
{
    for (int round = 0; round < 200; round++) {
        struct curve curve = {.degree = 2 + (int)random_below(&generator, 3)};
        for (int k = 0; k <= curve.degree; k++) {
            curve.points[k][2] = between(0.5, 2);
            curve.points[k][0] = curve.points[k][2] * 20 * (k + between(-0.3, 0.3));
            curve.points[k][1] = curve.points[k][2] * between(-20, 20);
        }
        fit(&curve);
        double length = all_length(), area = all_area();
        for (int degree = curve.degree; degree < DEGREE_MOST; degree++) {
            raise_degree(&curve);
            fit(&curve);
            ck_assert_double_eq_tol(all_length(), length, 4e-7 * length); /* both within 2e-7 of the curve */
            ck_assert_double_eq_tol(all_area(), area, 1e-7 * length * length);
        }
    }
}
END_TEST

/* ---- what is an arc of the drawing ---- */

START_TEST(only_arcs_of_the_drawing_are_not_fitted)
{
    static const struct {
        const char *name;
        int64_t fitted, arcs; /* arcs of the drawing */
    } fixtures[] = {{"plate.dxf", 0, 5}, {"bulges.dxf", 0, 3}, {"every-word.nc", 0, 5}};
    struct sg_drawing drawing;
    for (size_t i = 0; i < sizeof fixtures / sizeof *fixtures; i++) {
        int64_t fitted = 0, true_arcs = 0;
        read_fixture(fixtures[i].name, &as_it_is, &drawing);
        for (int64_t k = 0; k < drawing.path.n; k++) {
            fitted += drawing.path.segments[k].fitted;
            true_arcs += sg_is_arc(&drawing.path.segments[k]) && !drawing.path.segments[k].fitted;
        }
        ck_assert_int_eq(fitted, fixtures[i].fitted);
        ck_assert_int_eq(true_arcs, fixtures[i].arcs);
        ck_assert_int_eq(true_arcs, drawing.arcs);
        sg_drawing_free(&drawing);
    }
    static const char *const curves[] = {"ellipses.dxf", "splines.dxf"};
    for (int i = 0; i < 2; i++) {
        read_fixture(curves[i], &as_it_is, &drawing);
        for (int64_t k = 0; k < drawing.path.n; k++)
            ck_assert(drawing.path.segments[k].fitted);
        sg_drawing_free(&drawing);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("curves");
    TCase *tests = tcase_create("curves");
    tcase_add_test(tests, a_whole_ellipse_keeps_its_length_area_and_box);
    tcase_add_test(tests, a_needle_keeps_its_length);
    tcase_add_test(tests, a_part_of_an_ellipse_keeps_its_length_and_sector);
    tcase_add_test(tests, a_cubic_keeps_its_length_and_area);
    tcase_add_test(tests, a_piece_of_a_raised_degree_is_the_same);
    tcase_add_test(tests, only_arcs_of_the_drawing_are_not_fitted);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
