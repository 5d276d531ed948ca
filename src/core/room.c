#include "sandglass/room.h"

#include <stdlib.h>
#include <string.h>

bool sg_room(void *array, int64_t *room, int64_t need, size_t size)
{
    void *items;
    if (need <= *room)
        return true;
    int64_t more = need + need / 2 + 8;
    memcpy(&items, array, sizeof items);
    items = realloc(items, (size_t)more * size);
    if (!items)
        return false;
    memcpy(array, &items, sizeof items);
    *room = more;
    return true;
}
