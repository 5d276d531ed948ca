#include "exchange/exchange.h"

#include <csv.h>
#include <string.h>

/* The parser gets one physical line at a time, in pieces of at most PIECE bytes: so the line of an error is
 * known and a cell over the limit stops it early. */
enum { PIECE = 64 * 1024, BLOCK = 4096 };

struct reader {
    const char *name;
    bool (*row)(void *context, const struct sg_csv_row *row);
    void *context;
    struct sg_text bytes; /* the cells of the row, a NUL behind each */
    size_t starts[SG_CSV_MAX_FIELDS], lengths[SG_CSV_MAX_FIELDS];
    const char *cells[SG_CSV_MAX_FIELDS];
    int n_cells, n_rows;
    int line, row_line; /* being read; of the first character of the row */
    bool in_row, stop;
    const char *trouble; /* NULL: none; else why the text is refused, at row_line */
};

static void take_cell(void *cell, size_t length, void *context)
{
    struct reader *reader = context;
    if (reader->trouble)
        return;
    if (reader->n_cells == SG_CSV_MAX_FIELDS) {
        reader->trouble = "more than 256 cells in a row";
        return;
    }
    size_t guard = length == SG_CSV_MAX_CELL + 1 && sg_csv_unguard(cell) != cell; /* not counted */
    if (length > SG_CSV_MAX_CELL + guard) {
        reader->trouble = "a cell of more than 100000 bytes";
        return;
    }
    reader->starts[reader->n_cells] = reader->bytes.length;
    reader->lengths[reader->n_cells++] = length;
    sg_text_add(&reader->bytes, cell, length + 1);
}
_Static_assert(SG_CSV_MAX_FIELDS == 256 && SG_CSV_MAX_CELL == 100000, "the sentences above say these");

static void take_row(int end, void *context)
{
    struct reader *reader = context;
    (void)end;
    reader->in_row = false;
    if (++reader->n_rows > SG_CSV_MAX_ROWS && !reader->trouble)
        reader->trouble = "more than 1000000 rows";
    if (reader->trouble || reader->bytes.failed)
        return;
    for (int i = 0; i < reader->n_cells; i++)
        reader->cells[i] = reader->bytes.data + reader->starts[i];
    struct sg_csv_row row = {reader->row_line, reader->n_cells, reader->cells, reader->lengths};
    reader->stop = !reader->row(reader->context, &row);
    reader->n_cells = 0;
    reader->bytes.length = 0;
}
_Static_assert(SG_CSV_MAX_ROWS == 1000000, "the sentence above says this");

/* RFC 4180: blanks belong to the cell. */
static int never_a_blank(unsigned char byte)
{
    (void)byte;
    return 0;
}

static bool ends_line(char byte)
{
    return byte == '\n' || byte == '\r';
}

/* Bytes of the line with its CR, LF or CR LF. */
static size_t line_length(const char *text, size_t left)
{
    size_t length = 0;
    while (length < left && !ends_line(text[length]))
        length++;
    if (length + 1 < left && text[length] == '\r' && text[length + 1] == '\n')
        return length + 2;
    return length < left ? length + 1 : left;
}

/* A quote that is left open is found far behind its row, so the row is named too. */
static enum sg_status fail_quote(const struct reader *reader, char found, struct sg_error *error)
{
    char row[60] = "";
    if (reader->row_line != reader->line)
        snprintf(row, sizeof row, " (in the row that begins in line %d)", reader->row_line);
    if (found == '"')
        return sg_fail(
            error, SG_BAD_DATA,
            "%s:%d: a quote inside a cell that does not begin with one%s: put the whole cell in quotes "
            "and double the quotes in it, such as \"1/2\"\"\"",
            reader->name, reader->line, row);
    return sg_fail(error, SG_BAD_DATA,
                   "%s:%d: text after the closing quote of a cell%s: double the quotes inside a quoted cell",
                   reader->name, reader->line, row);
}

static enum sg_status check_limits(const struct reader *reader, struct csv_parser *parser,
                                   struct sg_error *error)
{
    const char *trouble = reader->trouble;
    if (!trouble && csv_get_buffer_size(parser) > SG_CSV_MAX_CELL + PIECE + 2 * BLOCK)
        trouble = "a cell of more than 100000 bytes: is a quote left open?";
    if (trouble)
        return sg_fail(error, SG_BAD_DATA, "%s:%d: %s", reader->name, reader->row_line, trouble);
    if (reader->bytes.failed)
        return sg_fail(error, SG_FAULT, "no memory to read %s", reader->name);
    return SG_OK;
}

static enum sg_status read_line(struct reader *reader, struct csv_parser *parser, const char *line,
                                size_t length, struct sg_error *error)
{
    if (memchr(line, '\0', length))
        return sg_fail(error, SG_BAD_DATA, "%s:%d: a NUL character", reader->name, reader->line);
    for (size_t at = 0; at < length;) {
        size_t piece = length - at < PIECE ? length - at : PIECE;
        size_t taken = csv_parse(parser, line + at, piece, take_cell, take_row, reader);
        if (taken != piece && csv_error(parser) == CSV_EPARSE)
            return fail_quote(reader, line[at + taken], error);
        if (taken != piece)
            return sg_fail(error, SG_FAULT, "no memory to read %s", reader->name);
        enum sg_status status = check_limits(reader, parser, error);
        if (status != SG_OK)
            return status;
        at += piece;
    }
    return SG_OK;
}

static enum sg_status read_lines(struct reader *reader, struct csv_parser *parser, const char *text,
                                 size_t length, struct sg_error *error)
{
    for (size_t at = 0; at < length && !reader->stop;) {
        size_t line = line_length(text + at, length - at);
        reader->line++;
        if (!reader->in_row && !ends_line(text[at])) {
            reader->in_row = true;
            reader->row_line = reader->line;
        }
        enum sg_status status = read_line(reader, parser, text + at, line, error);
        if (status != SG_OK)
            return status;
        at += line;
    }
    if (reader->stop)
        return SG_OK;
    if (csv_fini(parser, take_cell, take_row, reader) != 0)
        return sg_fail(error, SG_BAD_DATA, "%s:%d: a quote is opened in this row and never closed",
                       reader->name, reader->row_line);
    return check_limits(reader, parser, error);
}

/* The candidate that stands most often outside quotes in the first line that is not blank. */
static char find_separator(const char *text, size_t length)
{
    static const char candidates[] = ",;\t";
    int counts[3] = {0, 0, 0}, best = 0;
    bool quoted = false, begun = false;
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '"')
            quoted = !quoted;
        if (!quoted && ends_line(text[i]) && begun)
            break;
        begun = begun || !ends_line(text[i]);
        for (int k = 0; k < 3; k++)
            counts[k] += !quoted && text[i] == candidates[k];
    }
    for (int k = 1; k < 3; k++)
        best = counts[k] > counts[best] ? k : best;
    return candidates[best];
}

enum sg_status sg_csv_read(const char *name, const char *text, size_t length, char separator,
                           bool (*row)(void *context, const struct sg_csv_row *row), void *context,
                           char *separator_used, struct sg_error *error)
{
    if (!separator)
        separator = find_separator(text, length);
    struct reader reader = {.name = name, .row = row, .context = context};
    struct csv_parser parser;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL) != 0)
        return sg_fail(error, SG_FAULT, "the CSV parser does not start");
    csv_set_delim(&parser, (unsigned char)separator);
    csv_set_space_func(&parser, never_a_blank);
    csv_set_blk_size(&parser, BLOCK);
    enum sg_status status = read_lines(&reader, &parser, text, length, error);
    csv_free(&parser);
    sg_text_free(&reader.bytes);
    if (status == SG_OK && separator_used)
        *separator_used = separator;
    return status;
}
