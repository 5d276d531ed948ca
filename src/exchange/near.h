/* What somebody may have meant (near.c). */
#ifndef SANDGLASS_EXCHANGE_NEAR_H
#define SANDGLASS_EXCHANGE_NEAR_H

#include "exchange/exchange.h"

/* Why the library has not just one material of that name, with up to three names that are near, best first.
 */
void sg_near_materials(const struct sg_shop *shop, const char *name, int others, struct sg_text *out);

#endif
