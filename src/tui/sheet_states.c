/* Which pieces of a sheet are cut, by what was noted. */
#include "edit/scrap.h"
#include "tui/log.h"
#include "tui/pieces.h"

#include <stdlib.h>

/* Whether anything was clocked or counted of a stock. */
static bool is_begun(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock)
{
    const struct sg_stock *s = &shop->stocks[stock];
    for (int32_t i = 0; i <= actual->last; i++)
        if (shop->clocks[i].phase == SG_PHASE_CUT && sg_actual_stock(shop, shop->clocks[i].place) == stock)
            return true;
    for (int32_t i = s->first_part; i < s->first_part + s->n_parts; i++)
        if (actual->parts[i].left_good + actual->parts[i].left_scrapped > 0)
            return true;
    return false;
}

static void count_sheet(const struct sg_plan_layout *layout, const struct sg_layout_used *used,
                        int64_t copies, int64_t *cuts)
{
    for (int64_t i = 0; i < used->n_pieces; i++)
        cuts[layout->placements[used->first + i].part] += copies;
}

/* Cuts of each part of the stock on the sheets before one, by the part's place in the stock. */
static void count_before(const struct sg_look *look, const struct sg_sheet_page *page, int64_t *cuts)
{
    const struct sg_plan_stock *planned = &look->plan->stocks[page->stock - look->plan->first_stock];
    const struct sg_sheets *sheets = look->plan->sheets + planned->first_sheets;
    int64_t before = page->number - 1;
    for (int32_t i = 0; i < page->layout->n_used && before > 0; i++) {
        int64_t copies = sheets[i].copies < before ? sheets[i].copies : before;
        count_sheet(page->layout, &page->layout->used[i], copies, cuts);
        before -= copies;
    }
}

/* The sheet that is cut now; 0 where none of the stock is. */
static int64_t sheet_under_head(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock)
{
    bool on;
    const struct sg_clock *clock = actual->running == SG_UNKNOWN ? NULL : &shop->clocks[actual->running];
    if (!clock || clock->phase != SG_PHASE_CUT || sg_actual_stock(shop, clock->place) != stock)
        return 0;
    return sg_actual_next_sheet(shop, actual, stock, &on);
}

static bool fill_states(struct sg_ui *ui, const struct sg_actual *actual, const struct sg_sheet_page *page,
                        unsigned char *states)
{
    const struct sg_shop *shop = ui->kept.shop;
    const struct sg_stock *stock = &shop->stocks[page->stock];
    bool on, head = sheet_under_head(shop, actual, page->stock) == page->number;
    bool whole = page->number < sg_actual_next_sheet(shop, actual, page->stock, &on);
    int64_t *cuts = calloc((size_t)stock->n_parts + 1, sizeof *cuts);
    if (!cuts)
        return false;
    count_before(&ui->kept, page, cuts);
    for (int64_t i = 0; i < page->n; i++) {
        int32_t part = page->placements[i].part;
        const struct sg_actual_part *of = &actual->parts[page->first_part + part];
        bool done = whole || ++cuts[part] * stock->stack <= of->left_good + of->left_scrapped;
        states[i] = done ? SG_PIECE_DONE : head ? SG_PIECE_UNDER_HEAD : SG_PIECE_NEXT;
        head = head && done; /* the first that is not done */
    }
    free(cuts);
    return true;
}

bool sg_sheet_states(struct sg_ui *ui, const struct sg_sheet_page *page, unsigned char **states)
{
    const struct sg_actual *actual =
        ui->kept.shop->n_clocks + ui->kept.shop->n_records > 0 ? sg_ui_actual(ui) : NULL;
    if (!actual || !page->known || sg_ui_differs(ui) || !is_begun(ui->kept.shop, actual, page->stock))
        return false;
    unsigned char *room = realloc(*states, (size_t)page->n + 1);
    if (!room)
        return false;
    *states = room;
    return fill_states(ui, actual, page, *states);
}

int64_t sg_sheet_under_head(struct sg_ui *ui, int32_t job)
{
    const struct sg_shop *shop = ui->kept.shop;
    const struct sg_actual *actual = shop->n_clocks > 0 && job != SG_UNKNOWN ? sg_ui_actual(ui) : NULL;
    if (!actual || actual->running == SG_UNKNOWN || sg_ui_differs(ui) || sg_sheet_pages(&ui->kept, job) == 0)
        return -1;
    int32_t stock = sg_actual_stock(shop, shop->clocks[actual->running].place);
    int64_t before = 0;
    if (stock == SG_UNKNOWN || shop->stocks[stock].job != job)
        return -1;
    for (int32_t i = shop->jobs[job].first_stock; i < stock; i++)
        before += sg_sheets_in_all(ui->kept.plan, i);
    int64_t sheet = sheet_under_head(shop, actual, stock);
    return sheet > 0 ? before + sheet - 1 : -1; /* a load is no cut yet */
}
