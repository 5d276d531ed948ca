/* Whole cents: a sum is dealt out so that its parts add up to it. */
#include "cost_inside.h"

#include <stdlib.h>

/* First who is owed most; who wants no fraction comes last, so that what is free stays free. Equals: in
 * order.
 */
static int compare(const void *a, const void *b)
{
    const struct sg_cent_place *x = a, *y = b;
    if (x->whole != y->whole)
        return x->whole ? 1 : -1;
    if (x->carry != y->carry)
        return x->carry > y->carry ? -1 : 1;
    return x->index < y->index ? -1 : x->index > y->index;
}

void sg_deal_cents(const double *wants, int32_t n, int64_t total, double *carry,
                   struct sg_cent_place *scratch, int64_t *out)
{
    int64_t left = total; /* never below 0: rounding keeps order, so a sum is not below that of the floors */
    for (int32_t i = 0; i < n; i++) {
        double floor_of = floor(wants[i]), before = carry ? carry[i] : 0;
        out[i] = (int64_t)floor_of;
        left -= out[i];
        scratch[i] = (struct sg_cent_place){before + (wants[i] - floor_of), i, wants[i] == floor_of};
    }
    qsort(scratch, (size_t)n, sizeof *scratch, compare);
    for (int32_t i = 0; left > 0; i = (i + 1) % n, left--)
        out[scratch[i].index]++;
    for (int32_t i = 0; carry && i < n; i++)
        carry[i] += wants[i] - (double)out[i];
}
