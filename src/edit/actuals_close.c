/* The end of a shift: what the log says goes into the fields. */
#include "edit/actuals_inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = 1200, BLOCK = 64 };

struct closing {
    struct sg_desk *desk;
    const struct sg_actual *actual;
    struct sg_arena *arena; /* of long texts */
    struct sg_edit *edits;
    int n, room;
    bool failed; /* no memory */
};

static struct sg_edit *add_edit(struct closing *c, struct sg_target target)
{
    if (c->n == c->room) {
        struct sg_edit *more = realloc(c->edits, (size_t)(c->room + BLOCK) * sizeof *more);
        if (!more) {
            c->failed = true;
            return NULL;
        }
        c->edits = more;
        c->room += BLOCK;
    }
    struct sg_edit *edit = &c->edits[c->n++];
    *edit = (struct sg_edit){.before = NULL};
    sg_key_write(&c->desk->held.shop, target, edit->key, sizeof edit->key);
    return edit;
}

#define SET(c, target, ...)                                                                                  \
    do {                                                                                                     \
        struct sg_edit *edit_ = add_edit(c, target);                                                         \
        if (edit_)                                                                                           \
            snprintf(edit_->assignment, sizeof edit_->assignment, __VA_ARGS__);                              \
    } while (0)

/* ---- machine, heads, chores ---- */

static int32_t fitted(const struct sg_shop *shop, const struct sg_actual *actual)
{
    for (int32_t i = actual->last; i >= 0; i--) {
        int head =
            shop->clocks[i].phase == SG_PHASE_CUT ? sg_find_head(shop, shop->clocks[i].head) : SG_UNKNOWN;
        if (actual->clocks[i].from < actual->since && !actual->clocks[i].running)
            break;
        if (head != SG_UNKNOWN)
            return head;
    }
    return shop->machine.head_fitted;
}

static void set_machine(struct closing *c)
{
    const struct sg_shop *shop = &c->desk->held.shop;
    const struct sg_target machine = {SG_KIND_MACHINE, 0};
    char read[40] = "none";
    if (c->actual->hopper.trust == SG_LEVEL_READ) /* what was carried forward nobody has read */
        sg_moment_format(c->actual->hopper.since, read, sizeof read);
    SET(c, machine, "hopper_level=%.17g kg", c->actual->hopper.level);
    SET(c, machine, "hopper_read=%s", read);
    SET(c, machine, "bags_in_stock=%d", sg_bags_left(shop, c->actual));
    SET(c, machine, "sludge=%.17g kg", c->actual->sludge);
    SET(c, machine, "head_fitted=%.250s", shop->heads[fitted(shop, c->actual)].name);
    for (int32_t i = 0; i < shop->n_heads; i++) {
        const struct sg_target head = {SG_KIND_HEAD, i};
        SET(c, head, "tube_hours=%.17g s", c->actual->heads[i].tube);
        SET(c, head, "orifice_hours=%.17g s", c->actual->heads[i].orifice);
    }
    for (int32_t i = 0; i < shop->n_chores; i++) {
        const struct sg_target chore = {SG_KIND_CHORE, i};
        char day[24];
        if (shop->chores[i].when != SG_CHORE_DUE)
            continue;
        SET(c, chore, "hours=%.17g s", c->actual->chores[i]);
        if (c->actual->chore_days[i] == SG_NO_DATE)
            continue;
        sg_date_format(c->actual->chore_days[i], day, sizeof day);
        SET(c, chore, "last=%s", day);
    }
}

/* ---- jobs that are not done ---- */

static int64_t left_of(const struct closing *c, const struct sg_job *job)
{
    int64_t left = 0;
    const struct sg_shop *shop = &c->desk->held.shop;
    for (int32_t s = job->first_stock; s < job->first_stock + job->n_stocks; s++)
        for (int32_t p = shop->stocks[s].first_part; p < shop->stocks[s].first_part + shop->stocks[s].n_parts;
             p++)
            left += sg_actual_left(&shop->parts[p], &c->actual->parts[p]);
    return left;
}

static int64_t left_in_shift(const struct closing *c, int32_t shift)
{
    int64_t left = 0;
    for (int32_t i = 0; i < c->desk->held.shop.n_jobs; i++)
        if (c->desk->held.shop.jobs[i].shift == shift)
            left += left_of(c, &c->desk->held.shop.jobs[i]);
    return left;
}

static void leave_what_is_left(struct closing *c, const struct sg_job *job)
{
    const struct sg_shop *shop = &c->desk->held.shop;
    for (int32_t s = job->first_stock; s < job->first_stock + job->n_stocks; s++) {
        const struct sg_stock *stock = &shop->stocks[s];
        for (int32_t p = stock->first_part; p < stock->first_part + stock->n_parts; p++) {
            const struct sg_actual_part *done = &c->actual->parts[p];
            const struct sg_target part = {SG_KIND_PART, p};
            if (done->left_good == 0 && done->left_scrapped == 0)
                continue;
            int64_t wanted = shop->parts[p].quantity - done->left_good;
            int64_t left = sg_actual_left(&shop->parts[p], done);
            wanted = wanted > 0 ? wanted : 0;
            SET(c, part, "quantity=%lld", (long long)wanted);
            SET(c, part, "scrap=%lld", (long long)(left > wanted ? left - wanted : 0));
        }
    }
}

/* Whether the first check of a stock is done: it was clocked, or a good piece is there. And whether it was
 * loaded. */
static bool is_checked(const struct closing *c, int32_t stock, const char *key, bool *loaded)
{
    const struct sg_shop *shop = &c->desk->held.shop;
    bool checked = false, on;
    int32_t next = sg_actual_next_sheet(shop, c->actual, stock, &on);
    *loaded = next > 1 || on;
    for (int32_t p = shop->stocks[stock].first_part;
         p < shop->stocks[stock].first_part + shop->stocks[stock].n_parts; p++)
        checked = checked || c->actual->parts[p].good > 0;
    *loaded = *loaded || checked;
    return checked || sg_actual_was_checked(shop, c->actual, key);
}

static void write_remnants(const struct sg_items *remnants, char *out, size_t size)
{
    size_t used = (size_t)snprintf(out, size, "remnants=%s", remnants->n == 0 ? "none" : "");
    for (int64_t i = 0; i < remnants->n && used < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s%.17g x %.17g mm x %.0f", i ? "; " : "",
                                 remnants->at[i][0], remnants->at[i][1], remnants->at[i][2]);
}

/* The sheets and remnants of a stock that are not cut. */
static void leave_sheets(struct closing *c, int32_t index)
{
    const struct sg_target target = {SG_KIND_STOCK, index};
    struct sg_stock stock = c->desk->held.shop.stocks[index];
    int64_t loads = sg_actual_loads_cut(&c->desk->held.shop, c->actual, index), n = stock.remnants.n;
    enum { SIZE = SG_MAX_ITEMS * 80 };
    char *remnants = loads > 0 ? sg_arena_take(c->arena, SIZE) : NULL;
    if (loads == 0)
        return;
    double on_hand = n > 0 ? stock.remnants.at[0][2] : 0;
    sg_use_up_sheets(&stock, loads);
    if (stock.sheets != SG_UNKNOWN)
        SET(c, target, "sheets=%d", stock.sheets);
    if (stock.remnants.n == n && (n == 0 || stock.remnants.at[0][2] == on_hand))
        return;
    struct sg_edit *edit = add_edit(c, target);
    c->failed = c->failed || !remnants || !edit;
    if (c->failed)
        return;
    write_remnants(&stock.remnants, remnants, SIZE);
    edit->longer = remnants;
}

/* As the rest has it (sg_actual_rest): a first check is not done again, nor a fill at the first load. */
static void leave_what_is_done(struct closing *c, const struct sg_job *job)
{
    const struct sg_shop *shop = &c->desk->held.shop;
    for (int32_t s = job->first_stock; s < job->first_stock + job->n_stocks; s++) {
        const struct sg_target stock = {SG_KIND_STOCK, s};
        char key[KEY];
        bool loaded;
        leave_sheets(c, s);
        sg_key_write(shop, stock, key, sizeof key);
        if (is_checked(c, s, key, &loaded) && shop->stocks[s].first_check > 0)
            SET(c, stock, "first_check=0");
        if (loaded && shop->stocks[s].fill)
            SET(c, stock, "fill=no");
    }
}

/* In front of what the other shift has, in their order. */
static void move_jobs(struct closing *c, int32_t shift, int32_t to)
{
    const struct sg_shop *shop = &c->desk->held.shop;
    int order = 1;
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        const struct sg_target job = {SG_KIND_JOB, i};
        if (shop->jobs[i].shift != shift || left_of(c, &shop->jobs[i]) == 0)
            continue;
        leave_what_is_left(c, &shop->jobs[i]);
        leave_what_is_done(c, &shop->jobs[i]);
        SET(c, job, "shift=%.200s", shop->shifts[to].id);
        SET(c, job, "order=%d", order++);
    }
}

/* The sheet under the jet stays where it is. */
static void leave_sheet(struct closing *c, int32_t shift, int32_t to)
{
    bool on = false;
    const struct sg_shop *shop = &c->desk->held.shop;
    const char *place = c->actual->last == SG_UNKNOWN ? "" : shop->clocks[c->actual->last].place;
    int32_t stock = sg_actual_stock(shop, place);
    if (stock != SG_UNKNOWN && shop->jobs[shop->stocks[stock].job].shift == shift)
        sg_actual_next_sheet(shop, c->actual, stock, &on);
    const struct sg_target next = {SG_KIND_SHIFT, to};
    if (on)
        SET(c, next, "sheet_on=%.200s", place);
}

/* Records that the jobs of a shift went with what was left; to be noted before they go. */
static enum sg_status note_moved(struct closing *c, int32_t shift, int64_t at, struct sg_error *error)
{
    struct sg_record moved = sg_fresh_record;
    moved.what = SG_RECORD_MOVED;
    moved.at = at;
    enum sg_status status = SG_OK;
    for (int32_t i = 0; i < c->desk->held.shop.n_jobs && status == SG_OK; i++) {
        const struct sg_job *job = &c->desk->held.shop.jobs[i];
        moved.place = job->id;
        if (job->shift == shift && left_of(c, job) > 0)
            status = sg_desk_add_record(c->desk, &moved, error);
    }
    return status;
}

/* ---- all of it ---- */

static enum sg_status check_shifts(const struct sg_shop *shop, int32_t shift, int32_t to,
                                   struct sg_error *error)
{
    if (to == shift)
        return sg_fail(error, SG_BAD_DATA, "shift %.60s cannot leave its jobs to itself",
                       shop->shifts[shift].id);
    if (to != SG_UNKNOWN && shop->shifts[to].closed)
        return sg_fail(error, SG_BAD_DATA, "shift %.60s is closed: jobs go to an open one",
                       shop->shifts[to].id);
    return SG_OK;
}

/* A shift that is closed may still leave what is left of it to another. */
static enum sg_status check_closed(const struct closing *c, int32_t shift, int32_t to, struct sg_error *error)
{
    const char *id = c->desk->held.shop.shifts[shift].id;
    int64_t pieces = left_in_shift(c, shift);
    if (pieces == 0)
        return sg_fail(error, SG_BAD_DATA, "shift %.60s is closed already, and nothing of it is left", id);
    if (to == SG_UNKNOWN)
        return sg_fail(
            error, SG_BAD_DATA,
            "shift %.60s is closed already; %lld piece%s left in it: `record close %.60s --move SHIFT` "
            "moves %s to another",
            id, (long long)pieces, pieces == 1 ? " is" : "s are", id, pieces == 1 ? "it" : "them");
    return SG_OK;
}

static void close_words(const struct closing *c, int32_t shift, int32_t to, char *out, size_t size)
{
    const struct sg_shop *shop = &c->desk->held.shop;
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    char level[40], left[120] = "nothing left";
    int64_t pieces = left_in_shift(c, shift);
    sg_number_format(c->actual->hopper.level, unit, 0, level, sizeof level);
    if (pieces > 0)
        snprintf(left, sizeof left, "%lld piece%s left%s%.60s", (long long)pieces, pieces == 1 ? "" : "s",
                 to == SG_UNKNOWN ? "" : ", to shift ", to == SG_UNKNOWN ? "" : shop->shifts[to].id);
    if (shop->shifts[shift].closed)
        snprintf(out, size, "shift %.60s was closed: %s", shop->shifts[shift].id, left);
    else
        snprintf(out, size, "shift %.60s closed: hopper about %s %s, %s", shop->shifts[shift].id, level,
                 unit->name, left);
}

static enum sg_status make_edits(struct closing *c, struct sg_error *error)
{
    int clash;
    struct sg_change *changes = calloc((size_t)c->n + 1, sizeof *changes);
    enum sg_status status = changes && !c->failed
                                ? sg_desk_edit(c->desk, c->edits, c->n, changes, &clash, NULL, 0, error)
                                : sg_fail(error, SG_FAULT, "no memory to close a shift");
    free(changes);
    return status;
}

/* What changes with the close, and with the move of what is left: the fields, and the records before them,
 * which name the jobs while they are there. */
static enum sg_status close_it(struct closing *c, int32_t shift, int32_t to, int64_t at,
                               struct sg_error *error)
{
    const struct sg_target closed = {SG_KIND_SHIFT, shift};
    enum sg_status status = SG_OK;
    if (!c->desk->held.shop.shifts[shift].closed) {
        set_machine(c);
        SET(c, closed, "closed=yes");
    }
    if (to != SG_UNKNOWN) {
        leave_sheet(c, shift, to);
        move_jobs(c, shift, to);
        status = note_moved(c, shift, at, error);
    }
    return status == SG_OK ? make_edits(c, error) : status;
}

/* The log up to the close. What runs, and of which all pieces were counted, was forgotten: it stopped then.
 */
static enum sg_status read_log(struct closing *c, int64_t at, struct sg_actual *actual,
                               struct sg_error *error)
{
    struct sg_record stop = sg_fresh_record;
    const struct sg_shop *shop = &c->desk->held.shop;
    bool made = sg_actual_make(shop, at, c->arena, actual);
    if (made && actual->running != SG_UNKNOWN && sg_actual_all_counted(shop, actual, actual->running)) {
        stop.what = SG_RECORD_STOP;
        stop.at = actual->clocks[actual->running].counted_at;
        stop.reason = "all its pieces were counted";
        enum sg_status status = sg_desk_add_record(c->desk, &stop, error);
        if (status != SG_OK)
            return status;
        made = sg_actual_make(shop, at, c->arena, actual);
    }
    return made ? SG_OK
                : sg_fail(error, SG_FAULT, "no memory for a log of %d clocks", c->desk->held.shop.n_clocks);
}

enum sg_status sg_desk_close_shift(struct sg_desk *desk, int32_t shift, int32_t to, int64_t at,
                                   struct sg_noted *noted, struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_actual actual;
    struct sg_record record = sg_fresh_record;
    struct closing c = {.desk = desk, .actual = &actual, .arena = &arena};
    char id[KEY];
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    bool again = desk->held.shop.shifts[shift].closed;
    status = check_shifts(&desk->held.shop, shift, to, error);
    if (status == SG_OK)
        status = read_log(&c, at, &actual, error);
    if (status == SG_OK && again)
        status = check_closed(&c, shift, to, error);
    if (status == SG_OK) {
        close_words(&c, shift, to, noted->words, sizeof noted->words);
        snprintf(id, sizeof id, "%s", desk->held.shop.shifts[shift].id);
        record.what = SG_RECORD_CLOSE;
        record.at = at;
        record.place = id;
        status = close_it(&c, shift, to, at, error);
    }
    if (status == SG_OK && !again)
        status = sg_desk_add_record(desk, &record, error);
    free(c.edits);
    sg_arena_free(&arena);
    return sg_desk_end_act(desk, status, noted, error);
}
