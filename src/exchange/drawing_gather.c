#include "exchange/drawing_inside.h"
#include "exchange/exchange.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool refuse(struct gather *gather, const char *format, ...)
{
    char text[SG_ERROR_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    gather->status =
        sg_fail(gather->error, SG_BAD_DATA, "%s:%lld: %s", gather->lines.name, (long long)gather->line, text);
    return false;
}

static bool no_memory(struct gather *gather)
{
    gather->status = sg_fail(gather->error, SG_FAULT, "no memory to read %s", gather->lines.name);
    return false;
}

const char *shown(const char *text, char *out, size_t room)
{
    struct sg_text copy = {0};
    sg_text_shown(&copy, text, 40);
    snprintf(out, room, "%s", copy.failed ? "?" : copy.data ? copy.data : "");
    sg_text_free(&copy);
    return out;
}

enum { LISTED_OF_A_KIND = 8 };
_Static_assert(PROBLEM_KINDS *LISTED_OF_A_KIND <= SG_DRAWING_PROBLEMS_LISTED, "each kind has room");

/* Where one more like it is counted, NULL: it is listed itself. */
static struct sg_drawing_problem *like_it(struct sg_drawing *out, const unsigned char *kinds,
                                          enum problem kind, const char *text)
{
    struct sg_drawing_problem *last = NULL;
    int n = 0;
    for (int i = 0; i < out->n_problems; i++) {
        if (kinds[i] != kind)
            continue;
        last = &out->problems[i];
        n++;
        if (strcmp(last->text, text) == 0)
            return last;
    }
    return n >= LISTED_OF_A_KIND ? last : NULL;
}

void tell(struct gather *gather, enum problem kind, const char *format, ...)
{
    struct sg_drawing *out = gather->out;
    char text[sizeof out->problems[0].text];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    struct sg_drawing_problem *like = like_it(out, gather->problem_kinds, kind, text);
    if (like) {
        like->more++;
        return;
    }
    struct sg_drawing_problem *next = &out->problems[out->n_problems];
    gather->problem_kinds[out->n_problems++] = (unsigned char)kind;
    *next = (struct sg_drawing_problem){.line = gather->line};
    memcpy(next->text, text, sizeof text);
}

/* By half: at most two and a half times what is needed is held for a moment. */
bool grow(struct gather *gather, void **items, int64_t *room, int64_t n, size_t size)
{
    if (n < *room)
        return true;
    int64_t more = *room + *room / 2 + 64;
    void *grown = realloc(*items, (size_t)more * size);
    if (!grown)
        return no_memory(gather);
    *items = grown;
    *room = more;
    return true;
}

static bool within_reach(double value)
{
    return fabs(value) <= SG_DRAWING_REACH; /* false of NaN */
}

bool gather_segment(struct gather *gather, const struct sg_segment *segment, bool true_arc)
{
    struct sg_drawing *out = gather->out;
    const struct sg_segment *s = segment;
    if (!within_reach(s->x0) || !within_reach(s->y0) || !within_reach(s->x1) || !within_reach(s->y1))
        return refuse(gather, "a point lies further out than %g mm", SG_DRAWING_REACH);
    if (sg_is_arc(s) && !(fabs(s->cx) <= 1e6 * SG_DRAWING_REACH && fabs(s->cy) <= 1e6 * SG_DRAWING_REACH))
        return refuse(gather, "the centre of an arc lies further out than %g mm", 1e6 * SG_DRAWING_REACH);
    if (out->path.n >= gather->most)
        return refuse(gather, "more than %lld segments: split the drawing", (long long)gather->most);
    void *segments = out->path.segments;
    if (!grow(gather, &segments, &gather->room, out->path.n, sizeof *segment))
        return false;
    out->path.segments = segments;
    out->path.segments[out->path.n] = *segment;
    out->path.segments[out->path.n++].fitted = !true_arc;
    if (true_arc && sg_is_arc(segment)) {
        out->arcs++;
        out->smallest_radius = fmin(out->smallest_radius, sg_segment_radius(segment)); /* NaN gives way */
    }
    return true;
}

bool gather_run(struct gather *gather)
{
    struct sg_drawing *out = gather->out;
    void *runs = out->runs;
    if (!grow(gather, &runs, &gather->runs_room, out->n_runs, sizeof *out->runs))
        return false;
    out->runs = runs;
    out->runs[out->n_runs++] = out->path.n;
    return true;
}
