/* The screens: how long a person waits for the first one, for the drawing that follows a key, for a value to
 * be kept, for Esc and for a new size, measured on a pseudo terminal until the emulator at its other end
 * holds the whole new picture; then the parts of it inside this process; and the program's memory. Prints
 * medians, judges nothing. */
#include "../tui/pty_inside.h"
#include "screen_parts.h"
#include "stopwatch.h"

#include <fcntl.h>
#include <locale.h>

static struct sg_error error;

/* ---- shops ---- */

/* One job of 2,000 parts and 40,000 pieces, a hundred parts to a stock. */
static void fill_one_job(struct sg_desk *desk)
{
    enum { STOCKS = 20, PARTS = 100, PIECES = 20 };
    static const char *const names[] = {"steel, mild", "stainless 304", "aluminium 6061", "copper"};
    struct sg_job job = sg_fresh_job;
    char id[32];
    job.id = "1";
    job.order = 1;
    shop_file_begin(desk);
    int64_t job_row = shop_file_insert(desk, SG_KIND_JOB, 0, &job), stock_row = 0;
    for (int i = 0; i < STOCKS * PARTS; i++) {
        int stocks = i / PARTS;
        if (i % PARTS == 0) {
            struct sg_stock stock = sg_fresh_stock;
            stock.number = stocks + 1;
            stock.material = material_of(sg_desk_shop(desk), names[stocks % 4]);
            stock.thickness = 3 + stocks % 7;
            stock.sheet_length = 2400;
            stock.sheet_width = 1200;
            stock_row = shop_file_insert(desk, SG_KIND_STOCK, job_row, &stock);
        }
        struct sg_part part = sg_fresh_part;
        snprintf(id, sizeof id, "P%d", i % PARTS + 1);
        part.id = id;
        part.name = "plate";
        part.quantity = PIECES;
        part.cut_length = 300 + i % 13 * 40;
        part.pierces = 1 + i % 4;
        part.length = 60 + i % 9 * 10;
        part.width = 40 + i % 5 * 10;
        shop_file_insert(desk, SG_KIND_PART, stock_row, &part);
    }
    shop_file_commit(desk);
}

static void fill_many_jobs(struct sg_desk *desk)
{
    shop_file_lines(desk, 2000);
}

/* The example where `fill` is NULL, else a shop with garnet enough to the last piece. */
static void make_shop(struct shop_file *file, void (*fill)(struct sg_desk *desk))
{
    shop_file_make(file, !fill);
    struct sg_desk *desk = shop_file_desk(file, SG_STORE_WRITE);
    if (fill) {
        const char *enough = "bags_in_stock=1000000";
        struct sg_change change;
        shop_must(sg_desk_set(desk, "machine:main", &enough, 1, true, &change, NULL, &error), &error);
        fill(desk);
    }
    sg_desk_close(desk);
}

static void tell_shop(const char *name, const struct shop_file *file)
{
    struct sg_desk *desk = shop_file_desk(file, SG_STORE_READ);
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_plan *plan;
    int64_t pieces = 0;
    shop_must(sg_desk_plan(desk, 0, &plan, &error), &error);
    for (int32_t i = 0; i < shop->n_parts; i++)
        pieces += shop->parts[i].quantity;
    printf("\n%s: %d jobs, %d parts, %lld pieces, %d events, %s\n", name, shop->n_jobs, shop->n_parts,
           (long long)pieces, plan->run.n_events,
           plan->run.finished ? "to the last piece" : "out of garnet before the end");
    sg_desk_close(desk);
}

/* ---- on a pseudo terminal ---- */

static struct pty *start_on(const struct shop_file *file)
{
    return pty_start(&(struct pty_how){.program = PROGRAM,
                                       .arguments = (const char *const[]){"-f", file->path, NULL},
                                       .rows = ROWS,
                                       .columns = COLUMNS});
}

/* A picture that is known: all of it, and where the cursor stands. */
struct picture {
    char *text;
    int row, column;
};

static struct picture picture_of(struct pty *pty, const char *holds)
{
    must(pty_settle(pty, holds), holds);
    return (struct picture){pty_screen(pty), pty_state(pty).row, pty_state(pty).column};
}

/* The cursor comes to its place last. */
static bool is_picture(struct pty *pty, const void *context)
{
    const struct picture *wanted = context;
    if (pty_state(pty).row != wanted->row || pty_state(pty).column != wanted->column)
        return false;
    char *text = pty_screen(pty);
    bool same = strcmp(text, wanted->text) == 0;
    free(text);
    return same;
}

static double time_picture(struct pty *pty, const char *keys, const struct picture *wanted)
{
    double start = now_ms();
    pty_keys(pty, keys);
    must(pty_wait(pty, is_picture, wanted, keys), keys);
    return now_ms() - start;
}

static void bench_start(const struct shop_file *file, int runs, const char *budget)
{
    struct picture first = {0};
    for (int i = -1; i < runs; i++) {
        double start = now_ms();
        struct pty *pty = start_on(file);
        if (i < 0)
            first = picture_of(pty, "ENDS");
        else {
            must(pty_wait(pty, is_picture, &first, "the first picture"), "the first picture");
            note_ms(now_ms() - start);
        }
        pty_keys(pty, "q");
        must(pty_wait_exit(pty) == 0, "it ends");
        pty_end(pty);
    }
    free(first.text);
    report("start to the first complete screen", budget);
}

/* What is seen when a key has reached an open field: the figure in front of the cursor, the cursor behind it,
 * and the sentence that says what the whole text would change. */
struct typed {
    int row, column;
    char figure[2], sentence[24];
};

static bool is_typed(struct pty *pty, const void *context)
{
    const struct typed *wanted = context;
    struct pty_state state = pty_state(pty);
    return state.row == wanted->row && state.column == wanted->column &&
           strcmp(pty_cell(pty, wanted->row, wanted->column - 1).text, wanted->figure) == 0 &&
           strstr(pty_row(pty, pty_rows(pty) - 3), wanted->sentence);
}

static struct typed typed_at(int row, int column, int value)
{
    struct typed typed = {.row = row, .column = column, .figure = {(char)('0' + value % 10)}};
    snprintf(typed.sentence, sizeof typed.sentence, "-> %d ", value);
    return typed;
}

static double time_typed(struct pty *pty, const char *key, const struct typed *wanted)
{
    double start = now_ms();
    pty_keys(pty, key);
    must(pty_wait(pty, is_typed, wanted, wanted->sentence), key);
    return now_ms() - start;
}

/* On the quantity of the first part: 4 opens the field, then a figure and Backspace by turns. */
static void bench_typing(struct pty *pty, int runs, const char *budget)
{
    pty_keys(pty, "4");
    must(pty_settle(pty, "-> 4 "), "a field with 4 in it");
    struct pty_state at = pty_state(pty);
    for (int i = 0; i < runs; i += 2) {
        int value = 40 + i / 2 % 10;
        struct typed longer = typed_at(at.row, at.column + 1, value);
        struct typed shorter = typed_at(at.row, at.column, 4);
        note_ms(time_typed(pty, longer.figure, &longer));
        note_ms(time_typed(pty, "<Backspace>", &shorter));
    }
    report("key to drawn screen, typing a quantity", budget);
}

static bool is_closed(struct pty *pty, const void *sentence)
{
    return !pty_state(pty).cursor && strstr(pty_row(pty, pty_rows(pty) - 3), sentence);
}

static double time_closed(struct pty *pty, const char *key, const char *sentence)
{
    double start = now_ms();
    pty_keys(pty, key);
    must(pty_wait(pty, is_closed, sentence, sentence), key);
    return now_ms() - start;
}

static void bench_keep(struct pty *pty, int runs)
{
    for (int i = 0; i < runs; i++) {
        int value = 40 + i % 10;
        char text[8], kept[24];
        snprintf(text, sizeof text, "%d", value);
        pty_keys(pty, text);
        snprintf(kept, sizeof kept, "-> %d ", value);
        must(pty_settle(pty, kept), "a typed quantity");
        snprintf(kept, sizeof kept, "-> %d kept.", value);
        note_ms(time_closed(pty, "<Enter>", kept));
    }
    report("Enter to a kept value, drawn", "at least 10");
}

/* What the disk takes for it at the least: a page written and flushed, beside the shop file. */
static void bench_flush(const struct shop_file *file, int runs)
{
    static const char page[4096];
    char path[560];
    snprintf(path, sizeof path, "%s/flushed", file->folder);
    int fd = open(path, O_CREAT | O_RDWR, 0600);
    for (int i = 0; i < runs; i++) {
        double start = now_ms();
        must(pwrite(fd, page, sizeof page, 0) == sizeof page && fsync(fd) == 0, "a page on the disk");
        note_ms(now_ms() - start);
    }
    close(fd);
    unlink(path);
    report("  a page written and flushed, alone", "");
}

static void bench_escape(struct pty *pty, int runs)
{
    for (int i = 0; i < runs; i++) {
        pty_keys(pty, "4");
        must(pty_settle(pty, "-> 4 "), "a field with 4 in it");
        note_ms(time_closed(pty, "<Esc>", ""));
    }
    report("Esc to the closed field (waits 25 ms for a sequence)", "");
}

/* A key and the one that takes it back, each to a picture that both passed before. */
static void bench_pair(struct pty *pty, const char *what, const char *there, const char *back, int runs)
{
    struct picture before = picture_of(pty, ""), after;
    pty_keys(pty, there);
    must(pty_wait_gone(pty, before.text), there);
    after = picture_of(pty, "");
    must(strcmp(before.text, after.text) != 0, "the key changes the picture");
    pty_keys(pty, back);
    must(pty_wait(pty, is_picture, &before, back), back);
    for (int i = 0; i < runs; i++) {
        note_ms(time_picture(pty, there, &after));
        time_picture(pty, back, &before);
    }
    report(what, "");
    free(before.text);
    free(after.text);
}

static void bench_resize(struct pty *pty, int runs)
{
    struct picture small = picture_of(pty, "ENDS"), large;
    pty_resize(pty, TALL, BROAD);
    large = picture_of(pty, "ENDS");
    for (int i = 0; i < runs; i++) {
        bool grows = i % 2 != 0;
        double start = now_ms();
        pty_resize(pty, grows ? TALL : ROWS, grows ? BROAD : COLUMNS);
        must(pty_wait(pty, is_picture, grows ? &large : &small, "a size"), "a new size");
        note_ms(now_ms() - start);
    }
    report("a new size, 24x80 and 50x160 by turns", "");
    free(small.text);
    free(large.text);
}

/* Peak memory in MB, from the system. */
static double peak_mb(const struct pty *pty)
{
    char path[60], line[200];
    long kb = 0;
    snprintf(path, sizeof path, "/proc/%d/status", (int)pty->pid);
    FILE *file = fopen(path, "r");
    while (file && fgets(line, sizeof line, file))
        if (strncmp(line, "VmHWM:", 6) == 0)
            kb = strtol(line + 6, NULL, 10);
    if (file)
        fclose(file);
    return (double)kb / 1024;
}

static void bench_on_terminal(const struct shop_file *file, int runs, const char *key_budget)
{
    struct pty *pty = start_on(file);
    must(pty_settle(pty, "ENDS"), "the first screen");
    if (strstr(pty_row(pty, 5), "J2") || strstr(pty_row(pty, 5), "2602"))
        bench_pair(pty, "Shift: down a row", "<Down>", "<Up>", runs / 2);
    bench_pair(pty, "Shift: a job opened", "<Enter>", "<Esc>", runs / 10);
    pty_keys(pty, "<Enter>");
    must(pty_settle(pty, "JOB "), "a job");
    bench_pair(pty, "Job: down a row", "<Down>", "<Up>", runs / 2);
    bench_typing(pty, runs, key_budget);
    time_closed(pty, "<Esc>", "");
    bench_escape(pty, 20);
    bench_keep(pty, 50);
    bench_flush(file, 50);
    bench_resize(pty, 20);
    printf("  %-47s %8.1f MB peak  %s\n", "memory of the program", peak_mb(pty), "at least 16, aim 8");
    pty_keys(pty, "<Esc>");
    must(pty_settle(pty, "SHIFT"), "the shift");
    pty_keys(pty, "q");
    must(pty_wait_exit(pty) == 0, "it ends");
    pty_end(pty);
}

static void bench_shop(const char *name, void (*fill)(struct sg_desk *desk), int runs, const char *key_budget)
{
    struct shop_file file;
    make_shop(&file, fill);
    tell_shop(name, &file);
    bench_start(&file, fill ? 11 : 51, fill ? "" : "at least 30, aim 10");
    bench_on_terminal(&file, runs, key_budget);
    bench_parts(&file, runs);
    shop_file_remove(&file);
}

int main(void)
{
    setlocale(LC_CTYPE, "C.UTF-8");
    setenv("TZ", "UTC", 1);
    setenv("TERM", "xterm-256color", 1);
    bench_shop("the example shop", NULL, 1000, "at least 2, aim 0.5 (p95)");
    bench_shop("one large job", fill_one_job, 400, "at least 10, aim 4 (p95)");
    bench_shop("many jobs", fill_many_jobs, 400, "");
    return 0;
}
