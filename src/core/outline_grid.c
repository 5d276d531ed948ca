/* What lies where: cells over the drawing, with the segments that touch each. */
#include "outline_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_BORDERS = 4096,
    SAMPLES = 16, /* of a coordinate, for each border */
    ENTRIES = 8,  /* cells that a segment may touch on average; else the cells are made larger */
    ENTRIES_LEAST = 4096
};

/* ---- stretches ---- */

static void put_stretch(const struct sg_segment *s, double r, const double from[2], const double to[2],
                        int side, struct sg_stretch *out)
{
    *out = (struct sg_stretch){from[0], from[1], to[0], to[1], s->cx, s->cy, r * r, side};
}

/* An arc is cut where it turns back in x or y: at the quarters. */
static int stretches_of_arc(const struct sg_segment *s, struct sg_stretch *out)
{
    static const double quarters[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    double quarter = acos(-1.0) / 2, r = sg_segment_radius(s), way = s->sweep > 0 ? 1 : -1;
    double angle = atan2(s->y0 - s->cy, s->x0 - s->cx), end = angle + s->sweep;
    double from[2] = {s->x0, s->y0}, to[2];
    double k = way > 0 ? floor(angle / quarter) + 1 : ceil(angle / quarter) - 1;
    int n = 0;
    for (; n < SG_STRETCHES; k += way) {
        bool last = n == SG_STRETCHES - 1 || (k * quarter - end) * way >= 0;
        double next = last ? end : k * quarter;
        const double *unit = quarters[((int)k % 4 + 4) % 4];
        to[0] = last ? s->x1 : s->cx + r * unit[0];
        to[1] = last ? s->y1 : s->cy + r * unit[1];
        put_stretch(s, r, from, to, cos((angle + next) / 2) > 0 ? 1 : -1, &out[n++]);
        if (last)
            break;
        from[0] = to[0];
        from[1] = to[1];
        angle = next;
    }
    return n;
}

int sg_stretches(const struct sg_segment *segment, struct sg_stretch out[SG_STRETCHES])
{
    if (sg_is_arc(segment))
        return stretches_of_arc(segment, out);
    const double from[2] = {segment->x0, segment->y0}, to[2] = {segment->x1, segment->y1};
    put_stretch(segment, 0, from, to, 0, out);
    return 1;
}

double sg_stretch_x(const struct sg_stretch *s, double y)
{
    double least = fmin(s->xa, s->xb), most = fmax(s->xa, s->xb), x;
    if (s->side != 0)
        x = s->cx + s->side * sqrt(fmax(0, s->r2 - (y - s->cy) * (y - s->cy)));
    else
        x = s->xa + (y - s->ya) * ((s->xb - s->xa) / (s->yb - s->ya));
    return fmax(least, fmin(most, x));
}

/* ---- borders ---- */

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int32_t sg_grid_place(const double *borders, int32_t n, double value)
{
    int32_t low = 0, high = n - 1; /* n places have n - 1 borders */
    while (low < high) {
        int32_t mid = low + (high - low) / 2;
        if (value < borders[mid])
            high = mid;
        else
            low = mid + 1;
    }
    return low;
}

static double start_of(const struct sg_segment *s, bool is_y)
{
    return is_y ? s->y0 : s->x0;
}

/* At most `want` places of about equally many starts. Returns NULL where memory is out. */
static double *make_borders(const struct sg_segment *segments, int64_t n, bool is_y, int32_t want,
                            int32_t *places)
{
    int64_t samples = (int64_t)want * SAMPLES < n ? (int64_t)want * SAMPLES : n;
    double *values = malloc(((size_t)samples + 1) * sizeof *values);
    if (!values)
        return NULL;
    for (int64_t i = 0; i < samples; i++)
        values[i] = start_of(&segments[i * n / samples], is_y);
    qsort(values, (size_t)samples, sizeof *values, by_value);
    int32_t borders = 0;
    for (int64_t i = 1; i < want && samples > 0; i++) {
        double value = values[i * samples / want];
        if (value > values[0] && (borders == 0 || value > values[borders - 1]))
            values[borders++] = value; /* never overtakes the place it reads from */
    }
    *places = borders + 1;
    return values;
}

/* ---- entries ---- */

struct filling {
    struct sg_grid *grid;
    double pad;
    int32_t *last;  /* segment that a cell got last */
    uint32_t *next; /* counts first, then where the next entry goes */
    int64_t total, most;
    bool count;
};

static void fill_row(struct filling *f, int32_t row, double x0, double x1, int32_t segment)
{
    const struct sg_grid *g = f->grid;
    int32_t c0 = sg_grid_place(g->xs, g->cols, fmin(x0, x1) - f->pad);
    for (int32_t c = c0; c == c0 || (c < g->cols && g->xs[c - 1] <= fmax(x0, x1) + f->pad); c++) {
        int64_t cell = (int64_t)row * g->cols + c;
        if (f->last[cell] == segment)
            continue;
        f->last[cell] = segment;
        if (++f->total > f->most)
            return;
        if (f->count)
            f->next[cell]++;
        else
            g->entries[f->next[cell]++] = segment;
    }
}

static void fill_stretch(struct filling *f, const struct sg_stretch *s, int32_t segment)
{
    const struct sg_grid *g = f->grid;
    double low = fmin(s->ya, s->yb), high = fmax(s->ya, s->yb);
    int32_t r0 = sg_grid_place(g->ys, g->rows, low - f->pad),
            r1 = sg_grid_place(g->ys, g->rows, high + f->pad);
    for (int32_t r = r0; r <= r1 && f->total <= f->most; r++) {
        double from = r == r0 ? low : fmax(low, fmin(high, g->ys[r - 1] - f->pad));
        double to = r == r1 ? high : fmin(high, fmax(low, g->ys[r] + f->pad));
        bool whole = r0 == r1 || !(from < to);
        fill_row(f, r, whole ? s->xa : sg_stretch_x(s, from), whole ? s->xb : sg_stretch_x(s, to), segment);
    }
}

static bool fill_all(struct filling *f, const struct sg_segment *segments, int64_t n)
{
    struct sg_stretch parts[SG_STRETCHES];
    f->total = 0;
    memset(f->last, 0xFF, (size_t)f->grid->rows * (size_t)f->grid->cols * sizeof *f->last);
    for (int64_t i = 0; i < n && f->total <= f->most; i++)
        for (int k = 0, m = sg_stretches(&segments[i], parts); k < m; k++)
            fill_stretch(f, &parts[k], (int32_t)i);
    return f->total <= f->most;
}

/* Every second border only. */
static void coarsen(double *borders, int32_t *places)
{
    int32_t kept = 0;
    for (int32_t i = 1; i < *places - 1; i += 2)
        borders[kept++] = borders[i];
    *places = kept + 1;
}

static bool count_entries(struct filling *f, const struct sg_segment *segments, int64_t n)
{
    struct sg_grid *g = f->grid;
    f->count = true;
    for (;;) {
        memset(f->next, 0, ((size_t)g->rows * (size_t)g->cols + 1) * sizeof *f->next);
        if (fill_all(f, segments, n))
            return true;
        coarsen(g->xs, &g->cols);
        coarsen(g->ys, &g->rows);
    }
}

/* Counts become places. */
static void add_up(struct filling *f)
{
    struct sg_grid *g = f->grid;
    size_t cells = (size_t)g->rows * (size_t)g->cols;
    uint32_t sum = 0;
    for (size_t i = 0; i < cells; i++) {
        uint32_t count = f->next[i];
        g->first[i] = f->next[i] = sum;
        sum += count;
    }
    g->first[cells] = sum;
}

bool sg_grid_make(struct sg_grid *grid, const struct sg_segment *segments, int64_t n, double pad)
{
    int32_t want = (int32_t)fmin(MOST_BORDERS, ceil(sqrt((double)n)) + 1);
    *grid = (struct sg_grid){0};
    grid->xs = make_borders(segments, n, false, want, &grid->cols);
    grid->ys = make_borders(segments, n, true, want, &grid->rows);
    struct filling f = {.grid = grid, .pad = pad, .most = n * ENTRIES + ENTRIES_LEAST};
    bool room = grid->xs && grid->ys;
    size_t cells = room ? (size_t)grid->rows * (size_t)grid->cols + 1 : 0;
    f.last = room ? malloc(cells * sizeof *f.last) : NULL;
    f.next = room ? malloc(cells * sizeof *f.next) : NULL;
    grid->first = room ? malloc(cells * sizeof *grid->first) : NULL;
    room = f.last && f.next && grid->first && count_entries(&f, segments, n);
    grid->entries = room ? malloc(((size_t)f.total + 1) * sizeof *grid->entries) : NULL;
    if (grid->entries) {
        add_up(&f);
        f.count = false;
        fill_all(&f, segments, n);
    }
    free(f.last);
    free(f.next);
    return grid->entries != NULL;
}

void sg_grid_free(struct sg_grid *grid)
{
    free(grid->xs);
    free(grid->ys);
    free(grid->first);
    free(grid->entries);
}
