/* The screens as lines of text, for a screen reader or a terminal that can not place a cursor: the same keys,
 * and after each of them what changed, said once. */
#ifndef SANDGLASS_SPEAK_H
#define SANDGLASS_SPEAK_H

#include "edit/desk.h"
#include "tui/ui.h"

enum sg_status sg_speak_run(struct sg_desk *desk, const struct sg_ui_how *how, struct sg_error *error);

#endif
