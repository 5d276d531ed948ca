/* Inputs become actions. */
#include "tui/do.h"

#include "sandglass/utf8.h"
#include "tui/log.h"
#include "tui/screens.h"

#include <stdio.h>
#include <string.h>

void sg_action_run(struct sg_ui *ui, const struct sg_action *action)
{
    if ((action->flags & SG_CHANGES) && ui->how.read_only)
        sg_ui_say(ui, SG_ROLE_WRONG, "%s: opened to read only, nothing can be changed here", action->name);
    else
        action->run(ui);
}

/* ---- keys ---- */

static void say_unused(struct sg_ui *ui, int32_t stroke, int32_t second)
{
    char name[16], other[16] = "";
    sg_stroke_name(stroke, name, sizeof name);
    if (second)
        sg_stroke_name(second, other, sizeof other);
    const struct sg_action *elsewhere = sg_action_find(stroke, second, ~0u, NULL);
    if (stroke == SG_STROKE_BACKSPACE)
        sg_ui_say(ui, SG_ROLE_TEXT, "Backspace does nothing here: e edits the input, x takes a row out.");
    else if (elsewhere)
        sg_ui_say(ui, SG_ROLE_TEXT, "%s%s (%s) does nothing on this screen; ? shows what does.", name, other,
                  elsewhere->name);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "%s%s does nothing; ? shows the keys.", name, other);
}

static bool is_text(int32_t stroke)
{
    return stroke >= ' ' && stroke != SG_STROKE_BACKSPACE && stroke < SG_STROKE_SPECIAL;
}

static void type(struct sg_ui *ui, int32_t stroke)
{
    if (sg_type_step(ui, stroke))
        return;
    if (ui->proposal)
        sg_entry_clear(&ui->entry);
    ui->proposal = false;
    if (sg_utf8_hidden((uint32_t)stroke))
        sg_ui_say(ui, SG_ROLE_WRONG, "a character that turns the direction of writing is not taken");
    else if (!sg_entry_type(&ui->entry, (uint32_t)stroke))
        sg_ui_say(ui, SG_ROLE_WRONG, "at most %zu characters", ui->entry.most);
    else
        sg_entry_changed(ui);
}

/* Help over what is typed: read it, go back, and nothing else. */
static bool take_help_key(struct sg_ui *ui, int32_t stroke)
{
    if (!sg_ui_helps(ui))
        return false;
    const struct sg_action *action = sg_action_find(stroke, 0, SG_ON_HELP, NULL);
    bool back = action && (action->run == sg_do_back || action->run == sg_do_leave);
    ui->message[0] = '\0';
    if (back)
        sg_ui_back(ui);
    else if (action &&
             (action->group == SG_GROUP_MOVE || action->run == sg_do_redraw || action->run == sg_do_suspend))
        sg_action_run(ui, action);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Esc goes back to what you type.");
    if (back && ui->typing.open)
        sg_typing_changed(ui);
    return true;
}

static void take_stroke(struct sg_ui *ui, int32_t stroke)
{
    if (take_help_key(ui, stroke))
        return;
    unsigned where = sg_ui_where(ui);
    int32_t first = ui->first;
    bool begins = false;
    const struct sg_action *action =
        sg_action_find(first ? first : stroke, first ? stroke : 0, where, &begins);
    bool typing = (where & (SG_IN_FIELD | SG_IN_LINE)) != 0;
    ui->first = 0;
    ui->stroke = stroke;
    if (!typing)
        ui->message[0] = ui->news[0] = '\0';
    if (action)
        sg_action_run(ui, action);
    else if (first && stroke == SG_STROKE_ESC)
        return;
    else if (!first && begins)
        ui->first = stroke;
    else if (typing && is_text(stroke))
        type(ui, stroke);
    else
        say_unused(ui, first ? first : stroke, first ? stroke : 0);
}

/* ---- pastes ---- */

/* A character that a terminal would obey instead of showing it; ends of lines become blanks. */
static bool has_hidden(const char *text, size_t length)
{
    uint32_t code;
    for (size_t n; length > 0; text += n, length -= n) {
        n = sg_utf8_character(text, length, &code);
        if (n == 0 || (sg_utf8_hidden(code) && code != '\n' && code != '\r' && code != '\t'))
            return true;
    }
    return false;
}

static void paste_into_field(struct sg_ui *ui, const char *text, size_t length)
{
    char line[44000]; /* a note's 10,000 characters, each up to 4 bytes */
    size_t n = 0;
    while (length > 0 && (text[length - 1] == '\n' || text[length - 1] == '\r'))
        length--;
    if (length >= sizeof line) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%zu bytes pasted, at most %zu characters: nothing is taken", length,
                  ui->entry.most);
        return;
    }
    if (has_hidden(text, length)) {
        sg_ui_say(ui, SG_ROLE_WRONG,
                  "pasted with a character that steers a terminal or turns the direction of writing: nothing "
                  "is taken");
        return;
    }
    for (size_t i = 0; i < length; i++)
        line[n++] = text[i] == '\n' || text[i] == '\r' || text[i] == '\t' ? ' ' : text[i];
    size_t characters = 0;
    for (size_t i = 0; i < n; i++)
        characters += ((unsigned char)line[i] & 0xC0) != 0x80;
    if (sg_entry_insert(&ui->entry, line, n))
        sg_entry_changed(ui);
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "%zu characters pasted into %zu, at most %zu: nothing is taken",
                  characters, sg_entry_characters(&ui->entry), ui->entry.most);
}

static bool is_table(const char *text, size_t length)
{
    const char *end = memchr(text, '\n', length);
    size_t first = end ? (size_t)(end - text) : 0;
    return end && (size_t)(end - text) + 1 < length &&
           (memchr(text, '\t', first) || memchr(text, ',', first) || memchr(text, ';', first));
}

static void take_paste(struct sg_ui *ui, const char *text, size_t length)
{
    unsigned where = sg_ui_where(ui);
    if (!text)
        sg_ui_say(ui, SG_ROLE_WRONG, "more than %d bytes pasted: nothing is taken", SG_PASTE_MAX);
    else if (where & (SG_IN_FIELD | SG_IN_LINE))
        paste_into_field(ui, text, length);
    else if (is_table(text, length) && (where & SG_ON_ROWS))
        sg_import_pasted(ui, text, length);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Pasted %zu characters, no field open: nothing done.", length);
}

/* ---- the mouse ---- */

static void take_click(struct sg_ui *ui, int row)
{
    struct sg_place *place = sg_ui_place(ui);
    int line = place->top + row - ui->body.row;
    if (sg_ui_where(ui) & (SG_IN_FIELD | SG_IN_LINE) || row < ui->body.row || line >= ui->n_lines ||
        row >= ui->body.row + ui->body.rows || !ui->lines[line].stop)
        return;
    if (place->line == line)
        sg_do_enter(ui);
    else
        place->line = line;
}

void sg_ui_input(struct sg_ui *ui, const struct sg_input *input)
{
    bool leave =
        input->kind == SG_INPUT_STROKE && (input->stroke == 'q' || input->stroke == SG_STROKE_CTRL('z'));
    if (sg_frame_tiny(ui) && !leave)
        return; /* nothing changes unseen */
    ui->typing.told = false;
    sg_log_renew(ui);
    if (sg_frame_tiny(ui) && input->stroke == 'q') {
        sg_ui_gone(ui); /* what is typed is not seen: the next start offers it */
        ui->wish = SG_WISH_LEAVE;
    } else if (ui->no_plan[0] && leave)
        ui->wish = input->stroke == 'q' ? SG_WISH_LEAVE : SG_WISH_SUSPEND;
    else if (ui->no_plan[0])
        return;
    else if (input->kind == SG_INPUT_STROKE)
        take_stroke(ui, input->stroke);
    else if (input->kind == SG_INPUT_PASTE)
        take_paste(ui, input->text, input->length);
    else if (input->kind == SG_INPUT_CLICK)
        take_click(ui, input->row);
    else if (input->kind == SG_INPUT_WHEEL && !ui->typing.open && !ui->question)
        (input->stroke < 0 ? sg_do_up : sg_do_down)(ui);
}
