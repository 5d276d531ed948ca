/* Using what the shop's own times say, and the hand-over to the next shift. */
#include "tui/actuals.h"
#include "tui/screens.h"

#include "edit/studies.h"
#include "exchange/actual_render.h"
#include "tui/to_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- using ---- */

static const struct {
    const char *word, *meaning;
    unsigned use;
} uses[] = {
    {"speed", "how fast each material cuts", SG_STUDY_USE_SPEED},
    {"thickness", "how speed falls with thickness", SG_STUDY_USE_THICKNESS},
    {"pierce", "seconds of a pierce", SG_STUDY_USE_PIERCE},
    {"feed", "garnet that the heads really take", SG_STUDY_USE_FEED},
    {"all", "all that is offered",
     SG_STUDY_USE_SPEED | SG_STUDY_USE_THICKNESS | SG_STUDY_USE_PIERCE | SG_STUDY_USE_FEED},
};
enum { USES = (int)(sizeof uses / sizeof *uses) };

static unsigned chosen_use(const char *word)
{
    for (int i = 0; i < USES; i++)
        if (strcmp(uses[i].word, word) == 0)
            return uses[i].use;
    return 0;
}

static enum sg_status use_on(struct sg_ui *ui, struct sg_desk *desk, unsigned use, bool keep,
                             struct sg_used *used, struct sg_error *error)
{
    return sg_desk_use_studies(desk, use, SG_UNKNOWN, (int32_t)(sg_ui_now(ui) / SG_DAY_S), keep, used, error);
}

/* On another desk of the same file, which then is closed: nothing is changed here. Seconds by which the plan
 * of the shift ends later; NaN: not known. */
static enum sg_status try_use(struct sg_ui *ui, unsigned use, struct sg_used *used, double *later,
                              struct sg_error *error)
{
    struct sg_desk *desk = NULL;
    const struct sg_plan *plan;
    struct sg_error none;
    *later = (double)NAN;
    enum sg_status status = sg_desk_open(ui->how.path, SG_STORE_READ, &desk, error);
    if (status == SG_OK)
        status = use_on(ui, desk, use, false, used, error);
    if (status == SG_OK && sg_desk_plan(desk, ui->shift, &plan, &none) == SG_OK)
        *later = plan->ends - ui->kept.plan->ends;
    sg_desk_close(desk);
    return status;
}

static void agreed(struct sg_ui *ui, const char *text)
{
    const struct sg_asked *asked = sg_note_asked(ui);
    struct sg_used used;
    struct sg_error error;
    if (!asked || text[0] != 'y') {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is changed.");
        return;
    }
    enum sg_status status = use_on(ui, ui->desk, asked->use, true, &used, &error);
    sg_ui_refresh(ui);
    if (status == SG_OK)
        sg_ui_say(ui, SG_ROLE_TEXT, "%s%s%.500s. u takes it back.", used.mind, used.mind[0] ? " " : "",
                  used.words);
    else
        sg_ui_fail(ui, &error);
}

static void use_given(struct sg_ui *ui, const char *text)
{
    unsigned use = chosen_use(text);
    struct sg_used used;
    struct sg_error error;
    double later;
    char hours[40], label[120] = "use it? y, or Esc:";
    if (use == 0) {
        sg_note_refuse(ui, "\"%.60s\": speed, thickness, pierce, feed or all", text);
        return;
    }
    if (try_use(ui, use, &used, &later, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    if (sg_known(later)) {
        sg_hours_format(fabs(later), hours, sizeof hours);
        snprintf(label, sizeof label, "the shift ends %s %s; use it? y, or Esc:", hours,
                 later < 0 ? "earlier" : "later");
    }
    if (!sg_note_ask(ui, label, agreed, NULL, NULL))
        return;
    sg_note_asked(ui)->use = use;
    sg_ui_say(ui, SG_ROLE_ODD, "%s%sWould use: %.500s.", used.mind, used.mind[0] ? " " : "", used.words);
}

static int use_count(struct sg_ui *ui)
{
    (void)ui;
    return USES;
}

static void use_word(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    (void)ui;
    *word = uses[index].word;
    *meaning = uses[index].meaning;
}

void sg_do_use(struct sg_ui *ui)
{
    if (sg_note_ask(ui, "use of the shop's own times:", use_given, use_count, use_word))
        sg_ui_say(ui, SG_ROLE_TEXT, "First it is shown what it would change; nothing is used before a y.");
}

/* ---- the hand-over ---- */

static bool make_text(struct sg_ui *ui, struct sg_text *out)
{
    const struct sg_now *now = sg_ui_rest(ui);
    if (!now) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", sg_ui_no_rest(ui));
        return false;
    }
    const struct sg_log_view view = {ui->kept.shop, &now->actual, now->plan->shift, sg_moment_epoch};
    sg_hand_over_text(out, &view, &now->rest, now->plan);
    return true;
}

static void written(struct sg_ui *ui, const char *path)
{
    sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: what runs, is done, is next, the hopper, what to watch", path);
}

void sg_do_hand_over(struct sg_ui *ui)
{
    static const struct sg_to_file text = {"hand-over to file:", make_text, written};
    char name[100];
    snprintf(name, sizeof name, "hand-over-%.60s.txt", ui->kept.shop->shifts[ui->shift].id);
    sg_to_file_ask(ui, &text, name);
}
