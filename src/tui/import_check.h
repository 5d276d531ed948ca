/* A parts list that is looked at before it is taken: the file, where its columns go, what the plan says to
 * its rows. */
#ifndef SANDGLASS_IMPORT_CHECK_H
#define SANDGLASS_IMPORT_CHECK_H

#include "edit/desk.h"
#include "exchange/exchange.h"

#define SG_LEFT_OUT "(leave out)" /* in place of a column of ours */

struct sg_import_check {
    char *name; /* of the file, as told; owned */
    char *path; /* the file or folder itself; owned; NULL: none */
    char *data; /* its bytes; owned; NULL: a folder */
    size_t length;
    int64_t job, stock;               /* rows it may go into; stock 0: none */
    char *goes_to[SG_CSV_MAX_FIELDS]; /* owned: where a column was sent; NULL: as its header says */
    bool replace;                     /* parts that exist take what the list says */
    bool into_job; /* each row to the stock of its material and thickness, as it is read now */
    struct sg_parts_list list;
    const char *decimals;
    struct sg_import_result would; /* what comes of the good rows */
    int n_good, n_look, n_told;    /* rows that can come in; rows only worth a look, and columns that are
                                      missing; findings of rows of both kinds */
    char trouble[SG_ERROR_SIZE];   /* why the plan could not be asked; "" where it was */
    int mapping;                   /* the column that is being sent elsewhere */
    char room[SG_LIST_NAME];       /* of the word of a choice */
};

/* Takes over data in any case, NULL for a folder. NULL where memory is out. Free with sg_import_check_free,
 * which takes NULL. */
struct sg_import_check *sg_import_check_new(const char *name, const char *path, char *data, size_t length);
void sg_import_check_free(struct sg_import_check *check);

/* Read the list as it goes now: into the job where it has a column of materials, or there is no stock. On
 * failure the one read before stays. */
enum sg_status sg_import_check_read(struct sg_import_check *check, const struct sg_shop *shop,
                                    struct sg_error *error);

/* Send a column elsewhere: a column of ours with or without unit, "" leaves it out. Another column that went
 * there is left out then; *other (may be NULL) is that one, else -1. On failure all is as it was. */
enum sg_status sg_import_check_send(struct sg_import_check *check, const struct sg_shop *shop, int column,
                                    const char *goes_to, int *other, struct sg_error *error);

/* Ask the plan what it would do with the rows, after a read. Nothing is written, but the desk reads the file
 * anew: looks at its shop must be taken anew. What went wrong is in check->trouble. */
void sg_import_check_ask(struct sg_import_check *check, struct sg_desk *desk, const char *key);

/* Bring the good rows in. As sg_desk_import. */
enum sg_status sg_import_check_bring(struct sg_import_check *check, struct sg_desk *desk, const char *key,
                                     struct sg_import_result *result, struct sg_error *error);

/* Whether a finding of the list says that a column is missing. */
bool sg_import_is_lack(const struct sg_list_finding *finding);

/* A finding of a row, of the file or of the plan. */
struct sg_import_told {
    int raw;    /* index of the row in the list */
    int column; /* from 1; 0: the whole row */
    char text[SG_ERROR_SIZE];
};

/* The findings of bad rows, or those only worth a look, one after the other in file order; start with {0}.
 * False behind the last. */
struct sg_import_at {
    int raw, finding;
};
bool sg_import_check_next(const struct sg_import_check *check, bool bad, struct sg_import_at *at,
                          struct sg_import_told *told);

#endif
