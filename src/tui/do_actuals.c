/* Noting what happens: each key is one act of the desk and one step of the history. */
#include "tui/actuals.h"
#include "tui/pieces.h"
#include "tui/screens.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = SG_ASKED_KEY };

struct sg_asked *sg_note_asked(struct sg_ui *ui)
{
    if (!ui->own[SG_SCREEN_ACTUALS])
        ui->own[SG_SCREEN_ACTUALS] = calloc(1, sizeof(struct sg_asked));
    if (!ui->own[SG_SCREEN_ACTUALS])
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to note anything");
    return ui->own[SG_SCREEN_ACTUALS];
}

/* ---- when ---- */

static size_t word_length(const char *text)
{
    return strcspn(text, " ");
}

/* Bytes of the moment in front of a text with the blanks behind it, 0 where there is none. A time of day is
 * today's; one that is more than half a day ahead is yesterday's, as a night shift types it after midnight.
 */
static size_t time_in_front(const char *text, int64_t now, int64_t *at)
{
    char moment[60];
    int32_t seconds;
    size_t blanks = strspn(text, " "), first = word_length(text + blanks);
    size_t second = word_length(text + blanks + first + (text[blanks + first] == ' '));
    snprintf(moment, sizeof moment, "%.*s", (int)first, text + blanks);
    if (strchr(moment, ':') && sg_time_parse(moment, &seconds)) {
        *at = now / SG_DAY_S * SG_DAY_S + seconds;
        *at -= *at > now + SG_DAY_S / 2 ? SG_DAY_S : 0;
        first += blanks;
        return first + strspn(text + first, " ");
    }
    snprintf(moment, sizeof moment, "%.*s", (int)(first + 1 + second), text + blanks);
    if (!strchr(moment, ':') || !sg_moment_parse(moment, at))
        return 0;
    first += blanks + 1 + second;
    return first + strspn(text + first, " ");
}

bool sg_note_time(struct sg_ui *ui, const char **text, int64_t *at)
{
    const struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    int64_t now = sg_ui_now(ui);
    struct sg_error error;
    *at = asked && asked->at_typed ? asked->at : now;
    size_t typed = time_in_front(*text, now, at);
    if (typed > 0 && sg_note_moment(ui->kept.shop, *at, now, &error) != SG_OK)
        return sg_note_refuse(ui, "%s", error.text);
    *text += typed;
    return true;
}

size_t sg_note_front(struct sg_ui *ui, const char *text)
{
    int64_t at;
    return time_in_front(text, sg_ui_now(ui), &at);
}

bool sg_note_refuse(struct sg_ui *ui, const char *format, ...)
{
    struct sg_error error;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(error.text, sizeof error.text, format, arguments);
    va_end(arguments);
    sg_ui_fail(ui, &error);
    sg_question_again(ui);
    return false;
}

static void at_given(struct sg_ui *ui, const char *text)
{
    struct sg_asked *asked = sg_note_asked(ui);
    struct sg_error error;
    char at[24];
    int64_t moment;
    if (!asked)
        return;
    asked->at_typed = false;
    if (!*text) {
        sg_ui_say(ui, SG_ROLE_TEXT, "What is noted next is noted for now.");
    } else if (time_in_front(text, sg_ui_now(ui), &moment) != strlen(text)) {
        sg_note_refuse(ui, "\"%.60s\" is no time such as 10:40 or 2026-12-01 10:40", text);
    } else if (sg_note_moment(ui->kept.shop, moment, sg_ui_now(ui), &error) != SG_OK) {
        sg_note_refuse(ui, "%s", error.text);
    } else {
        asked->at = moment;
        asked->at_typed = true;
        sg_ui_say(ui, SG_ROLE_ODD, "What is noted next is noted for %s; @ and Enter: for now again.",
                  sg_log_clock(moment, at));
    }
}

void sg_do_at(struct sg_ui *ui)
{
    static const struct sg_question question = {.label = "what comes next was at (10:40; empty: now):",
                                                .answer = at_given};
    sg_question_open(ui, &question, "");
}

/* ---- what was noted ---- */

/* A clock that ended because another started: of other sheets, or it goes without saying. */
static const struct sg_actual_remark *newly_mended(struct sg_ui *ui, int64_t at)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_clock *clocks = ui->kept.shop->clocks;
    for (int32_t i = 0; actual && i < actual->n_remarks; i++) {
        const struct sg_actual_remark *remark = &actual->remarks[i];
        if (remark->odd == SG_ODD_MENDED && remark->at == at &&
            strcmp(clocks[remark->clock].place, clocks[remark->other].place) != 0)
            return remark;
    }
    return NULL;
}

static void say_noted(struct sg_ui *ui, const struct sg_noted *noted, int64_t at)
{
    char clock[24], mended[600] = "";
    int64_t now = sg_ui_now(ui);
    const struct sg_actual_remark *remark = newly_mended(ui, at);
    if (remark)
        sg_actual_remark_text(ui->kept.shop, remark, mended, sizeof mended);
    sg_ui_say(ui, remark || at > now ? SG_ROLE_ODD : SG_ROLE_TEXT, "%s %.300s%s%s%.150s. u takes it back.",
              sg_log_clock(at, clock), noted->words, at > now ? ", which is still to come" : "",
              remark ? "; " : "", mended);
}

bool sg_note_end(struct sg_ui *ui, enum sg_status status, const struct sg_noted *noted, int64_t at,
                 const struct sg_error *error)
{
    struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    if (status != SG_OK) {
        struct sg_error kept = *error;
        sg_ui_refresh(ui);
        return sg_note_refuse(ui, "%s", kept.text);
    }
    if (asked)
        asked->at_typed = false;
    sg_ui_refresh(ui);
    say_noted(ui, noted, at);
    return true;
}

void sg_note(struct sg_ui *ui, struct sg_record *record, int64_t at)
{
    struct sg_noted noted;
    struct sg_error error;
    record->at = at;
    enum sg_status status = sg_desk_record(ui->desk, record, &noted, &error);
    sg_note_end(ui, status, &noted, at, &error);
}

static void note_what(struct sg_ui *ui, enum sg_record_what what, const char *text)
{
    struct sg_record record = sg_fresh_record;
    int64_t at;
    if (!sg_note_time(ui, &text, &at))
        return;
    record.what = what;
    record.reason = text;
    sg_note(ui, &record, at);
}

/* ---- clocks ---- */

static bool has_left(struct sg_ui *ui, int32_t stock)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_stock *s = &ui->kept.shop->stocks[stock];
    int64_t left = 0;
    for (int32_t i = s->first_part; actual && i < s->first_part + s->n_parts; i++)
        left += sg_actual_left(&ui->kept.shop->parts[i], &actual->parts[i]);
    return left > 0;
}

/* The stock that a key is meant for: that of the line of what is left, or of a job; else that under the
 * clock; else that of the line of the log, if something is left of it; else what is next. */
static int32_t stock_meant(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_actual *actual = sg_ui_actual(ui);
    bool on_log =
        sg_ui_place(ui)->screen == SG_SCREEN_ACTUALS && !(line && line->target.kind == SG_KIND_STOCK);
    int32_t stock = sg_ui_stock(ui);
    struct sg_sheet_page page;
    struct sg_piece piece;
    if (sg_ui_place(ui)->screen == SG_SCREEN_SHEET && sg_sheet_stands(ui, &page, &piece))
        return page.stock;
    if (!on_log && stock != SG_UNKNOWN)
        return stock;
    if (!on_log) {
        int32_t job = sg_ui_job(ui), next = sg_next_stock(ui, job);
        const struct sg_job *of = job == SG_UNKNOWN ? NULL : &ui->kept.shop->jobs[job];
        return next != SG_UNKNOWN || !of || of->n_stocks == 0 ? next : of->first_stock;
    }
    if (actual && actual->running != SG_UNKNOWN)
        return sg_actual_stock(ui->kept.shop, ui->kept.shop->clocks[actual->running].place);
    return stock != SG_UNKNOWN && has_left(ui, stock) ? stock : sg_next_stock(ui, SG_UNKNOWN);
}

static void start(struct sg_ui *ui, enum sg_phase phase)
{
    int32_t stock = stock_meant(ui);
    struct sg_noted noted;
    struct sg_error error;
    char key[KEY];
    const char *none = "";
    if (stock == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is left to cut here: no clock is started.");
        return;
    }
    int64_t at;
    sg_note_time(ui, &none, &at);
    sg_key_write(ui->kept.shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    const struct sg_start how = {.phase = phase, .place = key, .sheets = 1};
    if (!sg_note_end(ui, sg_desk_start(ui->desk, &how, at, &noted, &error), &noted, at, &error))
        return;
    int32_t clock = sg_newest_clock(ui->kept.shop);
    if (sg_ui_place(ui)->screen == SG_SCREEN_ACTUALS && clock != SG_UNKNOWN)
        sg_ui_stand(ui, SG_KIND_CLOCK, ui->kept.shop->clocks[clock].row);
}

/* What is not counted is left to cut in the plan of the rest. */
static void say_uncounted(struct sg_ui *ui)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    int32_t last = actual ? actual->last : SG_UNKNOWN;
    size_t used = strlen(ui->message);
    if (last == SG_UNKNOWN || actual->running != SG_UNKNOWN || actual->clocks[last].counted ||
        ui->kept.shop->clocks[last].phase != SG_PHASE_CUT)
        return;
    snprintf(ui->message + used, sizeof ui->message - used, "%s",
             sg_ui_place(ui)->screen == SG_SCREEN_ACTUALS ? " t counts what is done."
                                                          : " Nothing is counted: g a, then t.");
}

void sg_do_clock_stop(struct sg_ui *ui)
{
    note_what(ui, SG_RECORD_STOP, "");
    if (ui->message_role != SG_ROLE_WRONG)
        say_uncounted(ui);
}

void sg_do_clock(struct sg_ui *ui)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    int32_t running = actual ? actual->running : SG_UNKNOWN, stock = stock_meant(ui);
    const struct sg_clock *clock = running == SG_UNKNOWN ? NULL : &ui->kept.shop->clocks[running];
    bool here = clock && (stock == SG_UNKNOWN || sg_actual_stock(ui->kept.shop, clock->place) == stock);
    if (here && (clock->phase == SG_PHASE_CUT || stock == SG_UNKNOWN))
        sg_do_clock_stop(ui);
    else
        start(ui, SG_PHASE_CUT); /* a load or first check ends where the cut starts */
}

void sg_do_load(struct sg_ui *ui)
{
    start(ui, SG_PHASE_LOAD);
}

void sg_do_check(struct sg_ui *ui)
{
    start(ui, SG_PHASE_CHECK);
}

void sg_do_resume(struct sg_ui *ui)
{
    note_what(ui, SG_RECORD_RESUME, "");
}

/* ---- questions ---- */

bool sg_note_ask(struct sg_ui *ui, const char *label, void (*answer)(struct sg_ui *ui, const char *text),
                 int (*choices)(struct sg_ui *ui),
                 void (*choice)(struct sg_ui *ui, int index, const char **word, const char **meaning))
{
    struct sg_asked *asked = sg_note_asked(ui);
    if (!asked)
        return false;
    snprintf(asked->label, sizeof asked->label, "%s", label);
    asked->question =
        (struct sg_question){.label = asked->label, .answer = answer, .choices = choices, .choice = choice};
    asked->question.front = sg_note_front;
    sg_question_open(ui, &asked->question, "");
    return true;
}

/* ---- the machine stands ---- */

static bool is_listed(struct sg_ui *ui, int n, const char *reason)
{
    const struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    for (int i = 0; i < n; i++)
        if (strcmp(ui->kept.shop->records[asked->reasons[i]].reason, reason) == 0)
            return true;
    return false;
}

static int reasons(struct sg_ui *ui)
{
    struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    const struct sg_shop *shop = ui->kept.shop;
    int n = 0;
    for (int32_t i = shop->n_records - 1; i >= 0 && n < SG_ASKED_REASONS; i--)
        if (shop->records[i].what == SG_RECORD_PAUSE && shop->records[i].reason[0] &&
            !is_listed(ui, n, shop->records[i].reason))
            asked->reasons[n++] = i;
    return n;
}

static void reason(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    const struct sg_asked *asked = ui->own[SG_SCREEN_ACTUALS];
    int32_t record = asked->reasons[index];
    const struct sg_shop *shop = ui->kept.shop;
    *word = record < shop->n_records ? shop->records[record].reason : "";
    *meaning = "";
}

/* A full stop says that it is a reason of its own, and not one of the list. */
static void pause_given(struct sg_ui *ui, const char *text)
{
    char words[SG_ASKED_TEXT];
    size_t n = (size_t)snprintf(words, sizeof words, "%s", text);
    while (n > 0 && (words[n - 1] == '.' || words[n - 1] == ' '))
        words[--n] = '\0';
    note_what(ui, SG_RECORD_PAUSE, words);
}

void sg_do_pause(struct sg_ui *ui)
{
    struct sg_asked *asked = sg_note_asked(ui);
    if (!asked)
        return;
    bool any = reasons(ui) > 0;
    sg_note_ask(ui, "the machine stands because of:", pause_given, any ? reasons : NULL, reason);
    sg_ui_say(ui, SG_ROLE_TEXT,
              any ? "Type to find a reason; a full stop behind it: a new one. 10:40 in front: then."
                  : "10:40 in front notes it for then; Enter alone: no reason.");
}

/* ---- taking out ---- */

void sg_do_unrecord(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    struct sg_error error;
    char key[KEY], words[300];
    if (!line || (line->target.kind != SG_KIND_CLOCK && line->target.kind != SG_KIND_RECORD)) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing that was noted stands here.");
        return;
    }
    sg_key_write(ui->kept.shop, line->target, key, sizeof key);
    snprintf(words, sizeof words, "%.200s", line->text + strspn(line->text, " "));
    if (sg_desk_remove(ui->desk, key, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    sg_ui_refresh(ui);
    sg_ui_say(ui, SG_ROLE_TEXT, "Taken out of the log: %.200s. u brings it back.", words);
}
