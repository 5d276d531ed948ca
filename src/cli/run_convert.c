#include "cli/cli.h"

#include <string.h>

/* Dimension of the value: the unit's; where the value names a unit of another one, the parser says so. */
int sg_run_convert(const struct sg_args *args)
{
    const struct sg_unit *unit = sg_unit_find(args->words[1], strlen(args->words[1]));
    if (!unit)
        return sg_cli_say(SG_USAGE,
                          "there is no unit \"%.40s\"; some are mm, in, ft, MPa, ksi, kg, lb, g/min, lb/min, "
                          "mm/min, in/min",
                          args->words[1]);
    struct sg_reading how = {.dimension = unit->dimension};
    if (unit->dimension == SG_DIM_NUMBER || unit->dimension == SG_DIM_RATIO)
        how.bare = sg_unit_canonical(unit->dimension);
    if (unit->dimension == SG_DIM_DURATION)
        how.colon = SG_COLON_H_MIN;
    struct sg_parsed parsed;
    sg_number_parse(args->words[0], &how, &parsed);
    if (parsed.state != SG_PARSE_WHOLE)
        return sg_cli_say(SG_BAD_DATA, "%.60s: %s", args->words[0], parsed.text);
    if (parsed.text[0])
        sg_cli_say(SG_OK, "%.60s: %s", args->words[0], parsed.text);
    struct sg_text out = {0};
    double value = (double)sg_from_canonical(parsed.value, unit);
    if (sg_option(args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_number(&json, "value", value);
        sg_json_text(&json, "unit", unit->name);
        sg_json_number(&json, "canonical", parsed.value);
        sg_json_text(&json, "canonical_unit", sg_unit_canonical(unit->dimension)->name);
        sg_json_finish(&json);
    } else {
        sg_csv_number(&out, &sg_csv_plain, value); /* the shortest decimal that reads back */
        sg_text_format(&out, " %s\n", unit->name);
    }
    return sg_cli_put(&out, SG_OK);
}
