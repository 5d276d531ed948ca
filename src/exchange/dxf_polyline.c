/* LWPOLYLINE and POLYLINE: lines and arcs by bulge, the tangent of a quarter of the arc's angle. */
#include "exchange/dxf_inside.h"

#include <math.h>

#define BULGE_LEAST 1e-8 /* an arc of less bulge is longer than its chord by 1e-16 of it */

bool vertices_add(struct dxf *dxf, struct entity *entity, struct vertex vertex)
{
    void *list = entity->vertices;
    if (!grow(dxf->gather, &list, &entity->vertices_room, entity->n_vertices, sizeof vertex))
        return false;
    entity->vertices = list;
    entity->vertices[entity->n_vertices++] = vertex;
    return true;
}

bool lwpolyline_again(struct dxf *dxf, struct entity *entity, int code, double value)
{
    if (code == 10) {
        vertices_add(dxf, entity, (struct vertex){.x = value});
        return true;
    }
    if (code != 20 && code != 42)
        return false;
    if (entity->n_vertices == 0) {
        refuse(dxf->gather, "LWPOLYLINE: group %d must follow a group 10", code);
        return true;
    }
    struct vertex *last = &entity->vertices[entity->n_vertices - 1];
    *(code == 20 ? &last->y : &last->bulge) = value;
    return true;
}

/* theta = 4 atan b; the centre lies (1 - b^2) / (4 b) chords to the left of the chord's middle. */
static struct sg_segment by_bulge(const struct vertex *from, const struct vertex *to)
{
    struct sg_segment s = {.x0 = from->x, .y0 = from->y, .x1 = to->x, .y1 = to->y};
    double b = from->bulge, dx = to->x - from->x, dy = to->y - from->y;
    if (fabs(b) < BULGE_LEAST)
        return s;
    double away = (1 / b - b) / 4;
    s.sweep = 4 * atan(b);
    s.cx = (s.x0 + s.x1) / 2 - dy * away;
    s.cy = (s.y0 + s.y1) / 2 + dx * away;
    return s;
}

static bool draw_vertices(struct dxf *dxf, struct entity *entity, bool closed, const struct put *plane)
{
    int64_t n = entity->n_vertices, pieces = closed ? n : n - 1;
    for (int64_t i = 0; i < pieces; i++) {
        const struct vertex *from = &entity->vertices[i], *to = &entity->vertices[i + 1 < n ? i + 1 : 0];
        if (from->x == to->x && from->y == to->y)
            continue; /* a vertex that stands twice is no piece */
        struct sg_segment segment = by_bulge(from, to);
        if (!dxf_segment(dxf, entity->on, &segment, plane))
            return false;
    }
    return true;
}

static bool draw_in_plane(struct dxf *dxf, struct entity *entity, bool closed)
{
    bool tilted;
    struct put plane = entity_plane(entity, &tilted);
    if (tilted)
        tell(dxf->gather, PROBLEM_TILTED, "%s stands tilted: its shadow in the plane is measured",
             entity->kind->name);
    return draw_vertices(dxf, entity, closed, &plane);
}

bool lwpolyline_end(struct dxf *dxf, struct entity *entity)
{
    return draw_in_plane(dxf, entity, entity_flags(entity, 70) & 1);
}

bool polyline_end(struct dxf *dxf, struct entity *entity)
{
    enum { CLOSED = 1, IN_SPACE = 8, MESH = 16, FACES = 64 };
    static const struct put in_plane = {.xx = 1, .yy = 1};
    unsigned flags = entity_flags(entity, 70);
    if (entity_number(entity, 67, 0) == 1 || entity_number(entity, 60, 0) == 1) {
        dxf->gather->out->others++;
        return true;
    }
    if (flags & (MESH | FACES)) {
        entity_left_out(dxf, "POLYLINE of a surface");
        return true;
    }
    if (flags & IN_SPACE)
        return draw_vertices(dxf, entity, flags & CLOSED, &in_plane);
    return draw_in_plane(dxf, entity, flags & CLOSED);
}
