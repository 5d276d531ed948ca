/* Making a shop file: built in memory, written in one piece, then given its name. So it costs one sync of the
 * file and one of its folder, and a kill at any moment leaves nothing half-made at the path. */
#include "store/inside.h"

static enum sg_status add_machine(struct sg_store *store, const struct sg_store_new *how,
                                  struct sg_error *error)
{
    struct sg_head heads[2] = {sg_fresh_heads[0], sg_fresh_heads[1]};
    struct sg_shop shop = {.units = how->units, .n_heads = 2, .heads = heads};
    struct sg_shift shift = sg_fresh_shift;
    shift.date = how->date;
    int64_t row;
    enum sg_status status = SG_OK;
    for (int i = 0; i < 2 && status == SG_OK; i++)
        status = sg_store_insert(store, SG_KIND_HEAD, 0, &shop, &sg_fresh_heads[i], &heads[i].row, error);
    if (status == SG_OK)
        status = sg_store_insert(store, SG_KIND_MACHINE, 0, &shop, &sg_fresh_machine, &row, error);
    if (status == SG_OK)
        status = sg_store_insert(store, SG_KIND_SHIFT, 0, &shop, &shift, &row, error);
    return status;
}

static enum sg_status fill(struct sg_store *store, const struct sg_store_new *how, struct sg_error *error)
{
    char header[200];
    sqlite3_snprintf(sizeof header, header,
                     "BEGIN; PRAGMA application_id = %d; INSERT INTO setting VALUES ('units', '%s')",
                     SG_APPLICATION_ID, how->units == SG_UNITS_US ? "us" : "metric");
    enum sg_status status = sg_steps_run(store, sg_schema_steps, sg_schema_n_steps, error);
    if (status == SG_OK)
        status = sg_store_run(store, header, error);
    if (status == SG_OK)
        status = sg_store_run(store, (const char *)sg_schema_starter, error);
    if (status == SG_OK)
        status = add_machine(store, how, error);
    if (status == SG_OK && how->example)
        status = sg_store_run(store, (const char *)sg_schema_example, error);
    return status == SG_OK ? sg_store_commit(store, error) : status;
}

static enum sg_status publish(struct sg_store *store, struct sg_error *error)
{
    sqlite3_int64 size;
    unsigned char *bytes = sqlite3_serialize(store->db, "main", &size, 0);
    if (!bytes)
        return sg_fail(error, SG_FAULT, "no memory to make %s", store->path);
    struct sg_beside file;
    enum sg_status status = sg_beside_write(&file, store->path, bytes, (size_t)size, error);
    sqlite3_free(bytes);
    return status == SG_OK ? sg_beside_publish(&file, error) : status;
}

enum sg_status sg_store_memory(const char *name, const struct sg_store_new *how, struct sg_store **out,
                               struct sg_error *error)
{
    struct sg_store *store = sg_store_fresh(name, SG_STORE_WRITE, 0);
    if (!store)
        return sg_fail(error, SG_FAULT, "no memory for %s", name);
    int code = sqlite3_open_v2(":memory:", &store->db,
                               SQLITE_OPEN_READWRITE | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_NOMUTEX, NULL);
    enum sg_status status =
        code == SQLITE_OK ? sg_store_settle(store, error) : sg_store_trouble(store, code, error);
    if (status == SG_OK)
        status = fill(store, how, error);
    if (status == SG_OK)
        *out = store;
    else
        sg_store_close(store);
    return status;
}

enum sg_status sg_store_create(const char *path, const struct sg_store_new *how, struct sg_error *error)
{
    struct sg_store *store;
    enum sg_status status = sg_store_memory(path, how, &store, error);
    if (status != SG_OK)
        return status;
    status = publish(store, error);
    sg_store_close(store);
    return status;
}
