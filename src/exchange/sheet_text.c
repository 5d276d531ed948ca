/* The job sheet for the floor: what is cut from which sheets, with blanks for what came of it. */
#include "exchange/render.h"

#include <stdio.h>
#include <string.h>

enum { CELL = 80, NAME = 400 };

static const char *show(const struct sg_shop *shop, enum sg_dimension dimension, double value, int decimals,
                        char *out)
{
    sg_number_format(value, sg_unit_of_shop(dimension, shop->units), decimals, out, CELL);
    return out;
}

static const char *show_time(double seconds, char *out)
{
    if (sg_known(seconds))
        sg_duration_format(seconds, out, CELL);
    else
        snprintf(out, CELL, "-");
    return out;
}

static const char *unit(const struct sg_shop *shop, enum sg_dimension dimension)
{
    return sg_unit_of_shop(dimension, shop->units)->name;
}

/* Put the words and free them. */
static void put_words(struct sg_text *out, const char *first, int width, struct sg_text *words)
{
    out->failed = out->failed || words->failed;
    if (!words->failed)
        sg_wrap(out, first, 2, width, words->data);
    sg_text_free(words);
}

/* ---- the heading ---- */

/* Each of its lines for itself. */
static void put_note(struct sg_text *out, const char *note, int width)
{
    const char *first = "Note:";
    while (*note) {
        size_t length = strcspn(note, "\n");
        struct sg_text line = {0};
        sg_text_add(&line, note, length);
        put_words(out, first, width, &line);
        first = " ";
        note += length + (note[length] == '\n');
    }
}

static void put_customer(struct sg_text *out, const struct sg_job *job, const struct sg_plan_job *planned,
                         int width)
{
    char due[40];
    struct sg_text words = {0};
    if (job->due == SG_NO_MOMENT) {
        sg_text_put(&words, job->customer);
    } else {
        sg_moment_format(job->due, due, sizeof due);
        sg_text_format(&words, "%s%s%s%s", job->customer, job->customer[0] ? ", due " : "", due,
                       planned->late > 0 ? " LATE" : "");
    }
    put_words(out, job->customer[0] ? "For" : "Due", width, &words);
}

static void put_heading(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                        int32_t job, int width)
{
    const struct sg_job *j = &shop->jobs[job];
    const struct sg_plan_job *planned = &plan->jobs[job - plan->first_job];
    double epoch = shop->shifts[plan->shift].calendar.epoch;
    char day[40], starts[16], ends[16], first[NAME];
    snprintf(first, sizeof first, "JOB SHEET %s", j->id);
    sg_wrap(out, first, 2, width, j->name);
    if (j->customer[0] || j->due != SG_NO_MOMENT)
        put_customer(out, j, planned, width);
    if (sg_known(planned->starts) && sg_known(planned->ends)) {
        struct sg_text words = {0};
        sg_day_format(epoch, day, sizeof day);
        sg_clock_format(epoch + planned->starts, starts, sizeof starts);
        sg_clock_format(epoch + planned->ends, ends, sizeof ends);
        sg_text_format(&words, "%s, %s, %s to %s", shop->shifts[plan->shift].id, day, starts, ends);
        put_words(out, "Shift", width, &words);
    }
    put_note(out, j->note, width);
}

/* ---- a stock ---- */

/* ", 3 sheets 96.000 x 48.000 in", ", 5 sheets, 2 of them remnants, whole ones 96.000 x 48.000 in". */
static void put_sheet_count(struct sg_text *words, const struct sg_shop *shop, const struct sg_stock *stock,
                            const struct sg_plan_stock *planned)
{
    char length[CELL], width[CELL];
    int decimals = shop->units == SG_UNITS_US ? 3 : 1;
    if (planned->sheets == SG_UNKNOWN)
        return;
    sg_text_format(words, ", %lld sheet%s", (long long)planned->sheets, planned->sheets == 1 ? "" : "s");
    if (planned->remnants > 0)
        sg_text_format(words, ", %lld of them remnant%s, whole ones", (long long)planned->remnants,
                       planned->remnants == 1 ? "" : "s");
    sg_text_format(words, " %s x %s %s", show(shop, SG_DIM_LENGTH, stock->sheet_length, decimals, length),
                   show(shop, SG_DIM_LENGTH, stock->sheet_width, decimals, width), unit(shop, SG_DIM_LENGTH));
    if (planned->sheets > planned->lower_bound)
        sg_text_format(words, ", at least %lld needed", (long long)planned->lower_bound);
}

static void put_sheets(struct sg_text *out, const struct sg_shop *shop, const struct sg_stock *stock,
                       const struct sg_plan_stock *planned, int width)
{
    char thick[CELL], first[CELL];
    struct sg_text words = {0};
    int decimals = shop->units == SG_UNITS_US ? 3 : 1;
    sg_text_format(&words, "%s, %s %s",
                   stock->material == SG_UNKNOWN ? "no material" : shop->materials[stock->material].name,
                   show(shop, SG_DIM_LENGTH, stock->thickness, decimals, thick), unit(shop, SG_DIM_LENGTH));
    if (stock->stack > 1)
        sg_text_format(&words, " in stacks of %d", stock->stack);
    sg_text_format(&words, ", %s head", shop->heads[planned->head].name);
    if (planned->setup.abrasive)
        sg_text_format(&words, ", edge %.3g %s", stock->edge, sg_edge_word(stock->edge));
    put_sheet_count(&words, shop, stock, planned);
    sg_text_put(&words, stock->owner == SG_OWNER_CUSTOMER ? ", the customer's" : "");
    if (stock->lot[0])
        sg_text_format(&words, ", lot %s", stock->lot);
    snprintf(first, sizeof first, "Stock %d:", stock->number);
    sg_text_put(out, "\n");
    put_words(out, first, width, &words);
}

static void put_cutting(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan_stock *planned,
                        int width)
{
    char c[2][CELL];
    struct sg_text words = {0};
    sg_text_format(&words, "%s %s (%s), pierce %s s (%s)",
                   show(shop, SG_DIM_FEED, planned->setup.traverse, 1, c[0]), unit(shop, SG_DIM_FEED),
                   sg_basis_word(planned->setup.traverse_basis),
                   show(shop, SG_DIM_NUMBER, planned->setup.pierce, 1, c[1]),
                   sg_basis_word(planned->setup.pierce_basis));
    put_words(out, "Traverse", width, &words);
}

/* What a stock takes of a person: as it is planned, or what one load takes where nothing of it is. */
static void put_hands_on(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                         int32_t stock, int width)
{
    char c[3][CELL];
    struct sg_text words = {0};
    double seconds[SG_EVENTS] = {0};
    int n[SG_EVENTS] = {0};
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        bool of_stock = e->kind == SG_EVENT_LOAD || e->kind == SG_EVENT_FIRST_CHECK;
        if (of_stock && plan->batches[e->batch].stock == stock) {
            seconds[e->kind] += e->seconds;
            n[e->kind]++;
        }
    }
    int loads = n[SG_EVENT_LOAD];
    if (loads > 0)
        sg_text_format(&words, "%s: %d load%s %s, first check %s",
                       show_time(seconds[SG_EVENT_LOAD] + seconds[SG_EVENT_FIRST_CHECK], c[0]), loads,
                       loads == 1 ? "" : "s", show_time(seconds[SG_EVENT_LOAD], c[1]),
                       show_time(seconds[SG_EVENT_FIRST_CHECK], c[2]));
    else
        sg_text_format(&words, "for a load %s, first check %s",
                       show_time(plan->stocks[stock - plan->first_stock].load, c[0]),
                       show_time(shop->stocks[stock].first_check, c[1]));
    put_words(out, "Hands on", width, &words);
}

/* Pieces that are cut again for those that were spoilt are in all the sums. */
static void put_parts(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                      const struct sg_stock *stock)
{
    char cut[CELL], garnet[CELL];
    snprintf(cut, sizeof cut, ">Cut %s all", unit(shop, SG_DIM_LENGTH));
    snprintf(garnet, sizeof garnet, ">Garnet %s", unit(shop, SG_DIM_MASS));
    struct sg_table table;
    sg_table_start(&table,
                   (const char *[]){"Part", "Name", ">Qty", cut, ">Pierces all", ">Each", ">All", garnet}, 8);
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++) {
        const struct sg_part *part = &shop->parts[i];
        const struct sg_plan_part *planned = &plan->parts[i - plan->first_part];
        int64_t pieces = (int64_t)part->quantity + part->scrap;
        char c[6][CELL], again[CELL] = "";
        if (part->scrap > 0)
            snprintf(again, sizeof again, " + %d", part->scrap);
        snprintf(c[0], CELL, "%d%.20s", part->quantity, again);
        snprintf(c[1], CELL, "%lld", (long long)(part->pierces * pieces));
        sg_table_row(&table,
                     (const char *[]){part->id, part->name, c[0],
                                      show(shop, SG_DIM_LENGTH, part->cut_length * (double)pieces, 1, c[2]),
                                      c[1], show_time(planned->each, c[3]),
                                      show_time(planned->cut + planned->pierce + planned->rapid, c[4]),
                                      show(shop, SG_DIM_MASS, planned->garnet, 2, c[5])});
    }
    sg_table_put(&table, 2, out);
}

/* To be filled in by hand. */
static void put_blanks(struct sg_text *out, const struct sg_shop *shop, const struct sg_stock *stock)
{
    static const char few[] = "______", many[] = "____________";
    struct sg_table table;
    if (stock->n_parts == 0)
        return;
    sg_text_put(out, "\n");
    sg_table_start(&table, (const char *[]){"Part", "Good", "Scrap", "Start", "End", "Operator"}, 6);
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        sg_table_row(&table, (const char *[]){shop->parts[i].id, few, few, few, few, many});
    sg_table_put(&table, 2, out);
}

/* ---- cautions ---- */

/* Whether a material or head is that of one of the job's stocks. */
static bool is_used(const struct sg_shop *shop, const struct sg_plan *plan, const struct sg_caution *caution,
                    const struct sg_job *job)
{
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++)
        if (caution->kind == SG_KIND_MATERIAL ? shop->stocks[i].material == caution->index
                                              : plan->stocks[i - plan->first_stock].head == caution->index)
            return true;
    return false;
}

/* Where a caution stands among those of the job: its own rows, its materials and heads, what concerns
 * everybody; NONE where it concerns other jobs. */
enum place { OWN, USED, ALL, NONE };

static enum place place_of(const struct sg_shop *shop, const struct sg_plan *plan,
                           const struct sg_caution *caution, int32_t job)
{
    if (caution->kind == SG_KIND_MATERIAL || caution->kind == SG_KIND_HEAD)
        return is_used(shop, plan, caution, &shop->jobs[job]) ? USED : NONE;
    int32_t own = sg_job_of(shop, (struct sg_target){caution->kind, caution->index});
    return own == SG_UNKNOWN ? ALL : own == job ? OWN : NONE;
}

/* What cautions of the machine and the shift are about, as the floor calls it. */
static const char *thing_of(int code)
{
    static const struct {
        int code;
        const char *thing;
    } things[] = {
        {SG_CAUTION_UNATTENDED, "Alone"},  {SG_CAUTION_GARNET_VESSEL, "Hopper"},
        {SG_CAUTION_LEVEL_READ, "Hopper"}, {SG_CAUTION_HEAVY_BAG, "Bags"},
        {SG_CAUTION_ORDER_BAGS, "Bags"},   {SG_CAUTION_CLEAN_OUT, "Tank"},
        {SG_CAUTION_LOCK_OUT, "Head"},     {SG_CAUTION_JET, "Jet"},
    };
    for (size_t i = 0; i < sizeof things / sizeof *things; i++)
        if (things[i].code == code)
            return things[i].thing;
    return NULL;
}

static void name_in_words(const struct sg_shop *shop, const struct sg_caution *caution, char *out,
                          size_t size)
{
    const char *thing = thing_of(caution->code);
    int32_t i = caution->index;
    if (thing)
        snprintf(out, size, "%s", thing);
    else if (caution->kind == SG_KIND_MATERIAL)
        snprintf(out, size, "%s", shop->materials[i].name);
    else if (caution->kind == SG_KIND_HEAD)
        snprintf(out, size, "%s head", shop->heads[i].name);
    else if (caution->kind == SG_KIND_STOCK)
        snprintf(out, size, "stock %d", shop->stocks[i].number);
    else if (caution->kind == SG_KIND_PART)
        snprintf(out, size, "part %s of stock %d", shop->parts[i].id,
                 shop->stocks[shop->parts[i].stock].number);
    else if (caution->kind == SG_KIND_SHIFT)
        snprintf(out, size, "shift %s", shop->shifts[i].id);
    else if (caution->kind == SG_KIND_CHORE)
        snprintf(out, size, "%s", shop->chores[i].name);
    else
        snprintf(out, size, "%s", caution->kind == SG_KIND_JOB ? "this job" : "machine");
    if (out[0] >= 'a' && out[0] <= 'z')
        out[0] = (char)(out[0] - 'a' + 'A');
}

static void put_cautions(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                         int32_t job, int width)
{
    bool titled = false;
    for (int place = OWN; place < NONE; place++)
        for (int i = 0; i < plan->n_cautions; i++) {
            char name[NAME], first[NAME + 8], text[600];
            const struct sg_caution *caution = &plan->cautions[i];
            if ((int)place_of(shop, plan, caution, job) != place)
                continue;
            sg_text_put(out, titled ? "" : "\nCautions\n");
            titled = true;
            name_in_words(shop, caution, name, sizeof name);
            sg_caution_text(caution, shop->units, text, sizeof text);
            snprintf(first, sizeof first, "  %s:", name);
            sg_wrap(out, first, 4, width, text);
        }
}

void sg_sheet_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan, int32_t job,
                   int width)
{
    const struct sg_job *j = &shop->jobs[job];
    put_heading(out, shop, plan, job, width);
    for (int32_t i = j->first_stock; i < j->first_stock + j->n_stocks; i++) {
        const struct sg_plan_stock *planned = &plan->stocks[i - plan->first_stock];
        put_sheets(out, shop, &shop->stocks[i], planned, width);
        put_cutting(out, shop, planned, width);
        put_hands_on(out, shop, plan, i, width);
        put_parts(out, shop, plan, &shop->stocks[i]);
        sg_layout_words(out, shop, plan, i, width);
        put_blanks(out, shop, &shop->stocks[i]);
    }
    put_cautions(out, shop, plan, job, width);
}
