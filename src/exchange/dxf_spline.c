/* SPLINE: a B-spline of any degree up to DEGREE_MOST, with weights or without, becomes the Bezier pieces
 * between its knots. A control point of a piece is the spline's polar form at its two knots (blossom), taken
 * by de Boor's scheme with another argument in each round. */
#include "exchange/dxf_inside.h"

#include <math.h>

static void series_add(struct dxf *dxf, struct series *series, double value)
{
    void *list = series->values;
    if (!grow(dxf->gather, &list, &series->room, series->n, sizeof value))
        return;
    series->values = list;
    series->values[series->n++] = value;
}

bool spline_again(struct dxf *dxf, struct entity *entity, int code, double value)
{
    switch (code) {
    case 10:
        vertices_add(dxf, entity, (struct vertex){.x = value, .bulge = 1});
        return true;
    case 20:
        if (entity->n_vertices == 0)
            refuse(dxf->gather, "SPLINE: group 20 must follow a group 10");
        else
            entity->vertices[entity->n_vertices - 1].y = value;
        return true;
    case 40:
        series_add(dxf, &entity->knots, value);
        return true;
    case 41:
        series_add(dxf, &entity->weights, value);
        return true;
    case 11:
        entity->fit_points++;
        return true;
    default:
        return false;
    }
}

static bool count_is(struct dxf *dxf, const struct entity *entity, int code, int64_t n, const char *what)
{
    if (!entity->has[code] || entity->numbers[code] == (double)n)
        return true;
    return refuse(dxf->gather, "SPLINE: group %d says %g %s, but %lld stand there: is the file whole?", code,
                  entity->numbers[code], what, (long long)n);
}

static bool sound_weights(struct dxf *dxf, struct entity *entity)
{
    const struct series *weights = &entity->weights;
    if (weights->n == 0)
        return true;
    if (weights->n != entity->n_vertices)
        return refuse(dxf->gather, "SPLINE: %lld weights (41) for %lld control points (10)",
                      (long long)weights->n, (long long)entity->n_vertices);
    for (int64_t i = 0; i < weights->n; i++) {
        if (!(weights->values[i] >= 1e-9 && weights->values[i] <= 1e9))
            return refuse(dxf->gather, "SPLINE: weight %g, which must be from 1e-9 to 1e9",
                          weights->values[i]);
        entity->vertices[i].bulge = weights->values[i];
    }
    return true;
}

static bool sound_knots(struct dxf *dxf, const struct entity *entity, int degree)
{
    const struct series *knots = &entity->knots;
    if (knots->n != entity->n_vertices + degree + 1)
        return refuse(
            dxf->gather,
            "SPLINE: degree %d with %lld control points needs %lld knots (40), but %lld stand there", degree,
            (long long)entity->n_vertices, (long long)entity->n_vertices + degree + 1, (long long)knots->n);
    for (int64_t i = 0; i < knots->n; i++)
        if (fabs(knots->values[i]) > 1e100 || (i > 0 && knots->values[i] < knots->values[i - 1]))
            return refuse(dxf->gather, "SPLINE: its knots (40) must rise and stay under 1e100");
    return true;
}

static bool sound(struct dxf *dxf, struct entity *entity, int degree)
{
    if (entity->n_vertices < degree + 1)
        return refuse(dxf->gather,
                      "SPLINE: degree %d needs at least %d control points (10), %lld stand there", degree,
                      degree + 1, (long long)entity->n_vertices);
    for (int64_t i = 0; i < entity->n_vertices; i++)
        if (!(fabs(entity->vertices[i].x) <= 1e12 && fabs(entity->vertices[i].y) <= 1e12))
            return refuse(dxf->gather, "SPLINE: a control point lies further out than 1e12");
    return count_is(dxf, entity, 72, entity->knots.n, "knots") &&
           count_is(dxf, entity, 73, entity->n_vertices, "control points") &&
           sound_knots(dxf, entity, degree) && sound_weights(dxf, entity);
}

/* The polar form in the span from knot k, with `second` of the arguments at its end and the others at its
 * start. */
static void polar(const struct entity *entity, int degree, int64_t k, int second, double out[3])
{
    const double *u = entity->knots.values;
    double d[DEGREE_MOST + 1][3];
    for (int i = 0; i <= degree; i++) {
        const struct vertex *v = &entity->vertices[k - degree + i];
        d[i][0] = v->x * v->bulge;
        d[i][1] = v->y * v->bulge;
        d[i][2] = v->bulge;
    }
    for (int round = 1; round <= degree; round++) {
        double t = round <= second ? u[k + 1] : u[k];
        for (int i = degree; i >= round; i--) {
            double low = u[k - degree + i], high = u[k + i - round + 1], part = (t - low) / (high - low);
            for (int c = 0; c < 3; c++)
                d[i][c] = (1 - part) * d[i - 1][c] + part * d[i][c];
        }
    }
    for (int c = 0; c < 3; c++)
        out[c] = d[degree][c];
}

bool spline_end(struct dxf *dxf, struct entity *entity)
{
    static const struct put in_plane = {.xx = 1, .yy = 1};
    double named = entity_number(entity, 71, 3);
    if (entity->n_vertices == 0) {
        tell(dxf->gather, PROBLEM_ENTITY,
             "SPLINE has %s points and was left out: save it with its control points",
             entity->fit_points ? "fit" : "no");
        dxf->gather->out->left_out++;
        return true;
    }
    if (!(named >= 1 && named <= DEGREE_MOST && named == floor(named)))
        return refuse(dxf->gather, "SPLINE: degree (71) %g, which must be from 1 to %d", named, DEGREE_MOST);
    int degree = (int)named;
    if (!sound(dxf, entity, degree))
        return false;
    const double *u = entity->knots.values;
    struct curve piece = {.degree = degree};
    for (int64_t k = degree; k < entity->n_vertices; k++) {
        if (!(u[k + 1] > u[k]))
            continue;
        for (int i = 0; i <= degree; i++)
            polar(entity, degree, k, i, piece.points[i]);
        if (!dxf_curve(dxf, entity->on, &piece, &in_plane))
            return false;
    }
    return true;
}
