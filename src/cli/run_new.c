/* Making shop files. */
#include "cli/cli.h"

int sg_run_new(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_store_new how = {.units = SG_UNITS_US, .date = sg_cli_today()};
    if (sg_cli_units(args, &how.units, &error) != SG_OK ||
        sg_store_create(args->words[0], &how, &error) != SG_OK)
        return sg_cli_fail(&error);
    return sg_cli_say(SG_OK, "made %s with the starter library, one machine, two heads, shift A and no jobs",
                      args->words[0]);
}
