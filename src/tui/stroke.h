/* Keystrokes: bytes of a terminal in, keys out. A machine of its own instead of a library's, so that Esc is
 * known after a few hundredths of a second, a sequence that no table knows is swallowed whole, and a paste
 * comes as one text. No curses here; a fuzzer feeds it any bytes. */
#ifndef SANDGLASS_STROKE_H
#define SANDGLASS_STROKE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A key is a Unicode character, a control character (Ctrl-R is 0x12), or one of these. Bytes 0x7F and 0x08
 * are both Backspace, CR and LF both Enter. */
enum sg_stroke {
    SG_STROKE_TAB = 0x09,
    SG_STROKE_ENTER = 0x0D,
    SG_STROKE_ESC = 0x1B,
    SG_STROKE_SPACE = 0x20,
    SG_STROKE_BACKSPACE = 0x7F,
    SG_STROKE_SPECIAL = 0x110000, /* behind all characters */
    SG_STROKE_UP,
    SG_STROKE_DOWN,
    SG_STROKE_LEFT,
    SG_STROKE_RIGHT,
    SG_STROKE_HOME,
    SG_STROKE_END,
    SG_STROKE_PAGE_UP,
    SG_STROKE_PAGE_DOWN,
    SG_STROKE_DELETE,
    SG_STROKE_INSERT,
    SG_STROKE_BACK_TAB, /* Shift-Tab */
    SG_STROKE_F1,       /* to F12 in a row */
    SG_STROKE_F12 = SG_STROKE_F1 + 11
};
#define SG_STROKE_CTRL(letter) ((letter)&0x1F)

enum sg_input_kind {
    SG_INPUT_NOTHING, /* the wait is over */
    SG_INPUT_STROKE,
    SG_INPUT_PASTE, /* text, valid UTF-8 */
    SG_INPUT_CLICK, /* row, column */
    SG_INPUT_WHEEL, /* row, column; stroke -1 up, 1 down */
    SG_INPUT_RESIZE,
    SG_INPUT_AWAKE, /* back from a suspension: draw all of it */
    SG_INPUT_GONE   /* hang-up, end of input, a signal to end: leave */
};

struct sg_input {
    enum sg_input_kind kind;
    int32_t stroke;
    int row, column;  /* from 0 */
    const char *text; /* of PASTE, ended by NUL, valid until the next read; NULL where it was longer than
                         SG_PASTE_MAX or memory was out: half a paste is none */
    size_t length;
};

enum { SG_PASTE_MAX = 4 * 1024 * 1024, SG_SEQUENCE_MAX = 64 };

/* Milliseconds after which bytes that could still become more are taken for what they are: a sequence broken
 * off on the way, a paste whose end mark was lost. A lone Esc waits as long as the caller says. */
enum { SG_SEQUENCE_WAIT = 500, SG_PASTE_WAIT = 2000 };

struct sg_sequence {
    const char *bytes; /* begins with Esc */
    int32_t stroke;
};

/* The state of the machine; starts as {0}, free with sg_strokes_free. `own` and `decode` are the caller's. */
struct sg_strokes {
    const struct sg_sequence *own; /* of this terminal, taken where the common ones know nothing */
    int n_own;
    bool (*decode)(void *context, unsigned char byte, uint32_t *code); /* of a terminal that is not UTF-8: a
                                      byte from 0x80 up; true where it completed a character. NULL: UTF-8 */
    void *context;

    int state;                     /* of the machine (stroke.c) */
    char pending[SG_SEQUENCE_MAX]; /* a sequence or a character that is not whole yet */
    size_t n_pending;
    char again[SG_SEQUENCE_MAX]; /* bytes behind an Esc that turned out to be a key, to be read once more */
    size_t n_again;
    char *paste;                                 /* owned */
    size_t paste_length, paste_room, paste_mark; /* paste_mark: bytes of the end mark seen */
    bool paste_lost, paste_return;               /* too long; the last was a CR */
};

/* Read bytes up to the first input that they complete, which is then in *out; its kind is NOTHING where they
 * complete none. Returns how many were read: ask again for the rest, from none up. */
size_t sg_strokes_take(struct sg_strokes *strokes, const char *bytes, size_t length, struct sg_input *out);

/* How long to wait for more bytes, in milliseconds, before sg_strokes_late is called: 0 at once, because an
 * input is there already; -1 where nothing is unfinished. */
int sg_strokes_wait(const struct sg_strokes *strokes, int esc_ms);

/* No more bytes came: a lone Esc becomes the key, a paste ends, anything else unfinished is dropped. As take,
 * *out is NOTHING where that gave no input. */
void sg_strokes_late(struct sg_strokes *strokes, struct sg_input *out);
void sg_strokes_free(struct sg_strokes *strokes);

/* The UTF-8 of a character; its bytes. */
size_t sg_stroke_bytes(uint32_t code, char out[4]);

/* A key's name as tables, help and the line of keys write it: "Enter", "Ctrl-R", "F1", "Space", "J". As
 * snprintf returns; "" where it is no key. */
int sg_stroke_name(int32_t stroke, char *out, size_t size);

/* The key of a name; 0 where there is none. Two characters that are no name ("gs") are two keys, one after
 * the other: *second (may be NULL) is the other one, else 0. */
int32_t sg_stroke_find(const char *name, size_t length, int32_t *second);

#endif
