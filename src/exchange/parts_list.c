#include "exchange/columns.h"
#include "sandglass/key.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SHOWN_MAX = 40, KNOWN_MATERIALS = 256 };

/* A name that was looked up; a list says the same few materials over and over. */
struct known_material {
    const char *name;   /* NULL: free */
    const char *ours;   /* its name in the library, in the arena */
    const char *reason; /* why there is no index */
    int index;
};

/* Where a row is found by its key; the hash stands here so that most others are told apart without a look at
 * them. */
struct place {
    uint32_t hash;
    int32_t row; /* index + 1, 0: free */
};

struct list_reader {
    struct sg_parts_list list;
    const struct sg_shop *shop;
    const struct sg_list_how *how;
    struct sg_error *error;
    enum sg_status status; /* why the file is refused */
    struct sg_column columns[SG_CSV_MAX_FIELDS];
    int rows_room, raw_room, findings_room;
    struct place *places; /* rows by hash of their key */
    size_t places_room;
    struct known_material materials[KNOWN_MATERIALS];
    struct sg_text scratch;
};

static bool fail_memory(struct list_reader *reader)
{
    reader->status = sg_fail(reader->error, SG_FAULT, "no memory to read %s", reader->list.name);
    return false;
}

/* Room for one more; the array as it is now, NULL when memory is out (and the old one stays). */
static void *grown(void *array, int *room, int used, size_t size)
{
    if (used < *room)
        return array;
    int more = *room ? *room * 2 : 64;
    void *larger = realloc(array, (size_t)more * size);
    if (larger)
        *room = more;
    return larger;
}

/* ---- findings ---- */

/* The finding goes behind those of its row that stand in an earlier column. The text is in reader->scratch.
 */
static bool add_finding(struct list_reader *reader, int line, int column, bool bad)
{
    struct sg_parts_list *list = &reader->list;
    struct sg_list_finding *findings =
        grown(list->findings, &reader->findings_room, list->n_findings, sizeof *findings);
    if (findings)
        list->findings = findings;
    char *text = reader->scratch.failed
                     ? NULL
                     : sg_arena_text(&list->arena, reader->scratch.data, reader->scratch.length);
    if (!findings || !text)
        return fail_memory(reader);
    int row = list->n_raw - 1, at = list->n_findings++;
    for (; at > 0 && findings[at - 1].row == row && findings[at - 1].column > column; at--)
        findings[at] = findings[at - 1];
    findings[at] = (struct sg_list_finding){line, column, bad, row, text};
    if (bad && !list->raw[row].bad) {
        list->raw[row].bad = true;
        list->n_bad++;
    }
    return true;
}

/* quantity "twelve": not a number ... */
static bool add_about_cell(struct list_reader *reader, int column, bool bad, const char *cell,
                           const char *reason)
{
    struct sg_text *text = &reader->scratch;
    text->length = 0;
    sg_text_format(text, "%s \"", reader->columns[column].name);
    sg_text_shown(text, cell, SHOWN_MAX);
    sg_text_put(text, "\": ");
    sg_text_shown(text, reason, SG_ERROR_SIZE);
    return add_finding(reader, reader->list.raw[reader->list.n_raw - 1].line, column + 1, bad);
}

/* ---- cells ---- */

static bool read_part(struct list_reader *reader, int column, const char *cell, struct sg_list_row *row)
{
    struct sg_error error;
    row->part.id = cell;
    if (*cell == '\0')
        return add_about_cell(reader, column, true, cell, "every row needs the key of its part");
    if (sg_key_check(SG_KIND_PART, cell, &error) != SG_OK)
        return add_about_cell(reader, column, true, cell, error.text);
    return true;
}

static uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t length)
{
    const unsigned char *byte = bytes;
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ byte[i]) * 0x100000001b3u; /* FNV-1a */
    return hash;
}

static const uint64_t hash_start = 0xcbf29ce484222325u;

static const struct known_material *look_up(struct list_reader *reader, const char *name)
{
    uint64_t hash = hash_bytes(hash_start, name, strlen(name));
    struct known_material *known = &reader->materials[hash % KNOWN_MATERIALS];
    if (known->name && strcmp(known->name, name) == 0)
        return known;
    int others = 0;
    *known = (struct known_material){.name = name, .index = sg_find_material(reader->shop, name, &others)};
    if (known->index != SG_UNKNOWN) {
        const char *ours = reader->shop->materials[known->index].name;
        known->ours = sg_arena_text(&reader->list.arena, ours, strlen(ours));
        return known->ours ? known : NULL;
    }
    char reason[SG_NEAR_SIZE];
    sg_near_materials(reader->shop, name, others, reason, sizeof reason);
    known->reason = sg_arena_text(&reader->list.arena, reason, strlen(reason));
    return known->reason ? known : NULL;
}

static bool read_material(struct list_reader *reader, int column, const char *cell, struct sg_list_row *row)
{
    const struct known_material *known = look_up(reader, cell);
    if (!known)
        return fail_memory(reader);
    row->material = known->index;
    row->material_name = known->ours;
    return known->index != SG_UNKNOWN || add_about_cell(reader, column, true, cell, known->reason);
}

/* The sentence of the field, and what is accepted if it does not say that itself. */
static bool say_wrong_value(struct list_reader *reader, int column, const char *cell, const char *sentence)
{
    char range[200], reason[600];
    sg_field_range(reader->columns[column].field, reader->shop, range, sizeof range);
    bool said = strstr(sentence, range) != NULL;
    snprintf(reason, sizeof reason, "%s%s%s", sentence, said ? "" : "; type ", said ? "" : range);
    return add_about_cell(reader, column, true, cell, reason);
}

static bool read_value(struct list_reader *reader, int column, const char *cell, struct sg_list_row *row)
{
    const struct sg_column *what = &reader->columns[column];
    struct sg_typed typed;
    if (what->bare)
        sg_field_read_unit(what->field, reader->shop, cell, what->bare, &typed);
    else
        sg_field_read(what->field, reader->shop, cell, &typed);
    if (typed.state != SG_PARSE_WHOLE)
        return say_wrong_value(reader, column, cell, typed.text);
    if (what->meaning == SG_COLUMN_THICKNESS) {
        row->thickness = typed.value.none ? (double)NAN : typed.value.number[0];
    } else {
        assert(what->index < (int)(sizeof row->has / sizeof *row->has));
        sg_field_put(what->field, &row->part, &typed.value);
        row->has[what->index] = true;
    }
    return typed.text[0] == '\0' || add_about_cell(reader, column, false, cell, typed.text);
}

/* The file is read when the row comes to the plan. */
static bool read_outline(struct list_reader *reader, int column, const char *cell, struct sg_list_row *row)
{
    (void)column;
    row->outline = sg_arena_text(&reader->list.arena, cell, strlen(cell));
    return row->outline || fail_memory(reader);
}

static bool read_cell(struct list_reader *reader, int column, const char *raw, struct sg_list_row *row)
{
    static bool (*const readers[])(struct list_reader *, int, const char *, struct sg_list_row *) = {
        [SG_COLUMN_PART] = read_part,       [SG_COLUMN_MATERIAL] = read_material,
        [SG_COLUMN_THICKNESS] = read_value, [SG_COLUMN_OUTLINE] = read_outline,
        [SG_COLUMN_FIELD] = read_value,
    };
    enum sg_column_meaning meaning = reader->columns[column].meaning;
    if (!readers[meaning])
        return true;
    const char *cell = reader->list.folder ? raw : sg_list_cell(&reader->list.arena, raw);
    if (!cell)
        return fail_memory(reader);
    if (*cell == '\0' && meaning != SG_COLUMN_PART)
        return true;
    return readers[meaning](reader, column, cell, row);
}

/* ---- a part stands in a list once ---- */

static uint32_t hash_row(const struct sg_list_row *row)
{
    uint64_t hash = hash_bytes(hash_start, row->part.id, strlen(row->part.id));
    hash = hash_bytes(hash, &row->material, sizeof row->material);
    if (sg_known(row->thickness)) /* all that is not known is alike */
        hash = hash_bytes(hash, &row->thickness, sizeof row->thickness);
    return (uint32_t)(hash ^ hash >> 32);
}

static bool same_part(const struct sg_list_row *a, const struct sg_list_row *b)
{
    bool same_thickness = sg_known(a->thickness) ? a->thickness == b->thickness : !sg_known(b->thickness);
    return a->material == b->material && same_thickness && strcmp(a->part.id, b->part.id) == 0;
}

/* The place of a row that is the same part, else a free one. */
static struct place *find_place(struct list_reader *reader, const struct sg_list_row *row, uint32_t hash)
{
    size_t at = hash & (reader->places_room - 1);
    for (;; at = (at + 1) & (reader->places_room - 1)) {
        struct place *place = &reader->places[at];
        if (!place->row || (place->hash == hash && same_part(&reader->list.rows[place->row - 1], row)))
            return place;
    }
}

/* At most half of the places are taken. */
static bool grow_places(struct list_reader *reader)
{
    if ((size_t)reader->list.n_rows * 2 < reader->places_room)
        return true;
    size_t old_room = reader->places_room, room = old_room ? old_room * 2 : 256;
    struct place *places = calloc(room, sizeof *places);
    if (!places)
        return fail_memory(reader);
    for (size_t i = 0; i < old_room; i++) {
        if (!reader->places[i].row)
            continue;
        size_t at = reader->places[i].hash & (room - 1);
        while (places[at].row)
            at = (at + 1) & (room - 1);
        places[at] = reader->places[i];
    }
    free(reader->places);
    reader->places = places;
    reader->places_room = room;
    return true;
}

static bool say_twice(struct list_reader *reader, const struct sg_list_row *row, int first_line)
{
    int column = 0;
    char reason[100];
    while (reader->columns[column].meaning != SG_COLUMN_PART)
        column++;
    snprintf(reason, sizeof reason, "stands in line %d already, in the same material and thickness",
             first_line);
    return add_about_cell(reader, column, true, row->part.id, reason);
}

/* ---- rows ---- */

static bool keep_row(struct list_reader *reader, const struct sg_list_row *row)
{
    struct sg_parts_list *list = &reader->list;
    if (!grow_places(reader))
        return false;
    uint32_t hash = hash_row(row);
    struct place *place = find_place(reader, row, hash);
    if (place->row)
        return say_twice(reader, row, list->rows[place->row - 1].line);
    struct sg_list_row *rows = grown(list->rows, &reader->rows_room, list->n_rows, sizeof *rows);
    if (!rows)
        return fail_memory(reader);
    list->rows = rows;
    rows[list->n_rows++] = *row;
    *place = (struct place){hash, list->n_rows};
    return true;
}

static bool keep_raw(struct list_reader *reader, const struct sg_csv_row *row)
{
    struct sg_parts_list *list = &reader->list;
    struct sg_list_raw *raw = grown(list->raw, &reader->raw_room, list->n_raw, sizeof *raw);
    if (raw)
        list->raw = raw;
    const char *const *cells = sg_list_cells(&list->arena, row);
    if (!raw || !cells)
        return fail_memory(reader);
    raw[list->n_raw++] = (struct sg_list_raw){.line = row->line, .n_cells = row->n_cells, .cells = cells};
    return true;
}

/* Cells up to the last that is not empty. */
static int filled_cells(const struct sg_csv_row *row)
{
    int n = row->n_cells;
    while (n > 0 && row->cells[n - 1][strspn(row->cells[n - 1], " \t")] == '\0')
        n--;
    return n;
}

static bool say_count(struct list_reader *reader, const struct sg_csv_row *row)
{
    reader->scratch.length = 0;
    sg_text_format(&reader->scratch, "row has %d cell%s, the header %d", row->n_cells,
                   row->n_cells == 1 ? "" : "s", reader->list.n_header);
    return add_finding(reader, row->line, 0, true);
}

static bool take_row(struct list_reader *reader, const struct sg_csv_row *row)
{
    struct sg_parts_list *list = &reader->list;
    struct sg_list_row read = {
        .line = row->line, .part = sg_fresh_part, .material = SG_UNKNOWN, .thickness = (double)NAN};
    int filled = filled_cells(row);
    if (filled == 0)
        return true;
    if (!keep_raw(reader, row))
        return false;
    if (list->unmatched)
        return true;
    if (row->n_cells < list->n_header || filled > list->n_header)
        return say_count(reader, row);
    const struct sg_list_raw *raw = &list->raw[list->n_raw - 1];
    for (int i = 0; i < list->n_header; i++)
        if (!read_cell(reader, i, raw->cells[i], &read))
            return false;
    return raw->bad || keep_row(reader, &read);
}

/* ---- the header ---- */

static bool say_columns(struct list_reader *reader, int line)
{
    struct sg_text *text = &reader->scratch;
    const struct sg_parts_list *list = &reader->list;
    int n = list->n_header;
    for (int i = 0; i < n + (list->unmatched ? 0 : SG_COLUMNS_NEEDED); i++) {
        text->length = 0;
        sg_columns_say(reader->columns, list->header, n, reader->how->grouped, i, text);
        if ((text->length > 0 || text->failed) && !add_finding(reader, line, i < n ? i + 1 : 0, false))
            return false;
    }
    return true;
}

static bool tell_columns(struct list_reader *reader)
{
    struct sg_parts_list *list = &reader->list;
    list->columns = sg_arena_take(&list->arena, (size_t)list->n_header * sizeof *list->columns);
    for (int i = 0; i < list->n_header && list->columns; i++) {
        const struct sg_column *column = &reader->columns[i];
        list->columns[i] = (struct sg_list_column){.name = column->name,
                                                   .told = column->meaning == SG_COLUMN_LEFT_OUT,
                                                   .field = column->field,
                                                   .unit = column->bare,
                                                   .unit_from_header = column->from_header};
    }
    return list->columns || fail_memory(reader);
}

static bool take_header(struct list_reader *reader, const struct sg_csv_row *row)
{
    struct sg_parts_list *list = &reader->list;
    int n = filled_cells(row);
    if (n == 0)
        return true;
    struct sg_csv_row used = {row->line, n, row->cells, row->lengths};
    const char *const *raw = sg_list_cells(&list->arena, &used);
    const char **header = sg_arena_take(&list->arena, (size_t)n * sizeof *header);
    if (!raw || !header)
        return fail_memory(reader);
    for (int i = 0; i < n; i++)
        header[i] = list->folder ? raw[i] : sg_csv_unguard(raw[i]);
    list->header = header;
    list->n_header = n;
    reader->status = sg_columns_match(list->name, row->line, header, n, reader->how, reader->columns,
                                      &list->unmatched, reader->error);
    return reader->status == SG_OK && tell_columns(reader) && say_columns(reader, row->line);
}

static bool take(void *context, const struct sg_csv_row *row)
{
    struct list_reader *reader = context;
    if (row->n_cells == SG_CSV_MAX_FIELDS) { /* the file of bad rows has one more */
        reader->status = sg_fail(reader->error, SG_BAD_DATA, "%s:%d: more than %d cells in a row",
                                 reader->list.name, row->line, SG_CSV_MAX_FIELDS - 1);
        return false;
    }
    return reader->list.header ? take_row(reader, row) : take_header(reader, row);
}

/* ---- the list ---- */

static enum sg_status read_list(struct list_reader *reader, const char *data, size_t length)
{
    char *text = NULL;
    size_t text_length = 0;
    struct sg_error inner = {SG_OK, ""};
    struct sg_parts_list *list = &reader->list;
    const char *name = list->name;
    enum sg_status status =
        sg_decode(data, length, reader->how->encoding, &text, &text_length, &list->encoding, &inner);
    if (status != SG_OK)
        return sg_fail(reader->error, status, "%s: %s", name, inner.text);
    status = sg_csv_read(name, text, text_length, reader->how->separator, take, reader, &list->separator,
                         reader->error);
    free(text);
    if (status != SG_OK || reader->status != SG_OK)
        return status != SG_OK ? status : reader->status;
    if (!list->header)
        return sg_fail(reader->error, SG_BAD_DATA,
                       "%s is empty: a parts list begins with a row of column names", name);
    return SG_OK;
}

static struct list_reader *new_reader(const char *name, const struct sg_shop *shop,
                                      const struct sg_list_how *how, struct sg_error *error)
{
    struct list_reader *reader = calloc(1, sizeof *reader);
    if (!reader || !(reader->list.name = sg_arena_text(&reader->list.arena, name, strlen(name)))) {
        sg_fail(error, SG_FAULT, "no memory to read %s", name);
        free(reader);
        return NULL;
    }
    reader->shop = shop;
    reader->how = how;
    reader->error = error;
    return reader;
}

static enum sg_status finish(struct list_reader *reader, enum sg_status status, struct sg_parts_list *out)
{
    if (status == SG_OK)
        *out = reader->list;
    else
        sg_parts_list_free(&reader->list);
    sg_text_free(&reader->scratch);
    free(reader->places);
    free(reader);
    return status;
}

enum sg_status sg_parts_list_read(const char *name, const char *data, size_t length,
                                  const struct sg_shop *shop, const struct sg_list_how *how,
                                  struct sg_parts_list *out, struct sg_error *error)
{
    struct list_reader *reader = new_reader(name, shop, how, error);
    return reader ? finish(reader, read_list(reader, data, length), out) : SG_FAULT;
}

enum sg_status sg_parts_list_cells(const char *name, int n_columns, int n_rows,
                                   void (*cells)(const void *context, int row, const char **cells),
                                   const void *context, const struct sg_shop *shop,
                                   const struct sg_list_how *how, struct sg_parts_list *out,
                                   struct sg_error *error)
{
    const char *texts[SG_CSV_MAX_FIELDS];
    size_t lengths[SG_CSV_MAX_FIELDS];
    struct list_reader *reader = new_reader(name, shop, how, error);
    if (!reader)
        return SG_FAULT;
    reader->list.folder = true;
    reader->list.separator = ',';
    bool good = true;
    for (int i = 0; i < n_rows && good; i++) {
        cells(context, i, texts);
        for (int k = 0; k < n_columns; k++)
            lengths[k] = strlen(texts[k]);
        good = take(reader, &(struct sg_csv_row){i, n_columns, texts, lengths});
    }
    return finish(reader, reader->status, out);
}

void sg_parts_list_free(struct sg_parts_list *list)
{
    free(list->rows);
    free(list->findings);
    free(list->raw);
    sg_arena_free(&list->arena);
    *list = (struct sg_parts_list){.n_rows = 0};
}
