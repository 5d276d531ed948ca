/* Reading the log: pieces, and which clocks cut them. */
#include "actual_inside.h"

#include <string.h>

/* Whether a clock cut the stock of a part, by their texts. */
static bool is_of(const struct sg_clock *clock, const char *part)
{
    size_t length = strlen(clock->place);
    return clock->phase == SG_PHASE_CUT && length > 0 && strncmp(part, clock->place, length) == 0 &&
           part[length] == '/';
}

/* The clock of the part's stock that ran, or ran last, at a moment. One that starts just then has cut nothing
 * yet: it is taken only where there is no other. */
static int32_t clock_at(struct sg_log_reading *log, const char *part, int64_t at)
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

/* n pieces more or, below 0, fewer. Where all are taken back nobody counted any. */
static void book(struct sg_log_reading *log, int32_t index, const struct sg_record *record, int64_t good,
                 int64_t scrapped)
{
    if (index == SG_UNKNOWN)
        return;
    struct sg_actual_clock *clock = &log->actual->clocks[index];
    double share = share_of(&log->shop->clocks[index], record->place);
    if (!clock->counted)
        clock->first_counted = record->at;
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

static void add_count(struct sg_log_reading *log, int32_t clock, const struct sg_record *record, int32_t part,
                      int64_t good, int64_t scrapped)
{
    enum sg_counted of = good > 0 ? SG_COUNTED_GOOD : SG_COUNTED_SCRAPPED;
    book(log, clock, record, good, scrapped);
    log->failed = !sg_counts_add(log->actual, of, part, clock, good + scrapped) || log->failed;
}

/* The last that were counted go first, from the clocks that cut them. Those that are moved stay with them. */
static void take_back(struct sg_log_reading *log, const struct sg_record *record, int32_t part,
                      enum sg_counted of, bool moved)
{
    int32_t clock;
    int64_t n = record->count, k;
    for (; (k = sg_counts_take(log->actual, of, part, n, &clock)) > 0; n -= k) {
        if (!moved) {
            book(log, clock, record, of == SG_COUNTED_GOOD ? -k : 0, of == SG_COUNTED_GOOD ? 0 : -k);
            continue;
        }
        log->failed = !sg_counts_add(log->actual, SG_COUNTED_SCRAPPED, part, clock, k) || log->failed;
        if (clock != SG_UNKNOWN) {
            log->actual->clocks[clock].good -= k;
            log->actual->clocks[clock].scrapped += k;
        }
    }
}

/* Whether a cut is over and nobody counted it while it ran: then it is counted late. */
static bool is_late(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    return !c->running && shop->clocks[clock].lies[0] && (!c->counted || c->first_counted > c->until) &&
           !sg_actual_cut_short(shop, actual, clock) && !sg_actual_broke_off(shop, actual, clock);
}

int32_t sg_actual_counts_from(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t oldest = clock;
    for (int32_t i = clock;
         (i = sg_actual_cut_before(shop, actual, i)) != SG_UNKNOWN && is_late(shop, actual, i);)
        oldest = i;
    return oldest;
}

/* Pieces of a part that lie on a cut and are not counted to it. */
static int64_t uncounted_on(const struct sg_log_reading *log, int32_t clock, const char *place, int32_t part)
{
    struct sg_lies lies;
    const struct sg_clock *cut = &log->shop->clocks[clock];
    if (cut->phase != SG_PHASE_CUT || !sg_lies_find(cut, place + strlen(cut->place) + 1, &lies))
        return 0;
    int64_t left = lies.pieces - sg_actual_counted(log->actual, clock, part);
    return left > 0 ? left : 0;
}

/* Good pieces go to the clock that cuts when they are counted, but to those before it that are counted late
 * first. Returns how many are left to count. */
static int64_t count_late(struct sg_log_reading *log, const struct sg_record *record, int32_t clock,
                          int32_t part)
{
    const struct sg_actual *actual = log->actual;
    int64_t n = record->count;
    for (int32_t i = sg_actual_counts_from(log->shop, actual, clock); i != clock && n > 0;
         i = actual->clocks[i].next) {
        int64_t there = uncounted_on(log, i, record->place, part);
        int64_t taken = there < n ? there : n;
        if (taken > 0)
            add_count(log, i, record, part, taken, 0);
        n -= taken;
    }
    return n;
}

static void count_to_clock(struct sg_log_reading *log, const struct sg_record *record, int32_t part,
                           int64_t good, int64_t scrapped)
{
    enum sg_counted of = good != 0 ? SG_COUNTED_GOOD : SG_COUNTED_SCRAPPED;
    if (is_move(log->shop, log->record - 1))
        return;
    if (good + scrapped < 0) {
        take_back(log, record, part, of, is_move(log->shop, log->record));
        return;
    }
    int32_t clock = clock_at(log, record->place, record->at);
    int64_t n = clock == SG_UNKNOWN || good == 0 ? record->count : count_late(log, record, clock, part);
    if (n > 0)
        add_count(log, clock, record, part, good > 0 ? n : 0, good > 0 ? 0 : n);
}

/* That there are more than some parts ask for is told as it is now, once. */
void sg_actual_forget_more(struct sg_actual *actual, int32_t first_part, int32_t n_parts)
{
    int32_t n = 0;
    for (int32_t i = 0; i < actual->n_remarks; i++) {
        const struct sg_actual_remark *remark = &actual->remarks[i];
        if (remark->odd != SG_ODD_MORE || remark->part < first_part || remark->part >= first_part + n_parts)
            actual->remarks[n++] = *remark;
    }
    actual->n_remarks = n;
}

static void count(struct sg_log_reading *log, const struct sg_record *record, int64_t good, int64_t scrapped)
{
    int32_t index = sg_part_index_find(&log->index, record->place);
    if (index == SG_UNKNOWN) {
        sg_actual_say_here(log, SG_ODD_NO_ROW);
        return;
    }
    struct sg_actual_part *part = &log->actual->parts[index];
    int32_t quantity = log->shop->parts[index].quantity;
    count_to_clock(log, record, index, good, scrapped);
    if (good != 0 && part->left_good > quantity)
        sg_actual_forget_more(log->actual, index, 1);
    part->good += good;
    part->scrapped += scrapped;
    part->left_good += good;
    part->left_scrapped += scrapped;
    if (good != 0 && part->left_good > quantity) {
        struct sg_actual_remark *remark = sg_actual_say_here(log, SG_ODD_MORE);
        remark->part = index;
        remark->amount = (double)(part->left_good - quantity);
    } else if (part->good < 0 || part->scrapped < 0) {
        sg_actual_say_here(log, SG_ODD_LESS)->part = index;
    }
}

void sg_actual_count(struct sg_log_reading *log, const struct sg_record *record)
{
    int64_t n = record->count;
    if (record->count == SG_UNKNOWN) {
        sg_actual_say_here(log, SG_ODD_NO_COUNT);
        return;
    }
    bool back = record->what == SG_RECORD_NOT_DONE || record->what == SG_RECORD_NOT_SCRAP;
    bool good = record->what == SG_RECORD_DONE || record->what == SG_RECORD_NOT_DONE;
    n = back ? -n : n;
    count(log, record, good ? n : 0, good ? 0 : n);
}
