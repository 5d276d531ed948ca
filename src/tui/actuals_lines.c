/* The lines of the Actuals screen: the log, and what is left. */
#include "tui/actuals.h"

#include "tui/wrapped.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CELL = 60, WORDS = 700, KEY = 1200, MARGIN = 2 };

/* ---- words ---- */

const char *sg_log_clock(int64_t moment, char out[24])
{
    int64_t second = ((moment % SG_DAY_S) + SG_DAY_S) % SG_DAY_S;
    sg_time_format((int32_t)(second / 60 * 60), out, 24);
    return out;
}

int32_t sg_newest_clock(const struct sg_shop *shop)
{
    int32_t newest = SG_UNKNOWN;
    for (int32_t i = 0; i < shop->n_clocks; i++)
        if (newest == SG_UNKNOWN || shop->clocks[i].row > shop->clocks[newest].row)
            newest = i;
    return newest;
}

/* ---- one line of the log ---- */

/* Cells of a line, each as wide as its column. */
struct cells {
    char at[CELL], where[300], what[400], plan[CELL], took[CELL], diff[CELL], good[CELL], scrap[CELL],
        garnet[CELL];
    const char *behind; /* words instead of what stands behind the difference; NULL: none */
};

static const struct column {
    const char *title;
    size_t offset;
    int width, leaves; /* where it is narrow the highest leaves first; 0 stays */
    bool right;
} columns[] = {
    {"At", offsetof(struct cells, at), 5, 0, false},
    {"Job", offsetof(struct cells, where), 8, 2, false},
    {"What", offsetof(struct cells, what), 18, 0, false},
    {"Plan", offsetof(struct cells, plan), 5, 6, true},
    {"Took", offsetof(struct cells, took), 5, 1, true},
    {"Diff", offsetof(struct cells, diff), 6, 3, true},
    {"Parts", offsetof(struct cells, good), 7, 4, true},
    {"Scrap", offsetof(struct cells, scrap), 5, 5, true},
    {"Garnet", offsetof(struct cells, garnet), 9, 7, true},
};
enum {
    COLUMNS = (int)(sizeof columns / sizeof *columns),
    WHERE = 1,
    WHAT = 2,
    DIFF = 5,
    LEAST_WHAT = 8,
    MOST_WHAT = 40
};

/* Widths, 0 of a column that has no room; "what" takes what is left over. */
static void fit(const struct sg_ui *ui, int widths[COLUMNS])
{
    int needed = 0, room = ui->columns - MARGIN;
    for (int i = 0; i < COLUMNS; i++) {
        widths[i] = columns[i].width;
        needed += widths[i] + 1;
    }
    for (int rank = COLUMNS; rank > 0 && needed > room + 1; rank--)
        for (int i = 0; i < COLUMNS; i++)
            if (columns[i].leaves == rank && needed > room + 1) {
                needed -= widths[i] + 1;
                widths[i] = 0;
            }
    int more = room + 1 - needed;
    int what = widths[WHAT] + more;
    widths[WHAT] = what < LEAST_WHAT ? LEAST_WHAT : what > MOST_WHAT ? MOST_WHAT : what;
}

static void put_cell(char *out, size_t size, const char *text, int width, bool right)
{
    size_t used = strlen(out);
    if (used > 0 && used + 1 < size)
        used += (size_t)snprintf(out + used, size - used, " ");
    if (right)
        snprintf(out + used, size - used, "%*s", width, text);
    else
        sg_pad_text(out, size, width, text);
}

static void put_columns(const struct sg_ui *ui, const struct cells *cells, char *out, size_t size)
{
    int widths[COLUMNS];
    fit(ui, widths);
    out[0] = '\0';
    bool placed = widths[WHERE] == 0 && cells->where[0]; /* in front of what it was, then */
    char what[700];
    snprintf(what, sizeof what, "%s%s%s", placed ? cells->where : "", placed ? " " : "", cells->what);
    bool empty = !cells->plan[0] && !cells->took[0] && !cells->diff[0];
    for (int i = 0; i < COLUMNS; i++) {
        const char *text = i == WHAT ? what : (const char *)cells + columns[i].offset;
        if (empty && i == WHAT) { /* nothing stands behind it */
            size_t used = strlen(out);
            snprintf(out + used, size - used, " %s", text);
            return;
        }
        if (cells->behind && i > DIFF)
            break;
        if (widths[i] > 0)
            put_cell(out, size, text, widths[i], columns[i].right);
    }
    size_t used = strlen(out);
    if (cells->behind && used < size)
        snprintf(out + used, size - used, "  %s", cells->behind);
}

/* For a screen reader: figures behind their titles. */
static void put_spoken(const struct cells *cells, char *out, size_t size)
{
    int used = snprintf(out, size, "%s %.200s %.400s", cells->at, cells->where, cells->what);
    for (int i = WHAT + 1; i < COLUMNS && used >= 0 && (size_t)used < size; i++) {
        const char *text = (const char *)cells + columns[i].offset;
        if (text[strspn(text, " -")] != '\0')
            used += snprintf(out + used, size - (size_t)used, ", %s %s", columns[i].title, text);
    }
    if (cells->behind && used >= 0 && (size_t)used < size)
        snprintf(out + used, size - (size_t)used, ", %.200s", cells->behind);
}

static void add(struct sg_ui *ui, enum sg_role role, const struct cells *cells, struct sg_target target)
{
    char words[WORDS];
    if (ui->how.spoken)
        put_spoken(cells, words, sizeof words);
    else
        put_columns(ui, cells, words, sizeof words);
    size_t n = strlen(words);
    while (n > 0 && words[n - 1] == ' ')
        words[--n] = '\0';
    if (!sg_line_words(ui, role, true, "%s", words))
        return;
    ui->lines[ui->n_lines - 1].target = target;
    ui->lines[ui->n_lines - 1].row = sg_row_id(ui->kept.shop, target);
}

/* Minutes as the clock counts them, so that what is said of two is what a person reckons from them. */
static double minutes(double seconds)
{
    return floor(seconds / 60 + 0.5) * 60;
}

static void put_hours(double seconds, char out[CELL])
{
    if (sg_known(seconds))
        sg_hours_format(minutes(seconds), out, CELL);
    else
        snprintf(out, CELL, "-");
}

static void put_difference(double planned, double took, char out[CELL])
{
    double by = minutes(took) - minutes(planned);
    out[0] = '\0';
    if (!sg_known(by))
        return;
    sg_hours_format(fabs(by), out + 1, CELL - 1);
    out[0] = by < 0 ? '-' : by > 0 ? '+' : ' ';
}

/* ---- a clock ---- */

static void put_what(const struct sg_shop *shop, const struct sg_actual *actual, int32_t index, char *out,
                     size_t size)
{
    const struct sg_clock *clock = &shop->clocks[index];
    const struct sg_actual_clock *c = &actual->clocks[index];
    int used = snprintf(out, size, "%s", sg_phase_word(clock->phase));
    if (clock->sheet != SG_UNKNOWN && clock->phase != SG_PHASE_CHECK)
        used += snprintf(out + used, size - (size_t)used, ", sheet %d", clock->sheet);
    if (clock->sheets > 1)
        used += snprintf(out + used, size - (size_t)used, " to %d", clock->sheet + clock->sheets - 1);
    if (c->running)
        snprintf(out + used, size - (size_t)used, actual->paused ? ", STANDS" : ", RUNS");
}

/* planned_s: s of its plan; of its garnet it has as much. */
static void put_garnet(const struct sg_shop *shop, const struct sg_clock *clock,
                       const struct sg_actual_clock *c, double planned_s, char out[CELL])
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    char planned[CELL], used[CELL];
    double share = planned_s / sg_clock_planned(clock);
    sg_number_format(clock->planned_garnet * (sg_known(share) ? share : 1), unit, 0, planned, sizeof planned);
    sg_number_format(c->garnet_used, unit, 0, used, sizeof used);
    snprintf(out, CELL, "%.20s/%.20s", planned, used);
}

/* The plan is that of what was cut: where fewer pieces were done, of those. */
static void add_clock(struct sg_ui *ui, const struct sg_actual *actual, int32_t index, const char *above)
{
    const struct sg_shop *shop = ui->kept.shop;
    const struct sg_clock *clock = &shop->clocks[index];
    const struct sg_actual_clock *c = &actual->clocks[index];
    struct cells cells = {.behind = NULL};
    double planned = sg_actual_share(shop, actual, index);
    sg_log_clock(clock->at, cells.at);
    snprintf(cells.where, sizeof cells.where, "%.200s",
             ui->how.spoken || strcmp(above, clock->place) ? clock->place : "");
    put_what(shop, actual, index, cells.what, sizeof cells.what);
    put_hours(planned, cells.plan);
    put_hours(sg_actual_net(c), cells.took);
    if (c->running)
        snprintf(cells.diff, CELL, "so far");
    else
        put_difference(planned, sg_actual_net(c), cells.diff);
    if (clock->phase == SG_PHASE_CUT && c->counted) {
        snprintf(cells.good, CELL, clock->pieces > 0 ? "%lld/%d" : "%lld", (long long)c->good, clock->pieces);
        snprintf(cells.scrap, CELL, "%lld", (long long)c->scrapped);
    } else if (clock->phase == SG_PHASE_CUT && clock->pieces > 0) {
        snprintf(cells.good, CELL, "-/%d", clock->pieces);
    }
    if (clock->phase == SG_PHASE_CUT && clock->head_kind == SG_HEAD_ABRASIVE)
        put_garnet(shop, clock, c, planned, cells.garnet);
    add(ui, c->running ? SG_ROLE_ANSWER : SG_ROLE_TEXT, &cells, (struct sg_target){SG_KIND_CLOCK, index});
}

/* ---- a record ---- */

static void add_record(struct sg_ui *ui, const struct sg_actual *actual, int32_t index)
{
    const struct sg_record *record = &ui->kept.shop->records[index];
    const struct sg_actual_pause *pause = sg_actual_pause_of(actual, index);
    struct cells cells = {.behind = NULL};
    char amount[CELL];
    sg_record_amount(ui->kept.shop, record, amount, sizeof amount);
    sg_log_clock(record->at, cells.at);
    if (pause) {
        snprintf(cells.what, sizeof cells.what, "%s", sg_record_word(record->what));
        snprintf(cells.plan, CELL, "-");
        put_hours((double)(pause->until - pause->from), cells.took);
        if (pause->open)
            snprintf(cells.diff, CELL, "so far");
        else
            put_difference(0, (double)(pause->until - pause->from), cells.diff);
        cells.behind = record->reason[0] ? record->reason : "no reason noted";
    } else {
        snprintf(cells.what, sizeof cells.what, "%s%.50s%s%.150s%s%.150s", sg_record_word(record->what),
                 amount, record->place[0] ? " " : "", record->place, record->reason[0] ? ": " : "",
                 record->reason);
    }
    add(ui, SG_ROLE_TEXT, &cells, (struct sg_target){SG_KIND_RECORD, index});
}

/* ---- the log ---- */

static void add_heading(struct sg_ui *ui)
{
    int widths[COLUMNS];
    struct cells cells = {.behind = NULL};
    char words[WORDS];
    fit(ui, widths);
    for (int i = 0; i < COLUMNS; i++)
        if (widths[i] > 0)
            snprintf((char *)&cells + columns[i].offset, CELL, "%s", columns[i].title);
    snprintf(cells.garnet, CELL, "Garnet %s", sg_unit_of_shop(SG_DIM_MASS, ui->kept.shop->units)->name);
    put_columns(ui, &cells, words, sizeof words);
    if (sg_line_words(ui, SG_ROLE_LABEL, false, "%s", words))
        ui->lines[ui->n_lines - 1].heading = true;
}

static void add_day(struct sg_ui *ui, int64_t day)
{
    char words[CELL];
    sg_date_format((int32_t)day, words, sizeof words);
    sg_line_words(ui, SG_ROLE_LABEL, false, "Noted outside the shifts, %s:", words);
}

/* How many rows there were. */
static int add_rows(struct sg_ui *ui, const struct sg_actual *actual, struct sg_log_walk walk)
{
    const struct sg_shop *shop = ui->kept.shop;
    const char *above = "";
    int32_t clock, record;
    int64_t day = INT64_MIN;
    int n = 0;
    for (; sg_log_next(&walk, &clock, &record); n++) {
        int64_t at = clock != SG_UNKNOWN ? shop->clocks[clock].at : shop->records[record].at;
        if (walk.only && at / SG_DAY_S != day)
            add_day(ui, day = at / SG_DAY_S);
        if (clock == SG_UNKNOWN) {
            add_record(ui, actual, record);
            continue;
        }
        add_clock(ui, actual, clock, above);
        above = shop->clocks[clock].place;
    }
    return n;
}

/* What is noted for later than now stands there too, and what is in no shift's log: it could not be mended
 * otherwise. */
static void add_log(struct sg_ui *ui, const struct sg_actual *actual)
{
    struct sg_log_walk walk = {.shop = ui->kept.shop};
    struct sg_arena arena = {0};
    struct sg_actual_outside outside;
    sg_actual_window(walk.shop, ui->shift, &walk.from, &walk.until);
    if (add_rows(ui, actual, walk) == 0)
        sg_line_words(ui, SG_ROLE_TEXT, false, "Nothing was noted in this shift yet: b starts the clock.");
    if (sg_actual_outside(walk.shop, &arena, &outside))
        add_rows(ui, actual, (struct sg_log_walk){walk.shop, INT64_MIN, INT64_MAX, &outside, 0, 0});
    else
        sg_line_words(ui, SG_ROLE_WRONG, false, "no memory for what was noted outside the shifts");
    sg_arena_free(&arena);
}

/* ---- what is left ---- */

static void add_next(struct sg_ui *ui, const struct sg_now *now, int32_t rest_stock)
{
    const struct sg_plan_stock *planned = &now->plan->stocks[rest_stock - now->plan->first_stock];
    struct cells cells = {.behind = NULL};
    char key[KEY];
    bool on;
    sg_key_write(&now->rest.shop, (struct sg_target){SG_KIND_STOCK, rest_stock}, key, sizeof key);
    int32_t stock = sg_actual_stock(ui->kept.shop, key);
    if (stock == SG_UNKNOWN)
        return;
    int32_t sheet = sg_actual_next_sheet(ui->kept.shop, &now->actual, stock, &on);
    snprintf(cells.where, sizeof cells.where, "%.200s", key);
    snprintf(cells.what, sizeof cells.what, "%lld left, sheet %d%s", (long long)planned->pieces, sheet,
             on ? " on" : "");
    put_hours(planned->cut + planned->pierce + planned->rapid, cells.plan);
    add(ui, SG_ROLE_LABEL, &cells, (struct sg_target){SG_KIND_STOCK, stock});
}

/* Stocks of which something is left, in their order. */
static void add_rest(struct sg_ui *ui, const struct sg_now *now)
{
    const struct sg_plan *plan = now->plan;
    sg_line_words(ui, SG_ROLE_LABEL, false,
                  plan->totals.pieces > 0 ? "Left to cut, as planned now:" : "Nothing is left to cut.");
    for (int32_t i = plan->first_job; i < plan->first_job + plan->n_jobs; i++) {
        const struct sg_job *job = &now->rest.shop.jobs[i];
        for (int32_t k = job->first_stock; k < job->first_stock + job->n_stocks; k++)
            if (plan->stocks[k - plan->first_stock].pieces > 0)
                add_next(ui, now, k);
    }
}

int32_t sg_next_stock(struct sg_ui *ui, int32_t job)
{
    const struct sg_now *now = sg_ui_rest(ui);
    const char *id = job == SG_UNKNOWN ? NULL : ui->kept.shop->jobs[job].id;
    for (int32_t i = 0; now && i < now->plan->n_jobs; i++) {
        const struct sg_job *of = &now->rest.shop.jobs[now->plan->first_job + i];
        for (int32_t k = of->first_stock; k < of->first_stock + of->n_stocks; k++) {
            char key[KEY];
            if (now->plan->stocks[k - now->plan->first_stock].pieces == 0 || (id && strcmp(id, of->id) != 0))
                continue;
            sg_key_write(&now->rest.shop, (struct sg_target){SG_KIND_STOCK, k}, key, sizeof key);
            return sg_actual_stock(ui->kept.shop, key);
        }
    }
    return SG_UNKNOWN;
}

void sg_actuals_build(struct sg_ui *ui)
{
    const struct sg_now *now = sg_ui_rest(ui);
    const struct sg_actual *actual = now ? &now->actual : sg_ui_actual(ui);
    if (!actual) {
        sg_line_words(ui, SG_ROLE_WRONG, false, "no memory for what really happened");
        return;
    }
    add_heading(ui);
    add_log(ui, actual);
    for (int32_t i = 0; i < actual->n_remarks; i++) {
        char text[600];
        if (actual->remarks[i].at < actual->since || actual->remarks[i].odd == SG_ODD_MENDED)
            continue;
        sg_actual_remark_text(ui->kept.shop, &actual->remarks[i], text, sizeof text);
        sg_line_words(ui, SG_ROLE_ODD, false, "! %s", text);
    }
    if (now)
        add_rest(ui, now);
    else
        sg_line_words(ui, SG_ROLE_WRONG, false, "%s", sg_ui_no_rest(ui));
}
