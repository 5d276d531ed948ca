/* A text of a screen into a file of the person's choice: the name is asked for in a line, a file that is
 * there is replaced only when told so, and it is written whole or not at all. */
#ifndef SANDGLASS_TUI_TO_FILE_H
#define SANDGLASS_TUI_TO_FILE_H

#include "exchange/render.h"
#include "tui/inside.h"

struct sg_to_file {
    const char *label; /* of the line: "CSV to file:" */
    /* Makes the text as it is to be written. False with a message where there is nothing to write, which may
     * be so only by the time the name is typed: the place may have closed. */
    bool (*make)(struct sg_ui *ui, struct sg_text *out);
    void (*written)(struct sg_ui *ui, const char *path); /* says what was written */
};

/* Ask for the file's name. `what` must outlive the program's screens. */
void sg_to_file_ask(struct sg_ui *ui, const struct sg_to_file *what, const char *proposal);

#endif
