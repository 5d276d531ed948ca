/* The log in order of time, and its rows in words. */
#include "actual_inside.h"

#include <stdio.h>

const char *sg_phase_word(int32_t phase)
{
    static const char *const words[] = {
        [SG_PHASE_CUT] = "cut", [SG_PHASE_LOAD] = "load", [SG_PHASE_CHECK] = "first check"};
    return words[phase];
}

const char *sg_record_word(int32_t what)
{
    static const char *const words[SG_RECORD_WHATS] = {[SG_RECORD_STOP] = "clock stopped",
                                                       [SG_RECORD_PAUSE] = "machine stands",
                                                       [SG_RECORD_RESUME] = "machine goes on",
                                                       [SG_RECORD_DONE] = "done",
                                                       [SG_RECORD_SCRAP] = "scrapped",
                                                       [SG_RECORD_FILL] = "filled",
                                                       [SG_RECORD_LEVEL] = "hopper read",
                                                       [SG_RECORD_WEIGH] = "feed weighed",
                                                       [SG_RECORD_TUBE] = "tube changed",
                                                       [SG_RECORD_ORIFICE] = "orifice changed",
                                                       [SG_RECORD_SERVICE] = "service done",
                                                       [SG_RECORD_NOTE] = "note",
                                                       [SG_RECORD_CLOSE] = "shift closed",
                                                       [SG_RECORD_MOVED] = "moved with what was left",
                                                       [SG_RECORD_NOT_DONE] = "done, taken back",
                                                       [SG_RECORD_NOT_SCRAP] = "scrapped, taken back"};
    return words[what];
}

void sg_record_amount(const struct sg_shop *shop, const struct sg_record *record, char *out, size_t size)
{
    const struct sg_unit *mass = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    const struct sg_unit *feed = sg_unit_of_shop(SG_DIM_GARNET_FEED, shop->units);
    char number[60];
    out[0] = '\0';
    if (sg_known(record->mass)) {
        sg_number_short(record->mass, mass, 2, number, sizeof number);
        snprintf(out, size, " %s %s", number, mass->name);
    } else if (sg_known(record->feed)) {
        sg_number_short(record->feed, feed, 3, number, sizeof number);
        snprintf(out, size, " %s %s", number, feed->name);
    } else if (record->count != SG_UNKNOWN && record->what == SG_RECORD_FILL) {
        snprintf(out, size, " %d bag%s", record->count, record->count == 1 ? "" : "s");
    } else if (record->count != SG_UNKNOWN) {
        snprintf(out, size, " %d", record->count);
    }
}

const struct sg_actual_pause *sg_actual_pause_of(const struct sg_actual *actual, int32_t record)
{
    for (int32_t i = 0; i < actual->n_pauses; i++)
        if (actual->pauses[i].record == record)
            return &actual->pauses[i];
    return NULL;
}

static bool is_record_first(const struct sg_shop *shop, int32_t record, int32_t clock)
{
    const struct sg_record *r = &shop->records[record];
    if (r->at != shop->clocks[clock].at)
        return r->at < shop->clocks[clock].at;
    return sg_actual_ends_first(shop, record);
}

bool sg_log_next(struct sg_log_walk *w, int32_t *clock, int32_t *record)
{
    const struct sg_shop *shop = w->shop;
    while (w->clock < shop->n_clocks &&
           (shop->clocks[w->clock].at < w->from || (w->only && !w->only->clocks[w->clock])))
        w->clock++;
    while (w->record < shop->n_records &&
           (shop->records[w->record].at < w->from || (w->only && !w->only->records[w->record])))
        w->record++;
    bool records = w->record < shop->n_records && shop->records[w->record].at < w->until;
    bool clocks = w->clock < shop->n_clocks && shop->clocks[w->clock].at < w->until;
    bool is_record = records && (!clocks || is_record_first(shop, w->record, w->clock));
    *record = is_record ? w->record++ : SG_UNKNOWN;
    *clock = clocks && !is_record ? w->clock++ : SG_UNKNOWN;
    return records || clocks;
}
