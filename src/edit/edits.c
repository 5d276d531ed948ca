/* Edits of several rows at once. */
#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <string.h>

static const char *assigned(const struct sg_edit *edit)
{
    return edit->longer ? edit->longer : edit->assignment;
}

static size_t name_length(const struct sg_edit *edit)
{
    return strcspn(assigned(edit), "=") + 1;
}

enum { MOST_TOGETHER = 64 }; /* more than any kind has fields */

int sg_edits_together(const struct sg_edit *edits, int n)
{
    int taken = 0;
    for (; taken < n && taken < MOST_TOGETHER && strcmp(edits[taken].key, edits[0].key) == 0; taken++)
        for (int i = 0; i < taken; i++)
            if (strncmp(assigned(&edits[i]), assigned(&edits[taken]), name_length(&edits[taken])) == 0)
                return taken;
    return taken;
}

/* Whether a field of a record shows this text, all of it. */
static bool shows(const struct sg_shop *shop, const struct sg_field *field, const void *record,
                  const char *text)
{
    char shown[SG_MAX_DAYS * 16]; /* of all that is no text, the longest is a list of days */
    struct sg_value value;
    sg_field_get(field, record, &value);
    if (field->type == SG_FIELD_TEXT && !value.none)
        return strcmp(value.text, text) == 0;
    sg_field_show(field, shop, &value, shown, sizeof shown);
    return strcmp(shown, text) == 0;
}

/* Whether a field still is what its edit was based on: SG_NO if not. Nothing is changed but `change`. */
static enum sg_status check_before(struct sg_held *held, const struct sg_edit *edit, struct sg_change *change,
                                   struct sg_error *error)
{
    struct sg_target target;
    union sg_any scratch;
    enum sg_status status = sg_key_find(&held->shop, edit->key, &target, error);
    if (status != SG_OK)
        return status;
    const void *record = sg_target_record(&held->shop, target);
    memcpy(&scratch, record, sg_kind_size(target.kind));
    status = sg_held_assign(held, target.kind, &scratch, assigned(edit), change, error);
    return status == SG_OK && !shows(&held->shop, change->field, record, edit->before) ? SG_NO : status;
}

/* Make edits of one row, n of them. */
static enum sg_status edit_row(struct sg_held *held, const struct sg_edit *edits, int n,
                               struct sg_change *changes, struct sg_error *error)
{
    struct sg_target target;
    const char *assignments[MOST_TOGETHER];
    for (int i = 0; i < n; i++)
        assignments[i] = assigned(&edits[i]);
    enum sg_status status = sg_key_find(&held->shop, edits[0].key, &target, error);
    if (status == SG_OK)
        status = sg_held_assign_all(held, target.kind, sg_target_record(&held->shop, target), assignments, n,
                                    changes, error);
    return status == SG_OK ? sg_held_settle(held, &target, changes, n, error) : status;
}

/* The sentence names the row where there are several. */
static enum sg_status check_row(const struct sg_shop *shop, const char *key, bool alone,
                                struct sg_error *error)
{
    struct sg_error why;
    struct sg_target target;
    enum sg_status status = sg_key_find(shop, key, &target, error);
    if (status != SG_OK)
        return status;
    status = sg_rules_check(target.kind, sg_target_record(shop, target), shop, &why);
    if (status == SG_OK)
        return status;
    return alone ? sg_fail(error, status, "%s", why.text)
                 : sg_fail(error, status, "%.80s: %s", key, why.text);
}

enum sg_status sg_held_edit(struct sg_held *held, const struct sg_edit *edits, int n,
                            struct sg_change *changes, int *clash, struct sg_error *error)
{
    enum sg_status status = SG_OK;
    int together;
    bool alone = true;
    for (int i = 0; i < n && status == SG_OK; i++)
        if (edits[i].before) {
            *clash = i;
            status = check_before(held, &edits[i], &changes[i], error);
        }
    for (int i = 0; i < n && status == SG_OK; i += together) {
        together = sg_edits_together(&edits[i], n - i);
        alone = alone && strcmp(edits[i].key, edits[0].key) == 0;
        status = edit_row(held, &edits[i], together, &changes[i], error);
    }
    for (int i = 0; i < n && status == SG_OK; i += together) {
        together = sg_edits_together(&edits[i], n - i);
        status = check_row(&held->shop, edits[i].key, alone, error);
    }
    return status;
}

/* ---- kept ---- */

static void add_words(const char *key, const struct sg_change *changes, int n, char *words, size_t size)
{
    size_t used = strlen(words);
    if (used + 3 >= size)
        return;
    used += (size_t)snprintf(words + used, size - used, "%s", used ? "; " : "");
    sg_change_words(key, changes, n, words + used, size - used);
}

enum sg_status sg_desk_edit(struct sg_desk *desk, const struct sg_edit *edits, int n,
                            struct sg_change *changes, int *clash, char *words, size_t size,
                            struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    enum sg_status status = sg_held_edit(&desk->held, edits, n, changes, clash, error);
    bool moved = false;
    for (int i = 0, together; i < n && status == SG_OK; i += together) {
        struct sg_target target;
        char key[sizeof edits->key]; /* as it is called, however it was typed */
        together = sg_edits_together(&edits[i], n - i);
        status = sg_key_find(shop, edits[i].key, &target, error);
        if (status == SG_OK)
            status = sg_desk_write_fields(desk, target, &changes[i], together, &moved, error);
        if (status != SG_OK || !words)
            continue;
        sg_key_write(shop, target, key, sizeof key);
        add_words(key, &changes[i], together, words, size);
    }
    return status == SG_OK && moved ? sg_store_orders(desk->store, shop, error) : status;
}

/* Somebody else set it meanwhile: who, and what. */
static enum sg_status tell_clash(struct sg_desk *desk, const struct sg_edit *edit,
                                 const struct sg_change *change, struct sg_clash *clash,
                                 struct sg_error *error)
{
    int64_t row;
    char key[sizeof edit->key];
    struct sg_target target;
    enum sg_status status = sg_key_find(&desk->held.shop, edit->key, &target, error);
    if (status != SG_OK)
        return status;
    sg_key_write(&desk->held.shop, target, key, sizeof key);
    memcpy(&row, sg_target_record(&desk->held.shop, target), sizeof row);
    memcpy(clash->theirs, change->before, sizeof clash->theirs);
    memcpy(clash->yours, change->after, sizeof clash->yours);
    if (sg_store_last_set(desk->store, target.kind, row, change->field, &clash->step, NULL) != SG_OK)
        memset(&clash->step, 0, sizeof clash->step);
    return sg_fail(error, SG_NO, "%s set %s of %.80s to %.60s while you typed %.60s",
                   clash->step.id ? clash->step.who : "somebody", change->field->name, key, clash->theirs,
                   clash->yours);
}

enum sg_status sg_desk_keep(struct sg_desk *desk, const struct sg_edit *edits, int n, const char *words,
                            struct sg_change *changes, struct sg_clash *clash, struct sg_error *error)
{
    char made[SG_WORDS_SIZE] = "";
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = sg_desk_edit(desk, edits, n, changes, &clash->edit, made, sizeof made, error);
    if (status == SG_NO)
        status = tell_clash(desk, &edits[clash->edit], &changes[clash->edit], clash, error);
    return sg_desk_finish(desk, status, words ? words : made, error);
}
