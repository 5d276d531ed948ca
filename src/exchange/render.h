/* A plan for people and programs: text, CSV and JSON. Everything is built in a struct sg_text and written by
 * the caller, so that an output is whole or not at all. Times become local times by the time zone of TZ; JSON
 * is SI whatever the shop's units. */
#ifndef SANDGLASS_RENDER_H
#define SANDGLASS_RENDER_H

#include "exchange/exchange.h"
#include "sandglass/compare.h"
#include "sandglass/key.h"
#include "sandglass/plan.h"
#include "sandglass/why.h"

/* ---- times (moment.c) ---- */

/* 2026-12-01T06:00:00.000+01:00, and 06:00, and Tue 1 Dec 2026, of seconds since the epoch. As snprintf
 * returns. */
int sg_iso_format(double epoch, char *out, size_t size);
int sg_clock_format(double epoch, char *out, size_t size);
int sg_day_format(double epoch, char *out, size_t size);

/* How much later than it closes something ends, both seconds since the epoch, as a person reckons it from the
 * two clock times that are shown: "0:40" of 14:30 and 15:10, whatever the seconds; "under 1 min" where the
 * clock shows the same. As snprintf returns. */
int sg_over_format(double closes, double ends, char *out, size_t size);

/* ---- tables of text (table.c) ---- */

enum { SG_TABLE_COLUMNS = 16 };

/* Rows of cells that are aligned when the table is put. A title that starts with '>' is a column of figures,
 * set to the right. Widths are what a terminal shows; control and bidi characters are shown as \u escapes. */
struct sg_table {
    struct sg_arena arena;
    int columns, rows, room;
    char **cells; /* row by row */
    bool right[SG_TABLE_COLUMNS];
    bool failed;
};
void sg_table_start(struct sg_table *table, const char *const *titles, int columns);
void sg_table_row(struct sg_table *table, const char *const *cells);
/* Put it with two blanks between columns and the indent in front, and free it. */
void sg_table_put(struct sg_table *table, int indent, struct sg_text *out);

/* Put words in lines of at most `width` characters, the first line after `first`, the others after `indent`
 * blanks. */
void sg_wrap(struct sg_text *out, const char *first, int indent, int width, const char *words);

/* ---- the plan (plan_json.c, plan_text.c) ---- */

/* The whole plan; its members in an open object. */
void sg_plan_members(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_plan_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_plan_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);

/* What lies where on each sheet of a stock: counts, what is left over, each piece in cutting order. */
void sg_layout_words(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                     int32_t stock, int width);

/* Which of some stocks' speeds are recalled or estimated (with `expect` behind them, to the full stop), which
 * are the shop's own, and what its study says of them; and the same of pierces. (trust_text.c) */
void sg_trust_words(struct sg_text *out, const struct sg_shop *shop, int32_t first_stock, int32_t n_stocks,
                    const char *expect);
void sg_trust_of_pierces(struct sg_text *out, const struct sg_shop *shop, int32_t first_stock,
                         int32_t n_stocks);

/* Sheets that boxes would take besides, where outlines lie into each other; 0 and more. */
int64_t sg_spared_sheets(const struct sg_stock *stock, const struct sg_plan_layout *layout);

/* Part of a sheet, 0 to 1, that the pieces on it take: by their net areas; by its box where that of a piece
 * is not known. first_part is that of the stock. And "used 84 % (by boxes)". */
double sg_sheet_used(const struct sg_shop *shop, int32_t first_part, const struct sg_plan_layout *layout,
                     const struct sg_layout_used *used, bool *by_boxes);
void sg_used_words(const struct sg_shop *shop, int32_t first_part, const struct sg_plan_layout *layout,
                   const struct sg_layout_used *used, char *out, size_t size);

/* Whether the rectangle of a sheet that is left over is worth keeping; its size, "27 x 32.2 in", and place,
 * "x 8.75 y 0.25" of its corner nearest to the sheet's. Rounded so that it lies within what is free. */
bool sg_is_left_over(const struct sg_layout_used *used);
void sg_left_over_words(const struct sg_layout_used *used, enum sg_unit_system units, char *size_words,
                        char *place_words, size_t size);

/* How a piece lies, counter-clockwise: "turned 90"; "" as it is drawn. */
const char *sg_turn_words(bool turned, bool flipped);

/* The three answers in one line: when it ends, the next refill, whether it runs alone over the breaks. */
void sg_answers_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);

/* "answers" of an open JSON object. */
void sg_answers_json(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan);

/* What asks for a person in a break: "load 2602/1 sheet 2 at 12:13". */
void sg_reason_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                    int32_t event);

/* "cautions" of an open JSON object. */
void sg_cautions_json(struct sg_json *json, const struct sg_shop *shop, const struct sg_caution *cautions,
                      int count);
void sg_cautions_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_caution *cautions,
                      int count);

/* ---- two plans of one shift (compare.c) ---- */

/* A value of a row as shown, "-" where it is not known; and a change of it: "-0:19:20", "+12.2", or nothing
 * where nothing changes. epoch is that of the shift's start; out has SG_COMPARE_CELL bytes. */
enum { SG_COMPARE_CELL = 64 };
void sg_compare_show(const struct sg_compare_row *row, const struct sg_shop *shop, double epoch, double value,
                     char *out);
void sg_compare_show_change(const struct sg_compare_row *row, const struct sg_shop *shop, double change,
                            char *out);

/* What is in the plan, what is tried, and the change, row by row; "before", "after" and "change" of an open
 * JSON object. */
void sg_compare_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *before,
                     const struct sg_plan *after);
void sg_compare_json(struct sg_json *json, const struct sg_plan *before, const struct sg_plan *after);

/* ---- what needs a person, and the hopper (events.c, hopper.c) ---- */

/* A time of day, with its weekday in front where it is not on the day of `start`, both seconds since the
 * epoch. As snprintf returns. */
int sg_clock_on_day(double start, double epoch, char *out, size_t size);

/* "shift" of an open JSON object: id, starts_at, closes_at. */
void sg_shift_json(struct sg_json *json, const struct sg_shift *shift);

/* Everything that asks for a person, in order of its start: cuts, and what takes no time, are left out. */
void sg_events_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_events_csv(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_events_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);

/* Where an event belongs: "2602/1 sheet 2", a job's key, or "shift:A". */
void sg_event_where(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                    const struct sg_event *event);

/* Its word, or the name of the chore. */
const char *sg_event_name(const struct sg_shop *shop, const struct sg_event *event);

/* The members of an open JSON object that tell an event; all of them null where event is NULL. */
void sg_event_members(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                      const struct sg_event *event);

/* The level over time. The text has a chart of at most 80 columns and 12 lines. */
void sg_hopper_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_hopper_csv(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_hopper_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);

/* ---- why a number is what it is (why.c) ---- */

/* Who set a field last, when and with which words; texts are borrowed. */
struct sg_told {
    bool known;
    const char *by, *words;
    double at; /* seconds since the epoch */
};

/* An explanation of `key`'s number `field`; told (may be NULL) has an entry for each line. The root's key
 * stands in front of the text. */
void sg_why_text(struct sg_text *out, const struct sg_shop *shop, const char *key, const struct sg_why *why,
                 const struct sg_told *told);
void sg_why_json(struct sg_text *out, const struct sg_shop *shop, const char *key, const char *field,
                 const struct sg_why *why, const struct sg_told *told);

/* ---- the job sheet (job_sheet.c, sheet_text.c) ---- */

struct sg_sheet_how {
    enum sg_unit_system units; /* of the CSV's columns */
    bool for_spreadsheet;      /* byte order mark, semicolon and decimal comma together */
};

/* The job sheet of one job of the plan. */
void sg_sheet_csv(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                  int32_t first_job, int32_t n_jobs, const struct sg_sheet_how *how);
/* In lines of at most `width` characters but for its tables. */
enum { SG_SHEET_WIDTH = 100 }; /* of what is written */
void sg_sheet_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan, int32_t job,
                   int width);
void sg_sheet_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan, int32_t job);

/* "stocks" of a job in an open JSON object, as `plan` and `sheet` show them. */
void sg_stocks_json(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                    int32_t job);

#endif
