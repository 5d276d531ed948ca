/* What the screen should say, found another way: by a second desk on the same file that has the change made
 * to its shop and is asked for the plan, and by figures written out here. */
#ifndef TESTS_FACTS_H
#define TESTS_FACTS_H

#include "tui/inside.h"
#include "tui/on_screen.h"

#include <math.h>
#include <time.h>

/* The rows of a screen of 24. */
enum { TITLE_ROW = 0, ANSWERS_ROW = 1, WORDS_ROW = 21, ACCEPTED_ROW = 22 };

/* The plan of the first shift, as a person reads it, and one part in it. ends_on has the day where it is not
 * that of the shift. */
struct facts {
    char ends[40], ends_on[40], cut[40], pierce[40], garnet[40];
};

static inline void write_duration(double seconds, char *out)
{
    long whole = lround(seconds);
    sprintf(out, "%ld:%02ld:%02ld", whole / 3600, whole / 60 % 60, whole % 60);
}

/* With assignments made to the part but kept nowhere; NULL: as it is in the file. */
static inline struct facts facts_of(struct on_screen *s, const char *part, const char *key,
                                    const char *assignment)
{
    static const double kg_of_a_pound = 0.45359237; /* by definition */
    struct facts facts;
    struct sg_error error;
    struct sg_change change;
    struct sg_target target;
    const struct sg_plan *plan;
    struct sg_desk *desk = shop_file_desk(&s->file, SG_STORE_READ);
    if (assignment)
        shop_must(sg_desk_set(desk, key, &assignment, 1, false, &change, &target, &error), &error);
    shop_must(sg_desk_plan(desk, 0, &plan, &error), &error);
    shop_must(sg_key_find(sg_desk_shop(desk), part, &target, &error), &error);
    const struct sg_plan_part *planned = &plan->parts[target.index - plan->first_part];
    time_t ends = (time_t)(sg_desk_shop(desk)->shifts[0].calendar.epoch + plan->ends);
    time_t starts = (time_t)sg_desk_shop(desk)->shifts[0].calendar.epoch;
    bool same_day = gmtime(&starts)->tm_yday == gmtime(&ends)->tm_yday;
    strftime(facts.ends, sizeof facts.ends, "%H:%M", gmtime(&ends));
    strftime(facts.ends_on, sizeof facts.ends_on, same_day ? "%H:%M" : "%a %H:%M", gmtime(&ends));
    write_duration(planned->cut, facts.cut);
    write_duration(planned->pierce, facts.pierce);
    sprintf(facts.garnet, "%.1f", planned->garnet / kg_of_a_pound);
    sg_desk_close(desk);
    return facts;
}

/* A field as the file has it. */
static inline struct sg_value value_in_file(struct on_screen *s, const char *key, const char *field,
                                            char *text, size_t size)
{
    struct sg_error error;
    struct sg_target target;
    struct sg_value value;
    struct sg_desk *desk = shop_file_desk(&s->file, SG_STORE_READ);
    shop_must(sg_key_find(sg_desk_shop(desk), key, &target, &error), &error);
    const struct sg_field *f = sg_field_find(target.kind, field);
    sg_field_get(f, sg_target_record(sg_desk_shop(desk), target), &value);
    sg_field_show(f, sg_desk_shop(desk), &value, text, size);
    value.text = NULL;
    sg_desk_close(desk);
    return value;
}

static inline const char *in_file(struct on_screen *s, const char *key, const char *field)
{
    static char text[50000];
    value_in_file(s, key, field, text, sizeof text);
    return text;
}

static inline void count_step(void *context, const struct sg_step_told *step)
{
    struct sg_step_told *last = ((struct sg_step_told **)context)[0];
    int *n = ((int **)context)[1];
    if ((*n)++ == 0)
        *last = *step; /* the newest comes first */
}

/* How many changes the history of the file has; the newest in *last, which may be NULL. */
static inline int steps_in_file(struct on_screen *s, struct sg_step_told *last)
{
    struct sg_error error;
    struct sg_step_told newest;
    int n = 0;
    struct sg_desk *desk = shop_file_desk(&s->file, SG_STORE_READ);
    void *context[] = {last ? last : &newest, &n};
    shop_must(sg_store_history(sg_desk_store(desk), 0, count_step, context, &error), &error);
    sg_desk_close(desk);
    return n;
}

/* Another person changes something. */
static inline void other_sets(struct on_screen *s, const char *who, const char *key, const char *assignment)
{
    struct sg_error error;
    struct sg_change change;
    struct sg_desk *desk = shop_file_desk(&s->file, SG_STORE_WRITE);
    sg_desk_sign(desk, who);
    shop_must(sg_desk_set(desk, key, &assignment, 1, true, &change, NULL, &error), &error);
    sg_desk_close(desk);
}

/* Stand on a field, wherever its screen is. */
static inline void stand_on(struct on_screen *s, const char *key, const char *field)
{
    struct sg_error error;
    struct sg_target target;
    shop_must(sg_key_find(s->ui->kept.shop, key, &target, &error), &error);
    ck_assert(sg_ui_go_to_field(s->ui, target, field));
    sg_ui_draw(s->ui, &s->canvas);
}

/* Go to a column of the table by the arrow keys: by its field or its title. */
static inline void to_column(struct on_screen *s, const char *name)
{
    const struct sg_column *column = NULL, *before;
    press(s, "H");
    do {
        before = column;
        column = sg_ui_column(s->ui);
        if (strcmp(column->field ? column->field : column->title, name) == 0)
            return;
        press(s, "l");
    } while (column != before);
    ck_abort_msg("no way to the column %s", name);
}

/* The text under the fingers; "" where no field is open. */
static inline const char *typed_now(struct on_screen *s)
{
    static char place[45000];
    sg_ui_say_place(s->ui, place, sizeof place);
    const char *at = strstr(place, ", typed ");
    return at ? at + strlen(", typed ") : "";
}

/* Columns between the bracket before the field and the cursor, -1 without a field. */
static inline int cursor_in_field(struct on_screen *s)
{
    sg_ui_draw(s->ui, &s->canvas);
    if (s->canvas.cursor_row < 0)
        return -1;
    for (int column = s->canvas.cursor_column; column >= 0; column--)
        if (s->canvas.cells[s->canvas.cursor_row * s->canvas.columns + column].text[0] == '[')
            return s->canvas.cursor_column - column - 1;
    return -1;
}

#define ck_row_has(s, index, text)                                                                           \
    do {                                                                                                     \
        const char *shown_ = row((s), (index));                                                              \
        if (!strstr(shown_, (text))) {                                                                       \
            print_screen(s);                                                                                 \
            ck_abort_msg("row %d has not \"%s\": %s", (index), (text), row((s), (index)));                   \
        }                                                                                                    \
    } while (0)

#define ck_row_has_not(s, index, text)                                                                       \
    do {                                                                                                     \
        if (strstr(row((s), (index)), (text))) {                                                             \
            print_screen(s);                                                                                 \
            ck_abort_msg("row %d has \"%s\"", (index), (text));                                              \
        }                                                                                                    \
    } while (0)

#endif
