/* Names of files as they are typed in a line and told in words. */
#ifndef SANDGLASS_FILE_NAME_H
#define SANDGLASS_FILE_NAME_H

#include "tui/inside.h"

enum { SG_FILE_NAME = 4096 };

/* Read a typed name into `out` of SG_FILE_NAME bytes: blanks around it go, ~/ is the home folder. False with
 * a message for no name, one that is too long, and "-". */
bool sg_file_name_read(struct sg_ui *ui, const char *typed, char *out);

/* The part behind the last slash. */
const char *sg_file_name_last(const char *path);

/* With the current folder in front where it is not named, into SG_FILE_NAME bytes. */
void sg_file_name_whole(const char *path, char *out);

#endif
