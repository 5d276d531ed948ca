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

static inline void start_cut(void)
{
    at("06:28");
    press(&s, "b");
    at("10:55");
}

static inline void add_chore(void)
{
    struct sg_error error;
    static const char *const due[] = {"when=due"};
    struct sg_change changes[2];
    struct sg_target target;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    sg_desk_sign(desk, "office");
    shop_must(sg_desk_add(desk, SG_KIND_CHORE, NULL, "grease rails", due, 1, 0, changes, &target, &error),
              &error);
    sg_desk_close(desk);
    ck_assert(sg_ui_look(s.ui));
}

/* Load, a cut that stands 12 minutes, all of its pieces, a refill, and the second sheet under the head. */
static inline void morning(void)
{
    at("06:20");
    press(&s, "Y");
    at("06:28");
    press(&s, "b");
    at("06:40");
    press(&s, "snozzle plugged<Enter>");
    at("06:52");
    press(&s, "r");
    at("08:14");
    press(&s, "t<Enter>B");
    at("08:16");
    press(&s, "f2<Enter>Y");
    at("08:22");
    press(&s, "b");
    at("08:40");
    press(&s, "X10:05 1 A edge burnt<Esc>"); /* nothing */
}

/* The end of the rest, found by a desk of its own. */
static inline void rest_ends(char out[20], int *later_min)
{
    struct sg_now now = {0};
    struct sg_error error;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    shop_must(sg_now_make(&now, sg_desk_shop(desk), (int64_t)day_now, 0, &error), &error);
    double ends = now.rest.shop.shifts[0].calendar.epoch + now.plan->ends;
    time_t whole = (time_t)ends;
    strftime(out, 20, "%H:%M", gmtime(&whole));
    *later_min = (int)(whole / 60 - (time_t)sg_desk_shop(desk)->clocks[0].planned_end / 60);
    sg_now_free(&now);
    sg_desk_close(desk);
}

#endif
