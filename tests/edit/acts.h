/* Acts of the floor on the example shop, whose shift A is that of 2026-12-01. */
#ifndef SANDGLASS_TESTS_EDIT_ACTS_H
#define SANDGLASS_TESTS_EDIT_ACTS_H

#include "edit/actuals.h"
#include "edit/steps.h"

static struct sg_noted noted;
static struct sg_now now;

static inline int64_t at(const char *time)
{
    char text[40];
    int64_t moment = 0;
    snprintf(text, sizeof text, "2026-12-01 %s", time);
    ck_assert(sg_moment_parse(text, &moment));
    return moment;
}

static inline enum sg_status start_phase(const char *place, const char *time, enum sg_phase phase)
{
    const struct sg_start start = {.phase = phase, .place = place, .sheets = 1};
    return sg_desk_start(desk, &start, at(time), &noted, &error);
}

static inline enum sg_status start(const char *place, const char *time)
{
    return start_phase(place, time, SG_PHASE_CUT);
}

static inline enum sg_status put(const char *time, int32_t what, const char *place, const char *reason)
{
    struct sg_record record = sg_fresh_record;
    record.what = what;
    record.at = at(time);
    record.place = place;
    record.reason = reason;
    record.mass = what == SG_RECORD_LEVEL ? 50 : record.mass;
    record.feed = what == SG_RECORD_WEIGH ? 310 : record.feed;
    return sg_desk_record(desk, &record, &noted, &error);
}

static inline enum sg_status count(const char *time, bool scrap, int32_t n, const char *part)
{
    const struct sg_counting counting = {.scrap = scrap, .all = n == 0, .count = n, .part = part};
    return sg_desk_count(desk, &counting, at(time), &noted, &error);
}

/* The newest step has these words, and undo and redo change the shop and bring it back. */
static inline void ck_step(const char *words)
{
    struct sg_desk *after = snapshot(), *before;
    struct sg_step_told told;
    struct told all = history();
    ck_assert_str_eq(noted.words, words);
    ck_assert_str_eq(all.steps[0].words, words);
    must(sg_desk_undo(desk, &told, &error));
    ck_assert_str_eq(told.words, words);
    before = snapshot();
    ck_assert(differ(before, after));
    must(sg_desk_redo(desk, &told, &error));
    ck_shows(after, words);
    sg_desk_close(after);
    sg_desk_close(before);
}

static inline void ck_refuse(enum sg_status status, enum sg_status expected, const char *words)
{
    ck_assert_int_eq(status, expected);
    ck_assert_msg(strstr(error.text, words) != NULL, "\"%s\" is not in \"%s\"", words, error.text);
}

static inline void read_now(const char *time)
{
    must(sg_now_make(&now, sg_desk_shop(desk), at(time), SG_UNKNOWN, &error));
}

static inline void close_all(void)
{
    sg_now_free(&now);
    close_example();
}

static inline enum sg_status fill(int32_t bags, double mass, const char *time)
{
    return sg_desk_fill(desk, bags, mass, at(time), &noted, &error);
}

#endif
