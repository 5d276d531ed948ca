#include "sandglass/civil.h"

#include <stdio.h>
#include <string.h>

enum { FIRST_YEAR = 1970, LAST_YEAR = 9999, DAY_BEHIND_LAST_YEAR = 2932897 };

static bool leap(int year)
{
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

static int days_in_month(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return days[month - 1] + (month == 2 && leap(year));
}

bool sg_date_exists(int year, int month, int day)
{
    return year >= FIRST_YEAR && year <= LAST_YEAR && month >= 1 && month <= 12 && day >= 1 &&
           day <= days_in_month(year, month);
}

/* Days from 0000-03-01: years that begin in March put the leap day at their end, and 153 days make five
 * months. */
static int32_t days_from_march(int year, int month, int day)
{
    int since_march = (month + 9) % 12;
    int32_t y = year - (month < 3);
    return 365 * y + y / 4 - y / 100 + y / 400 + (153 * since_march + 2) / 5 + day - 1;
}

static int32_t epoch(void)
{
    return days_from_march(1970, 1, 1);
}

int32_t sg_date_days(int year, int month, int day)
{
    return sg_date_exists(year, month, day) ? days_from_march(year, month, day) - epoch() : SG_NO_DATE;
}

void sg_date_split(int32_t days, int *year, int *month, int *day)
{
    int32_t all = (days < 0 ? 0 : days >= DAY_BEHIND_LAST_YEAR ? DAY_BEHIND_LAST_YEAR - 1 : days) + epoch();
    int32_t era = all / 146097, in_era = all % 146097; /* 400 years */
    int32_t y = (in_era - in_era / 1460 + in_era / 36524 - in_era / 146096) / 365;
    int32_t in_year = in_era - (365 * y + y / 4 - y / 100);
    int32_t since_march = (5 * in_year + 2) / 153;
    *day = in_year - (153 * since_march + 2) / 5 + 1;
    *month = since_march < 10 ? since_march + 3 : since_march - 9;
    *year = y + 400 * era + (*month < 3);
}

/* Reading: what begins with take_ steps the cursor over what it has read. */

static void skip_blanks(const char **at)
{
    while (**at == ' ' || **at == '\t')
        ++*at;
}

static bool at_end(const char *at)
{
    skip_blanks(&at);
    return *at == '\0';
}

static bool take(const char **at, char c)
{
    if (**at != c)
        return false;
    ++*at;
    return true;
}

/* `least` to `most` digits, all that are there. */
static bool take_digits(const char **at, int least, int most, int *value)
{
    int n = 0, sum = 0;
    while (**at >= '0' && **at <= '9' && n < most) {
        sum = 10 * sum + (*(*at)++ - '0');
        n++;
    }
    *value = sum;
    return n >= least && !(**at >= '0' && **at <= '9');
}

static bool take_date(const char **at, int32_t *days)
{
    int year, month, day;
    if (!take_digits(at, 4, 4, &year) || !take(at, '-') || !take_digits(at, 2, 2, &month) || !take(at, '-') ||
        !take_digits(at, 2, 2, &day) || !sg_date_exists(year, month, day))
        return false;
    *days = sg_date_days(year, month, day);
    return true;
}

static bool take_time(const char **at, int32_t *seconds)
{
    int hour, minute, second = 0;
    if (!take_digits(at, 1, 2, &hour) || !take(at, ':') || !take_digits(at, 2, 2, &minute))
        return false;
    if (take(at, ':') && !take_digits(at, 2, 2, &second))
        return false;
    int32_t sum = (hour * 60 + minute) * 60 + second;
    if (minute > 59 || second > 59 || sum > SG_DAY_S)
        return false;
    *seconds = sum;
    return true;
}

static bool take_span(const char **at, struct sg_span *span)
{
    struct sg_span s;
    if (!take_time(at, &s.from_s))
        return false;
    skip_blanks(at);
    if (!take(at, '-'))
        return false;
    skip_blanks(at);
    if (!take_time(at, &s.to_s) || s.from_s == s.to_s || s.from_s == SG_DAY_S)
        return false;
    if (s.to_s < s.from_s)
        s.to_s += SG_DAY_S;
    *span = s;
    return true;
}

bool sg_date_parse(const char *text, int32_t *days)
{
    int32_t read;
    skip_blanks(&text);
    if (!take_date(&text, &read) || !at_end(text))
        return false;
    *days = read;
    return true;
}

bool sg_time_parse(const char *text, int32_t *seconds)
{
    int32_t read;
    skip_blanks(&text);
    if (!take_time(&text, &read) || !at_end(text))
        return false;
    *seconds = read;
    return true;
}

bool sg_moment_parse(const char *text, int64_t *seconds)
{
    int32_t days, time = SG_DAY_S - 1;
    skip_blanks(&text);
    if (!take_date(&text, &days))
        return false;
    if (!at_end(text)) {
        const char *behind = text;
        if (!take(&text, 'T'))
            skip_blanks(&text);
        if (text == behind || !take_time(&text, &time) || !at_end(text))
            return false;
    }
    int64_t read = (int64_t)days * SG_DAY_S + time;
    if (read >= (int64_t)DAY_BEHIND_LAST_YEAR * SG_DAY_S)
        return false;
    *seconds = read;
    return true;
}

static bool is_none(const char *text)
{
    skip_blanks(&text);
    return strncmp(text, "none", 4) == 0 && at_end(text + 4);
}

/* Step over what stands between two items of a list. 1: another item follows, 0: the list ends, -1: neither.
 */
static int take_comma(const char **at)
{
    skip_blanks(at);
    if (**at == '\0')
        return 0;
    if (!take(at, ','))
        return -1;
    skip_blanks(at);
    return 1;
}

typedef bool take_item(const char **at, void *item);

static bool take_span_item(const char **at, void *item)
{
    return take_span(at, item);
}

static bool take_date_item(const char **at, void *item)
{
    return take_date(at, item);
}

/* Read a list once into nothing to see that it is right, and once into the array. */
static int parse_list(const char *text, take_item *take_one, size_t item_size, void *items, int max)
{
    if (is_none(text))
        return 0;
    for (int pass = 0;; pass++) {
        const char *at = text;
        struct sg_span scratch; /* the largest item */
        int count = 0, more = 1;
        skip_blanks(&at);
        while (more == 1) {
            void *item = pass == 0 ? (void *)&scratch : (char *)items + (size_t)count * item_size;
            if (count == max || !take_one(&at, item))
                return -1;
            count++;
            more = take_comma(&at);
        }
        if (more < 0)
            return -1;
        if (pass == 1)
            return count;
    }
}

int sg_spans_parse(const char *text, struct sg_span *spans, int max)
{
    return parse_list(text, take_span_item, sizeof *spans, spans, max);
}

int sg_dates_parse(const char *text, int32_t *days, int max)
{
    return parse_list(text, take_date_item, sizeof *days, days, max);
}

/* What is written so far may be longer than the room; only as much of it as fits is in `out`. */
struct writer {
    char *out;
    size_t size;
    int length;
};

static char *room_at(const struct writer *w, size_t *room)
{
    size_t used = (size_t)w->length;
    *room = used < w->size ? w->size - used : 0;
    return *room ? w->out + used : NULL;
}

static void put_text(struct writer *w, const char *text)
{
    size_t room;
    char *to = room_at(w, &room);
    w->length += snprintf(to, room, "%s", text);
}

static void put_two_digits(struct writer *w, const char *before, int value)
{
    size_t room;
    char *to = room_at(w, &room);
    w->length += snprintf(to, room, "%s%02d", before, value);
}

static void put_date(struct writer *w, int32_t days)
{
    int year, month, day;
    if (days < 0 || days >= DAY_BEHIND_LAST_YEAR) {
        put_text(w, "-");
        return;
    }
    sg_date_split(days, &year, &month, &day);
    put_two_digits(w, "", year);
    put_two_digits(w, "-", month);
    put_two_digits(w, "-", day);
}

static void put_time(struct writer *w, int32_t seconds)
{
    put_two_digits(w, "", seconds / 3600);
    put_two_digits(w, ":", seconds / 60 % 60);
    if (seconds % 60)
        put_two_digits(w, ":", seconds % 60);
}

static int32_t within_day(int64_t seconds)
{
    return (int32_t)((seconds % SG_DAY_S + SG_DAY_S) % SG_DAY_S);
}

int sg_date_format(int32_t days, char *out, size_t size)
{
    struct writer w = {out, size, 0};
    put_date(&w, days);
    return w.length;
}

int sg_time_format(int32_t seconds, char *out, size_t size)
{
    struct writer w = {out, size, 0};
    put_time(&w, within_day(seconds));
    return w.length;
}

int sg_moment_format(int64_t seconds, char *out, size_t size)
{
    struct writer w = {out, size, 0};
    if (seconds < 0 || seconds >= (int64_t)DAY_BEHIND_LAST_YEAR * SG_DAY_S) {
        put_text(&w, "-");
        return w.length;
    }
    put_date(&w, (int32_t)(seconds / SG_DAY_S));
    if (within_day(seconds) != SG_DAY_S - 1) {
        put_text(&w, " ");
        put_time(&w, within_day(seconds));
    }
    return w.length;
}

int sg_spans_format(const struct sg_span *spans, int count, char *out, size_t size)
{
    struct writer w = {out, size, 0};
    put_text(&w, count ? "" : "none");
    for (int i = 0; i < count; i++) {
        put_text(&w, i ? "," : "");
        put_time(&w, within_day(spans[i].from_s));
        put_text(&w, "-");
        /* Midnight at the end of the day is 24:00, so that a span of a whole day is read back as one. */
        put_time(&w, spans[i].to_s == SG_DAY_S ? SG_DAY_S : within_day(spans[i].to_s));
    }
    return w.length;
}

int sg_dates_format(const int32_t *days, int count, char *out, size_t size)
{
    struct writer w = {out, size, 0};
    put_text(&w, count ? "" : "none");
    for (int i = 0; i < count; i++) {
        put_text(&w, i ? "," : "");
        put_date(&w, days[i]);
    }
    return w.length;
}
