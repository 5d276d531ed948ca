/* A job that was cut before, again. */
#ifndef SANDGLASS_EDIT_REPEAT_H
#define SANDGLASS_EDIT_REPEAT_H

#include "edit/desk.h"
#include "sandglass/repeat.h"

struct sg_repeat {
    const char *from, *to; /* keys of the job that was cut, and of the new one */
    const char *shift;     /* that the new one goes to; NULL: the first that is open */
    struct sg_took *took;  /* filled, by stock of the job */
    int32_t room;          /* of took */
};

/* Copy a job with what it really took (sg_took_stock), as one step. *target is the new job. */
enum sg_status sg_desk_repeat(struct sg_desk *desk, const struct sg_repeat *how, struct sg_target *target,
                              struct sg_error *error);

#endif
