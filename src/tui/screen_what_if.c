/* What if: changes that are tried without touching the plan. Those that somebody kept under a name, and those
 * that end the shift earlier; the one on which one stands is shown in the answers and beside the plan. */
#include "tui/screens.h"

#include "edit/suggest.h"
#include "edit/what_if.h"
#include "exchange/render.h"
#include "tui/what_ifs.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_SIZE = SG_WHAT_IF_NAME, WORDS = 1400, PROBLEM = 300, FIGURE = 40, WIDE = 70 };

enum item_kind { AS_PLANNED, NAMED, SUGGESTED, DROPPED };

/* One that can be stood on. */
struct item {
    enum item_kind kind;
    int index;             /* of a suggestion */
    char name[NAME_SIZE];  /* of a named one, or the one dropped */
    char words[WORDS];     /* its changes */
    char problem[PROBLEM]; /* why it cannot be shown; "" where it can */
    int n_edits;
    double ends, saving;        /* s; NaN where not known */
    int32_t refills;            /* SG_UNKNOWN */
    bool alone;                 /* over the longest break */
    char late[SG_WHAT_IF_LATE]; /* keys of the jobs that are late with it, as many as have room */
};

struct own {
    struct item *items; /* owned; the first is the plan as it is */
    int n_items, room;
    struct sg_suggestion found[SG_SUGGESTIONS];
    int n_found, n_tried;
    int64_t step, shift_row; /* what the suggestions were found for */
    bool searched;
    struct sg_what_if_edits edits; /* of the named one that is shown: what is kept is what was seen */
    struct sg_what_if_edits dropped;
    char dropped_name[NAME_SIZE];
    int shown; /* item that the draft holds, -1: to be put into it */
};

static struct own *own_of(struct sg_ui *ui)
{
    return sg_ui_place(ui)->screen == SG_SCREEN_WHAT_IF ? sg_ui_place(ui)->own : NULL;
}

/* ---- into the draft and out of it ---- */

/* The draft with an item's changes, or the kept shop where they do not go. */
static enum sg_status show_item(struct sg_ui *ui, struct own *own, const struct item *item,
                                struct sg_error *error)
{
    const struct sg_suggestion *found = &own->found[item->index];
    struct sg_change changes[sizeof found->edits / sizeof *found->edits];
    if (item->kind == SUGGESTED)
        return sg_draft_edit(ui->draft, found->edits, found->n_edits, changes, error);
    if (item->kind == DROPPED)
        return sg_what_if_show(ui->draft, &own->dropped, error);
    enum sg_status status = sg_draft_reset(ui->draft, error);
    if (item->kind == AS_PLANNED || status != SG_OK)
        return status;
    status = sg_what_if_read(ui->desk, item->name, &own->edits, error);
    if (status == SG_OK && !own->edits.found)
        return sg_fail(error, SG_BAD_DATA, "somebody dropped it or put it into the plan");
    return status == SG_OK ? sg_what_if_show(ui->draft, &own->edits, error) : status;
}

/* The item on which one stands, shown in ui->tried. */
static struct item *item_here(struct sg_ui *ui)
{
    struct own *own = own_of(ui);
    const struct sg_line *line = sg_ui_line(ui);
    struct sg_error error;
    if (!own || !line || line->first >= own->n_items)
        return NULL;
    struct item *item = &own->items[line->first];
    if (own->shown == line->first)
        return item;
    own->shown = line->first;
    ui->tried = ui->kept;
    if (show_item(ui, own, item, &error) != SG_OK)
        snprintf(item->problem, sizeof item->problem, "%.290s", error.text);
    else if (item->kind != AS_PLANNED)
        sg_ui_try(ui);
    return item;
}

void sg_what_if_stand(struct sg_ui *ui)
{
    item_here(ui);
}

static void take_out(struct sg_ui *ui)
{
    struct sg_error error;
    if (sg_draft_reset(ui->draft, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    ui->tried = ui->kept;
}

/* ---- what there is ---- */

static struct item *add_item(struct own *own, enum item_kind kind)
{
    if (own->n_items == own->room) {
        int room = 2 * own->room + 16;
        struct item *items = realloc(own->items, (size_t)room * sizeof *items);
        if (!items)
            return NULL;
        own->items = items;
        own->room = room;
    }
    struct item *item = &own->items[own->n_items++];
    *item = (struct item){.kind = kind, .ends = (double)NAN, .saving = (double)NAN, .refills = SG_UNKNOWN};
    return item;
}

static void edits_in_words(const struct sg_what_if_edits *edits, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (int i = 0; i < edits->n && used < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s%s %s", i ? "; " : "", edits->edits[i].key,
                                 edits->edits[i].assignment);
}

/* The shift that the changes are about. */
static int32_t shift_of(const struct sg_ui *ui, const struct sg_what_if_edits *edits)
{
    struct sg_target target;
    if (edits->n > 0 && sg_key_find(ui->kept.shop, edits->edits[0].key, &target, NULL) == SG_OK)
        return sg_shift_of(ui->kept.shop, target);
    return ui->shift;
}

/* Plan with the item's changes, and note what comes of it. */
static void measure(struct sg_ui *ui, struct own *own, struct item *item)
{
    const struct sg_plan *plan;
    struct sg_error error;
    enum sg_status status = show_item(ui, own, item, &error);
    if (item->kind == NAMED) {
        int32_t shift = shift_of(ui, &own->edits);
        edits_in_words(&own->edits, item->words, sizeof item->words);
        item->n_edits = own->edits.n;
        if (shift != ui->shift && shift != SG_UNKNOWN) {
            size_t used = strlen(item->words);
            snprintf(item->words + used, sizeof item->words - used, " (in shift %.60s)",
                     ui->kept.shop->shifts[shift].id);
        }
    }
    if (status == SG_OK)
        status = sg_draft_plan(ui->draft, ui->shift, &plan, &error);
    if (status != SG_OK) {
        snprintf(item->problem, sizeof item->problem, "%.290s", error.text);
        return;
    }
    item->ends = plan->ends;
    item->saving = sg_compare_saving(ui->kept.plan, plan);
    item->refills = plan->unknown ? SG_UNKNOWN : plan->totals.refills;
    item->alone = sg_what_if_alone(plan);
    sg_what_if_late(sg_draft_shop(ui->draft), plan, item->late);
}

static void note_named(void *context, const struct sg_what_if *what_if)
{
    struct own *own = context;
    struct item *item = add_item(own, NAMED);
    if (item)
        snprintf(item->name, sizeof item->name, "%s", what_if->name);
}

static void note_step(void *context, const struct sg_step_told *step)
{
    *(int64_t *)context = step->id;
}

/* Trying every change takes a while: only where the plan is another one. */
static void search(struct sg_ui *ui, struct own *own)
{
    struct sg_error error;
    int64_t step = 0;
    sg_store_history(sg_desk_store(ui->desk), 1, note_step, &step, &error);
    if (own->searched && own->step == step && own->shift_row == ui->shift_row)
        return;
    own->n_found = sg_suggest(ui->draft, ui->shift, own->found, &own->n_tried, &error);
    if (own->n_found < 0) {
        own->n_found = 0;
        sg_ui_fail(ui, &error);
    }
    own->searched = true;
    own->step = step;
    own->shift_row = ui->shift_row;
}

static void list_items(struct sg_ui *ui, struct own *own)
{
    struct sg_error error;
    own->n_items = 0;
    add_item(own, AS_PLANNED);
    if (sg_store_what_ifs(sg_desk_store(ui->desk), note_named, own, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    for (int i = 0; i < own->n_found; i++) {
        struct item *item = add_item(own, SUGGESTED);
        if (!item)
            return;
        item->index = i;
        item->n_edits = own->found[i].n_edits;
        snprintf(item->words, sizeof item->words, "%s", own->found[i].words);
    }
    for (int i = 0; i < own->n_items; i++) /* kept again */
        if (own->items[i].kind == NAMED && strcmp(own->items[i].name, own->dropped_name) == 0)
            own->dropped.n = 0;
    struct item *dropped = own->dropped.n > 0 ? add_item(own, DROPPED) : NULL;
    if (dropped) {
        snprintf(dropped->name, sizeof dropped->name, "%s", own->dropped_name);
        edits_in_words(&own->dropped, dropped->words, sizeof dropped->words);
        dropped->n_edits = own->dropped.n;
    }
}

/* ---- lines ---- */

static void clock_of(const struct sg_ui *ui, double at, char *out, size_t size)
{
    if (sg_known(at))
        sg_look_clock(&ui->kept, at, out, size);
    else
        snprintf(out, size, "-");
}

/* "-0:19:17": sooner; "+": later. */
static void change_of(const struct item *item, char *out, size_t size)
{
    if (item->kind == AS_PLANNED || item->problem[0] || isnan(item->saving) || item->saving == 0) {
        out[0] = '\0';
    } else if (isinf(item->saving)) {
        snprintf(out, size, item->saving > 0 ? "ends" : "no end");
    } else {
        out[0] = item->saving < 0 ? '+' : '-';
        sg_duration_format(fabs(item->saving), out + 1, size - 1);
    }
}

/* What it is, behind its figures. */
static void item_words(const struct item *item, char *out, size_t size)
{
    if (item->kind == AS_PLANNED)
        snprintf(out, size, "the plan as it is");
    else if (item->problem[0])
        snprintf(out, size, "%s%sdoes not go: %s", item->name, *item->name ? " " : "", item->problem);
    else if (item->kind == SUGGESTED)
        snprintf(out, size, "%s", item->words);
    else
        snprintf(out, size, "%s%s: %s", item->kind == DROPPED ? "dropped, " : "", item->name, item->words);
}

static void add_line(struct sg_ui *ui, const struct own *own, int index)
{
    const struct item *item = &own->items[index];
    char ends[FIGURE], change[FIGURE], refills[FIGURE] = "-", words[WORDS + PROBLEM + NAME_SIZE];
    clock_of(ui, item->ends, ends, sizeof ends);
    change_of(item, change, sizeof change);
    item_words(item, words, sizeof words);
    if (item->refills != SG_UNKNOWN)
        snprintf(refills, sizeof refills, "%d", item->refills);
    enum sg_role role = item->problem[0] ? SG_ROLE_WRONG : SG_ROLE_TEXT;
    bool made = ui->columns >= WIDE
                    ? sg_line_words(ui, role, true, "%9s %9s %7s  %-5s  %-9s  %s", ends, change, refills,
                                    ui->kept.plan->n_breaks == 0 || item->problem[0] ? "-"
                                    : item->alone                                    ? "yes"
                                                                                     : "no",
                                    item->late, words)
                    : sg_line_words(ui, role, true, "%5s %8s %s", ends, change, words);
    if (made)
        ui->lines[ui->n_lines - 1].first = index;
}

static void add_heading(struct sg_ui *ui, const char *words)
{
    if (ui->columns >= WIDE)
        sg_line_words(ui, SG_ROLE_LABEL, false, "%9s %9s %7s  %-5s  %-9s  %s", "ends", "change", "refills",
                      "alone", "late", words);
    else
        sg_line_words(ui, SG_ROLE_LABEL, false, "%5s %8s %s", "ends", "change", words);
}

static void add_lines(struct sg_ui *ui, const struct own *own)
{
    static const char *const words[] = {[AS_PLANNED] = "", [NAMED] = "Kept for later", [DROPPED] = "Dropped"};
    char tried[120];
    snprintf(tried, sizeof tried, "%d change%s tried, these end it earlier", own->n_tried,
             own->n_tried == 1 ? "" : "s");
    for (int i = 0; i < own->n_items; i++) {
        enum item_kind kind = own->items[i].kind;
        if (i == 0)
            add_heading(ui, words[kind]);
        else if (kind != own->items[i - 1].kind)
            sg_line_words(ui, SG_ROLE_LABEL, false, "%s", kind == SUGGESTED ? tried : words[kind]);
        add_line(ui, own, i);
    }
    if (own->n_found == 0)
        sg_line_words(ui, SG_ROLE_LABEL, false, "%d change%s tried, none ends shift %s earlier", own->n_tried,
                      own->n_tried == 1 ? "" : "s", ui->kept.shop->shifts[ui->shift].id);
}

static void build(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    if (!own)
        return;
    search(ui, own);
    list_items(ui, own);
    for (int i = 0; i < own->n_items; i++)
        measure(ui, own, &own->items[i]);
    own->shown = -1;
    take_out(ui);
    add_lines(ui, own);
}

/* On the first that is more than the plan as it is, so that there is something to see at once. */
static bool open(struct sg_ui *ui)
{
    struct own *own = calloc(1, sizeof *own);
    if (!own) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for what-ifs");
        return false;
    }
    own->shown = -1;
    sg_ui_place(ui)->own = own;
    sg_ui_build(ui);
    for (int i = 0; i < ui->n_lines; i++)
        if (ui->lines[i].stop && ui->lines[i].first == 1) {
            sg_ui_place(ui)->line = i;
            break;
        }
    return true;
}

static void leave(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    if (own)
        free(own->items);
    free(own);
    take_out(ui);
}

/* ---- what is said ---- */

/* Asked first at each drawing: so the answers are those of the item on which one stands. */
static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct item *item = item_here(ui);
    char words[WORDS + PROBLEM + NAME_SIZE] = "";
    if (item)
        item_words(item, words, sizeof words);
    snprintf(out, size, item && item->kind == AS_PLANNED ? "WHAT IF  %s" : "WHAT IF, not in the plan: %s",
             words);
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct item *item = item_here(ui);
    if (!item || item->kind == AS_PLANNED)
        snprintf(out, size, "Stand on a change to see what comes of it; the plan stays until Enter.");
    else if (item->problem[0])
        snprintf(out, size, "It does not go: %s", item->problem);
    else if (item->kind == NAMED)
        snprintf(out, size, "Enter puts %d change%s into the plan as one step, x drops %s.", item->n_edits,
                 item->n_edits == 1 ? "" : "s", item->name);
    else if (item->kind == DROPPED)
        snprintf(out, size, "Gone when you leave this screen; a keeps it again.");
    else
        snprintf(out, size, "Enter puts it into the plan as one step, a keeps it for later under a name.");
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    (void)ui;
    snprintf(out, size, "alone: over the longest break. What is kept for later stays until it is dropped.");
}

const struct sg_screen sg_screen_what_if = {
    .name = "What-if",
    .answers = true,
    .title = title,
    .build = build,
    .panel = 9,
    .panel_tall = 16,
    .draw_panel = sg_changes_draw,
    .advice = advice,
    .legend = legend,
    .open = open,
    .leave = leave,
};

void sg_do_what_if(struct sg_ui *ui)
{
    sg_ui_open(ui, SG_SCREEN_WHAT_IF, (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN});
}

/* ---- into the plan ---- */

static enum sg_status keep_item(struct sg_ui *ui, struct own *own, const struct item *item,
                                struct sg_error *error)
{
    const struct sg_suggestion *found = &own->found[item->index];
    struct sg_change changes[sizeof found->edits / sizeof *found->edits];
    struct sg_clash clash;
    if (item->kind == NAMED)
        return sg_what_if_keep(ui->desk, item->name, &own->edits, error);
    return sg_desk_keep(ui->desk, found->edits, found->n_edits, found->words, changes, &clash, error);
}

void sg_do_what_if_keep(struct sg_ui *ui)
{
    struct item *here = item_here(ui);
    struct own *own = own_of(ui);
    struct sg_error error;
    if (!here || here->kind == AS_PLANNED) {
        sg_ui_say(ui, SG_ROLE_TEXT, "This is the plan already: stand on a change to put it in.");
        return;
    }
    if (here->problem[0] || here->kind == DROPPED) {
        sg_ui_say(ui, SG_ROLE_WRONG, "Not kept: %s",
                  here->problem[0] ? here->problem : "it is dropped; a takes it back");
        return;
    }
    struct item item = *here; /* the list is made anew */
    enum sg_status status = keep_item(ui, own, &item, &error);
    sg_ui_refresh(ui);
    if (status != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    if (own_of(ui))
        sg_ui_place(ui)->line = 0; /* on the plan as it is: what was kept is there to be seen */
    sg_ui_say(ui, SG_ROLE_TEXT, "In the plan: %.300s.  u takes it out again",
              item.kind == SUGGESTED ? item.words : item.name);
}

/* ---- dropping ---- */

static void stand_on(struct sg_ui *ui, const struct own *own, enum item_kind kind, const char *name)
{
    sg_ui_build(ui);
    for (int i = 0; i < ui->n_lines; i++) {
        const struct item *item = &own->items[ui->lines[i].first];
        if (ui->lines[i].stop && item->kind == kind && strcmp(item->name, name) == 0)
            sg_ui_place(ui)->line = i;
    }
}

void sg_do_what_if_drop(struct sg_ui *ui)
{
    struct item *here = item_here(ui);
    struct own *own = own_of(ui);
    struct sg_error error;
    if (!here || here->kind != NAMED) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing to drop: only what is kept for later is dropped.");
        return;
    }
    snprintf(own->dropped_name, sizeof own->dropped_name, "%s", here->name);
    if (sg_what_if_read(ui->desk, here->name, &own->dropped, &error) != SG_OK)
        own->dropped.n = 0; /* it cannot be read: it can be dropped all the same */
    if (sg_store_what_if_drop(sg_desk_store(ui->desk), here->name, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "%.100s is dropped, the plan is as it was.%s", here->name,
                  own->dropped.n > 0 ? " a keeps it again" : "");
    stand_on(ui, own, DROPPED, own->dropped_name);
}

void sg_do_what_if_name(struct sg_ui *ui)
{
    const struct item *item = item_here(ui);
    struct own *own = own_of(ui);
    if (!item || item->kind == AS_PLANNED)
        sg_ui_say(ui, SG_ROLE_TEXT, "This is the plan: nothing to keep for later.");
    else if (item->kind == NAMED)
        sg_ui_say(ui, SG_ROLE_TEXT, "It is kept for later already.");
    else if (item->kind == DROPPED && sg_what_if_put_back(ui, own->dropped_name, &own->dropped))
        stand_on(ui, own, NAMED, own->dropped_name);
    else if (item->kind == SUGGESTED)
        sg_what_if_ask_name(ui, own->found[item->index].edits, own->found[item->index].n_edits, false, NULL);
}
