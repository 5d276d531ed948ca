/* What a draft's file holds: records of one text each (left.c makes, holds and finds the files). */
#ifndef SANDGLASS_LEFT_RECORD_H
#define SANDGLASS_LEFT_RECORD_H

#include "edit/left.h"

#include <stdint.h>

enum { SG_LEFT_MOST = 64 * 1024 * 1024 };

struct sg_left_head {
    size_t size; /* of the whole record, a multiple of eight, at most SG_LEFT_MOST */
    size_t keys;
    uint64_t generation; /* of two whole records in a file the higher one counts; from 1 on */
    uint64_t shop;       /* inode of the shop file, 0: not known */
};

/* Bytes of the record of a text. */
size_t sg_left_record_size(const struct sg_left_text *text);

/* Into head->size bytes, as sg_left_record_size told; head->keys is not asked. */
void sg_left_record_write(unsigned char *record, const struct sg_left_head *head,
                          const struct sg_left_text *text);

/* Whether a file begins as a draft does. */
bool sg_left_begins(int fd);

/* Where in a file records may begin: at 0, and behind each place at the one that this tells. */
size_t sg_left_next_slot(size_t at);

/* A record as it was read, `at` in its file. */
struct sg_left_record {
    unsigned char *bytes; /* owned; the pointers to the keys lie behind it in the block */
    struct sg_left_head head;
    size_t at;
};

enum sg_left_reading { SG_LEFT_WHOLE, SG_LEFT_TORN /* none is whole */, SG_LEFT_NOT_READ };

/* The newest whole record of a file of that size. */
enum sg_left_reading sg_left_record_newest(int fd, size_t size, struct sg_left_record *newest);

/* Its text, which points into it. False where something is not text, or not where it must be. */
bool sg_left_record_read(const struct sg_left_record *record, struct sg_left_text *text);

#endif
