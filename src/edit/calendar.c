/* The one place that asks the time zone what a local time is. */
#include "edit/desk.h"
#include "sandglass/rules.h"

#include <string.h>

/* Seconds since the epoch of a local time; a time that a clock change leaves out is the one that mktime takes
 * for it, of one that comes twice the first is meant. */
static double epoch_of(int32_t days, int32_t seconds)
{
    int year, month, day;
    days += seconds / SG_DAY_S;
    seconds %= SG_DAY_S;
    sg_date_split(days, &year, &month, &day);
    struct tm local = {.tm_year = year - 1900,
                       .tm_mon = month - 1,
                       .tm_mday = day,
                       .tm_hour = seconds / 3600,
                       .tm_min = seconds / 60 % 60,
                       .tm_sec = seconds % 60,
                       .tm_isdst = -1};
    struct tm summer = local;
    time_t epoch = mktime(&local);
    summer.tm_isdst = 1;
    time_t early = mktime(&summer);
    bool twice = local.tm_isdst == 0 && summer.tm_isdst == 1 && early < epoch &&
                 summer.tm_hour == local.tm_hour && summer.tm_min == local.tm_min;
    return (double)(twice ? early : epoch);
}

void sg_calendar_fill(struct sg_shift *shift)
{
    struct sg_calendar *calendar = &shift->calendar;
    memset(calendar, 0, sizeof *calendar);
    int32_t date = shift->date == SG_NO_DATE ? 0 : shift->date;
    calendar->epoch = epoch_of(date, shift->start);
    calendar->close_s = epoch_of(date, shift->start + sg_shift_length(shift)) - calendar->epoch;
    for (int i = 0; i < shift->n_breaks; i++) {
        int32_t from, to;
        if (!sg_break_in_shift(shift, &shift->breaks[i], &from, &to))
            continue;
        calendar->breaks[calendar->n_breaks].from_s = epoch_of(date, shift->start + from) - calendar->epoch;
        calendar->breaks[calendar->n_breaks++].to_s = epoch_of(date, shift->start + to) - calendar->epoch;
    }
}

double sg_moment_epoch(int64_t local_seconds)
{
    if (local_seconds == SG_NO_MOMENT)
        return (double)NAN;
    return epoch_of((int32_t)(local_seconds / SG_DAY_S), (int32_t)(local_seconds % SG_DAY_S));
}

void sg_calendar_fill_all(struct sg_shop *shop)
{
    for (int32_t i = 0; i < shop->n_shifts; i++)
        sg_calendar_fill(&shop->shifts[i]);
    for (int32_t i = 0; i < shop->n_jobs; i++)
        shop->jobs[i].due_epoch = sg_moment_epoch(shop->jobs[i].due);
}
