/* Seconds since the epoch as local times. */
#include "exchange/render.h"

#include <stdio.h>
#include <time.h>

static struct tm local_of(double epoch)
{
    time_t whole = (time_t)floor(epoch);
    struct tm local = {0};
    localtime_r(&whole, &local);
    return local;
}

/* Seconds by which local time is ahead of UTC. */
static int offset_of(double epoch, const struct tm *local)
{
    int32_t days = sg_date_days(local->tm_year + 1900, local->tm_mon + 1, local->tm_mday);
    double wall = (double)days * SG_DAY_S + local->tm_hour * 3600 + local->tm_min * 60 + local->tm_sec;
    return (int)(wall - floor(epoch));
}

int sg_iso_format(double epoch, char *out, size_t size)
{
    double rounded = floor(epoch * 1000 + 0.5) / 1000;
    int milliseconds = (int)((rounded - floor(rounded)) * 1000 + 0.5);
    if (milliseconds == 1000) {
        rounded = floor(rounded) + 1;
        milliseconds = 0;
    }
    struct tm t = local_of(rounded);
    int offset = offset_of(rounded, &t), ahead = offset < 0 ? -offset : offset;
    return snprintf(out, size, "%04d-%02d-%02dT%02d:%02d:%02d.%03d%c%02d:%02d", t.tm_year + 1900,
                    t.tm_mon + 1, t.tm_mday, t.tm_hour, t.tm_min, t.tm_sec, milliseconds,
                    offset < 0 ? '-' : '+', ahead / 3600, ahead / 60 % 60);
}

static const double nearly = 1e-6; /* 08:59:59.9999999 is 09:00 */

int sg_clock_format(double epoch, char *out, size_t size)
{
    struct tm t = local_of(epoch + nearly);
    return snprintf(out, size, "%02d:%02d", t.tm_hour, t.tm_min);
}

int sg_over_format(double closes, double ends, char *out, size_t size)
{
    double minutes = floor((ends + nearly) / 60) - floor((closes + nearly) / 60);
    if (minutes < 1)
        return snprintf(out, size, "under 1 min");
    return sg_hours_format(minutes * 60, out, size);
}

int sg_day_format(double epoch, char *out, size_t size)
{
    static const char *const days[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    struct tm t = local_of(epoch);
    return snprintf(out, size, "%s %d %s %d", days[t.tm_wday], t.tm_mday, months[t.tm_mon], t.tm_year + 1900);
}
