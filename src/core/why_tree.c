/* The tree of `why` under construction. */
#include "why_inside.h"

#include "sandglass/rules.h"
#include "sandglass/study.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { TEXT_SIZE = 2000, DIGITS = 6 };

/* ---- lines ---- */

static bool grow(struct sg_why_build *w)
{
    int room = w->room ? w->room * 2 : 64;
    struct sg_why_line *lines = sg_arena_take(w->arena, (size_t)room * sizeof *lines);
    if (!lines) {
        w->failed = true;
        return false;
    }
    if (w->n > 0)
        memcpy(lines, w->lines, (size_t)w->n * sizeof *lines);
    w->lines = lines;
    w->room = room;
    return true;
}

struct sg_why_line *sg_why_add(struct sg_why_build *w, const char *name, const char *symbol)
{
    struct sg_why_line *line = &w->spare;
    if (w->n < w->room || grow(w))
        line = &w->lines[w->n++];
    *line = (struct sg_why_line){.depth = w->depth,
                                 .name = name,
                                 .symbol = symbol ? symbol : name,
                                 .dimension = SG_DIM_NUMBER,
                                 .value = (double)NAN,
                                 .basis = SG_UNKNOWN,
                                 .at = (double)NAN};
    return line;
}

struct sg_why_line *sg_why_number(struct sg_why_build *w, const char *name, const char *symbol,
                                  enum sg_dimension dimension, double value)
{
    struct sg_why_line *line = sg_why_add(w, name, symbol);
    line->dimension = dimension;
    line->value = value;
    return line;
}

struct sg_why_line *sg_why_whole(struct sg_why_build *w, const char *name, int64_t value)
{
    struct sg_why_line *line = sg_why_add(w, name, NULL);
    line->shape = SG_WHY_WHOLE;
    line->value = sg_why_count(value);
    return line;
}

struct sg_why_line *sg_why_moment(struct sg_why_build *w, const char *name, double value)
{
    struct sg_why_line *line = sg_why_number(w, name, NULL, SG_DIM_DURATION, value);
    line->shape = SG_WHY_MOMENT;
    return line;
}

double sg_why_count(int64_t count)
{
    return count == SG_UNKNOWN ? (double)NAN : (double)count;
}

void sg_why_formula(struct sg_why_line *line, const char *formula, bool own_units, int basis,
                    const char *source)
{
    line->formula = formula;
    line->own_units = own_units;
    line->basis = basis;
    line->source = source;
}

void sg_why_more(struct sg_why_line *line, struct sg_target from, const char *name)
{
    line->has_from = true;
    line->from = from;
    line->more = name;
}

const char *sg_why_words(struct sg_why_build *w, const char *format, ...)
{
    char text[TEXT_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    const char *copy = sg_arena_text(w->arena, text, strlen(text));
    w->failed = w->failed || !copy;
    return copy ? copy : "";
}

const char *sg_why_key(struct sg_why_build *w, struct sg_target target)
{
    char key[400];
    sg_key_write(w->shop, target, key, sizeof key);
    return sg_why_words(w, "%s", key);
}

/* ---- lines read from a field ---- */

static const void *fresh_record(const struct sg_shop *shop, struct sg_target from)
{
    switch (from.kind) {
    case SG_KIND_JOB:
        return &sg_fresh_job;
    case SG_KIND_STOCK:
        return &sg_fresh_stock;
    case SG_KIND_PART:
        return &sg_fresh_part;
    case SG_KIND_SHIFT:
        return &sg_fresh_shift;
    case SG_KIND_MACHINE:
        return &sg_fresh_machine;
    case SG_KIND_HEAD:
        return &sg_fresh_heads[shop->heads[from.index].kind];
    case SG_KIND_CHORE:
        return &sg_fresh_chore;
    case SG_KIND_RATES:
        return &sg_fresh_rates;
    default:
        return NULL; /* a material is as its library says */
    }
}

static enum sg_why_origin origin_of(struct sg_why_build *w, struct sg_target from,
                                    const struct sg_field *field, const struct sg_value *value,
                                    const char **fresh_text)
{
    const void *fresh = fresh_record(w->shop, from);
    bool placed =
        field->type == SG_FIELD_SHIFT || (from.kind == SG_KIND_JOB && field->type == SG_FIELD_WHOLE);
    if (!fresh || placed)
        return SG_WHY_GIVEN;
    struct sg_value before;
    char shown[400];
    sg_field_get(field, fresh, &before);
    if (sg_field_same(field, &before, value))
        return value->none ? SG_WHY_NONE : SG_WHY_FRESH;
    if (before.none)
        return SG_WHY_TYPED;
    sg_field_show(field, w->shop, &before, shown, sizeof shown);
    *fresh_text = sg_why_words(w, "%s", shown);
    return SG_WHY_CHANGED;
}

/* Fresh figures that stand for a model's constant and not only for the invented machine. */
static int fresh_basis(const struct sg_field *field)
{
    static const struct {
        enum sg_kind kind;
        const char *name;
        enum sg_basis basis;
    } constants[] = {{SG_KIND_MACHINE, "pierce_base", SG_BASIS_ESTIMATE},
                     {SG_KIND_MACHINE, "pierce_factor", SG_BASIS_ESTIMATE},
                     {SG_KIND_MACHINE, "pump_efficiency", SG_BASIS_ESTIMATE},
                     {SG_KIND_MACHINE, "edge_error", SG_BASIS_ESTIMATE},
                     {SG_KIND_HEAD, "discharge", SG_BASIS_RECALLED}};
    for (size_t i = 0; i < sizeof constants / sizeof *constants; i++)
        if (constants[i].kind == field->kind && strcmp(constants[i].name, field->name) == 0)
            return (int)constants[i].basis;
    return SG_UNKNOWN;
}

static void trust_material(const struct sg_shop *shop, struct sg_why_line *line)
{
    const struct sg_material *material = &shop->materials[line->from.index];
    const char *name = line->field->name;
    if (line->field->type != SG_FIELD_NUMBER)
        return;
    bool water = strcmp(name, "cut_energy") == 0;
    if (strcmp(name, "density") != 0)
        line->basis = sg_study_is_own(material, water ? SG_HEAD_WATER : SG_HEAD_ABRASIVE) ? SG_BASIS_SHOP
                                                                                          : material->basis;
    if (material->source[0])
        line->source = material->source;
}

/* Numbers of machine and heads that may be the shop's own, beside what says so. */
static void trust_own(const struct sg_shop *shop, struct sg_why_line *line)
{
    const char *source = "";
    if (line->from.kind == SG_KIND_MACHINE &&
        (strcmp(line->field->name, "pierce_base") == 0 || strcmp(line->field->name, "pierce_factor") == 0))
        source = shop->machine.pierce_source;
    if (line->from.kind == SG_KIND_HEAD && strcmp(line->field->name, "garnet") == 0)
        source = shop->heads[line->from.index].garnet_source;
    if (!source[0])
        return;
    line->basis = SG_BASIS_SHOP;
    line->source = source;
}

/* Nobody typed what an outline measures. */
static void trust_outline(struct sg_why_build *w, struct sg_why_line *line)
{
    const struct sg_part *part = &w->shop->parts[line->from.index];
    if (part->outline == SG_UNKNOWN)
        return;
    line->basis = SG_BASIS_DERIVED;
    line->origin = SG_WHY_GIVEN;
    line->note = sg_why_words(w, "measured from %.120s", w->shop->drawn[part->outline].name);
}

void sg_why_read_field(struct sg_why_build *w, struct sg_why_line *line, struct sg_target from,
                       const struct sg_field *field)
{
    struct sg_value value;
    sg_field_get(field, sg_target_record(w->shop, from), &value);
    line->has_from = true;
    line->from = from;
    line->field = field;
    line->origin = origin_of(w, from, field, &value, &line->fresh);
    if (line->origin == SG_WHY_CHANGED || line->origin == SG_WHY_TYPED)
        line->basis = SG_BASIS_TYPED;
    else if (line->origin == SG_WHY_FRESH)
        line->basis = fresh_basis(field);
    if (from.kind == SG_KIND_MATERIAL)
        trust_material(w->shop, line);
    trust_own(w->shop, line);
    if (sg_part_is_measured(field))
        trust_outline(w, line);
}

/* "feed_override" as words. */
static const char *spaced(struct sg_why_build *w, const char *name)
{
    char words[80];
    int i = 0;
    for (; name[i] && i < (int)sizeof words - 1; i++)
        words[i] = name[i] == '_' ? ' ' : name[i];
    words[i] = '\0';
    return sg_why_words(w, "%s", words);
}

static bool is_figure(const struct sg_field *field)
{
    return field->type == SG_FIELD_NUMBER || field->type == SG_FIELD_EDGE || field->type == SG_FIELD_WHOLE;
}

struct sg_why_line *sg_why_field(struct sg_why_build *w, struct sg_target from, const char *field_name,
                                 const char *name, const char *symbol)
{
    const struct sg_field *field = sg_field_find(from.kind, field_name);
    struct sg_value value;
    char shown[TEXT_SIZE];
    sg_field_get(field, sg_target_record(w->shop, from), &value);
    struct sg_why_line *line = sg_why_add(w, name ? name : spaced(w, field_name), symbol);
    line->dimension = field->dimension;
    if (is_figure(field)) {
        line->shape = field->type == SG_FIELD_WHOLE ? SG_WHY_WHOLE : SG_WHY_NUMBER;
        if (!value.none)
            line->value = field->type == SG_FIELD_WHOLE ? (double)value.whole : value.number[0];
    } else {
        sg_field_show(field, w->shop, &value, shown, sizeof shown);
        line->shape = SG_WHY_WORDS;
        line->words = sg_why_words(w, "%s", shown);
    }
    sg_why_read_field(w, line, from, field);
    return line;
}

/* ---- what a sum is made of ---- */

static int greatest_left(const struct sg_why_item *items, int n, const bool *taken)
{
    int best = -1;
    for (int i = 0; i < n; i++)
        if (!taken[i] && items[i].value != 0 && (best < 0 || items[i].value > items[best].value))
            best = i;
    return best;
}

static struct sg_why_line *item_line(struct sg_why_build *w, const char *name, enum sg_why_shape shape,
                                     enum sg_dimension dimension, double value)
{
    struct sg_why_line *line = sg_why_number(w, name, NULL, dimension, value);
    line->shape = shape;
    return line;
}

void sg_why_items(struct sg_why_build *w, const struct sg_why_item *items, int n, enum sg_why_shape shape,
                  enum sg_dimension dimension, int most,
                  void (*detail)(struct sg_why_build *w, const struct sg_why_item *item))
{
    bool *taken = sg_arena_take(w->arena, (size_t)n + 1);
    double rest = 0;
    int left = 0, i;
    if (!taken) {
        w->failed = true;
        return;
    }
    for (int k = 0; k < most && (i = greatest_left(items, n, taken)) >= 0; k++) {
        struct sg_why_line *line = item_line(w, items[i].name, shape, dimension, items[i].value);
        line->at = items[i].at;
        if (items[i].more)
            sg_why_more(line, items[i].from, items[i].more);
        taken[i] = true;
        w->depth++;
        if (detail)
            detail(w, &items[i]);
        w->depth--;
    }
    for (i = 0; i < n; i++)
        if (!taken[i] && items[i].value != 0) {
            rest += items[i].value;
            left++;
        }
    if (left > 0)
        item_line(w, sg_why_words(w, "%d more", left), shape, dimension, rest);
}

/* ---- figures ---- */

int sg_why_figure(double canonical, const struct sg_unit *unit, char *out, size_t size)
{
    double shown = fabs((double)sg_from_canonical(canonical, unit));
    int decimals = DIGITS - 1;
    if (shown > 0 && isfinite(shown))
        decimals -= (int)floor(log10(shown));
    decimals = decimals < 0 ? 0 : decimals > 15 ? 15 : decimals;
    return sg_number_short(canonical, unit, decimals, out, size);
}

/* ---- the numbers put into a formula ---- */

struct written {
    char text[TEXT_SIZE];
    int length;
    bool unknown;
};

static void put(struct written *out, const char *text, int length)
{
    if (out->length + length >= TEXT_SIZE)
        return;
    memcpy(out->text + out->length, text, (size_t)length);
    out->length += length;
    out->text[out->length] = '\0';
}

static bool is_moment(const struct sg_why_line *line)
{
    return line->shape == SG_WHY_MOMENT || line->shape == SG_WHY_EPOCH;
}

/* as_clock: a moment stands in the formula, so times are hours, minutes and seconds after the start. */
static void put_value(const struct sg_why_build *w, const struct sg_why_line *line, bool own_units,
                      bool as_clock, struct written *out)
{
    char text[80];
    double value = line->shape == SG_WHY_EPOCH ? line->value - w->epoch : line->value;
    out->unknown = out->unknown || !isfinite(value) || line->shape == SG_WHY_WORDS;
    if (as_clock && line->dimension == SG_DIM_DURATION)
        sg_duration_format(value, text, sizeof text);
    else if (own_units || line->unit)
        sg_why_figure(value, sg_unit_canonical(line->dimension), text, sizeof text);
    else
        sg_why_figure(value, sg_unit_of_shop(line->dimension, w->shop->units), text, sizeof text);
    put(out, text, (int)strlen(text));
}

static int next_below(const struct sg_why_build *w, int parent, int after)
{
    for (int i = after + 1; i < w->n && w->lines[i].depth > w->lines[parent].depth; i++)
        if (w->lines[i].depth == w->lines[parent].depth + 1 && !w->lines[i].aside)
            return i;
    return -1;
}

/* The line below whose symbol stands at the start of text: the longest one. */
static int symbol_at(const struct sg_why_build *w, int parent, const char *text)
{
    int best = -1;
    size_t longest = 0;
    for (int i = next_below(w, parent, parent); i >= 0; i = next_below(w, parent, i)) {
        size_t length = strlen(w->lines[i].symbol);
        if (length > longest && strncmp(text, w->lines[i].symbol, length) == 0 &&
            !isalnum((unsigned char)text[length])) {
            best = i;
            longest = length;
        }
    }
    return best;
}

static void write_sum(const struct sg_why_build *w, int parent, bool as_clock, struct written *out)
{
    int n = 0;
    for (int i = next_below(w, parent, parent); i >= 0; i = next_below(w, parent, i)) {
        if (n++ > 0)
            put(out, " + ", 3);
        put_value(w, &w->lines[i], w->lines[parent].own_units, as_clock, out);
    }
    if (n == 0)
        put(out, "0", 1);
}

static void write_formula(const struct sg_why_build *w, int parent, bool as_clock, struct written *out)
{
    for (const char *at = w->lines[parent].formula; *at;) {
        int length = 0;
        while (isalnum((unsigned char)at[length]) || at[length] == '.')
            length++;
        int symbol = isalpha((unsigned char)*at) ? symbol_at(w, parent, at) : -1;
        if (symbol >= 0) {
            put_value(w, &w->lines[symbol], w->lines[parent].own_units, as_clock, out);
            at += strlen(w->lines[symbol].symbol);
        } else {
            put(out, at, length ? length : 1);
            at += length ? length : 1;
        }
    }
}

static void put_numbers(struct sg_why_build *w, int index)
{
    struct written out = {.length = 0};
    bool as_clock = false;
    for (int i = next_below(w, index, index); i >= 0; i = next_below(w, index, i))
        as_clock = as_clock || is_moment(&w->lines[i]);
    if (strcmp(w->lines[index].formula, "sum of its lines") == 0)
        write_sum(w, index, as_clock, &out);
    else
        write_formula(w, index, as_clock, &out);
    if (!out.unknown)
        w->lines[index].numbers = sg_why_words(w, "%s", out.text);
}

/* ---- what is missing ---- */

static void collect_missing(struct sg_why_build *w, char *out, size_t size)
{
    int hidden = w->n; /* depth of an aside line, whose subtree does not count */
    out[0] = '\0';
    for (int i = 1; i < w->n; i++) {
        const struct sg_why_line *line = &w->lines[i];
        if (line->depth <= hidden)
            hidden = line->aside ? line->depth : w->n;
        if (hidden < w->n || !line->field || sg_known(line->value) || line->shape == SG_WHY_WORDS)
            continue;
        char one[300], key[200];
        sg_key_write(w->shop, line->from, key, sizeof key);
        snprintf(one, sizeof one, "%s of %s", line->field->name, key);
        size_t used = strlen(out);
        if (!strstr(out, one) && used + strlen(one) + 3 < size)
            snprintf(out + used, size - used, "%s%s", used ? ", " : "", one);
    }
}

void sg_why_finish(struct sg_why_build *w)
{
    char missing[1200];
    for (int i = 0; i < w->n; i++)
        if (w->lines[i].formula)
            put_numbers(w, i);
    if (w->n < 2 || sg_known(w->lines[0].value) || w->lines[0].shape == SG_WHY_WORDS)
        return;
    collect_missing(w, missing, sizeof missing);
    const char *note = w->lines[0].note;
    if (missing[0])
        w->lines[0].note = sg_why_words(w, "%s%snot known before this is typed: %s", note ? note : "",
                                        note ? "; " : "", missing);
}

int sg_why_above(const struct sg_why *why, int index)
{
    int i = index - 1;
    while (i >= 0 && why->lines[i].depth >= why->lines[index].depth)
        i--;
    return i;
}
