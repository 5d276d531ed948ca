#include "exchange/drawing_inside.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

static ssize_t fetch(struct lines *lines, char *to, size_t room)
{
    if (lines->file < 0) {
        size_t n = lines->left < room ? lines->left : room;
        if (n > 0)
            memcpy(to, lines->data, n);
        lines->data += n;
        lines->left -= n;
        return (ssize_t)n;
    }
    ssize_t got;
    do
        got = read(lines->file, to, room);
    while (got < 0 && errno == EINTR);
    return got;
}

/* More bytes behind those that are left, which move to the front. False: there are none, or it failed. */
static bool fill(struct lines *lines)
{
    size_t kept = (size_t)(lines->end - lines->at);
    if (lines->ended || lines->status != SG_OK)
        return false;
    if (kept > LINE_MOST) {
        lines->status = sg_fail(lines->error, SG_BAD_DATA,
                                "%s:%lld: a line of more than %d bytes: it is no drawing or part program",
                                lines->name, (long long)lines->line + 1, LINE_MOST);
        return false;
    }
    memmove(lines->buffer, lines->at, kept);
    ssize_t got = fetch(lines, lines->buffer + kept, LINES_ROOM - kept);
    if (got < 0)
        lines->status = sg_fail(lines->error, SG_NO_FILE, "cannot read %s: %s", lines->name, strerror(errno));
    lines->at = lines->buffer;
    lines->end = lines->buffer + kept + (got > 0 ? got : 0);
    *lines->end = '\n'; /* stops every search */
    lines->ended = got <= 0;
    return got > 0;
}

enum sg_status lines_start(struct lines *lines)
{
    lines->at = lines->end = lines->buffer;
    while (lines->end - lines->at < 4096 && fill(lines))
        ;
    if (lines->end - lines->at >= 3 && memcmp(lines->at, "\xEF\xBB\xBF", 3) == 0)
        lines->at += 3;
    return lines->status;
}

/* The LF of a CR LF. */
static void pass_feed(struct lines *lines)
{
    if (lines->after_return && (lines->at < lines->end || fill(lines)) && *lines->at == '\n')
        lines->at++;
    lines->after_return = false;
}

static bool ends_line(char byte)
{
    return byte == '\n' || byte == '\r' || byte == '\0';
}

bool lines_next(struct lines *lines, char **text, size_t *length)
{
    pass_feed(lines);
    char *stop = lines->at;
    for (;;) {
        while ((unsigned char)*stop > '\r' || !ends_line(*stop))
            stop++;
        if (stop < lines->end)
            break;
        size_t looked = (size_t)(lines->end - lines->at);
        bool more = fill(lines);
        stop = lines->at + looked;
        if (!more && (lines->status != SG_OK || looked == 0))
            return false;
        if (!more)
            break;
    }
    lines->line++;
    if (*stop == '\0') {
        lines->status = sg_fail(lines->error, SG_BAD_DATA,
                                "%s:%lld: a NUL character, which no text file has: save it as plain text "
                                "(ASCII DXF, or a part program)",
                                lines->name, (long long)lines->line);
        return false;
    }
    *text = lines->at;
    *length = (size_t)(stop - lines->at);
    lines->after_return = *stop == '\r';
    lines->at = stop < lines->end ? stop + 1 : stop;
    return true;
}
