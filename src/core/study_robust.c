/* Robust regression with what is known before.
 *
 * Minimises sum rho(r_i / s) + 1/2 sum ((b_j - c_j) / d_j)^2 over the parameters b, rho being Tukey's
 * bisquare (Beaton & Tukey, Technometrics 16, 1974), which leaves wild runs out entirely; by reweighted
 * Gauss-Newton steps, the scale s from the median absolute residual (Hampel, J. Am. Statist. Assoc. 69,
 * 1974), scale and minimum by turns. Such a sum has several minima. Two descents are compared: from the
 * caller's start, which must be one that wild runs do not move (a median), and from Huber's fit (Ann. Math.
 * Statist. 35, 1964), which does not depend on a start. All sources from memory.
 *
 * What is known before weighs against noise: where there is none, the runs alone count. */
#include "study_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double huber = 1.345, tukey = 4.685; /* both 95 % efficient for normal noise */

/* Scale of residuals that are nothing but rounding. */
static const double least_scale = 1e-9;

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

double sg_median(double *values, int32_t n)
{
    if (n == 0)
        return (double)NAN;
    qsort(values, (size_t)n, sizeof *values, by_value);
    return n % 2 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

struct work {
    struct sg_robust *fit;
    double *residual, *sorted; /* n */
    double *normal, *inverse;  /* p x p: of the runs alone; of these and what was known */
    double *pull, *step;       /* p */
    double (*weigh)(double);
    double scale;
    double used; /* parameters that the runs, not what was known, decide */
};

static double huber_weight(double u)
{
    return fabs(u) <= huber ? 1 : huber / fabs(u);
}

static double tukey_weight(double u)
{
    double left = 1 - u * u / (tukey * tukey);
    return left > 0 ? left * left : 0;
}

/* The residuals that the parameters have used up are near 0 whatever the noise: leave as many out. */
static double scale_of(struct work *w)
{
    int32_t n = w->fit->n, drop = (int32_t)lround(w->used);
    drop = drop > n - 1 ? n - 1 : drop;
    for (int32_t i = 0; i < n; i++)
        w->sorted[i] = fabs(w->residual[i]);
    qsort(w->sorted, (size_t)n, sizeof *w->sorted, by_value);
    double scale = 1.4826 * sg_median(w->sorted + drop, n - drop);
    return scale > least_scale ? scale : least_scale;
}

/* Inverse in place by Gauss-Jordan, which needs no exchange of rows for a positive definite matrix. A
 * parameter that nothing tells gets a row and column of 0, so that it stays where it is. */
static void invert(double *a, int32_t p, double *diagonal)
{
    for (int32_t k = 0; k < p; k++)
        diagonal[k] = a[k * p + k];
    for (int32_t k = 0; k < p; k++) {
        double pivot = a[k * p + k];
        bool told = pivot > 1e-12 * diagonal[k];
        for (int32_t i = 0; i < p; i++)
            for (int32_t j = 0; told && i != k && j < p; j++)
                if (j != k)
                    a[i * p + j] -= a[i * p + k] * a[k * p + j] / pivot;
        for (int32_t i = 0; i < p; i++) {
            a[i * p + k] = told && i != k ? -a[i * p + k] / pivot : 0;
            a[k * p + i] = told && i != k ? a[k * p + i] / pivot : 0;
        }
        a[k * p + k] = told ? 1 / pivot : 0;
    }
}

static void add_row(struct work *w, const struct sg_robust_row *row, double weight)
{
    int32_t p = w->fit->p;
    for (int32_t a = 0; a < row->n; a++) {
        w->pull[row->parameter[a]] += weight * row->gradient[a] * row->residual;
        for (int32_t b = 0; b < row->n; b++)
            w->normal[row->parameter[a] * p + row->parameter[b]] +=
                weight * row->gradient[a] * row->gradient[b];
    }
}

static void look(struct work *w, bool new_scale)
{
    struct sg_robust *fit = w->fit;
    struct sg_robust_row row;
    for (int32_t i = 0; i < fit->n; i++) {
        fit->row(fit->data, i, fit->parameters, &row);
        w->residual[i] = row.residual;
    }
    if (new_scale)
        w->scale = scale_of(w);
    memset(w->normal, 0, (size_t)fit->p * (size_t)fit->p * sizeof *w->normal);
    memset(w->pull, 0, (size_t)fit->p * sizeof *w->pull);
    for (int32_t i = 0; i < fit->n; i++) {
        fit->row(fit->data, i, fit->parameters, &row);
        fit->weight[i] = w->weigh(row.residual / w->scale);
        add_row(w, &row, fit->weight[i]);
    }
}

/* Add what was known at a variance of the noise, invert, and count what the runs decide: the trace of
 * inverse x normal. */
static void weigh_known(struct work *w, double noise_variance)
{
    const struct sg_robust *fit = w->fit;
    int32_t p = fit->p;
    memcpy(w->inverse, w->normal, (size_t)p * (size_t)p * sizeof *w->inverse);
    for (int32_t j = 0; j < p; j++)
        w->inverse[j * p + j] += noise_variance / (fit->deviation[j] * fit->deviation[j]);
    invert(w->inverse, p, w->step);
    w->used = 0;
    for (int32_t i = 0; i < p * p; i++)
        w->used += w->inverse[i] * w->normal[i]; /* both symmetric */
}

/* One Gauss-Newton step; the largest change. */
static double step(struct work *w)
{
    const double longest = 0.7; /* of a logarithm: a factor of 2 */
    struct sg_robust *fit = w->fit;
    double variance = w->scale * w->scale, largest = 0;
    weigh_known(w, variance);
    for (int32_t j = 0; j < fit->p; j++)
        if (isfinite(fit->deviation[j]))
            w->pull[j] +=
                variance * (fit->centre[j] - fit->parameters[j]) / (fit->deviation[j] * fit->deviation[j]);
    for (int32_t i = 0; i < fit->p; i++) {
        w->step[i] = 0;
        for (int32_t j = 0; j < fit->p; j++)
            w->step[i] += w->inverse[i * fit->p + j] * w->pull[j];
        largest = fmax(largest, fabs(w->step[i]));
    }
    for (int32_t i = 0; i < fit->p; i++)
        fit->parameters[i] += w->step[i] * (largest > longest ? longest / largest : 1);
    return largest;
}

static void descend(struct work *w, bool new_scale, int steps)
{
    for (int i = 0; i < steps; i++) {
        look(w, new_scale);
        if (step(w) < 1e-12)
            break;
    }
}

/* Minimum and scale by turns from where the parameters are. */
static void settle(struct work *w)
{
    enum { ROUNDS = 8 }; /* without noise the scale falls to nothing in four; else it may go to and fro */
    bool settled = false;
    w->weigh = tukey_weight;
    look(w, true);
    for (int i = 0; i < ROUNDS && !settled; i++) {
        double before = w->scale;
        descend(w, false, 100);
        look(w, true);
        settled = fabs(w->scale - before) <= 1e-3 * before;
    }
}

/* What is minimised, at a scale. */
static double sum_at(const struct work *w, const double *parameters, double scale)
{
    const struct sg_robust *fit = w->fit;
    struct sg_robust_row row;
    double sum = 0;
    for (int32_t i = 0; i < fit->n; i++) {
        fit->row(fit->data, i, parameters, &row);
        double left = fmax(1 - pow(row.residual / scale / tukey, 2), 0);
        sum += tukey * tukey / 6 * (1 - left * left * left);
    }
    for (int32_t j = 0; j < fit->p; j++)
        sum += 0.5 * pow((parameters[j] - fit->centre[j]) / fit->deviation[j], 2);
    return sum;
}

/* The better of the two descents, both seen at the smaller scale: the larger would favour what is loose.
 * `other` has room for p parameters. */
static void descend_twice(struct work *w, double *other)
{
    struct sg_robust *fit = w->fit;
    size_t size = (size_t)fit->p * sizeof *other;
    double used = w->used;
    memcpy(other, fit->parameters, size);
    w->weigh = huber_weight;
    descend(w, true, 30); /* only a start */
    settle(w);
    double scale = w->scale;
    for (int32_t j = 0; j < fit->p; j++) {
        double start = other[j];
        other[j] = fit->parameters[j];
        fit->parameters[j] = start;
    }
    w->used = used;
    settle(w);
    double common = fmin(scale, w->scale);
    if (sum_at(w, other, common) < sum_at(w, fit->parameters, common)) {
        memcpy(fit->parameters, other, size);
        w->scale = scale;
    }
}

/* Variance of the parameters from the weighted residuals. Bisquare weights make normal noise look smaller
 * than it is: this variance, without the factor, would be E[w r^2] / E[w]^2 = 0.905 of that of least squares,
 * and at 95 % efficiency it is 1 / 0.95 of it (both by integrating over the normal law). */
static void finish(struct work *w)
{
    const double bisquare = 1.163;
    struct sg_robust *fit = w->fit;
    double sum = 0, squares = 0;
    look(w, false);
    for (int32_t i = 0; i < fit->n; i++) {
        sum += fit->weight[i];
        squares += fit->weight[i] * w->residual[i] * w->residual[i];
    }
    weigh_known(w, w->scale * w->scale);
    fit->freedom = fmax(sum - w->used, 1);
    double variance = fmax(bisquare * squares / fit->freedom, least_scale * least_scale);
    weigh_known(w, variance);
    for (int32_t i = 0; i < fit->p * fit->p; i++)
        fit->variance[i] = variance * w->inverse[i];
    for (int32_t j = 0; j < fit->p; j++)
        if (!(w->inverse[j * fit->p + j] > 0))
            fit->variance[j * fit->p + j] = fit->deviation[j] * fit->deviation[j];
}

bool sg_robust_fit(struct sg_robust *fit, struct sg_arena *arena)
{
    size_t n = (size_t)fit->n, p = (size_t)fit->p;
    double *room = sg_arena_take(arena, (3 * n + 3 * p * p + 3 * p) * sizeof *room);
    if (!room)
        return false;
    struct work w = {.fit = fit, .residual = room, .sorted = room + n};
    fit->weight = room + 2 * n;
    w.normal = room + 3 * n;
    w.inverse = w.normal + p * p;
    fit->variance = w.inverse + p * p;
    w.pull = fit->variance + p * p;
    w.step = w.pull + p;
    for (size_t j = 0; j < p; j++)
        w.used += isfinite(fit->deviation[j]) ? 0 : 1;
    descend_twice(&w, w.step + p);
    finish(&w);
    return true;
}

/* Quantile of Student's distribution that 5 % lie above (Abramowitz & Stegun 26.7.5, from memory; within 0.3
 * % from 3 degrees of freedom on, 2.5 and 12 % short at 2 and 1). */
static double student(double freedom)
{
    const double z = 1.6448536269514722, z3 = z * z * z, z5 = z3 * z * z, z7 = z5 * z * z;
    double f = freedom;
    return z + (z3 + z) / (4 * f) + (5 * z5 + 16 * z3 + 3 * z) / (96 * f * f) +
           (3 * z7 + 19 * z5 + 17 * z3 - 15 * z) / (384 * f * f * f);
}

double sg_robust_half(const struct sg_robust *fit, double variance)
{
    return student(fit->freedom) * sqrt(variance);
}
