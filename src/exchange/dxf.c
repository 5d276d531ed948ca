#include "exchange/dxf_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- pairs ---- */

struct pair {
    int code;
    char *text;
    size_t length;
};

static bool read_code(struct gather *gather, const char *text, size_t length, int *code)
{
    const char *at = text, *end = text + length;
    while (at < end && (*at == ' ' || *at == '\t'))
        at++;
    bool minus = at < end && *at == '-';
    at += minus;
    int value = 0, digits = 0;
    for (; at < end && *at >= '0' && *at <= '9' && digits < 6; at++, digits++)
        value = 10 * value + (*at - '0');
    while (at < end && (*at == ' ' || *at == '\t'))
        at++;
    *code = minus ? -value : value;
    if (digits > 0 && at >= end)
        return true;
    char copy[64], clean[200];
    size_t n = length < sizeof copy - 1 ? length : sizeof copy - 1;
    memcpy(copy, text, n);
    copy[n] = '\0';
    return refuse(gather, "a group code (a whole number) must stand here, not \"%s\"",
                  shown(copy, clean, sizeof clean));
}

/* The next pair; false at the end of the file too, then the status is still good. The text ends in NUL. */
static bool next_pair(struct gather *gather, struct pair *pair)
{
    char *text;
    size_t length;
    if (!lines_next(&gather->lines, &text, &length))
        return false;
    gather->line = gather->lines.line;
    if (!read_code(gather, text, length, &pair->code))
        return false;
    if (!lines_next(&gather->lines, &pair->text, &pair->length))
        return gather->lines.status == SG_OK &&
               refuse(gather, "group %d has no value: the file was cut off, copy it again", pair->code);
    gather->line = gather->lines.line;
    pair->text[pair->length] = '\0'; /* where its end of line was */
    return true;
}

/* A word (section, entity, variable) without the blanks around it. */
static char *trimmed(struct pair *pair)
{
    char *text = pair->text, *end = pair->text + pair->length;
    while (*text == ' ' || *text == '\t')
        text++;
    while (end > text && (end[-1] == ' ' || end[-1] == '\t'))
        end--;
    *end = '\0';
    return text;
}

/* ---- the unit ---- */

static const struct {
    int code;
    const char *name;
    double mm;
} units[] = {{1, "in", 25.4},    {2, "ft", 304.8},  {4, "mm", 1},      {5, "cm", 10},  {6, "m", 1000},
             {9, "mil", 0.0254}, {10, "yd", 914.4}, {13, "um", 0.001}, {14, "dm", 100}};

static bool unit_of_header(struct dxf *dxf)
{
    struct sg_drawing *out = dxf->gather->out;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (units[i].code != dxf->header_unit)
            continue;
        out->unit = units[i].name;
        out->unit_mm = units[i].mm;
        out->unit_from = SG_UNIT_FROM_HEADER;
        return true;
    }
    return false;
}

/* What was asked for goes before the header, whose unit is often what a template had. */
static void settle_unit(struct dxf *dxf)
{
    struct sg_drawing *out = dxf->gather->out;
    enum sg_drawing_unit asked = dxf->gather->how->unit;
    bool known = unit_of_header(dxf);
    dxf->gather->line = 0;
    if (!known && dxf->header_unit > 0 && asked == SG_DRAWING_UNIT_OF_FILE)
        tell(dxf->gather, PROBLEM_UNIT, "$INSUNITS %d is no unit that is read here, mm were taken: say which",
             dxf->header_unit);
    if (asked != SG_DRAWING_UNIT_OF_FILE) {
        double mm = asked == SG_DRAWING_IN ? 25.4 : 1;
        if (known && mm != out->unit_mm)
            tell(dxf->gather, PROBLEM_UNIT, "the drawing says %s, but %s was asked for and taken", out->unit,
                 asked == SG_DRAWING_IN ? "in" : "mm");
        out->unit = asked == SG_DRAWING_IN ? "in" : "mm";
        out->unit_mm = mm;
        out->unit_from = SG_UNIT_FROM_OPTION;
    }
    dxf->scale = out->unit_mm;
}

/* ---- sections ---- */

enum section {
    SECTION_NONE,
    SECTION_HEADER,
    SECTION_TABLES,
    SECTION_BLOCKS,
    SECTION_ENTITIES,
    SECTION_OTHER
};

struct progress {
    struct reader *reader;
    enum section section;
    bool naming;       /* the section's name comes */
    bool has_entities; /* a whole section of them was read */
    bool ended;        /* EOF */
    bool unit_next;    /* the value of $INSUNITS comes */
    bool in_layer;     /* of the table of layers: its name and state */
    char layer[NAME_MOST];
    bool layer_off;
    bool in_block_head; /* of BLOCK: its name and base point come */
    struct entity head;
};

static bool name_section(struct progress *progress, const char *name)
{
    static const char *const names[] = {[SECTION_HEADER] = "HEADER",
                                        [SECTION_TABLES] = "TABLES",
                                        [SECTION_BLOCKS] = "BLOCKS",
                                        [SECTION_ENTITIES] = "ENTITIES"};
    progress->naming = false;
    progress->section = SECTION_OTHER;
    for (int i = SECTION_HEADER; i < SECTION_OTHER; i++)
        if (strcmp(name, names[i]) == 0)
            progress->section = (enum section)i;
    struct dxf *dxf = &progress->reader->dxf;
    if (progress->section == SECTION_ENTITIES && !dxf->unit_settled) {
        settle_unit(dxf);
        dxf->unit_settled = true;
    }
    return true;
}

static bool header_pair(struct progress *progress, struct pair *pair)
{
    struct dxf *dxf = &progress->reader->dxf;
    if (pair->code == 9)
        progress->unit_next = strcmp(trimmed(pair), "$INSUNITS") == 0;
    else if (pair->code == 70 && progress->unit_next) {
        dxf->header_unit = atoi(pair->text);
        progress->unit_next = false;
        if (dxf->unit_settled)
            return refuse(dxf->gather, "$INSUNITS must come before the ENTITIES");
    }
    return true;
}

/* ---- layers ---- */

static bool finish_layer(struct progress *progress)
{
    struct dxf *dxf = &progress->reader->dxf;
    if (!progress->in_layer)
        return true;
    progress->in_layer = false;
    int32_t layer = dxf_layer(dxf, progress->layer);
    if (layer < 0)
        return false;
    dxf->layers[layer].off = progress->layer_off;
    return true;
}

static bool tables_pair(struct progress *progress, struct pair *pair)
{
    if (pair->code == 0) {
        if (!finish_layer(progress))
            return false;
        progress->in_layer = strcmp(trimmed(pair), "LAYER") == 0;
        progress->layer_off = false;
        strcpy(progress->layer, "0");
        return true;
    }
    if (!progress->in_layer)
        return true;
    if (pair->code == 2 && pair->length >= NAME_MOST)
        return refuse(progress->reader->dxf.gather, "a name of more than %d characters", NAME_MOST - 1);
    if (pair->code == 2)
        memcpy(progress->layer, pair->text, pair->length + 1);
    if (pair->code == 70 || pair->code == 62) /* frozen: bit 1; off: a negative colour */
        progress->layer_off |= pair->code == 70 ? atoi(pair->text) & 1 : atoi(pair->text) < 0;
    return true;
}

/* ---- blocks ---- */

static const struct entity_kind block_kind = {"BLOCK", NULL, NULL};

static bool begin_block(struct progress *progress)
{
    struct reader *reader = progress->reader;
    if (reader->dxf.into >= 0 || progress->in_block_head)
        return refuse(reader->dxf.gather, "a BLOCK inside a BLOCK: an ENDBLK must come before it");
    memset(progress->head.has, 0, sizeof progress->head.has);
    memset(progress->head.numbers, 0, sizeof progress->head.numbers);
    progress->head.name[0] = '\0';
    progress->head.kind = &block_kind;
    progress->in_block_head = true;
    reader->now = &progress->head;
    return true;
}

static bool finish_block_head(struct progress *progress)
{
    enum { OUTSIDE = 4 };
    struct dxf *dxf = &progress->reader->dxf;
    const struct entity *head = &progress->head;
    if (!progress->in_block_head)
        return true;
    progress->in_block_head = false;
    progress->reader->now = NULL;
    int32_t index = dxf_block(dxf, head->name);
    if (index < 0)
        return false;
    struct block *block = &dxf->blocks[index];
    if (block->defined) {
        char name[200];
        return refuse(dxf->gather, "block \"%s\" stands twice: give the second one another name",
                      shown(head->name, name, sizeof name));
    }
    block->defined = true;
    block->outside = entity_flags(head, 70) & OUTSIDE;
    block->base_x = head->numbers[10];
    block->base_y = head->numbers[20];
    dxf->into = index;
    return true;
}

static bool blocks_zero(struct progress *progress, const char *name)
{
    struct reader *reader = progress->reader;
    if (!finish_block_head(progress) || !entity_finish(reader))
        return false;
    if (strcmp(name, "BLOCK") == 0)
        return begin_block(progress);
    if (strcmp(name, "ENDBLK") == 0) {
        reader->dxf.into = -1;
        return !reader->in_polyline || entity_begin(reader, name);
    }
    return reader->dxf.into < 0 || entity_begin(reader, name);
}

/* ---- one pair after another ---- */

static bool end_section(struct progress *progress)
{
    struct reader *reader = progress->reader;
    if (!finish_layer(progress) || !finish_block_head(progress) || !entity_finish(reader))
        return false;
    if (reader->in_polyline)
        return entity_begin(reader, "ENDSEC"); /* says that its end is missing */
    if (reader->dxf.into >= 0)
        return refuse(reader->dxf.gather, "the last BLOCK has no ENDBLK");
    progress->has_entities |= progress->section == SECTION_ENTITIES;
    progress->section = SECTION_NONE;
    return true;
}

static bool zero(struct progress *progress, struct pair *pair)
{
    struct gather *gather = progress->reader->dxf.gather;
    const char *name = trimmed(pair);
    if (strcmp(name, "ENDSEC") == 0)
        return end_section(progress);
    if (progress->section == SECTION_NONE) {
        progress->ended = strcmp(name, "EOF") == 0;
        progress->naming = strcmp(name, "SECTION") == 0;
        char copy[200];
        return progress->ended || progress->naming ||
               refuse(gather, "SECTION or EOF must stand here, not \"%s\"", shown(name, copy, sizeof copy));
    }
    if (strcmp(name, "EOF") == 0 || strcmp(name, "SECTION") == 0)
        return refuse(gather, "%s before the ENDSEC of the section: the file is not whole", name);
    switch (progress->section) {
    case SECTION_TABLES:
        return tables_pair(progress, pair);
    case SECTION_BLOCKS:
        return blocks_zero(progress, name);
    case SECTION_ENTITIES:
        return entity_finish(progress->reader) && entity_begin(progress->reader, name);
    default:
        return true;
    }
}

static bool take(struct progress *progress, struct pair *pair)
{
    if (pair->code == 999) /* a comment */
        return true;
    if (progress->naming)
        return pair->code == 2 ? name_section(progress, trimmed(pair))
                               : refuse(progress->reader->dxf.gather,
                                        "the name of the section (group 2) must stand here");
    if (pair->code == 0)
        return zero(progress, pair);
    switch (progress->section) {
    case SECTION_HEADER:
        return header_pair(progress, pair);
    case SECTION_TABLES:
        return tables_pair(progress, pair);
    case SECTION_BLOCKS:
    case SECTION_ENTITIES:
        return entity_pair(progress->reader, pair->code, pair->text, pair->length);
    default:
        return true;
    }
}

static bool read_pairs(struct progress *progress)
{
    struct gather *gather = progress->reader->dxf.gather;
    struct pair pair;
    while (!progress->ended && next_pair(gather, &pair))
        if (!take(progress, &pair))
            return false;
    if (gather->lines.status != SG_OK) {
        gather->status = gather->lines.status;
        return false;
    }
    if (gather->status != SG_OK || progress->ended)
        return gather->status == SG_OK;
    gather->line = gather->lines.line;
    if (progress->section != SECTION_NONE || progress->naming || !progress->has_entities)
        return refuse(gather, "the file ends before its EOF: it was cut off, copy it again");
    tell(gather, PROBLEM_CUT_OFF, "the file ends without its EOF, but after all of its entities");
    return true;
}

/* ---- the end ---- */

static bool list_layers(struct dxf *dxf)
{
    struct sg_drawing *out = dxf->gather->out;
    out->layers = calloc((size_t)dxf->layer_names.n, sizeof *out->layers);
    if (!out->layers) {
        dxf->gather->status = sg_fail(dxf->gather->error, SG_FAULT, "no memory for the layers");
        return false;
    }
    dxf->gather->line = 0;
    for (int i = 0; i < dxf->layer_names.n; i++) {
        const struct layer *layer = &dxf->layers[i];
        char name[200];
        out->layers[out->n_layers++] = (struct sg_drawing_layer){dxf->layer_names.names[i], layer->off,
                                                                 layer->left_out, layer->segments};
        if (layer->off && layer->segments > 0)
            tell(dxf->gather, PROBLEM_LAYER,
                 "layer \"%s\" is off or frozen, its %lld segments were taken: leave it out if it is no cut",
                 shown(dxf->layer_names.names[i], name, sizeof name), (long long)layer->segments);
    }
    dxf->layer_names.n = 0; /* the names belong to the drawing now */
    return true;
}

static void say_missing(struct dxf *dxf)
{
    const struct sg_drawing_how *how = dxf->gather->how;
    dxf->gather->line = 0;
    for (int i = 0; i < how->n_layers_out && !how->layers_may_lack; i++) {
        char name[200];
        if (names_find(&dxf->layer_names, how->layers_out[i]) < 0)
            tell(dxf->gather, PROBLEM_LAYER, "there is no layer \"%s\" to leave out",
                 shown(how->layers_out[i], name, sizeof name));
    }
    const struct sg_drawing *out = dxf->gather->out;
    if (out->path.n == 0)
        tell(dxf->gather, PROBLEM_NOTHING,
             "no cut lines: %lld texts, fills, measures or hidden entities alone", (long long)out->others);
}

static void free_reader(struct reader *reader)
{
    struct dxf *dxf = &reader->dxf;
    for (int64_t i = 0; i < dxf->block_names.n; i++)
        free(dxf->blocks[i].cells);
    free(dxf->blocks);
    free(dxf->layers);
    names_free(&dxf->layer_names);
    names_free(&dxf->block_names);
    entity_free(&reader->entity);
    entity_free(&reader->vertex);
}

bool read_dxf(struct gather *gather)
{
    struct reader reader = {.dxf = {.gather = gather, .into = -1, .header_unit = -1, .scale = 1}};
    struct progress progress = {.reader = &reader};
    gather->out->rapid_length = (double)NAN;
    bool good = dxf_layer(&reader.dxf, "0") == 0 && read_pairs(&progress);
    if (good)
        say_missing(&reader.dxf);
    good = good && list_layers(&reader.dxf);
    free_reader(&reader);
    return good;
}
