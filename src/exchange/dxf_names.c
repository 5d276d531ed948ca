#include "exchange/dxf_inside.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

static uint32_t mix(const char *name)
{
    uint32_t sum = 2166136261u;
    for (; *name; name++) {
        unsigned char byte = (unsigned char)*name;
        sum = (sum ^ (byte >= 'a' && byte <= 'z' ? byte - 32u : byte)) * 16777619u;
    }
    return sum;
}

/* The slot where a name stands or would stand. */
static int64_t slot_of(const struct names *names, const char *name)
{
    int64_t slot = mix(name) & (names->n_slots - 1);
    while (names->slots[slot] && strcasecmp(names->names[names->slots[slot] - 1], name) != 0)
        slot = (slot + 1) & (names->n_slots - 1);
    return slot;
}

int32_t names_find(const struct names *names, const char *name)
{
    return names->n_slots ? names->slots[slot_of(names, name)] - 1 : -1;
}

static bool more_slots(struct names *names)
{
    int64_t n = names->n_slots ? 2 * names->n_slots : 64;
    int32_t *slots = calloc((size_t)n, sizeof *slots);
    if (!slots)
        return false;
    free(names->slots);
    names->slots = slots;
    names->n_slots = n;
    for (int32_t i = 0; i < names->n; i++)
        slots[slot_of(names, names->names[i])] = i + 1;
    return true;
}

int32_t names_add(struct gather *gather, struct names *names, const char *name)
{
    int32_t there = names_find(names, name);
    if (there >= 0)
        return there;
    if (names->n >= NAMES_MOST) {
        refuse(gather, "more than %d names of layers or of blocks: split the drawing", NAMES_MOST);
        return -1;
    }
    void *list = names->names;
    if (!grow(gather, &list, &names->room, names->n, sizeof *names->names))
        return -1;
    names->names = list;
    char *copy = strdup(name);
    if (!copy || (2 * (names->n + 1) > names->n_slots && !more_slots(names))) {
        free(copy);
        gather->status = sg_fail(gather->error, SG_FAULT, "no memory to read %s", gather->lines.name);
        return -1;
    }
    names->names[names->n] = copy;
    names->slots[slot_of(names, name)] = (int32_t)(names->n + 1);
    return (int32_t)names->n++;
}

void names_free(struct names *names)
{
    for (int64_t i = 0; i < names->n; i++)
        free(names->names[i]);
    free(names->names);
    free(names->slots);
}
