/* Blocks and layers: what a drawing names. Shapes of a block lie one behind the other, each of just its
 * size. */
#include "exchange/dxf_inside.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static size_t bytes_of(const struct shape *shape)
{
    size_t head = offsetof(struct shape, of);
    switch (shape->kind) {
    case SHAPE_INSERT:
        return head + sizeof shape->of.insert;
    case SHAPE_CURVE:
        return head + (shape->of.curve.degree == 0
                           ? offsetof(struct curve, points)
                           : offsetof(struct curve, points) +
                                 (size_t)(shape->of.curve.degree + 1) * sizeof shape->of.curve.points[0]);
    default:
        return head + sizeof shape->of.segment;
    }
}

static int64_t cells_of(const struct shape *shape)
{
    return (int64_t)((bytes_of(shape) + sizeof(double) - 1) / sizeof(double));
}

bool block_keep(struct dxf *dxf, struct block *block, const struct shape *shape)
{
    struct gather *gather = dxf->gather;
    if (++dxf->kept > gather->most)
        return refuse(gather, "more than %lld segments in blocks: split the drawing",
                      (long long)gather->most);
    int64_t cells = cells_of(shape);
    void *list = block->cells;
    if (!grow(gather, &list, &block->room, block->n + cells, sizeof *block->cells))
        return false;
    block->cells = list;
    memcpy(block->cells + block->n, shape, bytes_of(shape));
    block->n += cells;
    return true;
}

int64_t block_shape(const struct block *block, int64_t at, struct shape *shape)
{
    /* The head and what says how long it is; then all of it. */
    memcpy(shape, block->cells + at, offsetof(struct shape, of) + sizeof shape->of.curve.degree);
    memcpy(shape, block->cells + at, bytes_of(shape));
    return at + cells_of(shape);
}

static bool is_left_out(const struct sg_drawing_how *how, const char *name)
{
    for (int i = 0; i < how->n_layers_out; i++)
        if (strcasecmp(how->layers_out[i], name) == 0)
            return true;
    return false;
}

int32_t dxf_layer(struct dxf *dxf, const char *name)
{
    int64_t before = dxf->layer_names.n;
    void *list = dxf->layers;
    if (!grow(dxf->gather, &list, &dxf->layers_room, before, sizeof *dxf->layers))
        return -1;
    dxf->layers = list;
    int32_t layer = names_add(dxf->gather, &dxf->layer_names, name);
    if (layer < before)
        return layer;
    dxf->layers[layer] = (struct layer){.left_out = is_left_out(dxf->gather->how, name)};
    return layer;
}

int32_t dxf_block(struct dxf *dxf, const char *name)
{
    int64_t before = dxf->block_names.n;
    void *list = dxf->blocks;
    if (!grow(dxf->gather, &list, &dxf->blocks_room, before, sizeof *dxf->blocks))
        return -1;
    dxf->blocks = list;
    int32_t block = names_add(dxf->gather, &dxf->block_names, name);
    if (block < before)
        return block;
    dxf->blocks[block] = (struct block){0};
    return block;
}
