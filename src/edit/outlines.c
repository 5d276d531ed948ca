/* Bringing drawings and part programs in, where a part's outline is typed. */
#include "edit/inside.h"
#include "exchange/drawing_measure.h"
#include "sandglass/rules.h"
#include "sandglass/utf8.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { MOST_SEGMENTS = 1000000, NAME = 150, PATH = 4096 };

/* ---- what is typed ---- */

/* The file, and the unit that may stand behind its name: "plate.dxf in". */
struct typed_file {
    char path[PATH];
    const char *name; /* in the path: as it was typed */
    enum sg_drawing_unit unit;
};

static bool is_file(const char *path)
{
    struct stat found;
    return stat(path, &found) == 0 && S_ISREG(found.st_mode);
}

static bool join(const char *folder, const char *text, struct typed_file *out)
{
    out->unit = SG_DRAWING_UNIT_OF_FILE;
    out->name = out->path + strlen(folder);
    return snprintf(out->path, sizeof out->path, "%s%s", folder, text) < (int)sizeof out->path;
}

static bool take_unit(struct typed_file *file)
{
    size_t length = strlen(file->path);
    if (strlen(file->name) < 4)
        return false;
    char *end = file->path + length - 3;
    if (strcmp(end, " mm") != 0 && strcmp(end, " in") != 0)
        return false;
    file->unit = end[1] == 'm' ? SG_DRAWING_MM : SG_DRAWING_IN;
    *end = '\0';
    return true;
}

static bool find_file(const char *folder, const char *text, struct typed_file *out)
{
    return *text && join(folder, text, out) && (is_file(out->path) || (take_unit(out) && is_file(out->path)));
}

/* ---- from a file to an outline in the shop's memory ---- */

/* What a file that was typed as an outline became. */
struct brought {
    const char *name; /* of the outline in the shop; NULL: there is no such file */
    bool odd;         /* there is something to look at in it */
    char say[300];    /* what it measures; without a name what else stands there, or "" */
};

struct bringing {
    struct sg_held *held;
    struct typed_file file;
    struct sg_measured measured;
    struct brought *out;
    struct sg_error *error;
};

static enum sg_status read_and_measure(struct bringing *b)
{
    struct sg_measure_settings settings;
    sg_measure_settings(&b->held->shop, &settings);
    settings.how.drawing.unit = b->file.unit;
    settings.how.drawing.most_segments = MOST_SEGMENTS;
    enum sg_status status = sg_measure(b->file.path, &settings.how, &b->measured, b->error);
    if (status == SG_OK && b->measured.outline.n_contours == 0)
        return sg_fail(b->error, SG_BAD_DATA, "%s: there is no line in it that is cut", b->file.path);
    return status == SG_NO_FILE ? SG_BAD_DATA : status;
}

/* What it measures must be what the fields of a part can hold. */
static enum sg_status check_sizes(struct bringing *b)
{
    char range[200];
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    struct sg_drawn drawn = {.name = "", .outline = &b->measured.outline};
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
    bool program = b->measured.drawing.kind == SG_DRAWING_PROGRAM;
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
                               .program = b->measured.drawing.kind == SG_DRAWING_PROGRAM,
                               .rapid_length = b->measured.drawing.rapid_length};
    if (!all[n].name)
        return sg_fail(b->error, SG_FAULT, "no memory for the outline of %s", b->file.path);
    shop->drawn = all;
    shop->n_drawn++;
    return SG_OK;
}

static enum sg_status bring(struct bringing *b)
{
    size_t size = sg_outline_pack(&b->measured.outline, NULL);
    unsigned char *bytes = malloc(size);
    if (!bytes)
        return sg_fail(b->error, SG_FAULT, "no memory for the outline of %s", b->file.path);
    sg_outline_pack(&b->measured.outline, bytes);
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

/* How many things to look at there are, and the first one. */
static int remarks_of(const struct bringing *b, char *first, size_t size)
{
    int n = 0;
    struct sg_remark remark;
    bool inches = b->held->shop.units == SG_UNITS_US;
    for (; sg_measured_remark(&b->measured, n, inches, &remark); n++)
        if (n == 0)
            snprintf(first, size, "%s", remark.text);
    return n;
}

static void add_words(struct brought *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void add_words(struct brought *out, const char *format, ...)
{
    size_t used = strlen(out->say);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(out->say + used, sizeof out->say - used, format, arguments);
    va_end(arguments);
}

/* Its name is told as it was typed, so that it can be typed again; a long one is not told. */
static void say_unit(const struct bringing *b)
{
    const struct typed_file *file = &b->file;
    bool told = strlen(file->name) <= 100;
    add_words(b->out, "; it names no unit, %s is assumed: type \"%s in\"%s for inches",
              b->measured.drawing.unit, told ? file->name : "", told ? "" : " behind its name");
}

/* "measured: 47.5 in in 5 pierces, 8 x 6 in; unit mm is assumed". */
static void put_words(const struct bringing *b)
{
    const struct sg_outline *o = &b->measured.outline;
    const struct sg_shop *shop = &b->held->shop;
    char cut[80], length[80], width[80], remark[300] = "";
    int n = remarks_of(b, remark, sizeof remark);
    bool assumed = b->measured.drawing.unit_from == SG_UNIT_ASSUMED;
    put_length(shop, "cut_length", o->cut_length, cut, sizeof cut);
    put_length(shop, "length", o->box[2] - o->box[0], length, sizeof length);
    put_length(shop, "width", o->box[3] - o->box[1], width, sizeof width);
    add_words(b->out, "measured: cut %s, %d pierce%s, %s x %s", cut, o->pierces, o->pierces == 1 ? "" : "s",
              length, width);
    if (o->open > 0)
        add_words(b->out, "; %d contour%s open", o->open, o->open == 1 ? " is" : "s are");
    if (assumed)
        say_unit(b);
    if (n > 0)
        add_words(b->out, "; %d to look at, `outline` lists them: %s", n, remark);
    b->out->odd = n > 0 || o->open > 0 || assumed;
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

/* Where text is the path of a drawing or part program, measure it into the shop in memory, unless the same
 * outline is there. SG_BAD_DATA: it cannot be a part's. */
static enum sg_status bring_file(struct sg_held *held, const char *folder, const char *text,
                                 struct brought *out, struct sg_error *error)
{
    struct bringing b = {.held = held, .out = out, .error = error};
    bool beside = *folder && *text != '/';
    if (!(beside && find_file(folder, text, &b.file)) && !find_file("", text, &b.file)) {
        if (beside && join(folder, text, &b.file))
            say_other(b.file.path, out->say, sizeof out->say);
        if (!out->say[0])
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
    sg_measured_free(&b.measured);
    return status;
}

/* ---- reading any field ---- */

void sg_held_read(struct sg_held *held, const struct sg_field *field, const char *text, struct sg_typed *out)
{
    sg_held_read_beside(held, field, "", text, out);
}

void sg_held_read_beside(struct sg_held *held, const struct sg_field *field, const char *folder,
                         const char *text, struct sg_typed *out)
{
    struct brought brought = {.name = NULL};
    struct sg_error error;
    char trimmed[PATH];
    const char *typed = text + strspn(text, " \t");
    size_t length = strlen(typed);
    while (length > 0 && strchr(" \t", typed[length - 1]))
        length--;
    enum sg_status status = SG_OK;
    if (field->type == SG_FIELD_OUTLINE && length < sizeof trimmed) {
        memcpy(trimmed, typed, length);
        trimmed[length] = '\0';
        status = bring_file(held, folder, trimmed, &brought, &error);
    }
    if (brought.name) /* found by its name, which may have blanks around it or be "none" */
        *out = (struct sg_typed){.state = SG_PARSE_WHOLE,
                                 .value = {.whole = sg_find_drawn(&held->shop, brought.name)},
                                 .odd = brought.odd};
    else
        sg_field_read(field, &held->shop, text, out);
    if (status != SG_OK)
        out->state = SG_PARSE_WRONG;
    if (status != SG_OK || brought.name || (brought.say[0] && out->state != SG_PARSE_WHOLE))
        snprintf(out->text, sizeof out->text, "%s", status == SG_OK ? brought.say : error.text);
}

/* ---- written ---- */

/* Write the outline of a part into the open transaction, unless it is in the file. */
static enum sg_status write_drawn(struct sg_desk *desk, enum sg_kind kind, const void *record,
                                  struct sg_error *error)
{
    const struct sg_part *part = record;
    if (kind != SG_KIND_PART || part->outline == SG_UNKNOWN || desk->held.shop.drawn[part->outline].row != 0)
        return SG_OK;
    return sg_store_insert_drawn(desk->store, &desk->held.shop.drawn[part->outline], error);
}

enum sg_status sg_desk_insert_row(struct sg_desk *desk, enum sg_kind kind, int64_t parent, const void *record,
                                  int64_t *row, struct sg_error *error)
{
    enum sg_status status = write_drawn(desk, kind, record, error);
    return status == SG_OK ? sg_store_insert(desk->store, kind, parent, &desk->held.shop, record, row, error)
                           : status;
}

enum sg_status sg_desk_update_row(struct sg_desk *desk, enum sg_kind kind, const void *record,
                                  const struct sg_field *const *fields, int n, struct sg_error *error)
{
    int64_t row;
    memcpy(&row, record, sizeof row); /* every record starts with its row */
    enum sg_status status = write_drawn(desk, kind, record, error);
    return status == SG_OK && n > 0
               ? sg_store_update(desk->store, kind, row, &desk->held.shop, record, fields, n, error)
               : status;
}
