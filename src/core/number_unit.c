/* The unit behind a number, and what to say where there is none that fits. */
#include "number_scan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* What stands behind a number, compared with the table. */
struct match {
    const struct sg_unit *unit; /* the longest name that stands there as a whole word, of any dimension */
    size_t length;
    size_t reach;  /* so many bytes are the beginning of a unit of the right dimension */
    bool runs_out; /* the text ends within such a unit */
};

static bool word_ends(const struct scan *s, size_t at)
{
    return at == s->length || sg_scan_blank_at(s, at) || strchr("+-*/()", s->text[at]);
}

static void compare(const struct scan *s, const struct sg_unit *unit, struct match *m)
{
    const char *typed = s->text + s->pos;
    size_t n = 0;
    while (unit->name[n] && lower(unit->name[n]) == lower(typed[n]))
        n++;
    if (!unit->name[n] && n > m->length && word_ends(s, s->pos + n)) {
        m->unit = unit;
        m->length = n;
    }
    if (unit->dimension != s->how->dimension)
        return;
    if (n > m->reach)
        m->reach = n;
    if (n > 0 && unit->name[n] && s->pos + n == s->length)
        m->runs_out = true;
}

static bool bag_known(const struct scan *s)
{
    bool mass = s->how->dimension == SG_DIM_MASS || s->how->dimension == SG_DIM_PER_MASS;
    return mass && s->how->bag_kg > 0 && isfinite(s->how->bag_kg);
}

const char *sg_scan_unit_example(const struct scan *s)
{
    const char *name = s->bare ? s->bare->name : sg_unit_canonical(s->how->dimension)->name;
    return *name || s->how->dimension != SG_DIM_RATIO ? name : "%";
}

/* "mm, cm, m, in, ft": each unit as it is shown, its other spellings left out. */
static void list_units(const struct scan *s, char *out, size_t size)
{
    size_t length = 0;
    const struct sg_unit *first = sg_unit_canonical(s->how->dimension);
    out[0] = '\0';
    for (const struct sg_unit *unit = first; unit->dimension == s->how->dimension; unit++) {
        bool shown_before = false;
        for (const struct sg_unit *u = first; u < unit; u++)
            shown_before = shown_before || u->factor == unit->factor;
        if (*unit->name && !shown_before && length < size)
            length += (size_t)snprintf(out + length, size - length, "%s%s", length ? ", " : "", unit->name);
    }
    if (bag_known(s) && length < size)
        snprintf(out + length, size - length, s->how->dimension == SG_DIM_MASS ? ", bag" : ", /bag");
}

static bool is_word(const struct scan *s, const char *word)
{
    size_t n = 0;
    while (word[n] && word[n] == lower(s->text[s->pos + n]))
        n++;
    return !word[n] && word_ends(s, s->pos + n);
}

/* Units that exist, in their place or not, and nothing that the table knows. */
static bool refuse_word(struct scan *s, const struct match *m, const char *number)
{
    enum sg_dimension wanted = s->how->dimension;
    const char *expected = sg_dimension_word(wanted), *example = sg_scan_unit_example(s);
    size_t at = s->pos + m->reach;
    char list[120];
    if (wanted == SG_DIM_LENGTH && (is_word(s, "ga") || is_word(s, "gauge")))
        return sg_scan_wrong(s, s->pos, "gauge depends on the metal: type mm or inch");
    if (wanted == SG_DIM_MASS && (is_word(s, "bag") || is_word(s, "bags")))
        return sg_scan_wrong(s, s->pos, "the mass of a bag is not known here: type a number and %s", example);
    if (m->unit && m->unit->dimension != wanted)
        return sg_scan_wrong(s, at, "%s is a unit of %s; %s is expected here, such as %s%s%s", m->unit->name,
                             sg_dimension_word(m->unit->dimension), expected, number, *example ? " " : "",
                             example);
    if (wanted == SG_DIM_NUMBER)
        return sg_scan_wrong(s, at, "a %s number without unit is expected",
                             s->how->whole ? "whole" : "plain");
    list_units(s, list, sizeof list);
    return sg_scan_wrong(s, at, "not a unit of %s: %s", expected, list);
}

static bool take_unit(struct scan *s, const struct match *m, struct worth *worth)
{
    s->pos += m->length;
    s->open = m->runs_out;
    sg_scan_blanks(s);
    s->unit_typed = true;
    worth->value *= m->unit->factor;
    worth->has_unit = true;
    return true;
}

bool sg_scan_unit(struct scan *s, size_t from, struct worth *worth)
{
    char number[24] = "12";
    size_t behind = s->pos;
    sg_scan_blanks(s);
    if (s->pos > behind)
        s->open = false;
    bool price = sg_scan_char(s) == '/' && *sg_unit_canonical(s->how->dimension)->name == '/';
    if (sg_scan_ended(s) || (s->sum && !price && sg_scan_one_of(s, "+-*/()")))
        return true;
    struct match m = {0};
    for (const struct sg_unit *unit = sg_units; unit->name; unit++)
        compare(s, unit, &m);
    const struct sg_unit bags[] = {{"bag", SG_DIM_MASS, (long double)s->how->bag_kg},
                                   {"bags", SG_DIM_MASS, (long double)s->how->bag_kg},
                                   {"/bag", SG_DIM_PER_MASS, 1 / (long double)s->how->bag_kg}};
    for (size_t i = 0; bag_known(s) && i < sizeof bags / sizeof *bags; i++)
        compare(s, &bags[i], &m);
    if (m.unit && m.unit->dimension == s->how->dimension)
        return take_unit(s, &m, worth);
    if (m.runs_out) {
        s->pos = s->length;
        return sg_scan_unfinished(s, "unfinished: a unit of %s is expected, such as %s",
                                  sg_dimension_word(s->how->dimension), sg_scan_unit_example(s));
    }
    if (!s->sum && !m.unit && !price && sg_scan_one_of(s, "+-*/()="))
        return sg_scan_wrong(s, s->pos, "a sum begins with =, such as =12*4.5");
    if (sg_scan_char(s) == ':')
        return sg_scan_wrong(s, s->pos, "a time with a colon stands alone, such as 1:30, and not in a sum");
    if (behind - from < sizeof number) {
        memcpy(number, s->text + from, behind - from);
        number[behind - from] = '\0';
    }
    return refuse_word(s, &m, number);
}
