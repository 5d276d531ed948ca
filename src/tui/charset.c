#include "tui/charset.h"

#include <errno.h>
#include <langinfo.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* The locale's name, where the locale itself is not there. */
static const char *named_codeset(void)
{
    static const char *const variables[] = {"LC_ALL", "LC_CTYPE", "LANG"};
    for (size_t i = 0; i < sizeof variables / sizeof *variables; i++) {
        const char *name = getenv(variables[i]);
        if (!name || !*name)
            continue;
        const char *dot = strchr(name, '.');
        return dot ? dot + 1 : "ASCII";
    }
    return "ASCII";
}

static bool is_utf8(const char *codeset)
{
    return strncasecmp(codeset, "utf-8", 5) == 0 || strncasecmp(codeset, "utf8", 4) == 0;
}

void sg_charset_open(struct sg_charset *charset)
{
    *charset = (struct sg_charset){0};
    locale_t user = newlocale(LC_CTYPE_MASK, "", (locale_t)0);
    const char *codeset = user ? nl_langinfo_l(CODESET, user) : named_codeset();
    charset->utf8 = is_utf8(codeset);
    if (!charset->utf8) {
        charset->converter = iconv_open("UTF-32LE", codeset);
        charset->reads = charset->converter != (iconv_t)-1;
    }
    if (user)
        freelocale(user);
}

void sg_charset_close(struct sg_charset *charset)
{
    if (charset->reads)
        iconv_close(charset->converter);
    charset->reads = false;
}

bool sg_charset_decode(void *context, unsigned char byte, uint32_t *code)
{
    struct sg_charset *charset = context;
    unsigned char made[4];
    if (!charset->reads)
        return false;
    charset->pending[charset->n_pending++] = (char)byte;
    char *from = charset->pending, *to = (char *)made;
    size_t left = charset->n_pending, room = sizeof made;
    iconv(charset->converter, NULL, NULL, NULL, NULL);
    bool whole = iconv(charset->converter, &from, &left, &to, &room) != (size_t)-1 && room == 0;
    bool started = !whole && errno == EINVAL && charset->n_pending < sizeof charset->pending;
    if (whole)
        *code = made[0] | (uint32_t)made[1] << 8 | (uint32_t)made[2] << 16 | (uint32_t)made[3] << 24;
    if (whole || !started)
        charset->n_pending = 0;
    return whole;
}

char sg_charset_plain(uint32_t code)
{
    static const struct {
        uint32_t first, last;
        char plain;
    } drawn[] = {{0x00A0, 0x00A0, ' '}, {0x00B7, 0x00B7, '.'}, {0x00D7, 0x00D7, 'x'},
                 {0x2010, 0x2015, '-'}, {0x2026, 0x2026, '~'}, {0x2500, 0x2501, '-'},
                 {0x2502, 0x2503, '|'}, {0x250C, 0x254B, '+'}, {0x2581, 0x2593, '#'}};
    for (size_t i = 0; i < sizeof drawn / sizeof *drawn; i++)
        if (code >= drawn[i].first && code <= drawn[i].last)
            return drawn[i].plain;
    return code < 0x80 ? (char)code : '?';
}
