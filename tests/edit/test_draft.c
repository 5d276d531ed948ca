/* Drafts: what is typed is planned as if it were kept, and nothing else is touched. */
#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* RTLD_NEXT */
#endif
#include "edit/draft.h"
#include "edit/shop_file.h"
#include "sandglass/rules.h"
#include "support/random.h"

#include <check.h>
#include <dlfcn.h>
#include <stddef.h>

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__) || defined(SANITIZED)
#define COUNT_CALLS 0
#else
#define COUNT_CALLS 1
#endif

/* ---- calls of the allocator, counted ---- */

#if COUNT_CALLS
static volatile long allocations; /* volatile: a compiler knows malloc and thinks it changes nothing here */

static void *next_function(const char *name)
{
    void *found = dlsym(RTLD_NEXT, name);
    if (!found)
        abort();
    return found;
}

void *malloc(size_t size)
{
    static void *(*real)(size_t);
    if (!real) {
        void *found = next_function("malloc");
        memcpy(&real, &found, sizeof real);
    }
    allocations++;
    return real(size);
}

void *realloc(void *old, size_t size)
{
    static void *(*real)(void *, size_t);
    if (!real) {
        void *found = next_function("realloc");
        memcpy(&real, &found, sizeof real);
    }
    allocations++;
    return real(old, size);
}

void *calloc(size_t n, size_t size)
{
    static void *(*real)(size_t, size_t);
    static bool looking;
    if (looking)
        return NULL; /* asked for by dlsym itself, which can do without */
    if (!real) {
        looking = true;
        void *found = next_function("calloc");
        looking = false;
        memcpy(&real, &found, sizeof real);
    }
    allocations++;
    return real(n, size);
}
#endif

/* ---- two plans, number by number, bit by bit ---- */

struct member {
    const char *name;
    size_t offset, size;
};

#define M(type, path)                                                                                        \
    {                                                                                                        \
#path, offsetof(struct type, path), sizeof(((struct type *)0)->path)                                 \
    }
/* Members that lie one behind the other without a gap, from the first to the last. */
#define SPAN(type, first, last)                                                                              \
    {                                                                                                        \
#first " to " #last, offsetof(struct type, first),                                                   \
            offsetof(struct type, last) - offsetof(struct type, first) + sizeof(((struct type *)0)->last)    \
    }
#define END                                                                                                  \
    {                                                                                                        \
        NULL, 0, 0                                                                                           \
    }

static const struct member part_members[] = {SPAN(sg_plan_part, traverse, sheets), M(sg_plan_part, basis),
                                             END};

static const struct member stock_members[] = {M(sg_plan_stock, setup.abrasive),
                                              SPAN(sg_plan_stock, setup.height, setup.edge_cut),
                                              M(sg_plan_stock, setup.pierce),
                                              SPAN(sg_plan_stock, setup.traverse_basis, setup.marks),
                                              M(sg_plan_stock, head),
                                              SPAN(sg_plan_stock, load, pieces),
                                              END};

static const struct member job_members[] = {SPAN(sg_plan_job, starts, late), END};

static const struct member break_members[] = {SPAN(sg_plan_break, from, to), M(sg_plan_break, alone),
                                              M(sg_plan_break, event), END};

static const struct member event_members[] = {M(sg_event, at),
                                              SPAN(sg_event, seconds, garnet),
                                              SPAN(sg_event, batch, sheet),
                                              SPAN(sg_event, first, cuts),
                                              SPAN(sg_event, bags, kind),
                                              M(sg_event, flags),
                                              END};

static const struct member batch_members[] = {SPAN(sg_batch, job, head),
                                              SPAN(sg_batch, cuts, per_sheet),
                                              M(sg_batch, grid_known),
                                              SPAN(sg_batch, cut, garnet),
                                              M(sg_batch, stack),
                                              SPAN(sg_batch, load, first_check),
                                              END};

static const struct member grid_members[] = {SPAN(sg_batch, grid.along, grid.pitch), END};

static const struct member caution_members[] = {SPAN(sg_caution, code, index), SPAN(sg_caution, a, b), END};

/* Everything of the plan itself but its pointers. */
static const struct member plan_members[] = {SPAN(sg_plan, start.level, start.fitted),
                                             M(sg_plan, start.late),
                                             M(sg_plan, start.carried),
                                             SPAN(sg_plan, closed_day, unknown),
                                             SPAN(sg_plan, shift, n_parts),
                                             M(sg_plan, run.n_events),
                                             SPAN(sg_plan, run.failed, run.finished),
                                             SPAN(sg_plan, run.end, run.level_end),
                                             SPAN(sg_plan, run.bags_left, run.bags_short),
                                             M(sg_plan, run.bags_kg),
                                             M(sg_plan, n_batches),
                                             SPAN(sg_plan, totals.cut, totals.energy),
                                             SPAN(sg_plan, totals.bags, totals.bags_to_order),
                                             SPAN(sg_plan, totals.sludge, totals.pieces),
                                             SPAN(sg_plan, ends, over),
                                             M(sg_plan, next_refill),
                                             M(sg_plan, hopper_lasts),
                                             M(sg_plan, n_breaks),
                                             M(sg_plan, n_cautions),
                                             END};

static const char *difference(const struct member *members, const void *a, const void *b)
{
    for (; members->name; members++)
        if (memcmp((const char *)a + members->offset, (const char *)b + members->offset, members->size) != 0)
            return members->name;
    return NULL;
}

static char where[200];

static bool same_rows(const char *what, const struct member *members, const void *a, const void *b, int32_t n,
                      size_t size)
{
    for (int32_t i = 0; i < n; i++) {
        const char *name =
            difference(members, (const char *)a + (size_t)i * size, (const char *)b + (size_t)i * size);
        if (name) {
            snprintf(where, sizeof where, "%s %d %s", what, i, name);
            return false;
        }
    }
    return true;
}

static bool same_grids(const struct sg_plan *a, const struct sg_plan *b)
{
    for (int32_t i = 0; i < a->n_batches; i++)
        if (a->batches[i].grid_known &&
            !same_rows("grid", grid_members, &a->batches[i], &b->batches[i], 1, sizeof *a->batches))
            return false;
    return true;
}

/* Whether two plans are the same in every bit; `where` names the first that is not. */
static bool same_plan(const struct sg_plan *a, const struct sg_plan *b)
{
    return same_rows("plan", plan_members, a, b, 1, sizeof *a) &&
           same_rows("job", job_members, a->jobs, b->jobs, a->n_jobs, sizeof *a->jobs) &&
           same_rows("stock", stock_members, a->stocks, b->stocks, a->n_stocks, sizeof *a->stocks) &&
           same_rows("part", part_members, a->parts, b->parts, a->n_parts, sizeof *a->parts) &&
           same_rows("event", event_members, a->run.events, b->run.events, a->run.n_events,
                     sizeof *a->run.events) &&
           same_rows("batch", batch_members, a->batches, b->batches, a->n_batches, sizeof *a->batches) &&
           same_grids(a, b) &&
           same_rows("break", break_members, a->breaks, b->breaks, a->n_breaks, sizeof *a->breaks) &&
           same_rows("caution", caution_members, a->cautions, b->cautions, a->n_cautions,
                     sizeof *a->cautions);
}

/* Hours on tubes and orifices at the end: what the next shift starts with. */
static bool same_wear(const struct sg_plan *a, const struct sg_plan *b, int32_t n_heads)
{
    static const struct member hours[] = {{"hours", 0, sizeof(double)}, END};
    return same_rows("wear", hours, a->run.hours, b->run.hours, 2 * n_heads, sizeof(double));
}

/* What no member covers may only be what the compiler leaves between them. */
static void ck_covered(const char *what, const struct member *members, size_t size)
{
    size_t end = 0;
    for (; members->name; members++) {
        size_t gap = members->offset - end;
        ck_assert_msg(members->offset >= end && gap < 8, "%s: %zu bytes before %s are not compared", what,
                      gap, members->name);
        end = members->offset + members->size;
    }
    ck_assert_msg(size - end < 8, "%s: the last %zu bytes are not compared", what, size - end);
}

START_TEST(the_comparison_leaves_nothing_out)
{
    ck_covered("part", part_members, sizeof(struct sg_plan_part));
    ck_covered("stock", stock_members, sizeof(struct sg_plan_stock));
    ck_covered("job", job_members, sizeof(struct sg_plan_job));
    ck_covered("break", break_members, sizeof(struct sg_plan_break));
    ck_covered("event", event_members, sizeof(struct sg_event));
    ck_covered("caution", caution_members, sizeof(struct sg_caution));
    struct sg_event a = {.at = 1}, b = a;
    ck_assert_ptr_null(difference(event_members, &a, &b));
    b.at = nextafter(1, 2);
    ck_assert_str_eq(difference(event_members, &a, &b), "at");
    b = a;
    b.flags = 1;
    ck_assert_str_eq(difference(event_members, &a, &b), "flags");
    b = a;
    b.kind = 1;
    ck_assert_str_eq(difference(event_members, &a, &b), "bags to kind");
}
END_TEST

/* ---- a draft and its mirror ---- */

static struct shop_file file;
static struct file_bytes at_rest;
static struct sg_desk *desk;
static struct sg_draft *draft;
static struct shop_copy mirror; /* the draft's shop as it should be, changed by hand */
static struct random dice;
static struct sg_error error;

/* More than the example has: a second shift, work of the shop's own, a job in the second shift. */
static void add_more(void)
{
    struct sg_change changes[8];
    struct sg_target target;
    static const char *const chores[] = {"when=sheet", "time=1:30"};
    static const char *const shift[] = {"start=06:00", "end=14:00", "breaks=10:00-10:20"};
    static const char *const job[] = {"shift=B", "due=2026-12-02 12:00"};
    static const char *const stock[] = {"material=copper", "thickness=6 mm", "sheet_length=1000 mm",
                                        "sheet_width=500 mm"};
    static const char *const part[] = {"cut_length=400 mm", "quantity=9", "length=90 mm", "width=40 mm"};
    int32_t tomorrow = sg_date_days(2026, 12, 2);
    shop_must(sg_desk_add(desk, SG_KIND_CHORE, NULL, "wash", chores, 2, tomorrow, changes, &target, &error),
              &error);
    shop_must(sg_desk_add(desk, SG_KIND_SHIFT, NULL, "B", shift, 3, tomorrow, changes, &target, &error),
              &error);
    shop_must(sg_desk_add(desk, SG_KIND_JOB, NULL, "last", job, 2, 0, changes, &target, &error), &error);
    shop_must(sg_desk_add(desk, SG_KIND_STOCK, "last", "", stock, 4, 0, changes, &target, &error), &error);
    shop_must(sg_desk_add(desk, SG_KIND_PART, "last/1", "A", part, 4, 0, changes, &target, &error), &error);
}

static void open_shop(bool example, int lines)
{
    shop_file_make(&file, example);
    desk = shop_file_desk(&file, SG_STORE_WRITE);
    if (lines > 0)
        shop_file_lines(desk, lines);
    add_more();
    sg_desk_close(desk);
    desk = shop_file_desk(&file, SG_STORE_READ);
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    shop_copy_take(&mirror, sg_desk_shop(desk));
    at_rest = file_bytes_of(file.path);
}

static void open_example(void)
{
    open_shop(true, 0);
}

static void open_lines(void)
{
    open_shop(false, 500);
}

static void close_shop(void)
{
    ck_assert_msg(file_bytes_are(file.path, &at_rest), "the file has changed");
    free(at_rest.at);
    sg_draft_free(draft);
    sg_desk_close(desk);
    shop_copy_free(&mirror);
    ck_assert(shop_file_remove(&file));
}

/* The draft's plan is the one that a planner without a past makes of a shop; every shift that is asked for.
 */
static void ck_plans_as(const struct sg_shop *shop, int32_t shift, const char *after)
{
    const struct sg_plan *mine = NULL, *fresh = NULL;
    struct sg_error other;
    struct sg_planner *planner = sg_planner_new();
    enum sg_status status = sg_draft_plan(draft, shift, &mine, &error),
                   expected = sg_plan_shift(planner, shop, shift, &fresh, &other);
    ck_assert_msg(status == expected, "after %s: %d, expected %d: %s", after, status, expected,
                  status == SG_OK ? other.text : error.text);
    if (status == SG_OK)
        ck_assert_msg(same_plan(mine, fresh) && same_wear(mine, fresh, shop->n_heads), "after %s: %s", after,
                      where);
    else
        ck_assert_str_eq(error.text, other.text);
    sg_planner_free(planner);
}

static void ck_shop_is_mirror(const char *after)
{
    const char *field = shop_difference(sg_draft_shop(draft), &mirror.shop);
    ck_assert_msg(*field == '\0', "after %s: %s", after, field);
}

/* The kept record of a row, wherever it stands. */
static const void *kept_of(struct sg_target target)
{
    const struct sg_shop *kept = sg_desk_shop(desk);
    int64_t wanted, row;
    memcpy(&wanted, sg_target_record(&mirror.shop, target), sizeof wanted);
    for (int32_t i = 0; i < rows_of(kept, target.kind); i++) {
        const void *record = sg_target_record(kept, (struct sg_target){target.kind, i});
        memcpy(&row, record, sizeof row);
        if (row == wanted)
            return record;
    }
    ck_abort_msg("no kept %s of row %lld", sg_kind_word(target.kind), (long long)wanted);
    return NULL;
}

/* What the contract says of typing, done by hand to the mirror: the kept value first, then the value if it
 * is whole and the rules take it. */
static void type_by_hand(struct sg_target target, const struct sg_field *field, const char *text,
                         struct sg_typed *expected)
{
    struct sg_value kept;
    void *record = sg_target_record(&mirror.shop, target);
    sg_field_get(field, kept_of(target), &kept);
    sg_field_put(field, record, &kept);
    sg_field_read(field, &mirror.shop, text, expected);
    if (expected->state == SG_PARSE_WHOLE) {
        struct sg_value value = expected->value;
        if (field->type == SG_FIELD_TEXT && !value.none) {
            size_t length = strlen(value.text);
            while (length > 0 && value.text[length - 1] == ' ')
                length--;
            value.text = sg_arena_text(&mirror.arena, value.text, length);
        }
        sg_field_put(field, record, &value);
        if (sg_rules_check(target.kind, record, &mirror.shop, &error) != SG_OK) {
            sg_field_put(field, record, &kept);
            expected->state = SG_PARSE_WRONG;
            snprintf(expected->text, sizeof expected->text, "%s", error.text);
        }
    }
    sg_calendar_fill_all(&mirror.shop);
}

struct tally {
    int whole, unfinished, wrong, refused, moves, several, failed, resets, escapes;
};

static struct tally tally;

static void type(struct sg_target target, const struct sg_field *field, const char *text)
{
    struct sg_typed typed, expected, read;
    type_by_hand(target, field, text, &expected);
    sg_draft_type(draft, target, field, text, &typed);
    ck_assert_msg(typed.state == expected.state, "%s=%s is %d, not %d", field->name, text, typed.state,
                  expected.state);
    ck_assert_msg(strcmp(typed.text, expected.text) == 0, "%s=%s: %s | %s", field->name, text, typed.text,
                  expected.text);
    ck_assert_int_eq(typed.odd, expected.odd);
    if (typed.state != SG_PARSE_WHOLE)
        ck_assert_msg(typed.text[0] != '\0', "%s=%s: no word why it is not taken", field->name, text);
    sg_field_read(field, &mirror.shop, text, &read);
    tally.whole += typed.state == SG_PARSE_WHOLE;
    tally.unfinished += typed.state == SG_PARSE_UNFINISHED;
    tally.wrong += typed.state == SG_PARSE_WRONG;
    tally.refused += typed.state == SG_PARSE_WRONG && read.state == SG_PARSE_WHOLE;
}

/* ---- texts as they may be typed ---- */

static const char *pick(const char *const *texts)
{
    unsigned n = 0;
    while (texts[n])
        n++;
    return texts[random_below(&dice, n)];
}

#define PICK(...) pick((const char *const[]){__VA_ARGS__, NULL})

/* A text that reads back as the kept value of a row; "" where it has none that could be typed. */
static void kept_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    struct sg_value value;
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_unit *unit = sg_field_unit(field, shop->units);
    out[0] = '\0';
    sg_field_get(field, kept_of(target), &value);
    if (value.none)
        snprintf(out, size, "%s", field->flags & SG_FIELD_OPTIONAL ? "none" : "");
    else if (field->type == SG_FIELD_NUMBER || field->type == SG_FIELD_EDGE)
        sg_number_exact(value.number[0], unit, field->type == SG_FIELD_NUMBER, out, size);
    else if (field->type == SG_FIELD_NUMBERS)
        for (int i = 0; i < field->count; i++) {
            size_t used = strlen(out);
            out[used] = ' ';
            sg_number_exact(value.number[i], unit, true, out + used + (i > 0), size - used - 1);
            for (char *at = out + used + 1; *at; at++)
                if (*at == ' ')
                    memmove(at, at + 1, strlen(at)); /* 0.1in, so that blanks are only between numbers */
        }
    else
        sg_field_show(field, shop, &value, out, size);
}

static void number_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    struct sg_value value;
    const struct sg_unit *unit = sg_field_unit(field, sg_desk_shop(desk)->units);
    char number[64];
    sg_field_get(field, kept_of(target), &value);
    double now = value.none || value.number[0] == 0 ? 3 * (double)unit->factor : value.number[0];
    sg_number_format(now * (0.4 + 1.6 * random_unit(&dice)), unit, 1 + (int)random_below(&dice, 4), number,
                     sizeof number);
    switch (random_below(&dice, 12)) {
    case 0:
        snprintf(out, size, "=%s*1.1", number);
        return;
    case 1:
        snprintf(out, size, "%s",
                 PICK("", "-", "abc", "1,200", "=12*", "1e999", "-5", "1/", "0", "12 furlongs"));
        return;
    case 2:
        snprintf(out, size, "%s", field->flags & SG_FIELD_OPTIONAL ? "none" : "99999999999");
        return;
    case 3:
        snprintf(out, size, " %s %s ", number, unit->name);
        return;
    default:
        snprintf(out, size, "%s", number);
    }
}

static void whole_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    struct sg_value value;
    sg_field_get(field, kept_of(target), &value);
    unsigned most = value.none || value.whole < 4 ? 6 : (unsigned)value.whole * 2;
    if (random_below(&dice, 10) == 0)
        snprintf(out, size, "%s", PICK("", "x", "1.5", "-3", "=2*", "none", "99999999", "1,200"));
    else if (field->min == 0 && random_below(&dice, 5) == 0)
        snprintf(out, size, "0");
    else
        snprintf(out, size, "%u", random_below(&dice, most));
}

static void word_text(const struct sg_field *field, char *out, size_t size)
{
    int n = 0;
    while (field->words[n])
        n++;
    snprintf(out, size, "%s", field->words[random_below(&dice, (unsigned)n)]);
    if (random_below(&dice, 6) == 0)
        out[random_below(&dice, (unsigned)strlen(out))] = '\0';
    else if (random_below(&dice, 10) == 0)
        snprintf(out, size, "%s", PICK("maybe", "none", "9", "yess"));
}

static void name_text(const struct sg_field *field, char *out, size_t size)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    if (field->type == SG_FIELD_HEAD)
        snprintf(out, size, "%s", PICK("abrasive", "water", "none", "abr", "laser head"));
    else if (random_below(&dice, 8) == 0)
        snprintf(out, size, "%s", PICK("", "st", "cheese", "none", "glass"));
    else
        snprintf(out, size, "%s", shop->materials[random_below(&dice, (unsigned)shop->n_materials)].name);
}

static void make_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    switch (field->type) {
    case SG_FIELD_NUMBER:
        number_text(target, field, out, size);
        return;
    case SG_FIELD_WHOLE:
        whole_text(target, field, out, size);
        return;
    case SG_FIELD_EDGE:
        snprintf(out, size, "%s",
                 PICK("1", "2", "3", "4", "5", "2.5", "fine", "coa", "none", "6", "medium", "x"));
        return;
    case SG_FIELD_NUMBERS:
        snprintf(out, size, "%s", PICK("1 2 3 4", "0.1 0.2 0.3 0.4 0.5", "2,3,4,5", "0.004in", "1 2 x 4"));
        return;
    case SG_FIELD_CHOICE:
    case SG_FIELD_FLAGS:
        word_text(field, out, size);
        return;
    case SG_FIELD_MATERIAL:
    case SG_FIELD_HEAD:
        name_text(field, out, size);
        return;
    case SG_FIELD_TEXT:
        snprintf(out, size, "%s", PICK("2601/1", "2601/1  ", "J1/1", "none", "a word", "bad \x01", ""));
        return;
    case SG_FIELD_DATE:
        snprintf(out, size, "%s", PICK("2026-12-01", "2026-12-02", "2026-11-30", "2026-13-01", "2026-"));
        return;
    case SG_FIELD_DATES:
        snprintf(out, size, "%s", PICK("none", "2026-12-01", "2026-12-24,2026-12-25", "soon"));
        return;
    case SG_FIELD_TIME:
        snprintf(out, size, "%s", PICK("06:00", "05:30", "07:15", "14:30", "22:00", "02:00", "25:00", "6"));
        return;
    case SG_FIELD_MOMENT:
        snprintf(out, size, "%s", PICK("none", "2026-12-01 11:00", "2026-12-02", "2026-12-01 25:00", ""));
        return;
    case SG_FIELD_SPANS:
        snprintf(out, size, "%s",
                 PICK("none", "09:30-09:45,12:00-12:30", "10:00-10:30", "08:00-08:10,11:00-11:40",
                      "01:00-01:30", "12:00-12:30,12:30-12:40", "09:30-",
                      "07:00-07:05,09:00-09:05,11:00-11:05,13:00-13:30"));
        return;
    case SG_FIELD_SHIFT:
        snprintf(out, size, "A");
    }
}

static bool is_place(const struct sg_field *field)
{
    return field->kind == SG_KIND_JOB && (!strcmp(field->name, "shift") || !strcmp(field->name, "order"));
}

static void choose(struct sg_target *target, const struct sg_field **field)
{
    static const enum sg_kind kinds[] = {SG_KIND_PART,    SG_KIND_PART,  SG_KIND_PART,  SG_KIND_PART,
                                         SG_KIND_STOCK,   SG_KIND_STOCK, SG_KIND_STOCK, SG_KIND_MACHINE,
                                         SG_KIND_MACHINE, SG_KIND_HEAD,  SG_KIND_SHIFT, SG_KIND_MATERIAL,
                                         SG_KIND_JOB,     SG_KIND_CHORE};
    int n_fields;
    target->kind = kinds[random_below(&dice, sizeof kinds / sizeof *kinds)];
    target->index = (int32_t)random_below(&dice, (unsigned)rows_of(&mirror.shop, target->kind));
    const struct sg_field *fields = sg_fields(target->kind, &n_fields);
    do
        *field = &fields[random_below(&dice, (unsigned)n_fields)];
    while (is_place(*field));
}

/* ---- changes that are set at once ---- */

static void set_place(void)
{
    char order[24], shift[24], key[80];
    const char *assignments[2];
    struct sg_change changes[2];
    struct sg_target target;
    int n = 0;
    int32_t job = (int32_t)random_below(&dice, (unsigned)mirror.shop.n_jobs),
            to = mirror.shop.jobs[job].shift, place = INT32_MAX;
    snprintf(key, sizeof key, "%s", mirror.shop.jobs[job].id);
    if (random_below(&dice, 2) == 0) {
        to = (int32_t)random_below(&dice, 2);
        snprintf(shift, sizeof shift, "shift=%s", mirror.shop.shifts[to].id);
        assignments[n++] = shift;
    }
    if (n == 0 || random_below(&dice, 2) == 0) {
        place = 1 + (int32_t)random_below(&dice, 8);
        snprintf(order, sizeof order, "order=%d", place);
        assignments[n++] = order;
    }
    ck_assert_msg(sg_draft_set(draft, key, assignments, n, changes, &target, &error) == SG_OK, "%s",
                  error.text);
    int32_t at = shop_copy_move(&mirror, job, to, place);
    ck_assert_int_eq(target.kind, SG_KIND_JOB);
    ck_assert_msg(target.index == at, "%s %s: at %d, expected %d", key, assignments[0], target.index, at);
    tally.moves++;
}

/* Several fields of a part, all or none: one time in three the last is not possible. */
static void set_several(void)
{
    char key[300], quantity[32], length[32];
    struct sg_change changes[3];
    struct sg_target target;
    int32_t index = (int32_t)random_below(&dice, (unsigned)mirror.shop.n_parts);
    int32_t pieces = 1 + (int32_t)random_below(&dice, 30), mm = 100 + (int32_t)random_below(&dice, 900);
    bool bad = random_below(&dice, 3) == 0;
    sg_key_write(&mirror.shop, (struct sg_target){SG_KIND_PART, index}, key, sizeof key);
    snprintf(quantity, sizeof quantity, "quantity=%d", pieces);
    snprintf(length, sizeof length, "cut_length=%d mm", mm);
    const char *const assignments[] = {quantity, length, bad ? "pierces=-1" : "edge=fine"};
    enum sg_status status = sg_draft_set(draft, key, assignments, 3, changes, &target, &error);
    ck_assert_int_eq(status, bad ? SG_BAD_DATA : SG_OK);
    if (bad) {
        tally.failed++;
        return;
    }
    ck_assert_int_eq(target.index, index);
    mirror.shop.parts[index].quantity = pieces;
    mirror.shop.parts[index].cut_length = mm;
    mirror.shop.parts[index].edge = 4;
    tally.several++;
}

/* ---- random edits ---- */

static void reset(void)
{
    ck_assert_int_eq(sg_draft_reset(draft, &error), SG_OK);
    shop_copy_take(&mirror, sg_desk_shop(desk));
    tally.resets++;
}

static void escape(struct sg_target target, const struct sg_field *field)
{
    char text[SG_CHANGE_TEXT];
    struct sg_value kept, now;
    kept_text(target, field, text, sizeof text);
    type(target, field, text);
    sg_field_get(field, kept_of(target), &kept);
    sg_field_get(field, sg_target_record(sg_draft_shop(draft), target), &now);
    ck_assert_msg(sg_field_same(field, &kept, &now), "%s=%s is not the kept value", field->name, text);
    tally.escapes++;
}

/* Type, set, escape and drop at random; after each, the plan of a shift is that of the mirror. */
static void edit_at_random(uint64_t seed, int edits)
{
    struct sg_target target = {SG_KIND_MACHINE, 0};
    const struct sg_field *field = sg_field_find(SG_KIND_MACHINE, "bag");
    char text[SG_CHANGE_TEXT], after[600];
    dice.state = seed;
    for (int i = 0; i < edits; i++) {
        unsigned what = random_below(&dice, 100);
        snprintf(after, sizeof after, "edit %d (%s)", i, field->name);
        if (what < 4) {
            reset();
            ck_plans_as(sg_desk_shop(desk), (int32_t)random_below(&dice, 2), "a reset");
        } else if (what < 7) {
            set_place();
        } else if (what < 10) {
            set_several();
        } else if (what < 25) {
            escape(target, field);
        } else {
            if (what < 70)
                choose(&target, &field);
            make_text(target, field, text, sizeof text);
            snprintf(after, sizeof after, "edit %d (%s=%s)", i, field->name, text);
            type(target, field, text);
        }
        ck_plans_as(&mirror.shop, (int32_t)random_below(&dice, 2), after);
        if (i % 50 == 0)
            ck_shop_is_mirror(after);
    }
    ck_shop_is_mirror("the last");
}

/* Every kind of edit came up, often. */
static void ck_tally(int edits)
{
    int least = edits / 200;
    ck_assert_int_gt(tally.whole, edits / 3);
    ck_assert_int_gt(tally.unfinished, least);
    ck_assert_int_gt(tally.wrong, least);
    ck_assert_int_gt(tally.refused, 0);
    ck_assert_int_gt(tally.moves, least);
    ck_assert_int_gt(tally.several, least);
    ck_assert_int_gt(tally.failed, 0);
    ck_assert_int_gt(tally.resets, least);
    ck_assert_int_gt(tally.escapes, edits / 20);
}

enum { ROUNDS = 8, EDITS = 1250 }; /* times two shops: 20,000 edits */

START_TEST(twenty_thousand_edits_plan_like_a_fresh_planner)
{
    edit_at_random(0x1DEA5A9D61A55u + (uint64_t)_i * 0x9E3779B97F4A7C15u, EDITS);
    ck_tally(EDITS);
}
END_TEST

/* ---- one rule at a time, on the example ---- */

static struct sg_target find(const char *key)
{
    struct sg_target target = {SG_KIND_MACHINE, 0};
    shop_must(sg_key_find(sg_draft_shop(draft), key, &target, &error), &error);
    return target;
}

static struct sg_typed typed_into(const char *key, const char *name, const char *text)
{
    struct sg_typed typed;
    struct sg_target target = find(key);
    sg_draft_type(draft, target, sg_field_find(target.kind, name), text, &typed);
    return typed;
}

static double ends_of(int32_t shift)
{
    const struct sg_plan *plan = NULL;
    ck_assert_int_eq(sg_draft_plan(draft, shift, &plan, &error), SG_OK);
    return plan->ends;
}

START_TEST(escape_from_any_field_gives_the_kept_plan)
{
    for (int kind = 0; kind < SG_KINDS; kind++) {
        int n_fields;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &n_fields);
        for (int32_t i = 0; i < rows_of(&mirror.shop, (enum sg_kind)kind) && i < 4; i++)
            for (int f = 0; f < n_fields; f++) {
                const struct sg_target target = {(enum sg_kind)kind, i};
                char text[SG_CHANGE_TEXT];
                if (is_place(&fields[f]))
                    continue;
                make_text(target, &fields[f], text, sizeof text);
                type(target, &fields[f], text);
                escape(target, &fields[f]);
                ck_plans_as(sg_desk_shop(desk), 0, fields[f].name);
                const char *field = shop_difference(sg_draft_shop(draft), sg_desk_shop(desk));
                ck_assert_msg(*field == '\0', "after %s: %s", fields[f].name, field);
            }
    }
    ck_assert_int_gt(tally.escapes, 150);
}
END_TEST

static const struct {
    const char *key, *field, *text;
    enum sg_parse_state state;
    const char *why;
} not_taken[] = {
    {"2601/1/A", "quantity", "", SG_PARSE_UNFINISHED, "nothing typed"},
    {"2601/1/A", "quantity", "1.5", SG_PARSE_WRONG, "whole"},
    {"2601/1/A", "quantity", "=12*", SG_PARSE_UNFINISHED, ""},
    {"2601/1/A", "cut_length", "12x", SG_PARSE_WRONG, ""},
    {"2601/1", "thickness", "0", SG_PARSE_WRONG, "more than 0"},
    {"2601/1", "material", "cheese", SG_PARSE_WRONG, "not in the library"},
    {"2601/1", "pierce", "mov", SG_PARSE_UNFINISHED, "moving"},
    {"head:abrasive", "pressure", "none", SG_PARSE_WRONG, "cleared"},
    /* the rules between fields (rules.c) */
    {"machine:main", "low_line", "700 lb", SG_PARSE_WRONG,
     "low_line of 700.000 lb is not below the hopper's 600.000 lb"},
    {"machine:main", "hopper_level", "601 lb", SG_PARSE_WRONG,
     "hopper_level of 601.000 lb is more than the hopper's"},
    {"2603/1", "thickness", "9 in", SG_PARSE_WRONG,
     "thickness times stack is 9.000 in, the head lifts over z_travel 8.000 in"},
    {"2603/1", "stack", "20", SG_PARSE_WRONG, "thickness times stack is 10.000 in"},
    {"2603/1", "sheet_width", "70 in", SG_PARSE_WRONG, "does not fit across the table_width of 60.000 in"},
    {"2603/1", "margin", "30 in", SG_PARSE_WRONG, "leaves nothing of a sheet 48.000 in wide"},
    {"head:abrasive", "low_pressure", "60 ksi", SG_PARSE_WRONG,
     "low_pressure of 60.000 ksi is above the pressure of 55.000 ksi"},
    {"head:abrasive", "tube", "0.010 in", SG_PARSE_WRONG,
     "a tube of 0.010 in is not wider than the orifice of 0.013 in"},
    {"head:abrasive", "garnet", "none", SG_PARSE_WRONG, "an abrasive head needs a tube and a garnet feed"},
    {"shift:A", "breaks", "05:00-05:30", SG_PARSE_WRONG,
     "the break 05:00-05:30 does not lie inside the shift, 06:00 to 14:30"},
    {"shift:A", "end", "12:00", SG_PARSE_WRONG,
     "the break 12:00-12:30 does not lie inside the shift, 06:00 to 12:00"},
    {"shift:A", "breaks", "09:00-09:30,09:30-10:00", SG_PARSE_WRONG, "touches the one before it"},
};

START_TEST(a_text_that_is_not_taken_leaves_the_kept_results_and_says_why)
{
    struct sg_typed first = typed_into(not_taken[_i].key, not_taken[_i].field, not_taken[_i].text);
    ck_assert_msg(first.state == not_taken[_i].state, "%s=%s: %d %s", not_taken[_i].field, not_taken[_i].text,
                  first.state, first.text);
    ck_assert_msg(first.text[0] && strstr(first.text, not_taken[_i].why), "%s=%s: %s", not_taken[_i].field,
                  not_taken[_i].text, first.text);
    ck_plans_as(sg_desk_shop(desk), 0, not_taken[_i].field);
    ck_shop_is_mirror(not_taken[_i].field);
}
END_TEST

START_TEST(each_key_of_a_number_is_planned_and_a_wrong_one_takes_it_back)
{
    double kept = ends_of(0);
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "2").state, SG_PARSE_WHOLE);
    double two = ends_of(0);
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "25").state, SG_PARSE_WHOLE);
    double twenty_five = ends_of(0);
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "25x").state, SG_PARSE_WRONG);
    ck_assert_msg(two < kept && kept < twenty_five, "%g %g %g", two, kept, twenty_five);
    ck_assert(ends_of(0) == kept);
}
END_TEST

/* The planner keeps what it knows of the stocks that did not change: a part without pieces behind the one
 * that is typed must not reach into the next stock. */
START_TEST(a_part_without_pieces_leaves_the_next_stock_alone)
{
    mirror.shop.parts[1].quantity = 0; /* 2601/1/B, the last of its stock */
    ck_assert_int_eq(typed_into("2601/1/B", "quantity", "0").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "no pieces of B");
    mirror.shop.parts[0].quantity = 21;
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "21").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "21 pieces of A");
    mirror.shop.parts[1].cut_length = (double)NAN;
    mirror.shop.parts[1].quantity = 3;
    ck_assert_int_eq(typed_into("2601/1/B", "quantity", "3").state, SG_PARSE_WHOLE);
    ck_assert_int_eq(typed_into("2601/1/B", "cut_length", "none").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "B of no length");
    mirror.shop.parts[0].quantity = 22;
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "22").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "22 pieces of A");
}
END_TEST

/* sheet_on names a stock: a blank behind it must not make it another one. */
START_TEST(blanks_around_a_text_do_not_count)
{
    const struct sg_plan *plan = NULL;
    ck_assert_int_eq(typed_into("shift:A", "sheet_on", " 2601/1 \t").state, SG_PARSE_WHOLE);
    ck_assert_str_eq(sg_draft_shop(draft)->shifts[0].sheet_on, "2601/1");
    ck_assert_int_eq(sg_draft_plan(draft, 0, &plan, &error), SG_OK);
    ck_assert(plan->sheet_on);
}
END_TEST

START_TEST(what_was_typed_into_a_moved_job_goes_back_to_its_own_kept_value)
{
    struct sg_change change;
    struct sg_target target;
    const char *first = "order=1";
    ck_assert_int_eq(sg_draft_set(draft, "2603", &first, 1, &change, &target, &error), SG_OK);
    ck_assert_int_eq(target.index, 0);
    ck_assert_int_eq(typed_into("2603/1/A", "quantity", "99").state, SG_PARSE_WHOLE);
    ck_assert_int_eq(typed_into("2603/1/A", "quantity", "").state, SG_PARSE_UNFINISHED);
    ck_assert_int_eq(typed_into("2601/1", "edge", "x").state, SG_PARSE_WRONG);
    shop_copy_move(&mirror, 2, 0, 1);
    ck_shop_is_mirror("the move"); /* 12 base plates, not the 20 brackets that stand first in the kept shop */
    ck_plans_as(&mirror.shop, 0, "the move");
}
END_TEST

static void refuse_set(const char *key, const char *first, const char *second, const char *why)
{
    struct sg_change changes[2];
    struct sg_target target = {SG_KIND_CHORE, 77};
    const char *const assignments[] = {first, second};
    ck_assert_int_ne(sg_draft_set(draft, key, assignments, 2, changes, &target, &error), SG_OK);
    ck_assert_msg(strstr(error.text, why), "%s", error.text);
    ck_assert_int_eq(target.index, 77);
    ck_shop_is_mirror(second);
    ck_plans_as(&mirror.shop, 0, second);
}

START_TEST(set_in_a_draft_is_all_or_none)
{
    ck_assert_int_eq(typed_into("2602/1/A", "quantity", "3").state, SG_PARSE_WHOLE);
    mirror.shop.parts[2].quantity = 3; /* stays through everything that is refused */
    refuse_set("2601/1/A", "quantity=3", "pierces=-1", "pierces=-1");
    refuse_set("2601/1/A", "quantity=3", "colour=red", "no field \"colour\"");
    refuse_set("2601/1/A", "quantity=3", "quantity=4", "given twice");
    refuse_set("machine:main", "hopper=100 lb", "low_line=200 lb", "not below the hopper");
    refuse_set("shift:A", "start=05:00", "end=10:00", "does not lie inside the shift");
    refuse_set("2603", "order=1", "due=never", "due=never");
    refuse_set("2603", "shift=B", "order=0", "order=0");
    refuse_set("9999", "order=1", "due=none", "no job");
}
END_TEST

/* ---- memory ---- */

#if COUNT_CALLS
static void type_numbers(int n)
{
    static const struct {
        const char *field;
        double low, step;
    } numbers[] = {{"quantity", 1, 1}, {"cut_length", 5, 0.5}, {"pierces", 0, 1}, {"edge", 1, 0.05}};
    const struct sg_plan *plan;
    struct sg_typed typed;
    char text[32];
    for (int i = 0; i < n; i++) {
        const int field = i % 4;
        const struct sg_target part = {SG_KIND_PART, i * 7 % mirror.shop.n_parts}, head = {SG_KIND_HEAD, 0};
        snprintf(text, sizeof text, "%g", numbers[field].low + numbers[field].step * (i % 40));
        sg_draft_type(draft, part, sg_field_find(SG_KIND_PART, numbers[field].field), text, &typed);
        if (i % 50 == 0) {
            snprintf(text, sizeof text, "%d ksi", 40 + i % 15);
            sg_draft_type(draft, head, sg_field_find(SG_KIND_HEAD, "pressure"), text, &typed);
        }
        if (typed.state != SG_PARSE_WHOLE || sg_draft_plan(draft, 0, &plan, NULL) != SG_OK)
            ck_abort_msg("%s: %s", text, typed.text);
    }
}

START_TEST(a_thousand_numbers_typed_and_planned_ask_for_no_memory)
{
    long before = allocations;
    void *volatile taken = malloc(10);
    free(taken);
    ck_assert_int_gt(allocations, before); /* calls are counted at all */
    type_numbers(1000);
    before = allocations;
    type_numbers(1000);
    ck_assert_int_eq(allocations - before, 0);
}
END_TEST
#endif

/* ---- two desks on one file ---- */

static void keep(struct sg_desk *with, const char *key, const char *assignment)
{
    struct sg_change change;
    shop_must(sg_desk_set(with, key, &assignment, 1, true, &change, NULL, &error), &error);
}

static const struct sg_part *part_of(struct sg_desk *of, const char *key)
{
    struct sg_target target = {SG_KIND_PART, 0};
    shop_must(sg_key_find(sg_desk_shop(of), key, &target, &error), &error);
    return &sg_desk_shop(of)->parts[target.index];
}

START_TEST(two_people_change_one_file_and_both_keep_theirs)
{
    struct shop_file shared;
    struct sg_draft *mine = NULL;
    struct sg_typed typed;
    const struct sg_plan *plan = NULL;
    shop_file_make(&shared, true);
    struct sg_desk *one = shop_file_desk(&shared, SG_STORE_WRITE),
                   *other = shop_file_desk(&shared, SG_STORE_WRITE);
    shop_must(sg_draft_new(one, &mine, &error), &error);
    struct sg_target target = {SG_KIND_PART, 0}; /* 2601/1/A */
    const struct sg_field *quantity = sg_field_find(SG_KIND_PART, "quantity");
    sg_draft_type(mine, target, quantity, "7", &typed);
    ck_assert_int_eq(sg_draft_plan(mine, 0, &plan, &error), SG_OK);
    double drafted = plan->ends;
    keep(other, "2601/1/B", "quantity=5"); /* while the draft of one stands */
    ck_assert_int_eq(sg_draft_plan(mine, 0, &plan, &error), SG_OK);
    ck_assert(plan->ends == drafted);
    ck_assert_int_eq(sg_draft_shop(mine)->parts[0].quantity, 7);
    keep(one, "2601/1/A", "quantity=7");
    ck_assert_int_eq(sg_draft_reset(mine, &error), SG_OK);
    ck_assert_int_eq(sg_draft_shop(mine)->parts[0].quantity, 7);
    ck_assert_int_eq(sg_draft_shop(mine)->parts[1].quantity, 5);
    struct sg_desk *third = shop_file_desk(&shared, SG_STORE_READ);
    ck_assert_int_eq(part_of(third, "2601/1/A")->quantity, 7);
    ck_assert_int_eq(part_of(third, "2601/1/B")->quantity, 5);
    sg_desk_close(third);
    /* a field of the same row, and the same field: the later one stands */
    keep(other, "2601/1/A", "pierces=9");
    keep(one, "2601/1/A", "cut_length=10 in");
    keep(other, "2601/1/A", "quantity=8");
    ck_assert_int_eq(part_of(other, "2601/1/A")->quantity, 8);
    ck_assert_int_eq(part_of(other, "2601/1/A")->pierces, 9);
    ck_assert(part_of(other, "2601/1/A")->cut_length == 254);
    sg_draft_free(mine);
    sg_desk_close(one);
    sg_desk_close(other);
    ck_assert(shop_file_remove(&shared));
}
END_TEST

static TCase *on_shop(Suite *suite, const char *name, void (*open)(void))
{
    TCase *tcase = tcase_create(name);
    tcase_add_checked_fixture(tcase, open, close_shop);
    tcase_set_timeout(tcase, 240);
    suite_add_tcase(suite, tcase);
    return tcase;
}

int main(void)
{
    Suite *suite = suite_create("draft");
    TCase *plain = tcase_create("plain"), *example = on_shop(suite, "example", open_example),
          *lines = on_shop(suite, "500 lines", open_lines);
    suite_add_tcase(suite, plain);
    tcase_add_test(plain, the_comparison_leaves_nothing_out);
    tcase_add_test(plain, two_people_change_one_file_and_both_keep_theirs);
    tcase_add_loop_test(example, twenty_thousand_edits_plan_like_a_fresh_planner, 0, ROUNDS);
    tcase_add_loop_test(lines, twenty_thousand_edits_plan_like_a_fresh_planner, 0, ROUNDS);
    tcase_add_test(example, escape_from_any_field_gives_the_kept_plan);
    tcase_add_loop_test(example, a_text_that_is_not_taken_leaves_the_kept_results_and_says_why, 0,
                        sizeof not_taken / sizeof *not_taken);
    tcase_add_test(example, each_key_of_a_number_is_planned_and_a_wrong_one_takes_it_back);
    tcase_add_test(example, a_part_without_pieces_leaves_the_next_stock_alone);
    tcase_add_test(example, blanks_around_a_text_do_not_count);
    tcase_add_test(example, what_was_typed_into_a_moved_job_goes_back_to_its_own_kept_value);
    tcase_add_test(example, set_in_a_draft_is_all_or_none);
#if COUNT_CALLS
    tcase_add_test(lines, a_thousand_numbers_typed_and_planned_ask_for_no_memory);
#endif
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
