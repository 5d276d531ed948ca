/* What a head really feeds, from weighings and from what went out of the hopper. */
#include "study_inside.h"

#include <math.h>

/* How much the feed is taken to creep from one measurement to the next, one standard deviation of its
 * logarithm (an estimate): a line through few noisy measurements is held level by it. */
static const double creep = 0.01;

/* g/min of one head, NaN where it was not measured. Garnet flows while the jet cuts and pierces. */
static double measured(const struct sg_study_run *run)
{
    if (run->head_kind != SG_HEAD_ABRASIVE)
        return (double)NAN;
    double on = sg_study_net(run) + (run->cut_only ? run->planned_pierce : -run->planned_rapid);
    double used = run->garnet_used * 1000 / run->heads / (on / 60);
    double feed = run->garnet_weighed > 0 ? run->garnet_weighed : used;
    return feed > 0 && isfinite(feed) && (run->garnet_weighed > 0 || on > 0) ? feed : (double)NAN;
}

static bool alike(const struct sg_study_run *a, const struct sg_study_run *b)
{
    return a->head_kind == b->head_kind && a->head == b->head && a->garnet == b->garnet;
}

/* Measurements at one head and setting, numbered in order. */
struct line {
    const double *log_feed;
    int32_t first; /* number of the first one in the window */
    double at;     /* number at which the line is read */
};

static void line_row(const void *data, int32_t i, const double *parameters, struct sg_robust_row *out)
{
    const struct line *line = data;
    double along = line->first + i - line->at;
    *out = (struct sg_robust_row){
        line->log_feed[line->first + i] - parameters[0] - parameters[1] * along, 2, {0, 1}, {1, along}};
}

struct reading {
    double log_feed, half, deviation;
    int32_t n, wild;
};

/* Read the line through the measurements nearest to number `at`. */
static bool read_line(const double *log_feed, int32_t n, double at, struct sg_arena *arena,
                      struct reading *out)
{
    static const double centre[2] = {0, 0}, deviation[2] = {(double)INFINITY, creep};
    int32_t window = n < SG_STUDY_FEED_WINDOW ? n : SG_STUDY_FEED_WINDOW;
    int32_t first = (int32_t)ceil(at - window / 2.0);
    first = first < 0 ? 0 : first > n - window ? n - window : first;
    struct line line = {log_feed, first, at};
    double *sorted = sg_arena_take(arena, (size_t)window * sizeof *sorted);
    if (!sorted)
        return false;
    for (int32_t i = 0; i < window; i++)
        sorted[i] = log_feed[first + i];
    double parameters[2] = {sg_median(sorted, window), 0};
    struct sg_robust fit = {.n = window,
                            .p = 2,
                            .row = line_row,
                            .data = &line,
                            .parameters = parameters,
                            .centre = centre,
                            .deviation = deviation};
    if (!sg_robust_fit(&fit, arena))
        return false;
    *out = (struct reading){parameters[0], sg_robust_half(&fit, fit.variance[0]), sqrt(fit.variance[0]),
                            window, 0};
    for (int32_t i = 0; i < window; i++)
        out->wild += fit.weight[i] == 0;
    return true;
}

/* The measurements like that of runs[i], and where among them it stands: halfway between two if it is not one
 * of them. NULL: no memory. */
static double *measurements(const struct sg_study_run *runs, int32_t n, int32_t i, struct sg_arena *arena,
                            int32_t *count, double *at)
{
    double *log_feed = sg_arena_take(arena, (size_t)n * sizeof *log_feed);
    *count = 0;
    for (int32_t j = 0; log_feed && j < n; j++) {
        double feed = alike(&runs[j], &runs[i]) ? measured(&runs[j]) : (double)NAN;
        if (j == i)
            *at = sg_known(feed) ? *count : *count - 0.5;
        if (sg_known(feed))
            log_feed[(*count)++] = log(feed);
    }
    return log_feed;
}

bool sg_study_feed_at(const struct sg_study_run *runs, int32_t n, int32_t i, double *feed, double *deviation)
{
    struct sg_arena scratch = {NULL}; /* the fit asks once for each run */
    struct reading reading;
    int32_t count;
    double at = 0;
    *feed = runs[i].garnet;
    *deviation = 0;
    if (runs[i].head_kind != SG_HEAD_ABRASIVE)
        return true;
    const double *log_feed = measurements(runs, n, i, &scratch, &count, &at);
    bool enough = log_feed && count >= SG_STUDY_RUNS;
    bool ok = log_feed && (!enough || read_line(log_feed, count, at, &scratch, &reading));
    if (ok && enough) {
        *feed = exp(reading.log_feed);
        *deviation = reading.deviation;
    }
    sg_arena_free(&scratch);
    return ok;
}

/* runs[last] is the head's latest. */
static bool feed_of(const struct sg_study_run *runs, int32_t n, int32_t last, struct sg_arena *arena,
                    struct sg_study_feed *out)
{
    int32_t count;
    double at, nothing = (double)NAN;
    struct reading reading = {nothing, nothing, nothing, 0, 0};
    const double *log_feed = measurements(runs, n, last, arena, &count, &at);
    if (!log_feed || (count > 0 && !read_line(log_feed, count, count, arena, &reading)))
        return false;
    *out =
        (struct sg_study_feed){runs[last].head, runs[last].garnet, nothing,
                               sg_study_number_of(reading.n, reading.wild, reading.log_feed, reading.half)};
    for (int32_t i = 0; i < n; i++) {
        double feed = measured(&runs[i]), deviation;
        if (runs[i].head != runs[last].head || !sg_known(feed))
            continue;
        if (!sg_study_feed_at(runs, n, i, &feed, &deviation))
            return false;
        if (deviation == 0) /* too few to tell a wild one, but what was caught was fed */
            feed = runs[i].garnet_weighed;
        out->most = fmax(out->most, feed);
    }
    return true;
}

bool sg_study_feeds(const struct sg_study_run *runs, int32_t n, struct sg_arena *arena, struct sg_study *out)
{
    out->feeds = sg_arena_take(arena, (size_t)n * sizeof *out->feeds);
    if (!out->feeds)
        return false;
    int32_t next;
    for (int32_t head = 0; head != INT32_MAX; head = next) { /* from head to next larger head */
        int32_t last = SG_UNKNOWN;
        next = INT32_MAX;
        for (int32_t i = 0; i < n; i++) {
            if (runs[i].head == head && runs[i].head_kind == SG_HEAD_ABRASIVE)
                last = i;
            if (runs[i].head > head && runs[i].head < next)
                next = runs[i].head;
        }
        if (last != SG_UNKNOWN && !feed_of(runs, n, last, arena, &out->feeds[out->n_feeds++]))
            return false;
    }
    return true;
}
