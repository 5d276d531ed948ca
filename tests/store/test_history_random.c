/* Random steps of two people, taken back and done again: each gives back what it changed, and what is in its
 * way is named, as told by the content before and after. */
#include "store/random_changes.h"

/* Thousands of steps: what a kill would lose is tested elsewhere. */
static void open_quickly(void)
{
    store = open_shop("shop.db", SG_STORE_WRITE);
    ck_assert_int_eq(sg_store_run(store, "PRAGMA synchronous = OFF", &error), SG_OK);
}

/* ---- what the steps did, by the content before and after ---- */

struct difference {
    struct cell cell; /* value before; NULL: there was none */
    const char *after;
};

struct event {
    int64_t id;
    int step;
    int at;
    bool in_force; /* the step, after it */
    struct difference *differences;
    int n;
    bool jobs_came_or_went;
};

struct step {
    const char *who;
    int last; /* event */
    bool at_base;
};

enum { MOST_EVENTS = 10000, JOB_TABLE = 0, JOB_POSITION = 3 };
static struct event events[MOST_EVENTS];
static struct step steps[MOST_EVENTS];
static int n_events, n_steps;
static struct content content; /* after the last event */

static void write_event(int step, int at, bool in_force, const struct content *after)
{
    struct event *event = &events[n_events];
    struct both both = {.before = &content, .after = after};
    const struct cell *x, *y;
    *event = (struct event){.id = sg_store_kept(store), .step = step, .at = at, .in_force = in_force};
    while (next_difference(&both, &x, &y)) {
        if (event->n % 16 == 0)
            event->differences =
                realloc(event->differences, ((size_t)event->n + 16) * sizeof *event->differences);
        struct difference *difference = &event->differences[event->n++];
        difference->cell = x ? *x : *y;
        difference->cell.value = x ? sg_arena_text(&dice.arena, x->value, strlen(x->value)) : NULL;
        difference->after = y ? sg_arena_text(&dice.arena, y->value, strlen(y->value)) : NULL;
        event->jobs_came_or_went |= difference->cell.table == JOB_TABLE && (!x || !y);
    }
    steps[step].last = n_events++;
    ck_assert_int_lt(n_events, MOST_EVENTS);
    ck_assert(n_events == 1 || event->id > events[n_events - 2].id);
}

static bool is_place(const struct cell *cell)
{
    return cell->table == JOB_TABLE && cell->column == JOB_POSITION;
}

static bool share_a_cell(const struct event *ours, const struct event *theirs)
{
    for (int i = 0, j = 0; i < ours->n && j < theirs->n;) {
        int order = compare_cells(&ours->differences[i].cell, &theirs->differences[j].cell);
        if (order == 0 && !(ours->jobs_came_or_went && is_place(&ours->differences[i].cell)))
            return true;
        i += order <= 0;
        j += order >= 0;
    }
    return false;
}

/* A column that holds rows: which table they are of. */
static int points_to(const struct cell *cell)
{
    static const struct {
        int table, column, to;
    } links[] = {{0, 2, 3}, {1, 1, 0}, {1, 3, 6}, {2, 1, 1}};
    for (size_t i = 0; i < sizeof links / sizeof *links; i++)
        if (links[i].table == cell->table && links[i].column == cell->column)
            return links[i].to;
    char sql[200];
    snprintf(sql, sizeof sql,
             "SELECT count(*) FROM pragma_foreign_key_list('%s') AS f JOIN pragma_table_info('%s') AS t ON "
             "t.name = f.\"from\" WHERE t.cid = %d AND f.\"table\" = 'head'",
             content_tables[cell->table], content_tables[cell->table], cell->column);
    return row_of(store, sql) ? 5 : -1;
}

/* Whether one of a points to a row of b. */
static bool points_into(const struct event *a, const struct event *b)
{
    for (int i = 0; i < a->n; i++) {
        int to = points_to(&a->differences[i].cell);
        const char *values[] = {a->differences[i].cell.value, a->differences[i].after};
        for (int j = 0; j < b->n && to >= 0; j++)
            for (int k = 0; k < 2; k++)
                if (b->differences[j].cell.table == to && values[k] &&
                    strtoll(values[k], NULL, 10) == b->differences[j].cell.row)
                    return true;
    }
    return false;
}

/* Whether both are about rows of one table with the same key or number. */
static bool share_a_key(const struct event *a, const struct event *b)
{
    for (int i = 0; i < a->n; i++)
        for (int j = 0; j < b->n; j++) {
            const struct difference *x = &a->differences[i], *y = &b->differences[j];
            const char *gone = x->cell.value ? x->cell.value : x->after;
            const char *come = y->cell.value ? y->cell.value : y->after;
            if (x->cell.table == y->cell.table && x->cell.column == y->cell.column && (x->cell.column <= 3) &&
                strcmp(gone, come) == 0)
                return true;
        }
    return false;
}

/* ---- the person's next step, and what is in its way ---- */

static int next_step(enum sg_step_kind kind, const char *who, bool *newer)
{
    int found = -1, newest = -1;
    for (int i = 0; i < n_steps; i++) {
        if (strcmp(steps[i].who, who) != 0)
            continue;
        newest = i;
        bool in_force = events[steps[i].last].in_force;
        if (kind == SG_STEP_UNDO ? in_force : !in_force && (found < 0 || steps[i].last > steps[found].last))
            found = i;
    }
    *newer = false;
    if (kind == SG_STEP_REDO && found >= 0)
        for (int i = steps[found].last; i < n_events; i++)
            *newer |=
                events[i].step == newest && steps[newest].last >= i && newest > found && events[i].in_force;
    return found;
}

/* Whether a step other than ours, in force now and not at the base of ours or the other way round, touched
 * what our base changed. Such a step with number `named` sets *is_named. */
static bool something_bars(int ours, int named, bool *is_named)
{
    int base = steps[ours].last;
    bool bars = false;
    for (int i = 0; i < n_steps; i++)
        steps[i].at_base = false;
    for (int i = 0; i <= base; i++)
        steps[events[i].step].at_base = events[i].in_force;
    *is_named = false;
    for (int i = base + 1; i < n_events; i++) {
        int step = events[i].step;
        if (step == ours || steps[step].at_base == events[steps[step].last].in_force ||
            !share_a_cell(&events[base], &events[i]))
            continue;
        bars = true;
        *is_named |= step == named;
    }
    return bars;
}

/* ---- undo and redo, held against that ---- */

static struct {
    int done, nothing, barred, linked, undone_again;
} counts;

static const char *value_in(const struct content *in, const struct cell *wanted)
{
    int from = 0, to = in->n;
    while (from < to) {
        int middle = (from + to) / 2;
        if (compare_cells(&in->cells[middle], wanted) < 0)
            from = middle + 1;
        else
            to = middle;
    }
    return from < in->n && compare_cells(&in->cells[from], wanted) == 0 ? in->cells[from].value : NULL;
}

static bool same_text(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* What the base changed was as it left it, and is now as it was before; nothing else is changed, but for the
 * places that have to give way. */
static void came_back(const struct event *base, const struct content *after)
{
    static const int place[CONTENT_TABLES] = {3, -1, 2, 2, -1, -1, -1, 1, -1};
    struct both both = {.before = &content, .after = after};
    const struct cell *x, *y;
    int j = 0;
    for (int i = 0; i < base->n; i++) {
        const struct difference *difference = &base->differences[i];
        bool loose = place[difference->cell.table] == difference->cell.column;
        const char *was = value_in(&content, &difference->cell), *is = value_in(after, &difference->cell);
        ck_assert(same_text(was, difference->after) || loose);
        ck_assert(same_text(is, difference->cell.value) || loose);
        ck_assert(!is == !difference->cell.value || loose);
    }
    while (next_difference(&both, &x, &y)) {
        const struct cell *cell = x ? x : y;
        while (j < base->n && compare_cells(&base->differences[j].cell, cell) < 0)
            j++;
        bool ours = j < base->n && compare_cells(&base->differences[j].cell, cell) == 0;
        ck_assert_msg(ours || is_place(cell), "%s row %lld column %d", content_tables[cell->table],
                      (long long)cell->row, cell->column);
    }
}

static void is_named(enum sg_step_kind kind, int ours, int at)
{
    const char *words = strstr(error.text, "after that: ");
    ck_assert_msg(words != NULL, "%s", error.text);
    int named = atoi(strstr(words, "step ") + 5);
    bool direct, bars = something_bars(ours, named, &direct);
    ck_assert_int_lt(named, n_steps);
    const struct event *last = &events[steps[named].last], *base = &events[steps[ours].last];
    char expected[200];
    int minutes = 10 * 60 + last->at;
    bool today = minutes / 1440 == (10 * 60 + at) / 1440;
    snprintf(expected, sizeof expected, "\"step %d\" cannot be %s: %s changed it at %02d:%02d%s", ours,
             kind == SG_STEP_UNDO ? "taken back" : "done again", steps[named].who, minutes / 60 % 24,
             minutes % 60, today ? " after" : " on 20");
    ck_assert_msg(strstr(error.text, expected), "%s, not %s", error.text, expected);
    ck_assert_int_gt(last->id, base->id);
    if (bars) {
        ck_assert_msg(direct, "%s", error.text);
        counts.barred++;
    } else {
        ck_assert_msg(points_into(base, last) || points_into(last, base) || share_a_key(base, last), "%s",
                      error.text);
        counts.linked++;
    }
}

static enum sg_status turn(enum sg_step_kind kind, const char *who, int at)
{
    struct sg_step_told told = {0};
    struct content after;
    bool newer, ignored;
    int ours = next_step(kind, who, &newer);
    enum sg_status status = kind == SG_STEP_UNDO ? sg_store_undo(store, who, minute(at), &told, &error)
                                                 : sg_store_redo(store, who, minute(at), &told, &error);
    read_content(store->db, &after);
    if (ours < 0 || newer) {
        ck_assert_msg(status == SG_NO, "%d: %s", status, status ? error.text : told.words);
        ck_assert_ptr_nonnull(strstr(error.text, "nothing of yours to"));
        counts.nothing++;
    } else if (status == SG_OK) {
        char words[40];
        snprintf(words, sizeof words, "step %d", ours);
        ck_assert_str_eq(told.words, words);
        ck_assert_str_eq(told.who, who);
        ck_assert(!something_bars(ours, -1, &ignored));
        came_back(&events[steps[ours].last], &after);
        write_event(ours, at, kind == SG_STEP_REDO, &after);
        counts.done++;
    } else {
        ck_assert_msg(status == SG_BAD_DATA, "%d: %s", status, error.text);
        is_named(kind, ours, at);
    }
    if (status != SG_OK)
        assert_same_content(&content, &after, error.text);
    free_content(&content);
    content = after;
    return status;
}

static void take_a_step(const char *who, int at)
{
    struct content after;
    char words[40];
    int64_t before = sg_store_kept(store);
    snprintf(words, sizeof words, "step %d", n_steps);
    begin(store);
    change_something();
    keep(store, who, at, words);
    read_content(store->db, &after);
    struct both both = {.before = &content, .after = &after};
    const struct cell *x, *y;
    bool changed = next_difference(&both, &x, &y);
    ck_assert(changed == (sg_store_kept(store) != before)); /* no change, no step */
    if (changed) {
        steps[n_steps++].who = who;
        write_event(n_steps - 1, at, true, &after);
    }
    free_content(&content);
    content = after;
}

/* Undo, redo, undo: the identity, every time. */
static void there_and_back(const char *who, int at)
{
    struct content before, back;
    read_content(store->db, &before);
    if (turn(SG_STEP_UNDO, who, at) == SG_OK) {
        read_content(store->db, &back);
        ck_assert_msg(turn(SG_STEP_REDO, who, at) == SG_OK, "%s", error.text);
        assert_same_content(&before, &content, "undo and redo");
        ck_assert_msg(turn(SG_STEP_UNDO, who, at) == SG_OK, "%s", error.text);
        assert_same_content(&back, &content, "undo, redo and undo");
        free_content(&back);
        counts.undone_again++;
    }
    free_content(&before);
}

static void free_events(void)
{
    for (int i = 0; i < n_events; i++)
        free(events[i].differences);
    free_content(&content);
    sg_arena_free(&now.arena);
}

START_TEST(a_thousand_random_steps_of_two_people)
{
    static const char *const people[] = {"anna", "office"};
    int at = 0;
    dice.state += (uint64_t)_i;
    sg_store_close(store);
    open_quickly();
    read_content(store->db, &content);
    while (n_steps < 1000) {
        const char *who = people[roll_below(&dice, 2)];
        int what = (int)roll_below(&dice, 10);
        at++;
        if (what < 6)
            take_a_step(who, at);
        else if (what < 7)
            there_and_back(who, at);
        else
            turn(what < 9 ? SG_STEP_UNDO : SG_STEP_REDO, who, at);
        if (at % 250 == 0)
            is_sound(store);
        if (at % 400 == 0) {
            sg_store_close(store);
            open_quickly();
        }
    }
    is_sound(store);
    printf("%d steps: %d undos and redos (%d there and back), %d had nothing, refused %d for a field, %d for "
           "a link or key; %d removals of rows in use refused\n",
           n_steps, counts.done, counts.undone_again, counts.nothing, counts.barred, counts.linked, in_use);
    ck_assert_int_gt(counts.done, 500);
    ck_assert_int_gt(counts.barred, 10);
    ck_assert_int_gt(counts.nothing, 50);
    free_events();
}
END_TEST

START_TEST(one_person_goes_all_the_way_back_and_forth)
{
    struct content first, last;
    read_content(store->db, &content);
    read_content(store->db, &first);
    for (int at = 0; n_steps < 400; at++)
        take_a_step("anna", at);
    read_content(store->db, &last);
    for (int i = 0; i < n_steps; i++)
        ck_assert_msg(turn(SG_STEP_UNDO, "anna", 1000 + i) == SG_OK, "%s", error.text);
    assert_same_content(&first, &content, "all taken back");
    is_sound(store);
    for (int i = 0; i < n_steps; i++)
        ck_assert_msg(turn(SG_STEP_REDO, "anna", 2000 + i) == SG_OK, "%s", error.text);
    assert_same_content(&last, &content, "all done again");
    is_sound(store);
    free_content(&first);
    free_content(&last);
    free_events();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("history, random");
    TCase *tests = tcase_create("history, random");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_loop_test(tests, a_thousand_random_steps_of_two_people, 0, 5);
    tcase_add_test(tests, one_person_goes_all_the_way_back_and_forth);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
