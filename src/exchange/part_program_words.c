/* A line of a part program as words: a letter and a number, blanks anywhere, comments left out. */
#include "exchange/part_program_inside.h"

#include <math.h>
#include <string.h>

#define ROW(code, act) [10 * (code)] = (act)

/* By tenths of the code. G words that are not here are said and passed over. */
static const unsigned char acts[1000] = {
    ROW(0, G_MOVE),
    ROW(1, G_MOVE),
    ROW(2, G_MOVE),
    ROW(3, G_MOVE),
    ROW(4, G_OWN_WORDS),
    ROW(5, G_REFUSED),
    ROW(9, G_PASSED),
    ROW(10, G_REFUSED),
    ROW(12, G_REFUSED),
    ROW(13, G_REFUSED),
    ROW(15, G_PASSED),
    ROW(16, G_REFUSED),
    ROW(17, G_PLANE),
    ROW(18, G_PLANE),
    ROW(19, G_PLANE),
    ROW(20, G_UNIT),
    ROW(21, G_UNIT),
    ROW(28, G_HOME),
    ROW(30, G_HOME),
    ROW(31, G_REFUSED),
    ROW(33, G_REFUSED),
    ROW(40, G_PASSED),
    ROW(41, G_PASSED),
    ROW(42, G_PASSED),
    ROW(43, G_PASSED),
    ROW(44, G_PASSED),
    ROW(49, G_PASSED),
    ROW(50, G_PASSED),
    ROW(51, G_REFUSED),
    ROW(52, G_REFUSED),
    ROW(53, G_MACHINE),
    ROW(54, G_PLACE),
    ROW(55, G_PLACE),
    ROW(56, G_PLACE),
    ROW(57, G_PLACE),
    ROW(58, G_PLACE),
    ROW(59, G_PLACE),
    ROW(60, G_PASSED),
    ROW(61, G_PASSED),
    ROW(62, G_PASSED),
    ROW(63, G_PASSED),
    ROW(64, G_PASSED),
    ROW(65, G_REFUSED),
    ROW(66, G_REFUSED),
    ROW(67, G_PASSED),
    ROW(68, G_REFUSED),
    ROW(69, G_PASSED),
    ROW(70, G_UNIT),
    ROW(71, G_UNIT),
    ROW(73, G_REFUSED),
    ROW(74, G_REFUSED),
    ROW(76, G_REFUSED),
    ROW(80, G_NO_MOVE),
    ROW(81, G_REFUSED),
    ROW(82, G_REFUSED),
    ROW(83, G_REFUSED),
    ROW(84, G_REFUSED),
    ROW(85, G_REFUSED),
    ROW(86, G_REFUSED),
    ROW(87, G_REFUSED),
    ROW(88, G_REFUSED),
    ROW(89, G_REFUSED),
    ROW(90, G_ABSOLUTE),
    ROW(91, G_RELATIVE),
    ROW(92, G_SET),
    ROW(93, G_PASSED),
    ROW(94, G_PASSED),
    ROW(95, G_PASSED),
    ROW(96, G_PASSED),
    ROW(97, G_PASSED),
    ROW(98, G_PASSED),
    ROW(99, G_PASSED),
    /* with a tenth */
    [51] = G_REFUSED,
    [52] = G_REFUSED,
    [53] = G_REFUSED,
    [281] = G_PASSED,
    [301] = G_PASSED,
    [411] = G_PASSED,
    [421] = G_PASSED,
    [431] = G_PASSED,
    [432] = G_PASSED,
    [501] = G_PASSED,
    [511] = G_REFUSED,
    [591] = G_PLACE,
    [592] = G_PLACE,
    [593] = G_PLACE,
    [611] = G_PASSED,
    [901] = G_CENTRE_ABSOLUTE,
    [911] = G_CENTRE_RELATIVE,
    [921] = G_UNSET,
    [922] = G_SUSPEND,
    [923] = G_RESTORE,
};

enum g_act g_act_of(int tenths)
{
    return tenths >= 0 && tenths < 1000 ? (enum g_act)acts[tenths] : G_UNKNOWN;
}

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t' || byte == '\x1A';
}

static const char *past_blanks(const char *at)
{
    while (is_blank(*at))
        at++;
    return at;
}

static bool of_number(char byte)
{
    return (byte >= '0' && byte <= '9') || byte == '.' || byte == '+' || byte == '-';
}

/* A number with blanks in it: "- 1 2.5" is -12.5. */
static bool broken_number(const char **at, double *value)
{
    char whole[64];
    size_t n = 0;
    const char *next = past_blanks(*at), *start = whole;
    for (; of_number(*next) && n < sizeof whole - 1; next = past_blanks(next + 1))
        whole[n++] = *next;
    whole[n] = '\0';
    if (!decimal(&start, false, value) || *start != '\0')
        return false;
    *at = next;
    return true;
}

static bool number_at(const char **at, double *value)
{
    const char *next = past_blanks(*at);
    if (decimal(&next, false, value) && !(is_blank(*next) && of_number(*past_blanks(next)))) {
        *at = next;
        return true;
    }
    return broken_number(at, value);
}

/* ---- what a word may not be ---- */

static bool no_word(struct gather *gather, const char *at)
{
    char copy[8] = {*at}, clean[40];
    switch (*at) {
    case ',':
        return refuse(gather, "a comma in a block: numbers have a point");
    case '#':
    case '[':
    case ']':
    case '=':
    case '<':
    case '>':
    case '*':
        return refuse(gather,
                      "\"%c\": variables, sums and subprograms are not read: write the program out "
                      "with plain numbers",
                      *at);
    default:
        if ((unsigned char)*at >= 0x80) /* the whole character */
            strncpy(copy, at, 4);
        return refuse(gather, "\"%s\" is no word of a part program: a letter and a number such as X12.5",
                      shown(copy, clean, sizeof clean));
    }
}

static bool no_number(struct gather *gather, char letter, const char *at)
{
    at = past_blanks(at);
    if (*at == '#' || *at == '[')
        return no_word(gather, at);
    char copy[24], clean[80];
    size_t n = strnlen(at, sizeof copy - 1);
    memcpy(copy, at, n);
    copy[n] = '\0';
    return refuse(gather, "%c must be followed by a number, %s%s%s", letter,
                  n ? "not by \"" : "not by nothing", shown(copy, clean, sizeof clean), n ? "\"" : "");
}

/* ---- taking words ---- */

static bool take_code(struct gather *gather, char letter, double value, int *codes, int *n)
{
    double tenths = value * 10;
    if (!(tenths >= 0 && tenths < 1e6) || fabs(tenths - round(tenths)) > 1e-6)
        return refuse(gather, "%c%g is no code", letter, value);
    if (*n >= CODES_MOST)
        return refuse(gather, "more than %d %c words in one block", CODES_MOST, letter);
    codes[(*n)++] = (int)round(tenths);
    return true;
}

static bool take_word(struct gather *gather, struct words *words, char letter, double value)
{
    if (letter == 'G')
        return take_code(gather, letter, value, words->g, &words->n_g);
    if (letter == 'M')
        return take_code(gather, letter, value, words->m, &words->n_m);
    if (has_word(words, letter) && strchr("XYIJR", letter))
        return refuse(gather, "%c stands twice in one block", letter);
    words->has |= 1u << (letter - 'A');
    words->value[letter - 'A'] = value;
    return true;
}

/* From a bracket to the one that closes it, or to the end of the line. */
static const char *past_comment(struct gather *gather, const char *at)
{
    const char *close = strchr(at, ')');
    if (close)
        return close + 1;
    tell(gather, PROBLEM_WORD, "a comment is not closed: the rest of its line was taken for it");
    return at + strlen(at);
}

static bool take_at(struct gather *gather, const char **at, struct words *words)
{
    char letter = (char)(**at & ~0x20);
    double value;
    if (**at == ':')
        letter = 'O'; /* how some programs write their number */
    if (letter < 'A' || letter > 'Z')
        return no_word(gather, *at);
    const char *next = *at + 1;
    if (!number_at(&next, &value))
        return no_number(gather, letter, next);
    *at = next;
    return take_word(gather, words, letter, value);
}

bool words_read(struct gather *gather, const char *text, struct words *words)
{
    words->has = 0;
    words->n_g = words->n_m = 0;
    for (const char *at = past_blanks(text); *at && *at != ';' && *at != '%'; at = past_blanks(at)) {
        if (*at == '(') {
            at = past_comment(gather, at);
        } else if (*at == '/') {
            tell(gather, PROBLEM_WORD, "blocks with / may be passed over by the machine: they were read");
            at++;
        } else if (!take_at(gather, &at, words)) {
            return false;
        }
    }
    return true;
}
