/* Series of random copies, cuts, pastes, doublings and steps: after each the rows stand as a plain list of
 * them says, nothing is wrong with the file, and undoing all of it, then doing it again, tells the same
 * shops.
 */
#include "edit/clips.h"
#include "edit/run_suite.h"
#include "support/random.h"

enum { MOST_ROWS = 400, MOST_CHOSEN = 4, SERIES = 30, MOST_PARTS = 150 };

static struct random rng;

static int below(int32_t n)
{
    return (int)random_below(&rng, (unsigned)n);
}

/* ---- the rows of one kind as a list ---- */

/* A row that is new is 0. */
struct list {
    enum sg_kind kind;
    int n;
    int64_t row[MOST_ROWS], parent[MOST_ROWS];
};

static int64_t id_of(const struct sg_shop *shop, enum sg_kind kind, int32_t index)
{
    int64_t row;
    memcpy(&row, sg_target_record(shop, (struct sg_target){kind, index}), sizeof row);
    return row;
}

static int64_t parent_id(const struct sg_shop *shop, struct sg_target at)
{
    return at.kind == SG_KIND_JOB     ? shop->shifts[shop->jobs[at.index].shift].row
           : at.kind == SG_KIND_STOCK ? shop->jobs[shop->stocks[at.index].job].row
                                      : shop->stocks[shop->parts[at.index].stock].row;
}

static void list_of(const struct sg_shop *shop, enum sg_kind kind, struct list *list)
{
    list->kind = kind;
    list->n = rows_of(shop, kind);
    ck_assert_int_lt(list->n, MOST_ROWS);
    for (int32_t i = 0; i < list->n; i++) {
        list->row[i] = id_of(shop, kind, i);
        list->parent[i] = parent_id(shop, (struct sg_target){kind, i});
    }
}

static int place_of(const struct list *list, int64_t row)
{
    int i = 0;
    while (i < list->n && list->row[i] != row)
        i++;
    return i;
}

static void drop(struct list *list, int at)
{
    list->n--;
    for (int i = at; i < list->n; i++) {
        list->row[i] = list->row[i + 1];
        list->parent[i] = list->parent[i + 1];
    }
}

static void put_new(struct list *list, int at, int64_t parent)
{
    list->n++;
    for (int i = list->n - 1; i > at; i--) {
        list->row[i] = list->row[i - 1];
        list->parent[i] = list->parent[i - 1];
    }
    list->row[at] = 0;
    list->parent[at] = parent;
}

/* Where the rows of a parent end; `from` where there are none yet. */
static int end_of(const struct list *list, int64_t parent, int from)
{
    int end = from;
    for (int i = 0; i < list->n; i++)
        end = list->parent[i] == parent ? i + 1 : end;
    return end;
}

/* The shop's rows are those of the list, new ones where it has 0. */
static void ck_list(const struct list *wanted, const struct list *before, const char *deed)
{
    struct list now;
    list_of(sg_desk_shop(desk), wanted->kind, &now);
    ck_assert_msg(now.n == wanted->n, "%s: %d rows, expected %d", deed, now.n, wanted->n);
    for (int i = 0; i < now.n; i++) {
        bool is_new = place_of(before, now.row[i]) == before->n;
        ck_assert_msg(now.parent[i] == wanted->parent[i], "%s: row %d belongs elsewhere", deed, i);
        ck_assert_msg(wanted->row[i] == 0 ? is_new : now.row[i] == wanted->row[i],
                      "%s: row %d is another one", deed, i);
    }
}

/* ---- the rows that a deed is about ---- */

struct chosen {
    int n;
    int index[MOST_CHOSEN]; /* ascending */
    char keys[MOST_CHOSEN][300];
    const char *list[MOST_CHOSEN];
};

/* Up to four rows; of one parent, or any. */
static void choose(enum sg_kind kind, bool one_parent, struct chosen *chosen)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    int32_t n = rows_of(shop, kind);
    int wanted = 1 + below(MOST_CHOSEN), first = below(n);
    chosen->n = 0;
    for (int i = first; i < n && chosen->n < wanted; i++) {
        bool related =
            parent_id(shop, (struct sg_target){kind, i}) == parent_id(shop, (struct sg_target){kind, first});
        if ((one_parent && !related) || (i > first && below(3) == 0))
            continue;
        sg_key_write(shop, (struct sg_target){kind, i}, chosen->keys[chosen->n],
                     sizeof chosen->keys[chosen->n]);
        chosen->index[chosen->n++] = i;
    }
    int turn_by = below(chosen->n); /* keys may come in any order */
    for (int i = 0; i < chosen->n; i++)
        chosen->list[i] = chosen->keys[(i + turn_by) % chosen->n];
}

/* ---- a copy has all that its original has ---- */

static void ck_copy(const struct sg_shop *a, struct sg_target x, const struct sg_shop *b, struct sg_target y)
{
    ck_same_fields(a, x, b, y, x.kind == SG_KIND_JOB ? "order shift" : NULL);
    int32_t n = 0, first = 0, first_copy = 0;
    enum sg_kind kind = SG_KIND_PART;
    if (x.kind == SG_KIND_JOB) {
        kind = SG_KIND_STOCK;
        n = a->jobs[x.index].n_stocks;
        first = a->jobs[x.index].first_stock;
        first_copy = b->jobs[y.index].first_stock;
        ck_assert_int_eq(n, b->jobs[y.index].n_stocks);
    } else if (x.kind == SG_KIND_STOCK) {
        n = a->stocks[x.index].n_parts;
        first = a->stocks[x.index].first_part;
        first_copy = b->stocks[y.index].first_part;
        ck_assert_int_eq(n, b->stocks[y.index].n_parts);
    }
    for (int32_t i = 0; i < n; i++)
        ck_copy(a, (struct sg_target){kind, first + i}, b, (struct sg_target){kind, first_copy + i});
}

/* The clip was made of these rows of this shop. */
static struct sg_desk *clip_from;
static struct chosen in_clip;

static void remember_clip(struct sg_desk *from, const struct chosen *chosen)
{
    sg_desk_close(clip_from);
    clip_from = from;
    in_clip = *chosen;
}

/* ---- the deeds ---- */

static enum sg_kind some_kind(void)
{
    static const enum sg_kind kinds[] = {SG_KIND_JOB, SG_KIND_STOCK, SG_KIND_PART, SG_KIND_PART};
    return kinds[below(4)];
}

static bool do_copy(void)
{
    struct sg_clip *taken = NULL;
    struct chosen chosen;
    choose(some_kind(), false, &chosen);
    must(sg_desk_yank(desk, chosen.list, chosen.n, false, &taken, &error));
    sg_clip_free(clip);
    clip = taken;
    remember_clip(snapshot(), &chosen);
    return false;
}

static bool do_cut(void)
{
    struct sg_clip *taken = NULL;
    struct chosen chosen;
    struct list before, wanted;
    enum sg_kind kind = some_kind();
    if (rows_of(sg_desk_shop(desk), kind) < 3 * MOST_CHOSEN)
        return false;
    choose(kind, false, &chosen);
    list_of(sg_desk_shop(desk), kind, &before);
    struct sg_desk *from = snapshot();
    must(sg_desk_yank(desk, chosen.list, chosen.n, true, &taken, &error));
    sg_clip_free(clip);
    clip = taken;
    remember_clip(from, &chosen);
    wanted = before;
    for (int i = chosen.n; i-- > 0;)
        drop(&wanted, chosen.index[i]);
    ck_list(&wanted, &before, "cut");
    return true;
}

/* Some row that rows of the kind go beside or into. */
static struct sg_target some_place(enum sg_kind kind, bool into)
{
    static const enum sg_kind parents[] = {
        [SG_KIND_JOB] = SG_KIND_SHIFT, [SG_KIND_STOCK] = SG_KIND_JOB, [SG_KIND_PART] = SG_KIND_STOCK};
    struct sg_target at = {into ? parents[kind] : kind, 0};
    at.index = below(rows_of(sg_desk_shop(desk), at.kind));
    return at;
}

/* Where those without any row yet would begin: behind the rows of the parents before. */
static int begin_of(const struct sg_shop *shop, const struct list *list, struct sg_target parent)
{
    int begin = 0;
    for (int32_t i = 0; i < parent.index; i++)
        begin = end_of(list, id_of(shop, parent.kind, i), begin);
    return begin;
}

static bool do_paste(void)
{
    char key[300];
    struct list before, wanted;
    const struct sg_shop *shop = sg_desk_shop(desk);
    if (!clip || shop->n_parts > MOST_PARTS)
        return false;
    enum sg_kind kind = sg_clip_kind(clip);
    bool into = below(3) == 0 || rows_of(shop, kind) == 0, above = below(2);
    struct sg_target at = some_place(kind, into);
    sg_key_write(shop, at, key, sizeof key);
    list_of(shop, kind, &before);
    int64_t parent = into ? id_of(shop, at.kind, at.index) : parent_id(shop, at);
    int place = into                    ? end_of(&before, parent, begin_of(shop, &before, at))
                : kind == SG_KIND_STOCK ? end_of(&before, parent, 0)
                                        : at.index + !above;
    must(paste(key, above));
    wanted = before;
    for (int i = 0; i < in_clip.n; i++)
        put_new(&wanted, place, parent);
    ck_list(&wanted, &before, "paste");
    ck_assert_int_eq(target.index, place);
    for (int i = 0; i < in_clip.n; i++)
        ck_copy(sg_desk_shop(clip_from), (struct sg_target){kind, in_clip.index[i]}, shop,
                (struct sg_target){kind, place + i});
    return true;
}

static bool do_duplicate(void)
{
    struct chosen chosen;
    struct list before, wanted;
    enum sg_kind kind = some_kind();
    if (sg_desk_shop(desk)->n_parts > MOST_PARTS)
        return false;
    choose(kind, false, &chosen);
    list_of(sg_desk_shop(desk), kind, &before);
    must(sg_desk_duplicate(desk, chosen.list, chosen.n, &target, &error));
    wanted = before;
    for (int i = chosen.n; i-- > 0;) {
        int last = i; /* of its parent, among the chosen */
        while (last + 1 < chosen.n && before.parent[chosen.index[last + 1]] == before.parent[chosen.index[i]])
            last++;
        int64_t parent = before.parent[chosen.index[i]];
        put_new(&wanted, kind == SG_KIND_STOCK ? end_of(&wanted, parent, 0) : chosen.index[last] + 1, parent);
    }
    ck_list(&wanted, &before, "duplicate");
    return true;
}

static void swap_rows(struct list *list, int a, int b)
{
    int64_t row = list->row[a];
    list->row[a] = list->row[b];
    list->row[b] = row;
}

/* One place up or down, by changing places with the neighbour; false at the edge, with nothing changed. */
static bool swap_all(struct list *list, struct chosen *chosen, int way)
{
    int edge = chosen->index[way < 0 ? 0 : chosen->n - 1];
    if (edge + way < 0 || edge + way >= list->n || list->parent[edge + way] != list->parent[edge])
        return false;
    for (int i = 0; i < chosen->n; i++) {
        int *at = &chosen->index[way < 0 ? i : chosen->n - 1 - i];
        swap_rows(list, *at, *at + way);
        *at += way;
    }
    return true;
}

static bool do_step(void)
{
    struct chosen chosen;
    struct list before, wanted;
    enum sg_kind kind = below(2) ? SG_KIND_PART : SG_KIND_JOB;
    int by = (1 + below(3)) * (below(2) ? 1 : -1), moved = 0;
    choose(kind, true, &chosen);
    list_of(sg_desk_shop(desk), kind, &before);
    wanted = before;
    while (moved < abs(by) && swap_all(&wanted, &chosen, by < 0 ? -1 : 1))
        moved++;
    enum sg_status status = sg_desk_step_rows(desk, chosen.list, chosen.n, by, &error);
    ck_assert_int_eq(status, moved > 0 ? SG_OK : SG_NO);
    ck_list(&wanted, &before, "step");
    return moved > 0;
}

static bool do_add(void)
{
    char key[300], id[SG_FREE_ID];
    struct list before, wanted;
    const struct sg_shop *shop = sg_desk_shop(desk);
    enum sg_kind kind = below(2) ? SG_KIND_PART : SG_KIND_JOB;
    struct sg_target at = some_place(kind, false);
    int64_t parent = parent_id(shop, at);
    sg_key_write(shop, at, key, sizeof key);
    list_of(shop, kind, &before);
    ck_assert(sg_desk_free_id(desk, kind, key, id, sizeof id));
    must(add_beside(kind, key, id, NULL));
    wanted = before;
    put_new(&wanted, at.index + 1, parent);
    ck_list(&wanted, &before, "add");
    return true;
}

START_TEST(undone_all_the_way_and_done_again_tells_the_same_shops)
{
    static bool (*const deeds[])(void) = {do_copy, do_cut, do_paste, do_paste, do_duplicate, do_step, do_add};
    struct sg_desk *shops[SERIES + 1];
    struct sg_step_told told;
    int n = 0, counts[sizeof deeds / sizeof *deeds] = {0};
    rng.state = UINT64_C(0x9E3779B97F4A7C15) + (uint64_t)_i;
    shops[0] = snapshot();
    while (n < SERIES) {
        int deed = below(sizeof deeds / sizeof *deeds);
        counts[deed]++;
        if (!deeds[deed]())
            continue;
        shops[++n] = snapshot();
        ck_shows(shops[n], "a deed");
    }
    for (size_t i = 0; i < sizeof deeds / sizeof *deeds; i++)
        ck_assert_int_gt(counts[i], 0);
    for (int i = n; i-- > 0;) {
        must(sg_desk_undo(desk, &told, &error));
        ck_shows(shops[i], "undone");
    }
    for (int i = 1; i <= n; i++) {
        must(sg_desk_redo(desk, &told, &error));
        ck_shows(shops[i], "done again");
    }
    for (int i = 0; i <= n; i++)
        sg_desk_close(shops[i]);
    sg_desk_close(clip_from);
    clip_from = NULL;
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("clip, random");
    TCase *tcase = tcase_create("series");
    tcase_add_checked_fixture(tcase, open_parts, close_parts);
    tcase_add_loop_test(tcase, undone_all_the_way_and_done_again_tells_the_same_shops, 0, 5);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
