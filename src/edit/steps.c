/* Steps of the history: who made them, taking them back, and what others did.
 */
#include "edit/inside.h"
#include "sandglass/utf8.h"

#include <stdio.h>
#include <stdlib.h>
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

void sg_desk_sign(struct sg_desk *desk, const char *who)
{
    clean_name(desk->who, sizeof desk->who, who && *who ? who : "somebody");
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

/* Remember the step that was just kept here as one's own. Steps are numbered without gaps: one right behind
 * what was seen needs no room. Where memory is out, it is told as if it were another's. */
static void note_own(struct sg_desk *desk)
{
    int64_t id = sg_store_kept(desk->store);
    if (id == desk->seen + 1)
        desk->seen = id;
    if (id <= desk->seen || (desk->n_own > 0 && id <= desk->own[desk->n_own - 1]))
        return; /* nothing was changed, so no step was kept */
    if (desk->n_own == desk->own_room) {
        int room = 2 * desk->own_room + 16;
        int64_t *more = realloc(desk->own, (size_t)room * sizeof *more);
        if (!more)
            return;
        desk->own = more;
        desk->own_room = room;
    }
    desk->own[desk->n_own++] = id;
}

enum sg_status sg_desk_finish(struct sg_desk *desk, enum sg_status status, const char *words,
                              struct sg_error *error)
{
    if (words && status == SG_OK) {
        const struct sg_step_note note = {.who = desk->who, .at = sg_desk_now(), .words = words};
        status = sg_store_keep(desk->store, &note, error);
        note_own(desk);
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
    note_own(desk);
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

static void skip(void *context, const struct sg_step_told *step)
{
    struct sg_desk *desk = context;
    desk->seen = step->id;
}

enum sg_status sg_desk_watch(struct sg_desk *desk, struct sg_error *error)
{
    return sg_store_history(desk->store, 1, skip, desk, error);
}

/* Whether a step was made here; steps come in the order in which they were made. By its number: who signs may
 * sit at two screens. */
static bool take_own(struct sg_desk *desk, int64_t id)
{
    if (desk->n_own == 0 || desk->own[0] != id)
        return false;
    memmove(desk->own, desk->own + 1, (size_t)--desk->n_own * sizeof *desk->own);
    return true;
}

static void hear(void *context, const struct sg_step_told *step)
{
    struct news *news = context;
    if (!take_own(news->desk, step->id) && news->say)
        news->say(news->context, step);
    news->desk->seen = step->id;
}

enum sg_status sg_desk_look(struct sg_desk *desk, bool *moved,
                            void (*say)(void *context, const struct sg_step_told *step), void *context,
                            struct sg_error *error)
{
    struct news news = {desk, say, context};
    desk->stale = sg_store_moved(desk->store) || desk->stale;
    *moved = false;
    if (!desk->stale)
        return SG_OK;
    enum sg_status status = sg_desk_reload(desk, error);
    if (status != SG_OK)
        return status;
    *moved = true;
    status = sg_store_news(desk->store, desk->seen, hear, &news, error);
    desk->stale = status == SG_BUSY; /* a history that is damaged will not be read by the next look either */
    return status;
}
