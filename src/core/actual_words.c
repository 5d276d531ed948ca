/* What was mended in the log, in words. */
#include "actual_inside.h"

#include <stdio.h>
#include <string.h>

enum { CLOCK = 40 };

/* 11:43, of another day 2026-12-01 11:43 */
static const char *clock_text(int64_t at, bool dated, char *out)
{
    size_t used = 0;
    if (dated) {
        sg_date_format((int32_t)sg_day_of(at), out, CLOCK);
        used = strlen(out);
        out[used++] = ' ';
    }
    sg_time_format((int32_t)((at - sg_day_of(at) * SG_DAY_S) / 60 * 60), out + used, CLOCK - used);
    return out;
}

static const char *record_word(const struct sg_shop *shop, int32_t record)
{
    return record == SG_UNKNOWN ? "" : sg_words_record[shop->records[record].what];
}

int sg_actual_remark_text(const struct sg_shop *shop, const struct sg_actual_remark *r, char *out,
                          size_t size)
{
    char at[CLOCK], kg[32];
    const char *place = r->record == SG_UNKNOWN ? "" : shop->records[r->record].place;
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    clock_text(r->at, r->dated, at);
    switch (r->odd) {
    case SG_ODD_MENDED:
        if (r->counted)
            return snprintf(out, size, "clock on %.200s ended at %s, when all its pieces were counted",
                            shop->clocks[r->clock].place, at);
        return snprintf(out, size, "clock on %.200s ended at %s, where %.200s started",
                        shop->clocks[r->clock].place, at, shop->clocks[r->other].place);
    case SG_ODD_STOP:
        return snprintf(out, size, "stop at %s: no clock was running", at);
    case SG_ODD_PAUSE_TWICE:
        return snprintf(out, size, "pause at %s: it stood already, from then on for this reason", at);
    case SG_ODD_PAUSE_ALONE:
        return snprintf(out, size, "pause at %s: no clock was running", at);
    case SG_ODD_RESUME:
        return snprintf(out, size, "resume at %s: it was not paused", at);
    case SG_ODD_NO_ROW:
        return snprintf(out, size, "%s at %s: there is no part %.200s any more", record_word(shop, r->record),
                        at, place);
    case SG_ODD_MORE:
        return snprintf(out, size, "%.200s: %.0f more done than asked for", place, r->amount);
    case SG_ODD_LESS:
        return snprintf(out, size, "%.200s: more taken back than was noted", place);
    case SG_ODD_NO_COUNT:
        return snprintf(out, size, "%s at %s: no number, nothing is counted", record_word(shop, r->record),
                        at);
    case SG_ODD_OVERFULL:
    case SG_ODD_EMPTY:
        sg_number_format(r->amount, unit, 1, kg, sizeof kg);
        return snprintf(out, size,
                        r->odd == SG_ODD_OVERFULL
                            ? "the hopper would hold %s %s more than it can: read the level"
                            : "the hopper would be empty by %s %s: read the level",
                        kg, unit->name);
    case SG_ODD_UNCOUNTED:
        return snprintf(out, size, "%.200s sheet %d, cut from %s: nothing is counted, it is taken as cut",
                        shop->clocks[r->clock].place, shop->clocks[r->clock].sheet, at);
    }
    return snprintf(out, size, "%s", "");
}
