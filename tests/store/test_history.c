/* The history: five times a thousand random steps by two people taken back and done again, the list of steps,
 * who set a field, and files from before there was a history. */
#include "store/steps.h"

#include "store/history.h"

static struct sg_store *store;
static struct dice dice;

static void open_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
    /* Fewer materials than a new file has: each content is read cell by cell. */
    tamper("shop.db", "DELETE FROM material WHERE id NOT IN (SELECT material_id FROM stock) AND id % 20 > 0");
    store = open_shop("shop.db", SG_STORE_WRITE);
    begin(store);
    insert_plates(store, 3);
    ck_assert_int_eq(sg_store_commit(store, &error), SG_OK);
    dice = (struct dice){.state = 0x5A4D61D1CE};
}

/* Thousands of steps: what a kill would lose is tested elsewhere. */
static void open_quickly(void)
{
    store = open_shop("shop.db", SG_STORE_WRITE);
    ck_assert_int_eq(sg_store_run(store, "PRAGMA synchronous = OFF", &error), SG_OK);
}

static void close_example(void)
{
    sg_store_close(store);
    sg_arena_free(&dice.arena);
    leave_folder();
}

/* ---- random changes ---- */

union any {
    struct sg_job job;
    struct sg_stock stock;
    struct sg_part part;
    struct sg_shift shift;
    struct sg_machine machine;
    struct sg_head head;
    struct sg_material material;
    struct sg_chore chore;
    struct sg_clock clock;
    struct sg_record record;
};

static struct loaded now;

static const void *records_of(const struct sg_shop *shop, enum sg_kind kind, int *n)
{
    switch (kind) {
    case SG_KIND_JOB:
        *n = shop->n_jobs;
        return shop->jobs;
    case SG_KIND_STOCK:
        *n = shop->n_stocks;
        return shop->stocks;
    case SG_KIND_PART:
        *n = shop->n_parts;
        return shop->parts;
    case SG_KIND_SHIFT:
        *n = shop->n_shifts;
        return shop->shifts;
    case SG_KIND_HEAD:
        *n = shop->n_heads;
        return shop->heads;
    case SG_KIND_MATERIAL:
        *n = shop->n_materials;
        return shop->materials;
    case SG_KIND_CHORE:
        *n = shop->n_chores;
        return shop->chores;
    case SG_KIND_CLOCK:
        *n = shop->n_clocks;
        return shop->clocks;
    case SG_KIND_RECORD:
        *n = shop->n_records;
        return shop->records;
    case SG_KIND_RATES:
        *n = 1;
        return &shop->rates;
    default:
        *n = 1;
        return &shop->machine;
    }
}

/* A random record of a kind; NULL if there is none. */
static const void *pick(enum sg_kind kind)
{
    int n;
    const char *records = records_of(&now.shop, kind, &n);
    return n ? records + (size_t)roll_below(&dice, n) * sg_kind_size(kind) : NULL;
}

static int64_t row_in(enum sg_kind kind, const void *record)
{
    int64_t row;
    memcpy(&row, (const char *)record + sg_table_of(kind)->row_offset, sizeof row);
    return row;
}

static enum sg_kind roll_kind(void)
{
    static const enum sg_kind kinds[] = {SG_KIND_JOB,   SG_KIND_JOB,   SG_KIND_JOB,      SG_KIND_STOCK,
                                         SG_KIND_STOCK, SG_KIND_PART,  SG_KIND_PART,     SG_KIND_PART,
                                         SG_KIND_SHIFT, SG_KIND_HEAD,  SG_KIND_MATERIAL, SG_KIND_CHORE,
                                         SG_KIND_CLOCK, SG_KIND_RECORD};
    return kinds[roll_below(&dice, 14)];
}

static enum sg_status change_fields(void)
{
    enum sg_kind kind = roll_below(&dice, 10) ? roll_kind() : SG_KIND_MACHINE;
    const void *found = pick(kind);
    union any record;
    int n_fields, n_chosen = 0;
    const struct sg_field *fields = sg_fields(kind, &n_fields), *chosen[3];
    struct sg_value value;
    if (!found)
        return SG_OK;
    memcpy(&record, found, sg_kind_size(kind));
    for (int i = 0; i < 3; i++) {
        const struct sg_field *field = &fields[roll_below(&dice, n_fields)];
        if (field->type == SG_FIELD_SHIFT || strcmp(field->name, "order") == 0)
            continue;
        roll_value(&dice, field, &now.shop, &value);
        sg_field_put(field, &record, &value);
        chosen[n_chosen++] = field;
    }
    return sg_store_update(store, kind, row_in(kind, found), &now.shop, &record, chosen, n_chosen, &error);
}

/* Put the job with that row at a place of a shift. */
static enum sg_status place_job(int64_t row, int shift, int place)
{
    struct sg_shop *shop = &now.shop;
    int next[64] = {0};
    for (int i = 0; i < shop->n_jobs; i++) {
        struct sg_job *job = &shop->jobs[i];
        if (job->row == row) {
            job->shift = shift;
            job->order = place;
            continue;
        }
        int *at = &next[job->shift];
        ++*at;
        *at += job->shift == shift && *at == place;
        job->order = *at;
    }
    for (int i = 0; i < shop->n_jobs; i++) /* behind the last: to the end */
        if (shop->jobs[i].row == row && place > next[shift])
            shop->jobs[i].order = next[shift] + 1;
    return sg_store_orders(store, shop, &error);
}

static enum sg_status move_a_job(void)
{
    const struct sg_job *job = pick(SG_KIND_JOB);
    if (!job)
        return SG_OK;
    return place_job(job->row, (int)roll_below(&dice, now.shop.n_shifts),
                     1 + (int)roll_below(&dice, now.shop.n_jobs));
}

/* A key out of few, so that a removed one comes again; "" if it is taken. */
static const char *roll_key(enum sg_kind kind)
{
    char key[20], sql[100];
    snprintf(key, sizeof key, "%c%d", "jsphmkcxrlo"[kind], (int)roll_below(&dice, 30));
    snprintf(sql, sizeof sql, "SELECT count(*) FROM %s WHERE \"%s\" = '%s'", sg_table_of(kind)->name,
             sg_table_of(kind)->key, key);
    return row_of(store, sql) ? "" : sg_arena_text(&dice.arena, key, strlen(key));
}

static enum sg_status insert(enum sg_kind kind, int64_t parent, const union any *record, int64_t *row)
{
    return sg_store_insert(store, kind, parent, &now.shop, record, row, &error);
}

static enum sg_status add_a_job(const char *key)
{
    union any record = {.job = sg_fresh_job};
    int64_t row;
    roll_record(&dice, SG_KIND_JOB, &now.shop, &record);
    record.job.id = key;
    record.job.order = 1;
    for (int i = 0; i < now.shop.n_jobs; i++)
        record.job.order += now.shop.jobs[i].shift == record.job.shift;
    enum sg_status status = insert(SG_KIND_JOB, 0, &record, &row);
    if (status != SG_OK || roll_below(&dice, 2))
        return status;
    load(store, &now);
    return place_job(row, record.job.shift, 1 + (int)roll_below(&dice, record.job.order));
}

static enum sg_status add_a_stock(void)
{
    union any record = {.stock = sg_fresh_stock};
    const struct sg_job *job = pick(SG_KIND_JOB);
    int64_t row;
    if (!job)
        return SG_OK;
    roll_record(&dice, SG_KIND_STOCK, &now.shop, &record);
    record.stock.number = 1 + (int32_t)roll_below(&dice, 4);
    for (int i = 0; i < job->n_stocks; i++)
        if (now.shop.stocks[job->first_stock + i].number == record.stock.number)
            return SG_OK;
    return insert(SG_KIND_STOCK, job->row, &record, &row);
}

static enum sg_status add_a_row(void)
{
    static const int most[SG_KINDS] = {[SG_KIND_JOB] = 10,  [SG_KIND_STOCK] = 14, [SG_KIND_PART] = 25,
                                       [SG_KIND_SHIFT] = 4, [SG_KIND_HEAD] = 4,   [SG_KIND_MATERIAL] = 12,
                                       [SG_KIND_CHORE] = 4, [SG_KIND_CLOCK] = 6,  [SG_KIND_RECORD] = 9};
    enum sg_kind kind = roll_kind();
    union any record;
    int n;
    int64_t row;
    records_of(&now.shop, kind, &n);
    if (n >= most[kind])
        return SG_OK;
    if (kind == SG_KIND_STOCK)
        return add_a_stock();
    const char *key = roll_key(kind);
    if (!*key)
        return SG_OK;
    if (kind == SG_KIND_JOB)
        return add_a_job(key);
    const struct sg_stock *stock = kind == SG_KIND_PART ? pick(SG_KIND_STOCK) : NULL;
    if (kind == SG_KIND_PART && !stock)
        return SG_OK;
    memcpy(&record, sg_table_of(kind)->fresh, sg_kind_size(kind));
    roll_record(&dice, kind, &now.shop, &record);
    memcpy((char *)&record + sg_table_of(kind)->key_offset, &key, sizeof key);
    return insert(kind, stock ? stock->row : 0, &record, &row);
}

static int in_use;

static enum sg_status remove_a_row(void)
{
    enum sg_kind kind = roll_kind();
    const void *found = pick(kind);
    if (!found)
        return SG_OK;
    enum sg_status status = sg_store_remove(store, kind, row_in(kind, found), &error);
    in_use += status == SG_BAD_DATA;
    return status == SG_BAD_DATA ? SG_OK : status;
}

static void change_something(void)
{
    static enum sg_status (*const ways[])(void) = {change_fields, change_fields, change_fields, change_fields,
                                                   move_a_job,    add_a_row,     add_a_row,     remove_a_row};
    int n = roll_below(&dice, 4) ? 1 : 3;
    for (int i = 0; i < n; i++) {
        load(store, &now);
        enum sg_status status = ways[roll_below(&dice, 8)]();
        ck_assert_msg(status == SG_OK, "%s", error.text);
    }
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

/* ---- the list ---- */

static char listed[4000];

static void list(void *context, const struct sg_step_told *step)
{
    static const char *const kinds[] = {"change", "undo", "redo"};
    char line[600];
    (void)context;
    snprintf(line, sizeof line, "%lld %s of %lld, %s at %.0f: %s%s\n", (long long)step->id, kinds[step->kind],
             (long long)step->of, step->who, (step->at - minute(0)) / 60, step->words,
             step->undone ? " (undone)" : "");
    strcat(listed, line);
}

START_TEST(the_history_tells_all_newest_first)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    set_part(store, "office", 2, 2, "quantity", 8, "36 -> 8");
    undoes(store, "anna", 3, "20 -> 7");
    undoes(store, "office", 4, "36 -> 8");
    redoes(store, "office", 5, "36 -> 8");
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "5 redo of 2, office at 5: redo: 36 -> 8\n"
                             "4 undo of 2, office at 4: undo: 36 -> 8\n"
                             "3 undo of 1, anna at 3: undo: 20 -> 7\n"
                             "2 change of 0, office at 2: 36 -> 8\n"
                             "1 change of 0, anna at 1: 20 -> 7 (undone)\n");
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 2, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "5 redo of 2, office at 5: redo: 36 -> 8\n"
                             "4 undo of 2, office at 4: undo: 36 -> 8\n");
    sg_store_close(store);
    store = open_shop("shop.db", SG_STORE_READ);
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 1, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "5 redo of 2, office at 5: redo: 36 -> 8\n");
}
END_TEST

START_TEST(a_new_file_has_an_empty_history)
{
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "");
    ck_assert_int_eq(sg_store_kept(store), 0);
}
END_TEST

START_TEST(what_changes_nothing_is_no_step)
{
    set_part(store, "anna", 1, 1, "quantity", 20, "20 -> 20");
    begin(store);
    write_part(store, 1, "quantity", 5);
    write_part(store, 1, "quantity", 20);
    keep(store, "anna", 2, "there and back");
    begin(store);
    ck_assert_int_eq(sg_store_remove(store, SG_KIND_JOB, put_job(store, "brief"), &error), SG_OK);
    keep(store, "anna", 3, "came and went");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), 0);
    ck_assert_int_eq(sg_store_kept(store), 0);
}
END_TEST

START_TEST(words_that_a_terminal_would_obey_are_disarmed)
{
    char longer[1000];
    memset(longer, 'x', sizeof longer);
    memcpy(longer + 396, "\xC3\xA9\xC3\xA9", 4); /* cut in the middle of a character */
    longer[999] = '\0';
    set_part(store, "an\x1Bna", 1, 1, "quantity", 7, "a\nb\x1B[2J \xFF \xC3\xA9");
    set_part(store, "anna", 2, 1, "quantity", 8, longer);
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_msg(strstr(listed, "an na at 1: a b [2J ? \xC3\xA9\n"), "%s", listed);
    ck_assert_ptr_nonnull(strstr(listed, "xxx\xC3\xA9\n"));
    tamper("shop.db", "UPDATE step SET words = 'x' || char(27) || 'y' WHERE id = 1");
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_ptr_null(strchr(listed, 27));
    is_sound(store);
}
END_TEST

START_TEST(a_step_needs_a_person_and_words)
{
    static const struct sg_step_note notes[] = {{"", 1, "words"}, {"anna", 1, ""}, {"anna", -1, "words"}};
    struct sg_step_note nan = {"anna", (double)NAN, "words"};
    for (int i = 0; i < 4; i++) {
        begin(store);
        write_part(store, 1, "quantity", 5);
        ck_assert_int_eq(sg_store_keep(store, i < 3 ? &notes[i] : &nan, &error), SG_FAULT);
        ck_assert_int_eq(row_of(store, "SELECT quantity FROM part WHERE id = 1"), 20);
    }
    ck_assert_int_eq(sg_store_keep(store, &notes[0], &error), SG_FAULT); /* nothing was begun */
}
END_TEST

/* ---- who set a field ---- */

static void last_set(enum sg_kind kind, int64_t row, const char *field, const char *expected)
{
    struct sg_step_told told;
    enum sg_status status = sg_store_last_set(store, kind, row, sg_field_find(kind, field), &told, &error);
    if (!expected) {
        ck_assert_int_eq(status, SG_NO);
        ck_assert_ptr_nonnull(strstr(error.text, field));
        return;
    }
    ck_assert_msg(status == SG_OK, "%s", error.text);
    ck_assert_str_eq(told.words, expected);
}

START_TEST(the_last_step_that_set_a_field_is_found)
{
    last_set(SG_KIND_PART, 1, "quantity", NULL);
    set_part(store, "anna", 1, 1, "quantity", 7, "first");
    set_part(store, "office", 2, 1, "pierces", 7, "second");
    set_part(store, "office", 3, 2, "quantity", 7, "third");
    last_set(SG_KIND_PART, 1, "quantity", "first");
    last_set(SG_KIND_PART, 1, "pierces", "second");
    last_set(SG_KIND_PART, 2, "quantity", "third");
    last_set(SG_KIND_PART, 2, "pierces", NULL);
    last_set(SG_KIND_STOCK, 1, "edge", NULL);
    undoes(store, "anna", 4, "first");
    last_set(SG_KIND_PART, 1, "quantity", "undo: first");
    int64_t job = add_job(store, "anna", 5, "2606", "added job 2606");
    last_set(SG_KIND_JOB, job, "due", "added job 2606");
    last_set(SG_KIND_JOB, job, "shift", "added job 2606");
    take_away(store, "office", 6, SG_KIND_JOB, 1, "removed job 2601");
    last_set(SG_KIND_JOB, job, "order", "removed job 2601"); /* it closed up */
    last_set(SG_KIND_JOB, job, "due", "added job 2606");
}
END_TEST

/* One step about the first and the last part does not stand for those between. */
START_TEST(a_step_about_rows_far_apart_is_not_taken_for_those_between)
{
    begin(store);
    write_part(store, 1, "quantity", 5);
    write_part(store, 9, "quantity", 5);
    keep(store, "anna", 1, "first and last");
    last_set(SG_KIND_PART, 1, "quantity", "first and last");
    last_set(SG_KIND_PART, 9, "quantity", "first and last");
    last_set(SG_KIND_PART, 5, "quantity", NULL);
    set_part(store, "office", 2, 5, "quantity", 11, "between");
    undoes(store, "anna", 3, "first and last");
    redoes(store, "anna", 4, "first and last");
    last_set(SG_KIND_PART, 5, "quantity", "between");
}
END_TEST

START_TEST(a_field_of_several_columns_is_found_by_each)
{
    struct loaded loaded = {0};
    const struct sg_field *field = sg_field_find(SG_KIND_MACHINE, "edge_error");
    load(store, &loaded);
    loaded.shop.machine.edge_error[4] = 0.5;
    begin(store);
    ck_assert_int_eq(sg_store_update(store, SG_KIND_MACHINE, loaded.shop.machine.row, &loaded.shop,
                                     &loaded.shop.machine, &field, 1, &error),
                     SG_OK);
    keep(store, "anna", 1, "edge 5");
    last_set(SG_KIND_MACHINE, loaded.shop.machine.row, "edge_error", "edge 5");
    last_set(SG_KIND_MACHINE, loaded.shop.machine.row, "pierce_base", NULL);
    sg_arena_free(&loaded.arena);
}
END_TEST

/* Rows and columns as read from the bytes are those that SQLite's own iterator tells. */
START_TEST(changes_are_read_as_sqlite_reads_them)
{
    int seen = 0;
    for (int at = 0; at < 60; at++) {
        struct sg_changes changes;
        struct sg_touches touches;
        sqlite3_changeset_iter *iterator;
        begin(store);
        change_something();
        keep(store, "anna", at, "a step");
        int64_t last = row_of(store, "SELECT ifnull(max(id), 0) FROM step");
        if (last == 0)
            continue;
        ck_assert_int_eq(sg_changes_read(store, last, &changes, &error), SG_OK);
        ck_assert_int_eq(sg_touches_of(store, &changes, &touches, &error), SG_OK);
        ck_assert_int_eq(sqlite3changeset_start(&iterator, changes.size, changes.bytes), SQLITE_OK);
        for (int i = 0; i < touches.n; i++, seen++) {
            const char *table;
            int n_columns, op, indirect;
            sqlite3_value *value = NULL;
            uint64_t columns = 0;
            ck_assert_int_eq(sqlite3changeset_next(iterator), SQLITE_ROW);
            sqlite3changeset_op(iterator, &table, &n_columns, &op, &indirect);
            for (int j = 1; j < n_columns && op == SQLITE_UPDATE; j++) {
                sqlite3changeset_new(iterator, j, &value);
                columns |= value ? sg_column_bit(j) : 0;
            }
            if (op == SQLITE_INSERT)
                sqlite3changeset_new(iterator, 0, &value);
            else
                sqlite3changeset_old(iterator, 0, &value);
            ck_assert_str_eq(table, sg_table_of(touches.at[i].kind)->name);
            ck_assert_int_eq(op, touches.at[i].op);
            ck_assert_int_eq(sqlite3_value_int64(value), touches.at[i].row);
            ck_assert_uint_eq(op == SQLITE_UPDATE ? columns : SG_ALL_COLUMNS, touches.at[i].columns);
        }
        ck_assert_int_eq(sqlite3changeset_next(iterator), SQLITE_DONE);
        sqlite3changeset_finalize(iterator);
        sqlite3_free(changes.bytes);
        free(touches.at);
    }
    ck_assert_int_gt(seen, 60);
    sg_arena_free(&now.arena);
}
END_TEST

/* Cut off anywhere and with any byte changed, the reading ends. */
START_TEST(a_record_cut_off_or_changed_is_read_to_an_end)
{
    struct sg_changes changes;
    int refused = 0;
    take_away(store, "anna", 1, SG_KIND_JOB, 5, "removed job 2605");
    ck_assert_int_eq(sg_changes_read(store, 1, &changes, &error), SG_OK);
    for (int size = 0; size <= changes.size; size++) {
        struct sg_touches touches = {0};
        void *bytes = malloc((size_t)size + (size == 0)); /* of that size, so that a look behind it is seen */
        memcpy(bytes, changes.bytes, (size_t)size);
        struct sg_changes cut = {bytes, size};
        refused += sg_touches_of(store, &cut, &touches, &error) != SG_OK;
        free(touches.at);
        for (int i = 0; i < 4 && size > 0; i++) {
            ((unsigned char *)bytes)[roll_below(&dice, size)] = (unsigned char)roll(&dice);
            touches = (struct sg_touches){0};
            refused += sg_touches_of(store, &cut, &touches, &error) != SG_OK;
            free(touches.at);
        }
        free(bytes);
    }
    ck_assert_int_gt(refused, changes.size / 2);
    sqlite3_free(changes.bytes);
}
END_TEST

/* Many rows: the record is in several pieces. */
START_TEST(a_large_step_is_kept_taken_back_and_done_again)
{
    enum { MANY = 12000 };
    struct content before, after;
    struct sg_part part = sg_fresh_part;
    char id[20];
    int64_t row;
    read_content(store->db, &before);
    load(store, &now);
    begin(store);
    part.id = id;
    part.note = "a note that takes some room";
    for (int i = 0; i < MANY; i++) {
        snprintf(id, sizeof id, "k%d", i);
        ck_assert_int_eq(
            sg_store_insert(store, SG_KIND_PART, now.shop.stocks[0].row, &now.shop, &part, &row, &error),
            SG_OK);
    }
    keep(store, "anna", 1, "imported");
    ck_assert_int_gt(row_of(store, "SELECT count(*) FROM step_changes"), 1);
    read_content(store->db, &after);
    undoes(store, "anna", 2, "imported");
    is_as(store, &before, "taken back");
    redoes(store, "anna", 3, "imported");
    is_as(store, &after, "done again");
    last_set(SG_KIND_PART, row, "quantity", "redo: imported");
    is_sound(store);
    sg_arena_free(&now.arena);
}
END_TEST

/* ---- files from before the history ---- */

START_TEST(a_file_of_version_1_is_brought_up_and_has_a_history)
{
    make_version("old.db", 1);
    struct bytes before = bytes_of("old.db");
    sg_store_close(store);
    store = open_shop("old.db", SG_STORE_WRITE);
    ck_assert_int_eq(row_of(store, "PRAGMA user_version"), sg_schema_n_steps);
    struct bytes copy = bytes_of("old.db.v1.backup");
    ck_assert(same_bytes(&before, &copy));
    free(before.at);
    free(copy.at);
    is_sound(store);
    struct content start;
    read_content(store->db, &start);
    take_away(store, "anna", 1, SG_KIND_JOB, 5, "removed job 2605");
    /* The rows that were there before the history do not give their numbers away either. */
    ck_assert_int_eq(add_job(store, "office", 2, "2606", "added job 2606"), 6);
    undoes(store, "anna", 3, "removed job 2605");
    undoes(store, "office", 4, "added job 2606");
    is_as(store, &start, "undone");
    is_sound(store);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("history");
    TCase *tests = tcase_create("history");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_loop_test(tests, a_thousand_random_steps_of_two_people, 0, 5);
    tcase_add_test(tests, one_person_goes_all_the_way_back_and_forth);
    tcase_add_test(tests, the_history_tells_all_newest_first);
    tcase_add_test(tests, a_new_file_has_an_empty_history);
    tcase_add_test(tests, what_changes_nothing_is_no_step);
    tcase_add_test(tests, words_that_a_terminal_would_obey_are_disarmed);
    tcase_add_test(tests, a_step_needs_a_person_and_words);
    tcase_add_test(tests, the_last_step_that_set_a_field_is_found);
    tcase_add_test(tests, a_step_about_rows_far_apart_is_not_taken_for_those_between);
    tcase_add_test(tests, a_field_of_several_columns_is_found_by_each);
    tcase_add_test(tests, changes_are_read_as_sqlite_reads_them);
    tcase_add_test(tests, a_record_cut_off_or_changed_is_read_to_an_end);
    tcase_add_test(tests, a_large_step_is_kept_taken_back_and_done_again);
    tcase_add_test(tests, a_file_of_version_1_is_brought_up_and_has_a_history);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
