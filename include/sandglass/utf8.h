/* UTF-8, the only encoding inside sandglass. */
#ifndef SANDGLASS_UTF8_H
#define SANDGLASS_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Bytes of the UTF-8 character at the start of text, 0 where there is no valid one (or nothing left). *code
 * (may be NULL) is its code point then. */
size_t sg_utf8_character(const char *text, size_t left, uint32_t *code);

/* Whether a terminal would act on a character instead of showing it: control characters and the marks that
 * turn the direction of writing. */
bool sg_utf8_hidden(uint32_t code);

#endif
