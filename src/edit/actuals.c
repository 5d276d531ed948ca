/* Acts of the floor: clocks, counts, readings. */
#include "edit/actuals_inside.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ID = 16, KEY = 1200 };

/* ---- rows ---- */

/* Ids count up: "1", "2", ... */
static int64_t number_after(int64_t most, const char *id)
{
    int64_t number = strtoll(id, NULL, 10);
    return number >= most ? number + 1 : most;
}

static enum sg_status check_ranges(enum sg_kind kind, const void *record, const struct sg_shop *shop,
                                   struct sg_error *error)
{
    int n;
    const struct sg_field *fields = sg_fields(kind, &n);
    for (int i = 0; i < n; i++) {
        char range[200];
        struct sg_value value;
        sg_field_get(&fields[i], record, &value);
        if (value.none || sg_field_in_range(&fields[i], &value))
            continue;
        sg_field_range(&fields[i], shop, range, sizeof range);
        return sg_fail(error, SG_BAD_DATA, "%s of what is noted: %s is possible", fields[i].name, range);
    }
    return SG_OK;
}

enum sg_status sg_desk_add_record(struct sg_desk *desk, const struct sg_record *record,
                                  struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    struct sg_record made = *record;
    int64_t row, number = 1;
    char id[ID];
    for (int32_t i = 0; i < shop->n_records; i++)
        number = number_after(number, shop->records[i].id);
    snprintf(id, sizeof id, "%lld", (long long)number);
    made.row = 0;
    made.id = id;
    enum sg_status status = check_ranges(SG_KIND_RECORD, &made, shop, error);
    if (status == SG_OK)
        status = sg_desk_insert_row(desk, SG_KIND_RECORD, 0, &made, &row, error);
    return status == SG_OK ? sg_desk_reload(desk, error) : status;
}

static enum sg_status add_clock(struct sg_desk *desk, const struct sg_clock *clock, struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    struct sg_clock made = *clock;
    int64_t row, number = 1;
    char id[ID];
    for (int32_t i = 0; i < shop->n_clocks; i++)
        number = number_after(number, shop->clocks[i].id);
    snprintf(id, sizeof id, "%lld", (long long)number);
    made.id = id;
    enum sg_status status = check_ranges(SG_KIND_CLOCK, &made, shop, error);
    if (status == SG_OK)
        status = sg_desk_insert_row(desk, SG_KIND_CLOCK, 0, &made, &row, error);
    return status;
}

enum sg_status sg_desk_end_act(struct sg_desk *desk, enum sg_status status, const struct sg_noted *noted,
                               struct sg_error *error)
{
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    return sg_desk_finish(desk, status, noted->words, error);
}

/* ---- a clock ---- */

/* The stock that a place names: itself, that of a part, the only one of a job. */
static enum sg_status find_stock(const struct sg_shop *shop, const char *place, int32_t *stock,
                                 struct sg_error *error)
{
    struct sg_target target;
    enum sg_status status = sg_key_find(shop, place, &target, error);
    if (status != SG_OK)
        return status;
    if (target.kind == SG_KIND_JOB && shop->jobs[target.index].n_stocks == 1)
        target = (struct sg_target){SG_KIND_STOCK, shop->jobs[target.index].first_stock};
    if (target.kind == SG_KIND_PART)
        target = (struct sg_target){SG_KIND_STOCK, shop->parts[target.index].stock};
    if (target.kind != SG_KIND_STOCK)
        return sg_fail(error, SG_BAD_DATA, "a clock runs on a stock such as 2604/1; %.80s is a %s%s", place,
                       sg_kind_word(target.kind),
                       target.kind == SG_KIND_JOB ? " of several or none: name JOB/STOCK" : "");
    *stock = target.index;
    return SG_OK;
}

/* asked: how many sheets. */
static void start_words(const struct sg_clock *clock, int32_t loads, int32_t asked, char *out, size_t size)
{
    char sheets[60], last[20] = "", left[60] = "";
    if (clock->sheets > 1)
        snprintf(last, sizeof last, " to %d", clock->sheet + clock->sheets - 1);
    snprintf(sheets, sizeof sheets, "sheet%s %d%s%s", *last ? "s" : "", clock->sheet, last,
             loads == 0 ? " (not planned)" : "");
    if (loads > 0 && loads < asked)
        snprintf(left, sizeof left, ": only %d of %d are left to cut", loads, asked);
    if (clock->phase == SG_PHASE_CUT)
        snprintf(out, size, "clock started on %.200s, %s%s", clock->place, sheets, left);
    else
        snprintf(out, size, "%s of %.200s, %s, started%s",
                 clock->phase == SG_PHASE_LOAD ? "loading" : "first check", clock->place, sheets, left);
}

/* Another sheet may be cut without a stop between; one is not loaded or checked twice at once. */
static bool runs_already(const struct sg_shop *shop, const struct sg_actual *actual, enum sg_phase phase,
                         const char *place)
{
    const struct sg_clock *clock = actual->running == SG_UNKNOWN ? NULL : &shop->clocks[actual->running];
    return clock && phase != SG_PHASE_CUT && clock->phase == (int32_t)phase &&
           strcmp(clock->place, place) == 0;
}

/* On a sheet that is cut in part: what is left of it. False: no memory. */
static bool go_on(const struct sg_shop *shop, struct sg_now *now, int32_t stock, struct sg_clock *clock)
{
    int32_t before = sg_actual_last_cut(shop, &now->actual, stock);
    bool out_of_memory = false;
    if (clock->phase == SG_PHASE_CUT && clock->sheets == 1 && before >= 0 &&
        shop->clocks[before].sheets == 1 && sg_actual_half_cut(shop, &now->actual, before))
        sg_clock_go_on(shop, &now->actual, before, &now->arena, clock, &out_of_memory);
    return !out_of_memory;
}

/* The clock of a stock with its plan of that moment; its texts lie in now or are borrowed. */
static enum sg_status make_clock(const struct sg_shop *shop, const struct sg_start *start, int64_t at,
                                 struct sg_now *now, char key[KEY], struct sg_clock *clock,
                                 struct sg_noted *noted, struct sg_error *error)
{
    int32_t stock = SG_UNKNOWN;
    bool on;
    enum sg_status status = find_stock(shop, start->place, &stock, error);
    if (status == SG_OK)
        status = sg_now_make_next(now, shop, at, shop->jobs[shop->stocks[stock].job].shift,
                                  start->phase == SG_PHASE_CHECK ? SG_UNKNOWN : stock, error);
    if (status != SG_OK)
        return status;
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, KEY);
    if (runs_already(shop, &now->actual, start->phase, key))
        return sg_fail(error, SG_BAD_DATA, "the %s of %.80s runs already",
                       start->phase == SG_PHASE_LOAD ? "loading" : "first check", key);
    *clock = sg_fresh_clock;
    clock->phase = start->phase;
    clock->place = key;
    clock->at = at;
    clock->cut_only = start->cut_only;
    clock->note = start->note ? start->note : "";
    clock->sheet = sg_actual_next_sheet(shop, &now->actual, stock, &on);
    int32_t loads =
        sg_clock_take(&now->rest, now->plan, sg_actual_stock(&now->rest.shop, key), start->sheets, clock);
    clock->lies =
        sg_clock_lies(&now->rest, now->plan, sg_actual_stock(&now->rest.shop, key), clock, &now->arena);
    if (!clock->lies || !go_on(shop, now, stock, clock))
        return sg_fail(error, SG_FAULT, "no memory for a clock");
    if (clock->phase == SG_PHASE_CHECK && !sg_actual_was_checked(shop, &now->actual, key))
        clock->planned_hands = shop->stocks[stock].first_check; /* though pieces were counted before it */
    start_words(clock, loads, start->sheets, noted->words, sizeof noted->words);
    return SG_OK;
}

enum sg_status sg_desk_start(struct sg_desk *desk, const struct sg_start *start, int64_t at,
                             struct sg_noted *noted, struct sg_error *error)
{
    struct sg_now now = {0};
    struct sg_clock clock;
    char key[KEY];
    if (start->sheets < 1 || start->sheets > 1000000)
        return sg_fail(error, SG_BAD_DATA, "1 to 1000000 sheets are clocked at once, not %d", start->sheets);
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = make_clock(&desk->held.shop, start, at, &now, key, &clock, noted, error);
    if (status == SG_OK)
        status = add_clock(desk, &clock, error);
    status = sg_desk_end_act(desk, status, noted, error);
    sg_now_free(&now);
    return status;
}

/* ---- plain records ---- */

static enum sg_status check_head(const struct sg_shop *shop, const char *name, bool garnet,
                                 struct sg_error *error)
{
    int head = sg_find_head(shop, name);
    if (head == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no head \"%.60s\"; the first is %.60s", name,
                       shop->n_heads ? shop->heads[0].name : "not made yet");
    if (garnet && shop->heads[head].kind == SG_HEAD_WATER)
        return sg_fail(error, SG_BAD_DATA, "head %.60s takes no garnet and has no mixing tube", name);
    return SG_OK;
}

/* "seals, filters": the chores that fall due. */
static void due_chores(const struct sg_shop *shop, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (int32_t i = 0; i < shop->n_chores && used < size; i++)
        if (shop->chores[i].when == SG_CHORE_DUE)
            used +=
                (size_t)snprintf(out + used, size - used, "%s%.60s", used ? ", " : "", shop->chores[i].name);
}

/* Only of what falls due does it matter when it was done last. */
static enum sg_status check_chore(const struct sg_shop *shop, const char *name, struct sg_error *error)
{
    char due[300];
    due_chores(shop, due, sizeof due);
    for (int32_t i = 0; i < shop->n_chores; i++) {
        if (strcmp(shop->chores[i].name, name) != 0)
            continue;
        if (shop->chores[i].when == SG_CHORE_DUE)
            return SG_OK;
        return sg_fail(error, SG_BAD_DATA,
                       "chore %.60s does not fall due, so nothing counts from when it was done; %s%s", name,
                       due[0] ? "those that do: " : "`set chore:NAME when=due` makes a service of it", due);
    }
    return sg_fail(error, SG_BAD_DATA, "no chore \"%.60s\"; `add chore NAME when=due` makes one", name);
}

static void amount_words(const struct sg_shop *shop, enum sg_dimension dimension, double value, char *out,
                         size_t size)
{
    const struct sg_unit *unit = sg_unit_of_shop(dimension, shop->units);
    char number[40];
    sg_number_short(value, unit, 2, number, sizeof number);
    snprintf(out, size, "%s %s", number, unit->name);
}

static enum sg_status check_level(const struct sg_shop *shop, double mass, struct sg_error *error)
{
    char holds[80], said[80];
    if (!(mass > shop->machine.hopper * (1 + 1e-9)))
        return SG_OK;
    amount_words(shop, SG_DIM_MASS, shop->machine.hopper, holds, sizeof holds);
    amount_words(shop, SG_DIM_MASS, mass, said, sizeof said);
    return sg_fail(error, SG_BAD_DATA, "the hopper holds %s, not %s", holds, said);
}

/* A stop that was forgotten is mended by the next start: one without a clock is only a slip. *alone: of a
 * pause, that no clock ran. */
static enum sg_status check_running(const struct sg_shop *shop, const struct sg_record *record, bool *alone,
                                    struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_actual actual;
    enum sg_status status = SG_OK;
    if (!sg_actual_make(shop, record->at, &arena, &actual))
        status = sg_fail(error, SG_FAULT, "no memory for a log of %d clocks", shop->n_clocks);
    else if (record->what == SG_RECORD_STOP && actual.running == SG_UNKNOWN)
        status = sg_fail(error, SG_BAD_DATA, "no clock runs; `record start PLACE` starts one");
    else if (record->what == SG_RECORD_RESUME && !actual.paused)
        status =
            sg_fail(error, SG_BAD_DATA, "the machine is not paused; `record pause WHY` notes that it is");
    else
        *alone = record->what == SG_RECORD_PAUSE && actual.running == SG_UNKNOWN;
    sg_arena_free(&arena);
    return status;
}

static enum sg_status check_record(const struct sg_shop *shop, const struct sg_record *record, bool *alone,
                                   struct sg_error *error)
{
    *alone = false;
    if (record->what == SG_RECORD_STOP || record->what == SG_RECORD_PAUSE || record->what == SG_RECORD_RESUME)
        return check_running(shop, record, alone, error);
    bool head = record->what == SG_RECORD_WEIGH || record->what == SG_RECORD_TUBE ||
                record->what == SG_RECORD_ORIFICE;
    if (head)
        return check_head(shop, record->place, record->what != SG_RECORD_ORIFICE, error);
    if (record->what == SG_RECORD_SERVICE)
        return check_chore(shop, record->place, error);
    if (record->what == SG_RECORD_NOTE && record->reason[strspn(record->reason, " \t")] == '\0')
        return sg_fail(error, SG_BAD_DATA, "a note without words says nothing");
    return record->what == SG_RECORD_LEVEL ? check_level(shop, record->mass, error) : SG_OK;
}

/* A weighing in another unit than was meant is told by what the head is set to. */
static void far_from_set(const struct sg_shop *shop, const struct sg_record *r, char *out, size_t size)
{
    char set[80];
    int32_t head = sg_find_head(shop, r->place);
    double times = head == SG_UNKNOWN ? 1 : r->feed / shop->heads[head].garnet;
    if (!(times > 3 || times < 1 / 3.0))
        return;
    amount_words(shop, SG_DIM_GARNET_FEED, shop->heads[head].garnet, set, sizeof set);
    snprintf(out, size, ", far from the %s that it is set to: is the unit right?", set);
}

static void record_words(const struct sg_shop *shop, const struct sg_record *r, bool alone, char *out,
                         size_t size)
{
    char amount[80];
    const char *reason = r->reason[0] ? r->reason : NULL;
    switch (r->what) {
    case SG_RECORD_STOP:
        snprintf(out, size, "clock stopped");
        break;
    case SG_RECORD_PAUSE:
        snprintf(out, size, "machine stands%s: %.200s", alone ? " (no clock runs)" : "",
                 reason ? reason : "no reason noted");
        return;
    case SG_RECORD_RESUME:
        snprintf(out, size, "machine goes on");
        break;
    case SG_RECORD_LEVEL:
        amount_words(shop, SG_DIM_MASS, r->mass, amount, sizeof amount);
        snprintf(out, size, "hopper read: %s", amount);
        break;
    case SG_RECORD_WEIGH:
        amount_words(shop, SG_DIM_GARNET_FEED, r->feed, amount, sizeof amount);
        int used = snprintf(out, size, "feed of head %.60s weighed: %s", r->place, amount);
        far_from_set(shop, r, out + used, size - (size_t)used);
        break;
    case SG_RECORD_TUBE:
    case SG_RECORD_ORIFICE:
        snprintf(out, size, "%s of head %.60s changed", r->what == SG_RECORD_TUBE ? "mixing tube" : "orifice",
                 r->place);
        break;
    case SG_RECORD_SERVICE:
        snprintf(out, size, "service done: %.200s", r->place);
        break;
    default:
        snprintf(out, size, "noted: %.300s", r->reason);
        return;
    }
    size_t used = strlen(out);
    if (reason && used < size)
        snprintf(out + used, size - used, ": %.200s", reason);
}

/* What a stop is taken to mean where nobody counted what the clock cut; out is behind its words. */
static enum sg_status uncounted_words(const struct sg_shop *shop, int64_t at, char *out, size_t size,
                                      struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_actual actual;
    bool made = sg_actual_make(shop, at, &arena, &actual);
    int32_t sheet = made && actual.last != SG_UNKNOWN ? shop->clocks[actual.last].sheet : SG_UNKNOWN;
    if (sheet != SG_UNKNOWN && sg_actual_broke_off(shop, &actual, actual.last))
        snprintf(out, size, "; nothing is counted: sheet %d stays on the table, not finished", sheet);
    else if (sheet != SG_UNKNOWN && sg_actual_uncounted(shop, &actual, actual.last))
        snprintf(out, size, "; nothing is counted of sheet %d yet", sheet);
    sg_arena_free(&arena);
    return made ? SG_OK : sg_fail(error, SG_FAULT, "no memory for a log of %d clocks", shop->n_clocks);
}

enum sg_status sg_desk_record(struct sg_desk *desk, const struct sg_record *record, struct sg_noted *noted,
                              struct sg_error *error)
{
    bool alone;
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = check_record(&desk->held.shop, record, &alone, error);
    if (status == SG_OK) {
        record_words(&desk->held.shop, record, alone, noted->words, sizeof noted->words);
        status = sg_desk_add_record(desk, record, error);
    }
    size_t used = strlen(noted->words);
    if (status == SG_OK && record->what == SG_RECORD_STOP)
        status = uncounted_words(&desk->held.shop, record->at, noted->words + used,
                                 sizeof noted->words - used, error);
    return sg_desk_end_act(desk, status, noted, error);
}

/* ---- the hopper ---- */

static void fill_words(const struct sg_shop *shop, int32_t bags, double mass, char *out, size_t size)
{
    char amount[80];
    if (bags != SG_UNKNOWN) {
        snprintf(out, size, "%d bag%s into the hopper", bags, bags == 1 ? "" : "s");
        return;
    }
    amount_words(shop, SG_DIM_MASS, mass, amount, sizeof amount);
    snprintf(out, size, "%s into the hopper", amount);
}

/* What a fill is checked against. */
struct filling {
    const struct sg_shop *shop;
    int32_t bags; /* SG_UNKNOWN: by mass */
    double mass;  /* kg of all */
    struct sg_error *error;
};

static enum sg_status check_amount(const struct filling *f)
{
    char such[80];
    if (f->bags != SG_UNKNOWN && !(f->shop->machine.bag > 0)) {
        amount_words(f->shop, SG_DIM_MASS, f->shop->machine.hopper / 2, such, sizeof such);
        return sg_fail(f->error, SG_BAD_DATA, "this hopper is filled in bulk: say a mass, such as %s", such);
    }
    if (f->bags != SG_UNKNOWN ? f->bags < 1 : !(f->mass > 0))
        return sg_fail(f->error, SG_BAD_DATA, "a fill is 1 bag or more, or a mass above 0");
    return SG_OK;
}

/* What goes in is out of the stock of bags, which is that of the shift's start less all that the log put in.
 */
static enum sg_status check_stock_of_bags(const struct filling *f, const struct sg_actual *log)
{
    double bag = f->shop->machine.bag;
    char most[80];
    if (!(bag > 0))
        return SG_OK;
    int32_t left = sg_bags_left(f->shop, log);
    if ((f->bags != SG_UNKNOWN ? f->bags : sg_bags_for(f->shop, f->mass)) <= left)
        return SG_OK;
    amount_words(f->shop, SG_DIM_MASS, left * bag, most, sizeof most);
    return sg_fail(f->error, SG_BAD_DATA,
                   "%d bag%s (%s) %s in stock: bags_in_stock of the machine was %d at the shift's start",
                   left, left == 1 ? "" : "s", most, left == 1 ? "is" : "are",
                   f->shop->machine.bags_in_stock);
}

/* Nobody knows the level so well: what fits beside the least that the hopper may hold is possible. */
static enum sg_status check_room(const struct filling *f, const struct sg_actual *then)
{
    double room = f->shop->machine.hopper - then->hopper.low, bag = f->shop->machine.bag;
    char most[80], holds[80];
    if (f->mass <= room * (1 + 1e-9) + 1e-9)
        return SG_OK;
    amount_words(f->shop, SG_DIM_MASS, room, most, sizeof most);
    amount_words(f->shop, SG_DIM_MASS, f->shop->machine.hopper, holds, sizeof holds);
    if (f->bags == SG_UNKNOWN)
        return sg_fail(f->error, SG_BAD_DATA,
                       "%s fit into the hopper of %s: if it holds less, `record level` says so", most, holds);
    int32_t bags = (int32_t)floor(room / bag + 1e-9);
    return sg_fail(f->error, SG_BAD_DATA,
                   "%d bag%s (%s) fit%s into the hopper of %s: if it holds less, `record level` says so",
                   bags, bags == 1 ? "" : "s", most, bags == 1 ? "s" : "", holds);
}

static enum sg_status check_fill(const struct filling *f, int64_t at)
{
    struct sg_arena arena = {0};
    struct sg_actual then, log;
    int64_t end = sg_log_end(f->shop);
    enum sg_status status = check_amount(f);
    if (status == SG_OK && (!sg_actual_make(f->shop, at, &arena, &then) ||
                            !sg_actual_make(f->shop, end > at ? end : at, &arena, &log)))
        status = sg_fail(f->error, SG_FAULT, "no memory for a log of %d clocks", f->shop->n_clocks);
    if (status == SG_OK)
        status = check_stock_of_bags(f, &log);
    if (status == SG_OK)
        status = check_room(f, &then);
    sg_arena_free(&arena);
    return status;
}

enum sg_status sg_desk_fill(struct sg_desk *desk, int32_t bags, double mass, int64_t at,
                            struct sg_noted *noted, struct sg_error *error)
{
    struct sg_record record = sg_fresh_record;
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    const struct sg_shop *shop = &desk->held.shop;
    const struct filling f = {shop, bags, bags == SG_UNKNOWN ? mass : bags * shop->machine.bag, error};
    status = check_fill(&f, at);
    record.what = SG_RECORD_FILL;
    record.at = at;
    record.count = bags;
    record.mass = bags == SG_UNKNOWN ? mass : (double)NAN;
    if (status == SG_OK) {
        fill_words(shop, bags, mass, noted->words, sizeof noted->words);
        status = sg_desk_add_record(desk, &record, error);
    }
    return sg_desk_end_act(desk, status, noted, error);
}
