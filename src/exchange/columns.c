/* The header of a parts list. */
#include "exchange/columns.h"

#include <stdio.h>
#include <string.h>

enum { NAME_SIZE = 64, MAX_MAPPINGS = SG_CSV_MAX_FIELDS };

/* ---- names ---- */

/* Brackets and stops too, so that "Length (mm)" is length_mm and "Qty. req." qty_req. */
static bool joins_words(char byte)
{
    return byte != '\0' && strchr(" \t\r\n-_()[].,:", byte);
}

/* The next byte of a name as names are compared: lower case, each run of what joins words one
 * underscore, none at the ends. 0 at the end. */
static char next_byte(const char **at, bool first)
{
    const char *start = *at, *word = start;
    while (joins_words(*word))
        word++;
    if (word > start && *word != '\0' && !first) {
        *at = word;
        return '_';
    }
    *at = *word ? word + 1 : word;
    return *word >= 'A' && *word <= 'Z' ? (char)(*word + 'a' - 'A') : *word;
}

static bool same_name(const char *a, const char *b)
{
    for (bool first = true;; first = false) {
        char x = next_byte(&a, first), y = next_byte(&b, first);
        if (x != y || x == '\0')
            return x == y;
    }
}

/* The name as it is compared; false if it is too long to be one of ours. */
static bool plain_name(const char *name, char out[NAME_SIZE])
{
    for (size_t length = 0; length < NAME_SIZE; length++) {
        out[length] = next_byte(&name, length == 0);
        if (out[length] == '\0')
            return true;
    }
    return false;
}

/* ---- our columns ---- */

static bool find_exact(const char *name, struct sg_column *out)
{
    static const struct sg_column own[] = {{.meaning = SG_COLUMN_PART, .name = "part"},
                                           {.meaning = SG_COLUMN_MATERIAL, .name = "material"},
                                           {.meaning = SG_COLUMN_THICKNESS, .name = "thickness"},
                                           {.meaning = SG_COLUMN_OUTLINE, .name = "outline"}};
    for (size_t i = 0; i < sizeof own / sizeof *own; i++)
        if (strcmp(name, own[i].name) == 0) {
            *out = own[i];
            if (out->meaning == SG_COLUMN_THICKNESS)
                out->field = sg_field_find(SG_KIND_STOCK, out->name);
            return true;
        }
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count),
                          *field = sg_field_find(SG_KIND_PART, name);
    if (field)
        *out = (struct sg_column){
            .meaning = SG_COLUMN_FIELD, .name = field->name, .field = field, .index = (int)(field - fields)};
    return field != NULL;
}

/* A unit behind a name: thickness_in, area_mm2, feed_in_min. */
static const struct sg_unit *find_unit(const struct sg_field *field, const char *spelled)
{
    char name[NAME_SIZE];
    size_t length = strlen(spelled);
    memcpy(name, spelled, length + 1);
    for (char *mark = strchr(name, '_'); mark; mark = strchr(mark, '_'))
        *mark = '/';
    const struct sg_unit *unit = sg_unit_find(name, length);
    return unit && unit->dimension == field->dimension ? unit : NULL;
}

/* A name as we spell it, or with a spelling as that has it. */
static bool find_spelled(const char *plain, const struct sg_spelling *spelling, struct sg_column *out)
{
    return spelling ? strcmp(plain, spelling->spelled) == 0 && find_exact(spelling->ours, out)
                    : find_exact(plain, out);
}

/* The same with or without a unit behind it. */
static bool find_column(const char *name, const struct sg_spelling *spelling, struct sg_column *out)
{
    char plain[NAME_SIZE];
    if (!plain_name(name, plain))
        return false;
    if (find_spelled(plain, spelling, out))
        return true;
    for (char *cut = strchr(plain, '_'); cut; cut = strchr(cut + 1, '_')) {
        *cut = '\0';
        bool found = find_spelled(plain, spelling, out) && out->field;
        out->bare = found ? find_unit(out->field, cut + 1) : NULL;
        *cut = '_';
        if (out->bare)
            return true;
    }
    return false;
}

/* ---- how others spell them ---- */

/* Columns that are not known yet and spelled so go there. */
static void give_spelled(const char *const *header, int n_header, const struct sg_spelling *spelling,
                         struct sg_column *columns)
{
    for (int i = 0; i < n_header; i++) {
        struct sg_column column = {.meaning = SG_COLUMN_UNKNOWN};
        if (columns[i].meaning != SG_COLUMN_UNKNOWN || !find_column(header[i], spelling, &column))
            continue;
        column.from_header = column.bare != NULL;
        column.guessed = spelling->guess;
        columns[i] = column;
        if (spelling->guess)
            return; /* one is enough */
    }
}

/* What the office calls otherwise gives way to what bears our name. Two columns that are surely the same are
 * both given, and found to be twice. */
static void give_others(const char *const *header, int n_header, struct sg_column *columns)
{
    bool ours[SG_SPELLINGS];
    for (int i = 0; i < SG_SPELLINGS; i++)
        ours[i] = sg_columns_have(columns, n_header, sg_spellings[i].ours);
    for (int i = 0; i < SG_SPELLINGS; i++) {
        const struct sg_spelling *spelling = &sg_spellings[i];
        if (spelling->guess ? !sg_columns_have(columns, n_header, spelling->ours) : !ours[i])
            give_spelled(header, n_header, spelling, columns);
    }
}

static void list_columns(struct sg_text *out)
{
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    sg_text_put(out, "part, material, thickness");
    for (int i = 0; i < count; i++)
        sg_text_format(out, ", %s", fields[i].name);
    sg_text_put(out, "; a length may end in _mm, _in, _m or _ft");
}

/* Fail with a list behind the sentence, and free it. */
static enum sg_status fail_with_list(struct sg_error *error, enum sg_status status, const char *sentence,
                                     struct sg_text *list)
{
    sg_fail(error, status, "%s%s", sentence, list->failed ? "" : list->data);
    sg_text_free(list);
    return status;
}

/* ---- the map ---- */

struct mapping {
    const char *header; /* in the arena of the map */
    struct sg_column column;
    bool used;
};

struct map {
    struct sg_arena arena;
    struct mapping mappings[MAX_MAPPINGS];
    int n;
    enum sg_status status;
    struct sg_error *error;
};

static enum sg_status add_mapping(struct map *map, const char *cell, size_t length)
{
    char *header = sg_arena_text(&map->arena, cell, length);
    char *equals = header ? strrchr(header, '=') : NULL, sentence[200];
    if (!header)
        return sg_fail(map->error, SG_FAULT, "no memory for --map");
    if (!equals || map->n == MAX_MAPPINGS)
        return sg_fail(map->error, SG_USAGE,
                       "--map \"%.100s\": type HEADER=COLUMN, at most %d of them with commas between", cell,
                       (int)MAX_MAPPINGS);
    *equals = '\0';
    struct mapping *mapping = &map->mappings[map->n++];
    *mapping = (struct mapping){.header = header, .column.meaning = SG_COLUMN_LEFT_OUT};
    for (int i = 0; i + 1 < map->n; i++)
        if (same_name(map->mappings[i].header, header))
            return sg_fail(map->error, SG_USAGE, "--map names the header \"%.100s\" twice", header);
    if (equals[1 + strspn(equals + 1, " \t")] == '\0' || find_column(equals + 1, NULL, &mapping->column))
        return SG_OK;
    struct sg_text list = {0};
    list_columns(&list);
    snprintf(sentence, sizeof sentence, "--map: \"%.100s\" is no column; columns are ", equals + 1);
    return fail_with_list(map->error, SG_USAGE, sentence, &list);
}

static bool take_mappings(void *context, const struct sg_csv_row *row)
{
    struct map *map = context;
    for (int i = 0; i < row->n_cells && map->status == SG_OK; i++)
        if (row->lengths[i] > 0)
            map->status = add_mapping(map, row->cells[i], row->lengths[i]);
    return map->status == SG_OK;
}

static enum sg_status read_map(const char *text, struct map *map, struct sg_error *error)
{
    map->error = error;
    if (!text)
        return SG_OK;
    enum sg_status status = sg_csv_read("--map", text, strlen(text), ',', take_mappings, map, NULL, error);
    if (status == SG_BAD_DATA && error)
        error->status = SG_USAGE;
    return status == SG_BAD_DATA ? SG_USAGE : status == SG_OK ? map->status : status;
}

static struct mapping *find_mapping(struct map *map, const char *header)
{
    for (int i = 0; i < map->n; i++)
        if (same_name(map->mappings[i].header, header))
            return &map->mappings[i];
    return NULL;
}

/* ---- the header ---- */

static void give_meanings(const char *const *header, int n_header, struct map *map, struct sg_column *columns)
{
    for (int i = 0; i < n_header; i++) {
        struct mapping *mapping = find_mapping(map, header[i]);
        columns[i] = (struct sg_column){.meaning = SG_COLUMN_UNKNOWN};
        if (mapping) {
            columns[i] = mapping->column;
            mapping->used = true;
        } else if (!find_column(header[i], NULL, &columns[i])) {
            columns[i] = (struct sg_column){.meaning = SG_COLUMN_UNKNOWN};
        } else {
            columns[i].from_header = columns[i].bare != NULL;
        }
    }
}

/* A unit that ends the header of a column: "Perimeter in". */
static const struct sg_unit *unit_at_end(const char *header, const struct sg_field *field)
{
    char plain[NAME_SIZE];
    if (!field || !plain_name(header, plain))
        return NULL;
    for (const char *cut = strchr(plain, '_'); cut; cut = strchr(cut + 1, '_')) {
        const struct sg_unit *unit = find_unit(field, cut + 1);
        if (unit)
            return unit;
    }
    return NULL;
}

static enum sg_status send_column(const char *header, const char *goes_to, struct sg_column *column,
                                  struct sg_error *error)
{
    *column = (struct sg_column){.meaning = SG_COLUMN_LEFT_OUT};
    if (goes_to[0] == '\0')
        return SG_OK;
    if (find_column(goes_to, NULL, column)) {
        column->from_header = !column->bare && (column->bare = unit_at_end(header, column->field));
        return SG_OK;
    }
    char sentence[200];
    struct sg_text list = {0};
    list_columns(&list);
    snprintf(sentence, sizeof sentence, "\"%.100s\" is no column; columns are ", goes_to);
    return fail_with_list(error, SG_USAGE, sentence, &list);
}

static enum sg_status send_columns(const char *const *header, int n_header, const struct sg_list_how *how,
                                   struct sg_column *columns, struct sg_error *error)
{
    enum sg_status status = SG_OK;
    for (int i = 0; i < n_header && i < how->n_goes_to && status == SG_OK; i++)
        if (how->goes_to[i])
            status = send_column(header[i], how->goes_to[i], &columns[i], error);
    return status;
}

static enum sg_status check_map_used(const char *name, int line, const char *const *header, int n_header,
                                     const struct map *map, struct sg_error *error)
{
    for (int i = 0; i < map->n; i++) {
        if (map->mappings[i].used)
            continue;
        char sentence[400];
        struct sg_text list = {0};
        snprintf(sentence, sizeof sentence,
                 "%.200s:%d: --map names a header \"%.100s\" that is not there; there is ", name, line,
                 map->mappings[i].header);
        for (int k = 0; k < n_header; k++)
            sg_text_format(&list, "%s\"%s\"", k ? ", " : "", header[k]);
        return fail_with_list(error, SG_BAD_DATA, sentence, &list);
    }
    return SG_OK;
}

static enum sg_status check_once(const char *name, int line, const char *const *header, int n_header,
                                 const struct sg_column *columns, struct sg_error *error)
{
    for (int i = 0; i < n_header; i++)
        for (int k = 0; k < i; k++)
            if (columns[i].name && columns[k].name && strcmp(columns[i].name, columns[k].name) == 0)
                return sg_fail(
                    error, SG_BAD_DATA,
                    "%s:%d: column %d \"%.60s\" and column %d \"%.60s\" are both %s; leave one out with "
                    "--map \"HEADER=\"",
                    name, line, k + 1, header[k], i + 1, header[i], columns[i].name);
    return SG_OK;
}

static enum sg_status check_part(const char *name, int line, int n_header, const struct sg_column *columns,
                                 struct sg_error *error)
{
    for (int i = 0; i < n_header; i++)
        if (columns[i].meaning == SG_COLUMN_PART)
            return SG_OK;
    char sentence[400];
    struct sg_text list = {0};
    list_columns(&list);
    snprintf(sentence, sizeof sentence,
             "%.200s:%d: the header has no column \"part\" (--map \"HEADER=part\" names it); columns are ",
             name, line);
    return fail_with_list(error, SG_BAD_DATA, sentence, &list);
}

static enum sg_status check_columns(const char *name, int line, const char *const *header, int n_header,
                                    const struct sg_column *columns, struct sg_error *error)
{
    enum sg_status status = check_once(name, line, header, n_header, columns, error);
    return status == SG_OK ? check_part(name, line, n_header, columns, error) : status;
}

enum sg_status sg_columns_match(const char *name, int line, const char *const *header, int n_header,
                                const struct sg_list_how *how, struct sg_column *columns, bool *unmatched,
                                struct sg_error *error)
{
    struct map map = {.n = 0};
    enum sg_status status = read_map(how->map, &map, error);
    if (status == SG_OK) {
        give_meanings(header, n_header, &map, columns);
        status = check_map_used(name, line, header, n_header, &map, error);
    }
    sg_arena_free(&map.arena);
    if (status == SG_OK)
        status = send_columns(header, n_header, how, columns, error);
    if (status != SG_OK)
        return status;
    give_others(header, n_header, columns);
    status = check_columns(name, line, header, n_header, columns, error);
    *unmatched = status == SG_BAD_DATA && how->any_header;
    return *unmatched ? SG_OK : status;
}
