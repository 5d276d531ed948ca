/* Every change, the newest first: who, when, in which words. Only as much is read as one scrolls to. */
#include "tui/screens.h"

#include "exchange/render.h"
#include "tui/wrapped.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { FIRST_STEPS = 200, AHEAD = 100, WHO = 10, DAY = 40, KEY = 1200, FAR = 1000000 };

struct step {
    int64_t id;
    bool mine; /* a change of the one who sits here, not taken back */
};

struct own {
    int limit; /* of steps to be read; 0: all */
    struct step *steps;
    int n, room;
    char day[DAY]; /* of the step that was listed last */
    bool no_memory;
};

/* ---- lines ---- */

static bool note_step(struct own *own, const struct sg_ui *ui, const struct sg_step_told *told)
{
    if (own->n == own->room) {
        int room = 2 * own->room + FIRST_STEPS;
        struct step *steps = realloc(own->steps, (size_t)room * sizeof *steps);
        if (!steps)
            return false;
        own->steps = steps;
        own->room = room;
    }
    bool mine =
        told->kind == SG_STEP_CHANGE && !told->undone && strcmp(told->who, sg_desk_who(ui->desk)) == 0;
    own->steps[own->n++] = (struct step){told->id, mine};
    return true;
}

/* A day stands above its steps, so that each needs its time only. */
static bool add_day(struct sg_ui *ui, struct own *own, double at)
{
    char day[DAY], today[DAY];
    sg_day_format(at, day, sizeof day);
    sg_day_format((double)time(NULL), today, sizeof today);
    if (strcmp(day, own->day) == 0)
        return true;
    snprintf(own->day, sizeof own->day, "%s", day);
    return sg_line_words(ui, SG_ROLE_LABEL, false, "%s", strcmp(day, today) == 0 ? "Today" : day);
}

static bool add_step(struct sg_ui *ui, struct own *own, const struct sg_step_told *told)
{
    char clock[DAY], who[SG_WHO_SIZE + WHO] = "";
    sg_clock_format(told->at, clock, sizeof clock);
    sg_pad_text(who, sizeof who, WHO, told->who);
    if (!note_step(own, ui, told) || !add_day(ui, own, told->at) ||
        !sg_line_words(ui, told->undone ? SG_ROLE_LABEL : SG_ROLE_TEXT, true, "%s  %s  %s%s", clock, who,
                       told->undone ? "taken back: " : "", told->words))
        return false;
    ui->lines[ui->n_lines - 1].row = told->id; /* one stays on it when newer ones come */
    return true;
}

static void hear(void *context, const struct sg_step_told *told)
{
    struct sg_ui *ui = context;
    struct own *own = sg_ui_place(ui)->own;
    own->no_memory = own->no_memory || !add_step(ui, own, told);
}

static void build(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    struct sg_error error;
    own->n = 0;
    own->day[0] = '\0';
    own->no_memory = false;
    if (sg_store_history(sg_desk_store(ui->desk), own->limit, hear, ui, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    if (own->no_memory)
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for more of the history");
    if (own->n == 0)
        sg_line_words(ui, SG_ROLE_TEXT, false, "Nothing was changed yet.");
}

static bool open(struct sg_ui *ui)
{
    struct own *own = calloc(1, sizeof *own);
    if (!own) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for the history");
        return false;
    }
    own->limit = FIRST_STEPS;
    sg_ui_place(ui)->own = own;
    return true;
}

static void leave(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    if (own)
        free(own->steps);
    free(own);
}

/* Whether there may be older steps than those that were read. */
static bool is_cut(const struct own *own)
{
    return own->limit > 0 && own->n >= own->limit;
}

/* The index of the step on which one stands, -1 where there is none. */
static int step_here(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct own *own = sg_ui_place(ui)->own;
    for (int i = 0; line && i < own->n; i++)
        if (own->steps[i].id == line->row)
            return i;
    return -1;
}

/* Down to where nothing was read yet: more is read. */
static void step(struct sg_ui *ui, int right, int down)
{
    struct own *own = sg_ui_place(ui)->own;
    int wanted = down > 0 && down < FAR ? step_here(ui) + down + AHEAD : 0;
    if (is_cut(own) && (down >= FAR || wanted > own->limit)) {
        own->limit = down >= FAR ? 0 : wanted > 2 * own->limit ? wanted : 2 * own->limit;
        sg_ui_build(ui);
    }
    sg_step_pages(ui, right, down);
}

/* ---- what is said ---- */

static void title(struct sg_ui *ui, char *out, size_t size)
{
    snprintf(out, size, "HISTORY  the newest change first; you are %s", sg_desk_who(ui->desk));
}

static void second(struct sg_ui *ui, char *out, size_t size)
{
    const struct own *own = sg_ui_place(ui)->own;
    sg_ui_line(ui); /* read, if that is due */
    if (is_cut(own))
        snprintf(out, size, "The newest %d steps; older ones are read as you go down.", own->n);
    else
        snprintf(out, size, "%d step%s in all.", own->n, own->n == 1 ? "" : "s");
}

/* The step in full: on its line it may be cut. */
static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (line)
        snprintf(out, size, "%s", line->text);
}

static int mine_after(const struct own *own, int index)
{
    int n = 0;
    for (int i = 0; i < index; i++)
        n += own->steps[i].mine;
    return n;
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    int here = step_here(ui), n = here < 0 ? 0 : mine_after(sg_ui_place(ui)->own, here);
    if (n > 0)
        snprintf(out, size, "Enter takes back the %d change%s of yours after it; those of others stay.", n,
                 n == 1 ? "" : "s");
    else
        snprintf(out, size, "No change of yours is newer.");
}

const struct sg_screen sg_screen_history = {
    .name = "History",
    .title = title,
    .second = second,
    .build = build,
    .advice = advice,
    .legend = legend,
    .open = open,
    .leave = leave,
    .step = step,
};

void sg_do_history(struct sg_ui *ui)
{
    sg_ui_open(ui, SG_SCREEN_HISTORY, (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN});
}

/* ---- standing on what was changed ---- */

/* Whether words name a row by its key, which is not part of another key there. */
static bool names_key(const char *words, const char *key)
{
    size_t length = strlen(key);
    for (const char *at = strstr(words, key); at; at = strstr(at + 1, key))
        if ((at == words || at[-1] == ' ') && (at[length] == '\0' || strchr(" :;,", at[length])))
            return true;
    return false;
}

/* The column of the field with which the words begin ("quantity of 2604/1/A: 8 -> 9"), -1 where the line has
 * none. */
static int column_named(const struct sg_line *line, const char *words)
{
    size_t length = strcspn(words, " ");
    for (int i = line->first; i < line->first + line->n; i++) {
        const char *field = line->layout->columns[i].field;
        if (field && strlen(field) == length && strncmp(field, words, length) == 0)
            return i;
    }
    return -1;
}

/* The row that the words of a step are about, where this screen shows it. */
static void stand_on_change(struct sg_ui *ui, const char *words)
{
    struct sg_place *place = sg_ui_place(ui);
    bool stands = false;
    sg_ui_line(ui); /* the lines as they are now */
    for (int i = 0; i < ui->n_lines; i++) {
        const struct sg_line *line = &ui->lines[i];
        char key[KEY];
        if (!line->stop || !line->layout || line->target.index == SG_UNKNOWN)
            continue;
        sg_key_write(ui->kept.shop, line->target, key, sizeof key);
        int cell = names_key(words, key) ? column_named(line, words) : -1;
        if (!stands && names_key(words, key))
            place->line = i;
        stands = stands || names_key(words, key);
        if (cell < 0)
            continue;
        place->line = i;
        place->cell = cell;
        return;
    }
}

/* ---- taking back ---- */

static void take(struct sg_ui *ui,
                 enum sg_status (*deed)(struct sg_desk *, struct sg_step_told *, struct sg_error *),
                 const char *done)
{
    struct sg_step_told told;
    struct sg_error error;
    if (deed(ui->desk, &told, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    sg_ui_refresh(ui);
    stand_on_change(ui, told.words);
    sg_ui_say(ui, SG_ROLE_TEXT, "%s: %s", done, told.words);
}

void sg_do_undo(struct sg_ui *ui)
{
    take(ui, sg_desk_undo, "taken back");
}

void sg_do_redo(struct sg_ui *ui)
{
    take(ui, sg_desk_redo, "done again");
}

/* One's own changes after the step one stands on, the newest first, up to the first that cannot be taken
 * back. */
static void back_to(struct sg_ui *ui, int wanted)
{
    struct sg_step_told told;
    struct sg_error error;
    int done = 0;
    while (done < wanted && sg_desk_undo(ui->desk, &told, &error) == SG_OK)
        done++;
    sg_ui_refresh(ui);
    if (done == wanted)
        sg_ui_say(ui, SG_ROLE_TEXT, "%d change%s taken back, one after the other; redo does each again.",
                  done, done == 1 ? "" : "s");
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "%d of %d changes taken back, then: %.400s", done, wanted,
                  sg_ui_reason(ui, &error));
}

static int newer_of_mine(struct sg_ui *ui)
{
    int here = step_here(ui);
    return here < 0 ? 0 : mine_after(sg_ui_place(ui)->own, here);
}

static void agreed(struct sg_ui *ui, const char *text)
{
    if (text[0] == 'y')
        back_to(ui, newer_of_mine(ui));
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is taken back.");
}

/* Each is undone by a key of its own afterwards: for many of them one is asked before. */
void sg_do_back_to(struct sg_ui *ui)
{
    static const struct sg_question sure = {.label = "Take back more than one change? y takes them back:",
                                            .answer = agreed};
    int wanted = newer_of_mine(ui);
    if (wanted == 0) {
        sg_ui_say(ui, SG_ROLE_TEXT, "No change of yours is newer than this one: nothing to take back.");
    } else if (wanted == 1) {
        back_to(ui, 1);
    } else {
        sg_question_open(ui, &sure, "");
        sg_ui_say(ui, SG_ROLE_TEXT, "%d changes of yours are newer than this one.", wanted);
    }
}
