#include "tui/file_name.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bool refuse(struct sg_ui *ui, const char *words)
{
    sg_ui_say(ui, SG_ROLE_WRONG, "%s", words);
    return false;
}

bool sg_file_name_read(struct sg_ui *ui, const char *typed, char *out)
{
    const char *home = "";
    typed += strspn(typed, " \t");
    size_t length = strlen(typed);
    while (length > 0 && (typed[length - 1] == ' ' || typed[length - 1] == '\t'))
        length--;
    if (length == 0)
        return refuse(ui, "no file is named: nothing done");
    if (length == 1 && typed[0] == '-')
        return refuse(ui, "- is standard input and output, which the screens use: type the name of a file");
    if (typed[0] == '~' && (length == 1 || typed[1] == '/')) {
        home = getenv("HOME");
        if (!home || !home[0])
            return refuse(ui, "~ is the home folder, which is not known here: type the whole path");
        typed++;
        length--;
    }
    if (strlen(home) + length >= SG_FILE_NAME)
        return refuse(ui, "the name is too long for a file");
    snprintf(out, SG_FILE_NAME, "%s%.*s", home, (int)length, typed);
    return true;
}

const char *sg_file_name_last(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

void sg_file_name_whole(const char *path, char *out)
{
    char folder[SG_FILE_NAME];
    if (path[0] != '/' && getcwd(folder, sizeof folder))
        snprintf(out, SG_FILE_NAME, "%s/%s", folder, path);
    else
        snprintf(out, SG_FILE_NAME, "%s", path);
}
