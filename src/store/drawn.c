/* Outlines in the shop file. A row is written once and never changed, so what was read once is kept for as
 * long as the file is open: reading the shop anew costs nothing for them. */
#include "store/inside.h"

#include "sandglass/outline.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PIECE = 500000, MOST_BYTES = 200000000 };

static const char one_drawn[] = "outline";

/* ---- reading ---- */

struct bytes {
    unsigned char *at;
    size_t n, room;
};

/* SG_BAD_DATA: there is nothing in it, or more than can be kept; SG_FAULT: no memory. */
static enum sg_status add_piece(struct bytes *bytes, const void *piece, int n)
{
    if (n <= 0 || (size_t)n > MOST_BYTES - bytes->n)
        return SG_BAD_DATA;
    if (bytes->n + (size_t)n > bytes->room) {
        size_t room = bytes->room * 2 + (size_t)n;
        unsigned char *more = realloc(bytes->at, room);
        if (!more)
            return SG_FAULT;
        bytes->at = more;
        bytes->room = room;
    }
    memcpy(bytes->at + bytes->n, piece, (size_t)n);
    bytes->n += (size_t)n;
    return SG_OK;
}

/* Piece n of an outline, as the statement stands on it. */
static enum sg_status take_piece(struct sg_store *store, sqlite3_stmt *statement, int64_t n,
                                 struct bytes *bytes)
{
    if (sqlite3_column_int64(statement, 0) != n || sqlite3_column_type(statement, 1) != SQLITE_BLOB)
        return SG_BAD_DATA;
    const void *piece = sqlite3_column_blob(statement, 1);
    if (!piece && sqlite3_errcode(store->db) == SQLITE_NOMEM)
        return SG_FAULT;
    return add_piece(bytes, piece, sqlite3_column_bytes(statement, 1));
}

/* All pieces of one outline, one behind the other, numbered 1, 2, ... */
static enum sg_status read_bytes(struct sg_store *store, int64_t row, struct bytes *bytes,
                                 struct sg_error *error)
{
    sqlite3_stmt *statement;
    int code = sqlite3_prepare_v2(store->db,
                                  "SELECT number, bytes FROM drawn_piece WHERE drawn_id = ? ORDER BY number",
                                  -1, &statement, NULL);
    enum sg_status status = SG_OK;
    if (code == SQLITE_OK) {
        sqlite3_bind_int64(statement, 1, row);
        code = sqlite3_step(statement);
    }
    for (int64_t n = 1; code == SQLITE_ROW && status == SG_OK; n++) {
        status = take_piece(store, statement, n, bytes);
        code = status == SG_OK ? sqlite3_step(statement) : code;
    }
    sqlite3_finalize(statement);
    if (status == SG_FAULT)
        return sg_fail(error, SG_FAULT, "no memory for an outline");
    if (status == SG_OK && code != SQLITE_DONE)
        return sg_store_trouble(store, code, error);
    return status == SG_OK && bytes->n > 0 ? SG_OK
                                           : sg_fail(error, SG_BAD_DATA, "its bytes are not all there");
}

static enum sg_status read_outline(struct sg_store *store, struct sg_arena *arena, struct sg_drawn *drawn,
                                   struct sg_error *error)
{
    struct bytes bytes = {0};
    struct sg_outline *outline = sg_arena_take(arena, sizeof *outline);
    enum sg_status status = outline ? read_bytes(store, drawn->row, &bytes, error)
                                    : sg_fail(error, SG_FAULT, "no memory for an outline");
    if (status == SG_OK)
        status = sg_outline_unpack(bytes.at, bytes.n, arena, outline, error);
    if (status == SG_OK)
        drawn->print = sg_outline_print(bytes.at, bytes.n);
    drawn->outline = outline;
    free(bytes.at);
    return status;
}

/* One row; what is wrong with it stands in the error as a sentence without the file. */
static enum sg_status read_row(struct sg_store *store, sqlite3_stmt *statement, struct sg_arena *arena,
                               struct sg_drawn *drawn, struct sg_error *error)
{
    const char *word = (const char *)sqlite3_column_text(statement, 2);
    bool known = sqlite3_column_type(statement, 3) != SQLITE_NULL;
    struct sg_error why;
    drawn->row = sqlite3_column_int64(statement, 0);
    drawn->name = sg_column_text(statement, 1, SG_TEXT_MAX, arena);
    drawn->program = word && strcmp(word, "yes") == 0;
    drawn->rapid_length = known ? sqlite3_column_double(statement, 3) : (double)NAN;
    if (!drawn->name || !*drawn->name || !word || (!drawn->program && strcmp(word, "no") != 0))
        return sg_fail(error, SG_BAD_DATA, "table drawn, row %lld: its name or program is not possible",
                       (long long)drawn->row);
    enum sg_status status = read_outline(store, arena, drawn, &why);
    return status == SG_OK ? SG_OK : sg_fail(error, status, "table drawn, key %s: %s", drawn->name, why.text);
}

static bool more_room(struct sg_drawn_list *list)
{
    if (list->n < list->room)
        return true;
    int32_t room = list->room * 2 + 16;
    struct sg_drawn *more = realloc(list->at, (size_t)room * sizeof *more);
    if (!more)
        return false;
    list->at = more;
    list->room = room;
    return true;
}

/* In the place of one that is damaged, so that its parts are not told for it. */
static const struct sg_outline nothing = {
    .box = {(double)NAN, (double)NAN, (double)NAN, (double)NAN}, .area = 0, .smallest_radius = (double)NAN};

static enum sg_status take_row(struct sg_store *store, sqlite3_stmt *statement, struct sg_drawn_list *list,
                               struct sg_arena *arena, const struct sg_bad_drawn *bad, struct sg_error *error)
{
    if (!more_room(list))
        return sg_fail(error, SG_FAULT, "no memory to read %s", store->path);
    struct sg_drawn *drawn = &list->at[list->n];
    struct sg_error why;
    enum sg_status status = read_row(store, statement, arena, drawn, &why);
    if (status != SG_OK && status != SG_BAD_DATA)
        return sg_fail(error, status, "%s", why.text);
    if (status == SG_BAD_DATA) {
        status = bad->say(bad->context, why.text);
        drawn->name = drawn->name ? drawn->name : "";
        drawn->outline = &nothing;
        drawn->print = 0;
    }
    list->n += status == SG_OK;
    return status;
}

/* The rows behind those that are there. */
static enum sg_status read_more(struct sg_store *store, struct sg_drawn_list *list, struct sg_arena *arena,
                                const struct sg_bad_drawn *bad, struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status = SG_OK;
    int code = sqlite3_prepare_v2(
        store->db, "SELECT id, name, program, rapid_length_mm FROM drawn WHERE id > ? ORDER BY id", -1,
        &statement, NULL);
    if (code == SQLITE_OK)
        sqlite3_bind_int64(statement, 1, list->n > 0 ? list->at[list->n - 1].row : INT64_MIN);
    while (status == SG_OK && (code == SQLITE_OK || code == SQLITE_ROW)) {
        code = sqlite3_step(statement);
        if (code == SQLITE_ROW)
            status = take_row(store, statement, list, arena, bad, error);
    }
    sqlite3_finalize(statement);
    if (status == SG_OK && code != SQLITE_DONE)
        status = sg_store_trouble(store, code, error);
    return status;
}

void sg_store_drop_drawn(struct sg_store *store)
{
    free(store->drawn.at);
    store->drawn = (struct sg_drawn_list){0};
    sg_arena_free(&store->drawn_arena);
}

/* A list of one's own that begins as the remembered one, or empty. */
static bool own_list(const struct sg_drawn_list *remembered, bool anew, struct sg_drawn_list *out)
{
    int32_t n = anew ? 0 : remembered->n;
    *out = (struct sg_drawn_list){.at = malloc(((size_t)n + 1) * sizeof *out->at), .n = n, .room = n + 1};
    if (out->at && n > 0)
        memcpy(out->at, remembered->at, (size_t)n * sizeof *out->at);
    return out->at != NULL;
}

enum sg_status sg_store_read_drawn(struct sg_store *store, bool remember, struct sg_arena *arena,
                                   struct sg_shop *shop, const struct sg_bad_drawn *bad,
                                   struct sg_error *error)
{
    struct sg_drawn_list list = store->drawn;
    remember = remember && !bad->anew;
    if (!remember && !own_list(&store->drawn, bad->anew, &list))
        return sg_fail(error, SG_FAULT, "no memory to read %s", store->path);
    enum sg_status status = read_more(store, &list, remember ? &store->drawn_arena : arena, bad, error);
    if (remember)
        store->drawn = list;
    struct sg_drawn *own = status == SG_OK ? sg_arena_take(arena, (size_t)list.n * sizeof *own + 1) : NULL;
    if (own && list.n > 0)
        memcpy(own, list.at, (size_t)list.n * sizeof *own);
    shop->drawn = own;
    shop->n_drawn = own ? list.n : 0;
    if (!remember)
        free(list.at);
    return status == SG_OK && !own ? sg_fail(error, SG_FAULT, "no memory to read %s", store->path) : status;
}

/* ---- writing ---- */

static enum sg_status write_head(struct sg_store *store, struct sg_drawn *drawn, struct sg_error *error)
{
    sqlite3_stmt *statement;
    int code =
        sqlite3_prepare_v2(store->db, "INSERT INTO drawn (name, program, rapid_length_mm) VALUES (?, ?, ?)",
                           -1, &statement, NULL);
    if (code == SQLITE_OK) {
        sqlite3_bind_text(statement, 1, drawn->name, -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(statement, 2, drawn->program ? "yes" : "no", -1, SQLITE_STATIC);
        if (sg_known(drawn->rapid_length))
            sqlite3_bind_double(statement, 3, drawn->rapid_length);
        code = sqlite3_step(statement);
    }
    sqlite3_finalize(statement);
    if (code == SQLITE_CONSTRAINT_UNIQUE)
        return sg_fail(error, SG_BAD_DATA, "%s: %s %s exists already", store->path, one_drawn, drawn->name);
    if (code != SQLITE_DONE)
        return sg_store_trouble(store, code, error);
    drawn->row = sqlite3_last_insert_rowid(store->db);
    return SG_OK;
}

static enum sg_status write_pieces(struct sg_store *store, int64_t row, const unsigned char *bytes,
                                   size_t size, struct sg_error *error)
{
    sqlite3_stmt *statement;
    int code =
        sqlite3_prepare_v2(store->db, "INSERT INTO drawn_piece VALUES (?, ?, ?)", -1, &statement, NULL);
    bool ready = code == SQLITE_OK;
    for (size_t at = 0; at < size && (ready || code == SQLITE_DONE); at += PIECE, ready = false) {
        sqlite3_bind_int64(statement, 1, row);
        sqlite3_bind_int64(statement, 2, (int64_t)(at / PIECE) + 1);
        sqlite3_bind_blob(statement, 3, bytes + at, (int)(size - at < PIECE ? size - at : PIECE),
                          SQLITE_STATIC);
        code = sqlite3_step(statement);
        sqlite3_reset(statement);
    }
    sqlite3_finalize(statement);
    return code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
}

enum sg_status sg_store_insert_drawn(struct sg_store *store, struct sg_drawn *drawn, struct sg_error *error)
{
    size_t size = sg_outline_pack(drawn->outline, NULL);
    if (!*drawn->name || !sg_text_is_clean(drawn->name, SG_TEXT_MAX)) /* it could not be read again */
        return sg_fail(error, SG_BAD_DATA,
                       "%s: an outline needs a name of 1 to %d characters, without control "
                       "characters",
                       store->path, SG_TEXT_MAX);
    unsigned char *bytes = size <= MOST_BYTES ? malloc(size) : NULL;
    struct sg_drawn written = *drawn;
    if (size > MOST_BYTES)
        return sg_fail(error, SG_BAD_DATA,
                       "%s has %lld segments in %d contours, which takes %zu MB, and %d MB can be kept: "
                       "measure a simpler drawing",
                       drawn->name, (long long)drawn->outline->n_segments, drawn->outline->n_contours,
                       size / 1000000 + 1, MOST_BYTES / 1000000);
    if (!bytes)
        return sg_fail(error, SG_FAULT, "no memory to keep %s", drawn->name);
    sg_outline_pack(drawn->outline, bytes);
    enum sg_status status = write_head(store, &written, error);
    if (status == SG_OK)
        status = write_pieces(store, written.row, bytes, size, error);
    free(bytes);
    if (status == SG_OK)
        drawn->row = written.row;
    return status;
}
