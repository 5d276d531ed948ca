/* Notes of the example's day, typed with their date. */
#ifndef SANDGLASS_TESTS_CLI_ACTS_H
#define SANDGLASS_TESTS_CLI_ACTS_H

#include "cli/json.h"
#include "cli/run.h"

#define DAY "2026-12-01 "

#define record(time, ...) run("record", __VA_ARGS__, "--at", DAY time, "-f", "shop.db", NULL)

#define ck_record(time, ...)                                                                                 \
    do {                                                                                                     \
        struct ran record_ = record(time, __VA_ARGS__);                                                      \
        ck_code(record_, 0);                                                                                 \
        done(&record_);                                                                                      \
    } while (0)

/* Refused with this code and these words; nothing is noted. */
#define ck_not(code, words, time, ...)                                                                       \
    ck_refused(code, words, "record", __VA_ARGS__, "--at", DAY time, "-f", "shop.db")

static inline char *json_of(struct ran ran)
{
    ck_code(ran, 0);
    ck_document(ran.out);
    free(ran.err);
    return ran.out;
}

static inline void example(void)
{
    ck_done("example", "shop.db");
}

#endif
