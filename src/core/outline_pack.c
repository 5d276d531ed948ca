/* Outlines as bytes: whole numbers and doubles, the low byte first, so that every machine writes and reads
 * the same.
 *
 *     magic, contours, segments, what was measured
 *     each contour: segments, marks, outside, depth, corners, length, area, box, and of one with leads how
 * many segments they are each segment: mark, ends, and of an arc centre and sweep
 */
#include "sandglass/outline.h"
#include "sandglass/shop.h"

#include <math.h>
#include <string.h>

static const uint64_t magic = 0x316e776172646773; /* "sgdrawn1" */

enum { CLOSED = 1, INNER = 2, CLOCKWISE = 4, LEADS = 8, ARC = 1, FITTED = 2 };

/* ---- writing ---- */

struct writer {
    unsigned char *out; /* NULL: only counted */
    size_t n;
};

static void put_whole(struct writer *w, uint64_t value, int bytes)
{
    for (int i = 0; i < bytes && w->out; i++)
        w->out[w->n + (size_t)i] = (unsigned char)(value >> (8 * i));
    w->n += (size_t)bytes;
}

static void put_double(struct writer *w, double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    put_whole(w, bits, 8);
}

static void put_doubles(struct writer *w, const double *values, int n)
{
    for (int i = 0; i < n; i++)
        put_double(w, values[i]);
}

static void put_contour(struct writer *w, const struct sg_contour *c)
{
    put_whole(w, (uint64_t)c->first, 8);
    put_whole(w, (uint64_t)c->n, 8);
    bool leads = c->lead_in + c->lead_out > 0;
    put_whole(w,
              (c->closed ? CLOSED : 0) | (c->inner ? INNER : 0) | (c->clockwise ? CLOCKWISE : 0) |
                  (leads ? LEADS : 0),
              1);
    put_whole(w, (uint32_t)c->outside, 4);
    put_whole(w, (uint32_t)c->depth, 4);
    put_whole(w, (uint32_t)c->corners, 4);
    put_double(w, c->length);
    put_double(w, c->area);
    put_doubles(w, c->box, 4);
    if (leads) {
        put_whole(w, (uint32_t)c->lead_in, 4);
        put_whole(w, (uint32_t)c->lead_out, 4);
    }
}

static void put_segment(struct writer *w, const struct sg_segment *s)
{
    const double ends[] = {s->x0, s->y0, s->x1, s->y1}, arc[] = {s->cx, s->cy, s->sweep};
    put_whole(w, (sg_is_arc(s) ? ARC : 0) | (s->fitted ? FITTED : 0), 1);
    put_doubles(w, ends, 4);
    if (sg_is_arc(s))
        put_doubles(w, arc, 3);
}

size_t sg_outline_pack(const struct sg_outline *o, unsigned char *out)
{
    struct writer w = {out, 0};
    put_whole(&w, magic, 8);
    put_whole(&w, (uint32_t)o->n_contours, 4);
    put_whole(&w, (uint64_t)o->n_segments, 8);
    put_double(&w, o->cut_length);
    put_doubles(&w, o->box, 4);
    put_double(&w, o->area);
    put_whole(&w, (uint64_t)o->corners, 8);
    put_double(&w, o->smallest_radius);
    for (int32_t i = 0; i < o->n_contours; i++)
        put_contour(&w, &o->contours[i]);
    for (int64_t i = 0; i < o->n_segments; i++)
        put_segment(&w, &o->segments[i]);
    return w.n;
}

uint64_t sg_outline_print(const unsigned char *bytes, size_t size)
{
    uint64_t print = 0xcbf29ce484222325;
    for (size_t i = 0; i < size; i++)
        print = (print ^ bytes[i]) * 0x100000001b3;
    return print;
}

/* ---- reading: nothing is believed ---- */

static const double most_sweep = 2 * 3.14159265358979323846 + 1e-9; /* as sg_outline_make takes them */

struct reader {
    const unsigned char *bytes;
    size_t size, at;
    bool bad;
};

static uint64_t get_whole(struct reader *r, int bytes)
{
    uint64_t value = 0;
    if (r->size - r->at < (size_t)bytes) {
        r->bad = true;
        return 0;
    }
    for (int i = 0; i < bytes; i++)
        value |= (uint64_t)r->bytes[r->at + (size_t)i] << (8 * i);
    r->at += (size_t)bytes;
    return value;
}

static double get_double(struct reader *r)
{
    uint64_t bits = get_whole(r, 8);
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

/* Coordinates and measures: finite, within what a drawing may reach. */
static double get_measure(struct reader *r, double most)
{
    double value = get_double(r);
    r->bad = r->bad || !(fabs(value) <= most);
    return value;
}

/* Lengths and areas. */
static double get_size(struct reader *r)
{
    double value = get_measure(r, 1e300);
    r->bad = r->bad || value < 0;
    return value;
}

static void get_box(struct reader *r, double box[4])
{
    for (int i = 0; i < 4; i++)
        box[i] = get_measure(r, 2 * SG_OUTLINE_REACH);
    r->bad = r->bad || box[0] > box[2] || box[1] > box[3];
}

static int32_t get_index(struct reader *r)
{
    return (int32_t)(uint32_t)get_whole(r, 4);
}

static void get_contour(struct reader *r, const struct sg_outline *o, struct sg_contour *c)
{
    c->first = (int64_t)get_whole(r, 8);
    c->n = (int64_t)get_whole(r, 8);
    uint64_t marks = get_whole(r, 1);
    c->closed = marks & CLOSED;
    c->inner = marks & INNER;
    c->clockwise = marks & CLOCKWISE;
    c->outside = get_index(r);
    c->depth = get_index(r);
    c->corners = get_index(r);
    c->length = get_size(r);
    c->area = get_size(r);
    get_box(r, c->box);
    c->lead_in = marks & LEADS ? get_index(r) : 0;
    c->lead_out = marks & LEADS ? get_index(r) : 0;
    r->bad = r->bad || c->lead_in < 0 || c->lead_out < 0 || c->lead_in > c->first ||
             (c->lead_in + (int64_t)c->lead_out > 0 && !c->closed) || c->corners < 0 || c->n < 1 ||
             c->first < 0 || c->n > o->n_segments || c->first > o->n_segments - c->n - c->lead_out ||
             c->depth < 0 || c->depth >= o->n_contours;
}

static void get_segment(struct reader *r, struct sg_segment *s)
{
    uint64_t marks = get_whole(r, 1);
    s->x0 = get_measure(r, SG_OUTLINE_REACH);
    s->y0 = get_measure(r, SG_OUTLINE_REACH);
    s->x1 = get_measure(r, SG_OUTLINE_REACH);
    s->y1 = get_measure(r, SG_OUTLINE_REACH);
    s->fitted = marks & FITTED;
    if (!(marks & ARC))
        return;
    s->cx = get_measure(r, 2 * SG_OUTLINE_REACH);
    s->cy = get_measure(r, 2 * SG_OUTLINE_REACH);
    s->sweep = get_measure(r, most_sweep);
    r->bad = r->bad || s->sweep == 0;
}

/* Each contour lies directly in one that is there and is one less deep. */
static bool well_nested(const struct sg_outline *o)
{
    for (int32_t i = 0; i < o->n_contours; i++) {
        const struct sg_contour *c = &o->contours[i];
        bool alone = c->outside == SG_UNKNOWN;
        if (!alone && (c->outside < 0 || c->outside >= o->n_contours))
            return false;
        if (c->depth != (alone ? 0 : o->contours[c->outside].depth + 1) || c->inner != (c->depth % 2 == 1))
            return false;
    }
    return true;
}

static void get_head(struct reader *r, struct sg_outline *o)
{
    r->bad = get_whole(r, 8) != magic || r->bad;
    o->n_contours = get_index(r);
    o->n_segments = (int64_t)get_whole(r, 8);
    o->cut_length = get_size(r);
    if (o->n_contours > 0)
        get_box(r, o->box);
    for (int i = 0; i < 4 && o->n_contours <= 0; i++)
        o->box[i] = get_double(r); /* of nothing: NaN */
    o->area = get_measure(r, 1e300);
    o->corners = (int64_t)get_whole(r, 8);
    o->smallest_radius = get_double(r);
    /* so that no memory is asked for that the bytes cannot fill */
    r->bad = r->bad || o->corners < 0 || o->n_contours < 0 || o->n_segments < 0 ||
             (uint64_t)o->n_contours > r->size / 77 || (uint64_t)o->n_segments > r->size / 33;
}

static void get_all(struct reader *r, struct sg_outline *o)
{
    for (int32_t i = 0; i < o->n_contours && !r->bad; i++) {
        struct sg_contour *c = &o->contours[i];
        get_contour(r, o, c);
        o->closed += c->closed;
        o->open += !c->closed;
    }
    o->pierces = o->closed + o->open;
    for (int64_t i = 0; i < o->n_segments && !r->bad; i++)
        get_segment(r, &o->segments[i]);
    r->bad = r->bad || r->at != r->size || !well_nested(o);
}

enum sg_status sg_outline_unpack(const unsigned char *bytes, size_t size, struct sg_arena *arena,
                                 struct sg_outline *out, struct sg_error *error)
{
    struct reader r = {bytes, size, 0, false};
    struct sg_outline o = {0};
    get_head(&r, &o);
    if (!r.bad) {
        o.contours = sg_arena_take(arena, (size_t)o.n_contours * sizeof *o.contours + 1);
        o.segments = sg_arena_take(arena, (size_t)o.n_segments * sizeof *o.segments + 1);
        if (!o.contours || !o.segments)
            return sg_fail(error, SG_FAULT, "no memory for an outline of %lld segments",
                           (long long)o.n_segments);
        get_all(&r, &o);
    }
    if (r.bad)
        return sg_fail(error, SG_BAD_DATA, "these are not the bytes of an outline");
    *out = o;
    return SG_OK;
}
