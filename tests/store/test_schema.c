/* The schema and the field table say the same: columns, ranges, defaults. */
#include "store/common.h"

static sqlite3 *db;

static void open_fresh(void)
{
    enter_folder();
    make_shop("shop.db", true);
    ck_assert_int_eq(sqlite3_open("shop.db", &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db, "PRAGMA foreign_keys = ON", NULL, NULL, NULL), SQLITE_OK);
    /* One row of each kind to try values on. */
    ck_assert_int_eq(sqlite3_exec(db,
                                  "UPDATE part SET id = id + 1000; DELETE FROM part WHERE id > 1001;"
                                  "INSERT INTO chore (position, name) VALUES (1, 'warm-up');"
                                  "INSERT INTO clock (key, at) VALUES ('1', '2026-11-26 06:00:00');"
                                  "INSERT INTO record (key, at, what) "
                                  "VALUES ('1', '2026-11-26 06:10:00', 'stop')",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
}

static void close_fresh(void)
{
    sqlite3_close(db);
    leave_folder();
}

static int64_t count(const char *format, const char *a, const char *b)
{
    char *sql = sqlite3_mprintf(format, a, b);
    sqlite3_stmt *statement;
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK, "%s: %s", sql,
                  sqlite3_errmsg(db));
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    int64_t n = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_free(sql);
    return n;
}

/* Whether the schema lets a column be set to what stands in `literal`. */
static bool takes(enum sg_kind kind, const char *column, const char *literal)
{
    char *sql =
        sqlite3_mprintf("SAVEPOINT try; UPDATE %s SET \"%s\" = %s WHERE id = (SELECT min(id) FROM %s)",
                        sg_table_of(kind)->name, column, literal, sg_table_of(kind)->name);
    int code = sqlite3_exec(db, sql, NULL, NULL, NULL);
    ck_assert_msg(code == SQLITE_OK || code == SQLITE_CONSTRAINT, "%s: %s", sql, sqlite3_errmsg(db));
    ck_assert_msg(code != SQLITE_OK || sqlite3_changes(db) == 1, "%s", sql);
    sqlite3_exec(db, "ROLLBACK TO try; RELEASE try", NULL, NULL, NULL);
    sqlite3_free(sql);
    return code == SQLITE_OK;
}

static bool takes_number(enum sg_kind kind, const char *column, double number)
{
    char literal[60];
    snprintf(literal, sizeof literal, "%.17g", number);
    return takes(kind, column, literal);
}

static void column_name(const struct sg_field *field, int i, char *out, size_t size)
{
    sqlite3_str *name = sqlite3_str_new(NULL);
    sg_column_append(name, field, i, "", "");
    char *text = sqlite3_str_finish(name);
    snprintf(out, size, "%.*s", (int)strlen(text) - 2, text + 1); /* without its quotes */
    sqlite3_free(text);
}

START_TEST(each_field_has_its_column_and_no_column_is_over)
{
    int n_fields, columns = _i == SG_KIND_STOCK || _i == SG_KIND_SHIFT || _i == SG_KIND_CHORE ? 3
                            : _i == SG_KIND_PART                                              ? 4
                                                                                              : 2;
    const struct sg_field *fields = sg_fields((enum sg_kind)_i, &n_fields);
    const char *table = sg_table_of((enum sg_kind)_i)->name;
    ck_assert_int_le(n_fields, 64); /* an update keeps a bit for each */
    for (int i = 0; i < n_fields; i++)
        for (int j = 0; j < fields[i].count; j++, columns++) {
            char column[60];
            column_name(&fields[i], j, column, sizeof column);
            ck_assert_msg(
                count("SELECT count(*) FROM pragma_table_info(%Q) WHERE name = %Q", table, column) == 1,
                "%s.%s", table, column);
        }
    ck_assert_int_eq(count("SELECT count(*) FROM pragma_table_info(%Q)", table, ""), columns);
}
END_TEST

static void check_number(const struct sg_field *field, const char *column)
{
    enum sg_kind kind = field->kind;
    double below = field->min - (field->type == SG_FIELD_WHOLE ? 1 : 1e-9 * (1 + fabs(field->min)));
    double above = field->max + (field->type == SG_FIELD_WHOLE ? 1 : 1e-9 * field->max);
    bool open = field->flags & SG_FIELD_ABOVE_MIN;
    ck_assert_msg(takes_number(kind, column, field->max), "%s %s: the maximum", sg_kind_word(kind), column);
    ck_assert_msg(!takes_number(kind, column, above), "%s %s: above the maximum", sg_kind_word(kind), column);
    ck_assert_msg(takes_number(kind, column, field->min) != open, "%s %s: the minimum", sg_kind_word(kind),
                  column);
    ck_assert_msg(!takes_number(kind, column, below), "%s %s: below the minimum", sg_kind_word(kind), column);
    ck_assert_msg(!takes(kind, column, "9e999"), "%s %s: infinity", sg_kind_word(kind), column);
    ck_assert_msg(!takes(kind, column, "'much'"), "%s %s: a word", sg_kind_word(kind), column);
}

static void check_choice(const struct sg_field *field)
{
    char literal[60];
    for (int i = 0; field->words[i]; i++) {
        snprintf(literal, sizeof literal, "'%s'", field->words[i]);
        ck_assert_msg(takes(field->kind, field->column, literal), "%s %s", field->column, literal);
    }
    ck_assert(!takes(field->kind, field->column, "'no such word'"));
    ck_assert(!takes(field->kind, field->column, "''"));
}

static void check_length(const struct sg_field *field, double most)
{
    char literal[60];
    for (int over = 0; over < 2; over++) {
        snprintf(literal, sizeof literal, "printf('%%.*c', %.0f, 'x')", most + over);
        ck_assert_msg(takes(field->kind, field->column, literal) == !over, "%s", field->column);
    }
}

enum { MOST_ITEMS_TEXT = 1200 }; /* sixteen places in full */

START_TEST(the_checks_are_the_ranges_of_the_field_table)
{
    int n_fields;
    const struct sg_field *fields = sg_fields((enum sg_kind)_i, &n_fields);
    for (int i = 0; i < n_fields; i++)
        for (int j = 0; j < fields[i].count; j++) {
            char column[60];
            column_name(&fields[i], j, column, sizeof column);
            switch (fields[i].type) {
            case SG_FIELD_NUMBER:
            case SG_FIELD_NUMBERS:
            case SG_FIELD_WHOLE:
            case SG_FIELD_EDGE:
                check_number(&fields[i], column);
                break;
            case SG_FIELD_CHOICE:
                check_choice(&fields[i]);
                break;
            case SG_FIELD_TEXT:
                check_length(&fields[i], fields[i].max);
                break;
            case SG_FIELD_SIZES:
            case SG_FIELD_PLACES:
                check_length(&fields[i], MOST_ITEMS_TEXT); /* what it says is read when the file is */
                break;
            case SG_FIELD_MATERIAL:
            case SG_FIELD_HEAD:
            case SG_FIELD_SHIFT:
            case SG_FIELD_OUTLINE:
                ck_assert_msg(!takes(fields[i].kind, column, "12345"), "%s", column);
                break;
            default:
                ck_assert_msg(!takes(fields[i].kind, column, "'no such thing'"), "%s", column);
            }
        }
}
END_TEST

/* What may be cleared may be NULL. Lists that are empty are '', so for them it is the other way round. */
START_TEST(what_may_be_cleared_may_be_null)
{
    int n_fields;
    const struct sg_field *fields = sg_fields((enum sg_kind)_i, &n_fields);
    for (int i = 0; i < n_fields; i++)
        for (int j = 0; j < fields[i].count; j++) {
            char column[60];
            column_name(&fields[i], j, column, sizeof column);
            bool list = fields[i].type == SG_FIELD_SPANS || fields[i].type == SG_FIELD_DATES ||
                        fields[i].type == SG_FIELD_FLAGS;
            bool clears = fields[i].flags & SG_FIELD_OPTIONAL && !list;
            /* A stock is not whole without these two, but it may be on its way there. */
            clears = clears || strcmp(column, "material_id") == 0 || strcmp(column, "thickness_mm") == 0;
            ck_assert_msg(takes(fields[i].kind, column, "NULL") == clears, "%s %s",
                          sg_kind_word(fields[i].kind), column);
            ck_assert_msg(!list || takes(fields[i].kind, column, "''"), "%s", column);
        }
}
END_TEST

/* Rows that name nothing but what they must. */
START_TEST(the_defaults_are_those_of_the_fresh_records)
{
    static const char sql[] =
        "INSERT INTO shift (key, position, date) VALUES ('Z', 2, '2026-01-02');"
        "INSERT INTO job (key, shift_id, position) SELECT 'fresh', id, 1 FROM shift WHERE key = 'Z';"
        "INSERT INTO stock (job_id, number) SELECT id, 1 FROM job WHERE key = 'fresh';"
        "INSERT INTO part (stock_id, position, key) SELECT max(id), 1, 'P' FROM stock;"
        "INSERT INTO material (name) VALUES ('zz')";
    struct sg_error error;
    struct sg_arena arena = {0};
    struct sg_shop shop;
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, NULL) == SQLITE_OK, "%s", sqlite3_errmsg(db));
    struct sg_store *store = open_shop("shop.db", SG_STORE_READ);
    ck_assert_int_eq(sg_store_load(store, &arena, &shop, &error), SG_OK);
    struct sg_shift shift = sg_fresh_shift;
    shift.date = sg_date_days(2026, 1, 2);
    struct sg_job job = sg_fresh_job;
    job.shift = 1;
    job.order = 1;
    ck_assert_str_eq(shop.jobs[shop.n_jobs - 1].id, "fresh");
    ck_assert_ptr_null(difference(SG_KIND_SHIFT, &shop.shifts[1], &shift));
    ck_assert_ptr_null(difference(SG_KIND_JOB, &shop.jobs[shop.n_jobs - 1], &job));
    ck_assert_ptr_null(difference(SG_KIND_STOCK, &shop.stocks[shop.n_stocks - 1], &sg_fresh_stock));
    ck_assert_ptr_null(difference(SG_KIND_PART, &shop.parts[shop.n_parts - 1], &sg_fresh_part));
    ck_assert_ptr_null(
        difference(SG_KIND_MATERIAL, &shop.materials[shop.n_materials - 1], &sg_fresh_material));
    sg_store_close(store);
    sg_arena_free(&arena);
}
END_TEST

START_TEST(every_table_is_strict)
{
    ck_assert_int_eq(count("SELECT count(*) FROM pragma_table_list WHERE type = 'table' AND NOT strict "
                           "AND name NOT GLOB 'sqlite_*'",
                           "", ""),
                     0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("schema");
    TCase *tests = tcase_create("schema");
    tcase_add_checked_fixture(tests, open_fresh, close_fresh);
    tcase_add_loop_test(tests, each_field_has_its_column_and_no_column_is_over, 0, SG_KINDS);
    tcase_add_loop_test(tests, the_checks_are_the_ranges_of_the_field_table, 0, SG_KINDS);
    tcase_add_loop_test(tests, what_may_be_cleared_may_be_null, 0, SG_KINDS);
    tcase_add_test(tests, the_defaults_are_those_of_the_fresh_records);
    tcase_add_test(tests, every_table_is_strict);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
