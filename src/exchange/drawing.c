#include "exchange/drawing_inside.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- what it is ---- */

/* Files that are no text, or no lines to cut: by how they begin. */
static const struct {
    size_t at;
    const char *bytes, *name;
} others[] = {
    {8, "Binary DXF", "a binary DXF: save it as ASCII DXF"},
    {0, "AC10", "a binary drawing: save it as ASCII DXF"},
    {0, "<", "XML, such as SVG: save it as ASCII DXF"},
    {0, "%PDF", "a PDF: save the drawing as ASCII DXF"},
    {0, "%!PS", "PostScript: save the drawing as ASCII DXF"},
    {0, "PK\x03\x04", "a ZIP archive: unpack it first"},
    {0, "\x1F\x8B", "a gzip archive: unpack it first"},
    {0, "ISO-10303-21", "a STEP model: save its flat outline as ASCII DXF"},
    {0, "solid ", "an STL model: save its flat outline as ASCII DXF"},
    {0, "\x89PNG", "a picture: draw its outline and save it as ASCII DXF"},
    {0, "\xFF\xD8\xFF", "a picture: draw its outline and save it as ASCII DXF"},
    {0, "\xFF\xFE", "UTF-16 text: save it as plain text"},
    {0, "\xFE\xFF", "UTF-16 text: save it as plain text"},
};

static const char *other_format(const struct lines *lines)
{
    size_t length = (size_t)(lines->end - lines->at);
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        size_t n = strlen(others[i].bytes);
        if (length >= others[i].at + n && memcmp(lines->at + others[i].at, others[i].bytes, n) == 0)
            return others[i].name;
    }
    return NULL;
}

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t' || byte == '\r' || byte == '\n';
}

/* The next word of what was read so far. */
static size_t word_at(const char **at, const char *end)
{
    while (*at < end && is_blank(**at))
        ++*at;
    const char *stop = *at;
    while (stop < end && !is_blank(*stop))
        stop++;
    return (size_t)(stop - *at);
}

/* A DXF begins with group 0 and SECTION, or with a comment, group 999. */
static bool looks_like_dxf(const struct lines *lines)
{
    const char *at = lines->at;
    size_t n = word_at(&at, lines->end);
    if (n == 3 && memcmp(at, "999", 3) == 0)
        return true;
    if (n != 1 || *at != '0')
        return false;
    at += n;
    n = word_at(&at, lines->end);
    return n == 7 && memcmp(at, "SECTION", 7) == 0;
}

static bool named_dxf(const char *name)
{
    const char *dot = strrchr(name, '.');
    return dot && strcasecmp(dot, ".dxf") == 0;
}

/* ---- reading ---- */

static void settle(struct sg_drawing *out)
{
    /* What was held for growing goes back. */
    if (out->path.n > 0) {
        void *less = realloc(out->path.segments, (size_t)out->path.n * sizeof *out->path.segments);
        out->path.segments = less ? less : out->path.segments;
    }
}

static enum sg_status read_lines(struct gather *gather)
{
    struct lines *lines = &gather->lines;
    enum sg_status status = lines_start(lines);
    if (status != SG_OK)
        return status;
    if (lines->at == lines->end)
        return sg_fail(gather->error, SG_BAD_DATA, "%s is empty: a drawing or a part program is needed",
                       lines->name);
    const char *other = other_format(lines);
    if (other)
        return sg_fail(gather->error, SG_BAD_DATA, "%s is %s", lines->name, other);
    bool dxf = looks_like_dxf(lines) || named_dxf(lines->name);
    gather->out->kind = dxf ? SG_DRAWING_DXF : SG_DRAWING_PROGRAM;
    bool good = dxf ? read_dxf(gather) : read_program(gather);
    if (good)
        return SG_OK;
    return gather->status != SG_OK ? gather->status : lines->status;
}

static enum sg_status read_from(struct lines *lines, const struct sg_drawing_how *how, struct sg_drawing *out,
                                struct sg_error *error)
{
    struct sg_drawing drawing = {
        .unit = "mm", .unit_mm = 1, .unit_from = SG_UNIT_ASSUMED, .smallest_radius = (double)NAN};
    struct gather gather = {.lines = *lines, .how = how, .out = &drawing, .error = error};
    gather.arc_tolerance = how->arc_tolerance > 0 ? how->arc_tolerance : SG_ARC_END_OFF;
    gather.most = how->most_segments > 0 ? how->most_segments : SG_DRAWING_SEGMENTS_MAX;
    gather.lines.error = error;
    gather.lines.buffer = malloc(LINES_ROOM + 1);
    if (!gather.lines.buffer)
        return sg_fail(error, SG_FAULT, "no memory to read %s", lines->name);
    enum sg_status status = read_lines(&gather);
    free(gather.lines.buffer);
    if (status != SG_OK) {
        sg_drawing_free(&drawing);
        return status;
    }
    settle(&drawing);
    *out = drawing;
    return SG_OK;
}

enum sg_status sg_drawing_read_memory(const char *name, const void *data, size_t length,
                                      const struct sg_drawing_how *how, struct sg_drawing *out,
                                      struct sg_error *error)
{
    struct lines lines = {.name = name, .file = -1, .data = data, .left = length};
    return read_from(&lines, how, out, error);
}

enum sg_status sg_drawing_read(const char *name, const struct sg_drawing_how *how, struct sg_drawing *out,
                               struct sg_error *error)
{
    bool standard = strcmp(name, "-") == 0;
    struct lines lines = {.name = standard ? "standard input" : name};
    struct stat info;
    lines.file = standard ? STDIN_FILENO : open(name, O_RDONLY | O_CLOEXEC);
    if (lines.file < 0)
        return sg_fail(error, SG_NO_FILE, "cannot open %s: %s", name, strerror(errno));
    enum sg_status status;
    if (fstat(lines.file, &info) == 0 && S_ISDIR(info.st_mode))
        status = sg_fail(error, SG_NO_FILE, "cannot read %s: it is a folder", name);
    else
        status = read_from(&lines, how, out, error);
    if (!standard)
        close(lines.file);
    return status;
}

void sg_drawing_free(struct sg_drawing *drawing)
{
    for (int i = 0; i < drawing->n_layers; i++)
        free(drawing->layers[i].name);
    free(drawing->layers);
    free(drawing->path.segments);
    free(drawing->runs);
    *drawing = (struct sg_drawing){0};
}
