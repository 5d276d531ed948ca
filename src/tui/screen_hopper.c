/* The hopper across the shift: the level, what runs, who is needed when. One steps over what needs people. */
#include "tui/screens.h"

#include "sandglass/ask.h"
#include "tui/chart.h"
#include "tui/hours.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

enum {
    SIDE = 19,      /* columns of the figures beside the chart */
    WITH_SIDE = 70, /* columns from which they stand there */
    WORDS = 500,
    FIGURE = 60,
    NEAREST_S = 20 * 60, /* no part of a shift shown is shorter */
    FAR = 1000000        /* steps that mean: to the end */
};

/* ---- figures and words ---- */

static const char *mass(const struct sg_look *look, double kg, char out[FIGURE])
{
    sg_number_short(kg, sg_unit_of_shop(SG_DIM_MASS, look->shop->units), 1, out, FIGURE);
    return out;
}

static const char *mass_unit(const struct sg_look *look)
{
    return sg_unit_of_shop(SG_DIM_MASS, look->shop->units)->name;
}

/* "Thu 26 Nov" */
static void short_day(int32_t days, char *out, size_t size)
{
    static const char *const weekdays[] = {"Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"};
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int year, month, day;
    sg_date_split(days, &year, &month, &day);
    snprintf(out, size, "%s %d %s", weekdays[(days % 7 + 7) % 7], day, months[month - 1]);
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_look *look = &ui->tried;
    const struct sg_shift *shift = &look->shop->shifts[look->plan->shift];
    char day[FIGURE], holds[FIGURE], low[FIGURE], start[FIGURE];
    short_day(shift->date, day, sizeof day);
    snprintf(out, size, "HOPPER  %s, shift %s  holds %s %s, low line %s, start %s", day, shift->id,
             mass(look, look->shop->machine.hopper, holds), mass_unit(look),
             mass(look, look->shop->machine.low_line, low), mass(look, look->plan->start.level, start));
}

static const struct sg_event *stop_of(const struct sg_plan *plan)
{
    for (int32_t i = plan->run.n_events - 1; i >= 0 && !plan->run.finished; i--)
        if (plan->run.events[i].kind == SG_EVENT_OUT_OF_GARNET)
            return &plan->run.events[i];
    return NULL;
}

/* What must be known before the chart is read; "" where nothing is the matter. */
static void trouble(const struct sg_look *look, bool below, char *out, size_t size)
{
    const struct sg_plan *plan = look->plan;
    const char *id = look->shop->shifts[plan->shift].id;
    int32_t untimed = plan->unknown ? sg_ask_untimed(plan, plan->first_part + plan->n_parts - 1) : SG_UNKNOWN;
    const struct sg_event *stop = stop_of(plan);
    char at[40], key[400];
    out[0] = '\0';
    if (plan->n_jobs == 0) {
        snprintf(out, size, "No jobs in shift %s yet: nothing takes garnet.", id);
    } else if (plan->totals.pieces == 0) {
        snprintf(out, size, "Nothing to cut in shift %s: every quantity is 0.", id);
    } else if (plan->closed_day) {
        snprintf(out, size, "Shift %s lies on a closed day: nobody works, nothing is cut.", id);
    } else if (stop) {
        sg_look_clock(look, stop->at, at, sizeof at);
        snprintf(out, size, "Stops at %s %s, %s.", below ? "it" : "the low line", at, sg_bags_wanting(look));
    } else if (untimed != SG_UNKNOWN) {
        sg_look_clock(look, plan->run.end, at, sizeof at);
        sg_key_write(look->shop, (struct sg_target){SG_KIND_PART, untimed}, key, sizeof key);
        snprintf(out, size, "Not known from %s on: part %s cannot be timed.", at, key);
    }
}

static void lasts(const struct sg_look *look, char *out, size_t size)
{
    const struct sg_plan *plan = look->plan;
    int32_t untimed;
    char kg[FIGURE];
    if (sg_ask_lasts(plan, &untimed))
        snprintf(out, size, "Lasts the run? YES, %s %s left at the end.", mass(look, plan->run.level_end, kg),
                 mass_unit(look));
    else if (untimed != SG_UNKNOWN)
        snprintf(out, size, "Lasts the run? Not known.");
    else if (plan->run.refills > 0)
        snprintf(out, size, "Lasts the run? NO, %d refill%s.", plan->run.refills,
                 plan->run.refills == 1 ? "" : "s");
    else
        snprintf(out, size, "Lasts the run? NO.");
}

/* The one line above the chart: what is the matter, else whether the hopper lasts. */
static enum sg_role headline(const struct sg_look *look, char *out, size_t size)
{
    bool below = look->plan->totals.pieces > 0 && !look->plan->closed_day &&
                 look->plan->start.level < look->shop->machine.low_line - 1e-9;
    size_t used = below ? (size_t)snprintf(out, size, "Below low line at start. ") : 0;
    trouble(look, below, out + used, size - used);
    if (out[used])
        return SG_ROLE_WRONG;
    lasts(look, out + used, size - used);
    return SG_ROLE_RESULT;
}

/* ---- where one stands ---- */

/* The next event from `from` on that needs somebody, `by` 1 or -1; kind SG_EVENTS: of any kind. -1: none. */
static int32_t call_from(const struct sg_plan *plan, int64_t from, int by, int kind)
{
    for (int64_t i = from; i >= 0 && i < plan->run.n_events; i += by) {
        const struct sg_event *e = &plan->run.events[i];
        if (sg_ask_calls(e) && (kind == SG_EVENTS || e->kind == kind))
            return (int32_t)i;
    }
    return -1;
}

static int32_t stands_at(struct sg_ui *ui)
{
    const struct sg_plan *plan = ui->tried.plan;
    int32_t at = sg_ui_place(ui)->at;
    int32_t found = call_from(plan, at < 0 ? 0 : at, 1, SG_EVENTS);
    return found >= 0 ? found : call_from(plan, plan->run.n_events - 1, -1, SG_EVENTS);
}

static bool open_at_refill(struct sg_ui *ui)
{
    if (ui->tried.plan && ui->tried.plan->next_refill >= 0)
        sg_ui_place(ui)->at = ui->tried.plan->next_refill;
    return true;
}

/* Left and right over all that needs people, up and down from refill to refill. */
static void step(struct sg_ui *ui, int right, int down)
{
    const struct sg_plan *plan = ui->tried.plan;
    int by = right + down < 0 ? -1 : 1, kind = right != 0 ? SG_EVENTS : SG_EVENT_REFILL;
    int32_t at = stands_at(ui), left = right + down < 0 ? -(right + down) : right + down, moved = 0;
    if (at >= 0 && left >= FAR) {
        at = by < 0 ? call_from(plan, 0, 1, SG_EVENTS)
                    : call_from(plan, plan->run.n_events - 1, -1, SG_EVENTS);
        moved = 1;
        left = 0;
    }
    for (; at >= 0 && left > 0; left--, moved++) {
        int32_t next = call_from(plan, (int64_t)at + by, by, kind);
        if (next < 0)
            break;
        at = next;
    }
    sg_ui_place(ui)->at = at < 0 ? 0 : at;
    if (moved == 0)
        sg_ui_say(ui, SG_ROLE_TEXT,
                  at < 0   ? "Nobody is needed in this shift."
                  : by < 0 ? "Nothing %s before."
                           : "Nothing %s after it.",
                  kind == SG_EVENTS ? "needs people" : "is filled");
}

/* The part of the shift that is shown: half of it for each step closer, the event in its middle. */
static double span(struct sg_ui *ui, double *from, double *to)
{
    double whole = sg_chart_whole(&ui->tried), shown = ldexp(whole, -sg_ui_place(ui)->zoom);
    int32_t at = stands_at(ui);
    double middle = at < 0 ? whole / 2 : ui->tried.plan->run.events[at].at;
    *from = fmax(0, fmin(middle - shown / 2, whole - shown));
    *to = *from + shown;
    return shown;
}

static void zoom(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    double from, to;
    if (by < 0 && place->zoom == 0)
        sg_ui_say(ui, SG_ROLE_TEXT, "The whole shift is shown.");
    else if (by > 0 && span(ui, &from, &to) / 2 < NEAREST_S)
        sg_ui_say(ui, SG_ROLE_TEXT, "No closer than this.");
    else
        place->zoom += by;
}

/* ---- the event in words ---- */

/* A clause, where it has room in `columns`. */
static void add(char *out, size_t size, int columns, const char *words)
{
    size_t n = strlen(out);
    if (sg_text_columns(out) + sg_text_columns(words) <= columns)
        snprintf(out + n, size - n, "%s", words);
}

static void add_minutes(char *out, size_t size, int columns, const char *word, double seconds,
                        const char *behind)
{
    char minutes[FIGURE], words[FIGURE + 60];
    sg_number_short(seconds, sg_unit_find("min", 3), 1, minutes, sizeof minutes);
    snprintf(words, sizeof words, ", %s%s min%s", word, minutes, behind);
    add(out, size, columns, words);
}

static bool in_break(const struct sg_look *look, double at)
{
    const struct sg_calendar *calendar = &look->shop->shifts[look->plan->shift].calendar;
    for (int i = 0; i < calendar->n_breaks; i++)
        if (at >= calendar->breaks[i].from_s && at < calendar->breaks[i].to_s)
            return true;
    return false;
}

/* ", before 2602/1/A piece 5 on sheet 1" */
static void add_boundary(const struct sg_look *look, const struct sg_event *event, char *out, size_t size,
                         int columns)
{
    const struct sg_batch *batch = &look->plan->batches[event->batch];
    char key[400], words[WORDS];
    size_t before = strlen(out);
    sg_key_write(look->shop, (struct sg_target){SG_KIND_PART, batch->part}, key, sizeof key);
    snprintf(words, sizeof words, ", %s %s piece %lld", event->flags & SG_EVENT_IN_CUT ? "within" : "before",
             key, (long long)event->first + 1);
    add(out, size, columns, words);
    snprintf(words, sizeof words, " sheet %d", sg_event_sheet(look->plan, event));
    if (strlen(out) > before)
        add(out, size, columns, words);
}

/* What weighs most first: what has no room in one line is left out, so that the legend below it stays. */
static void tell_event(const struct sg_look *look, const struct sg_event *event, int columns, char *out,
                       size_t size)
{
    bool refill = event->kind == SG_EVENT_REFILL, cuts = event->flags & SG_EVENT_WHILE_CUTTING;
    char at[40], told[200], level[FIGURE], full[FIGURE] = "", words[3 * FIGURE];
    sg_look_clock(look, event->at, at, sizeof at);
    sg_event_told(look, event, told, sizeof told);
    mass(look, event->level, level);
    if (refill)
        mass(look, event->level + event->garnet, full);
    snprintf(out, size, "%s %s", at, told);
    snprintf(words, sizeof words, ", %s%s%s%s %s", refill ? "" : "hopper ", level, refill ? " to " : "", full,
             mass_unit(look));
    add(out, size, columns, words);
    if (sg_event_waits(event))
        add_minutes(out, size, columns, in_break(look, event->asked) ? "waits for the break " : "waits ",
                    event->at - event->asked, "");
    if (event->seconds > 0)
        add_minutes(out, size, columns, sg_event_waits(event) ? "takes " : "", event->seconds,
                    cuts ? " while it cuts" : "");
    add(out, size, columns, event->flags & SG_EVENT_AFTER_SHIFT ? ", after the shift" : "");
    if (refill)
        add_boundary(look, event, out, size, columns);
}

static void tell_here(struct sg_ui *ui, int columns, char *out, size_t size)
{
    int32_t at = stands_at(ui);
    if (at < 0)
        snprintf(out, size, "Nobody is needed in this shift.");
    else
        tell_event(&ui->tried, &ui->tried.plan->run.events[at], columns, out, size);
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    tell_here(ui, ui->columns, out, size);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    sg_chart_legend(&ui->tried, ui->how.wide, out, size);
}

static void say(struct sg_ui *ui, char *out, size_t size)
{
    char words[WORDS], last[WORDS];
    tell_here(ui, INT_MAX, words, sizeof words);
    headline(&ui->tried, last, sizeof last);
    snprintf(out, size, "%s. %s", words, last);
}

/* ---- figures beside the chart ---- */

struct side {
    struct sg_canvas *canvas;
    struct sg_area area;
    int row; /* next one */
};

static void put_side(struct side *side, const char *name, const char *value, enum sg_role role)
{
    if (side->row >= side->area.rows)
        return;
    int row = side->area.row + side->row++, column = side->area.column;
    sg_canvas_put(side->canvas, row, column, side->area.columns, SG_ROLE_LABEL, name);
    if (value[0])
        sg_canvas_field(side->canvas, row, column + 9, side->area.columns - 9, false, role, value);
}

static void put_mass(struct side *side, const struct sg_look *look, const char *name, double kg)
{
    char figure[FIGURE], value[FIGURE + 20];
    sg_number_format(kg, sg_unit_of_shop(SG_DIM_MASS, look->shop->units), 1, figure, sizeof figure);
    snprintf(value, sizeof value, "%7s %s", figure, mass_unit(look));
    put_side(side, name, value, SG_ROLE_RESULT);
}

static void put_count(struct side *side, const char *name, int32_t count, const char *word, enum sg_role role)
{
    char value[FIGURE];
    snprintf(value, sizeof value, "%5d %s%s", count, word, count == 1 ? "" : "s");
    put_side(side, name, value, role);
}

/* A blank row between groups where there is room for all of them. */
static void skip_side(struct side *side)
{
    side->row += side->area.rows >= 14 ? 1 : 0;
}

static void draw_side(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look)
{
    const struct sg_plan *plan = look->plan;
    const struct sg_machine *machine = &look->shop->machine;
    struct side side = {canvas, area, 0};
    struct sg_hopper_facts facts;
    int32_t enough = sg_hopper_enough(look);
    char at[40], value[FIGURE];
    sg_hopper_facts(plan, &facts);
    sg_look_clock(look, facts.lowest_at, at, sizeof at);
    snprintf(value, sizeof value, "%*s %s", SIDE - 1 - sg_text_columns(at), "at", at);
    put_mass(&side, look, "used", facts.used);
    put_mass(&side, look, "filled in", plan->run.bags_kg);
    put_mass(&side, look, plan->unknown ? "then" : "at end", plan->run.level_end);
    skip_side(&side);
    put_mass(&side, look, "lowest", facts.lowest);
    put_side(&side, value, "", SG_ROLE_RESULT);
    put_mass(&side, look, "low line", machine->low_line);
    skip_side(&side);
    if (machine->bag > 0) {
        put_count(&side, "in stock", plan->start.bags, "bag", SG_ROLE_RESULT);
        put_count(&side, "bags in", plan->run.bags, "bag", SG_ROLE_RESULT);
        if (enough != SG_UNKNOWN && enough < plan->run.bags) {
            put_side(&side, "enough for the run", "", SG_ROLE_RESULT);
            put_count(&side, "", enough, "bag", SG_ROLE_RESULT);
        }
        put_count(&side, "left", plan->run.bags_left, "bag", SG_ROLE_RESULT);
        if (plan->run.bags_short > 0)
            put_count(&side, "SHORT", plan->run.bags_short, "bag", SG_ROLE_WRONG);
        if (plan->totals.bags_to_order > 0)
            put_count(&side, "to order", plan->totals.bags_to_order, "bag", SG_ROLE_ODD);
    }
}

/* ---- drawing ---- */

static void draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    const struct sg_look *look = &ui->tried;
    struct sg_chart_how how = {.wide = ui->how.wide, .at = stands_at(ui)};
    struct sg_area side = area;
    char words[WORDS];
    if (area.rows < 1 || area.columns < 1)
        return;
    enum sg_role role = headline(look, words, sizeof words);
    if (area.columns >= WITH_SIDE) {
        side.columns = SIDE;
        side.column += area.columns - SIDE;
        area.columns -= SIDE + 1;
        draw_side(canvas, side, look);
    }
    sg_canvas_field(canvas, area.row, area.column, area.columns, false, role, words);
    area.row++;
    area.rows--;
    if (sg_ui_place(ui)->zoom > 0)
        span(ui, &how.from, &how.to);
    if (area.rows > 0)
        sg_chart_hopper(canvas, area, look, &how);
}

const struct sg_screen sg_screen_hopper = {
    .name = "Hopper",
    .answers = true,
    .rest_ends = true,
    .title = title,
    .draw = draw,
    .advice = advice,
    .legend = legend,
    .open = open_at_refill,
    .step = step,
    .zoom = zoom,
    .say = say,
};
