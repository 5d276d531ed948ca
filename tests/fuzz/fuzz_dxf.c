/* Any bytes as a drawing: it is read or refused. The first byte chooses how. */
#include "drawings.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char *const layers[] = {"CUT", "0"};

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const struct sg_drawing_how ways[] = {
        {.most_segments = 20000},
        {.unit = SG_DRAWING_IN, .most_segments = 20000},
        {.layers_out = layers, .n_layers_out = 1, .most_segments = 20000},
        {.unit = SG_DRAWING_MM, .layers_out = layers, .n_layers_out = 2, .most_segments = 300},
    };
    if (size == 0)
        return 0;
    read_any("any.dxf", data + 1, size - 1, &ways[data[0] % (sizeof ways / sizeof *ways)]);
    return 0;
}
