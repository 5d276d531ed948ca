/* Pieces and sheets that were spoilt: what lay on them is cut again. */
#include "edit/scrap.h"

#include "edit/actuals.h"
#include "edit/inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Pieces of each part that are to be cut again. */
struct losing {
    const struct sg_shop *shop;
    int64_t *pieces; /* by part of the stock */
    int32_t stock;
};

/* An edit, and what it is based on: somebody else may scrap pieces of the part in the same minute. */
struct loss {
    char before[24];
};

static enum sg_status make_edits(const struct losing *losing, struct sg_edit *edits, struct loss *losses,
                                 int *n, struct sg_error *error)
{
    const struct sg_stock *stock = &losing->shop->stocks[losing->stock];
    *n = 0;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        const struct sg_part *part = &losing->shop->parts[stock->first_part + i];
        struct sg_edit *edit = &edits[*n];
        if (losing->pieces[i] == 0)
            continue;
        int64_t scrap = part->scrap + losing->pieces[i];
        if (scrap > INT32_MAX)
            return sg_fail(error, SG_BAD_DATA, "%lld pieces are more than can be counted",
                           (long long)losing->pieces[i]);
        memset(edit, 0, sizeof *edit);
        sg_key_write(losing->shop, (struct sg_target){SG_KIND_PART, stock->first_part + i}, edit->key,
                     sizeof edit->key);
        snprintf(edit->assignment, sizeof edit->assignment, "scrap=%lld", (long long)scrap);
        snprintf(losses[*n].before, sizeof losses[*n].before, "%d", part->scrap);
        edit->before = losses[*n].before;
        ++*n;
    }
    return SG_OK;
}

static enum sg_status lose(struct sg_desk *desk, const struct losing *losing, const char *words,
                           struct sg_error *error)
{
    int32_t n_parts = losing->shop->stocks[losing->stock].n_parts;
    struct sg_edit *edits = calloc((size_t)n_parts + 1, sizeof *edits);
    struct sg_change *changes = calloc((size_t)n_parts + 1, sizeof *changes);
    struct loss *losses = calloc((size_t)n_parts + 1, sizeof *losses);
    struct sg_clash clash;
    int n = 0;
    enum sg_status status = edits && changes && losses
                                ? make_edits(losing, edits, losses, &n, error)
                                : sg_fail(error, SG_FAULT, "no memory for %d parts", n_parts);
    if (status == SG_OK)
        status = sg_desk_keep(desk, edits, n, words, changes, &clash, error);
    if (status == SG_NO)
        status =
            sg_fail(error, SG_NO, "somebody else scrapped pieces of %.80s meanwhile: look, and do it again",
                    edits[clash.edit].key);
    free(edits);
    free(changes);
    free(losses);
    return status;
}

int64_t sg_sheets_in_all(const struct sg_plan *plan, int32_t stock)
{
    const struct sg_plan_stock *planned = &plan->stocks[stock - plan->first_stock];
    int64_t n = 0;
    for (int32_t i = planned->first_sheets; i < planned->first_sheets + planned->n_sheets; i++)
        n += plan->sheets[i].copies;
    return n;
}

const struct sg_sheets *sg_sheets_with(const struct sg_plan *plan, int32_t stock, int64_t number)
{
    const struct sg_plan_stock *planned = &plan->stocks[stock - plan->first_stock];
    int64_t before = 0;
    for (int32_t i = planned->first_sheets; i < planned->first_sheets + planned->n_sheets; i++) {
        before += plan->sheets[i].copies;
        if (number >= 1 && number <= before)
            return &plan->sheets[i];
    }
    return NULL;
}

/* Of a stack what lies on all of its sheets. */
static void count_pieces(const struct sg_plan *plan, const struct sg_shop *shop, int32_t stock,
                         const struct sg_sheets *sheets, int64_t *pieces)
{
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        pieces[plan->batches[b].part - shop->stocks[stock].first_part] +=
            plan->batches[b].cuts * shop->stocks[stock].stack;
}

static enum sg_status no_such_sheet(const struct sg_plan *plan, const struct sg_shop *shop, int32_t stock,
                                    int64_t number, const char *key, struct sg_error *error)
{
    int64_t n = sg_sheets_in_all(plan, stock);
    if (shop->stocks[stock].stack > 1)
        return sg_fail(error, SG_BAD_DATA,
                       "stock %.80s has no stack %lld: its plan has %lld stack%s of %d sheets", key,
                       (long long)number, (long long)n, n == 1 ? "" : "s", shop->stocks[stock].stack);
    return sg_fail(error, SG_BAD_DATA, "stock %.80s has no sheet %lld: its plan has %lld", key,
                   (long long)number, (long long)n);
}

static enum sg_status scrap_sheet(struct sg_desk *desk, int32_t stock, int64_t number, struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    const struct sg_plan *plan;
    char key[400], words[SG_WORDS_SIZE];
    struct losing losing = {.shop = shop, .stock = stock};
    enum sg_status status = sg_desk_plan(desk, shop->jobs[shop->stocks[stock].job].shift, &plan, error);
    if (status != SG_OK)
        return status;
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    losing.pieces = calloc((size_t)shop->stocks[stock].n_parts + 1, sizeof *losing.pieces);
    if (!losing.pieces)
        return sg_fail(error, SG_FAULT, "no memory for a sheet of %.80s", key);
    snprintf(words, sizeof words, "%s %lld of %.100s scrapped: its pieces are cut again",
             shop->stocks[stock].stack > 1 ? "stack" : "sheet", (long long)number, key);
    const struct sg_sheets *sheets = sg_sheets_with(plan, stock, number);
    if (sheets) {
        count_pieces(plan, shop, stock, sheets, losing.pieces);
        status = lose(desk, &losing, words, error);
    } else {
        status = no_such_sheet(plan, shop, stock, number, key, error);
    }
    free(losing.pieces);
    return status;
}

static enum sg_status scrap_pieces(struct sg_desk *desk, int32_t part, int64_t pieces, struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    int32_t stock = shop->parts[part].stock;
    char key[400], words[SG_WORDS_SIZE];
    struct losing losing = {.shop = shop, .stock = stock};
    sg_key_write(shop, (struct sg_target){SG_KIND_PART, part}, key, sizeof key);
    if (pieces < 1 || pieces > 1000000)
        return sg_fail(error, SG_BAD_DATA, "1 to 1000000 pieces of %.80s can be scrapped at once, not %lld",
                       key, (long long)pieces);
    losing.pieces = calloc((size_t)shop->stocks[stock].n_parts, sizeof *losing.pieces);
    if (!losing.pieces)
        return sg_fail(error, SG_FAULT, "no memory for %.80s", key);
    losing.pieces[part - shop->stocks[stock].first_part] = pieces;
    snprintf(words, sizeof words, "%lld of %.100s scrapped: %s cut again", (long long)pieces, key,
             pieces == 1 ? "it is" : "they are");
    enum sg_status status = lose(desk, &losing, words, error);
    free(losing.pieces);
    return status;
}

/* ---- what the log has ---- */

static bool is_count(const struct sg_record *record)
{
    return record->what == SG_RECORD_DONE || record->what == SG_RECORD_SCRAP ||
           record->what == SG_RECORD_NOT_DONE || record->what == SG_RECORD_NOT_SCRAP;
}

/* Whether a cut of a stock was clocked, or pieces of it were counted, since the log's start. */
static bool is_logged(const struct sg_shop *shop, const struct sg_actual *actual, const char *key)
{
    size_t length = strlen(key);
    for (int32_t i = actual->last; i >= 0 && actual->clocks[i].from >= actual->since; i--)
        if (shop->clocks[i].phase == SG_PHASE_CUT && strcmp(shop->clocks[i].place, key) == 0)
            return true;
    for (int32_t i = shop->n_records - 1; i >= 0 && shop->records[i].at >= actual->since; i--) {
        const struct sg_record *record = &shop->records[i];
        if (is_count(record) && i > actual->since_record && strncmp(record->place, key, length) == 0 &&
            record->place[length] == '/')
            return true;
    }
    return false;
}

/* What is in the log is counted there: the rest asks for it again, and a scrap of the plan would do so a
 * second time. */
static enum sg_status check_log(const struct sg_shop *shop, int32_t stock, struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_actual actual;
    char key[400];
    enum sg_status status = SG_OK;
    if (shop->n_clocks == 0 && shop->n_records == 0)
        return SG_OK;
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    if (!sg_actual_make(shop, sg_log_end(shop), &arena, &actual))
        status = sg_fail(error, SG_FAULT, "no memory for a log of %d clocks", shop->n_clocks);
    else if (is_logged(shop, &actual, key))
        status = sg_fail(
            error, SG_BAD_DATA,
            "cuts of %.80s are in the log, where spoilt pieces are noted too: `record scrap N|all PART`, "
            "or X on the screen Actuals",
            key);
    sg_arena_free(&arena);
    return status;
}

enum sg_status sg_desk_scrap(struct sg_desk *desk, struct sg_target target, int64_t number,
                             struct sg_error *error)
{
    bool part = target.kind == SG_KIND_PART;
    enum sg_status status = SG_OK;
    if (part || target.kind == SG_KIND_STOCK)
        status = check_log(&desk->held.shop, part ? desk->held.shop.parts[target.index].stock : target.index,
                           error);
    if (status != SG_OK)
        return status;
    if (target.kind == SG_KIND_STOCK)
        return scrap_sheet(desk, target.index, number, error);
    if (target.kind == SG_KIND_PART)
        return scrap_pieces(desk, target.index, number, error);
    return sg_fail(error, SG_USAGE,
                   "a sheet of a stock or pieces of a part are scrapped: name JOB/STOCK SHEET or "
                   "JOB/STOCK/PART PIECES");
}
