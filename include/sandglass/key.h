/* Keys: how a person names a row. JOB, JOB/STOCK, JOB/STOCK/PART split at the first two slashes only (a part
 * may be called 3/4); shift:A, machine:main, head:abrasive, material:NAME. */
#ifndef SANDGLASS_KEY_H
#define SANDGLASS_KEY_H

#include "sandglass/field.h"
#include "sandglass/status.h"

struct sg_target {
    enum sg_kind kind;
    int32_t index; /* into the shop's array of that kind; 0 for the machine */
};

/* Find the row that a key names. SG_BAD_DATA with what there is instead. */
enum sg_status sg_key_find(const struct sg_shop *shop, const char *key, struct sg_target *out,
                           struct sg_error *error);

/* Write the key of a row. As snprintf returns. */
int sg_key_write(const struct sg_shop *shop, struct sg_target target, char *out, size_t size);

/* The record of a row, to read (and, of a shop that is not const, to change). */
void *sg_target_record(const struct sg_shop *shop, struct sg_target target);

/* Index of a job by its key, of a stock of a job by its number, of a part of a stock by its key; SG_UNKNOWN
 * if none. */
int32_t sg_find_job(const struct sg_shop *shop, const char *id, size_t length);
int32_t sg_find_stock(const struct sg_shop *shop, int32_t job, int32_t number);
int32_t sg_find_part(const struct sg_shop *shop, int32_t stock, const char *id);

/* Whether a text may be the key of a row: 1 to 60 characters for a job, shift or head, 200 for a part or
 * material; no control characters; a job's without a slash or colon. */
enum sg_status sg_key_check(enum sg_kind kind, const char *key, struct sg_error *error);

/* The job that a job, its stock or its part belongs to; SG_UNKNOWN of anything else. */
int32_t sg_job_of(const struct sg_shop *shop, struct sg_target target);

#endif
