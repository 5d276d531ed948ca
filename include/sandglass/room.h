/* Arrays that grow and keep their memory. */
#ifndef SANDGLASS_ROOM_H
#define SANDGLASS_ROOM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Room for `need` items of `size` bytes in the array at *(T **)array, of which there is room for *room. False
 * when memory is out: the array is as it was. */
bool sg_room(void *array, int64_t *room, int64_t need, size_t size);

#endif
