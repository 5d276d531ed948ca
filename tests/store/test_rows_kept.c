/* Rows in and out: what is loaded is what was inserted or updated, for every field of every kind, in its
 * order. */
#include "store/random_rows.h"

static void is_sound(void)
{
    struct told told = {0};
    int found = sg_store_check(store, tell, &told, &error);
    ck_assert_msg(found == 0, "%d: %s%s", found, told.text, error.text);
}

START_TEST(a_random_library_comes_back_as_it_went)
{
    struct sg_shop before = load();
    begin();
    insert_random_library();
    commit();
    struct sg_shop shop = load();
    ck_assert_int_eq(shop.n_materials, before.n_materials + ROUNDS);
    for (int i = 0; i < ROUNDS; i++) {
        const struct sg_material *material = &shop.materials[before.n_materials + i];
        const struct sg_head *head = &shop.heads[2 + i];
        const struct sg_shift *shift = &shop.shifts[1 + i];
        ck_assert_str_eq(material->name, materials[i].name);
        ck_assert_str_eq(head->name, heads[i].name);
        ck_assert_str_eq(shift->id, shifts[i].id);
        ck_assert_int_eq(shift->row, shifts[i].row);
        const char *field = difference(SG_KIND_MATERIAL, material, &materials[i]);
        ck_assert_msg(!field, "material %s", field);
        field = difference(SG_KIND_HEAD, head, &heads[i]);
        ck_assert_msg(!field, "head %s", field);
        field = difference(SG_KIND_SHIFT, shift, &shifts[i]);
        ck_assert_msg(!field, "shift %s", field);
    }
    is_sound();
}
END_TEST

static struct sg_job jobs[ROUNDS];
static struct sg_stock stocks[ROUNDS];
static struct sg_part parts[ROUNDS];

/* One stock in each job and one part in each stock; the jobs in the order of the array within their shifts.
 */
static void insert_random_jobs(const struct sg_shop *shop)
{
    int in_shift[ROUNDS + 1] = {0};
    for (int i = 0; i < ROUNDS; i++) {
        jobs[i].id = name("job ", i);
        stocks[i].number = 1 + (int32_t)roll_below(&dice, 1000000);
        parts[i].id = name("part/", i);
        roll_record(&dice, SG_KIND_JOB, shop, &jobs[i]);
        roll_record(&dice, SG_KIND_STOCK, shop, &stocks[i]);
        roll_record(&dice, SG_KIND_PART, shop, &parts[i]);
        jobs[i].order = ++in_shift[jobs[i].shift];
        jobs[i].row = insert(SG_KIND_JOB, 0, shop, &jobs[i]);
        stocks[i].row = insert(SG_KIND_STOCK, jobs[i].row, shop, &stocks[i]);
        parts[i].row = insert(SG_KIND_PART, stocks[i].row, shop, &parts[i]);
    }
}

START_TEST(random_jobs_come_back_as_they_went)
{
    begin();
    insert_random_library();
    struct sg_shop shop = load();
    insert_random_jobs(&shop);
    commit();
    shop = load();
    ck_assert_int_eq(shop.n_jobs, ROUNDS);
    ck_assert_int_eq(shop.n_stocks, ROUNDS);
    ck_assert_int_eq(shop.n_parts, ROUNDS);
    for (int i = 0; i < ROUNDS; i++) {
        const struct sg_job *job = &shop.jobs[i];
        int from = 0;
        while (strcmp(jobs[from].id, job->id) != 0)
            from++;
        const struct sg_stock *stock = &shop.stocks[job->first_stock];
        const struct sg_part *part = &shop.parts[stock->first_part];
        ck_assert_int_eq(job->n_stocks, 1);
        ck_assert_int_eq(stock->n_parts, 1);
        ck_assert_int_eq(stock->job, i);
        ck_assert_int_eq(part->stock, job->first_stock);
        ck_assert_int_eq(stock->number, stocks[from].number);
        ck_assert_str_eq(part->id, parts[from].id);
        const char *field = difference(SG_KIND_JOB, job, &jobs[from]);
        ck_assert_msg(!field, "job %s", field);
        field = difference(SG_KIND_STOCK, stock, &stocks[from]);
        ck_assert_msg(!field, "stock %s", field);
        field = difference(SG_KIND_PART, part, &parts[from]);
        ck_assert_msg(!field, "part %s", field);
    }
    is_sound();
}
END_TEST

/* Each field of each kind alone: it changes as told and nothing else does. */
static void update_each_field(enum sg_kind kind, const struct sg_shop *shop, const void *kept, int64_t row,
                              const void *(*find)(const struct sg_shop *))
{
    int n;
    const struct sg_field *fields = sg_fields(kind, &n);
    union {
        struct sg_machine machine;
        struct sg_shift shift;
        struct sg_stock stock;
    } draft;
    memcpy(&draft, kept, sg_kind_size(kind));
    for (int i = 0; i < n; i++) {
        const struct sg_field *one = &fields[i];
        struct sg_value value;
        roll_value(&dice, one, shop, &value);
        sg_field_put(one, &draft, &value);
        begin();
        ck_assert_msg(sg_store_update(store, kind, row, shop, &draft, &one, 1, &error) == SG_OK, "%s",
                      error.text);
        commit();
        struct sg_shop now = load();
        const char *field = difference(kind, find(&now), &draft);
        ck_assert_msg(!field, "after %s %s: %s", sg_kind_word(kind), one->name, field);
    }
}

static const void *the_machine(const struct sg_shop *shop)
{
    return &shop->machine;
}
static const void *first_head(const struct sg_shop *shop)
{
    return &shop->heads[0];
}
static const void *first_material(const struct sg_shop *shop)
{
    return &shop->materials[0];
}
static const void *first_shift(const struct sg_shop *shop)
{
    return &shop->shifts[0];
}
static const void *first_job(const struct sg_shop *shop)
{
    return &shop->jobs[0];
}
static const void *first_stock(const struct sg_shop *shop)
{
    return &shop->stocks[0];
}
static const void *first_part(const struct sg_shop *shop)
{
    return &shop->parts[0];
}

START_TEST(each_field_is_updated_alone)
{
    sg_store_close(store);
    ck_assert_int_eq(system("rm shop.db"), 0);
    make_shop("shop.db", true);
    store = open_shop("shop.db", SG_STORE_WRITE);
    struct sg_shop shop = load();
    begin();
    sg_store_run(store, "DELETE FROM job WHERE position > 1", &error);
    insert_plates(store, 5);
    commit();
    shop = load();
    update_each_field(SG_KIND_MACHINE, &shop, &shop.machine, shop.machine.row, the_machine);
    update_each_field(SG_KIND_HEAD, &shop, &shop.heads[0], shop.heads[0].row, first_head);
    update_each_field(SG_KIND_MATERIAL, &shop, &shop.materials[0], shop.materials[0].row, first_material);
    update_each_field(SG_KIND_SHIFT, &shop, &shop.shifts[0], shop.shifts[0].row, first_shift);
    update_each_field(SG_KIND_JOB, &shop, &shop.jobs[0], shop.jobs[0].row, first_job);
    update_each_field(SG_KIND_STOCK, &shop, &shop.stocks[0], shop.stocks[0].row, first_stock);
    update_each_field(SG_KIND_PART, &shop, &shop.parts[0], shop.parts[0].row, first_part);
}
END_TEST

START_TEST(some_fields_are_updated_and_others_kept)
{
    begin();
    insert_random_library();
    struct sg_shop shop = load();
    insert_random_jobs(&shop);
    struct sg_part other = parts[7];
    roll_record(&dice, SG_KIND_PART, &shop, &other);
    int n;
    const struct sg_field *all = sg_fields(SG_KIND_PART, &n);
    for (int round = 0; round < 100; round++) {
        const struct sg_field *chosen[64];
        struct sg_part expected = parts[7];
        struct sg_value value;
        int n_chosen = 0;
        roll_record(&dice, SG_KIND_PART, &shop, &other);
        for (int i = 0; i < n; i++)
            if (roll_below(&dice, 2)) {
                chosen[n_chosen++] = &all[n - 1 - i]; /* the order of the list does not matter */
                sg_field_get(&all[n - 1 - i], &other, &value);
                sg_field_put(&all[n - 1 - i], &expected, &value);
            }
        ck_assert_msg(sg_store_update(store, SG_KIND_PART, parts[7].row, &shop, &other, chosen, n_chosen,
                                      &error) == SG_OK,
                      "%s", error.text);
        shop = load();
        for (int i = 0; i < shop.n_parts; i++) {
            const struct sg_part *found = &shop.parts[i];
            for (int from = 0; from < ROUNDS; from++)
                if (found->row == parts[from].row)
                    ck_assert_ptr_null(difference(SG_KIND_PART, found, from == 7 ? &expected : &parts[from]));
        }
        parts[7] = expected;
    }
    commit();
}
END_TEST

/* ---- order ---- */

START_TEST(parts_keep_the_order_in_which_they_came)
{
    struct sg_shop shop = load();
    struct sg_job job = sg_fresh_job;
    struct sg_stock stock = sg_fresh_stock;
    struct sg_part part = sg_fresh_part;
    int64_t rows[30];
    begin();
    /* Jobs and stocks are added in the wrong order on purpose. */
    for (int i = 0; i < 10; i++) {
        job.id = name("j", i);
        job.order = 10 - i;
        int64_t row = insert(SG_KIND_JOB, 0, &shop, &job);
        for (stock.number = 3; stock.number > 0; stock.number--)
            rows[i * 3 + stock.number - 1] = insert(SG_KIND_STOCK, row, &shop, &stock);
    }
    for (int i = 0; i < 600; i++) {
        part.id = name("p", i);
        part.quantity = i;
        insert(SG_KIND_PART, rows[roll_below(&dice, 30)], &shop, &part);
    }
    commit();
    shop = load();
    int parts_seen = 0;
    for (int i = 0; i < shop.n_jobs; i++) {
        ck_assert_int_eq(shop.jobs[i].order, i + 1);
        ck_assert_int_eq(shop.jobs[i].first_stock, i * 3);
        ck_assert_int_eq(shop.jobs[i].n_stocks, 3);
    }
    for (int i = 0; i < shop.n_stocks; i++) {
        const struct sg_stock *found = &shop.stocks[i];
        ck_assert_int_eq(found->number, i % 3 + 1);
        ck_assert_int_eq(found->row, rows[(9 - i / 3) * 3 + i % 3]);
        ck_assert_int_eq(found->first_part, parts_seen);
        for (int j = 0; j < found->n_parts; j++) {
            ck_assert_int_eq(shop.parts[parts_seen + j].stock, i);
            if (j)
                ck_assert_int_gt(shop.parts[parts_seen + j].quantity,
                                 shop.parts[parts_seen + j - 1].quantity);
        }
        parts_seen += found->n_parts;
    }
    ck_assert_int_eq(parts_seen, 600);
    is_sound();
}
END_TEST

START_TEST(jobs_change_their_places)
{
    begin();
    struct sg_shop shop = load();
    struct sg_shift second = sg_fresh_shift;
    second.id = "B";
    second.date = 20001;
    insert(SG_KIND_SHIFT, 0, &shop, &second);
    struct sg_job job = sg_fresh_job;
    for (int i = 0; i < 6; i++) {
        job.id = name("j", i);
        job.order = i + 1;
        insert(SG_KIND_JOB, 0, &shop, &job);
    }
    shop = load();
    for (int i = 0; i < 6; i++) { /* the even ones backwards, the odd ones to the other shift */
        shop.jobs[i].shift = i % 2;
        shop.jobs[i].order = i % 2 ? i / 2 + 1 : 3 - i / 2;
    }
    ck_assert_msg(sg_store_orders(store, &shop, &error) == SG_OK, "%s", error.text);
    commit();
    shop = load();
    static const char *const expected[] = {"j4", "j2", "j0", "j1", "j3", "j5"};
    for (int i = 0; i < 6; i++)
        ck_assert_str_eq(shop.jobs[i].id, expected[i]);
    is_sound();
    begin();
    shop.jobs[5].shift = SG_UNKNOWN;
    ck_assert_int_eq(sg_store_orders(store, &shop, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "j5"), "%s", error.text);
    sg_store_rollback(store);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rows kept");
    TCase *tests = tcase_create("rows kept");
    tcase_add_checked_fixture(tests, open_empty, close_all);
    tcase_add_test(tests, a_random_library_comes_back_as_it_went);
    tcase_add_test(tests, random_jobs_come_back_as_they_went);
    tcase_add_test(tests, each_field_is_updated_alone);
    tcase_add_test(tests, some_fields_are_updated_and_others_kept);
    tcase_add_test(tests, parts_keep_the_order_in_which_they_came);
    tcase_add_test(tests, jobs_change_their_places);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
