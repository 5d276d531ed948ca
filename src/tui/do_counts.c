/* Noting pieces that are done or spoilt. */
#include "tui/actuals.h"
#include "tui/screens.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LABEL = 200 };

/* The stock whose pieces are counted: of the line of a cut, else of the last cut. */
static int32_t stock_counted(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_shop *shop = ui->kept.shop;
    if (line && line->target.kind == SG_KIND_CLOCK && shop->clocks[line->target.index].phase == SG_PHASE_CUT)
        return sg_actual_stock(shop, shop->clocks[line->target.index].place);
    for (int32_t i = actual ? actual->last : -1; i >= 0; i--)
        if (shop->clocks[i].phase == SG_PHASE_CUT)
            return sg_actual_stock(shop, shop->clocks[i].place);
    return SG_UNKNOWN;
}

static const struct sg_stock *asked_stock(struct sg_ui *ui, int32_t *stock)
{
    const struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    *stock = sg_actual_stock(ui->kept.shop, asked->key);
    return *stock == SG_UNKNOWN ? NULL : &ui->kept.shop->stocks[*stock];
}

static int counted_parts(struct sg_ui *ui)
{
    int32_t stock;
    const struct sg_stock *s = asked_stock(ui, &stock);
    return s ? s->n_parts : 0;
}

/* What was typed: "10 A edge burnt", "A", "all", or nothing. */
struct typed_count {
    struct sg_counting counting;
    char part[SG_ASKED_KEY];
    int64_t at;
};

static bool is_number(const char *word, size_t length)
{
    size_t digits = length > 1 && word[0] == '-' ? 1 : 0;
    for (size_t i = digits; i < length; i++)
        if (!isdigit((unsigned char)word[i]))
            return false;
    return length > 0;
}

/* The part of the stock whose id the text begins with, SG_UNKNOWN where it begins with none. */
static int32_t part_in_front(const struct sg_shop *shop, const struct sg_stock *stock, const char *text)
{
    int32_t best = SG_UNKNOWN;
    size_t longest = 0;
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++) {
        size_t length = strlen(shop->parts[i].id);
        if (length > longest && strncmp(text, shop->parts[i].id, length) == 0 &&
            (text[length] == ' ' || !text[length])) {
            best = i;
            longest = length;
        }
    }
    return best;
}

/* Whether a text begins with how many. */
static bool is_count(const char *text)
{
    size_t length = strcspn(text, " ");
    return is_number(text, length) || (length == 3 && strncmp(text, "all", 3) == 0);
}

static void scrap_given(struct sg_ui *ui, const char *text);

/* An id that is a number would be taken for how many: it says that too. */
static void counted_part(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    int32_t stock;
    struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    const struct sg_stock *s = asked_stock(ui, &stock);
    const char *typed = sg_entry_text(&ui->entry);
    *word = *meaning = "";
    if (!s || index >= s->n_parts)
        return;
    const struct sg_part *part = &ui->kept.shop->parts[s->first_part + index];
    *word = part->id;
    *meaning = part->name;
    if (!is_number(part->id, strlen(part->id)) || is_count(typed + sg_note_front(ui, typed)))
        return;
    char *text = asked->choice[asked->choice_at = !asked->choice_at];
    snprintf(text, SG_ASKED_KEY, "%s %s", asked->question.answer == scrap_given ? "1" : "all", part->id);
    *word = text;
}

static size_t word_with_blanks(const char *text)
{
    size_t length = strcspn(text, " ");
    return length + strspn(text + length, " ");
}

/* A part is looked for behind the time and how many; where its id stands there, the reason is behind that. */
static size_t count_front(struct sg_ui *ui, const char *text)
{
    int32_t stock;
    const struct sg_stock *s = asked_stock(ui, &stock);
    size_t front = sg_note_front(ui, text);
    if (is_count(text + front))
        front += word_with_blanks(text + front);
    int32_t part = s ? part_in_front(ui->kept.shop, s, text + front) : SG_UNKNOWN;
    bool behind = part != SG_UNKNOWN && text[front + strlen(ui->kept.shop->parts[part].id)];
    return behind ? strlen(text) : front;
}

static bool read_count(struct sg_ui *ui, const char *text, bool scrap, struct typed_count *out)
{
    int32_t stock;
    const struct sg_shop *shop = ui->kept.shop;
    const struct sg_stock *s = asked_stock(ui, &stock);
    *out = (struct typed_count){.counting = {.scrap = scrap, .all = !scrap, .count = scrap ? 1 : 0}};
    if (!sg_note_time(ui, &text, &out->at))
        return false;
    size_t length = strcspn(text, " ");
    if (is_number(text, length)) {
        long count = strtol(text, NULL, 10);
        out->counting.all = false;
        out->counting.count = (int32_t)(count > INT32_MAX    ? INT32_MAX
                                        : count < -INT32_MAX ? -INT32_MAX
                                                             : count);
        text += word_with_blanks(text);
    } else if (is_count(text)) {
        out->counting.all = true;
        text += word_with_blanks(text);
    }
    int32_t part = s ? part_in_front(shop, s, text) : SG_UNKNOWN;
    if (part != SG_UNKNOWN)
        text += strlen(shop->parts[part].id) + strspn(text + strlen(shop->parts[part].id), " ");
    else if (s && s->n_parts == 1)
        part = s->first_part;
    if (part != SG_UNKNOWN)
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, part}, out->part, sizeof out->part);
    else if (out->counting.all)
        snprintf(out->part, sizeof out->part, "%s", ((struct sg_asked *)ui->own[SG_SCREEN_ACTUALS])->key);
    out->counting.part = *out->part ? out->part : NULL;
    out->counting.reason = text;
    return true;
}

static bool count(struct sg_ui *ui, const struct typed_count *typed)
{
    struct sg_noted noted;
    struct sg_error error;
    return sg_note_end(ui, sg_desk_count(ui->desk, &typed->counting, typed->at, &noted, &error), &noted,
                       typed->at, &error);
}

static void done_given(struct sg_ui *ui, const char *text)
{
    struct typed_count typed;
    if (read_count(ui, text, false, &typed))
        count(ui, &typed);
}

/* Whether more are counted to the last cut of the stock than lay on it: some are counted twice. */
static bool is_too_many(struct sg_ui *ui)
{
    const struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_clock *clocks = ui->kept.shop->clocks;
    int32_t i = actual ? actual->last : -1;
    while (i >= 0 && (clocks[i].phase != SG_PHASE_CUT || strcmp(clocks[i].place, asked->key) != 0))
        i--;
    return i >= 0 && clocks[i].pieces > 0 &&
           actual->clocks[i].good + actual->clocks[i].scrapped > clocks[i].pieces;
}

static void scrap_given(struct sg_ui *ui, const char *text)
{
    struct typed_count typed;
    if (!read_count(ui, text, true, &typed) || !count(ui, &typed) || !is_too_many(ui))
        return;
    size_t used = strlen(ui->message);
    snprintf(ui->message + used, sizeof ui->message - used,
             " More than lay on the sheet: were they counted as done, t and -%d takes that back.",
             typed.counting.count);
    ui->message_role = SG_ROLE_ODD;
}

static void ask_count(struct sg_ui *ui, bool scrap)
{
    struct sg_asked *asked = sg_note_asked(ui);
    int32_t stock = stock_counted(ui);
    char label[LABEL];
    if (!asked)
        return;
    if (stock == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_TEXT,
                  "No cut was clocked yet: b starts the clock, then pieces are counted to it.");
        return;
    }
    sg_key_write(ui->kept.shop, (struct sg_target){SG_KIND_STOCK, stock}, asked->key, sizeof asked->key);
    bool several = ui->kept.shop->stocks[stock].n_parts > 1;
    snprintf(label, sizeof label, "%s of %.80s:", scrap ? "spoilt" : "done", asked->key);
    if (sg_note_ask(ui, label, scrap ? scrap_given : done_given, several ? counted_parts : NULL,
                    counted_part))
        asked->question.front = count_front;
    if (scrap)
        sg_ui_say(ui, SG_ROLE_TEXT, "%s; all: the whole sheet. 10:40 in front.",
                  several ? "2 A edge burnt: how many of which, why" : "2 edge burnt: how many, why");
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Enter: all of the sheet; %s. 10:40 in front: then.",
                  several ? "10 A: how many of which part" : "else how many");
}

void sg_do_done(struct sg_ui *ui)
{
    ask_count(ui, false);
}

void sg_do_scrapped(struct sg_ui *ui)
{
    ask_count(ui, true);
}
