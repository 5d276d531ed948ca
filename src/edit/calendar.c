/* The one place that asks the time zone what a local time is. */
#include "edit/desk.h"
#include "sandglass/rules.h"

#include <string.h>

/* What the clock on the wall shows at an epoch, in seconds since 1970-01-01 00:00. */
static double wall_at(time_t epoch)
{
    struct tm local = {0};
    localtime_r(&epoch, &local);
    return (double)sg_date_days(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday) * SG_DAY_S +
           local.tm_hour * 3600 + local.tm_min * 60 + local.tm_sec;
}

/* The first moment from `early` on at which the wall shows that time or a later one. */
static time_t first_showing(double wall, time_t early, time_t late)
{
    while (early < late) {
        time_t middle = early + (late - early) / 2;
        if (wall_at(middle) < wall)
            early = middle + 1;
        else
            late = middle;
    }
    return late;
}

/* Seconds since the epoch of a local time. Of one that comes twice the first is meant; one that a clock
 * change leaves out is the moment of the change, so that a later local time is never an earlier moment. */
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
    double wall = (double)days * SG_DAY_S + seconds;
    time_t epoch = mktime(&local), before = epoch - SG_DAY_S / 2;
    if (wall_at(epoch) != wall)
        return (double)first_showing(wall, epoch - SG_DAY_S, epoch + SG_DAY_S);
    time_t early = (time_t)(wall - (wall_at(before) - (double)before)); /* by the offset of half a day ago */
    return (double)(early < epoch && wall_at(early) == wall ? early : epoch);
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
        double from_s = epoch_of(date, shift->start + from) - calendar->epoch;
        double to_s = epoch_of(date, shift->start + to) - calendar->epoch;
        if (from_s >= to_s)
            continue; /* the clock change of that night leaves the whole break out */
        calendar->breaks[calendar->n_breaks].from_s = from_s;
        calendar->breaks[calendar->n_breaks++].to_s = to_s;
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
