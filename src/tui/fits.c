/* What fits: how many pieces of a part are done before the breaks, a refill, the end, and on a sheet. */
#include "tui/screens.h"

#include "sandglass/ask.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 500, CLOCK = 40, KEY = 1200 };

struct fitting {
    struct sg_ui *ui;
    struct sg_planner *planner; /* of its own: the plan that is shown stays */
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

/* "17 before the break 12:00"; false with the reason in f->error where it cannot be said. */
static bool put_before(struct fitting *f, double by, const char *what)
{
    struct sg_ask_fits fits;
    char at[CLOCK], words[WORDS], key[KEY];
    if (sg_ask_fits(f->planner, f->ui->kept.shop, f->part, by, &fits, &f->error) != SG_OK)
        return false;
    if (fits.end == SG_ASK_CLOSED)
        return sg_fail(&f->error, SG_NO, "Nobody works on that day: nothing fits.") == SG_OK;
    if (fits.end == SG_ASK_NOT_TIMED)
        return sg_fail(&f->error, SG_NO, "What fits is not known: %.200s cannot be timed.",
                       key_of(f, fits.untimed, key)) == SG_OK;
    sg_look_clock(&f->ui->kept, by, at, sizeof at);
    snprintf(words, sizeof words, "before the %s %s", what, at);
    put_pieces(f, fits.pieces, words);
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

/* The refill, or the end of the garnet, that comes between cuts of the part; NaN where none does. */
static double stop_within(const struct sg_plan *plan, int32_t part)
{
    double first = first_cut(plan, part);
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        bool stop = e->kind == SG_EVENT_REFILL || e->kind == SG_EVENT_OUT_OF_GARNET;
        if (stop && plan->batches[e->batch].part == part && e->at > first)
            return e->at;
    }
    return (double)NAN;
}

/* The plan with more pieces of the part than a hopper lasts for. */
static bool plan_many(struct fitting *f, const struct sg_plan **plan)
{
    struct sg_ui *ui = f->ui;
    const struct sg_plan_part *planned = planned_part(f);
    char key[KEY], quantity[60];
    struct sg_change change;
    struct sg_target target;
    double cuts = ui->kept.shop->machine.hopper / (planned->garnet / (double)planned->cuts) + 2;
    double pieces = ceil(cuts * ui->kept.shop->stocks[part_of(f)->stock].stack);
    snprintf(quantity, sizeof quantity, "quantity=%.0f", pieces < SG_ASK_MOST ? pieces : SG_ASK_MOST);
    return sg_draft_reset(ui->draft, &f->error) == SG_OK &&
           sg_draft_set(ui->draft, key_of(f, f->part, key), (const char *[]){quantity}, 1, &change, &target,
                        &f->error) == SG_OK &&
           sg_draft_plan(ui->draft, ui->shift, plan, &f->error) == SG_OK;
}

/* Of a part that takes garnet. */
static bool put_refill(struct fitting *f)
{
    const struct sg_plan *plan = f->ui->kept.plan;
    if (!(planned_part(f)->garnet > 0) || planned_part(f)->cuts == 0)
        return true;
    if (!sg_known(stop_within(plan, f->part)) && !plan_many(f, &plan))
        return false;
    double at = stop_within(plan, f->part);
    int64_t cuts = sg_ask_cuts_by(plan, f->part, sg_known(at) ? at : (double)INFINITY);
    put_pieces(f, cuts * f->ui->kept.shop->stocks[part_of(f)->stock].stack, "before it needs a refill");
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

static void ask(struct fitting *f)
{
    struct sg_ui *ui = f->ui;
    char key[KEY];
    struct sg_error other;
    bool good = put_breaks(f) && put_refill(f) &&
                put_before(f, ui->kept.shop->shifts[ui->shift].calendar.close_s, "end");
    if (sg_draft_reset(ui->draft, &other) != SG_OK)
        sg_ui_fail(ui, &other);
    else if (!good)
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", f->error.text);
    else {
        if (planned_part(f)->per_sheet > 0)
            put_pieces(f, planned_part(f)->per_sheet, "on a sheet");
        sg_ui_say(ui, SG_ROLE_TEXT, "%.100s, %d planned. It fits: %s.", key_of(f, f->part, key),
                  part_of(f)->quantity, f->out);
    }
}

void sg_do_fits(struct sg_ui *ui)
{
    struct fitting f = {.ui = ui, .part = part_here(ui)};
    const struct sg_plan *plan = ui->kept.plan;
    if (f.part == SG_UNKNOWN)
        sg_ui_say(ui, SG_ROLE_TEXT, "Open the job and stand on a part: then this says how many of it fit.");
    else if (f.part < plan->first_part || f.part >= plan->first_part + plan->n_parts)
        sg_ui_say(ui, SG_ROLE_TEXT, "Its job is in another shift than the one that is shown.");
    else if (!(f.planner = sg_planner_new()))
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to plan with other quantities");
    else
        ask(&f);
    sg_planner_free(f.planner);
}
