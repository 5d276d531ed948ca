#include "edit/suggest.h"

#include <stdio.h>
#include <string.h>

/* Pairs of jobs grow with their square: beyond this many only neighbours are
 * swapped. */
enum { ALL_PAIRS = 24 };

struct search {
    struct sg_draft *draft;
    const struct sg_shop *kept; /* what a trial starts from */
    int32_t shift;
    struct sg_suggestion *best;
    int n, tried;
    double before_ends;
    struct sg_error *error;
    bool failed;
};

/* More time won is better, to the millisecond (beyond it two sums of the same
 * seconds differ), then what changes less. */
static bool is_better(const struct sg_suggestion *a, const struct sg_suggestion *b)
{
    double x = round(a->saving * 1000), y = round(b->saving * 1000);
    if (x != y)
        return x > y;
    return a->n_edits < b->n_edits;
}

static void keep_suggestion(struct search *s, const struct sg_suggestion *suggestion)
{
    int at = s->n < SG_SUGGESTIONS ? s->n++ : SG_SUGGESTIONS;
    while (at > 0 && is_better(suggestion, &s->best[at - 1])) {
        if (at < SG_SUGGESTIONS)
            s->best[at] = s->best[at - 1];
        at--;
    }
    if (at < SG_SUGGESTIONS)
        s->best[at] = *suggestion;
}

/* Apply the edits to a fresh draft, plan, keep what ends earlier. A change that
 * the rules refuse is no suggestion. */
static void try_edits(struct search *s, struct sg_suggestion *suggestion)
{
    const struct sg_plan *plan;
    struct sg_error refused;
    if (s->failed || sg_draft_reset(s->draft, s->error) != SG_OK) {
        s->failed = true;
        return;
    }
    s->tried++;
    for (int i = 0; i < suggestion->n_edits; i++) {
        struct sg_change change;
        struct sg_target target;
        const char *assignment = suggestion->edits[i].assignment;
        if (sg_draft_set(s->draft, suggestion->edits[i].key, &assignment, 1, &change, &target, &refused) !=
            SG_OK)
            return;
    }
    if (sg_draft_plan(s->draft, s->shift, &plan, &refused) != SG_OK || !sg_known(plan->ends))
        return;
    suggestion->ends = plan->ends;
    suggestion->over = plan->over;
    suggestion->refills = plan->totals.refills;
    suggestion->saving = sg_known(s->before_ends) ? s->before_ends - plan->ends : (double)INFINITY;
    if (suggestion->saving >= 1)
        keep_suggestion(s, suggestion);
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
    struct sg_suggestion wait = {.words = "refill where the shift ends first (refill_when least_wait)"};
    struct sg_suggestion breaks = {.words = "fill the hopper before each break"};
    if (s->kept->machine.refill_when == SG_WHEN_LATEST) {
        add_edit(s, &wait, SG_KIND_MACHINE, 0, "refill_when", "least_wait");
        try_edits(s, &wait);
    }
    if (!s->kept->shifts[s->shift].fill_before_breaks && s->kept->shifts[s->shift].n_breaks > 0) {
        add_edit(s, &breaks, SG_KIND_SHIFT, s->shift, "fill_before_breaks", "yes");
        try_edits(s, &breaks);
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
        try_edits(s, &fill);
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
            try_edits(s, &swap);
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
        try_edits(s, &move);
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
        try_edits(s, &change);
    }
}

int sg_suggest(struct sg_draft *draft, int32_t shift, struct sg_suggestion *out, int *tried,
               struct sg_error *error)
{
    struct search s = {
        .draft = draft, .kept = sg_draft_kept(draft), .shift = shift, .best = out, .error = error};
    const struct sg_plan *plan;
    if (sg_draft_reset(draft, error) != SG_OK || sg_draft_plan(draft, shift, &plan, error) != SG_OK)
        return -1;
    s.before_ends = plan->ends;
    try_refills(&s);
    try_fills(&s);
    try_swaps(&s);
    try_moves(&s);
    try_coarser(&s);
    if (s.failed || sg_draft_reset(draft, error) != SG_OK)
        return -1;
    if (tried)
        *tried = s.tried;
    return s.n;
}
