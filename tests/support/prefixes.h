/* A person types a number from left to right: no beginning of one that is right may be called wrong. */
#ifndef SANDGLASS_TESTS_PREFIXES_H
#define SANDGLASS_TESTS_PREFIXES_H

#include "sandglass/number.h"

#include <string.h>

/* The length of the longest proper prefix that is called wrong, -1 if there is none. Prefixes that end within
 * a character are left out. */
static inline int wrong_prefix(const char *text, const struct sg_reading *how)
{
    char prefix[SG_NUMBER_TEXT_MAX + 1];
    struct sg_parsed parsed;
    int found = -1;
    for (size_t n = 0; n < strlen(text) && n < sizeof prefix; n++) {
        if (((unsigned char)text[n] & 0xC0) == 0x80)
            continue;
        memcpy(prefix, text, n);
        prefix[n] = '\0';
        sg_number_parse(prefix, how, &parsed);
        if (parsed.state == SG_PARSE_WRONG)
            found = (int)n;
    }
    return found;
}

#endif
