#include "tui/terminfo.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <curses.h>
#include <term.h>

/* Keys that terminals call by these names; the common sequences are known without. */
static const struct {
    const char *name;
    int32_t stroke;
} own_names[] = {
    {"kcuu1", SG_STROKE_UP},     {"kcud1", SG_STROKE_DOWN},    {"kcub1", SG_STROKE_LEFT},
    {"kcuf1", SG_STROKE_RIGHT},  {"khome", SG_STROKE_HOME},    {"kend", SG_STROKE_END},
    {"kpp", SG_STROKE_PAGE_UP},  {"knp", SG_STROKE_PAGE_DOWN}, {"kich1", SG_STROKE_INSERT},
    {"kdch1", SG_STROKE_DELETE}, {"kcbt", SG_STROKE_BACK_TAB}, {"kent", SG_STROKE_ENTER},
    {"kfnd", SG_STROKE_HOME},    {"kslt", SG_STROKE_END},      {"kf1", SG_STROKE_F1},
    {"kf2", SG_STROKE_F1 + 1},   {"kf3", SG_STROKE_F1 + 2},    {"kf4", SG_STROKE_F1 + 3},
    {"kf5", SG_STROKE_F1 + 4},   {"kf6", SG_STROKE_F1 + 5},    {"kf7", SG_STROKE_F1 + 6},
    {"kf8", SG_STROKE_F1 + 7},   {"kf9", SG_STROKE_F1 + 8},    {"kf10", SG_STROKE_F1 + 9},
    {"kf11", SG_STROKE_F1 + 10}, {"kf12", SG_STROKE_F1 + 11},
};
_Static_assert(sizeof own_names / sizeof *own_names == SG_TERMINFO_KEYS, "room for each own key");

const char *sg_terminfo_text(const char *name)
{
    const char *text = tigetstr(name);
    return text == (char *)-1 || !text || !*text ? NULL : text;
}

int sg_terminfo_keys(struct sg_sequence own[SG_TERMINFO_KEYS])
{
    int n = 0;
    for (size_t i = 0; i < SG_TERMINFO_KEYS; i++) {
        const char *bytes = sg_terminfo_text(own_names[i].name);
        if (bytes && bytes[0] == '\033' && bytes[1])
            own[n++] = (struct sg_sequence){bytes, own_names[i].stroke};
    }
    return n;
}

/* Looked at before curses is opened, which leaves memory behind where it fails. */
enum sg_status sg_terminfo_check(struct sg_error *error)
{
    const char *type = getenv("TERM");
    int found = 0;
    if (!isatty(STDIN_FILENO) || !isatty(STDOUT_FILENO))
        return sg_fail(
            error, SG_USAGE,
            "the screens need a terminal for input and output; `sandglass help` lists the commands "
            "that need none");
    if (!type || !*type)
        return sg_fail(error, SG_USAGE, "TERM is not set; set it, for example TERM=xterm or TERM=vt100");
    if (setupterm(NULL, STDOUT_FILENO, &found) != OK)
        return sg_fail(error, SG_USAGE,
                       "the terminal type \"%.60s\" is not known here; set TERM, for example TERM=xterm or "
                       "TERM=vt100",
                       type);
    bool places = sg_terminfo_text("cup") && sg_terminfo_text("clear");
    del_curterm(cur_term);
    if (!places)
        return sg_fail(error, SG_USAGE,
                       "a terminal of type \"%.60s\" cannot place its cursor; set TERM, for example "
                       "TERM=xterm or TERM=vt100",
                       type);
    return SG_OK;
}

/* A string of the description without the waits in it, which only curses can spend. */
static void add_plain(char *out, size_t size, const char *text)
{
    size_t length = strlen(out);
    for (; text && *text && length + 1 < size; text++) {
        const char *end = text[0] == '$' && text[1] == '<' ? strchr(text, '>') : NULL;
        if (end)
            text = end;
        else
            out[length++] = *text;
    }
    out[length] = '\0';
}

size_t sg_terminfo_rescue(bool modern, char *out, size_t size)
{
    static const char *const names[] = {"sgr0", "rmkx", "cnorm", "rmcup"};
    out[0] = '\0';
    if (modern)
        add_plain(out, size, "\033[?2004l\033[?1006l\033[?1000l");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        add_plain(out, size, sg_terminfo_text(names[i]));
    add_plain(out, size, "\r\n");
    return strlen(out);
}
