/* Steps of the history: who made them, taking them back, and what others did.
 */
#include "edit/inside.h"
#include "sandglass/utf8.h"

#include <stdio.h>
#include <string.h>

/* As the history writes a name down, so that one's own steps are known again: whole characters, as many as
 * fit, blanks for those that are not shown. */
static void clean_name(char *out, size_t size, const char *name)
{
    size_t left = strlen(name), used = 0;
    while (left > 0) {
        uint32_t code = '?';
        size_t length = sg_utf8_character(name, left, &code);
        bool shown = length > 0 && !sg_utf8_hidden(code);
        size_t room = shown ? length : 1, taken = length > 0 ? length : 1;
        if (used + room >= size)
            break;
        memcpy(out + used, shown ? name : length > 0 ? " " : "?", room);
        used += room;
        name += taken;
        left -= taken;
    }
    out[used] = '\0';
}

static void skip(void *context, const struct sg_step_told *step)
{
    struct sg_desk *desk = context;
    desk->seen = step->id;
}

/* The watch begins here: what was done before is no news. */
void sg_desk_sign(struct sg_desk *desk, const char *who)
{
    clean_name(desk->who, sizeof desk->who, who && *who ? who : "somebody");
    if (desk->store && desk->seen == 0)
        sg_store_history(desk->store, 1, skip, desk, NULL);
}

/* Seconds since the epoch; the clock is asked only when something is kept. */
double sg_desk_now(void)
{
    struct timespec t = {0};
    clock_gettime(CLOCK_REALTIME, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

void sg_change_words(const char *key, const struct sg_change *changes, int n, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (int i = 0; i < n && used + 1 < size; i++) {
        const struct sg_change *c = &changes[i];
        used += (size_t)snprintf(out + used, size - used, "%s%s of %s: %s -> %s", i ? "; " : "",
                                 c->field->name, key, c->before, c->after);
    }
}

enum sg_status sg_desk_finish(struct sg_desk *desk, enum sg_status status, const char *words,
                              struct sg_error *error)
{
    if (words && status == SG_OK) {
        const struct sg_step_note note = {.who = desk->who, .at = sg_desk_now(), .words = words};
        status = sg_store_keep(desk->store, &note, error);
    }
    if (!words || status != SG_OK)
        sg_store_rollback(desk->store);
    if (status != SG_OK)
        sg_desk_reload(desk, NULL);
    return status;
}

static enum sg_status take(struct sg_desk *desk,
                           enum sg_status (*step)(struct sg_store *, const char *, double,
                                                  struct sg_step_told *, struct sg_error *),
                           struct sg_step_told *told, struct sg_error *error)
{
    enum sg_status status = step(desk->store, desk->who, sg_desk_now(), told, error);
    return status == SG_OK ? sg_desk_reload(desk, error) : status;
}

enum sg_status sg_desk_undo(struct sg_desk *desk, struct sg_step_told *told, struct sg_error *error)
{
    return take(desk, sg_store_undo, told, error);
}

enum sg_status sg_desk_redo(struct sg_desk *desk, struct sg_step_told *told, struct sg_error *error)
{
    return take(desk, sg_store_redo, told, error);
}

/* ---- the watch ---- */

struct news {
    struct sg_desk *desk;
    void (*say)(void *context, const struct sg_step_told *step);
    void *context;
};

/* One's own steps through this desk are no news. */
static void hear(void *context, const struct sg_step_told *step)
{
    struct news *news = context;
    if (news->say && strcmp(step->who, news->desk->who) != 0)
        news->say(news->context, step);
    news->desk->seen = step->id;
}

enum sg_status sg_desk_look(struct sg_desk *desk, bool *moved,
                            void (*say)(void *context, const struct sg_step_told *step), void *context,
                            struct sg_error *error)
{
    struct news news = {desk, say, context};
    *moved = sg_store_moved(desk->store);
    if (!*moved)
        return SG_OK;
    enum sg_status status = sg_desk_reload(desk, error);
    return status == SG_OK ? sg_store_news(desk->store, desk->seen, hear, &news, error) : status;
}
