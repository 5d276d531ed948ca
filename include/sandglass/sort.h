/* Sorting without asking for memory, which nothing on the way of a key does and the C library may. */
#ifndef SANDGLASS_SORT_H
#define SANDGLASS_SORT_H

#include <stddef.h>
#include <stdint.h>

/* Sort n items of `size` bytes each; those that are equal keep their order. What already lies in runs, rising
 * or falling, is merged in few steps. `scratch` has room for n items. */
void sg_sort(void *items, void *scratch, int32_t n, size_t size,
             int (*compare)(const void *a, const void *b));

#endif
