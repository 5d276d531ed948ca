/* What fits: how many pieces of a part are done before the breaks, a refill, the end, and on a sheet. */
#include "tui/screens.h"

#include "sandglass/ask.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WORDS = 500, CLOCK = 40, KEY = 1200 };

struct fitting {
    struct sg_ui *ui;
    struct sg_planner *planner; /* of its own: the plan that is shown stays */
    struct sg_shop trial;       /* the kept shop, with parts and stocks of its own */
    int32_t part;
    char out[WORDS];
    struct sg_error error;
};

static const struct sg_part *part_of(const struct fitting *f)
{
    return &f->ui->kept.shop->parts[f->part];
}

static const struct sg_plan_part *planned_part(const struct fitting *f)
{
    return &f->ui->kept.plan->parts[f->part - f->ui->kept.plan->first_part];
}

static const char *key_of(const struct fitting *f, int32_t part, char key[KEY])
{
    sg_key_write(f->ui->kept.shop, (struct sg_target){SG_KIND_PART, part}, key, KEY);
    return key;
}

static void put_pieces(struct fitting *f, int64_t pieces, const char *before)
{
    size_t used = strlen(f->out);
    snprintf(f->out + used, sizeof f->out - used, "%s%lld%s %s", used ? ", " : "", (long long)pieces,
             pieces >= SG_ASK_MOST ? " or more" : "", before);
}

/* ---- before a time ---- */

/* The quantity of the plan where it is done by then. Its layout may be better than those that are tried. */
static int64_t planned_by(const struct fitting *f, double by)
{
    const struct sg_part *part = part_of(f);
    return sg_ask_cuts_by(f->ui->kept.plan, f->part, by) == planned_part(f)->cuts ? part->quantity : 0;
}

/* "17 before the break 12:00"; false with the reason in f->error where it cannot be said. */
static bool put_before(struct fitting *f, double by, const char *what)
{
    struct sg_ask_fits fits;
    char at[CLOCK], words[WORDS], key[KEY];
    if (sg_ask_fits(f->planner, &f->trial, f->part, by, &fits, &f->error) != SG_OK)
        return false;
    if (fits.end == SG_ASK_CLOSED)
        return sg_fail(&f->error, SG_NO, "Nobody works on that day: nothing fits.") == SG_OK;
    if (fits.end == SG_ASK_NOT_TIMED)
        return sg_fail(&f->error, SG_NO, "What fits is not known: %.200s cannot be timed.",
                       key_of(f, fits.untimed, key)) == SG_OK;
    sg_look_clock(&f->ui->kept, by, at, sizeof at);
    snprintf(words, sizeof words, "before the %s %s", what, at);
    int64_t planned = planned_by(f, by);
    put_pieces(f, fits.pieces > planned ? fits.pieces : planned, words);
    return true;
}

/* When the part's first cut starts; NaN where it has none. */
static double first_cut(const struct sg_plan *plan, int32_t part)
{
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CUT && plan->batches[plan->run.events[i].batch].part == part)
            return plan->run.events[i].at;
    return (double)NAN;
}

/* The breaks that come after the part has been started. */
static bool put_breaks(struct fitting *f)
{
    const struct sg_plan *plan = f->ui->kept.plan;
    double first = first_cut(plan, f->part);
    for (int i = 0; i < plan->n_breaks; i++)
        if (!(plan->breaks[i].from <= first) && !put_before(f, plan->breaks[i].from, "break"))
            return false;
    return true;
}

/* ---- before a refill ---- */

/* Whether a refill, or the end of the garnet, comes after the part's first cut and before its last. */
static bool stop_within(const struct sg_plan *plan, int32_t part)
{
    bool begun = false, stopped = false;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        bool cut = e->kind == SG_EVENT_CUT && plan->batches[e->batch].part == part;
        if (cut && stopped)
            return true;
        begun = begun || cut;
        stopped = stopped || (begun && (e->kind == SG_EVENT_REFILL || e->kind == SG_EVENT_OUT_OF_GARNET));
    }
    return false;
}

/* Whether a refill falls between cuts of the part where so many pieces of it are planned. */
static bool stops_with(struct fitting *f, int64_t pieces, bool *stops)
{
    const struct sg_plan *plan;
    f->trial.parts[f->part].quantity = (int32_t)pieces;
    enum sg_status status = sg_plan_shift(f->planner, &f->trial, f->ui->shift, &plan, &f->error);
    f->trial.parts[f->part].quantity = part_of(f)->quantity;
    if (status != SG_OK)
        return false;
    *stops = stop_within(plan, f->part);
    return true;
}

/* More pieces of the part than a hopper lasts for. */
static int64_t too_many(struct fitting *f)
{
    const struct sg_plan_part *planned = planned_part(f);
    double cuts = f->ui->kept.shop->machine.hopper / (planned->garnet / (double)planned->cuts) + 2;
    double pieces = ceil(cuts * f->ui->kept.shop->stocks[part_of(f)->stock].stack);
    return pieces < SG_ASK_MOST ? (int64_t)pieces : SG_ASK_MOST;
}

/* Of a part that takes garnet: a quantity without a refill in it, one more has one. Another quantity is
 * another layout, so each is planned. */
static bool put_refill(struct fitting *f)
{
    if (!(planned_part(f)->garnet > 0) || planned_part(f)->cuts == 0)
        return true;
    int64_t without = 0, with = too_many(f);
    bool stops;
    if (!stops_with(f, with, &stops))
        return false;
    while (stops && with - without > 1) {
        int64_t middle = without + (with - without) / 2;
        bool here;
        if (!stops_with(f, middle, &here))
            return false;
        *(here ? &with : &without) = middle;
    }
    put_pieces(f, stops ? without : with, "before it needs a refill");
    return true;
}

/* ---- asking ---- */

/* The part one stands on, or the only one of the row; SG_UNKNOWN. */
static int32_t part_here(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_shop *shop = ui->kept.shop;
    int32_t first = SG_UNKNOWN, n = 0;
    if (!line || line->target.index == SG_UNKNOWN)
        return SG_UNKNOWN;
    if (line->target.kind == SG_KIND_PART)
        return line->target.index;
    for (int32_t i = 0; i < shop->n_parts; i++) {
        int32_t stock = shop->parts[i].stock;
        bool in_it = line->target.kind == SG_KIND_STOCK ? stock == line->target.index
                                                        : shop->stocks[stock].job == line->target.index;
        if (in_it && n++ == 0)
            first = i;
    }
    return n == 1 ? first : SG_UNKNOWN;
}

/* Each try is another layout: a longer search for each would hold up the keys for seconds. Other stocks are
 * laid out once, as they are in the plan. */
static bool make_trial(struct fitting *f)
{
    const struct sg_shop *shop = f->ui->kept.shop;
    f->trial = *shop;
    f->planner = sg_planner_new();
    f->trial.parts = malloc((size_t)shop->n_parts * sizeof *shop->parts);
    f->trial.stocks = malloc((size_t)shop->n_stocks * sizeof *shop->stocks);
    if (!f->planner || !f->trial.parts || !f->trial.stocks)
        return false;
    memcpy(f->trial.parts, shop->parts, (size_t)shop->n_parts * sizeof *shop->parts);
    memcpy(f->trial.stocks, shop->stocks, (size_t)shop->n_stocks * sizeof *shop->stocks);
    f->trial.stocks[part_of(f)->stock].search = 0;
    return true;
}

static void free_trial(struct fitting *f)
{
    sg_planner_free(f->planner);
    free(f->trial.parts);
    free(f->trial.stocks);
}

static void ask(struct fitting *f)
{
    struct sg_ui *ui = f->ui;
    char key[KEY];
    int64_t on_sheet = 0;
    bool searched = ui->kept.shop->stocks[part_of(f)->stock].search > 0;
    if (!put_breaks(f) || !put_refill(f) ||
        !put_before(f, ui->kept.shop->shifts[ui->shift].calendar.close_s, "end") ||
        sg_ask_on_sheet(f->planner, &f->trial, ui->kept.plan, f->part, &on_sheet, &f->error) != SG_OK) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", f->error.text);
        return;
    }
    if (on_sheet > 0)
        put_pieces(f, on_sheet, "on one sheet");
    sg_ui_say(ui, SG_ROLE_TEXT, "%.100s, %d planned. It fits%s: %s.", key_of(f, f->part, key),
              part_of(f)->quantity, searched ? " without longer search" : "", f->out);
}

void sg_do_fits(struct sg_ui *ui)
{
    struct fitting f = {.ui = ui, .part = part_here(ui)};
    const struct sg_plan *plan = ui->kept.plan;
    if (f.part == SG_UNKNOWN)
        sg_ui_say(ui, SG_ROLE_TEXT, "Open the job and stand on a part: then this says how many of it fit.");
    else if (f.part < plan->first_part || f.part >= plan->first_part + plan->n_parts)
        sg_ui_say(ui, SG_ROLE_TEXT, "Its job is in another shift than the one that is shown.");
    else if (make_trial(&f))
        ask(&f);
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to plan with other quantities");
    free_trial(&f);
}
