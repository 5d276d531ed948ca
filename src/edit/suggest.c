#include "edit/suggest.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Pairs of jobs grow with their square: beyond this many only neighbours are
 * swapped. */
enum { ALL_PAIRS = 24 };

struct search {
    struct sg_draft *draft;
    const struct sg_shop *kept; /* what a trial starts from */
    int32_t shift;
    struct sg_suggestion
        *found; /* owned: all that end it earlier, since a later one may put out an earlier */
    int n, room, tried;
    double before_ends;
    struct sg_error *error;
    bool failed;
};

/* ---- which is better ---- */

/* As the clock shows it: seconds of the plan's end are no reason to prefer anything. */
static double minute_of(const struct search *s, const struct sg_suggestion *a)
{
    return floor((s->kept->shifts[s->shift].calendar.epoch + a->ends + 1e-6) / 60);
}

static int order_of(double a, double b)
{
    return (a > b) - (a < b);
}

/* Negative where a is better: of one minute all that are left have as many late jobs. Sums of the same
 * seconds differ beyond the millisecond. */
static int compare(const struct search *s, const struct sg_suggestion *a, const struct sg_suggestion *b)
{
    int order = order_of(minute_of(s, a), minute_of(s, b));
    order = order ? order : order_of(round(a->late_s), round(b->late_s));
    order = order ? order : a->n_edits - b->n_edits;
    return order ? order : order_of(round(a->ends * 1000), round(b->ends * 1000));
}

static bool is_put_out(const struct search *s, const struct sg_suggestion *a)
{
    for (int i = 0; i < s->n; i++)
        if (minute_of(s, &s->found[i]) == minute_of(s, a) && s->found[i].n_late < a->n_late)
            return true;
    return false;
}

/* The best that is not taken yet, of equals the first tried; -1: none. */
static int next_best(const struct search *s, const bool *taken)
{
    int best = -1;
    for (int i = 0; i < s->n; i++)
        if (!taken[i] && (best < 0 || compare(s, &s->found[i], &s->found[best]) < 0))
            best = i;
    return best;
}

static void name_late(const struct sg_shop *kept, struct sg_suggestion *suggestion)
{
    enum { MORE = sizeof " .." };
    char *out = suggestion->late_jobs;
    size_t used = 0, room = sizeof suggestion->late_jobs - MORE;
    for (int32_t i = 0; i < suggestion->n_late; i++) {
        const char *id = i < SG_SUGGESTED_LATE ? kept->jobs[suggestion->late[i]].id : NULL;
        if (!id || used + 1 + strlen(id) > room) {
            snprintf(out + used, MORE, " ..");
            return;
        }
        used += (size_t)snprintf(out + used, room - used + 1, "%s%s", i > 0 ? " " : "", id);
    }
}

static int take_best(struct search *s, struct sg_suggestion *out)
{
    int n = 0;
    bool *taken = calloc((size_t)s->n + 1, sizeof *taken);
    if (!taken) {
        s->failed = true;
        sg_fail(s->error, SG_FAULT, "no memory to choose among %d suggestions", s->n);
        return 0;
    }
    for (int i = 0; i < s->n; i++)
        taken[i] = is_put_out(s, &s->found[i]);
    for (int best; n < SG_SUGGESTIONS && (best = next_best(s, taken)) >= 0;) {
        taken[best] = true;
        out[n] = s->found[best];
        name_late(s->kept, &out[n++]);
    }
    free(taken);
    return n;
}

static void note(struct search *s, const struct sg_suggestion *suggestion)
{
    if (s->n == s->room) {
        int room = 2 * s->room + 32;
        struct sg_suggestion *found = realloc(s->found, (size_t)room * sizeof *found);
        if (!found) {
            s->failed = true;
            sg_fail(s->error, SG_FAULT, "no memory for another suggestion");
            return;
        }
        s->found = found;
        s->room = room;
    }
    s->found[s->n++] = *suggestion;
}

/* ---- trying ---- */

/* By its id in the file: the draft may have the job elsewhere. */
static void add_late(const struct search *s, struct sg_suggestion *suggestion, int64_t row, double late)
{
    int32_t job = 0;
    while (job < s->kept->n_jobs && s->kept->jobs[job].row != row)
        job++;
    if (suggestion->n_late < SG_SUGGESTED_LATE)
        suggestion->late[suggestion->n_late] = job;
    suggestion->n_late++;
    suggestion->late_s += late;
}

static void add_late_jobs(const struct search *s, struct sg_suggestion *suggestion,
                          const struct sg_plan *plan, int64_t only)
{
    const struct sg_shop *tried = sg_draft_shop(s->draft);
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        int64_t row = tried->jobs[plan->first_job + i].row;
        if (plan->jobs[i].late > 0 && (only == 0 || row == only))
            add_late(s, suggestion, row, plan->jobs[i].late);
    }
}

/* Apply the edits to a fresh draft. A change that the rules refuse is no suggestion. */
static bool edit_draft(struct search *s, const struct sg_suggestion *suggestion)
{
    struct sg_error refused;
    if (s->failed || sg_draft_reset(s->draft, s->error) != SG_OK) {
        s->failed = true;
        return false;
    }
    s->tried++;
    for (int i = 0; i < suggestion->n_edits; i++) {
        struct sg_change change;
        struct sg_target target;
        const char *assignment = suggestion->edits[i].assignment;
        if (sg_draft_set(s->draft, suggestion->edits[i].key, &assignment, 1, &change, &target, &refused) !=
            SG_OK)
            return false;
    }
    return true;
}

/* Plan with the edits, keep what ends earlier. `to` is the shift to which the job `moved` goes, SG_UNKNOWN
 * where none does. */
static void try_edits(struct search *s, struct sg_suggestion *suggestion, int32_t moved, int32_t to)
{
    const struct sg_plan *plan;
    struct sg_error refused;
    if (!edit_draft(s, suggestion) || sg_draft_plan(s->draft, s->shift, &plan, &refused) != SG_OK ||
        !sg_known(plan->ends))
        return;
    suggestion->ends = plan->ends;
    suggestion->over = plan->over;
    suggestion->refills = plan->totals.refills;
    suggestion->saving = sg_known(s->before_ends) ? s->before_ends - plan->ends : (double)INFINITY;
    if (!(suggestion->saving >= 1))
        return;
    add_late_jobs(s, suggestion, plan, 0);
    if (to != SG_UNKNOWN && sg_draft_plan(s->draft, to, &plan, &refused) == SG_OK)
        add_late_jobs(s, suggestion, plan, s->kept->jobs[moved].row);
    note(s, suggestion);
}

static void add_edit(struct search *s, struct sg_suggestion *suggestion, enum sg_kind kind, int32_t index,
                     const char *field, const char *value)
{
    struct sg_edit *edit = &suggestion->edits[suggestion->n_edits++];
    sg_key_write(s->kept, (struct sg_target){kind, index}, edit->key, sizeof edit->key);
    snprintf(edit->assignment, sizeof edit->assignment, "%s=%s", field, value);
}

/* ---- the changes worth trying ---- */

static void try_refills(struct search *s)
{
    struct sg_suggestion wait = {.words = "refill earlier, where it waits least"};
    struct sg_suggestion breaks = {.words = "fill the hopper before each break"};
    if (s->kept->machine.refill_when == SG_WHEN_LATEST) {
        add_edit(s, &wait, SG_KIND_MACHINE, 0, "refill_when", "least_wait");
        try_edits(s, &wait, SG_UNKNOWN, SG_UNKNOWN);
    }
    if (!s->kept->shifts[s->shift].fill_before_breaks && s->kept->shifts[s->shift].n_breaks > 0) {
        add_edit(s, &breaks, SG_KIND_SHIFT, s->shift, "fill_before_breaks", "yes");
        try_edits(s, &breaks, SG_UNKNOWN, SG_UNKNOWN);
    }
}

static bool in_shift(const struct search *s, int32_t stock)
{
    return s->kept->jobs[s->kept->stocks[stock].job].shift == s->shift;
}

static void try_fills(struct search *s)
{
    for (int32_t i = 0; i < s->kept->n_stocks; i++) {
        struct sg_suggestion fill = {.n_edits = 0};
        if (!in_shift(s, i) || s->kept->stocks[i].fill || s->kept->stocks[i].n_parts == 0)
            continue;
        add_edit(s, &fill, SG_KIND_STOCK, i, "fill", "yes");
        snprintf(fill.words, sizeof fill.words, "fill the hopper while %s is loaded", fill.edits[0].key);
        try_edits(s, &fill, SG_UNKNOWN, SG_UNKNOWN);
    }
}

static int find_jobs(const struct search *s, int32_t *first)
{
    int n = 0;
    for (int32_t i = 0; i < s->kept->n_jobs; i++)
        if (s->kept->jobs[i].shift == s->shift && n++ == 0)
            *first = i;
    return n;
}

/* Two jobs change places: the later one goes to the earlier's, then the earlier
 * one to the later's. */
static void try_swaps(struct search *s)
{
    int32_t first = 0;
    int n = find_jobs(s, &first);
    for (int a = 0; a < n; a++)
        for (int b = a + 1; b < n && (n <= ALL_PAIRS || b == a + 1); b++) {
            const struct sg_job *x = &s->kept->jobs[first + a], *y = &s->kept->jobs[first + b];
            struct sg_suggestion swap = {.n_edits = 0};
            char order[16];
            snprintf(order, sizeof order, "%d", x->order);
            add_edit(s, &swap, SG_KIND_JOB, first + b, "order", order);
            snprintf(order, sizeof order, "%d", y->order);
            if (b > a + 1)
                add_edit(s, &swap, SG_KIND_JOB, first + a, "order", order);
            snprintf(swap.words, sizeof swap.words, "swap jobs %s and %s", x->id, y->id);
            try_edits(s, &swap, SG_UNKNOWN, SG_UNKNOWN);
        }
}

/* The open shift that starts next after this one. */
static int32_t next_shift(const struct search *s)
{
    int32_t next = SG_UNKNOWN;
    const struct sg_shift *shifts = s->kept->shifts;
    for (int32_t i = 0; i < s->kept->n_shifts; i++)
        if (!shifts[i].closed && shifts[i].calendar.epoch > shifts[s->shift].calendar.epoch &&
            (next == SG_UNKNOWN || shifts[i].calendar.epoch < shifts[next].calendar.epoch))
            next = i;
    return next;
}

static void try_moves(struct search *s)
{
    int32_t first = 0, next = next_shift(s);
    int n = next == SG_UNKNOWN ? 0 : find_jobs(s, &first);
    for (int i = 0; i < n; i++) {
        const struct sg_job *job = &s->kept->jobs[first + i];
        struct sg_suggestion move = {.n_edits = 0};
        add_edit(s, &move, SG_KIND_JOB, first + i, "shift", s->kept->shifts[next].id);
        snprintf(move.words, sizeof move.words, "move job %s to shift %s", job->id, s->kept->shifts[next].id);
        try_edits(s, &move, first + i, next);
    }
}

static void try_coarser(struct search *s)
{
    for (int32_t i = 0; i < s->kept->n_parts; i++) {
        const struct sg_part *part = &s->kept->parts[i];
        double edge = sg_known(part->edge) ? part->edge : s->kept->stocks[part->stock].edge,
               coarser = edge - 1;
        if (!in_shift(s, part->stock) || !(coarser >= part->edge_least))
            continue;
        struct sg_suggestion change = {.n_edits = 0};
        char value[32];
        snprintf(value, sizeof value, "%.17g", coarser);
        add_edit(s, &change, SG_KIND_PART, i, "edge", value);
        snprintf(change.words, sizeof change.words, "cut %s at edge %g %s", change.edits[0].key, coarser,
                 sg_edge_word(coarser));
        try_edits(s, &change, SG_UNKNOWN, SG_UNKNOWN);
    }
}

int sg_suggest(struct sg_draft *draft, int32_t shift, struct sg_suggestion *out, int *tried,
               struct sg_error *error)
{
    struct search s = {.draft = draft, .kept = sg_draft_kept(draft), .shift = shift, .error = error};
    const struct sg_plan *plan;
    if (sg_draft_reset(draft, error) != SG_OK || sg_draft_plan(draft, shift, &plan, error) != SG_OK)
        return -1;
    s.before_ends = plan->ends;
    try_refills(&s);
    try_fills(&s);
    try_swaps(&s);
    try_moves(&s);
    try_coarser(&s);
    int n = s.failed ? 0 : take_best(&s, out);
    free(s.found);
    if (s.failed || sg_draft_reset(draft, error) != SG_OK)
        return -1;
    if (tried)
        *tried = s.tried;
    return n;
}
