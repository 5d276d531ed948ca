/* The words of a sweep. */
#include "sandglass/sweep.h"

#include <string.h>

static const char *const fields[SG_SWEEP_FIELDS] = {
    [SG_SWEEP_PRESSURE] = "pressure", [SG_SWEEP_GARNET] = "garnet", [SG_SWEEP_EDGE] = "edge",
    [SG_SWEEP_ORIFICE] = "orifice",   [SG_SWEEP_HEAD] = "head",
};

const char *sg_sweep_word(int field)
{
    return fields[field];
}

int sg_sweep_find(const char *word)
{
    for (int i = 0; i < SG_SWEEP_FIELDS; i++)
        if (strcmp(fields[i], word) == 0)
            return i;
    return SG_UNKNOWN;
}

static const struct {
    const char *word, *text;
} bounds[SG_BOUNDS] = {
    {"pump_pressure", "pump pressure"},
    {"pump_flow", "pump flow"},
    {"pump_power", "pump power"},
    {"loading_ratio", "loading ratio above 0.25"},
    {"garnet_not_weighed", "garnet feed above what was weighed"},
    {"top_feed", "top feed"},
    {"typed_feed", "feed is typed"},
    {"outside_range", "outside the formula's range"},
    {"tube_ratio", "tube over orifice outside 2.5 to 4.5"},
    {"will_not_cut", "will not cut through"},
    {"water_no", "water alone does not cut it"},
    {"too_coarse", "coarser than the part may be"},
    {"no_end", "the plan does not reach the job's end"},
};

const char *sg_bound_word(int bit)
{
    return bounds[bit].word;
}

const char *sg_bound_text(int bit)
{
    return bounds[bit].text;
}
