/* An explanation checked line by line: every formula gives, from the values of the lines below it, the value
 * that is shown; so do the numbers put in; fields hold what is shown. */
#ifndef SANDGLASS_TESTS_WHY_TREE_H
#define SANDGLASS_TESTS_WHY_TREE_H

#include "sandglass/why.h"
#include "support/formula.h"

#include <check.h>
#include <math.h>
#include <string.h>

static unsigned shop_number; /* for the messages */

struct above {
    const struct sg_why *why;
    int index;
};

static inline bool is_below(const struct above *a, int i)
{
    const struct sg_why_line *line = &a->why->lines[i];
    return line->depth == a->why->lines[a->index].depth + 1 && !line->aside;
}

static inline int end_of(const struct above *a)
{
    int i = a->index + 1;
    while (i < a->why->n_lines && a->why->lines[i].depth > a->why->lines[a->index].depth)
        i++;
    return i;
}

static inline size_t symbol(void *context, const char *text, long double *value)
{
    const struct above *a = context;
    size_t longest = 0;
    for (int i = a->index + 1; i < end_of(a); i++) {
        size_t n = strlen(a->why->lines[i].symbol);
        if (is_below(a, i) && n > longest && strncmp(text, a->why->lines[i].symbol, n) == 0 &&
            !isalnum((unsigned char)text[n])) {
            longest = n;
            *value = (long double)a->why->lines[i].value;
        }
    }
    return longest;
}

static inline long double worked_out(const struct above *a, long double *terms)
{
    const char *formula = a->why->lines[a->index].formula;
    struct formula f = {.symbol = symbol, .context = (struct above[]){*a}};
    long double sum = 0;
    if (strcmp(formula, "sum of its lines") != 0) {
        sum = formula_value(&f, formula);
        *terms = f.terms;
        return sum;
    }
    for (int i = a->index + 1; i < end_of(a); i++)
        if (is_below(a, i))
            sum += (long double)a->why->lines[i].value;
    *terms = fabsl(sum);
    return sum;
}

/* 1e-12 of the value; of a difference, of the terms that it rests on. */
static inline void check_formula(const struct above *a)
{
    const struct sg_why_line *line = &a->why->lines[a->index];
    long double terms = 0, found, value = (long double)line->value;
    if (!sg_known(line->value))
        return;
    found = worked_out(a, &terms);
    bool same = isinf(line->value) ? isinf((double)found)
                                   : fabsl(found - value) <= 1e-12L * fmaxl(fabsl(value), terms);
    ck_assert_msg(same, "shop %u: %s = %s is %.17g, its lines give %.17Lg", shop_number, line->name,
                  line->formula, line->value, found);
}

/* The numbers put in have six digits each. */
static inline void check_numbers(const struct sg_shop *shop, const struct sg_why *why, int index)
{
    const struct sg_why_line *line = &why->lines[index];
    struct formula f = {.symbol = NULL};
    /* Not where six digits are too few: steps, and a difference of two pressures that are nearly the same. */
    if (!line->numbers || strstr(line->formula, "floor") || strstr(line->formula, "ceil") ||
        strstr(line->formula, "1 - Pth / P"))
        return;
    long double found = formula_value(&f, line->numbers), value = (long double)line->value, slack;
    bool own = line->own_units || line->unit;
    if (!own)
        value = sg_from_canonical(line->value, sg_unit_of_shop(line->dimension, shop->units));
    if (line->shape == SG_WHY_EPOCH)
        value = (long double)(line->value - why->epoch);
    slack = 1e-4L * fmaxl(fabsl(value), f.terms) + (strchr(line->numbers, ':') ? 5 : 0);
    ck_assert_msg(found == value || fabsl(found - value) <= slack, "shop %u: %s: %s gives %.9Lg, not %.9Lg",
                  shop_number, line->name, line->numbers, found, value);
}

static inline void check_field(const struct sg_shop *shop, const struct sg_why_line *line)
{
    struct sg_value value;
    if (!line->field)
        return;
    ck_assert(line->has_from && line->field->kind == line->from.kind);
    ck_assert_int_ne(line->origin, SG_WHY_NO_FIELD);
    sg_field_get(line->field, sg_target_record(shop, line->from), &value);
    if (line->shape == SG_WHY_MOMENT || line->shape == SG_WHY_EPOCH || line->shape == SG_WHY_WORDS)
        return;
    if (line->field->type == SG_FIELD_NUMBERS) {
        bool found = false;
        for (int i = 0; i < line->field->count; i++)
            found = found || value.number[i] == line->value;
        ck_assert(found);
    } else if (value.none) {
        ck_assert_msg(!sg_known(line->value), "%s is none and shown as %g", line->field->name, line->value);
    } else if (line->field->type == SG_FIELD_WHOLE) {
        ck_assert(line->value == (double)value.whole);
    } else if (line->field->type == SG_FIELD_NUMBER || line->field->type == SG_FIELD_EDGE) {
        ck_assert_msg(line->value == value.number[0], "shop %u: %s is %.17g, the field holds %.17g",
                      shop_number, line->name, line->value, value.number[0]);
    }
}

/* A line that points to an explanation of its own shows that one's value. */
static inline void check_more(const struct sg_shop *shop, const struct sg_why_line *line)
{
    static unsigned met;
    struct sg_arena arena = {0};
    struct sg_why why;
    struct sg_error error;
    bool one_cut = strcmp(line->name, "take") == 0 || strcmp(line->name, "garnet of one cut") == 0 ||
                   (line->note && strstr(line->note, " cuts on the sheet")); /* of it, not of the part */
    if (!line->more || one_cut || met++ % 8 > 0)                             /* each of them plans anew */
        return;
    ck_assert_int_eq(sg_why(shop, line->from, line->more, &arena, &why, &error), SG_OK);
    const struct sg_why_line *root = &why.lines[0];
    if (root->shape == line->shape)
        ck_assert_msg(root->value == line->value || (!sg_known(root->value) && !sg_known(line->value)),
                      "shop %u: %s shows %.17g, why %s shows %.17g", shop_number, line->name, line->value,
                      line->more, root->value);
    sg_arena_free(&arena);
}

static inline void check_tree(const struct sg_shop *shop, const struct sg_why *why)
{
    ck_assert_int_ge(why->n_lines, 1);
    ck_assert_int_eq(why->lines[0].depth, 0);
    for (int i = 0; i < why->n_lines; i++) {
        const struct sg_why_line *line = &why->lines[i];
        ck_assert(line->name[0] && line->symbol[0]);
        ck_assert(i == 0 || (line->depth > 0 && line->depth <= why->lines[i - 1].depth + 1));
        ck_assert(line->shape != SG_WHY_WORDS || line->words);
        if (line->formula) {
            check_formula(&(struct above){why, i});
            check_numbers(shop, why, i);
        }
        check_field(shop, line);
        check_more(shop, line);
    }
}

#endif
