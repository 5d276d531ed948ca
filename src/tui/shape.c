#include "tui/shape.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a picture may take. */
enum {
    SAMPLES = 20000,
    SAMPLES_OF_UNIT = 100,
    SAMPLES_MOST = 400000, /* many times what its cells can show */
    CORNERS = 1000,        /* of one contour */
    CHORDS = 4096,         /* of one arc */
    MARKED = 1000,         /* pierces */
    LONG = 2000            /* segments of a contour: on which side its lead is takes a look at all of them */
};

enum { NUMBERED = 35 }; /* pierces with a character of their own: 1 to 9, A to Z */
enum { ACROSS, DOWN, RISING, FALLING, SLOPES };

/* How much of which slope lies in a unit. Units are the dots of fine pictures, the cells of others. */
struct ink {
    float lengths[SLOPES];
    bool touched;
    bool flips; /* first unit of a cell: what is left of its middle and what is right of it lie on two sides
                   of a line, on its row */
};

/* Places are counted in units, whole numbers are their middles: u to the right, v down, from the upper left
 * one of all the cells. */
struct shape {
    const struct sg_outline *outline;
    const struct sg_shape_how *how;
    double box[4]; /* mm of what is drawn, as it lies */
    double u_of_mm, v_of_mm;
    int wide, high;    /* units of a cell */
    int64_t left, top; /* units from the first one to the area */
    int columns, rows; /* units of the area */
    struct ink *ink;
    int64_t samples; /* that may still be taken */
};

/* ---- where things lie ---- */

/* Of a point of the outline, as the piece lies: from the corner of its box. */
static void lie(const struct sg_outline *outline, const struct sg_shape_how *how, double *x, double *y)
{
    double length = outline->box[2] - outline->box[0], width = outline->box[3] - outline->box[1];
    double px = *x - outline->box[0], py = *y - outline->box[1];
    px = how->flipped ? length - px : px;
    py = how->flipped ? width - py : py;
    *x = how->turned ? width - py : px;
    *y = how->turned ? px : py;
}

static void widen(double box[4], double x, double y)
{
    box[0] = fmin(box[0], x);
    box[1] = fmin(box[1], y);
    box[2] = fmax(box[2], x);
    box[3] = fmax(box[3], y);
}

static void lying_box(const struct sg_outline *outline, const struct sg_shape_how *how, const double from[4],
                      double box[4])
{
    double x = from[0], y = from[1];
    lie(outline, how, &x, &y);
    box[0] = box[2] = x;
    box[1] = box[3] = y;
    x = from[2];
    y = from[3];
    lie(outline, how, &x, &y);
    widen(box, x, y);
}

static int32_t marks_of(const struct sg_outline *outline, const struct sg_shape_how *how)
{
    int32_t n = how->pierces ? outline->n_contours : 0;
    return n < MARKED ? n : MARKED;
}

static void pierce_of(const struct sg_outline *outline, const struct sg_shape_how *how, int32_t i, double *x,
                      double *y)
{
    sg_outline_pierce(outline, i, outline->contours[i].n > LONG ? 0 : how->lead, x, y);
}

/* With the pierces that are marked: they may lie beside it. */
static void whole_box(const struct sg_outline *outline, const struct sg_shape_how *how, double box[4])
{
    lying_box(outline, how, outline->box, box);
    for (int32_t i = 0; i < marks_of(outline, how); i++) {
        double x, y;
        pierce_of(outline, how, i, &x, &y);
        lie(outline, how, &x, &y);
        widen(box, x, y);
    }
}

struct sg_area sg_shape_cells(struct sg_area area, const struct sg_outline *outline,
                              const struct sg_shape_how *how)
{
    double box[4];
    int wide = how->fine ? 2 : 1, high = how->fine ? 4 : 1;
    whole_box(outline, how, box);
    double length = box[2] - box[0], width = box[3] - box[1];
    /* From middle to middle of the outermost units, each as high as a column is wide, or a half. */
    double columns = fmax(area.columns - 1.0 / wide, 0.5 / wide);
    double rows = fmax(area.rows - 1.0 / high, 0.5 / high);
    double cell = fmax(length / columns, width / (2 * rows));
    struct sg_area cells = area;
    if (area.columns < 1 || area.rows < 1 || !(cell > 0)) {
        cells.columns = area.columns < 1 ? area.columns : 1;
        cells.rows = area.rows < 1 ? area.rows : 1;
        return cells;
    }
    cells.columns = (int)fmin(area.columns, fmax(1, floor(length / cell + 1.0 / wide + 0.5)));
    cells.rows = (int)fmin(area.rows, fmax(1, floor(width / (2 * cell) + 1.0 / high + 0.5)));
    return cells;
}

static void units_of(const struct shape *s, double x, double y, double *u, double *v)
{
    lie(s->outline, s->how, &x, &y);
    *u = (x - s->box[0]) * s->u_of_mm;
    *v = (s->how->down ? y - s->box[1] : s->box[3] - y) * s->v_of_mm;
}

/* The unit of the area; one outside has nothing in it. */
static const struct ink *unit_at(const struct shape *s, int row, int column)
{
    static const struct ink nothing;
    bool there = row >= 0 && row < s->rows && column >= 0 && column < s->columns;
    return there ? &s->ink[(size_t)row * (size_t)s->columns + (size_t)column] : &nothing;
}

/* The unit that a place is in; NULL outside the area. */
static struct ink *ink_at(const struct shape *s, double u, double v)
{
    double column = floor(u + 0.5) - (double)s->left, row = floor(v + 0.5) - (double)s->top;
    if (!(column >= 0 && column < s->columns && row >= 0 && row < s->rows))
        return NULL;
    return &s->ink[(size_t)row * (size_t)s->columns + (size_t)column];
}

/* ---- lines ---- */

static void touch(const struct shape *s, double u, double v, int slope, double length)
{
    struct ink *ink = ink_at(s, u, v);
    if (!ink)
        return;
    ink->touched = true;
    ink->lengths[slope] += (float)length;
}

static int slope_of(double du, double dv)
{
    static const double flat = 0.41421356237309503; /* tan of an eighth of a turn's half */
    if (fabs(dv) <= flat * fabs(du))
        return ACROSS;
    if (fabs(du) <= flat * fabs(dv))
        return DOWN;
    return du * dv < 0 ? RISING : FALLING;
}

/* The part of a chord between two bounds of one coordinate. */
static void cut_off(double from, double to, double low, double high, double *begin, double *end)
{
    double a = (low - from) / (to - from), b = (high - from) / (to - from);
    if (from == to) {
        *end = from < low || from > high ? -1 : *end;
        return;
    }
    *begin = fmax(*begin, fmin(a, b));
    *end = fmin(*end, fmax(a, b));
}

/* Which cells of a row have the chord left of their middles. */
static void flip_rows(const struct shape *s, double u0, double v0, double u1, double v1)
{
    double half = 0.5 * s->high - 0.5; /* from a cell's first unit to its middle */
    double first = ceil((fmin(v0, v1) - half - (double)s->top) / s->high);
    double last = floor((fmax(v0, v1) - half - (double)s->top) / s->high);
    int rows = s->rows / s->high, columns = s->columns / s->wide;
    for (int row = first < 0 ? 0 : (int)fmin(first, rows); row < rows && row <= last; row++) {
        double v = (double)s->top + row * s->high + half;
        if ((v0 <= v) == (v1 <= v))
            continue;
        double u = u0 + (u1 - u0) * ((v - v0) / (v1 - v0));
        double column = floor((u + 0.5 - (double)s->left) / s->wide - 0.5) + 1;
        if (column < columns) {
            size_t unit = (size_t)fmax(column, 0) * (size_t)s->wide;
            struct ink *ink = &s->ink[(size_t)row * (size_t)s->high * (size_t)s->columns + unit];
            ink->flips = !ink->flips;
        }
    }
}

/* By samples a quarter of a unit apart, the same ones whatever part of it is in the area. */
static void draw_chord(struct shape *s, double u0, double v0, double u1, double v1, bool closed)
{
    double left = (double)s->left, top = (double)s->top, begin = 0, end = 1;
    if (closed && s->how->fill)
        flip_rows(s, u0, v0, u1, v1);
    cut_off(u0, u1, left - 1, left + s->columns, &begin, &end);
    cut_off(v0, v1, top - 1, top + s->rows, &begin, &end);
    double du = u1 - u0, dv = v1 - v0, n = 1 + ceil(4 * fmax(fabs(du), fabs(dv)));
    int slope = slope_of(du, dv);
    for (double i = floor(begin * n); i < n && i <= end * n && s->samples > 0; i++, s->samples--)
        touch(s, u0 + du * (i + 0.5) / n, v0 + dv * (i + 0.5) / n, slope, hypot(du, dv) / n);
}

/* Chords that lie within a twentieth of a unit of it. */
static void draw_arc(struct shape *s, const struct sg_segment *arc, bool closed)
{
    double x = arc->x0 - arc->cx, y = arc->y0 - arc->cy, u0, v0, u1, v1;
    double radius = hypot(x, y) * fmax(s->u_of_mm, s->v_of_mm), angle = atan2(y, x);
    double most = radius > 0.1 ? 2 * acos(1 - 0.05 / radius) : 2;
    double n = fmin(CHORDS, 1 + ceil(fabs(arc->sweep) / most));
    units_of(s, arc->x0, arc->y0, &u0, &v0);
    for (int i = 1; i <= (int)n; i++) {
        double turn = angle + arc->sweep * i / n;
        if (i < (int)n)
            units_of(s, arc->cx + hypot(x, y) * cos(turn), arc->cy + hypot(x, y) * sin(turn), &u1, &v1);
        else
            units_of(s, arc->x1, arc->y1, &u1, &v1);
        draw_chord(s, u0, v0, u1, v1, closed);
        u0 = u1;
        v0 = v1;
    }
}

static void draw_contour(struct shape *s, const struct sg_contour *contour)
{
    const struct sg_segment *segments = s->outline->segments;
    /* Every so many corners of a long one; an odd step, so that of a zigzag both sides are met. */
    int64_t most = CORNERS + 16 * ((int64_t)s->columns + s->rows);
    int64_t step = contour->n > most ? contour->n / most | 1 : 1;
    int64_t end = contour->first + contour->n;
    for (int64_t i = contour->first; i < end; i += step) {
        const struct sg_segment *a = &segments[i], *b = &segments[(end - i < step ? end : i + step) - 1];
        double u0, v0, u1, v1;
        if (step == 1 && sg_is_arc(a)) {
            draw_arc(s, a, contour->closed);
            continue;
        }
        units_of(s, a->x0, a->y0, &u0, &v0);
        units_of(s, b->x1, b->y1, &u1, &v1);
        draw_chord(s, u0, v0, u1, v1, contour->closed);
    }
}

/* Whether any of a contour is in the area; one that is smaller than a unit is a point. */
static bool is_seen(struct shape *s, const struct sg_contour *contour, bool *point, double *u, double *v)
{
    double u0, v0, u1, v1;
    units_of(s, contour->box[0], contour->box[1], &u0, &v0);
    units_of(s, contour->box[2], contour->box[3], &u1, &v1);
    *u = (u0 + u1) / 2;
    *v = (v0 + v1) / 2;
    *point = fabs(u1 - u0) < 0.5 && fabs(v1 - v0) < 0.5;
    double left = (double)s->left - 1, top = (double)s->top - 1;
    return fmax(u0, u1) >= left && fmin(u0, u1) <= left + s->columns + 1 && fmax(v0, v1) >= top &&
           fmin(v0, v1) <= top + s->rows + 1;
}

/* The last first: they are the outer ones. One that is begun is drawn to its end, or what it fills would run
 * out of it. */
static void draw_contours(struct shape *s)
{
    for (int32_t i = s->outline->n_contours - 1; i >= 0 && s->samples > 0; i--) {
        bool point;
        double u, v;
        s->samples--;
        if (!is_seen(s, &s->outline->contours[i], &point, &u, &v))
            continue;
        if (point)
            touch(s, u, v, ACROSS, 0);
        else
            draw_contour(s, &s->outline->contours[i]);
    }
}

/* ---- cells ---- */

static float sum_of(const struct ink *ink)
{
    return ink->lengths[ACROSS] + ink->lengths[DOWN] + ink->lengths[RISING] + ink->lengths[FALLING];
}

/* Where a side meets another there is a corner, however little of either. */
static bool is_corner(const struct ink *ink)
{
    return ink->lengths[ACROSS] > 0 && ink->lengths[DOWN] > 0;
}

/* The slope that nearly all of a unit has; SLOPES: none. */
static int main_slope(const struct ink *ink)
{
    if (is_corner(ink))
        return SLOPES;
    for (int slope = 0; slope < SLOPES; slope++)
        if (ink->lengths[slope] > 0 && ink->lengths[slope] >= 0.65F * sum_of(ink))
            return slope;
    return SLOPES;
}

/* Little of a line lies in this unit, and more of it in neighbours that meet without it: beside it along a
 * slope, or at the corner of a step. */
static bool is_spare(const struct shape *s, int row, int column)
{
    const struct ink *ink = unit_at(s, row, column);
    const struct ink *beside[] = {unit_at(s, row, column - 1), unit_at(s, row, column + 1)};
    const struct ink *over[] = {unit_at(s, row - 1, column), unit_at(s, row + 1, column)};
    float sum = sum_of(ink);
    int slope = main_slope(ink);
    bool more_beside = false, more_over = false, along = false;
    if (is_corner(ink))
        return false;
    for (int i = 0; i < 2; i++) {
        more_beside = more_beside || sum_of(beside[i]) > sum;
        more_over = more_over || sum_of(over[i]) > sum;
        along = along || (slope == ACROSS && main_slope(over[i]) == ACROSS && sum_of(over[i]) > sum) ||
                (slope == DOWN && main_slope(beside[i]) == DOWN && sum_of(beside[i]) > sum);
    }
    return sum > 0 && ((sum < 0.5F && along) || (sum < 0.4F && more_beside && more_over));
}

/* What stands in a cell for the lines in it; false where there are none. */
static bool line_text(const struct shape *s, int row, int column, char text[4])
{
    static const unsigned char dots[4][2] = {{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}};
    unsigned bits = 0;
    for (int y = 0; y < s->high; y++)
        for (int x = 0; x < s->wide; x++)
            if (unit_at(s, row + y, column + x)->touched && !is_spare(s, row + y, column + x))
                bits |= dots[y][x];
    memcpy(text, "\xE2\xA0\x80", 4); /* U+2800, Braille without dots */
    text[1] = (char)(0xA0 + (bits >> 6));
    text[2] = (char)(0x80 + (bits & 0x3F));
    if (!s->how->fine) {
        text[0] = "-|/\\+"[main_slope(unit_at(s, row, column))];
        text[1] = '\0';
    }
    return bits != 0;
}

/* Returns how many cells are filled. */
static int put_cells(struct sg_canvas *canvas, struct sg_area area, const struct shape *s)
{
    char text[4];
    int filled = 0, label = s->how->label ? sg_text_columns(s->how->label) + 1 : area.columns + 1;
    for (int row = 0; row < area.rows; row++) {
        bool inside = false;
        for (int column = 0, run = 0; column < area.columns; column++) {
            inside ^= unit_at(s, row * s->high, column * s->wide)->flips;
            bool line = line_text(s, row * s->high, column * s->wide, text);
            run = inside && !line ? run + 1 : 0;
            filled += run > 0;
            const char *shown = !line ? s->how->fill : s->how->ink ? s->how->ink : text;
            if (line || (inside && shown))
                sg_canvas_put(canvas, area.row + row, area.column + column, 1, s->how->role, shown);
            if (run < label)
                continue;
            sg_canvas_put(canvas, area.row + row, area.column + column - run + 1, run, s->how->role,
                          s->how->label);
            label = area.columns + 1;
        }
    }
    return filled;
}

/* ---- pierces ---- */

static void put_pierces(struct sg_canvas *canvas, struct sg_area area, const struct shape *s)
{
    static const char marks[NUMBERED + 1] = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    for (size_t i = 0; i < (size_t)s->rows * (size_t)s->columns; i++)
        s->ink[i].touched = false;
    for (int32_t i = 0; i < marks_of(s->outline, s->how); i++) {
        double x, y, u, v;
        pierce_of(s->outline, s->how, i, &x, &y);
        units_of(s, x, y, &u, &v);
        const struct ink *unit = ink_at(s, u, v);
        if (!unit)
            continue;
        int row = (int)((unit - s->ink) / s->columns) / s->high;
        int column = (int)((unit - s->ink) % s->columns) / s->wide;
        struct ink *first =
            &s->ink[(size_t)(row * s->high) * (size_t)s->columns + (size_t)(column * s->wide)];
        char mark[2] = {i < NUMBERED && !first->touched ? marks[i] : '*', '\0'};
        sg_canvas_put(canvas, area.row + row, area.column + column, 1, SG_ROLE_KEY, mark);
        first->touched = true;
    }
}

/* ---- the whole ---- */

/* From middle to middle of the outermost of n units; in one, in its middle. */
static double scale(double length, double n)
{
    return length > 0 && n > 1 ? (n - 1) / length : 0;
}

/* What two areas have in common. */
static struct sg_area both(struct sg_area a, struct sg_area b)
{
    int64_t right = (int64_t)b.column + b.columns, below = (int64_t)b.row + b.rows;
    right = right < (int64_t)a.column + a.columns ? right : (int64_t)a.column + a.columns;
    below = below < (int64_t)a.row + a.rows ? below : (int64_t)a.row + a.rows;
    a.column = a.column > b.column ? a.column : b.column;
    a.row = a.row > b.row ? a.row : b.row;
    a.columns = right > a.column ? (int)(right - a.column) : 0;
    a.rows = below > a.row ? (int)(below - a.row) : 0;
    return a;
}

int sg_shape_draw(struct sg_canvas *canvas, struct sg_area area, struct sg_area cells,
                  const struct sg_outline *outline, const struct sg_shape_how *how)
{
    int wide = how->fine ? 2 : 1, high = how->fine ? 4 : 1;
    area = both(area, cells); /* everything lies in its box */
    if (area.rows < 1 || area.columns < 1 || outline->n_contours < 1)
        return 0;
    struct shape s = {.outline = outline,
                      .how = how,
                      .wide = wide,
                      .high = high,
                      .left = ((int64_t)area.column - cells.column) * wide,
                      .top = ((int64_t)area.row - cells.row) * high,
                      .columns = area.columns * wide,
                      .rows = area.rows * high};
    int64_t units = (int64_t)s.columns * s.rows;
    s.samples = SAMPLES + (units < SAMPLES_MOST / SAMPLES_OF_UNIT ? units * SAMPLES_OF_UNIT : SAMPLES_MOST);
    s.ink = calloc((size_t)units, sizeof *s.ink);
    if (!s.ink)
        return 0;
    whole_box(outline, how, s.box);
    s.u_of_mm = scale(s.box[2] - s.box[0], (double)cells.columns * s.wide);
    s.v_of_mm = scale(s.box[3] - s.box[1], (double)cells.rows * s.high);
    draw_contours(&s);
    int filled = put_cells(canvas, area, &s);
    put_pierces(canvas, area, &s);
    free(s.ink);
    return filled;
}
