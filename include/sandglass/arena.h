/* Memory that is freed all at once: strings and arrays of a loaded shop, texts of one command. */
#ifndef SANDGLASS_ARENA_H
#define SANDGLASS_ARENA_H

#include <stddef.h>

struct sg_arena {
    struct sg_arena_block *last; /* NULL: empty. Start with {0}. */
};

/* `size` zeroed bytes aligned for any type, valid until sg_arena_free. NULL when memory is out. */
void *sg_arena_take(struct sg_arena *arena, size_t size);

/* A copy of a text. NULL when memory is out. */
char *sg_arena_text(struct sg_arena *arena, const char *text, size_t length);

void sg_arena_free(struct sg_arena *arena);

#endif
