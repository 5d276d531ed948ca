/* What the description of the user's terminal says. A file of its own, since the header of terminfo takes
 * every short word for itself. */
#ifndef SANDGLASS_TERMINFO_H
#define SANDGLASS_TERMINFO_H

#include "sandglass/status.h"
#include "tui/stroke.h"

/* SG_USAGE with what would be right where the screens cannot run on this terminal. */
enum sg_status sg_terminfo_check(struct sg_error *error);

/* A string of the description; NULL. It and what follows need curses to be open. */
const char *sg_terminfo_text(const char *name);

/* The sequences of its keys; how many. They live as long as the screen of curses. */
enum { SG_TERMINFO_KEYS = 26 };
int sg_terminfo_keys(struct sg_sequence own[SG_TERMINFO_KEYS]);

/* What puts it right when the program dies; bytes. */
size_t sg_terminfo_rescue(bool modern, char *out, size_t size);

#endif
