#include "sandglass/arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_SIZE = 64 * 1024 };

struct sg_arena_block {
    struct sg_arena_block *previous;
    size_t used, size;
    alignas(max_align_t) unsigned char bytes[];
};

static struct sg_arena_block *add_block(struct sg_arena *arena, size_t need)
{
    size_t size = need > BLOCK_SIZE ? need : BLOCK_SIZE;
    struct sg_arena_block *block = calloc(1, sizeof *block + size);
    if (!block)
        return NULL;
    block->size = size;
    block->previous = arena->last;
    arena->last = block;
    return block;
}

void *sg_arena_take(struct sg_arena *arena, size_t size)
{
    size_t step = alignof(max_align_t);
    if (size > SIZE_MAX / 2)
        return NULL;
    size = (size + step - 1) / step * step;
    struct sg_arena_block *block = arena->last;
    if (!block || block->size - block->used < size) {
        block = add_block(arena, size);
        if (!block)
            return NULL;
    }
    void *taken = block->bytes + block->used;
    block->used += size;
    return taken;
}

char *sg_arena_text(struct sg_arena *arena, const char *text, size_t length)
{
    char *copy = sg_arena_take(arena, length + 1);
    if (copy)
        memcpy(copy, text, length);
    return copy;
}

void sg_arena_free(struct sg_arena *arena)
{
    while (arena->last) {
        struct sg_arena_block *block = arena->last;
        arena->last = block->previous;
        free(block);
    }
}
