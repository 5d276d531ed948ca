/* Dates and times of day as text and as numbers; the proleptic Gregorian calendar, no time zone, no clock. */
#ifndef SANDGLASS_CIVIL_H
#define SANDGLASS_CIVIL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { SG_DAY_S = 86400, SG_MAX_SPANS = 16, SG_MAX_DAYS = 64 };

/* Not known, for dates and moments. */
#define SG_NO_DATE INT32_MIN
#define SG_NO_MOMENT INT64_MIN

/* A span of local time within a day, seconds after midnight; to_s may be past 24 h where it crosses midnight.
 */
struct sg_span {
    int32_t from_s, to_s;
};

/* Days since 1970-01-01 of a date that exists, else SG_NO_DATE; and back, where days outside the years 1970
 * to 9999 give the first or the last day. */
bool sg_date_exists(int year, int month, int day);
int32_t sg_date_days(int year, int month, int day);
void sg_date_split(int32_t days, int *year, int *month, int *day);

/* Read the whole text, blanks around it allowed. False if it is not such a thing; out is then untouched.
 * A date is 2026-12-01; a time of day 06:00, 6:00 or 06:00:30, up to 24:00; a moment a date, or a date and a
 * time of day behind a blank or a T, in seconds since 1970-01-01 00:00 local; a date alone is its last
 * second, 23:59:59. */
bool sg_date_parse(const char *text, int32_t *days);
bool sg_time_parse(const char *text, int32_t *seconds);
bool sg_moment_parse(const char *text, int64_t *seconds);

/* 09:30-09:45,12:00-12:30: up to `max` spans, each with its start before its end (an end before the start is
 * taken to be past midnight). The count, 0 for the word "none", or -1 if the text is not such a list. */
int sg_spans_parse(const char *text, struct sg_span *spans, int max);
/* 2026-12-24,2026-12-25: the count of dates, 0 for "none", or -1. */
int sg_dates_parse(const char *text, int32_t *days, int max);

/* The same shapes written, "-" for what is not known or outside the years; each returns the length as
 * snprintf does. A moment at 23:59:59 is written as its date alone. */
int sg_date_format(int32_t days, char *out, size_t size);
int sg_time_format(int32_t seconds, char *out,
                   size_t size); /* 06:00, with :ss only if not 0, hours modulo 24 */
int sg_moment_format(int64_t seconds, char *out, size_t size);
int sg_spans_format(const struct sg_span *spans, int count, char *out, size_t size);
int sg_dates_format(const int32_t *days, int count, char *out, size_t size);

#endif
