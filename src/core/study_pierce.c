/* Pierces of the joint fit: how sure the pierce is that t0 and kappa make together. */
#include "study_fitting.h"

#include <math.h>
#include <string.h>

bool sg_pierces_told(const struct sg_study_run *run, int32_t way)
{
    return run->head_kind == SG_HEAD_ABRASIVE && !run->cut_only && run->pierce == way && run->pierces > 0 &&
           sg_study_speaks(run);
}

/* The mean pierce of a way's runs that the fit does not leave out: its rise at the fitted speeds, and by what
 * share of itself it grows with each parameter. Returns s; NaN where there is none. */
static double mean_pierce(const struct sg_fitting *f, const struct sg_robust *fit, int32_t way,
                          double *gradient, double *rise)
{
    int32_t n = 0, at = sg_pierce_parameter(f, way);
    double base = exp(f->parameters[at]), factor = exp(f->parameters[at + 1]);
    memset(gradient, 0, (size_t)fit->p * sizeof *gradient);
    *rise = 0;
    for (int32_t i = 0; i < f->n_rows; i++) {
        const struct sg_fit_row *row = &f->rows[i];
        if (row->way != way || fit->weight[i] == 0)
            continue;
        double away = row->log_height - log(f->study->cutting[row->cutting].reference);
        int32_t bend = sg_exponent_parameter(f, row->cutting);
        double own = row->parts.rise * exp(-f->parameters[row->cutting] + f->parameters[bend] * away);
        *rise += own;
        gradient[row->cutting] -= factor * own;
        gradient[bend] += f->bent[row->cutting] ? factor * own * away : 0;
        n++;
    }
    *rise /= n;
    double pierce = base + factor * *rise;
    gradient[at] = n * base;
    gradient[at + 1] = n * factor * *rise;
    for (int32_t j = 0; j < fit->p; j++)
        gradient[j] /= n * pierce;
    return pierce;
}

static double variance_along(const struct sg_robust *fit, const double *gradient)
{
    double variance = 0;
    for (int32_t i = 0; i < fit->p; i++)
        for (int32_t j = 0; j < fit->p; j++)
            if (gradient[i] != 0 && gradient[j] != 0)
                variance += gradient[i] * gradient[j] * fit->variance[i * fit->p + j];
    return variance;
}

bool sg_take_pierces(struct sg_fitting *f, const struct sg_robust *fit)
{
    double *gradient = sg_arena_take(f->arena, (size_t)fit->p * sizeof *gradient);
    if (!gradient)
        return false;
    for (int32_t way = 0; way < SG_PIERCE_WAYS; way++) {
        struct sg_study_piercing *out = &f->study->piercing[way];
        int32_t at = sg_pierce_parameter(f, way), n = out->base.n, wild = 0;
        enum sg_study_verdict verdict = out->base.verdict;
        for (int32_t i = 0; i < f->n_rows; i++)
            wild += fit->weight[i] == 0 && sg_pierces_told(&f->runs[f->rows[i].run], way);
        out->base = sg_study_number_of(n, wild, f->parameters[at], sg_half_of(fit, at, 0));
        out->factor = sg_study_number_of(n, wild, f->parameters[at + 1], sg_half_of(fit, at + 1, 0));
        double pierce = mean_pierce(f, fit, way, gradient, &out->rise);
        out->pierce =
            sg_study_number_of(n, wild, log(pierce), sg_robust_half(fit, variance_along(fit, gradient)));
        if (f->machine->pierce_factor[way] == 0) /* there is none, and no run could tell */
            out->factor.estimate = out->factor.low = out->factor.high = 0;
        if (verdict == SG_STUDY_OFFERED || verdict == SG_STUDY_VAGUE) /* vague with the formula's exponents */
            verdict = out->pierce.verdict;
        out->base.verdict = out->factor.verdict = out->pierce.verdict = verdict;
    }
    return true;
}
