#include "edit/what_if.h"

#include "edit/inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- edits as lines ---- */

static bool read_line(const char *line, size_t length, struct sg_edit *edit)
{
    const char *tab = memchr(line, '\t', length);
    size_t key = tab ? (size_t)(tab - line) : length, rest = tab ? length - key - 1 : 0;
    memset(edit, 0, sizeof *edit);
    if (!tab || key >= sizeof edit->key || rest >= sizeof edit->assignment)
        return false;
    memcpy(edit->key, line, key);
    memcpy(edit->assignment, tab + 1, rest);
    return true;
}

struct finding {
    const char *name;
    struct sg_what_if_edits *out;
    bool broken;
};

static void find_edits(void *context, const struct sg_what_if *what_if)
{
    struct finding *finding = context;
    if (strcmp(what_if->name, finding->name) != 0)
        return;
    finding->out->found = true;
    for (const char *line = what_if->edits; *line;) {
        size_t length = strcspn(line, "\n");
        bool room = finding->out->n < SG_WHAT_IF_EDITS;
        if (!room || !read_line(line, length, &finding->out->edits[finding->out->n++]))
            finding->broken = true;
        if (!room)
            return;
        line += length + (line[length] == '\n');
    }
}

enum sg_status sg_what_if_read(struct sg_desk *desk, const char *name, struct sg_what_if_edits *out,
                               struct sg_error *error)
{
    struct finding finding = {name, out, false};
    out->n = 0;
    out->found = false;
    enum sg_status status = sg_store_what_ifs(desk->store, find_edits, &finding, error);
    if (status == SG_OK && finding.broken)
        return sg_fail(error, SG_BAD_DATA, "what-if \"%.60s\" cannot be read; drop it", name);
    return status;
}

/* ---- showing ---- */

static struct sg_change *new_changes(const struct sg_what_if_edits *edits, struct sg_error *error)
{
    struct sg_change *changes = malloc(((size_t)edits->n + 1) * sizeof *changes);
    if (!changes)
        sg_fail(error, SG_FAULT, "no memory for a what-if of %d changes", edits->n);
    return changes;
}

enum sg_status sg_what_if_show(struct sg_draft *draft, const struct sg_what_if_edits *edits,
                               struct sg_error *error)
{
    struct sg_change *changes = new_changes(edits, error);
    enum sg_status status = changes ? sg_draft_edit(draft, edits->edits, edits->n, changes, error) : SG_FAULT;
    free(changes);
    return status;
}

/* ---- changing and keeping ---- */

static enum sg_status add_edit(struct sg_what_if_edits *edits, const char *key, const char *assignment,
                               struct sg_error *error)
{
    if (edits->n == SG_WHAT_IF_EDITS)
        return sg_fail(error, SG_BAD_DATA, "a what-if holds at most %d changes", SG_WHAT_IF_EDITS);
    struct sg_edit *edit = &edits->edits[edits->n++];
    if (strlen(key) >= sizeof edit->key || strlen(assignment) >= sizeof edit->assignment ||
        strpbrk(assignment, "\n\t") || strpbrk(key, "\n\t"))
        return sg_fail(error, SG_BAD_DATA, "a what-if takes texts of one line, up to %zu bytes",
                       sizeof edit->assignment - 1);
    snprintf(edit->key, sizeof edit->key, "%s", key);
    snprintf(edit->assignment, sizeof edit->assignment, "%s", assignment);
    edit->before = edit->longer = NULL;
    return SG_OK;
}

enum { LONGEST = 100000 }; /* as the file takes it */

static enum sg_status put(struct sg_desk *desk, const char *name, const struct sg_what_if_edits *edits,
                          struct sg_error *error)
{
    size_t size = 1, used = 0;
    for (int i = 0; i < edits->n; i++)
        size += strlen(edits->edits[i].key) + strlen(edits->edits[i].assignment) + 2;
    if (size > LONGEST)
        return sg_fail(error, SG_BAD_DATA,
                       "what-if \"%.60s\" is full: its changes take more than %d bytes; keep it, or put the "
                       "rest into another one",
                       name, LONGEST);
    char *lines = malloc(size);
    if (!lines)
        return sg_fail(error, SG_FAULT, "no memory for a what-if");
    lines[0] = '\0';
    for (int i = 0; i < edits->n; i++)
        used += (size_t)snprintf(lines + used, size - used, "%s\t%s\n", edits->edits[i].key,
                                 edits->edits[i].assignment);
    const struct sg_what_if what_if = {.name = name, .edits = lines, .who = desk->who, .at = sg_desk_now()};
    enum sg_status status = sg_store_what_if_put(desk->store, &what_if, error);
    free(lines);
    return status;
}

/* With the write lock, so that two who add at once both get theirs in. */
static enum sg_status add_edits(struct sg_desk *desk, struct sg_draft *draft, const char *name,
                                const char *typed_key, const char *const *assignments, int n,
                                struct sg_what_if_edits *edits, struct sg_error *error)
{
    struct sg_target target;
    char key[sizeof edits->edits->key]; /* as it is called, however it was typed */
    enum sg_status status = sg_key_find(&desk->held.shop, typed_key, &target, error);
    if (status == SG_OK)
        status = sg_what_if_read(desk, name, edits, error);
    if (status == SG_OK)
        sg_key_write(&desk->held.shop, target, key, sizeof key);
    for (int i = 0; i < n && status == SG_OK; i++)
        status = add_edit(edits, key, assignments[i], error);
    if (status == SG_OK)
        status = sg_what_if_show(draft, edits, error);
    return status == SG_OK ? put(desk, name, edits, error) : status;
}

enum sg_status sg_what_if_add(struct sg_desk *desk, struct sg_draft *draft, const char *name, const char *key,
                              const char *const *assignments, int n, struct sg_error *error)
{
    struct sg_what_if_edits *edits = malloc(sizeof *edits);
    if (!edits)
        return sg_fail(error, SG_FAULT, "no memory for a what-if");
    enum sg_status status = sg_key_check(SG_KIND_HEAD, name, error); /* a short name of one line */
    if (status == SG_OK)
        status = sg_store_begin(desk->store, error);
    if (status == SG_OK)
        status = add_edits(desk, draft, name, key, assignments, n, edits, error);
    if (status == SG_OK)
        status = sg_store_commit(desk->store, error);
    sg_store_rollback(desk->store);
    if (status != SG_OK)
        sg_draft_reset(draft, NULL);
    free(edits);
    return status;
}

/* Nothing goes into the plan unseen, and nothing is dropped unseen. */
static enum sg_status check_unchanged(struct sg_desk *desk, const char *name,
                                      const struct sg_what_if_edits *edits, struct sg_error *error)
{
    struct sg_what_if_edits *now = malloc(sizeof *now);
    if (!now)
        return sg_fail(error, SG_FAULT, "no memory for a what-if");
    enum sg_status status = sg_what_if_read(desk, name, now, error);
    bool same = now->n == edits->n || !now->found; /* dropped: dropping it again says so */
    for (int i = 0; i < edits->n && now->found && same; i++)
        same = strcmp(now->edits[i].key, edits->edits[i].key) == 0 &&
               strcmp(now->edits[i].assignment, edits->edits[i].assignment) == 0;
    free(now);
    if (status == SG_OK && !same)
        return sg_fail(error, SG_BAD_DATA,
                       "what-if \"%.60s\" was changed since it was looked at: look at it again, then keep it",
                       name);
    return status;
}

enum sg_status sg_what_if_keep(struct sg_desk *desk, const char *name, const struct sg_what_if_edits *edits,
                               struct sg_error *error)
{
    char words[SG_WORDS_SIZE];
    int clash = 0;
    struct sg_change *changes = new_changes(edits, error);
    enum sg_status status = changes ? sg_desk_begin(desk, error) : SG_FAULT;
    if (status != SG_OK) {
        free(changes);
        return status;
    }
    status = check_unchanged(desk, name, edits, error);
    if (status == SG_OK)
        status = sg_desk_edit(desk, edits->edits, edits->n, changes, &clash, NULL, 0, error);
    if (status == SG_OK) /* in the same transaction: kept and dropped, or neither */
        status = sg_store_what_if_drop(desk->store, name, error);
    free(changes);
    snprintf(words, sizeof words, "what-if %.240s, %d change%s", name, edits->n, edits->n == 1 ? "" : "s");
    return sg_desk_finish(desk, status, words, error);
}
