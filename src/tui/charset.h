/* What the user's locale says about characters: whether the terminal shows UTF-8, what its bytes mean, and
 * what stands for a character that cannot go out. The program's own locale is another matter (cli.c). */
#ifndef SANDGLASS_CHARSET_H
#define SANDGLASS_CHARSET_H

#include <iconv.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sg_charset {
    bool utf8;
    bool reads; /* converter is open */
    iconv_t converter;
    char pending[8]; /* of a character of several bytes */
    size_t n_pending;
};

/* Look at the environment; close with sg_charset_close. */
void sg_charset_open(struct sg_charset *charset);
void sg_charset_close(struct sg_charset *charset);

/* A byte from 0x80 up in the locale's own characters (struct sg_strokes, decode; context is the charset). One
 * that means nothing there is dropped. */
bool sg_charset_decode(void *charset, unsigned char byte, uint32_t *code);

/* The ASCII character that stands for another: of those that the screens draw a like one, else '?'. */
char sg_charset_plain(uint32_t code);

#endif
