#include "sandglass/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Drop the bytes of a UTF-8 character that a cut at the end left unfinished. */
static void trim_to_character(char *text)
{
    size_t length = strlen(text), start = length;
    while (start > 0 && ((unsigned char)text[start - 1] & 0xC0) == 0x80)
        start--;
    if (start == 0)
        return;
    unsigned char lead = (unsigned char)text[start - 1];
    size_t need = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    if (length - (start - 1) < need)
        text[start - 1] = '\0';
}

enum sg_status sg_fail(struct sg_error *error, enum sg_status status, const char *format, ...)
{
    if (!error)
        return status;
    error->status = status;
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(error->text, sizeof error->text, format, arguments);
    va_end(arguments);
    if (length >= (int)sizeof error->text)
        trim_to_character(error->text);
    return status;
}
