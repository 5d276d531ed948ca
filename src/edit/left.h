/* The text under the fingers, in a small file beside the shop file, so that it outlives its program: each key
 * puts it there, the next start finds it. The name is that of the shop file (links followed) with
 * .draft-XXXXXX behind.
 *
 * It survives the death of the process in any way and at any moment, kill -9 in the middle of a write
 * included: a write never touches the bytes of the one before. It does not survive the loss of power, for it
 * is not synced: that would cost more than a key may take.
 *
 * Who may write the shop file may read such a file and take it over, nobody else. */
#ifndef SANDGLASS_LEFT_H
#define SANDGLASS_LEFT_H

#include "sandglass/status.h"

#include <stdbool.h>
#include <stddef.h>

struct sg_left;

/* One text, typed into one field of one or more rows. All strings UTF-8. */
struct sg_left_text {
    const char *const *keys; /* of the rows */
    int n;
    const char *field;  /* its name in the field table */
    const char *before; /* what the field showed when it was opened */
    const char *text;
    size_t cursor; /* byte of text */
    const char *who;
    double at; /* seconds since 1970-01-01 UTC */
};

/* For the shop file at path, which is copied. No file is made until something is put. NULL: no memory. */
struct sg_left *sg_left_new(const char *path);

/* Give back. What was put and not cleared stays in its file and is found by the next start: a program that is
 * told to end (SIGHUP, SIGTERM) calls only this. Takes NULL. */
void sg_left_free(struct sg_left *left);

/* Put a text there in place of the one before; nothing of it is kept by reference. Never a reason to stop the
 * typing: on failure what was put before is still there, where there was something, and the next call tries
 * again. SG_NO_WRITE with a sentence, once; SG_NO without one as long as the next calls fail for the same
 * reason. */
enum sg_status sg_left_put(struct sg_left *left, const struct sg_left_text *text, struct sg_error *error);

/* The field was kept or dropped: the file goes. Safe at any time. */
void sg_left_clear(struct sg_left *left);

/* A text whose program is dead. It is held for the one who found it: another who looks does not see it until
 * it is let go of. */
struct sg_left_found {
    /* Whole and valid UTF-8, until sg_left_found_free; the rows and the field may be gone from the shop. */
    struct sg_left_text text;
    /* Another file is at the path now than the one it was typed for: a backup was put back, say. */
    bool replaced;
    struct sg_left_file *file; /* NULL: taken or dropped */
    unsigned char *bytes;      /* what the text lies in */
};

/* The texts beside that shop file whose programs are dead, newest first, as an array to be given back with
 * sg_left_found_free; NULL where there are none. Those of living programs and those that this person may not
 * write are not among them. What was torn before it was ever whole is removed, what is not ours is left
 * alone. SG_NO_FILE: the folder cannot be read; SG_FAULT: no memory. */
enum sg_status sg_left_find(const char *path, struct sg_left_found **found, int *n, struct sg_error *error);

/* It is opened in its field: its file becomes that of left, as if it had just been put (what left had is
 * cleared). From then on put and clear go on with it. */
void sg_left_take(struct sg_left *left, struct sg_left_found *found);

/* It is not wanted by anybody: its file goes. */
void sg_left_drop(struct sg_left_found *found);

/* Give back the array; what was neither taken nor dropped is let go of, to be found again. Takes NULL. */
void sg_left_found_free(struct sg_left_found *found, int n);

#endif
