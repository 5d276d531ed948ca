#include "tui/what_ifs.h"

#include "exchange/exchange.h"
#include "tui/screens.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* What waits for a name. Kept while the program runs: a place may close while the name is typed. */
struct asked {
    struct sg_what_if_edits edits; /* found: there is one of that name */
    bool adds;
};

/* All of them, or none where the name is new. */
static enum sg_status add_edits(struct sg_ui *ui, const char *name, const struct sg_what_if_edits *edits,
                                struct sg_error *error)
{
    enum sg_status status = SG_OK;
    int added = 0;
    while (added < edits->n && status == SG_OK) {
        const char *assignment = edits->edits[added].assignment;
        status = sg_what_if_add(ui->desk, ui->draft, name, edits->edits[added].key, &assignment, 1, error);
        added += status == SG_OK;
    }
    if (status != SG_OK && added > 0 && !edits->found)
        sg_store_what_if_drop(sg_desk_store(ui->desk), name, NULL);
    return status;
}

static enum sg_status keep_as(struct sg_ui *ui, struct asked *asked, const char *name, struct sg_error *error)
{
    struct sg_what_if_edits *there = malloc(sizeof *there);
    if (!there)
        return sg_fail(error, SG_FAULT, "no memory for a what-if");
    enum sg_status status = sg_what_if_read(ui->desk, name, there, error);
    asked->edits.found = there->found;
    free(there);
    if (status != SG_OK)
        return status;
    if (asked->edits.found && !asked->adds)
        return sg_fail(error, SG_BAD_DATA, "there is a what-if %.60s already: give it another name", name);
    return add_edits(ui, name, &asked->edits, error);
}

static void name_given(struct sg_ui *ui, const char *name)
{
    struct asked *asked = ui->own[SG_SCREEN_WHAT_IF];
    struct sg_error error;
    enum sg_status status = keep_as(ui, asked, name, &error);
    sg_ui_refresh(ui); /* the draft holds what was added */
    if (status != SG_OK)
        sg_ui_fail(ui, &error);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "%s what-if \"%.100s\"; the plan is as it was",
                  asked->edits.found ? "Added to" : "Kept as", name);
}

struct names {
    int next; /* of "what if 1" */
    char list[300];
};

static void note_name(void *context, const struct sg_what_if *what_if)
{
    struct names *names = context;
    size_t used = strlen(names->list);
    int number;
    if (sscanf(what_if->name, "what if %d", &number) == 1 && number >= names->next && number < 1000000)
        names->next = number + 1;
    snprintf(names->list + used, sizeof names->list - used, "%s%s", used ? ", " : "", what_if->name);
}

void sg_what_if_ask_name(struct sg_ui *ui, const struct sg_edit *edits, int n, bool adds,
                         const char *proposal)
{
    static const struct sg_question question = {.label = "keep for later as", .answer = name_given};
    struct names names = {.next = 1};
    struct sg_error error;
    char next[SG_WHAT_IF_NAME];
    struct asked *asked = ui->own[SG_SCREEN_WHAT_IF] ? ui->own[SG_SCREEN_WHAT_IF] : malloc(sizeof *asked);
    if (!asked || sg_store_what_ifs(sg_desk_store(ui->desk), note_name, &names, &error) != SG_OK) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", asked ? sg_ui_reason(ui, &error) : "no memory for a what-if");
        free(ui->own[SG_SCREEN_WHAT_IF] ? NULL : asked);
        return;
    }
    ui->own[SG_SCREEN_WHAT_IF] = asked;
    memcpy(asked->edits.edits, edits, (size_t)n * sizeof *edits);
    asked->edits.n = n;
    asked->adds = adds;
    snprintf(next, sizeof next, "what if %d", names.next);
    sg_question_open(ui, &question, proposal ? proposal : next);
    if (adds && names.list[0])
        sg_ui_say(ui, SG_ROLE_TEXT, "A new name, or one that gets this as well: %.300s", names.list);
    else
        ui->message[0] = '\0';
}

/* ---- dropped, and kept again ---- */

/* As the file holds them: it need not go through the rules to be kept for later. */
static enum sg_status put_back(struct sg_ui *ui, const char *name, const struct sg_what_if_edits *edits,
                               struct sg_error *error)
{
    struct sg_text lines = {0};
    struct sg_what_if_edits *there = malloc(sizeof *there);
    for (int i = 0; i < edits->n; i++)
        sg_text_format(&lines, "%s\t%s\n", edits->edits[i].key, edits->edits[i].assignment);
    enum sg_status status = !there || lines.failed || !lines.data
                                ? sg_fail(error, SG_FAULT, "no memory for a what-if")
                                : sg_what_if_read(ui->desk, name, there, error);
    if (status == SG_OK && there->found)
        status = sg_fail(error, SG_BAD_DATA, "there is another what-if %.60s by now", name);
    if (status == SG_OK)
        status = sg_store_what_if_put(
            sg_desk_store(ui->desk),
            &(struct sg_what_if){
                .name = name, .edits = lines.data, .who = sg_desk_who(ui->desk), .at = (double)time(NULL)},
            error);
    sg_text_free(&lines);
    free(there);
    return status;
}

bool sg_what_if_put_back(struct sg_ui *ui, const char *name, const struct sg_what_if_edits *edits)
{
    struct sg_error error;
    bool done = put_back(ui, name, edits, &error) == SG_OK;
    if (done)
        sg_ui_say(ui, SG_ROLE_TEXT, "%.100s is kept for later again", name);
    else
        sg_ui_fail(ui, &error);
    return done;
}

/* ---- of what is typed ---- */

/* The text that counts: the word of the list where what is typed is no value of its own. */
static const char *typed_text(struct sg_ui *ui)
{
    struct sg_typed typed;
    const char *text = sg_entry_text(&ui->entry);
    if (!ui->choosing.open || ui->choosing.at < 0)
        return text;
    sg_field_read(ui->typing.field, ui->kept.shop, text, &typed);
    return text[0] && typed.state == SG_PARSE_WHOLE ? text : sg_choosing_word(ui, ui->choosing.at, NULL);
}

/* An edit for each row that is typed into; NULL with a message where there is no room for them. */
static struct sg_edit *typed_edits(struct sg_ui *ui)
{
    const struct sg_typing *typing = &ui->typing;
    struct sg_edit *edits = calloc((size_t)typing->n, sizeof *edits);
    bool fits = edits && typing->n <= SG_WHAT_IF_EDITS;
    for (int i = 0; i < typing->n && fits; i++) {
        sg_key_write(ui->kept.shop, typing->targets[i], edits[i].key, sizeof edits[i].key);
        fits = snprintf(edits[i].assignment, sizeof edits[i].assignment, "%s=%s", typing->field->name,
                        typed_text(ui)) < (int)sizeof edits[i].assignment;
    }
    if (fits)
        return edits;
    free(edits);
    sg_ui_say(ui, SG_ROLE_WRONG, "a what-if takes up to %d rows and texts of up to %zu bytes",
              SG_WHAT_IF_EDITS, sizeof edits->assignment - 1);
    return NULL;
}

void sg_do_what_if_typed(struct sg_ui *ui)
{
    int n = ui->typing.n;
    if (ui->typing.typed.state != SG_PARSE_WHOLE) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no what-if of half a value: %.400s", ui->typing.typed.text);
        return;
    }
    struct sg_edit *edits = typed_edits(ui);
    if (!edits)
        return;
    snprintf(ui->last, sizeof ui->last, "%s", sg_entry_text(&ui->entry)); /* where no name is given */
    sg_typing_drop(ui);
    sg_what_if_ask_name(ui, edits, n, true, NULL);
    free(edits);
}
