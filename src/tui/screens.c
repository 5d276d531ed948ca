#include "tui/screens.h"

const struct sg_screen *const sg_screens[SG_SCREENS] = {
    [SG_SCREEN_SHIFT] = &sg_screen_shift,
    [SG_SCREEN_JOB] = &sg_screen_job,
    [SG_SCREEN_HOPPER] = &sg_screen_hopper,
    [SG_SCREEN_SHEET] = &sg_screen_sheet,
    [SG_SCREEN_JOB_SHEET] = &sg_screen_job_sheet,
    [SG_SCREEN_IMPORT] = &sg_screen_import,
    [SG_SCREEN_WHY] = &sg_screen_why,
    [SG_SCREEN_WHAT_IF] = &sg_screen_what_if,
    [SG_SCREEN_HISTORY] = &sg_screen_history,
    [SG_SCREEN_FIELDS] = &sg_screen_fields,
    [SG_SCREEN_HELP] = &sg_screen_help,
    [SG_SCREEN_QUOTE] = &sg_screen_quote,
    [SG_SCREEN_TRADE] = &sg_screen_trade,
    [SG_SCREEN_ACTUALS] = &sg_screen_actuals,
};
