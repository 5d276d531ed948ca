#include "tui/stroke.h"

#include "sandglass/utf8.h"
#include "tui/sequence.h"

#include <stdlib.h>
#include <string.h>

/* What the machine stands in; REST is 0, so that {0} is a machine. */
enum { REST, CHARACTER, ESCAPE, STRING, OVERLONG, PASTE };

enum { ESC = SG_STROKE_ESC, BELL = 0x07, CANCEL = 0x18, SUBSTITUTE = 0x1A };

static const char paste_start[] = "\033[200~", paste_end[] = "\033[201~";

static void give(struct sg_input *out, int32_t stroke)
{
    out->kind = SG_INPUT_STROKE;
    out->stroke = stroke;
}

static bool own_continues(const struct sg_strokes *strokes)
{
    for (int i = 0; i < strokes->n_own; i++)
        if (strlen(strokes->own[i].bytes) > strokes->n_pending &&
            memcmp(strokes->own[i].bytes, strokes->pending, strokes->n_pending) == 0)
            return true;
    return false;
}

static int pending_length(const struct sg_strokes *strokes)
{
    if (sg_sequence_common(strokes->pending, strokes->n_pending) ||
        sg_sequence_find(strokes->own, strokes->n_own, strokes->pending, strokes->n_pending))
        return (int)strokes->n_pending;
    if (own_continues(strokes))
        return 0;
    return sg_sequence_length(strokes->pending, (int)strokes->n_pending);
}

/* ---- what a sequence means ---- */

static void mouse(int button, int column, int row, struct sg_input *out)
{
    enum { LEFT = 0, WHEEL_UP = 64, WHEEL_DOWN = 65 };
    if (column < 1 || row < 1 || (button != LEFT && button != WHEEL_UP && button != WHEEL_DOWN))
        return;
    out->kind = button == LEFT ? SG_INPUT_CLICK : SG_INPUT_WHEEL;
    out->stroke = button == LEFT ? 0 : button == WHEEL_UP ? -1 : 1;
    out->column = column - 1;
    out->row = row - 1;
}

/* Three numbers between [< and the M of a press; a release (m) is nothing. */
static void new_mouse(const char *bytes, size_t length, struct sg_input *out)
{
    int numbers[3] = {0}, n = 0;
    for (size_t i = 3; i + 1 < length; i++) {
        if (bytes[i] == ';' && n < 2)
            n++;
        else if (bytes[i] >= '0' && bytes[i] <= '9' && numbers[n] < 100000)
            numbers[n] = numbers[n] * 10 + (bytes[i] - '0');
        else
            return;
    }
    if (bytes[length - 1] == 'M' && n == 2)
        mouse(numbers[0], numbers[1], numbers[2], out);
}

static void start_paste(struct sg_strokes *strokes)
{
    free(strokes->paste);
    strokes->paste = NULL;
    strokes->paste_length = strokes->paste_room = strokes->paste_mark = 0;
    strokes->paste_lost = strokes->paste_return = false;
    strokes->state = PASTE;
}

/* One that no table knows, with modifiers or an answer of the terminal, is nothing. */
static void understand(struct sg_strokes *strokes, const char *bytes, size_t length, struct sg_input *out)
{
    int32_t stroke = sg_sequence_common(bytes, length);
    if (!stroke)
        stroke = sg_sequence_find(strokes->own, strokes->n_own, bytes, length);
    if (stroke)
        give(out, stroke);
    else if (length == sizeof paste_start - 1 && memcmp(bytes, paste_start, length) == 0)
        start_paste(strokes);
    else if (length > 3 && bytes[1] == '[' && bytes[2] == '<')
        new_mouse(bytes, length, out);
    else if (length == 6 && bytes[1] == '[' && bytes[2] == 'M')
        mouse((unsigned char)bytes[3] - 32, (unsigned char)bytes[4] - 32, (unsigned char)bytes[5] - 32, out);
}

/* ---- characters ---- */

enum made { WHOLE, MORE, BROKEN };

/* Whether these bytes can still become a character of UTF-8: whether they are one with bytes behind them. */
static bool can_become(const char *bytes, size_t n)
{
    unsigned char lead = (unsigned char)bytes[0];
    size_t whole = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    char filled[4];
    if (n == 1)
        return lead >= 0xC2 && lead <= 0xF4;
    if (n >= whole)
        return false;
    memset(filled, 0x80, sizeof filled);
    memcpy(filled, bytes, n);
    return sg_utf8_character(filled, whole, NULL) == whole;
}

/* A byte of a character. BROKEN: what was there is none, and the byte is not taken unless it stood alone. */
static enum made make_character(struct sg_strokes *strokes, unsigned char byte, uint32_t *code)
{
    if (strokes->decode)
        return strokes->decode(strokes->context, byte, code) ? WHOLE : MORE;
    strokes->pending[strokes->n_pending++] = (char)byte;
    if (sg_utf8_character(strokes->pending, strokes->n_pending, code) > 0) {
        strokes->n_pending = 0;
        return WHOLE;
    }
    if (can_become(strokes->pending, strokes->n_pending))
        return MORE;
    strokes->n_pending = 0;
    return BROKEN;
}

/* ---- paste ---- */

static void paste_add(struct sg_strokes *strokes, const char *bytes, size_t length)
{
    if (strokes->paste_lost || strokes->paste_length + length > SG_PASTE_MAX) {
        strokes->paste_lost = true;
        return;
    }
    if (strokes->paste_length + length + 1 > strokes->paste_room) {
        size_t room = strokes->paste_room ? strokes->paste_room * 2 : 256;
        char *grown = realloc(strokes->paste, room);
        if (!grown) {
            strokes->paste_lost = true;
            return;
        }
        strokes->paste = grown;
        strokes->paste_room = room;
    }
    memcpy(strokes->paste + strokes->paste_length, bytes, length);
    strokes->paste_length += length;
    strokes->paste[strokes->paste_length] = '\0';
}

static void paste_code(struct sg_strokes *strokes, uint32_t code)
{
    char bytes[4];
    paste_add(strokes, bytes, sg_stroke_bytes(code, bytes));
}

static void paste_byte(struct sg_strokes *strokes, unsigned char byte)
{
    static const uint32_t replacement = 0xFFFD;
    uint32_t code = byte;
    bool began = strokes->n_pending > 0;
    enum made made = byte < 0x80 && !began ? WHOLE : make_character(strokes, byte, &code);
    bool line_end = strokes->paste_return && code == '\n'; /* the second half of one */
    if (made == BROKEN)
        paste_code(strokes, replacement);
    strokes->paste_return = made == WHOLE && code == '\r';
    if (made == WHOLE && code != 0 && !line_end)
        paste_code(strokes, code == '\r' ? '\n' : code);
    if (made == BROKEN && began)
        paste_byte(strokes, byte);
}

static void finish_paste(struct sg_strokes *strokes, struct sg_input *out)
{
    if (strokes->n_pending > 0)
        paste_code(strokes, 0xFFFD);
    strokes->n_pending = 0;
    strokes->state = REST;
    out->kind = SG_INPUT_PASTE;
    out->text = strokes->paste_lost ? NULL : strokes->paste ? strokes->paste : "";
    out->length = strokes->paste_lost ? 0 : strokes->paste_length;
}

/* Bytes that begin like the end mark and go on otherwise are text. */
static void paste_marked_byte(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    if (byte == (unsigned char)paste_end[strokes->paste_mark]) {
        if (++strokes->paste_mark == sizeof paste_end - 1)
            finish_paste(strokes, out);
        return;
    }
    for (size_t i = 0; i < strokes->paste_mark; i++)
        paste_byte(strokes, (unsigned char)paste_end[i]);
    strokes->paste_mark = byte == ESC;
    if (byte != ESC)
        paste_byte(strokes, byte);
}

/* ---- the machine ---- */

static void step(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out);

/* These bytes come before all others. They fit: all of them came out of `again`, or it is empty. */
static void read_again(struct sg_strokes *strokes, const char *bytes, size_t length)
{
    memmove(strokes->again + length, strokes->again, strokes->n_again);
    memcpy(strokes->again, bytes, length);
    strokes->n_again += length;
}

static void start_escape(struct sg_strokes *strokes)
{
    strokes->pending[0] = ESC;
    strokes->n_pending = 1;
    strokes->state = ESCAPE;
}

/* Esc was the key; what came behind it is read by itself. */
static void give_escape(struct sg_strokes *strokes, struct sg_input *out)
{
    read_again(strokes, strokes->pending + 1, strokes->n_pending - 1);
    strokes->n_pending = 0;
    strokes->state = REST;
    give(out, SG_STROKE_ESC);
}

static void step_escape(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    strokes->pending[strokes->n_pending++] = (char)byte;
    int length = pending_length(strokes);
    if (length == SG_NO_SEQUENCE) {
        give_escape(strokes, out);
    } else if (length == SG_IS_STRING) {
        strokes->n_pending = 0;
        strokes->state = STRING;
    } else if (length > 0) {
        size_t behind = strokes->n_pending - (size_t)length;
        strokes->n_pending = 0;
        strokes->state = REST;
        read_again(strokes, strokes->pending + length, behind);
        understand(strokes, strokes->pending, (size_t)length, out);
    } else if (strokes->n_pending == SG_SEQUENCE_MAX) {
        strokes->n_pending = 0;
        strokes->state = OVERLONG;
    }
}

static void step_rest(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    uint32_t code = 0;
    if (byte == ESC) {
        start_escape(strokes);
    } else if (byte < 0x80) {
        if (byte != 0)
            give(out, byte == '\n' ? SG_STROKE_ENTER : byte == '\b' ? SG_STROKE_BACKSPACE : byte);
    } else if (make_character(strokes, byte, &code) == WHOLE) {
        if (code >= 0xA0)
            give(out, (int32_t)code);
    } else {
        strokes->state = strokes->n_pending > 0 ? CHARACTER : REST;
    }
}

static void step_character(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    uint32_t code = 0;
    enum made made = make_character(strokes, byte, &code);
    strokes->state = made == MORE ? CHARACTER : REST;
    if (made == WHOLE && code >= 0xA0)
        give(out, (int32_t)code);
    else if (made == BROKEN)
        step_rest(strokes, byte, out);
}

/* Inside a string n_pending is 1 behind an Esc. */
static void step_string(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    if (strokes->n_pending > 0) {
        strokes->n_pending = 0;
        strokes->state = REST;
        if (byte != '\\') {
            start_escape(strokes);
            step(strokes, byte, out);
        }
    } else if (byte == ESC) {
        strokes->n_pending = 1;
    } else if (byte == BELL || byte == CANCEL || byte == SUBSTITUTE) {
        strokes->state = REST;
    }
}

static void step_overlong(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    if (byte >= 0x20 && byte <= 0x3F)
        return;
    strokes->state = REST;
    if (byte < 0x20 || byte > 0x7E)
        step_rest(strokes, byte, out);
}

static void step(struct sg_strokes *strokes, unsigned char byte, struct sg_input *out)
{
    static void (*const steps[])(struct sg_strokes *, unsigned char, struct sg_input *) = {
        [REST] = step_rest,     [CHARACTER] = step_character, [ESCAPE] = step_escape,
        [STRING] = step_string, [OVERLONG] = step_overlong,   [PASTE] = paste_marked_byte,
    };
    steps[strokes->state](strokes, byte, out);
}

size_t sg_strokes_take(struct sg_strokes *strokes, const char *bytes, size_t length, struct sg_input *out)
{
    size_t used = 0;
    *out = (struct sg_input){0};
    while (out->kind == SG_INPUT_NOTHING && (strokes->n_again > 0 || used < length)) {
        unsigned char byte;
        if (strokes->n_again > 0) {
            byte = (unsigned char)strokes->again[0];
            memmove(strokes->again, strokes->again + 1, --strokes->n_again);
        } else {
            byte = (unsigned char)bytes[used++];
        }
        step(strokes, byte, out);
    }
    return used;
}

int sg_strokes_wait(const struct sg_strokes *strokes, int esc_ms)
{
    if (strokes->n_again > 0)
        return 0;
    if (strokes->state == REST)
        return -1;
    if (strokes->state == PASTE)
        return SG_PASTE_WAIT;
    return strokes->state == ESCAPE && strokes->n_pending == 1 ? esc_ms : SG_SEQUENCE_WAIT;
}

void sg_strokes_late(struct sg_strokes *strokes, struct sg_input *out)
{
    *out = (struct sg_input){0};
    if (strokes->n_again > 0) {
        sg_strokes_take(strokes, NULL, 0, out);
    } else if (strokes->state == PASTE) {
        finish_paste(strokes, out);
    } else if (strokes->state == ESCAPE && strokes->n_pending <= 2) {
        give_escape(strokes, out); /* and [ or O behind it, which were keys too */
    } else {
        strokes->n_pending = 0;
        strokes->state = REST;
    }
}

void sg_strokes_free(struct sg_strokes *strokes)
{
    free(strokes->paste);
    strokes->paste = NULL;
}
