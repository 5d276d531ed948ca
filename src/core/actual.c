/* Reading the log: clocks, pauses, pieces. */
#include "actual_inside.h"

#include "sandglass/key.h"

#include <string.h>

/* ---- rows by the texts of the log ---- */

static int32_t find_row(const struct sg_shop *shop, const char *key, enum sg_kind kind)
{
    struct sg_target target;
    bool found = sg_key_find(shop, key, &target, NULL) == SG_OK && target.kind == kind;
    return found ? target.index : SG_UNKNOWN;
}

int32_t sg_actual_stock(const struct sg_shop *shop, const char *place)
{
    return find_row(shop, place, SG_KIND_STOCK);
}

int32_t sg_actual_part_of(const struct sg_shop *shop, const char *place)
{
    return find_row(shop, place, SG_KIND_PART);
}

/* ---- the log ---- */

struct sg_actual_remark *sg_actual_say(struct sg_actual *actual, enum sg_actual_odd odd, int64_t at)
{
    struct sg_actual_remark *remark = &actual->remarks[actual->n_remarks++];
    *remark = (struct sg_actual_remark){.odd = odd,
                                        .clock = SG_UNKNOWN,
                                        .record = SG_UNKNOWN,
                                        .part = SG_UNKNOWN,
                                        .other = SG_UNKNOWN,
                                        .at = at,
                                        .dated = sg_day_of(at) != sg_day_of(actual->now)};
    return remark;
}

struct sg_actual_remark *sg_actual_say_here(struct sg_log_reading *log, enum sg_actual_odd odd)
{
    struct sg_actual_remark *remark = sg_actual_say(log->actual, odd, log->shop->records[log->record].at);
    remark->record = log->record;
    return remark;
}

static void end_pause(struct sg_log_reading *log, int64_t at)
{
    if (log->pause == SG_UNKNOWN)
        return;
    struct sg_actual_pause *pause = &log->actual->pauses[log->pause];
    pause->until = at;
    pause->open = false;
    if (pause->clock != SG_UNKNOWN)
        log->actual->clocks[pause->clock].paused += (double)(at - pause->from);
    log->pause = SG_UNKNOWN;
}

static void end_clock(struct sg_log_reading *log, int64_t at)
{
    end_pause(log, at);
    if (log->actual->running == SG_UNKNOWN)
        return;
    struct sg_actual_clock *clock = &log->actual->clocks[log->actual->running];
    clock->until = at;
    clock->running = false;
    log->actual->running = SG_UNKNOWN;
}

/* A load, its cut and its check follow one another without a stop: nobody forgot one. */
static bool follows(const struct sg_clock *before, const struct sg_clock *next)
{
    return before->phase != next->phase && strcmp(before->place, next->place) == 0;
}

/* Nobody noted the end of what runs. All its pieces were counted by then, or it ends where the next starts.
 */
static int64_t end_of_forgotten(struct sg_log_reading *log, int64_t at)
{
    struct sg_actual *actual = log->actual;
    bool counted = sg_actual_all_counted(log->shop, actual, actual->running);
    int64_t end = counted ? actual->clocks[actual->running].counted_at : at;
    struct sg_actual_remark *remark = sg_actual_say(actual, SG_ODD_MENDED, end);
    remark->clock = actual->running;
    remark->other = log->clock;
    remark->counted = counted;
    actual->clocks[actual->running].mended = true;
    return end;
}

static void start_clock(struct sg_log_reading *log)
{
    struct sg_actual *actual = log->actual;
    const struct sg_clock *next = &log->shop->clocks[log->clock];
    int64_t at = next->at;
    bool forgotten = actual->running != SG_UNKNOWN && !follows(&log->shop->clocks[actual->running], next);
    end_clock(log, forgotten ? end_of_forgotten(log, at) : at);
    int32_t *last = &log->last_of_place[log->places[log->clock]], previous = *last;
    *last = log->clock;
    if (previous != SG_UNKNOWN)
        actual->clocks[previous].next = log->clock;
    actual->clocks[log->clock] =
        (struct sg_actual_clock){.from = at,
                                 .until = actual->now,
                                 .good_at = at,
                                 .happened = true,
                                 .running = true,
                                 .stop = SG_UNKNOWN,
                                 .previous = previous,
                                 .next = SG_UNKNOWN,
                                 .stock = previous == SG_UNKNOWN ? sg_actual_stock(log->shop, next->place)
                                                                 : actual->clocks[previous].stock,
                                 .first_pause = actual->n_pauses,
                                 .share = next->lies[0] ? 0 : (double)NAN,
                                 .garnet_used = (double)NAN,
                                 .weighed = (double)NAN};
    actual->running = actual->last = log->clock;
}

static void start_pause(struct sg_log_reading *log, int64_t at)
{
    struct sg_actual *actual = log->actual;
    if (actual->running == SG_UNKNOWN)
        sg_actual_say_here(log, SG_ODD_PAUSE_ALONE);
    else if (log->pause != SG_UNKNOWN)
        sg_actual_say_here(log, SG_ODD_PAUSE_TWICE);
    end_pause(log, at);
    log->pause = actual->n_pauses;
    actual->pauses[actual->n_pauses++] = (struct sg_actual_pause){
        .from = at, .until = actual->now, .clock = actual->running, .record = log->record, .open = true};
    if (actual->running != SG_UNKNOWN)
        actual->clocks[actual->running].n_pauses++;
}

static void resume(struct sg_log_reading *log, int64_t at)
{
    if (log->pause == SG_UNKNOWN)
        sg_actual_say_here(log, SG_ODD_RESUME);
    end_pause(log, at);
}

static void stop(struct sg_log_reading *log, int64_t at)
{
    if (log->actual->running == SG_UNKNOWN)
        sg_actual_say_here(log, SG_ODD_STOP);
    else
        log->actual->clocks[log->actual->running].stop = log->record;
    end_clock(log, at);
}

/* ---- other records ---- */

/* A job moved with what was left of it: that is what its parts ask for now. */
static void move_job(struct sg_log_reading *log, const struct sg_record *record)
{
    int32_t index = find_row(log->shop, record->place, SG_KIND_JOB);
    if (index == SG_UNKNOWN)
        return;
    const struct sg_job *job = &log->shop->jobs[index];
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++) {
        const struct sg_stock *stock = &log->shop->stocks[i];
        bool on;
        sg_actual_forget_more(log->actual, stock->first_part, stock->n_parts);
        log->actual->moved_loads[i] = sg_actual_next_sheet(log->shop, log->actual, i, &on) - 1;
        for (int32_t k = stock->first_part; k < stock->first_part + stock->n_parts; k++)
            log->actual->parts[k].left_good = log->actual->parts[k].left_scrapped = 0;
    }
}

/* A feed belongs to the cut during which it was weighed; between cuts, to the next of its head. */
static void weigh(struct sg_log_reading *log, const struct sg_record *record)
{
    int32_t running = log->actual->running, head = sg_find_head(log->shop, record->place);
    bool cuts = running != SG_UNKNOWN && log->shop->clocks[running].phase == SG_PHASE_CUT;
    if (cuts && strcmp(log->shop->clocks[running].head, record->place) == 0)
        log->actual->clocks[running].weighed = record->feed;
    else if (!cuts && head != SG_UNKNOWN)
        log->weighed[head] = record->feed;
}

static void take_weighed(struct sg_log_reading *log, int32_t clock)
{
    int32_t head = sg_find_head(log->shop, log->shop->clocks[clock].head);
    if (head == SG_UNKNOWN || log->shop->clocks[clock].phase != SG_PHASE_CUT)
        return;
    log->actual->clocks[clock].weighed = log->weighed[head];
    log->weighed[head] = (double)NAN;
}

static void read_record(struct sg_log_reading *log)
{
    const struct sg_record *record = &log->shop->records[log->record];
    switch (record->what) {
    case SG_RECORD_STOP:
        stop(log, record->at);
        break;
    case SG_RECORD_PAUSE:
        start_pause(log, record->at);
        break;
    case SG_RECORD_RESUME:
        resume(log, record->at);
        break;
    case SG_RECORD_DONE:
    case SG_RECORD_SCRAP:
    case SG_RECORD_NOT_DONE:
    case SG_RECORD_NOT_SCRAP:
        sg_actual_count(log, record);
        break;
    case SG_RECORD_WEIGH:
        weigh(log, record);
        break;
    case SG_RECORD_MOVED:
        move_job(log, record);
        break;
    default: /* what goes into the hopper and onto the counters is read when the clocks are known */
        break;
    }
}

/* ---- in order ---- */

bool sg_actual_ends_first(const struct sg_shop *shop, int32_t record)
{
    int64_t at = shop->records[record].at;
    for (; record < shop->n_records && shop->records[record].at == at; record++)
        if (shop->records[record].what == SG_RECORD_STOP || shop->records[record].what == SG_RECORD_RESUME)
            return true;
    return false;
}

/* Whether the next record comes before the next clock. */
static bool is_record_next(const struct sg_log_reading *log, bool records, bool clocks)
{
    if (!records || !clocks)
        return records;
    const struct sg_record *record = &log->shop->records[log->record];
    int64_t at = log->shop->clocks[log->clock].at;
    return record->at < at || (record->at == at && log->actual->running != SG_UNKNOWN &&
                               sg_actual_ends_first(log->shop, log->record));
}

static void read_log(struct sg_log_reading *log)
{
    const struct sg_shop *shop = log->shop;
    for (;;) {
        bool records = log->record < shop->n_records && shop->records[log->record].at <= log->actual->now;
        bool clocks = log->clock < shop->n_clocks && shop->clocks[log->clock].at <= log->actual->now;
        if (!records && !clocks)
            break;
        if (is_record_next(log, records, clocks)) {
            read_record(log);
            log->record++;
        } else {
            start_clock(log);
            take_weighed(log, log->clock++);
        }
    }
    log->actual->paused = log->pause != SG_UNKNOWN;
    if (log->actual->paused && log->actual->pauses[log->pause].clock != SG_UNKNOWN) {
        const struct sg_actual_pause *pause = &log->actual->pauses[log->pause];
        log->actual->clocks[pause->clock].paused += (double)(log->actual->now - pause->from);
    }
}

/* ---- since when ---- */

/* The first clock of the open shift counts, if it is not too early. */
static int64_t start_of_open_shift(const struct sg_shop *shop, int64_t now)
{
    int32_t open = sg_plan_default_shift(shop);
    if (open == SG_UNKNOWN || shop->shifts[open].date == SG_NO_DATE)
        return now;
    int64_t start = (int64_t)shop->shifts[open].date * SG_DAY_S + shop->shifts[open].start;
    for (int32_t i = 0; i < shop->n_clocks && shop->clocks[i].at < start; i++) {
        int32_t stock = shop->clocks[i].at < start - SG_EARLY_S
                            ? SG_UNKNOWN
                            : sg_actual_stock(shop, shop->clocks[i].place);
        if (stock != SG_UNKNOWN && shop->jobs[shop->stocks[stock].job].shift == open)
            return shop->clocks[i].at;
    }
    return start;
}

static int64_t since(const struct sg_shop *shop, int64_t now, int32_t *record)
{
    for (int32_t i = shop->n_records - 1; i >= 0; i--)
        if (shop->records[i].what == SG_RECORD_CLOSE && shop->records[i].at <= now) {
            *record = i;
            return shop->records[i].at;
        }
    *record = SG_UNKNOWN;
    return start_of_open_shift(shop, now);
}

/* ---- all of it ---- */

static bool make_room(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual *out)
{
    size_t clocks = (size_t)shop->n_clocks, records = (size_t)shop->n_records;
    out->clocks = sg_arena_take(arena, (clocks + 1) * sizeof *out->clocks);
    out->parts = sg_arena_take(arena, ((size_t)shop->n_parts + 1) * sizeof *out->parts);
    out->moved_loads = sg_arena_take(arena, ((size_t)shop->n_stocks + 1) * sizeof *out->moved_loads);
    out->heads = sg_arena_take(arena, ((size_t)shop->n_heads + 1) * sizeof *out->heads);
    out->chores = sg_arena_take(arena, ((size_t)shop->n_chores + 1) * sizeof *out->chores);
    out->chore_days = sg_arena_take(arena, ((size_t)shop->n_chores + 1) * sizeof *out->chore_days);
    out->pauses = sg_arena_take(arena, (records + 1) * sizeof *out->pauses);
    out->remarks = sg_arena_take(arena, (2 * clocks + records + 2) * sizeof *out->remarks);
    return out->clocks && out->parts && out->moved_loads && out->heads && out->chores && out->chore_days &&
           out->pauses && out->remarks;
}

static bool make_places(struct sg_log_reading *log, struct sg_arena *arena)
{
    size_t clocks = (size_t)log->shop->n_clocks + 1;
    log->places = sg_places_make(log->shop, arena);
    log->last_of_place = sg_arena_take(arena, clocks * sizeof *log->last_of_place);
    for (int32_t i = 0; log->last_of_place && i < log->shop->n_clocks; i++)
        log->last_of_place[i] = SG_UNKNOWN;
    return log->places && log->last_of_place;
}

/* Cuts since the log's start of which nobody counted anything, once another was clocked. */
static void say_uncounted(struct sg_log_reading *log)
{
    struct sg_actual *actual = log->actual;
    for (int32_t i = 0; i < actual->last; i++)
        if (actual->clocks[i].from >= actual->since && log->shop->clocks[i].lies[0] &&
            sg_actual_uncounted(log->shop, actual, i))
            sg_actual_say(actual, SG_ODD_UNCOUNTED, actual->clocks[i].from)->clock = i;
}

/* Clocks that have not happened belong to no others. */
static void clear_clocks(const struct sg_shop *shop, struct sg_actual *out)
{
    for (int32_t i = 0; i < shop->n_clocks; i++)
        out->clocks[i] = (struct sg_actual_clock){
            .stock = SG_UNKNOWN, .previous = SG_UNKNOWN, .next = SG_UNKNOWN, .stop = SG_UNKNOWN};
}

bool sg_actual_make(const struct sg_shop *shop, int64_t now, struct sg_arena *arena, struct sg_actual *out)
{
    *out = (struct sg_actual){.now = now, .running = SG_UNKNOWN, .last = SG_UNKNOWN};
    out->since = since(shop, now, &out->since_record);
    struct sg_log_reading log = {.shop = shop, .actual = out, .pause = SG_UNKNOWN};
    log.weighed = sg_arena_take(arena, ((size_t)shop->n_heads + 1) * sizeof *log.weighed);
    if (!log.weighed || !make_room(shop, arena, out) || !sg_part_index_make(shop, arena, &log.index) ||
        !sg_counts_make(shop, arena, &out->counts) || !make_places(&log, arena))
        return false;
    for (int32_t i = 0; i < shop->n_heads; i++)
        log.weighed[i] = (double)NAN;
    clear_clocks(shop, out);
    read_log(&log);
    say_uncounted(&log);
    return !log.failed && sg_actual_used(shop, arena, out);
}
