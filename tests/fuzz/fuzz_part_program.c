/* Any bytes as a part program: it is read or refused. The first byte chooses how. */
#include "drawings.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const struct sg_drawing_how ways[] = {
        {.unit = SG_DRAWING_UNIT_OF_FILE},
        {.unit = SG_DRAWING_IN, .arc_tolerance = 1},
        {.on = "M03", .off = "M05"},
        {.on = "m62 p1", .off = "M63P1", .most_segments = 20},
    };
    if (size == 0)
        return 0;
    read_any("any.nc", data + 1, size - 1, &ways[data[0] % (sizeof ways / sizeof *ways)]);
    return 0;
}
