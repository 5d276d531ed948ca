#include "exchange/dxf_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double pi = 3.14159265358979323846;
static const struct put in_plane = {.xx = 1, .yy = 1};

double entity_number(const struct entity *entity, int code, double otherwise)
{
    return entity->has[code] ? entity->numbers[code] : otherwise;
}

unsigned entity_flags(const struct entity *entity, int code)
{
    double value = entity_number(entity, code, 0);
    return value > 0 && value < 65536 ? (unsigned)value : 0;
}

/* Cosine and sine of degrees, exact in quarter turns, so that what a turn moved still meets. */
static void turn_of(double degrees, double *c, double *s)
{
    static const double quarters[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    double quarter = fmod(degrees, 360) / 90;
    if (quarter == floor(quarter)) {
        int i = ((int)quarter + 4) % 4;
        *c = quarters[i][0];
        *s = quarters[i][1];
        return;
    }
    *c = cos(degrees * pi / 180);
    *s = sin(degrees * pi / 180);
}

/* ---- the entity's own plane ---- */

/* A unit vector along a x b. */
static void across(const double a[3], const double b[3], double out[3])
{
    for (int i = 0; i < 3; i++)
        out[i] = a[(i + 1) % 3] * b[(i + 2) % 3] - a[(i + 2) % 3] * b[(i + 1) % 3];
    double length = sqrt(out[0] * out[0] + out[1] * out[1] + out[2] * out[2]);
    for (int i = 0; i < 3; i++)
        out[i] /= length;
}

static bool normal_of(const struct entity *entity, double normal[3])
{
    normal[0] = entity_number(entity, 210, 0);
    normal[1] = entity_number(entity, 220, 0);
    normal[2] = entity_number(entity, 230, 1);
    double length = sqrt(normal[0] * normal[0] + normal[1] * normal[1] + normal[2] * normal[2]);
    if (!(length > 1e-100 && length < 1e100)) {
        normal[0] = normal[1] = 0;
        normal[2] = length = 1;
    }
    for (int i = 0; i < 3; i++)
        normal[i] /= length;
    return fabs(normal[0]) > 1e-9 || fabs(normal[1]) > 1e-9;
}

/* The rule of the format for the x direction of a plane that is known by its normal (the "arbitrary axis",
 * from memory): across the world's y, or its z where the normal is not nearly that. (0, 0, -1) mirrors x. */
struct put entity_plane(const struct entity *entity, bool *tilted)
{
    static const double world_y[3] = {0, 1, 0}, world_z[3] = {0, 0, 1};
    *tilted = false;
    if (!entity->has[210] && !entity->has[220] && !entity->has[230])
        return in_plane;
    double normal[3], x[3], y[3];
    *tilted = normal_of(entity, normal);
    if (!*tilted)
        return (struct put){.xx = normal[2] < 0 ? -1 : 1, .yy = 1};
    bool near_z = fabs(normal[0]) < 1.0 / 64 && fabs(normal[1]) < 1.0 / 64;
    across(near_z ? world_y : world_z, normal, x);
    across(normal, x, y);
    double height = entity_number(entity, entity->has[38] ? 38 : 30, 0);
    return (struct put){x[0], y[0], x[1], y[1], height * normal[0], height * normal[1]};
}

static struct put plane_said(struct dxf *dxf, const struct entity *entity)
{
    bool tilted;
    struct put plane = entity_plane(entity, &tilted);
    if (tilted)
        tell(dxf->gather, PROBLEM_TILTED, "%s stands tilted: its shadow in the plane is measured",
             entity->kind->name);
    return plane;
}

/* ---- entities that are one shape ---- */

static bool line_end(struct dxf *dxf, struct entity *entity)
{
    const double *n = entity->numbers;
    struct sg_segment line = {.x0 = n[10], .y0 = n[20], .x1 = n[11], .y1 = n[21]};
    return dxf_segment(dxf, entity->on, &line, &in_plane);
}

static bool has_radius(struct dxf *dxf, const struct entity *entity)
{
    if (entity_number(entity, 40, 0) > 0)
        return true;
    tell(dxf->gather, PROBLEM_ENTITY, "%s has no radius over 0 and was left out", entity->kind->name);
    return false;
}

static bool arc_end(struct dxf *dxf, struct entity *entity)
{
    if (!has_radius(dxf, entity))
        return true;
    const double *n = entity->numbers;
    double c0, s0, c1, s1, degrees = fmod(n[51] - n[50], 360);
    if (!(fabs(n[50]) < 1e6 && fabs(n[51]) < 1e6))
        return refuse(dxf->gather, "ARC: its angles must be degrees");
    turn_of(n[50], &c0, &s0);
    turn_of(n[51], &c1, &s1);
    if (degrees <= 0)
        degrees += 360;
    struct sg_segment arc = {.cx = n[10], .cy = n[20], .sweep = degrees * pi / 180};
    arc.x0 = n[10] + n[40] * c0;
    arc.y0 = n[20] + n[40] * s0;
    arc.x1 = n[10] + n[40] * c1;
    arc.y1 = n[20] + n[40] * s1;
    struct put plane = plane_said(dxf, entity);
    return dxf_segment(dxf, entity->on, &arc, &plane);
}

static bool circle_end(struct dxf *dxf, struct entity *entity)
{
    if (!has_radius(dxf, entity))
        return true;
    const double *n = entity->numbers;
    struct sg_segment circle = {
        .x0 = n[10] + n[40], .y0 = n[20], .x1 = n[10] + n[40], .y1 = n[20], .cx = n[10], .cy = n[20]};
    circle.sweep = 2 * pi;
    struct put plane = plane_said(dxf, entity);
    return dxf_segment(dxf, entity->on, &circle, &plane);
}

/* In world coordinates; the short half axis stands upright on the long one and on the normal. */
static bool ellipse_end(struct dxf *dxf, struct entity *entity)
{
    const double *n = entity->numbers;
    double normal[3], major[3] = {n[11], n[21], n[31]}, minor[3];
    double ratio = n[40], t0 = entity_number(entity, 41, 0), t1 = entity_number(entity, 42, 2 * pi);
    double length = sqrt(major[0] * major[0] + major[1] * major[1] + major[2] * major[2]);
    if (!(length > 0 && length < SG_DRAWING_REACH * 1e3) || !(ratio > 0 && ratio <= 1e6))
        return refuse(dxf->gather, "ELLIPSE: its long axis (11, 21) and ratio (40) must be over 0");
    if (!(fabs(t0) < 1e6 && fabs(t1) < 1e6))
        return refuse(dxf->gather, "ELLIPSE: its parameters (41, 42) must be angles in radians");
    if (normal_of(entity, normal))
        plane_said(dxf, entity);
    across(normal, major, minor);
    if (!isfinite(minor[0]))
        return refuse(dxf->gather, "ELLIPSE: its long axis must lie in its plane");
    double turn = 2 * pi, sweep = t1 - t0;
    if (sweep <= 0)
        sweep += turn * ceil(-sweep / turn);
    if (sweep <= 0 || sweep > turn * (1 - 1e-12))
        sweep = turn;
    struct curve curve = {
        .cx = n[10], .cy = n[20], .ux = major[0], .uy = major[1], .t0 = t0, .t1 = t0 + sweep};
    curve.vx = minor[0] * length * ratio;
    curve.vy = minor[1] * length * ratio;
    return dxf_curve(dxf, entity->on, &curve, &in_plane);
}

static bool cells_along(struct dxf *dxf, const struct entity *entity, int code, double *n)
{
    *n = entity_number(entity, code, 1);
    if (*n == 0)
        *n = 1;
    if (*n >= 1 && *n <= 32767 && *n == floor(*n))
        return true;
    return refuse(dxf->gather, "INSERT: columns (70) and rows (71) must be whole numbers up to 32767");
}

/* Shift to the point, turn, scale; cells lie along the turned axes, unscaled. */
static bool insert_end(struct dxf *dxf, struct entity *entity)
{
    const double *n = entity->numbers;
    struct insert insert = {.block = dxf_block(dxf, entity->name)};
    if (insert.block < 0 || !cells_along(dxf, entity, 70, &insert.columns) ||
        !cells_along(dxf, entity, 71, &insert.rows))
        return false;
    double c, s, x = entity_number(entity, 41, 1), y = entity_number(entity, 42, 1);
    turn_of(entity_number(entity, 50, 0), &c, &s);
    insert.first = (struct put){.xx = c * x, .xy = -s * y, .yx = s * x, .yy = c * y, .x = n[10], .y = n[20]};
    insert.column_x = c * n[44];
    insert.column_y = s * n[44];
    insert.row_x = -s * n[45];
    insert.row_y = c * n[45];
    struct put plane = plane_said(dxf, entity);
    return dxf_insert(dxf, entity->on, &insert, &plane);
}

/* ---- the table ---- */

static const struct entity_kind kinds[] = {
    {"LINE", NULL, line_end},       {"LWPOLYLINE", lwpolyline_again, lwpolyline_end},
    {"ARC", NULL, arc_end},         {"CIRCLE", NULL, circle_end},
    {"ELLIPSE", NULL, ellipse_end}, {"SPLINE", spline_again, spline_end},
    {"INSERT", NULL, insert_end},   {"POLYLINE", NULL, NULL}, /* ends with its SEQEND */
};
static const struct entity_kind vertex_kind = {"VERTEX", NULL, NULL};

/* What nobody cuts: writing, fills, measures, helping lines, views. */
static const char *const no_cut_lines[] = {
    "TEXT",
    "MTEXT",
    "DIMENSION",
    "HATCH",
    "POINT",
    "ATTDEF",
    "ATTRIB",
    "LEADER",
    "MLEADER",
    "TOLERANCE",
    "VIEWPORT",
    "IMAGE",
    "WIPEOUT",
    "OLEFRAME",
    "RAY",
    "XLINE",
    "OLE2FRAME",
    "SOLID",
    "TRACE",
    "SHAPE",
    "SEQEND",
    "RTEXT",
    "LIGHT",
    "MULTILEADER",
    "SUN",
    "SECTION",
    "ARCALIGNEDTEXT",
    "ARC_DIMENSION",
    "LARGE_RADIAL_DIMENSION",
};

static bool is_no_cut_line(const char *name)
{
    for (size_t i = 0; i < sizeof no_cut_lines / sizeof *no_cut_lines; i++)
        if (strcmp(no_cut_lines[i], name) == 0)
            return true;
    return false;
}

static const struct entity_kind *kind_of(const char *name)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].name, name) == 0)
            return &kinds[i];
    return NULL;
}

void entity_left_out(struct dxf *dxf, const char *name)
{
    char copy[200];
    tell(dxf->gather, PROBLEM_ENTITY, "%s is not read and was left out: turn it into lines, arcs or splines",
         shown(name, copy, sizeof copy));
    dxf->gather->out->left_out++;
}

/* ---- one after another ---- */

static void clear(struct entity *entity, const struct entity_kind *kind, int64_t line)
{
    entity->kind = kind;
    entity->line = line;
    strcpy(entity->layer, "0");
    entity->name[0] = '\0';
    memset(entity->has, 0, sizeof entity->has);
    memset(entity->numbers, 0, sizeof entity->numbers);
    entity->n_vertices = entity->knots.n = entity->weights.n = entity->fit_points = 0;
}

static bool begin_vertex(struct reader *reader)
{
    if (!reader->in_polyline)
        return refuse(reader->dxf.gather, "a VERTEX must follow its POLYLINE");
    reader->now = &reader->vertex;
    clear(reader->now, &vertex_kind, reader->dxf.gather->line);
    return true;
}

static bool end_polyline(struct reader *reader)
{
    reader->in_polyline = false;
    reader->now = NULL;
    reader->dxf.gather->line = reader->entity.line;
    return polyline_end(&reader->dxf, &reader->entity);
}

bool entity_begin(struct reader *reader, const char *name)
{
    struct gather *gather = reader->dxf.gather;
    if (strcmp(name, "VERTEX") == 0)
        return begin_vertex(reader);
    if (reader->in_polyline)
        return strcmp(name, "SEQEND") == 0 ? end_polyline(reader)
                                           : refuse(gather, "the POLYLINE of line %lld has no SEQEND",
                                                    (long long)reader->entity.line);
    reader->now = &reader->entity;
    clear(reader->now, kind_of(name), gather->line);
    if (reader->now->kind)
        return true;
    reader->now = NULL;
    if (is_no_cut_line(name))
        gather->out->others += strcmp(name, "SEQEND") != 0;
    else
        entity_left_out(&reader->dxf, name);
    return true;
}

static bool take_name(struct gather *gather, char *name, const char *text, size_t length)
{
    if (length >= NAME_MOST)
        return refuse(gather, "a name of more than %d characters", NAME_MOST - 1);
    memcpy(name, text, length);
    name[length] = '\0';
    return true;
}

static bool no_number(struct gather *gather, int code, const char *text, size_t length)
{
    char copy[64], clean[200];
    size_t n = length < sizeof copy - 1 ? length : sizeof copy - 1;
    memcpy(copy, text, n);
    copy[n] = '\0';
    return refuse(gather, "group %d must hold a number, not \"%s\"", code, shown(copy, clean, sizeof clean));
}

static bool take_number(struct gather *gather, int code, const char *text, size_t length, double *value)
{
    const char *at = text, *end = text + length;
    while (at < end && (*at == ' ' || *at == '\t'))
        at++;
    if (at == end || !decimal(&at, true, value))
        return no_number(gather, code, text, length);
    while (at < end && (*at == ' ' || *at == '\t'))
        at++;
    return (at >= end && isfinite(*value)) || no_number(gather, code, text, length);
}

bool entity_pair(struct reader *reader, int code, const char *text, size_t length)
{
    struct entity *entity = reader->now;
    struct gather *gather = reader->dxf.gather;
    double value;
    if (!entity)
        return true;
    if (code == 8 || code == 2)
        return take_name(gather, code == 8 ? entity->layer : entity->name, text, length);
    if (code < 10 || code >= CODES || (code > 79 && code < 210))
        return true;
    if (!take_number(gather, code, text, length, &value))
        return false;
    if (entity->kind->again && entity->kind->again(&reader->dxf, entity, code, value))
        return gather->status == SG_OK;
    entity->has[code] = true;
    entity->numbers[code] = value;
    return gather->status == SG_OK;
}

/* In paper space, or not to be seen. */
static bool is_hidden(const struct entity *entity)
{
    return entity_number(entity, 67, 0) == 1 || entity_number(entity, 60, 0) == 1;
}

static bool take_vertex(struct reader *reader)
{
    const struct entity *vertex = &reader->vertex;
    const int frame = 16; /* a point that the curve does not pass */
    reader->now = &reader->entity;
    if (entity_flags(vertex, 70) & frame)
        return true;
    struct vertex point = {vertex->numbers[10], vertex->numbers[20], vertex->numbers[42]};
    return vertices_add(&reader->dxf, &reader->entity, point);
}

bool entity_finish(struct reader *reader)
{
    struct entity *entity = reader->now;
    struct gather *gather = reader->dxf.gather;
    if (!entity)
        return true;
    if (entity->kind == &vertex_kind)
        return take_vertex(reader);
    reader->now = NULL;
    int64_t line = gather->line;
    gather->line = entity->line;
    bool good = true;
    entity->on = dxf_layer(&reader->dxf, entity->layer);
    if (entity->on < 0)
        good = false;
    else if (!entity->kind->end)
        reader->in_polyline = true;
    else if (is_hidden(entity))
        gather->out->others++;
    else
        good = entity->kind->end(&reader->dxf, entity);
    if (good)
        gather->line = line;
    return good;
}

void entity_free(struct entity *entity)
{
    free(entity->vertices);
    free(entity->knots.values);
    free(entity->weights.values);
}
