#include "tui/longer_search.h"

#include "edit/search.h"

static void mix(uint64_t *hash, const void *bytes, size_t size)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < size; i++)
        *hash = (*hash ^ at[i]) * 0x100000001b3;
}

static void mix_numbers(uint64_t *hash, const double *numbers, size_t n)
{
    mix(hash, numbers, n * sizeof *numbers);
}

static void mix_parts(uint64_t *hash, const struct sg_shop *shop, const struct sg_stock *stock,
                      const struct sg_plan_layout *layout)
{
    for (int32_t i = 0; i < layout->n_boxes; i++) {
        const struct sg_layout_part *box = &layout->boxes[i];
        int32_t outline = shop->parts[stock->first_part + i].outline;
        mix_numbers(hash, (const double[]){box->length, box->width, (double)box->quantity}, 3);
        if (outline != SG_UNKNOWN)
            mix(hash, &shop->drawn[outline].print, sizeof shop->drawn[outline].print);
    }
}

/* A number made of all that a layout depends on, and of how many sheets it takes; never 0. */
static uint64_t number_of(const struct sg_shop *shop, const struct sg_sheet_page *page)
{
    uint64_t hash = 0xcbf29ce484222325;
    const struct sg_plan_layout *l = page->layout;
    const struct sg_stock *stock = &shop->stocks[page->stock];
    mix_numbers(&hash,
                (const double[]){(double)stock->row, stock->turn, stock->interlock, stock->search,
                                 stock->stack, l->common, (double)l->sheets, l->gap, l->margin},
                9);
    for (int32_t i = 0; i < l->n_sizes; i++)
        mix_numbers(&hash, (const double[]){l->sizes[i].length, l->sizes[i].width, (double)l->sizes[i].count},
                    3);
    for (int64_t i = 0; i < stock->clamps.n; i++)
        mix_numbers(&hash, stock->clamps.at[i], 4);
    mix_parts(&hash, shop, stock, l);
    return hash ? hash : 1;
}

enum sg_looked sg_longer_search_of(const struct sg_ui *ui, const struct sg_sheet_page *page,
                                   const struct sg_longer_search *search)
{
    bool now = page->known && search->of == number_of(ui->tried.shop, page);
    return now ? search->looked : SG_NOT_LOOKED;
}

static enum sg_looked look(struct sg_ui *ui, const struct sg_sheet_page *page, int64_t *found,
                           struct sg_error *error)
{
    const struct sg_plan_layout *layout = page->layout;
    const struct sg_stock *stock = &ui->kept.shop->stocks[page->stock];
    *found = SG_UNKNOWN;
    if (layout->sheets <= layout->lower_bound)
        return SG_LEAST_ALREADY;
    if (stock->search >= SG_SEARCH_LOOKS)
        return SG_TAKEN_ALREADY;
    if (sg_desk_search(ui->desk, page->stock, SG_SEARCH_LOOKS, found, error) != SG_OK)
        return SG_LOOK_FAILED;
    return *found != SG_UNKNOWN && *found < layout->sheets * stock->stack ? SG_FEWER : SG_NOT_FEWER;
}

enum sg_looked sg_longer_search(struct sg_ui *ui, const struct sg_sheet_page *page,
                                struct sg_longer_search *search, struct sg_error *error)
{
    if (sg_ui_differs(ui) || !page->known)
        return SG_NOT_LOOKED;
    if (sg_longer_search_of(ui, page, search) == SG_NOT_LOOKED) {
        search->of = number_of(ui->tried.shop, page);
        search->looked = look(ui, page, &search->found, error);
    }
    return search->looked;
}
