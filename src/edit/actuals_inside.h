/* What the files of the actuals share. */
#ifndef SANDGLASS_EDIT_ACTUALS_INSIDE_H
#define SANDGLASS_EDIT_ACTUALS_INSIDE_H

#include "edit/actuals.h"
#include "edit/inside.h"

/* Add a record in the open transaction; its id is made here. */
enum sg_status sg_desk_add_record(struct sg_desk *desk, const struct sg_record *record,
                                  struct sg_error *error);

/* End the transaction of an act as sg_desk_finish does, with the desk showing what was kept. */
enum sg_status sg_desk_end_act(struct sg_desk *desk, enum sg_status status, const struct sg_noted *noted,
                               struct sg_error *error);

#endif
