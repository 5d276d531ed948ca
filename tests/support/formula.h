/* A formula of `why` worked out again: + - x / ^ and brackets, min, max, floor, ceil, sqrt, pi, numbers (also
 * h:mm:ss), and symbols that the caller knows. */
#ifndef SANDGLASS_TESTS_FORMULA_H
#define SANDGLASS_TESTS_FORMULA_H

#include <check.h>
#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

struct formula {
    const char *whole, *at;
    /* The longest symbol that stands at the start of text: its length and value; 0 where there is none. */
    size_t (*symbol)(void *context, const char *text, long double *value);
    void *context;
    int depth;
    long double terms; /* greatest term of a sum or difference outside brackets: what a difference rests on */
};

static inline long double formula_sum(struct formula *f);

static inline void formula_skip(struct formula *f)
{
    while (*f->at == ' ')
        f->at++;
}

static inline bool formula_take(struct formula *f, char c)
{
    formula_skip(f);
    if (*f->at != c || (c == 'x' && f->at[1] != ' '))
        return false;
    f->at++;
    return true;
}

static inline long double formula_number(struct formula *f)
{
    char *end;
    long double value = strtold(f->at, &end);
    ck_assert_msg(end != f->at, "no number at \"%s\" in \"%s\"", f->at, f->whole);
    for (f->at = end; *f->at == ':'; f->at = end)
        value = 60 * value + strtold(f->at + 1, &end);
    return value;
}

static inline long double formula_call(struct formula *f, const char *name)
{
    long double value = formula_sum(f);
    if (strcmp(name, "floor") == 0)
        value = floorl(value);
    else if (strcmp(name, "ceil") == 0)
        value = ceill(value);
    else if (strcmp(name, "sqrt") == 0)
        value = sqrtl(value);
    while (formula_take(f, ',')) {
        long double other = formula_sum(f);
        value = name[1] == 'i' ? fminl(value, other) : fmaxl(value, other);
    }
    return value;
}

static inline long double formula_bracket(struct formula *f, const char *name)
{
    f->depth++;
    long double value = formula_call(f, name);
    f->depth--;
    ck_assert_msg(formula_take(f, ')'), "a ) is missing at \"%s\" in \"%s\"", f->at, f->whole);
    return value;
}

static inline long double formula_item(struct formula *f)
{
    static const char *const functions[] = {"min", "max", "floor", "ceil", "sqrt"};
    long double value;
    formula_skip(f);
    if (formula_take(f, '('))
        return formula_bracket(f, "");
    size_t length = f->symbol ? f->symbol(f->context, f->at, &value) : 0;
    f->at += length;
    if (length > 0)
        return value;
    for (size_t i = 0; i < sizeof functions / sizeof *functions; i++) {
        size_t n = strlen(functions[i]);
        if (strncmp(f->at, functions[i], n) == 0 && f->at[n] == '(') {
            f->at += n + 1;
            return formula_bracket(f, functions[i]);
        }
    }
    if (strncmp(f->at, "pi", 2) == 0 && !isalnum((unsigned char)f->at[2])) {
        f->at += 2;
        return 3.141592653589793238462643383279502884L;
    }
    return formula_number(f);
}

static inline long double formula_power(struct formula *f)
{
    bool minus = formula_take(f, '-');
    long double value = formula_item(f);
    if (formula_take(f, '^'))
        value = powl(value, formula_power(f));
    return minus ? -value : value;
}

static inline long double formula_product(struct formula *f)
{
    long double value = formula_power(f);
    for (;;) {
        if (formula_take(f, 'x'))
            value *= formula_power(f);
        else if (formula_take(f, '/'))
            value /= formula_power(f);
        else
            return value;
    }
}

static inline long double formula_sum(struct formula *f)
{
    long double value = formula_product(f);
    for (;;) {
        bool plus = formula_take(f, '+');
        if (!plus && !formula_take(f, '-'))
            return value;
        long double term = formula_product(f);
        if (f->depth <= 1)
            f->terms = fmaxl(f->terms, fmaxl(fabsl(value), fabsl(term)));
        value += plus ? term : -term;
    }
}

/* The whole text, or the test fails. */
static inline long double formula_value(struct formula *f, const char *text)
{
    f->whole = f->at = text;
    f->depth = 0;
    f->terms = 0;
    long double value = formula_sum(f);
    formula_skip(f);
    ck_assert_msg(*f->at == '\0', "\"%s\" is left over of \"%s\"", f->at, text);
    return value;
}

#endif
