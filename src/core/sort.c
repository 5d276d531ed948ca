#include "sandglass/sort.h"

#include <stdbool.h>
#include <string.h>

struct sorting {
    char *items, *scratch;
    int32_t n;
    size_t size;
    int (*compare)(const void *a, const void *b);
};

/* What is in order already. Runs that were merged as often are merged next, so that all stay of like length.
 */
struct run {
    int32_t from, end;
    int merged;
};

enum { MOST_RUNS = 40 }; /* each was merged less often than the one before it, so that 32 are enough */

static char *item(const struct sorting *s, int32_t i)
{
    return s->items + (size_t)i * s->size;
}

static void turn_round(const struct sorting *s, int32_t from, int32_t end)
{
    for (int32_t a = from, b = end - 1; a < b; a++, b--) {
        memcpy(s->scratch, item(s, a), s->size);
        memcpy(item(s, a), item(s, b), s->size);
        memcpy(item(s, b), s->scratch, s->size);
    }
}

/* The run that begins at an item; what falls is turned round. Equal items do not fall: they keep their order.
 */
static struct run run_at(const struct sorting *s, int32_t from)
{
    int32_t end = from + 1;
    bool falls = end < s->n && s->compare(item(s, from), item(s, end)) > 0;
    end += end < s->n;
    while (end < s->n && (s->compare(item(s, end - 1), item(s, end)) > 0) == falls)
        end++;
    if (falls)
        turn_round(s, from, end);
    return (struct run){from, end, 0};
}

/* The second one behind the first, in its place. */
static struct run merge(const struct sorting *s, struct run first, struct run second)
{
    char *out = item(s, first.from), *a = s->scratch, *b = item(s, second.from), *end = item(s, second.end);
    struct run both = {first.from, second.end, second.merged + 1};
    if (s->compare(b - s->size, b) <= 0)
        return both;
    char *end_a = a + (b - out);
    memcpy(a, out, (size_t)(b - out));
    for (; a < end_a && b < end; out += s->size) {
        char **next = s->compare(a, b) <= 0 ? &a : &b;
        memcpy(out, *next, s->size);
        *next += s->size;
    }
    memcpy(out, a, (size_t)(end_a - a));
    return both;
}

void sg_sort(void *items, void *scratch, int32_t n, size_t size, int (*compare)(const void *a, const void *b))
{
    struct sorting s = {items, scratch, n, size, compare};
    struct run runs[MOST_RUNS];
    int last = -1;
    for (int32_t from = 0; from < n; from = runs[last].end) {
        runs[++last] = run_at(&s, from);
        for (; last > 0 && runs[last - 1].merged == runs[last].merged; last--)
            runs[last - 1] = merge(&s, runs[last - 1], runs[last]);
    }
    for (; last > 0; last--)
        runs[last - 1] = merge(&s, runs[last - 1], runs[last]);
}
