/* What the files of the DXF reader share. A DXF is a list of pairs of lines, a group code and a value; pairs
 * from one code 0 to the next are an entity; entities lie in sections. */
#ifndef SANDGLASS_EXCHANGE_DXF_INSIDE_H
#define SANDGLASS_EXCHANGE_DXF_INSIDE_H

#include "exchange/drawing_inside.h"

/* ---- names whatever their case (dxf_names.c) ---- */

enum { NAMES_MOST = 100000 }; /* a name may be longer than a segment */

struct names {
    char **names; /* in order of appearance */
    int64_t n, room;
    int32_t *slots; /* index + 1 */
    int64_t n_slots;
};

/* The index of a name, which is added where it is new; -1: no memory, or too many, and it is said. */
int32_t names_add(struct gather *gather, struct names *names, const char *name);
int32_t names_find(const struct names *names, const char *name); /* -1: not there */
void names_free(struct names *names);

/* ---- shapes and where they are put (dxf_shape.c, dxf_block.c) ---- */

/* x' = xx x + xy y + x, y' = yx x + yy y + y */
struct put {
    double xx, xy, yx, yy, x, y;
};
struct put put_after(const struct put *outer, const struct put *inner); /* inner first */
void put_point(const struct put *put, double *x, double *y);

/* False, and the segment as it was: an arc that becomes an ellipse. */
bool put_segment(const struct put *put, struct sg_segment *segment);
void put_curve(const struct put *put, struct curve *curve);
struct curve curve_of_arc(const struct sg_segment *arc);

enum shape_kind { SHAPE_SEGMENT, SHAPE_CURVE, SHAPE_INSERT };

struct insert {
    int32_t block;
    double columns, rows; /* whole numbers, 1 and more */
    struct put first;     /* of the block with its base point at zero, for the first cell */
    double column_x, column_y, row_x, row_y;
};

struct shape {
    int32_t kind; /* enum shape_kind */
    int32_t layer;
    union {
        struct sg_segment segment;
        struct curve curve;
        struct insert insert;
    } of;
};

/* Shapes as bytes one behind the other, each of just its size. */
struct block {
    bool defined, outside; /* outside: its shapes are in another file */
    bool open;             /* being put right now */
    double base_x, base_y;
    double *cells;
    int64_t n, room;
};

struct layer {
    bool off, left_out;
    int64_t segments;
};

struct dxf {
    struct gather *gather;
    struct names layer_names, block_names;
    struct layer *layers;
    int64_t layers_room;
    struct block *blocks;
    int64_t blocks_room;
    int32_t into;   /* the block whose shapes come now, -1: the drawing itself */
    int depth;      /* of inserts that are being drawn */
    int64_t placed; /* shapes of blocks put so far, and cells of arrays */
    int64_t kept;   /* shapes in blocks */
    bool unit_settled;
    int header_unit; /* $INSUNITS, -1: not given */
    double scale;    /* mm in a unit of the drawing */
};

int32_t dxf_layer(struct dxf *dxf, const char *name); /* -1: as names_add */
int32_t dxf_block(struct dxf *dxf, const char *name);

/* What was read goes into the block that is being defined, or is drawn. It is moved by `plane` first, which
 * lays the entity's own plane onto that of the drawing. */
bool dxf_segment(struct dxf *dxf, int32_t layer, const struct sg_segment *segment, const struct put *plane);
bool dxf_curve(struct dxf *dxf, int32_t layer, const struct curve *curve, const struct put *plane);
bool dxf_insert(struct dxf *dxf, int32_t layer, const struct insert *insert, const struct put *plane);

bool block_keep(struct dxf *dxf, struct block *block, const struct shape *shape);
int64_t block_shape(const struct block *block, int64_t at, struct shape *shape); /* the place of the next */

/* ---- entities (dxf_entity.c, dxf_polyline.c, dxf_spline.c) ---- */

enum { CODES = 240, NAME_MOST = 256 };

struct vertex {
    double x, y, bulge;
};

/* Numbers of an entity that come again and again. */
struct series {
    double *values;
    int64_t n, room;
};

struct entity {
    const struct entity_kind *kind; /* NULL: none, or one that is no cut line */
    int64_t line;
    int32_t on;                             /* index of its layer, once it is whole */
    char layer[NAME_MOST], name[NAME_MOST]; /* codes 8 and 2 */
    bool has[CODES];
    double numbers[CODES];
    struct vertex *vertices; /* of LWPOLYLINE and POLYLINE; of SPLINE control points, bulge for weight */
    int64_t n_vertices, vertices_room;
    struct series knots, weights;
    int64_t fit_points;
};

struct entity_kind {
    const char *name;
    /* Take a number that may come more than once; false with gather->status SG_OK: it is one of the others.
     */
    bool (*again)(struct dxf *dxf, struct entity *entity, int code, double value);
    bool (*end)(struct dxf *dxf, struct entity *entity);
};

struct reader {
    struct dxf dxf;
    struct entity entity;
    /* A POLYLINE waits for its SEQEND; its vertices are kept in `entity` meanwhile. */
    struct entity vertex;
    struct entity *now; /* the one whose pairs come */
    bool in_polyline;
};

double entity_number(const struct entity *entity, int code, double otherwise);
unsigned entity_flags(const struct entity *entity, int code); /* 0 where there are none */
struct put entity_plane(const struct entity *entity, bool *tilted);
void entity_left_out(struct dxf *dxf, const char *name); /* a cut line perhaps, of a kind that is not read */
bool vertices_add(struct dxf *dxf, struct entity *entity, struct vertex vertex);

bool lwpolyline_again(struct dxf *dxf, struct entity *entity, int code, double value);
bool lwpolyline_end(struct dxf *dxf, struct entity *entity);
bool polyline_end(struct dxf *dxf, struct entity *entity);
bool spline_again(struct dxf *dxf, struct entity *entity, int code, double value);
bool spline_end(struct dxf *dxf, struct entity *entity);

/* The next entity begins, and its pairs. */
bool entity_begin(struct reader *reader, const char *name);
bool entity_pair(struct reader *reader, int code, const char *text, size_t length);
bool entity_finish(struct reader *reader);
void entity_free(struct entity *entity);

#endif
