/* What really happened, read up to now: for the Actuals and the Sheet screen. It is read when it is first
 * asked for, and anew when the shop has changed or, at the next input, when a minute has gone by. */
#ifndef SANDGLASS_TUI_LOG_H
#define SANDGLASS_TUI_LOG_H

#include "edit/actuals.h"
#include "tui/inside.h"

/* Now, in seconds since the epoch; and in local seconds since 1970-01-01 00:00, as people note it. */
double sg_ui_epoch(const struct sg_ui *ui);
int64_t sg_ui_now(const struct sg_ui *ui);

/* The log; NULL where memory is out. */
const struct sg_actual *sg_ui_actual(struct sg_ui *ui);

/* With the plan of what is left in the shift that is shown; NULL where it cannot be planned, for the reason.
 */
const struct sg_now *sg_ui_rest(struct sg_ui *ui);
const char *sg_ui_no_rest(struct sg_ui *ui);

/* When what is left ends now: "NOW 18:45", for the screens that show the plan; "" where nothing was clocked
 * or counted in the shift that is shown, or it is not planned yet. It never plans. *old: something was kept
 * since. */
const char *sg_ui_rest_ends(const struct sg_ui *ui, bool *old);

/* Plan it, where the screen shows it and it is due: once after each kept change, and with a clock that runs
 * each minute. Called while nobody types; true where there is another picture. */
bool sg_log_go_on(struct sg_ui *ui);

void sg_log_forget(struct sg_ui *ui);
void sg_log_free(struct sg_ui *ui);

/* Forget what is older than the minute of now; true where that is so. */
bool sg_log_renew(struct sg_ui *ui);

#endif
