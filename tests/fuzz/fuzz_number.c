/* Any bytes as a number: the first two choose the field, the rest is the text. */
#include "sandglass/number.h"
#include "support/prefixes.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool holds)
{
    if (!holds)
        abort();
}

static const struct sg_unit *unit_of(enum sg_dimension dimension, unsigned which)
{
    switch (which % 3) {
    case 0:
        return NULL;
    case 1:
        return sg_unit_of_shop(dimension, SG_UNITS_US);
    default:
        return sg_unit_of_shop(dimension, SG_UNITS_METRIC);
    }
}

/* What was read is written exactly and read again, in the unit of a bare number and with any unit named. */
static void check_round_trip(double value, struct sg_reading how)
{
    char text[64];
    struct sg_parsed parsed;
    if (!how.bare)
        how.bare = sg_unit_canonical(how.dimension);
    how.whole = false;
    for (int named = 0; named < 2; named++) {
        int length = sg_number_exact(value, how.bare, named, text, sizeof text);
        require(length > 0 && (size_t)length < sizeof text);
        sg_number_parse(text, &how, &parsed);
        require(parsed.state == SG_PARSE_WHOLE && memcmp(&parsed.value, &value, sizeof value) == 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;
    struct sg_reading how = {.dimension = (enum sg_dimension)(data[0] % SG_DIM_COUNT),
                             .colon = (enum sg_colon)(data[1] % 3),
                             .bag_kg = data[1] & 8 ? 25 : 0,
                             .whole = data[1] & 4};
    how.bare = unit_of(how.dimension, data[1] >> 4);
    how.whole = how.whole && how.dimension == SG_DIM_NUMBER; /* as the table of fields has it */
    char *text = malloc(size - 1);
    if (!text)
        return 0;
    memcpy(text, data + 2, size - 2);
    text[size - 2] = '\0';
    struct sg_parsed parsed;
    memset(&parsed, 0x55, sizeof parsed);
    sg_number_parse(text, &how, &parsed);
    require(isfinite(parsed.value) && parsed.at <= strlen(text));
    require(memchr(parsed.text, '\0', sizeof parsed.text) != NULL);
    if (parsed.state == SG_PARSE_WHOLE) {
        require(!how.whole || floor(parsed.value) == parsed.value);
        check_round_trip(parsed.value, how);
        require(wrong_prefix(text, &how) < 0);
    } else {
        require(parsed.value == 0 && !parsed.bare && parsed.text[0] != '\0');
    }
    free(text);
    return 0;
}
