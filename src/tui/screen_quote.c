/* The price of a job as the office gets it: what a customer is told, then what it is made of. Prices of other
 * quantities are plans of their own: those of a big job follow while nobody types. */
#include "tui/screens.h"

#include "exchange/quote_render.h"
#include "tui/budget.h"
#include "tui/file_name.h"
#include "tui/to_file.h"
#include "tui/wrapped.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MARGIN = 2, WIDEST = 100, QUANTITIES = SG_PRICE_QUANTITIES + 1, WORDS = 700, FIELD = 40, NARROW = 76 };

struct own {
    struct sg_planner *planner; /* its memory makes the next price quick */
    struct sg_arena arena;      /* of the quote */
    struct sg_quote quote;
    char problem[SG_MESSAGE]; /* why there is no price; "" where there is one */
    int64_t sets[QUANTITIES]; /* that are priced as well, */
    int n_sets, n_breaks;     /* and how many of them are */
    struct sg_price_break breaks[QUANTITIES];
    char stopped[SG_MESSAGE]; /* why there are no more of them */
    bool keep;                /* the lines are built of what is known: nothing has changed */
};

static struct own *own_of(struct sg_ui *ui)
{
    return sg_ui_place(ui)->screen == SG_SCREEN_QUOTE ? sg_ui_place(ui)->own : NULL;
}

/* ---- the price ---- */

static bool is_pending(const struct own *own)
{
    return !own->problem[0] && own->n_breaks < own->n_sets;
}

/* A quantity that cannot be planned ends them: those after it are larger. */
static void price_sets(struct sg_ui *ui, struct own *own, struct sg_budget budget)
{
    const struct sg_shop *shop = ui->kept.shop;
    struct sg_error error;
    while (is_pending(own) && sg_budget_left(&budget)) {
        int at = own->n_breaks;
        if (sg_quote_breaks(own->planner, shop, own->quote.job, &shop->rates, &own->sets[at], 1,
                            &own->breaks[at], &error) == SG_OK) {
            own->n_breaks++;
            continue;
        }
        snprintf(own->stopped, sizeof own->stopped, "No price of %lld sets: %.500s.",
                 (long long)own->sets[at], sg_ui_reason(ui, &error));
        own->n_sets = at;
    }
}

static void price(struct sg_ui *ui, struct own *own)
{
    const struct sg_shop *shop = ui->kept.shop;
    int32_t job = sg_ui_place(ui)->about.index;
    struct sg_budget budget = sg_budget_start(ui, SG_BUDGET_KEY_MS);
    struct sg_error error;
    sg_arena_free(&own->arena);
    own->problem[0] = own->stopped[0] = '\0';
    own->n_sets = own->n_breaks = 0;
    if (!sg_rates_any(&shop->rates))
        snprintf(own->problem, sizeof own->problem,
                 "No rates are set, so nothing has a price yet. Enter goes to the rates: what an hour of the "
                 "machine, "
                 "an hour of work, a kilogram or pound of garnet cost, and so on.");
    else if (sg_quote_make(own->planner, shop, job, &shop->rates, &own->arena, &own->quote, &error) != SG_OK)
        snprintf(own->problem, sizeof own->problem, "No price: %.500s.", sg_ui_reason(ui, &error));
    if (own->problem[0])
        return;
    own->n_sets = sg_usual_sets(shop, job, own->sets);
    price_sets(ui, own, budget);
}

static int32_t today(void)
{
    time_t now = time(NULL);
    struct tm local = {0};
    localtime_r(&now, &local);
    return sg_date_days(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

/* width 0: as it is written. */
static struct sg_quote_view view_of(const struct sg_ui *ui, const struct own *own, int width)
{
    return (struct sg_quote_view){.shop = ui->kept.shop,
                                  .quote = &own->quote,
                                  .breaks = own->breaks,
                                  .n_breaks = is_pending(own) ? 0 : own->n_breaks,
                                  .today = today(),
                                  .width = width};
}

/* ---- the lines ---- */

/* A line is found again by its text when others come before it. */
static void number_lines(struct sg_ui *ui)
{
    for (int i = 0; i < ui->n_lines; i++) {
        uint64_t hash = 1469598103934665603u; /* FNV-1a */
        for (const char *at = ui->lines[i].text; *at; at++)
            hash = (hash ^ (unsigned char)*at) * 1099511628211u;
        ui->lines[i].row = *ui->lines[i].text ? (int64_t)(hash >> 1) | 1 : 0;
    }
}

static void build(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    struct sg_text text = {0};
    int width = ui->columns - MARGIN;
    if (!own)
        return;
    if (!own->keep)
        price(ui, own);
    if (own->problem[0]) {
        sg_line_wrapped(ui, SG_ROLE_ODD, 0, 0, own->problem);
        return;
    }
    const struct sg_quote_view view = view_of(ui, own, width < WIDEST ? width : WIDEST);
    sg_quote_text(&text, &view);
    sg_lines_of_text(ui, &text, "\n");
    sg_text_free(&text);
    if (own->stopped[0])
        sg_line_wrapped(ui, SG_ROLE_ODD, 0, 0, own->stopped);
    number_lines(ui);
}

/* More of the other quantities; they are shown when all of them are known. */
static bool go_on(struct sg_ui *ui, struct own *own, int ms)
{
    if (!is_pending(own))
        return false;
    price_sets(ui, own, sg_budget_start(ui, ms));
    own->keep = true;
    if (!is_pending(own))
        sg_ui_build(ui);
    own->keep = false;
    return true;
}

static bool idle(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    return !ui->build && own && go_on(ui, own, SG_BUDGET_IDLE_MS);
}

static bool open(struct sg_ui *ui)
{
    struct own *own = calloc(1, sizeof *own);
    if (own && !(own->planner = sg_planner_new())) {
        free(own);
        own = NULL;
    }
    if (!own)
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for a quote");
    sg_ui_place(ui)->own = own;
    return own != NULL;
}

static void leave(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    if (!own)
        return;
    sg_planner_free(own->planner);
    sg_arena_free(&own->arena);
    free(own);
}

/* ---- what is said ---- */

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_job *job = &ui->kept.shop->jobs[sg_ui_place(ui)->about.index];
    snprintf(out, size, "QUOTE  job %s  %s", job->id, job->name);
}

static void second(struct sg_ui *ui, char *out, size_t size)
{
    struct own *own = sg_ui_place(ui)->own;
    sg_ui_line(ui); /* priced, if that is due */
    if (own && is_pending(own))
        snprintf(out, size, "Price breaks follow: %d of %d quantities are priced.", own->n_breaks,
                 own->n_sets);
    else
        snprintf(out, size,
                 ui->columns < NARROW
                     ? "What a customer is told; below, what it is made of."
                     : "What a customer is told; below it, for the office only, what it is made of.");
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    struct own *own = sg_ui_place(ui)->own;
    struct sg_text without = {0};
    sg_ui_line(ui);
    if (!own || own->problem[0] || own->quote.lacking == 0)
        return;
    sg_quote_without(&without, &ui->kept.shop->rates, own->quote.lacks, own->quote.rows);
    if (without.data && !without.failed)
        snprintf(out, size, "NOT THE WHOLE PRICE: without %s. Enter on a line of \"Not known\" goes there.",
                 without.data);
    sg_text_free(&without);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    char folder[SG_FILE_NAME];
    const struct own *own = sg_ui_place(ui)->own;
    const struct sg_job *job = &ui->kept.shop->jobs[sg_ui_place(ui)->about.index];
    if (own && !own->problem[0] && ui->columns < NARROW)
        snprintf(out, size, "E saves it as CSV, T text, Ctrl-T for the customer");
    else if (own && !own->problem[0] && getcwd(folder, sizeof folder))
        snprintf(out, size,
                 "E saves quote-%.60s.csv, T quote-%.60s.txt, Ctrl-T customer-%.60s.txt, in %.400s", job->id,
                 job->id, job->id, folder);
}

/* ---- Enter: to where what is not known is typed ---- */

struct asked {
    const struct sg_shop *shop;
    const char *line; /* on which one stands */
    struct sg_target target;
    char field[FIELD]; /* "": none found */
    bool sure;         /* the line names its row too, which may have no room */
};

/* The field that a command sets: "sandglass set rates:shop garnet=PRICE/kg"; "" for one that sets none. */
static void field_of(const char *command, char *out)
{
    const char *end = strchr(command, '='), *at = end;
    while (at && at > command && at[-1] != ' ')
        at--;
    snprintf(out, FIELD, "%.*s", at ? (int)(end - at) : 0, at ? at : "");
}

static void hear_lack(void *context, const char *what, const char *where, const char *command)
{
    struct asked *asked = context;
    bool sure = strstr(asked->line, where) != NULL;
    struct sg_target target;
    char field[FIELD];
    field_of(command, field);
    if (!strstr(asked->line, what) || asked->sure || (asked->field[0] && !sure) || !field[0] ||
        sg_key_find(asked->shop, where, &target, NULL) != SG_OK)
        return;
    asked->sure = sure;
    asked->target = target;
    snprintf(asked->field, FIELD, "%s", field);
}

void sg_do_quote_rates(struct sg_ui *ui)
{
    const struct own *own = sg_ui_place(ui)->own;
    const struct sg_line *line = sg_ui_line(ui);
    struct asked asked = {
        .shop = ui->kept.shop, .line = line ? line->text : "", .target = {SG_KIND_RATES, 0}};
    if (own && !own->problem[0]) {
        const struct sg_quote_view view = view_of(ui, own, 0);
        sg_quote_lacks(&view, hear_lack, &asked);
    }
    if (sg_ui_open(ui, SG_SCREEN_FIELDS, asked.target) && asked.field[0])
        sg_fields_stand(ui, asked.field);
}

/* ---- into a file ---- */

static struct own *own_to_write(struct sg_ui *ui, const char *nothing)
{
    struct own *own = own_of(ui);
    if (own)
        sg_ui_line(ui);
    if (own && !own->problem[0])
        return own;
    sg_ui_say(ui, SG_ROLE_WRONG, "there is no price: %s", nothing);
    return NULL;
}

static bool make_csv(struct sg_ui *ui, struct sg_text *out)
{
    const struct own *own = own_to_write(ui, "nothing is written");
    if (!own)
        return false;
    const struct sg_quote_view view = view_of(ui, own, 0);
    sg_quote_csv(out, &view, ui->kept.shop->units);
    return true;
}

static bool make_words(struct sg_ui *ui, struct sg_text *out,
                       void (*write)(struct sg_text *out, const struct sg_quote_view *view))
{
    struct own *own = own_to_write(ui, "nothing is written");
    if (!own)
        return false;
    go_on(ui, own, SG_BUDGET_ALL);
    const struct sg_quote_view view = view_of(ui, own, 0);
    write(out, &view);
    return true;
}

static bool make_text(struct sg_ui *ui, struct sg_text *out)
{
    return make_words(ui, out, sg_quote_text);
}

static bool make_customer(struct sg_ui *ui, struct sg_text *out)
{
    return make_words(ui, out, sg_quote_customer_text);
}

static void say_written(struct sg_ui *ui, const char *path, const char *what)
{
    const struct own *own = own_of(ui);
    sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: %s of job %s%s", path, what,
              ui->kept.shop->jobs[own->quote.job].id,
              own->quote.lacking ? ", which is not the whole price" : "");
}

static void written(struct sg_ui *ui, const char *path)
{
    say_written(ui, path, "the quote");
}

static void written_for_customer(struct sg_ui *ui, const char *path)
{
    say_written(ui, path, "the customer's part of the quote");
}

/* kind: "quote", "customer" */
static void ask(struct sg_ui *ui, const struct sg_to_file *what, const char *kind, const char *ending)
{
    char name[400];
    const struct own *own = own_to_write(ui, "there is nothing to write");
    if (!own)
        return;
    snprintf(name, sizeof name, "%s-%s.%s", kind, ui->kept.shop->jobs[own->quote.job].id, ending);
    sg_to_file_ask(ui, what, name);
}

void sg_do_quote_csv(struct sg_ui *ui)
{
    static const struct sg_to_file csv = {"CSV to file:", make_csv, written};
    ask(ui, &csv, "quote", "csv");
}

void sg_do_quote_text(struct sg_ui *ui)
{
    static const struct sg_to_file text = {"text to file:", make_text, written};
    ask(ui, &text, "quote", "txt");
}

void sg_do_quote_customer(struct sg_ui *ui)
{
    static const struct sg_to_file text = {"for the customer, to file:", make_customer, written_for_customer};
    ask(ui, &text, "customer", "txt");
}

const struct sg_screen sg_screen_quote = {
    .name = "Quote",
    .of_job = true,
    .title = title,
    .second = second,
    .build = build,
    .advice = advice,
    .legend = legend,
    .enter = sg_do_quote_rates,
    .open = open,
    .leave = leave,
    .step = sg_step_pages,
    .idle = idle,
};
