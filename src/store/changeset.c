/* The rows that a changeset is about. It is read here and not by SQLite's own iterator, because it may come
 * out of a damaged file: SQLite 3.40 looks for the end of a table's name without end, and it decodes every
 * value where only the row and the columns are wanted. What has been read to its end here is safe to apply.
 *
 * The format is that of sqlite3session.c: a table is 'T', the number of columns, a byte for each that says
 * whether it is in the key, and its name; a change is its operation, a byte, and the old or the new record or
 * both; a value is a byte of type and its bytes. */
#include "store/history.h"

#include <stdlib.h>
#include <string.h>

struct reader {
    const unsigned char *at, *end;
    bool bad;
    enum sg_kind kind; /* of the table that changes belong to */
    uint64_t n_columns;
};

static const unsigned char *take(struct reader *reader, uint64_t size)
{
    const unsigned char *at = reader->at;
    reader->bad = reader->bad || size > (uint64_t)(reader->end - at);
    if (reader->bad)
        return NULL;
    reader->at += size;
    return at;
}

static int take_byte(struct reader *reader)
{
    const unsigned char *byte = take(reader, 1);
    return byte ? *byte : 0;
}

/* Seven bits a byte, the highest first; lengths and counts have no more than five. */
static uint64_t take_count(struct reader *reader)
{
    uint64_t count = 0;
    for (int i = 0; i < 5; i++) {
        int byte = take_byte(reader);
        count = count << 7 | (uint64_t)(byte & 0x7F);
        if (!(byte & 0x80))
            return count;
    }
    reader->bad = true;
    return 0;
}

static int64_t take_whole(struct reader *reader)
{
    const unsigned char *bytes = take(reader, 8);
    uint64_t whole = 0;
    for (int i = 0; bytes && i < 8; i++)
        whole = whole << 8 | bytes[i];
    return (int64_t)whole;
}

static void take_table(struct reader *reader)
{
    reader->n_columns = take_count(reader);
    const unsigned char *in_key = take(reader, reader->n_columns);
    const unsigned char *name = reader->at;
    const unsigned char *end = reader->bad ? NULL : memchr(name, '\0', (size_t)(reader->end - name));
    reader->bad = !end || !in_key || reader->n_columns < 1 || in_key[0] == 0 ||
                  !sg_table_find((const char *)name, &reader->kind);
    if (!reader->bad)
        reader->at = end + 1;
}

/* The columns of a record that have a value; *row is the first of them. */
static uint64_t take_record(struct reader *reader, int64_t *row, bool *has_row)
{
    uint64_t columns = 0;
    for (uint64_t i = 0; i < reader->n_columns && !reader->bad; i++) {
        int type = take_byte(reader);
        columns |= type && i > 0 ? sg_column_bit((int)i) : 0;
        if (i == 0 && (*has_row = type == SQLITE_INTEGER))
            *row = take_whole(reader);
        else if (type == SQLITE_INTEGER || type == SQLITE_FLOAT)
            take(reader, 8);
        else if (type == SQLITE_TEXT || type == SQLITE_BLOB)
            take(reader, take_count(reader));
        else
            reader->bad = reader->bad || (type != 0 && type != SQLITE_NULL);
    }
    return columns;
}

static void take_change(struct reader *reader, int op, struct sg_touch *out)
{
    int64_t ignored;
    bool has_row = false, again;
    take_byte(reader); /* whether something else brought it about */
    out->kind = reader->kind;
    out->op = op;
    out->columns = SG_ALL_COLUMNS;
    take_record(reader, &out->row, &has_row);
    if (op == SQLITE_UPDATE)
        out->columns = take_record(reader, &ignored, &again);
    reader->bad = reader->bad || !has_row;
}

static bool append(struct sg_touches *touches, const struct sg_touch *touch)
{
    if ((touches->n & (touches->n - 1)) == 0) { /* full at each power of two */
        size_t room = touches->n ? 2 * (size_t)touches->n : 1;
        struct sg_touch *more = realloc(touches->at, room * sizeof *more);
        if (!more)
            return false;
        touches->at = more;
    }
    touches->at[touches->n++] = *touch;
    return true;
}

enum sg_status sg_touches_of(struct sg_store *store, const struct sg_changes *changes, struct sg_touches *out,
                             struct sg_error *error)
{
    const unsigned char *bytes = changes->bytes;
    struct reader reader = {.at = bytes, .end = bytes ? bytes + changes->size : NULL};
    struct sg_touches touches = {0};
    struct sg_touch touch = {0};
    bool memory = true;
    while (reader.at < reader.end && !reader.bad && memory) {
        int op = take_byte(&reader);
        if (op == 'T') {
            take_table(&reader);
        } else if (op == SQLITE_INSERT || op == SQLITE_UPDATE || op == SQLITE_DELETE) {
            take_change(&reader, op, &touch);
            memory = reader.bad || append(&touches, &touch);
        } else {
            reader.bad = true;
        }
    }
    if (!reader.bad && memory) {
        *out = touches;
        return SG_OK;
    }
    free(touches.at);
    if (!memory)
        return sg_fail(error, SG_FAULT, "no memory to read the history of %s", store->path);
    return sg_fail(error, SG_NO_FILE, "%s: a step of the history is damaged and cannot be read", store->path);
}
