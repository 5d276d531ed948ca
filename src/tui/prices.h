/* While a rate or the price of a sheet is typed: what it makes of the price of a job. A price is a plan of
 * its own: one that takes a moment follows while nobody types. */
#ifndef SANDGLASS_TUI_PRICES_H
#define SANDGLASS_TUI_PRICES_H

#include "tui/inside.h"

struct sg_prices;

/* Whether a field is open that changes prices and nothing else. */
bool sg_prices_typed(const struct sg_ui *ui);

/* Called when any field opens; when the shop is read anew; when the text of a field changed. */
void sg_prices_start(struct sg_ui *ui);
void sg_prices_forget(struct sg_ui *ui);
void sg_prices_changed(struct sg_ui *ui);

/* Price what is not priced; false where nothing was left to do. */
bool sg_prices_go_on(struct sg_ui *ui);

/* In plan, typed, change: the price, each of the first part, the rows that move. */
void sg_prices_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);

void sg_prices_free(struct sg_ui *ui);

#endif
