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

struct log {
    const struct sg_shop *shop;
    struct sg_actual *actual;
    int32_t clock, record; /* that come next */
    int32_t pause;         /* that lasts, else SG_UNKNOWN */
    double *weighed;       /* feed of each head that no cut has yet; NaN */
    struct sg_counts counts;
    struct sg_part_index index;
};

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

/* A remark about the record that is read. */
static struct sg_actual_remark *say(struct log *log, enum sg_actual_odd odd)
{
    struct sg_actual_remark *remark = sg_actual_say(log->actual, odd, log->shop->records[log->record].at);
    remark->record = log->record;
    return remark;
}

static void end_pause(struct log *log, int64_t at)
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

static void end_clock(struct log *log, int64_t at)
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
static int64_t end_of_forgotten(struct log *log, int64_t at)
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

static void start_clock(struct log *log)
{
    struct sg_actual *actual = log->actual;
    const struct sg_clock *next = &log->shop->clocks[log->clock];
    int64_t at = next->at;
    bool forgotten = actual->running != SG_UNKNOWN && !follows(&log->shop->clocks[actual->running], next);
    end_clock(log, forgotten ? end_of_forgotten(log, at) : at);
    actual->clocks[log->clock] = (struct sg_actual_clock){.from = at,
                                                          .until = actual->now,
                                                          .good_at = at,
                                                          .happened = true,
                                                          .running = true,
                                                          .stop = SG_UNKNOWN,
                                                          .first_pause = actual->n_pauses,
                                                          .share = next->lies[0] ? 0 : (double)NAN,
                                                          .garnet_used = (double)NAN,
                                                          .weighed = (double)NAN};
    actual->running = actual->last = log->clock;
}

static void start_pause(struct log *log, int64_t at)
{
    struct sg_actual *actual = log->actual;
    if (actual->running == SG_UNKNOWN)
        say(log, SG_ODD_PAUSE_ALONE);
    else if (log->pause != SG_UNKNOWN)
        say(log, SG_ODD_PAUSE_TWICE);
    end_pause(log, at);
    log->pause = actual->n_pauses;
    actual->pauses[actual->n_pauses++] = (struct sg_actual_pause){
        .from = at, .until = actual->now, .clock = actual->running, .record = log->record, .open = true};
    if (actual->running != SG_UNKNOWN)
        actual->clocks[actual->running].n_pauses++;
}

static void resume(struct log *log, int64_t at)
{
    if (log->pause == SG_UNKNOWN)
        say(log, SG_ODD_RESUME);
    end_pause(log, at);
}

static void stop(struct log *log, int64_t at)
{
    if (log->actual->running == SG_UNKNOWN)
        say(log, SG_ODD_STOP);
    else
        log->actual->clocks[log->actual->running].stop = log->record;
    end_clock(log, at);
}

/* ---- pieces ---- */

/* Whether a clock cut the stock of a part, by their texts. */
static bool is_of(const struct sg_clock *clock, const char *part)
{
    size_t length = strlen(clock->place);
    return clock->phase == SG_PHASE_CUT && length > 0 && strncmp(part, clock->place, length) == 0 &&
           part[length] == '/';
}

/* The clock of the part's stock that ran, or ran last, at a moment. One that starts just then has cut nothing
 * yet: it is taken only where there is no other. */
static int32_t clock_at(struct log *log, const char *part, int64_t at)
{
    int32_t starting = SG_UNKNOWN;
    for (int32_t i = log->clock - 1; i >= 0; i--) {
        if (!is_of(&log->shop->clocks[i], part))
            continue;
        if (log->actual->clocks[i].from < at)
            return i;
        starting = i;
    }
    return starting;
}

/* Pieces that were good and are found to be spoilt are taken back and scrapped in one moment: two records. */
static bool is_move(const struct sg_shop *shop, int32_t record)
{
    const struct sg_record *back = record < 0 ? NULL : &shop->records[record];
    if (!back || record + 1 >= shop->n_records)
        return false;
    return back->what == SG_RECORD_NOT_DONE && back[1].what == SG_RECORD_SCRAP && back->at == back[1].at &&
           back->count == back[1].count && strcmp(back->place, back[1].place) == 0;
}

/* Of a clock's plan that one piece of a part has. What should not lie there has as much as the mean of those
 * that do. */
static double share_of(const struct sg_clock *clock, const char *part)
{
    struct sg_lies lies;
    if (sg_lies_find(clock, part + strlen(clock->place) + 1, &lies))
        return lies.share;
    return clock->pieces > 0 ? 1.0 / clock->pieces : 0;
}

/* More or, below 0, fewer. Where all are taken back nobody counted any. */
static void book(struct log *log, int32_t index, const struct sg_record *record, int64_t good,
                 int64_t scrapped)
{
    if (index == SG_UNKNOWN)
        return;
    struct sg_actual_clock *clock = &log->actual->clocks[index];
    double share = share_of(&log->shop->clocks[index], record->place);
    clock->share += (double)(good + scrapped) * share;
    clock->spoilt = good > 0 ? 0 : clock->spoilt + (double)scrapped * share;
    clock->good += good;
    clock->scrapped += scrapped;
    clock->counted = clock->good + clock->scrapped > 0;
    if (good + scrapped > 0)
        clock->counted_at = record->at;
    if (good > 0 || !clock->counted)
        clock->good_at = good > 0 ? record->at : clock->from;
}

/* The last that were counted go first, from the clocks that cut them. Those that are moved stay with them. */
static void take_back(struct log *log, const struct sg_record *record, int32_t part, enum sg_counted of,
                      bool moved)
{
    int32_t clock;
    int64_t n = record->count, k;
    for (; (k = sg_counts_take(&log->counts, of, part, n, &clock)) > 0; n -= k) {
        if (!moved) {
            book(log, clock, record, of == SG_COUNTED_GOOD ? -k : 0, of == SG_COUNTED_GOOD ? 0 : -k);
            continue;
        }
        sg_counts_add(&log->counts, SG_COUNTED_SCRAPPED, part, clock, k);
        if (clock != SG_UNKNOWN) {
            log->actual->clocks[clock].good -= k;
            log->actual->clocks[clock].scrapped += k;
        }
    }
}

static void count_to_clock(struct log *log, const struct sg_record *record, int32_t part, int64_t good,
                           int64_t scrapped)
{
    enum sg_counted of = good != 0 ? SG_COUNTED_GOOD : SG_COUNTED_SCRAPPED;
    if (is_move(log->shop, log->record - 1))
        return;
    if (good + scrapped < 0) {
        take_back(log, record, part, of, is_move(log->shop, log->record));
        return;
    }
    int32_t clock = clock_at(log, record->place, record->at);
    sg_counts_add(&log->counts, of, part, clock, good + scrapped);
    book(log, clock, record, good, scrapped);
}

/* That there are more than some parts ask for is told as it is now, once. */
static void forget_more(struct sg_actual *actual, int32_t first_part, int32_t n_parts)
{
    int32_t n = 0;
    for (int32_t i = 0; i < actual->n_remarks; i++) {
        const struct sg_actual_remark *remark = &actual->remarks[i];
        if (remark->odd != SG_ODD_MORE || remark->part < first_part || remark->part >= first_part + n_parts)
            actual->remarks[n++] = *remark;
    }
    actual->n_remarks = n;
}

static void count(struct log *log, const struct sg_record *record, int64_t good, int64_t scrapped)
{
    int32_t index = sg_part_index_find(&log->index, record->place);
    if (index == SG_UNKNOWN) {
        say(log, SG_ODD_NO_ROW);
        return;
    }
    struct sg_actual_part *part = &log->actual->parts[index];
    int32_t quantity = log->shop->parts[index].quantity;
    count_to_clock(log, record, index, good, scrapped);
    if (good != 0 && part->left_good > quantity)
        forget_more(log->actual, index, 1);
    part->good += good;
    part->scrapped += scrapped;
    part->left_good += good;
    part->left_scrapped += scrapped;
    if (good != 0 && part->left_good > quantity) {
        struct sg_actual_remark *remark = say(log, SG_ODD_MORE);
        remark->part = index;
        remark->amount = (double)(part->left_good - quantity);
    } else if (part->good < 0 || part->scrapped < 0) {
        say(log, SG_ODD_LESS)->part = index;
    }
}

static void count_pieces(struct log *log, const struct sg_record *record)
{
    int64_t n = record->count;
    if (record->count == SG_UNKNOWN) {
        say(log, SG_ODD_NO_COUNT);
        return;
    }
    bool back = record->what == SG_RECORD_NOT_DONE || record->what == SG_RECORD_NOT_SCRAP;
    bool good = record->what == SG_RECORD_DONE || record->what == SG_RECORD_NOT_DONE;
    n = back ? -n : n;
    count(log, record, good ? n : 0, good ? 0 : n);
}

/* A job moved with what was left of it: that is what its parts ask for now. */
static void move_job(struct log *log, const struct sg_record *record)
{
    int32_t index = find_row(log->shop, record->place, SG_KIND_JOB);
    if (index == SG_UNKNOWN)
        return;
    const struct sg_job *job = &log->shop->jobs[index];
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++) {
        const struct sg_stock *stock = &log->shop->stocks[i];
        bool on;
        forget_more(log->actual, stock->first_part, stock->n_parts);
        log->actual->moved_loads[i] = sg_actual_next_sheet(log->shop, log->actual, i, &on) - 1;
        for (int32_t k = stock->first_part; k < stock->first_part + stock->n_parts; k++)
            log->actual->parts[k].left_good = log->actual->parts[k].left_scrapped = 0;
    }
}

/* A feed belongs to the cut during which it was weighed; between cuts, to the next of its head. */
static void weigh(struct log *log, const struct sg_record *record)
{
    int32_t running = log->actual->running, head = sg_find_head(log->shop, record->place);
    bool cuts = running != SG_UNKNOWN && log->shop->clocks[running].phase == SG_PHASE_CUT;
    if (cuts && strcmp(log->shop->clocks[running].head, record->place) == 0)
        log->actual->clocks[running].weighed = record->feed;
    else if (!cuts && head != SG_UNKNOWN)
        log->weighed[head] = record->feed;
}

static void take_weighed(struct log *log, int32_t clock)
{
    int32_t head = sg_find_head(log->shop, log->shop->clocks[clock].head);
    if (head == SG_UNKNOWN || log->shop->clocks[clock].phase != SG_PHASE_CUT)
        return;
    log->actual->clocks[clock].weighed = log->weighed[head];
    log->weighed[head] = (double)NAN;
}

static void read_record(struct log *log)
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
        count_pieces(log, record);
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
static bool is_record_next(const struct log *log, bool records, bool clocks)
{
    if (!records || !clocks)
        return records;
    const struct sg_record *record = &log->shop->records[log->record];
    int64_t at = log->shop->clocks[log->clock].at;
    return record->at < at || (record->at == at && log->actual->running != SG_UNKNOWN &&
                               sg_actual_ends_first(log->shop, log->record));
}

static void read_log(struct log *log)
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
    out->remarks = sg_arena_take(arena, (clocks + records + 2) * sizeof *out->remarks);
    return out->clocks && out->parts && out->moved_loads && out->heads && out->chores && out->chore_days &&
           out->pauses && out->remarks;
}

bool sg_actual_make(const struct sg_shop *shop, int64_t now, struct sg_arena *arena, struct sg_actual *out)
{
    *out = (struct sg_actual){.now = now, .running = SG_UNKNOWN, .last = SG_UNKNOWN};
    out->since = since(shop, now, &out->since_record);
    struct log log = {.shop = shop, .actual = out, .pause = SG_UNKNOWN};
    log.weighed = sg_arena_take(arena, ((size_t)shop->n_heads + 1) * sizeof *log.weighed);
    if (!log.weighed || !make_room(shop, arena, out) || !sg_part_index_make(shop, arena, &log.index) ||
        !sg_counts_make(shop, arena, &log.counts))
        return false;
    for (int32_t i = 0; i < shop->n_heads; i++)
        log.weighed[i] = (double)NAN;
    read_log(&log);
    return sg_actual_used(shop, arena, out);
}
