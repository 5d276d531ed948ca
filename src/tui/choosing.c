/* A list of words to choose from, narrowed by what is typed: for a field that takes one of them, for a
 * question. */
#include "tui/inside.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WIDE = 60 };

/* ---- the words of a field ---- */

static int words_of(const char *const *words)
{
    int n = 0;
    while (words[n])
        n++;
    return n;
}

/* Without the last one, which is `none` where the field may be left open. */
static int own_words(const struct sg_ui *ui)
{
    const struct sg_shop *shop = ui->kept.shop;
    switch (ui->typing.field->type) {
    case SG_FIELD_MATERIAL:
        return shop->n_materials;
    case SG_FIELD_HEAD:
        return shop->n_heads;
    case SG_FIELD_SHIFT:
        return shop->n_shifts;
    case SG_FIELD_EDGE:
        return SG_EDGES;
    default:
        return words_of(ui->typing.field->words);
    }
}

static int field_words(const struct sg_ui *ui)
{
    return own_words(ui) + ((ui->typing.field->flags & SG_FIELD_OPTIONAL) != 0);
}

const char *sg_choosing_word(struct sg_ui *ui, int index, const char **meaning)
{
    const struct sg_shop *shop = ui->kept.shop;
    const char *word = NULL, *said = "";
    if (ui->question) {
        ui->question->choice(ui, index, &word, &said);
    } else if (index == own_words(ui)) {
        word = "none";
        said = "not typed: as usual here";
    } else if (ui->typing.field->type == SG_FIELD_MATERIAL) {
        word = shop->materials[index].name;
        said = shop->materials[index].aliases;
    } else if (ui->typing.field->type == SG_FIELD_HEAD) {
        word = shop->heads[index].name;
        said = sg_words_head_kind[shop->heads[index].kind];
    } else if (ui->typing.field->type == SG_FIELD_SHIFT) {
        word = shop->shifts[index].id;
    } else if (ui->typing.field->type == SG_FIELD_EDGE) {
        static const char *const numbers[SG_EDGES] = {"1", "2", "3", "4", "5"};
        word = numbers[index];
        said = sg_words_edge[index];
    } else {
        word = ui->typing.field->words[index];
    }
    if (meaning)
        *meaning = said;
    return word;
}

/* ---- narrowing ---- */

/* Whether a text has the first `length` letters of another in it, whatever their case. */
static bool has_part(const char *text, const char *wanted, size_t length)
{
    for (; *text; text++) {
        size_t i = 0;
        while (i < length && tolower((unsigned char)text[i]) == tolower((unsigned char)wanted[i]))
            i++;
        if (i == length)
            return true;
    }
    return false;
}

/* Whether each word of what is wanted is in the word or its meaning. */
static bool has(const char *word, const char *meaning, const char *wanted)
{
    for (wanted += strspn(wanted, " "); *wanted; wanted += strspn(wanted, " ")) {
        size_t length = strcspn(wanted, " ");
        if (!has_part(word, wanted, length) && !has_part(meaning, wanted, length))
            return false;
        wanted += length;
    }
    return true;
}

/* 3: it is the word, 2: the word begins so, 1: it has it somewhere, 0: only its meaning has it. */
static int nearness(const char *word, const char *text)
{
    size_t i = 0;
    while (text[i] && tolower((unsigned char)word[i]) == tolower((unsigned char)text[i]))
        i++;
    if (text[i])
        return has_part(word, text, strlen(text));
    return word[i] ? 2 : 3;
}

static int current(const struct sg_ui *ui);

/* A word is chosen by what is typed to find it, by nothing else: not by a time in front of it, and not by
 * what was rubbed out again. */
void sg_choosing_narrow(struct sg_ui *ui)
{
    struct sg_choosing *choosing = &ui->choosing;
    const char *text = sg_entry_text(&ui->entry), *meaning;
    int best = -1;
    if (ui->question && ui->question->front)
        text += ui->question->front(ui, text);
    choosing->n_shown = 0;
    for (int i = 0; i < choosing->n; i++) {
        const char *word = sg_choosing_word(ui, i, &meaning);
        if (!has(word, meaning, text))
            continue;
        if (best < 0 || nearness(word, text) > nearness(sg_choosing_word(ui, best, NULL), text))
            best = i;
        choosing->shown[choosing->n_shown++] = i;
    }
    choosing->at = text[strspn(text, " ")] ? best : current(ui);
}

static int current(const struct sg_ui *ui)
{
    struct sg_value value;
    if (ui->question)
        return -1;
    sg_field_get(ui->typing.field, sg_target_record(ui->kept.shop, ui->typing.targets[0]), &value);
    if (value.none)
        return own_words(ui) < ui->choosing.n ? own_words(ui) : -1;
    int at = ui->typing.field->type == SG_FIELD_EDGE ? (int)(value.number[0] + 0.5) - 1 : (int)value.whole;
    return at < ui->choosing.n ? at : -1;
}

void sg_choosing_start(struct sg_ui *ui)
{
    struct sg_choosing *choosing = &ui->choosing;
    int n = ui->question ? ui->question->choices(ui) : field_words(ui);
    if (n > choosing->room) {
        int *shown = realloc(choosing->shown, (size_t)n * sizeof *shown);
        if (!shown)
            return; /* then the word is typed in full */
        choosing->shown = shown;
        choosing->room = n;
    }
    choosing->n = n;
    choosing->open = true;
    choosing->stepped = false;
    sg_choosing_narrow(ui);
}

void sg_choosing_close(struct sg_ui *ui)
{
    ui->choosing.open = false;
}

void sg_choosing_step(struct sg_ui *ui, int by)
{
    struct sg_choosing *choosing = &ui->choosing;
    int at = by > 0 ? -1 : choosing->n_shown;
    for (int i = 0; i < choosing->n_shown; i++)
        if (choosing->shown[i] == choosing->at)
            at = i;
    at += by;
    if (choosing->n_shown == 0 || at < 0 || at >= choosing->n_shown)
        return;
    choosing->at = choosing->shown[at];
    choosing->stepped = true;
}

static void draw_choice(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int row, int index)
{
    const char *meaning, *word = sg_choosing_word(ui, index, &meaning);
    bool at = index == ui->choosing.at;
    sg_canvas_put(canvas, row, area.column, 1, SG_ROLE_CURSOR, at ? ">" : " ");
    int used = 2 + sg_canvas_put(canvas, row, area.column + 2, area.columns - 2,
                                 at ? SG_ROLE_CURSOR : SG_ROLE_TEXT, word);
    int column = area.columns < WIDE ? used + 2 : used < WIDE / 2 ? WIDE / 2 : used + 2;
    sg_canvas_put(canvas, row, area.column + column, area.columns - column, SG_ROLE_LABEL, meaning);
}

void sg_choosing_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    const struct sg_choosing *choosing = &ui->choosing;
    int here = 0;
    for (int i = 0; i < choosing->n_shown; i++)
        if (choosing->shown[i] == choosing->at)
            here = i;
    if (choosing->n_shown == 0)
        sg_canvas_put(canvas, area.row, area.column + 2, area.columns - 2, SG_ROLE_LABEL, "nothing has that");
    bool more = choosing->n_shown > area.rows && area.rows > 2;
    int rows = area.rows - more, top = here >= rows ? here - rows + 1 : 0;
    for (int i = 0; i < rows && top + i < choosing->n_shown; i++)
        draw_choice(ui, canvas, area, area.row + i, choosing->shown[top + i]);
    if (more)
        sg_canvas_format(canvas, area.row + rows, area.column + 2, area.columns - 2, SG_ROLE_LABEL,
                         "%d of %d", here + 1, choosing->n_shown);
}
