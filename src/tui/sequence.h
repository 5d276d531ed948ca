/* The sequences that terminals send for keys: which there are, and where one ends that no table knows. */
#ifndef SANDGLASS_SEQUENCE_H
#define SANDGLASS_SEQUENCE_H

#include "tui/stroke.h"

/* The key of a sequence in a table, in the table of the common ones; 0 where there is none. */
int32_t sg_sequence_find(const struct sg_sequence *table, int n, const char *bytes, size_t length);
int32_t sg_sequence_common(const char *bytes, size_t length);

/* Bytes of the sequence that starts with the Esc at the start of n bytes; 0 where it is not whole yet. Where
 * there is none Esc was a key; a string is swallowed up to its end mark. A sequence that is broken off ends
 * before the byte that breaks it. */
enum { SG_NO_SEQUENCE = -1, SG_IS_STRING = -2 };
int sg_sequence_length(const char *bytes, int n);

#endif
