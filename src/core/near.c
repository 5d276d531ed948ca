#include "sandglass/field.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

enum { NAMES = 3, MAX_NAME = 60, MAX_SLIPS = 3, FAR = INT_MAX };

static char lower(char byte)
{
    return byte >= 'A' && byte <= 'Z' ? (char)(byte + 'a' - 'A') : byte;
}

static int least(int a, int b, int c)
{
    int smaller = a < b ? a : b;
    return smaller < c ? smaller : c;
}

/* Letters put in, left out or changed to turn a into b, case-blind; FAR over `most`. Only the band of the
 * table that can hold so small a number is worked out, and no more rows once all of the band is over it: a
 * list may have a hundred thousand wrong names. */
static int slips_between(const char *a, size_t a_length, const char *b, size_t b_length, int most)
{
    int row[MAX_NAME + 1], n = (int)a_length, m = (int)b_length;
    if (a_length > MAX_NAME || b_length > MAX_NAME || n - m > most || m - n > most)
        return FAR;
    for (int j = 0; j <= m; j++)
        row[j] = j;
    for (int i = 1; i <= n; i++) {
        int from = i > most ? i - most : 1, to = i + most < m ? i + most : m;
        int diagonal = row[from - 1], fewest = row[from - 1] = from == 1 ? i : most + 1;
        for (int j = from; j <= to; j++) {
            int above = j == i + most ? most + 1 : row[j];
            int changed = diagonal + (lower(a[i - 1]) != lower(b[j - 1]));
            diagonal = row[j];
            row[j] = least(changed, above + 1, row[j - 1] + 1);
            fewest = row[j] < fewest ? row[j] : fewest;
        }
        if (fewest > most)
            return FAR;
    }
    return row[m] <= most ? row[m] : FAR;
}

static bool contains(const char *text, const char *word, size_t length)
{
    for (; strlen(text) >= length; text++) {
        size_t same = 0;
        while (same < length && lower(text[same]) == lower(word[same]))
            same++;
        if (same == length)
            return true;
    }
    return false;
}

/* The same for words so long that the slips are the smaller part of them. */
static int slips_of_hand(const char *name, size_t length, const char *typed, size_t typed_length)
{
    int most = typed_length / 3 < MAX_SLIPS ? (int)(typed_length / 3) : MAX_SLIPS;
    return slips_between(name, length, typed, typed_length, most);
}

/* How far a name is from what was typed: slips of the hand, else one inside the other, else slips in the
 * first word. */
static int distance(const char *name, const char *typed)
{
    size_t length = strlen(name), typed_length = strlen(typed), word = strcspn(typed, " ,");
    int slips = slips_of_hand(name, length, typed, typed_length);
    if (slips != FAR)
        return slips;
    if (typed_length >= 3 && typed_length <= MAX_NAME && contains(name, typed, typed_length))
        return MAX_SLIPS + 1;
    slips = word >= 4 ? slips_of_hand(name, strcspn(name, " ,"), typed, word) : FAR;
    return slips == FAR ? FAR : MAX_SLIPS + 2 + slips;
}

static int distance_of_material(const struct sg_material *material, const char *typed)
{
    int best = distance(material->name, typed);
    for (const char *alias = material->aliases; *alias;) {
        size_t length = strcspn(alias, ";");
        int slips = slips_of_hand(alias, length, typed, strlen(typed));
        best = slips < best ? slips : best;
        alias += length + (alias[length] == ';');
    }
    return best;
}

/* Up to three, best first. Returns how many. */
static int nearest(const struct sg_shop *shop, const char *name, int best[NAMES])
{
    int distances[NAMES], n = 0;
    for (int i = 0; i < shop->n_materials; i++) {
        int far = distance_of_material(&shop->materials[i], name), at = n;
        while (at > 0 && distances[at - 1] > far)
            at--;
        if (far == FAR || at == NAMES)
            continue;
        n = n < NAMES ? n + 1 : n;
        memmove(&best[at + 1], &best[at], (size_t)(n - 1 - at) * sizeof *best);
        memmove(&distances[at + 1], &distances[at], (size_t)(n - 1 - at) * sizeof *distances);
        distances[at] = far;
        best[at] = i;
    }
    return n;
}

/* Up to NAMES materials whose names begin with what was typed. */
static int beginning_with(const struct sg_shop *shop, const char *name, int best[NAMES])
{
    int n = 0;
    size_t length = strlen(name);
    for (int i = 0; i < shop->n_materials && n < NAMES; i++) {
        const char *full = shop->materials[i].name;
        size_t same = 0;
        while (same < length && lower(full[same]) == lower(name[same]))
            same++;
        if (same == length)
            best[n++] = i;
    }
    return n;
}

int sg_near_materials(const struct sg_shop *shop, const char *name, int others, char *out, size_t size)
{
    int best[NAMES], used;
    int n = others > 1 ? beginning_with(shop, name, best) : nearest(shop, name, best);
    if (others > 1)
        used = snprintf(out, size, "%d materials begin so: type more of the name, such as ", others);
    else
        used =
            snprintf(out, size, "not in the library; %s", n ? "near it: " : "`add material` puts it there");
    for (int i = 0; i < n && used < (int)size; i++)
        used += snprintf(out + used, size - (size_t)used, "%s\"%s\"", i ? ", " : "",
                         shop->materials[best[i]].name);
    return used;
}
