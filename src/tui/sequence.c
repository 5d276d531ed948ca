#include "tui/sequence.h"

#include <stdbool.h>
#include <string.h>

/* What terminals in use send without modifiers; the console of Linux and the vt100 among them. The keypad in
 * application mode is read as the figures on its keys: on a vt100 some of them are called F5 to F10, and a
 * figure that leaves the program would be worse than an F-key that does not work. */
static const struct sg_sequence common[] = {
    {"\033[A", SG_STROKE_UP},
    {"\033[B", SG_STROKE_DOWN},
    {"\033[C", SG_STROKE_RIGHT},
    {"\033[D", SG_STROKE_LEFT},
    {"\033OA", SG_STROKE_UP},
    {"\033OB", SG_STROKE_DOWN},
    {"\033OC", SG_STROKE_RIGHT},
    {"\033OD", SG_STROKE_LEFT},
    {"\033[H", SG_STROKE_HOME},
    {"\033[F", SG_STROKE_END},
    {"\033OH", SG_STROKE_HOME},
    {"\033OF", SG_STROKE_END},
    {"\033[1~", SG_STROKE_HOME},
    {"\033[4~", SG_STROKE_END},
    {"\033[7~", SG_STROKE_HOME},
    {"\033[8~", SG_STROKE_END},
    {"\033[2~", SG_STROKE_INSERT},
    {"\033[3~", SG_STROKE_DELETE},
    {"\033[5~", SG_STROKE_PAGE_UP},
    {"\033[6~", SG_STROKE_PAGE_DOWN},
    {"\033[Z", SG_STROKE_BACK_TAB},
    {"\033OM", SG_STROKE_ENTER},
    {"\033OP", SG_STROKE_F1},
    {"\033[11~", SG_STROKE_F1},
    {"\033OQ", SG_STROKE_F1 + 1},
    {"\033[12~", SG_STROKE_F1 + 1},
    {"\033OR", SG_STROKE_F1 + 2},
    {"\033[13~", SG_STROKE_F1 + 2},
    {"\033OS", SG_STROKE_F1 + 3},
    {"\033[14~", SG_STROKE_F1 + 3},
    {"\033[[A", SG_STROKE_F1},
    {"\033[[B", SG_STROKE_F1 + 1},
    {"\033[[C", SG_STROKE_F1 + 2},
    {"\033[[D", SG_STROKE_F1 + 3},
    {"\033[[E", SG_STROKE_F1 + 4},
    {"\033[15~", SG_STROKE_F1 + 4},
    {"\033[17~", SG_STROKE_F1 + 5},
    {"\033[18~", SG_STROKE_F1 + 6},
    {"\033[19~", SG_STROKE_F1 + 7},
    {"\033[20~", SG_STROKE_F1 + 8},
    {"\033[21~", SG_STROKE_F1 + 9},
    {"\033[23~", SG_STROKE_F1 + 10},
    {"\033[24~", SG_STROKE_F1 + 11},
    {"\033OI", SG_STROKE_TAB},
    {"\033O ", ' '},
    {"\033OX", '='},
    {"\033Oj", '*'},
    {"\033Ok", '+'},
    {"\033Ol", ','},
    {"\033Om", '-'},
    {"\033On", '.'},
    {"\033Oo", '/'},
    {"\033Op", '0'},
    {"\033Oq", '1'},
    {"\033Or", '2'},
    {"\033Os", '3'},
    {"\033Ot", '4'},
    {"\033Ou", '5'},
    {"\033Ov", '6'},
    {"\033Ow", '7'},
    {"\033Ox", '8'},
    {"\033Oy", '9'},
};
enum { COMMON = sizeof common / sizeof *common };

int32_t sg_sequence_find(const struct sg_sequence *table, int n, const char *bytes, size_t length)
{
    for (int i = 0; i < n; i++)
        if (strlen(table[i].bytes) == length && memcmp(table[i].bytes, bytes, length) == 0)
            return table[i].stroke;
    return 0;
}

int32_t sg_sequence_common(const char *bytes, size_t length)
{
    return sg_sequence_find(common, COMMON, bytes, length);
}

static bool is_final(unsigned char byte)
{
    return byte >= 0x40 && byte <= 0x7E;
}

static int control_length(const char *bytes, int n)
{
    bool figures = true;
    if (n == 2)
        return 0;
    if (bytes[2] == '[') /* F1 to F5 of the Linux console */
        return n < 4 ? 0 : 4;
    if (bytes[2] == 'M') /* the old mouse: a button and a place, a byte each */
        return n < 6 ? 0 : 6;
    for (int i = 2; i < n; i++) {
        unsigned char byte = (unsigned char)bytes[i];
        bool shifted = byte == '$' && figures && i > 2; /* one terminal's Shift-Home: no final byte */
        if (is_final(byte) || shifted)
            return i + 1;
        if (byte < 0x20 || byte > 0x3F)
            return i;
        figures = figures && byte >= '0' && byte <= '9';
    }
    return 0;
}

static int keypad_length(const char *bytes, int n)
{
    for (int i = 2; i < n; i++) {
        unsigned char byte = (unsigned char)bytes[i];
        if (is_final(byte) || (byte == ' ' && i == 2))
            return i + 1;
        if ((byte < '0' || byte > '9') && byte != ';')
            return i == 2 ? SG_NO_SEQUENCE : i;
    }
    return 0;
}

/* An answer of the terminal, to be swallowed up to its end mark; but Esc and then the key P or ] is not one.
 */
static int string_length(const char *bytes, int n, const char *starts)
{
    if (n == 2)
        return 0;
    return bytes[2] && strchr(starts, bytes[2]) ? SG_IS_STRING : SG_NO_SEQUENCE;
}

int sg_sequence_length(const char *bytes, int n)
{
    if (n == 1)
        return 0;
    switch (bytes[1]) {
    case '[':
        return control_length(bytes, n);
    case 'O':
        return keypad_length(bytes, n);
    case 'P':
        return string_length(bytes, n, " !\"#$%&'()*+,-./0123456789:;<=>?");
    case ']':
        return string_length(bytes, n, "0123456789lLI");
    case '_':
    case '^':
        return SG_IS_STRING;
    default:
        return SG_NO_SEQUENCE;
    }
}
