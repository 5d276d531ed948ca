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

static void start_words(const struct sg_clock *clock, int32_t loads, char *out, size_t size)
{
    char sheets[60], last[20] = "";
    if (clock->sheets > 1)
        snprintf(last, sizeof last, " to %d", clock->sheet + clock->sheets - 1);
    snprintf(sheets, sizeof sheets, "sheet%s %d%s%s", *last ? "s" : "", clock->sheet, last,
             loads == 0 ? " (not planned)" : "");
    if (clock->phase == SG_PHASE_CUT)
        snprintf(out, size, "clock started on %.200s, %s", clock->place, sheets);
    else
        snprintf(out, size, "%s of %.200s, %s, started",
                 clock->phase == SG_PHASE_LOAD ? "loading" : "first check", clock->place, sheets);
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
        status = sg_now_make(now, shop, at, shop->jobs[shop->stocks[stock].job].shift, error);
    if (status != SG_OK)
        return status;
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, KEY);
    *clock = sg_fresh_clock;
    clock->phase = start->phase;
    clock->place = key;
    clock->at = at;
    clock->cut_only = start->cut_only;
    clock->note = start->note ? start->note : "";
    clock->sheet = sg_actual_next_sheet(shop, &now->actual, stock, &on);
    int32_t loads =
        sg_clock_take(&now->rest, now->plan, sg_actual_stock(&now->rest.shop, key), start->sheets, clock);
    start_words(clock, loads, noted->words, sizeof noted->words);
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

static enum sg_status check_chore(const struct sg_shop *shop, const char *name, struct sg_error *error)
{
    for (int32_t i = 0; i < shop->n_chores; i++)
        if (strcmp(shop->chores[i].name, name) == 0)
            return SG_OK;
    return sg_fail(error, SG_BAD_DATA, "no chore \"%.60s\"; `add chore NAME when=due` makes one", name);
}

static enum sg_status check_record(const struct sg_shop *shop, const struct sg_record *record,
                                   struct sg_error *error)
{
    bool head = record->what == SG_RECORD_WEIGH || record->what == SG_RECORD_TUBE ||
                record->what == SG_RECORD_ORIFICE;
    if (head)
        return check_head(shop, record->place, record->what != SG_RECORD_ORIFICE, error);
    if (record->what == SG_RECORD_SERVICE)
        return check_chore(shop, record->place, error);
    if (record->what == SG_RECORD_LEVEL && record->mass > shop->machine.hopper * (1 + 1e-9))
        return sg_fail(error, SG_BAD_DATA, "the hopper holds %.1f kg, not %.1f", shop->machine.hopper,
                       record->mass);
    return SG_OK;
}

static void amount_words(const struct sg_shop *shop, enum sg_dimension dimension, double value, char *out,
                         size_t size)
{
    const struct sg_unit *unit = sg_unit_of_shop(dimension, shop->units);
    char number[40];
    sg_number_short(value, unit, 2, number, sizeof number);
    snprintf(out, size, "%s %s", number, unit->name);
}

static void record_words(const struct sg_shop *shop, const struct sg_record *r, char *out, size_t size)
{
    char amount[80];
    const char *reason = r->reason[0] ? r->reason : NULL;
    switch (r->what) {
    case SG_RECORD_STOP:
        snprintf(out, size, "clock stopped");
        break;
    case SG_RECORD_PAUSE:
        snprintf(out, size, "machine stands: %.200s", reason ? reason : "no reason noted");
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
        snprintf(out, size, "feed of head %.60s weighed: %s", r->place, amount);
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

enum sg_status sg_desk_record(struct sg_desk *desk, const struct sg_record *record, struct sg_noted *noted,
                              struct sg_error *error)
{
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = check_record(&desk->held.shop, record, error);
    if (status == SG_OK) {
        record_words(&desk->held.shop, record, noted->words, sizeof noted->words);
        status = sg_desk_add_record(desk, record, error);
    }
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

enum sg_status sg_desk_fill(struct sg_desk *desk, int32_t bags, double mass, int64_t at,
                            struct sg_noted *noted, struct sg_error *error)
{
    struct sg_record record = sg_fresh_record;
    struct sg_change change;
    struct sg_edit edit = {.before = NULL};
    int clash;
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    const struct sg_machine *machine = &desk->held.shop.machine;
    if (bags != SG_UNKNOWN && !(machine->bag > 0))
        status = sg_fail(error, SG_BAD_DATA, "this hopper is filled in bulk: say a mass, such as 120 kg");
    if (bags == 0 || (bags == SG_UNKNOWN && !(mass > 0)))
        status = sg_fail(error, SG_BAD_DATA, "a fill is 1 bag or more, or a mass above 0");
    if (status == SG_OK) {
        double out = bags != SG_UNKNOWN ? bags : machine->bag > 0 ? ceil(mass / machine->bag - 1e-9) : 0;
        double left = fmax(0, machine->bags_in_stock - out);
        fill_words(&desk->held.shop, bags, mass, noted->words, sizeof noted->words);
        sg_key_write(&desk->held.shop, (struct sg_target){SG_KIND_MACHINE, 0}, edit.key, sizeof edit.key);
        snprintf(edit.assignment, sizeof edit.assignment, "bags_in_stock=%.0f", left);
        status = sg_desk_edit(desk, &edit, 1, &change, &clash, NULL, 0, error);
    }
    record.what = SG_RECORD_FILL;
    record.at = at;
    record.count = bags;
    record.mass = bags == SG_UNKNOWN ? mass : (double)NAN;
    if (status == SG_OK)
        status = sg_desk_add_record(desk, &record, error);
    return sg_desk_end_act(desk, status, noted, error);
}
