/* What the files about what-ifs share. */
#ifndef SANDGLASS_TUI_WHAT_IFS_H
#define SANDGLASS_TUI_WHAT_IFS_H

#include "edit/what_if.h"
#include "tui/inside.h"

/* Show the what-if on which one stands in ui->tried; on other screens nothing. Drawing the screen does it:
 * this is for an action that comes before. (screen_what_if.c) */
void sg_what_if_stand(struct sg_ui *ui);

enum { SG_WHAT_IF_NAME = 60 * 4 + 1 }; /* 60 characters, as the file takes them */

/* Ask in a line for a name and keep the edits under it; they are copied. `adds`: a name that is there gets
 * them as well, else it is refused. proposal NULL: the next "what if 1". At most SG_WHAT_IF_EDITS.
 * (what_if_name.c) */
void sg_what_if_ask_name(struct sg_ui *ui, const struct sg_edit *edits, int n, bool adds,
                         const char *proposal);

/* Keep again, as it was, a what-if that was dropped; true where it is kept. (what_if_name.c) */
bool sg_what_if_put_back(struct sg_ui *ui, const char *name, const struct sg_what_if_edits *edits);

/* The keys of the jobs that are late in a plan, as many as have room: "2602 2605", "2602 +2". out has
 * SG_WHAT_IF_LATE bytes. (what_if_figures.c) */
enum { SG_WHAT_IF_LATE = 16 };
void sg_what_if_late(const struct sg_shop *shop, const struct sg_plan *plan, char *out);

/* Whether nobody is asked for in the break that matters most, the longest; false without any. */
bool sg_what_if_alone(const struct sg_plan *plan);

#endif
