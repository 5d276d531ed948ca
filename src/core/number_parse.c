/* A whole text as a number or a sum, and the unit of what comes out. */
#include "number_scan.h"

#include <float.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Doubles beyond this have gaps of more than 1 between them. */
#define WHOLE_MAX 9007199254740992.0L

static void stop(struct scan *s, enum sg_parse_state state, size_t at, const char *format, va_list arguments)
    __attribute__((format(printf, 4, 0)));

static void stop(struct scan *s, enum sg_parse_state state, size_t at, const char *format, va_list arguments)
{
    s->out->state = state;
    s->out->at = at;
    vsnprintf(s->out->text, sizeof s->out->text, format, arguments);
}

bool sg_scan_unfinished(struct scan *s, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    stop(s, SG_PARSE_UNFINISHED, s->length, format, arguments);
    va_end(arguments);
    return false;
}

bool sg_scan_wrong(struct scan *s, size_t at, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    stop(s, SG_PARSE_WRONG, at, format, arguments);
    va_end(arguments);
    return false;
}

char sg_scan_char(const struct scan *s)
{
    return s->text[s->pos];
}

bool sg_scan_digit(const struct scan *s)
{
    return sg_scan_char(s) >= '0' && sg_scan_char(s) <= '9';
}

bool sg_scan_one_of(const struct scan *s, const char *set)
{
    return !sg_scan_ended(s) && strchr(set, sg_scan_char(s));
}

bool sg_scan_ended(const struct scan *s)
{
    return s->pos == s->length;
}

size_t sg_scan_blank_at(const struct scan *s, size_t at)
{
    /* Texts copied from tables and letters have no-break blanks, U+00A0 and U+202F. */
    static const char *const blanks[] = {" ", "\t", "\xC2\xA0", "\xE2\x80\xAF"};
    for (size_t i = 0; i < sizeof blanks / sizeof *blanks; i++)
        if (strncmp(s->text + at, blanks[i], strlen(blanks[i])) == 0)
            return strlen(blanks[i]);
    return 0;
}

void sg_scan_blanks(struct scan *s)
{
    for (size_t n; (n = sg_scan_blank_at(s, s->pos)) > 0;)
        s->pos += n;
}

static bool read_sum(struct scan *s, struct worth *sum);

static size_t deepest_bracket(const char *text)
{
    size_t depth = 0, deepest = 0;
    for (; *text; text++) {
        if (*text == '(' && ++depth > deepest)
            deepest = depth;
        if (*text == ')' && depth > 0)
            depth--;
    }
    return deepest;
}

static bool read_bracket(struct scan *s, struct worth *worth)
{
    if (++s->depth > SG_NUMBER_DEPTH_MAX)
        return sg_scan_wrong(s, s->pos, "brackets are %zu deep, at most %d are read",
                             deepest_bracket(s->text), (int)SG_NUMBER_DEPTH_MAX);
    s->before = '(';
    s->pos++;
    if (!read_sum(s, worth))
        return false;
    if (sg_scan_ended(s))
        return sg_scan_unfinished(s, "unfinished: ) is expected");
    if (sg_scan_char(s) != ')')
        return sg_scan_wrong(s, s->pos, "one of + - * / ) is expected here");
    s->pos++;
    sg_scan_blanks(s);
    s->depth--;
    s->open = false;
    return true;
}

/* A number with its signs, or a bracket. */
static bool read_factor(struct scan *s, bool behind_slash, struct worth *worth)
{
    bool minus = false;
    sg_scan_blanks(s);
    for (; sg_scan_char(s) == '-'; sg_scan_blanks(s)) {
        minus = !minus;
        s->before = '-';
        s->pos++;
    }
    size_t from = s->pos;
    if (sg_scan_char(s) == '(') {
        if (!read_bracket(s, worth))
            return false;
    } else if (!sg_scan_literal(s, behind_slash ? LITERAL_BEHIND_SLASH : LITERAL_IN_SUM, worth) ||
               !sg_scan_unit(s, from, worth)) {
        return false;
    }
    if (minus)
        worth->value = -worth->value;
    return true;
}

static bool multiply(struct scan *s, size_t at, struct worth *a, const struct worth *b)
{
    const char *word = sg_dimension_word(s->how->dimension);
    if (a->has_unit && b->has_unit)
        return sg_scan_wrong(s, at, "%s times %s is not %s: one of the two must be a plain number", word,
                             word, word);
    a->value *= b->value;
    a->has_unit = a->has_unit || b->has_unit;
    return isfinite(a->value) || sg_scan_wrong(s, at, "too large: at most 1.7e308 can be held");
}

static bool divide(struct scan *s, size_t at, struct worth *a, const struct worth *b)
{
    if (b->has_unit && !a->has_unit)
        return sg_scan_wrong(s, at, "a plain number cannot be divided by %s: divide by a plain number",
                             sg_dimension_word(s->how->dimension));
    if (b->value == 0) /* 1/0 may still become 1/0.5 */
        return s->open && !b->has_unit ? sg_scan_unfinished(s, "unfinished: nothing can be divided by 0")
                                       : sg_scan_wrong(s, at, "nothing can be divided by 0");
    a->value /= b->value;
    a->has_unit = a->has_unit && !b->has_unit;
    return isfinite(a->value) || sg_scan_wrong(s, at, "too large: at most 1.7e308 can be held");
}

static bool read_term(struct scan *s, struct worth *term)
{
    if (!read_factor(s, false, term))
        return false;
    while (sg_scan_one_of(s, "*/")) {
        struct worth factor;
        bool slash = sg_scan_char(s) == '/';
        s->before = sg_scan_char(s);
        size_t at = ++s->pos;
        if (!read_factor(s, slash, &factor))
            return false;
        if (!(slash ? divide : multiply)(s, at, term, &factor))
            return false;
    }
    return true;
}

static bool needs_unit(struct scan *s, size_t at)
{
    if (sg_scan_ended(s))
        return sg_scan_unfinished(s, "unfinished: a unit is expected, such as %s", sg_scan_unit_example(s));
    return sg_scan_wrong(s, at, "each number needs a unit here, such as %s", sg_scan_unit_example(s));
}

/* Beside a number with a unit a plain one is in the unit of bare numbers. */
static bool give_bare_unit(struct scan *s, size_t at, struct worth *worth)
{
    if (!s->bare)
        return needs_unit(s, at);
    worth->value *= s->bare->factor;
    worth->has_unit = true;
    return true;
}

static bool read_sum(struct scan *s, struct worth *sum)
{
    size_t from = s->pos;
    if (!read_term(s, sum))
        return false;
    while (sg_scan_one_of(s, "+-")) {
        struct worth term;
        bool minus = sg_scan_char(s) == '-';
        s->before = sg_scan_char(s);
        size_t at = ++s->pos;
        if (!read_term(s, &term))
            return false;
        if (term.has_unit && !sum->has_unit && !give_bare_unit(s, from, sum))
            return false;
        if (!term.has_unit && sum->has_unit && !give_bare_unit(s, at, &term))
            return false;
        sum->value += minus ? -term.value : term.value;
    }
    return true;
}

static bool read_whole_sum(struct scan *s, struct worth *worth)
{
    s->sum = true;
    s->before = '=';
    s->pos++;
    if (!read_sum(s, worth))
        return false;
    if (sg_scan_char(s) == ')')
        return sg_scan_wrong(s, s->pos, "there is no ( for this )");
    return sg_scan_ended(s) || sg_scan_wrong(s, s->pos, "one of + - * / is expected here");
}

static bool read_alone(struct scan *s, struct worth *worth)
{
    bool minus = sg_scan_char(s) == '-';
    if (minus) {
        s->before = '-';
        s->pos++;
        sg_scan_blanks(s);
    }
    size_t from = s->pos;
    if (!sg_scan_literal(s, LITERAL_ALONE, worth) || !sg_scan_unit(s, from, worth))
        return false;
    if (minus)
        worth->value = -worth->value;
    sg_scan_blanks(s);
    return sg_scan_ended(s) ||
           sg_scan_wrong(s, s->pos, "nothing is expected after the unit; a sum begins with =");
}

/* A sum may go on, a number without unit may get a smaller one. */
static bool may_change(const struct scan *s)
{
    return s->sum || s->open || (!s->unit_typed && s->how->dimension != SG_DIM_NUMBER);
}

static bool refuse_result(struct scan *s, const char *why)
{
    return may_change(s) ? sg_scan_unfinished(s, "unfinished: %s", why) : sg_scan_wrong(s, 0, "%s", why);
}

static void say_comma(const struct scan *s)
{
    char *text = s->out->text, *comma;
    snprintf(text, sizeof s->out->text, "read as %.*s", (int)(s->comma_to - s->comma_from),
             s->text + s->comma_from);
    comma = strchr(text, ',');
    if (comma)
        *comma = '.';
}

static bool finish(struct scan *s, struct worth *worth)
{
    bool bare = !worth->has_unit;
    if (bare && !give_bare_unit(s, 0, worth))
        return false;
    long double size = fabsl(worth->value);
    if (!(size <= (long double)DBL_MAX))
        return refuse_result(s, "too large: at most 1.7e308 can be held");
    if (size > 0 && (double)size == 0)
        return refuse_result(s, "too small: type 0, or at least 5e-324");
    if (s->how->whole && (size > WHOLE_MAX || floorl(size) != size))
        return refuse_result(s, size > WHOLE_MAX ? "a whole number up to 9007199254740992 is expected"
                                                 : "a whole number is expected");
    s->out->state = SG_PARSE_WHOLE;
    s->out->bare = bare;
    s->out->value = (double)worth->value + 0.0; /* no negative zero */
    if (s->comma_to)
        say_comma(s);
    return true;
}

void sg_number_parse(const char *text, const struct sg_reading *how, struct sg_parsed *out)
{
    struct scan s = {.text = text, .length = strlen(text), .how = how, .out = out, .bare = how->bare};
    struct worth worth = {0};
    out->state = SG_PARSE_WRONG;
    out->value = 0;
    out->bare = false;
    out->at = 0;
    out->text[0] = '\0';
    if (s.length > SG_NUMBER_TEXT_MAX) {
        sg_scan_wrong(&s, SG_NUMBER_TEXT_MAX, "the text has %zu bytes, at most %d are read", s.length,
                      (int)SG_NUMBER_TEXT_MAX);
        return;
    }
    if (!s.bare && how->dimension == SG_DIM_NUMBER)
        s.bare = sg_unit_canonical(SG_DIM_NUMBER);
    sg_scan_blanks(&s);
    if (sg_scan_char(&s) == '=' ? read_whole_sum(&s, &worth) : read_alone(&s, &worth))
        finish(&s, &worth);
}
