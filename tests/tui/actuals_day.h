/* A day on the Actuals screen: the example shop, whose shift A is that of 2026-12-01, and a clock that is
 * set. */
#ifndef TESTS_ACTUALS_DAY_H
#define TESTS_ACTUALS_DAY_H

#include "edit/actuals.h"
#include "sandglass/civil.h"
#include "tui/facts.h"

static struct on_screen s;
static double day_now;

static inline double now_of_day(void)
{
    return day_now;
}

static inline int64_t at_of(const char *time)
{
    char text[40];
    int64_t moment = 0;
    snprintf(text, sizeof text, "2026-12-01 %s", time);
    ck_assert(sg_moment_parse(text, &moment));
    return moment;
}

/* It is that late; TZ is UTC. */
static inline void at(const char *time)
{
    day_now = (double)at_of(time);
}

static inline void day_on(const struct sg_ui_how *how, int rows, int columns)
{
    struct sg_ui_how timed = *how;
    timed.path = s.file.path;
    timed.now = now_of_day;
    on_screen_start(&s, &timed, rows, columns);
}

static inline void day_start(void)
{
    s = (struct on_screen){.desk = NULL};
    shop_file_make(&s.file, true);
    at("06:00");
    day_on(&(struct sg_ui_how){.path = NULL}, 24, 80);
    press(&s, "ga");
}

static inline void day_stop(void)
{
    on_screen_close(&s);
}

/* The two lines above the keys: a sentence may go over both. */
static inline void ck_said(const char *words)
{
    char text[500];
    snprintf(text, sizeof text, "%s %s", row(&s, WORDS_ROW), row(&s, ACCEPTED_ROW));
    ck_assert_msg(strstr(text, words) != NULL, "\"%s\" is not in: %s", words, text);
}

static inline const struct sg_shop *shop(void)
{
    return s.ui->kept.shop;
}

/* The record that was added last. */
static inline const struct sg_record *newest(void)
{
    const struct sg_record *best = NULL;
    for (int32_t i = 0; i < shop()->n_records; i++)
        if (!best || shop()->records[i].row > best->row)
            best = &shop()->records[i];
    ck_assert_ptr_nonnull(best);
    return best;
}

static inline int noted(void)
{
    return shop()->n_records + shop()->n_clocks;
}

#endif
