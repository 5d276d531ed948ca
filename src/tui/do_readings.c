/* Noting what is read, filled and changed on the machine. */
#include "tui/actuals.h"
#include "tui/screens.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT = 4096, LABEL = 200 };

/* A number of a record's field; else refused. */
static bool read_field(struct sg_ui *ui, const char *name, const char *text, double *out)
{
    struct sg_typed typed;
    sg_field_read(sg_field_find(SG_KIND_RECORD, name), ui->kept.shop, text, &typed);
    if (typed.state == SG_PARSE_WHOLE && !typed.value.none && sg_known(typed.value.number[0])) {
        *out = typed.value.number[0];
        return true;
    }
    return sg_note_refuse(ui, "\"%.60s\": %.300s", text, typed.text[0] ? typed.text : "a value is needed");
}

/* ---- into the hopper ---- */

static bool is_whole(const char *text, int32_t *out)
{
    char *end;
    long value = strtol(text, &end, 10);
    if (end == text || *end || value < 0 || value > INT32_MAX)
        return false;
    *out = (int32_t)value;
    return true;
}

static void fill_given(struct sg_ui *ui, const char *text)
{
    struct sg_noted noted;
    struct sg_error error;
    int32_t bags = SG_UNKNOWN;
    double mass = (double)NAN;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    bool by_bags = ui->kept.shop->machine.bag > 0 && is_whole(text, &bags);
    if (!by_bags && !read_field(ui, "mass", text, &mass))
        return;
    sg_note_end(ui, sg_desk_fill(ui->desk, by_bags ? bags : SG_UNKNOWN, mass, at, &noted, &error), &noted, at,
                &error);
}

void sg_do_fill(struct sg_ui *ui)
{
    const char *unit = sg_unit_of_shop(SG_DIM_MASS, ui->kept.shop->units)->name;
    bool bags = ui->kept.shop->machine.bag > 0;
    if (!sg_note_ask(ui, bags ? "bags into the hopper:" : "filled into the hopper:", fill_given, NULL, NULL))
        return;
    if (bags)
        sg_ui_say(ui, SG_ROLE_TEXT, "3: bags; 50 %s: a mass. 10:40 in front: then.", unit);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "A mass, %s without a unit. 10:40 in front: then.", unit);
}

static void level_given(struct sg_ui *ui, const char *text)
{
    struct sg_record record = sg_fresh_record;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    record.what = SG_RECORD_LEVEL;
    if (read_field(ui, "mass", text, &record.mass))
        sg_note(ui, &record, at);
}

void sg_do_level(struct sg_ui *ui)
{
    if (sg_note_ask(ui, "read in the hopper:", level_given, NULL, NULL))
        sg_ui_say(ui, SG_ROLE_TEXT, "A mass, %s without a unit. 10:40 in front: then.",
                  sg_unit_of_shop(SG_DIM_MASS, ui->kept.shop->units)->name);
}

/* ---- of a head ---- */

/* The head that cut last and takes garnet, else the one that is fitted, else the first that does. */
static int32_t weighed_head(struct sg_ui *ui)
{
    const struct sg_shop *shop = ui->kept.shop;
    const struct sg_actual *actual = sg_ui_actual(ui);
    for (int32_t i = actual ? actual->last : -1; i >= 0; i--) {
        int head =
            shop->clocks[i].phase == SG_PHASE_CUT ? sg_find_head(shop, shop->clocks[i].head) : SG_UNKNOWN;
        if (head != SG_UNKNOWN && shop->heads[head].kind != SG_HEAD_WATER)
            return head;
    }
    int32_t fitted = shop->machine.head_fitted;
    if (fitted != SG_UNKNOWN && shop->heads[fitted].kind != SG_HEAD_WATER)
        return fitted;
    for (int32_t i = 0; i < shop->n_heads; i++)
        if (shop->heads[i].kind != SG_HEAD_WATER)
            return i;
    return SG_UNKNOWN;
}

/* A head's name behind the number says that it was another one. */
static void weigh_given(struct sg_ui *ui, const char *text)
{
    struct sg_record record = sg_fresh_record;
    const struct sg_shop *shop = ui->kept.shop;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    int32_t head = weighed_head(ui);
    char number[LABEL], name_of_head[4 * SG_TEXT_MAX + 1]; /* of its own: noting it reads the shop anew */
    snprintf(number, sizeof number, "%s", text);
    for (int32_t i = 0; i < shop->n_heads; i++) {
        size_t length = strlen(number), name = strlen(shop->heads[i].name);
        if (length > name + 1 && number[length - name - 1] == ' ' &&
            strcmp(number + length - name, shop->heads[i].name) == 0) {
            number[length - name - 1] = '\0';
            head = i;
            break;
        }
    }
    record.what = SG_RECORD_WEIGH;
    if (!read_field(ui, "feed", number, &record.feed))
        return;
    if (head == SG_UNKNOWN) {
        sg_note_refuse(ui, "no head of this shop takes garnet");
        return;
    }
    snprintf(name_of_head, sizeof name_of_head, "%s", shop->heads[head].name);
    record.place = name_of_head;
    sg_note(ui, &record, at);
}

void sg_do_weigh(struct sg_ui *ui)
{
    int32_t head = weighed_head(ui);
    char label[LABEL];
    if (head == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_TEXT, "No head of this shop takes garnet.");
        return;
    }
    snprintf(label, sizeof label, "weighed feed of head %.80s:", ui->kept.shop->heads[head].name);
    if (sg_note_ask(ui, label, weigh_given, NULL, NULL))
        sg_ui_say(ui, SG_ROLE_TEXT, "%s without a unit; another head's name behind it. 10:40 in front: then.",
                  sg_unit_of_shop(SG_DIM_GARNET_FEED, ui->kept.shop->units)->name);
}

static int changeable(struct sg_ui *ui)
{
    return 2 * ui->kept.shop->n_heads;
}

/* The tube and the orifice of each head. */
static void changed(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    *word = *meaning = "";
    if (index / 2 >= ui->kept.shop->n_heads)
        return;
    char *text = asked->choice[asked->choice_at = !asked->choice_at];
    snprintf(text, SG_ASKED_KEY, "%s of head %s", index % 2 ? "orifice" : "tube",
             ui->kept.shop->heads[index / 2].name);
    *word = text;
}

static void change_given(struct sg_ui *ui, const char *text)
{
    struct sg_record record = sg_fresh_record;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    bool orifice = strncmp(text, "orifice of head ", 16) == 0;
    if (!orifice && strncmp(text, "tube of head ", 13) != 0) {
        sg_note_refuse(ui, "\"%.60s\" not noted: choose the tube or the orifice of a head", text);
        return;
    }
    record.what = orifice ? SG_RECORD_ORIFICE : SG_RECORD_TUBE;
    record.place = text + (orifice ? 16 : 13);
    sg_note(ui, &record, at);
}

void sg_do_changed(struct sg_ui *ui)
{
    if (sg_note_ask(ui, "changed:", change_given, changeable, changed))
        sg_ui_say(ui, SG_ROLE_TEXT, "Type to find it, arrows choose. 10:40 in front: then.");
}

/* ---- the rest of the day ---- */

static int chores(struct sg_ui *ui)
{
    return ui->kept.shop->n_chores;
}

static void chore(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    *word = index < ui->kept.shop->n_chores ? ui->kept.shop->chores[index].name : "";
    *meaning = "";
}

static void service_given(struct sg_ui *ui, const char *text)
{
    struct sg_record record = sg_fresh_record;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    record.what = SG_RECORD_SERVICE;
    record.place = text;
    sg_note(ui, &record, at);
}

void sg_do_service(struct sg_ui *ui)
{
    if (ui->kept.shop->n_chores == 0)
        sg_ui_say(ui, SG_ROLE_TEXT,
                  "This shop has no chores: `sandglass add chore NAME when=due` makes one.");
    else if (sg_note_ask(ui, "service done:", service_given, chores, chore))
        sg_ui_say(ui, SG_ROLE_TEXT, "Type to find it, arrows choose. 10:40 in front: then.");
}

static void remark_given(struct sg_ui *ui, const char *text)
{
    struct sg_record record = sg_fresh_record;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    record.what = SG_RECORD_NOTE;
    record.reason = text;
    if (text[0])
        sg_note(ui, &record, at);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is noted.");
}

void sg_do_remark(struct sg_ui *ui)
{
    if (sg_note_ask(ui, "note:", remark_given, NULL, NULL))
        sg_ui_say(ui, SG_ROLE_TEXT, "10:40 in front: then.");
}
