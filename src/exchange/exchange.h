/* What crosses the border: parts lists in; tables, JSON and text out.
 *
 * Nothing here knows the shop file or the model. Files in are read whole, decoded to UTF-8 and handed on row
 * by row; files out are built in memory and written whole or not at all. */
#ifndef SANDGLASS_EXCHANGE_H
#define SANDGLASS_EXCHANGE_H

#include "sandglass/arena.h"
#include "sandglass/field.h"
#include "sandglass/shop.h"
#include "sandglass/status.h"
#include "sandglass/utf8.h"

/* ---- text that grows (text.c) ---- */

/* Bytes under construction. Start with {0}. When memory is out it stays `failed` and takes nothing more, so
 * that a writer checks once, at the end. Free with sg_text_free. */
struct sg_text {
    char *data; /* always ends in NUL once anything was added */
    size_t length, room;
    bool failed;
};
void sg_text_add(struct sg_text *text, const char *bytes, size_t length);
void sg_text_put(struct sg_text *text, const char *string);
void sg_text_format(struct sg_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void sg_text_free(struct sg_text *text);

/* Add a text as it may be shown in a line of a terminal: up to `most` characters, then "..."; control
 * characters and marks that turn the direction of writing as escapes, bytes that are no UTF-8 as U+FFFD. */
void sg_text_shown(struct sg_text *out, const char *text, int most);
#define SG_REPLACEMENT "\xEF\xBF\xBD" /* U+FFFD */

/* ---- files (files.c) ---- */

/* Read a whole file, "-" is standard input. SG_NO_FILE with the reason; files over `limit` bytes are
 * SG_BAD_DATA. Free *data with free(). It ends in a NUL that is not counted. */
enum sg_status sg_file_read(const char *path, size_t limit, char **data, size_t *length,
                            struct sg_error *error);

/* Write a whole file: beside the target, synced, renamed over it. Refuses to replace an existing file unless
 * `replace`; then it follows a link, keeps the file's mode and refuses what is no regular file. On failure
 * the target is as it was and nothing is left beside it. */
enum sg_status sg_file_write(const char *path, const char *data, size_t length, bool replace,
                             struct sg_error *error);

/* ---- character sets (decode.c) ---- */

/* Turn the bytes of an office's file into UTF-8 without byte order mark. name is what --encoding said, or
 * NULL: a byte order mark, else UTF-16 by its zero bytes, else valid UTF-8, else Windows-1252 where every
 * byte is defined there; otherwise SG_BAD_DATA with the byte's place. NUL characters are refused. Free *out
 * with free(); *used (may be NULL) names the character set taken. Names, whatever the case: utf-8, utf-16,
 * utf-16le, utf-16be, windows-1252, latin-1; another one is SG_USAGE. */
enum sg_status sg_decode(const char *data, size_t length, const char *name, char **out, size_t *out_length,
                         const char **used, struct sg_error *error);

/* ---- CSV in (csv_read.c) ---- */

enum { SG_CSV_MAX_FIELDS = 256, SG_CSV_MAX_CELL = 100000, SG_CSV_MAX_ROWS = 1000000 };

struct sg_csv_row {
    int line; /* of its first character, 1 is the first line of the file */
    int n_cells;
    const char *const *cells; /* borrowed until the callback returns; the guard apostrophe is still on */
    const size_t *lengths;
};

/* Read RFC 4180 text (comma, semicolon or tab; 0: found by counting in the first line outside quotes), as
 * sg_decode leaves it. Blank lines are skipped; blanks around a cell are kept. row returns false to stop. A
 * text that is no such CSV (a quote in the wrong place, one left open, something over the limits, NUL) is
 * SG_BAD_DATA and names `name`:line. */
enum sg_status sg_csv_read(const char *name, const char *text, size_t length, char separator,
                           bool (*row)(void *context, const struct sg_csv_row *row), void *context,
                           char *separator_used, struct sg_error *error);

/* ---- CSV out (csv_write.c) ---- */

struct sg_csv_style {
    char separator; /* ',' or ';' */
    char decimal;   /* '.' or ',' */
};
extern const struct sg_csv_style sg_csv_plain; /* RFC 4180, comma and point */
extern const struct sg_csv_style
    sg_csv_spreadsheet; /* semicolon and decimal comma; the caller adds the mark */

/* One cell; the caller puts the separators with sg_csv_next and ends a row with sg_csv_end (CRLF). A text
 * cell that a spreadsheet would run is guarded with an apostrophe (design: = + - @ TAB CR LF and full-width
 * forms after any leading apostrophes, unless the whole cell is a plain number). A number that is not known
 * is an empty cell. */
void sg_csv_text(struct sg_text *out, const struct sg_csv_style *style, const char *cell);
void sg_csv_number(struct sg_text *out, const struct sg_csv_style *style, double value);
void sg_csv_whole(struct sg_text *out, const struct sg_csv_style *style, int64_t value);
void sg_csv_next(struct sg_text *out, const struct sg_csv_style *style);
void sg_csv_end(struct sg_text *out);

/* Take the guard off again: at most one apostrophe, and only where sg_csv_text would have put it. Returns
 * where the text starts now (cell or cell + 1), so that import(export(x)) is x. */
const char *sg_csv_unguard(const char *cell);

/* Whether a spreadsheet that opens the file without being told may take a text cell (guard off) for something
 * else and show it changed: a number written otherwise (00417, 1E5, 1.50), a date (3-4, 3/4, MAR1), a time, a
 * fraction, true or false (csv_risk.c). */
bool sg_csv_may_change(const char *cell);

/* The first of 15, 16 or 17 digits of a finite value that reads back to the same bits, as snprintf returns;
 * 32 bytes do. */
int sg_shortest(double value, char *out, size_t size);

/* ---- JSON out (json.c) ---- */

/* A writer that puts the commas itself. Names and texts are escaped, bytes that are no UTF-8 become U+FFFD;
 * numbers are sg_shortest; not known (NaN) and infinite are null. */
struct sg_json {
    struct sg_text *out;
    int depth;
    bool first[32]; /* nothing written yet at this depth; deeper is a bug */
};
void sg_json_start(struct sg_json *json, struct sg_text *out); /* opens the object and writes "format": 1 */
void sg_json_finish(struct sg_json *json);                     /* closes it and ends the line */
void sg_json_object(struct sg_json *json, const char *name);   /* name NULL inside an array */
void sg_json_array(struct sg_json *json, const char *name);
void sg_json_end_object(struct sg_json *json);
void sg_json_end_array(struct sg_json *json);
void sg_json_text(struct sg_json *json, const char *name, const char *value); /* NULL is null */
void sg_json_number(struct sg_json *json, const char *name, double value);
void sg_json_whole(struct sg_json *json, const char *name, int64_t value);
void sg_json_yes(struct sg_json *json, const char *name, bool value);
void sg_json_null(struct sg_json *json, const char *name);

/* ---- the parts list (parts_list.c) ---- */

/* One good row, ready to become a part. Strings lie in the arena of the list. */
struct sg_list_row {
    int line;
    struct sg_part part; /* defaults where the file has no column or an empty cell; id is never empty */
    bool has[32];        /* by index of the field in sg_fields(SG_KIND_PART): the file said it */
    int32_t material;    /* index into shop->materials, SG_UNKNOWN: the file does not say */
    const char
        *material_name;  /* its name, which stays when the shop is read anew; NULL: the file does not say */
    double thickness;    /* mm, NaN: the file does not say */
    const char *outline; /* file of its drawing or part program, as typed; NULL: the file does not say */
};

/* One finding. Bad rows have one for each bad cell. */
struct sg_list_finding {
    int line, column; /* both from 1; column 0: the whole row */
    bool bad;         /* the row is left out; else only worth saying (a comma read as a point) */
    int row;          /* index into raw rows, -1: the header */
    const char *text; /* with what would be right */
};

/* A row as it stands in the file, for the file of bad rows; the guard is on. */
struct sg_list_raw {
    int line, n_cells;
    bool bad;
    const char *refused; /* by sg_parts_list_refuse, or NULL */
    const char *remark;  /* by sg_parts_list_remark, or NULL */
    const char *const *cells;
};

/* What becomes of a column of the file. */
struct sg_list_column {
    const char *name;             /* ours; NULL: left out */
    bool told;                    /* left out because somebody said so; else it is not known */
    const struct sg_field *field; /* what its cells are read as; NULL: the part's key, the material, an
                                     outline, nothing */
    const struct sg_unit *unit;   /* of a number without one; NULL: the shop's */
    bool unit_from_header;        /* else it was said with the column of ours */
};

struct sg_parts_list {
    struct sg_arena arena;
    const char *name;     /* of the file or folder, for sentences */
    bool folder;          /* each row is a file of it; cells stand as they are, without guard */
    const char *encoding; /* as decoded; NULL: of a folder */
    char separator;
    int n_rows, n_raw, n_bad, n_findings;
    struct sg_list_row *rows;         /* the good ones, in file order */
    struct sg_list_finding *findings; /* in file order */
    const char *const *header;        /* as in the file, guard off; empty ones at the end are none */
    int n_header;
    struct sg_list_column *columns; /* as many as the header has */
    bool unmatched; /* the header is not enough to read rows by (how->any_header): none is good or bad */
    struct sg_list_raw *raw; /* every row but blank ones, in file order */
};

/* How to read it. */
struct sg_list_how {
    const char *encoding; /* or NULL */
    char separator;       /* or 0 */
    const char *map; /* "Qty req=quantity,Thk=thickness_in,Rev=" : header = column of ours, empty leaves out;
                        one CSV row, so that a header with a comma stands in quotes; or NULL */
    const char *const *goes_to; /* stronger than header and map, by the place of the column in the file:
                                   column of ours, "" leaves out, NULL is not said. Where no unit is said with
                                   it, one at the end of the header counts ("Perimeter in"). Or NULL */
    int n_goes_to;
    bool grouped; /* rows go to the stocks of their material and thickness: where a column of these is missing
                     that is said */
    bool
        any_header; /* read on where a column of ours stands twice or `part` nowhere: the list is unmatched */
};

/* Read a parts list. Columns in any order, by the names of the contract with _mm, _in, _m, _ft behind a
 * length (and _mm2, _in2 behind area) as its unit; header names match whatever the case, with blanks, hyphens
 * brackets and stops as underscores, so that "Length (mm)" is length_mm. Usual other names are known too
 * (Qty, Thk, Matl, Desc); one that may mean something else (No., Item, L) counts only where no other column
 * is that, and is said. A column of another name is left out and said, and so is that no column is the
 * quantity (a finding of the header, column 0). An empty cell is not said; a row of empty cells is none;
 * lines within a text end in LF. The whole file is bad (SG_BAD_DATA) when it cannot be read as a table, has
 * no header, no `part` column, a column twice, or not a header that the map names (a map or a character set
 * that is wrong in itself is SG_USAGE); a bad row is a finding, and reading goes on to the end. A part that
 * stands twice in the file (in the same material and thickness) is bad in its second place. Free with
 * sg_parts_list_free. */
enum sg_status sg_parts_list_read(const char *name, const char *data, size_t length,
                                  const struct sg_shop *shop, const struct sg_list_how *how,
                                  struct sg_parts_list *out, struct sg_error *error);
void sg_parts_list_free(struct sg_parts_list *list);

/* The drawings and part programs in a folder (.dxf .nc .iso .ngc .tap) as a parts list: columns part, outline
 * (the path) and quantity 1, a row for each file, by name; `line` is the number of the row. Of `how`,
 * encoding and separator say nothing here. SG_NO_FILE: it cannot be read; SG_BAD_DATA: there is none in it.
 * (folder.c) */
bool sg_is_folder(const char *path);
enum sg_status sg_parts_list_folder(const char *path, const struct sg_shop *shop,
                                    const struct sg_list_how *how, struct sg_parts_list *out,
                                    struct sg_error *error);

/* Where a finding of a row stands, for the beginning of a line: "list.csv:3:2", of a folder the file. row is
 * the index of the raw row, -1: the header. */
void sg_parts_list_place(const struct sg_parts_list *list, int row, int line, int column,
                         struct sg_text *out);

/* Make good row `row` bad: the plan cannot take it, and text says why. False when memory is out. */
bool sg_parts_list_refuse(struct sg_parts_list *list, int row, const char *text);

/* Note that there is something to look at in a good row, as the plan says. False when memory is out. */
bool sg_parts_list_remark(struct sg_parts_list *list, int row, const char *text);

/* The raw row of a good one. */
int sg_parts_list_raw(const struct sg_parts_list *list, int row);

/* ---- a parts list as it is looked at before it is taken (list_look.c) ---- */

/* The first cell of a column that is not empty, guard and blanks around it off, cut to fit; "" where there is
 * none. */
void sg_parts_list_example(const struct sg_parts_list *list, int column, char *out, size_t size);

/* How a cell reads in its column, "0.5 in", or why it does not; false then. *own_unit (may be NULL) says that
 * the cell itself names its unit. */
bool sg_parts_list_reads(const struct sg_parts_list *list, const struct sg_shop *shop, int column,
                         const char *cell, char *out, size_t size, bool *own_unit);

/* The decimal marks that stand in its columns of numbers: "decimal point", "decimal comma", "decimal point
 * and comma", "no decimals". */
const char *sg_parts_list_decimals(const struct sg_parts_list *list);

/* Whether the header itself looks like a row of data: one of its cells is a number. */
bool sg_parts_list_headless(const struct sg_parts_list *list);

/* The columns of ours by number, lengths and areas with their units too, and what they mean; false behind the
 * last. *name lies in `room`. */
enum { SG_LIST_NAME = 64 };
bool sg_list_goal(int index, char room[SG_LIST_NAME], const char **name, const char **meaning);

/* ---- the bad rows (bad_rows.c) ---- */

/* The bad rows as CSV with the file's separator: the file's columns and a last one, `reason` (bad_rows.c). */
void sg_parts_list_bad(const struct sg_parts_list *list, struct sg_text *out);

#endif
