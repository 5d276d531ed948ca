#include "exchange/part_program_inside.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
#define SAME_PLACE                                                                                           \
    1e-6          /* mm; sums of relative moves differ from a place by rounding: then it is a full circle */
#define GROSS 0.1 /* of the radius: an end so far off its circle is another mistake */

/* ---- arcs ---- */

static bool arc_by_radius(struct program *program, const struct words *words, struct sg_segment *arc)
{
    struct gather *gather = program->gather;
    double r = word_value(words, 'R') * program->unit, dx = arc->x1 - arc->x0, dy = arc->y1 - arc->y0;
    double chord = hypot(dx, dy), half = chord / 2, rest = r * r - half * half;
    if (has_word(words, 'I') || has_word(words, 'J'))
        return refuse(gather, "an arc has R, or I and J, not both");
    if (!(chord > 0))
        return refuse(gather, "an arc with R must lead to another place: a full circle has I and J");
    if (half - fabs(r) > gather->arc_tolerance)
        return refuse(gather, "R %g does not reach: half of the way is %g", fabs(r) / program->unit,
                      half / program->unit);
    double away = rest > 0 ? sqrt(rest) : 0, angle = 2 * atan2(half, r < 0 ? -away : away);
    double left = (program->motion == MOTION_COUNTER) == (r > 0) ? away : -away;
    arc->sweep = program->motion == MOTION_COUNTER ? angle : -angle;
    arc->cx = (arc->x0 + arc->x1) / 2 - left * dy / chord;
    arc->cy = (arc->y0 + arc->y1) / 2 + left * dx / chord;
    return true;
}

static bool find_centre(struct program *program, const struct words *words, struct sg_segment *arc)
{
    double i = word_value(words, 'I') * program->unit, j = word_value(words, 'J') * program->unit;
    if (!has_word(words, 'I') && !has_word(words, 'J'))
        return refuse(program->gather, "an arc (G02, G03) needs its centre, I and J, or its radius R");
    if (program->centre_absolute && !(has_word(words, 'I') && has_word(words, 'J')))
        return refuse(program->gather, "an arc after G90.1 needs both I and J");
    arc->cx = i + (program->centre_absolute ? program->set[0] : arc->x0);
    arc->cy = j + (program->centre_absolute ? program->set[1] : arc->y0);
    return true;
}

static bool on_circle(struct program *program, double r, double off)
{
    struct gather *gather = program->gather;
    if (!(r > 0))
        return refuse(gather, "the centre of an arc is its start: I and J lead from the start to the centre");
    if (off <= gather->arc_tolerance)
        return true;
    if (off > gather->arc_tolerance + GROSS * r)
        return refuse(
            gather,
            "an arc ends %.4g mm off its circle of radius %.4g mm: I and J must lead from its start to "
            "its centre (after G90.1: from zero)",
            off, r);
    tell(gather, PROBLEM_ARC_END, "an arc ends %.4f mm off its circle, more than %.4f mm: taken as it is",
         off, gather->arc_tolerance);
    return true;
}

static bool arc_by_centre(struct program *program, const struct words *words, struct sg_segment *arc)
{
    if (!find_centre(program, words, arc))
        return false;
    double ax = arc->x0 - arc->cx, ay = arc->y0 - arc->cy, bx = arc->x1 - arc->cx, by = arc->y1 - arc->cy;
    double r = hypot(ax, ay);
    if (!on_circle(program, r, fabs(hypot(bx, by) - r)))
        return false;
    bool counter = program->motion == MOTION_COUNTER;
    bool same = hypot(arc->x1 - arc->x0, arc->y1 - arc->y0) < SAME_PLACE;
    double angle = same ? 0 : atan2(ax * by - ay * bx, ax * bx + ay * by);
    if (counter && angle <= 0)
        angle += 2 * pi;
    if (!counter && angle >= 0)
        angle -= 2 * pi;
    arc->sweep = angle;
    return true;
}

static bool take_arc(struct program *program, const struct words *words, struct sg_segment *segment)
{
    if (program->motion < MOTION_CLOCKWISE)
        return true;
    if (program->plane != 170)
        return refuse(program->gather, "an arc in the plane of G%d: only arcs of G17, in X and Y, are read",
                      program->plane / 10);
    return has_word(words, 'R') ? arc_by_radius(program, words, segment)
                                : arc_by_centre(program, words, segment);
}

/* ---- the way there ---- */

static double target(const struct program *program, const struct words *words, char letter, double now,
                     double shift)
{
    double value = word_value(words, letter) * program->unit;
    if (!has_word(words, letter))
        return now;
    return program->relative ? now + value : value + shift;
}

static void settle_unit(struct program *program)
{
    struct sg_drawing *out = program->gather->out;
    if (program->moved)
        return;
    program->moved = true;
    out->unit_mm = program->unit;
    out->unit = program->unit == 1 ? "mm" : "in";
    if (program->unit_named)
        out->unit_from = SG_UNIT_FROM_HEADER;
    else if (program->gather->how->unit != SG_DRAWING_UNIT_OF_FILE)
        out->unit_from = SG_UNIT_FROM_OPTION;
}

static bool cut(struct program *program, const struct sg_segment *segment)
{
    if (program->by_words && program->motion == MOTION_RAPID)
        tell(program->gather, PROBLEM_JET, "G00 with the jet on: it is cut");
    if (program->lost_x || program->lost_y)
        return refuse(program->gather,
                      "a cut from the machine's own home, whose place is not known: a G00 with "
                      "X and Y must come before it");
    if (segment->sweep == 0 && segment->x0 == segment->x1 && segment->y0 == segment->y1)
        return true; /* up or down alone */
    if (!program->cutting && !gather_run(program->gather))
        return false;
    program->cutting = program->ever_on = true;
    return gather_segment(program->gather, segment, true);
}

/* From home no length is known; an absolute X and Y say where it is again. */
static bool travel(struct program *program, const struct sg_segment *segment, const struct words *words)
{
    program->cutting = false;
    if (!program->lost_x && !program->lost_y)
        program->gather->out->rapid_length += sg_segment_length(segment);
    program->lost_x = program->lost_x && (program->relative || !has_word(words, 'X'));
    program->lost_y = program->lost_y && (program->relative || !has_word(words, 'Y'));
    return true;
}

bool program_move(struct program *program, const struct words *words)
{
    struct sg_segment segment = {.x0 = program->x, .y0 = program->y};
    if (program->motion == MOTION_NONE)
        return refuse(program->gather, "X or Y before any of G00 to G03: say how it moves");
    segment.x1 = target(program, words, 'X', program->x, program->set[0]);
    segment.y1 = target(program, words, 'Y', program->y, program->set[1]);
    if (!(fabs(segment.x1) <= SG_DRAWING_REACH && fabs(segment.y1) <= SG_DRAWING_REACH))
        return refuse(program->gather, "a point lies further out than %g mm", SG_DRAWING_REACH);
    settle_unit(program);
    if (!take_arc(program, words, &segment))
        return false;
    bool on = program->by_words ? program->jet : program->motion != MOTION_RAPID;
    if (!(on ? cut(program, &segment) : travel(program, &segment, words)))
        return false;
    program->x = segment.x1;
    program->y = segment.y1;
    return true;
}
