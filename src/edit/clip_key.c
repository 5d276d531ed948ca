/* Keys that are free: of copies, of new rows. */
#include "edit/clip_inside.h"
#include "sandglass/utf8.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- those that are taken ---- */

enum sg_status sg_taken_start(struct sg_taken *taken, size_t most, struct sg_arena *arena,
                              struct sg_error *error)
{
    size_t room = 16;
    while (room < 2 * most)
        room *= 2;
    taken->room = room;
    taken->at = sg_arena_take(arena, room * sizeof *taken->at);
    return taken->at ? SG_OK : sg_fail(error, SG_FAULT, "no memory for %zu keys", most);
}

/* FNV-1a, 64 bits. Where the key stands, or the empty place where it would. */
static struct sg_taken_key *look(const struct sg_taken *taken, const char *key)
{
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    for (const char *at = key; *at; at++)
        hash = (hash ^ (unsigned char)*at) * UINT64_C(0x100000001B3);
    size_t place = (size_t)(hash ^ hash >> 32) & (taken->room - 1);
    while (taken->at[place].key && strcmp(taken->at[place].key, key) != 0)
        place = (place + 1) & (taken->room - 1);
    return &taken->at[place];
}

void sg_taken_add(struct sg_taken *taken, const char *key)
{
    look(taken, key)->key = key;
}

bool sg_taken_has(const struct sg_taken *taken, const char *key)
{
    return look(taken, key)->key != NULL;
}

/* ---- a copy's ---- */

enum { SHORT_KEY = 60, LONG_KEY = 200 }; /* characters, as sg_key_check says */

static size_t cut(const char *text, int characters)
{
    size_t used = 0, left = strlen(text);
    for (int i = 0; i < characters && left > 0; i++) {
        size_t length = sg_utf8_character(text + used, left, NULL);
        length = length > 0 ? length : 1;
        used += length;
        left -= length;
    }
    return used;
}

/* A-2 is the second A where there is an A: its copy is A-3, and not A-2-2. */
static const char *original(struct sg_taken *taken, const char *key, struct sg_arena *arena)
{
    const char *dash = strrchr(key, '-');
    if (!dash || dash == key || dash[1] < '1' || dash[1] > '9' || dash[1 + strspn(dash + 1, "0123456789")])
        return key;
    const char *base = sg_arena_text(arena, key, (size_t)(dash - key));
    return base && sg_taken_has(taken, base) ? base : key;
}

const char *sg_taken_free(struct sg_taken *taken, enum sg_kind kind, const char *key, struct sg_arena *arena)
{
    char found[4 * LONG_KEY + 20], number[16];
    int most = kind == SG_KIND_PART || kind == SG_KIND_MATERIAL ? LONG_KEY : SHORT_KEY;
    if (!sg_taken_has(taken, key)) {
        sg_taken_add(taken, key);
        return key;
    }
    const char *base = original(taken, key, arena);
    struct sg_taken_key *like = look(taken, base);
    for (like->next = like->next < 2 ? 2 : like->next;; like->next++) {
        int digits = snprintf(number, sizeof number, "-%d", like->next);
        snprintf(found, sizeof found, "%.*s%s", (int)cut(base, most - digits), base, number);
        if (!sg_taken_has(taken, found))
            break;
    }
    const char *free_key = sg_arena_text(arena, found, strlen(found));
    if (free_key)
        sg_taken_add(taken, free_key);
    return free_key;
}

/* ---- a new row's ---- */

/* 0 is A, 25 Z, 26 AA. */
static void letters(int number, char *out, size_t size)
{
    char backwards[8];
    size_t n = 0;
    for (number++; number > 0 && n < sizeof backwards; number = (number - 1) / 26)
        backwards[n++] = (char)('A' + (number - 1) % 26);
    for (size_t i = 0; i < n && i + 1 < size; i++)
        out[i] = backwards[n - 1 - i];
    out[n < size ? n : size - 1] = '\0';
}

static bool free_part(const struct sg_shop *shop, int32_t stock, char *out, size_t size)
{
    int number = 0;
    do
        letters(number++, out, size);
    while (sg_find_part(shop, stock, out) != SG_UNKNOWN);
    return true;
}

enum { MOST_DIGITS = 15 };

/* Where the number at the end of a job's key begins; its length if it ends in none. */
static size_t number_at(const char *id)
{
    size_t length = strlen(id), at = length;
    while (at > 0 && length - at < MOST_DIGITS && id[at - 1] >= '0' && id[at - 1] <= '9')
        at--;
    return at;
}

/* A job's key without what makes it a copy: 2604 of 2604-2. */
static size_t without_copy(const struct sg_shop *shop, const char *id)
{
    const char *dash = strrchr(id, '-');
    bool copy = dash && dash > id && dash[1] && dash[1 + strspn(dash + 1, "0123456789")] == '\0' &&
                sg_find_job(shop, id, (size_t)(dash - id)) != SG_UNKNOWN;
    return copy ? (size_t)(dash - id) : strlen(id);
}

/* A key like this one with the number behind the highest of its like; false if it ends in no number. */
static bool follow(const struct sg_shop *shop, const char *job, char *out, size_t size)
{
    char id[4 * LONG_KEY + 20];
    snprintf(id, sizeof id, "%.*s", (int)without_copy(shop, job), job);
    size_t before = number_at(id), length = strlen(id);
    if (before == length)
        return false;
    int digits = (int)(length - before);
    int64_t highest = strtoll(id + before, NULL, 10);
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        const char *other = shop->jobs[i].id;
        if (strncmp(other, id, before) != 0 || number_at(other) != before || !other[before])
            continue;
        int64_t number = strtoll(other + before, NULL, 10);
        highest = number > highest ? number : highest;
    }
    int written = snprintf(out, size, "%.*s%0*lld", (int)before, id, digits, (long long)highest + 1);
    return (size_t)written < size && sg_key_check(SG_KIND_JOB, out, NULL) == SG_OK &&
           sg_find_job(shop, out, strlen(out)) == SG_UNKNOWN;
}

/* Its word and a number. */
static bool free_word(const struct sg_shop *shop, enum sg_kind kind, char *out, size_t size)
{
    const char *word = sg_kind_word(kind);
    struct sg_rows rows = sg_rows_of(shop, kind, 0);
    if (kind == SG_KIND_JOB)
        rows = (struct sg_rows){0, shop->n_jobs};
    for (int number = 1;; number++) {
        int32_t i = 0;
        snprintf(out, size, "%s-%d", word, number);
        while (i < rows.n &&
               strcmp(*sg_record_key(kind, sg_target_record(shop, (struct sg_target){kind, i})), out) != 0)
            i++;
        if (i == rows.n)
            return true;
    }
}

static bool free_job(const struct sg_shop *shop, const struct sg_spot *spot, char *out, size_t size)
{
    if (spot->before > 0 && follow(shop, shop->jobs[spot->there.first + spot->before - 1].id, out, size))
        return true;
    for (int32_t i = shop->n_jobs; i-- > 0;)
        if (follow(shop, shop->jobs[i].id, out, size))
            return true;
    return free_word(shop, SG_KIND_JOB, out, size);
}

bool sg_desk_free_id(const struct sg_desk *desk, enum sg_kind kind, const char *beside, char *out,
                     size_t size)
{
    const struct sg_shop *shop = &desk->held.shop;
    struct sg_spot spot;
    out[0] = '\0';
    if (kind == SG_KIND_STOCK || kind == SG_KIND_MACHINE || kind == SG_KIND_RATES)
        return false;
    if (kind != SG_KIND_JOB && kind != SG_KIND_PART)
        return free_word(shop, kind, out, size);
    if (sg_spot_find(shop, kind, beside, false, &spot, NULL) != SG_OK)
        return false;
    return kind == SG_KIND_PART ? free_part(shop, spot.parent, out, size) : free_job(shop, &spot, out, size);
}
