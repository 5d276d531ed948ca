/* Bringing drawings and part programs in, where a part's outline is typed. */
#include "edit/inside.h"
#include "exchange/drawing.h"
#include "sandglass/outline.h"
#include "sandglass/rules.h"
#include "sandglass/utf8.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { KICKS = 500, MOST_SEGMENTS = 1000000, NAME = 150 };
static const double tolerance = 0.0001; /* drawing units within which two ends are one */

/* ---- what is typed ---- */

/* The file, and the unit that may stand behind its name: "plate.dxf in". */
struct typed_file {
    char path[4096];
    enum sg_drawing_unit unit;
};

static bool is_file(const char *path)
{
    struct stat found;
    return stat(path, &found) == 0 && S_ISREG(found.st_mode);
}

static bool find_file(const char *text, struct typed_file *out)
{
    size_t length = strlen(text);
    out->unit = SG_DRAWING_UNIT_OF_FILE;
    if (length == 0 || length >= sizeof out->path)
        return false;
    memcpy(out->path, text, length + 1);
    if (is_file(out->path))
        return true;
    if (length < 4 || (strcmp(text + length - 3, " mm") != 0 && strcmp(text + length - 3, " in") != 0))
        return false;
    out->unit = text[length - 2] == 'm' ? SG_DRAWING_MM : SG_DRAWING_IN;
    out->path[length - 3] = '\0';
    return is_file(out->path);
}

/* ---- from a file to an outline in the shop's memory ---- */

struct bringing {
    struct sg_held *held;
    struct typed_file file;
    struct sg_drawing drawing;
    struct sg_outline outline;
    struct sg_brought *out;
    struct sg_error *error;
};

/* Names with commas between, without the blanks around them; how many. */
static int cut_apart(const char *list, char *names, size_t size, const char **out)
{
    int n = 0;
    char *rest = NULL;
    snprintf(names, size, "%s", list);
    for (char *name = strtok_r(names, ",", &rest); name; name = strtok_r(NULL, ",", &rest)) {
        name += strspn(name, " ");
        for (size_t length = strlen(name); length > 0 && name[length - 1] == ' '; length--)
            name[length - 1] = '\0';
        if (*name && n < SG_TEXT_MAX)
            out[n++] = name;
    }
    return n;
}

static enum sg_status read_and_measure(struct bringing *b)
{
    const struct sg_machine *machine = &b->held->shop.machine;
    struct sg_drawing_how how = {.unit = b->file.unit, .most_segments = MOST_SEGMENTS};
    if (*machine->jet_on && *machine->jet_off) {
        how.on = machine->jet_on;
        how.off = machine->jet_off;
    }
    char names[4 * SG_TEXT_MAX + 1];
    const char *layers[SG_TEXT_MAX];
    how.layers_out = layers;
    how.n_layers_out = cut_apart(machine->layers_out, names, sizeof names, layers);
    enum sg_status status = sg_drawing_read(b->file.path, &how, &b->drawing, b->error);
    if (status != SG_OK)
        return status == SG_NO_FILE ? SG_BAD_DATA : status;
    struct sg_outline_how outlining = {.tolerance = tolerance * b->drawing.unit_mm,
                                       .chained = b->drawing.kind == SG_DRAWING_PROGRAM,
                                       .runs = b->drawing.runs,
                                       .n_runs = b->drawing.n_runs,
                                       .fit_arcs = true};
    status = sg_outline_make(&b->drawing.path, &outlining, &b->outline, b->error);
    if (status == SG_OK && b->outline.n_contours == 0)
        return sg_fail(b->error, SG_BAD_DATA, "%s: there is no line in it that is cut", b->file.path);
    if (status == SG_OK && b->drawing.kind == SG_DRAWING_DXF && !sg_outline_arrange(&b->outline, KICKS))
        return sg_fail(b->error, SG_FAULT, "no memory to order the contours of %s", b->file.path);
    return status;
}

/* What it measures must be what the fields of a part can hold. */
static enum sg_status check_sizes(struct bringing *b)
{
    char range[200];
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    struct sg_drawn drawn = {.name = "", .outline = &b->outline};
    struct sg_shop shop = {.drawn = &drawn, .n_drawn = 1};
    struct sg_part part = sg_fresh_part;
    part.outline = 0;
    sg_part_measure(&part, &shop);
    for (int i = 0; i < count; i++) {
        struct sg_value value;
        sg_field_get(&fields[i], &part, &value);
        if (!sg_part_is_measured(&fields[i]) || sg_field_in_range(&fields[i], &value))
            continue;
        sg_field_range(&fields[i], &b->held->shop, range, sizeof range);
        return sg_fail(b->error, SG_BAD_DATA, "%s: its %s cannot be that of a part, which is %s",
                       b->file.path, fields[i].name, range);
    }
    return SG_OK;
}

static const char *base_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* The name of a file as a shop file may hold it: whole characters, none that is not seen. */
static void clean_name(const char *path, char *out, size_t size)
{
    const char *name = base_name(path);
    size_t left = strlen(name), used = 0;
    while (left > 0) {
        uint32_t code = 0;
        size_t length = sg_utf8_character(name, left, &code);
        bool seen = length > 0 && code >= ' ' && !sg_utf8_hidden(code);
        size_t room = seen ? length : 1;
        if (used + room >= size)
            break;
        memcpy(out + used, seen ? name : "?", room);
        used += room;
        length += length == 0;
        name += length;
        left -= length;
    }
    out[used] = '\0';
}

/* The file's name, or with a number behind it where another outline has that. */
static void free_name(const struct sg_shop *shop, const char *path, char *out, size_t size)
{
    char name[NAME];
    clean_name(path, name, sizeof name);
    snprintf(out, size, "%s", name);
    for (int n = 2; sg_find_drawn(shop, out) != SG_UNKNOWN; n++)
        snprintf(out, size, "%s (%d)", name, n);
}

/* Whether an outline is called by that name, or with a number behind it. */
static bool is_called(const struct sg_drawn *drawn, const char *name)
{
    size_t length = strlen(name);
    return strncmp(drawn->name, name, length) == 0 &&
           (drawn->name[length] == '\0' || strncmp(drawn->name + length, " (", 2) == 0);
}

/* The same outline of the same name: under another name it is another drawing, as the job sheet says. A
 * drawing and a part program of the same contours are two: only the drawing gets leads. */
static int32_t same_outline(const struct bringing *b, uint64_t print)
{
    const struct sg_shop *shop = &b->held->shop;
    bool program = b->drawing.kind == SG_DRAWING_PROGRAM;
    char name[NAME];
    clean_name(b->file.path, name, sizeof name);
    for (int32_t i = 0; i < shop->n_drawn; i++)
        if (shop->drawn[i].print == print && shop->drawn[i].program == program &&
            is_called(&shop->drawn[i], name))
            return i;
    return SG_UNKNOWN;
}

static enum sg_status take_in(struct bringing *b, const unsigned char *bytes, size_t size)
{
    struct sg_shop *shop = &b->held->shop;
    struct sg_arena *arena = &b->held->arena;
    size_t n = (size_t)shop->n_drawn;
    char name[SG_TEXT_MAX];
    struct sg_drawn *all = sg_arena_take(arena, (n + 1) * sizeof *all);
    struct sg_outline *outline = sg_arena_take(arena, sizeof *outline);
    if (!all || !outline)
        return sg_fail(b->error, SG_FAULT, "no memory for the outline of %s", b->file.path);
    enum sg_status status = sg_outline_unpack(bytes, size, arena, outline, b->error);
    if (status != SG_OK)
        return status;
    free_name(shop, b->file.path, name, sizeof name);
    if (n > 0)
        memcpy(all, shop->drawn, n * sizeof *all);
    all[n] = (struct sg_drawn){.name = sg_arena_text(arena, name, strlen(name)),
                               .outline = outline,
                               .print = sg_outline_print(bytes, size),
                               .program = b->drawing.kind == SG_DRAWING_PROGRAM,
                               .rapid_length = b->drawing.rapid_length};
    if (!all[n].name)
        return sg_fail(b->error, SG_FAULT, "no memory for the outline of %s", b->file.path);
    shop->drawn = all;
    shop->n_drawn++;
    return SG_OK;
}

static enum sg_status bring(struct bringing *b)
{
    size_t size = sg_outline_pack(&b->outline, NULL);
    unsigned char *bytes = malloc(size);
    if (!bytes)
        return sg_fail(b->error, SG_FAULT, "no memory for the outline of %s", b->file.path);
    sg_outline_pack(&b->outline, bytes);
    int32_t index = same_outline(b, sg_outline_print(bytes, size));
    enum sg_status status = index == SG_UNKNOWN ? take_in(b, bytes, size) : SG_OK;
    free(bytes);
    if (status == SG_OK) {
        const struct sg_shop *shop = &b->held->shop;
        b->out->name = shop->drawn[index == SG_UNKNOWN ? shop->n_drawn - 1 : index].name;
    }
    return status;
}

/* ---- in words ---- */

static int put_length(const struct sg_shop *shop, const char *field, double mm, char *out, size_t size)
{
    const struct sg_value value = {.number = {mm}};
    return sg_field_show(sg_field_find(SG_KIND_PART, field), shop, &value, out, size);
}

/* How many things to look at there are, and the first one. That a drawing has not one of the layers that the
 * machine leaves out is none of them. */
static int problems_of(const struct bringing *b, const struct sg_shop *shop, char *first, size_t size)
{
    int n = 0;
    for (int i = 0; i < b->drawing.n_problems; i++) {
        const char *text = b->drawing.problems[i].text;
        if (b->drawing.problems[i].line == 0 && strncmp(text, "there is no layer", 17) == 0)
            continue;
        if (n++ == 0)
            snprintf(first, size, "%s", text);
    }
    if (n == 0 && b->outline.n_problems > 0)
        sg_outline_problem_text(&b->outline.problems[0], shop->units == SG_UNITS_US, first, size);
    return n + b->outline.n_problems;
}

/* "measured: 47.5 in in 5 pierces, 8 x 6 in; unit mm is assumed". */
static void put_words(const struct bringing *b)
{
    const struct sg_outline *o = &b->outline;
    const struct sg_shop *shop = &b->held->shop;
    char cut[80], length[80], width[80], problem[300] = "";
    int n = problems_of(b, shop, problem, sizeof problem);
    size_t room = sizeof b->out->say;
    put_length(shop, "cut_length", o->cut_length, cut, sizeof cut);
    put_length(shop, "length", o->box[2] - o->box[0], length, sizeof length);
    put_length(shop, "width", o->box[3] - o->box[1], width, sizeof width);
    int used = snprintf(b->out->say, room, "measured: cut %s, %d pierce%s, %s x %s", cut, o->pierces,
                        o->pierces == 1 ? "" : "s", length, width);
    if (o->open > 0 && used < (int)room)
        used += snprintf(b->out->say + used, room - (size_t)used, "; %d contour%s open", o->open,
                         o->open == 1 ? " is" : "s are");
    if (b->drawing.unit_from == SG_UNIT_ASSUMED && used < (int)room)
        used += snprintf(b->out->say + used, room - (size_t)used,
                         "; it names no unit, %s is assumed: type \"%.60s in\" for inches", b->drawing.unit,
                         base_name(b->file.path));
    if (n > 0 && used < (int)room)
        snprintf(b->out->say + used, room - (size_t)used, "; %d to look at, `outline` lists them: %s", n,
                 problem);
}

/* What stands there instead of a file. */
static void say_other(const char *path, char *out, size_t size)
{
    struct stat found;
    if (stat(path, &found) == 0)
        snprintf(out, size,
                 S_ISDIR(found.st_mode) ? "\"%.100s\" is a folder: type a drawing or part program in it"
                                        : "\"%.100s\" is no plain file",
                 path);
}

enum sg_status sg_held_bring(struct sg_held *held, const char *text, struct sg_brought *out,
                             struct sg_error *error)
{
    struct bringing b = {.held = held, .out = out, .error = error};
    out->name = NULL;
    out->say[0] = '\0';
    if (!find_file(text, &b.file)) {
        say_other(text, out->say, sizeof out->say);
        return SG_OK;
    }
    enum sg_status status = read_and_measure(&b);
    if (status == SG_OK)
        status = check_sizes(&b);
    if (status == SG_OK)
        status = bring(&b);
    if (status == SG_OK)
        put_words(&b);
    sg_outline_free(&b.outline);
    sg_drawing_free(&b.drawing);
    return status;
}

/* ---- reading any field ---- */

void sg_held_read(struct sg_held *held, const struct sg_field *field, const char *text, struct sg_typed *out)
{
    struct sg_brought brought = {.name = NULL};
    struct sg_error error;
    char trimmed[4096];
    const char *typed = text + strspn(text, " \t");
    size_t length = strlen(typed);
    while (length > 0 && strchr(" \t", typed[length - 1]))
        length--;
    enum sg_status status = SG_OK;
    if (field->type == SG_FIELD_OUTLINE && length < sizeof trimmed) {
        memcpy(trimmed, typed, length);
        trimmed[length] = '\0';
        status = sg_held_bring(held, trimmed, &brought, &error);
    }
    if (brought.name) /* found by its name, which may have blanks around it or be "none" */
        *out = (struct sg_typed){.state = SG_PARSE_WHOLE,
                                 .value = {.whole = sg_find_drawn(&held->shop, brought.name)}};
    else
        sg_field_read(field, &held->shop, text, out);
    if (status != SG_OK)
        out->state = SG_PARSE_WRONG;
    if (status != SG_OK || brought.name || (brought.say[0] && out->state != SG_PARSE_WHOLE))
        snprintf(out->text, sizeof out->text, "%s", status == SG_OK ? brought.say : error.text);
}

enum sg_status sg_desk_write_drawn(struct sg_desk *desk, enum sg_kind kind, const void *record,
                                   struct sg_error *error)
{
    const struct sg_part *part = record;
    if (kind != SG_KIND_PART || part->outline == SG_UNKNOWN || desk->held.shop.drawn[part->outline].row != 0)
        return SG_OK;
    return sg_store_insert_drawn(desk->store, &desk->held.shop.drawn[part->outline], error);
}
