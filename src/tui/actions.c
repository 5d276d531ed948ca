/* The table of actions. The order within a group is that of help; the order of the line of keys is that of
 * the table. */
#include "tui/action.h"

#include "tui/do.h"
#include "tui/screens.h"

#include <string.h>

#define CELLS (SG_ON_ROWS | SG_ON_FIELDS)
#define TYPED (SG_IN_FIELD | SG_IN_LINE)

const struct sg_action sg_actions[] = {
    /* ---- while a field is typed, or a question answered ---- */
    {"keep", "Enter", SG_IN_FIELD, SG_FIRST, SG_GROUP_TYPE, "keep", "Keep what is typed.", sg_type_keep},
    {"answer", "Enter", SG_IN_LINE, SG_FIRST, SG_GROUP_TYPE, "take it",
     "Take the answer, or the word chosen.", sg_type_keep},
    {"answer-next", "Tab", SG_IN_LINE, 0, SG_GROUP_TYPE, NULL,
     "As Enter, where there is no list to choose from.", sg_type_answer_next},
    {"drop", "Esc Ctrl-C Ctrl-G", TYPED, SG_FIRST, SG_GROUP_TYPE, "drop",
     "Drop what is typed; the old value is back at once.", sg_type_drop},
    {"keep-next", "Tab", SG_IN_FIELD, SG_FIRST, SG_GROUP_TYPE, "next field",
     "Keep, and go to the next input.", sg_type_next},
    {"keep-previous", "Shift-Tab", SG_IN_FIELD, 0, SG_GROUP_TYPE, NULL, "Keep, and go to the input before.",
     sg_type_previous},
    {"keep-up", "Up", TYPED, 0, SG_GROUP_TYPE, NULL, "Keep, and go to the row above; in a list, choose.",
     sg_type_up},
    {"keep-down", "Down", TYPED, 0, SG_GROUP_TYPE, NULL, "Keep, and go to the row below; in a list, choose.",
     sg_type_down},
    {"clear", "Ctrl-U", TYPED, SG_FIRST, SG_GROUP_TYPE, "clear", "Clear the whole field.", sg_type_clear},
    {"what-if-of-typed", "Ctrl-T", SG_IN_FIELD, SG_CHANGES, SG_GROUP_TYPE, "as what-if",
     "Make a what-if of what is typed and leave the plan alone.", sg_do_what_if_typed},
    {"left", "Left", TYPED, 0, SG_GROUP_TYPE, NULL, "One character to the left.", sg_type_left},
    {"right", "Right", TYPED, 0, SG_GROUP_TYPE, NULL, "One character to the right.", sg_type_right},
    {"start", "Home Ctrl-X", TYPED, 0, SG_GROUP_TYPE, NULL, "To the start of the text.", sg_type_home},
    {"end", "End Ctrl-E", TYPED, 0, SG_GROUP_TYPE, NULL, "To the end of the text.", sg_type_end},
    {"rub-left", "Backspace", TYPED, 0, SG_GROUP_TYPE, NULL, "Delete the character to the left.",
     sg_type_rub_left},
    {"rub-right", "Ctrl-D Delete", TYPED, 0, SG_GROUP_TYPE, NULL, "Delete the character to the right.",
     sg_type_rub_right},
    {"rub-word", "Ctrl-W", TYPED, 0, SG_GROUP_TYPE, NULL, "Delete the word to the left.", sg_type_rub_word},
    {"rub-rest", "Ctrl-K", TYPED, 0, SG_GROUP_TYPE, NULL, "Delete to the end.", sg_type_rub_rest},

    /* ---- moving ---- */
    {"up", "Up k", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "Up.", sg_do_up},
    {"down", "Down j", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "Down.", sg_do_down},
    {"back-a-cell", "Left h", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "Left.", sg_do_left},
    {"on-a-cell", "Right l", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "Right.", sg_do_right},
    {"first-column", "H Home", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "To the first column.", sg_do_first_column},
    {"last-column", "L End", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "To the last column.", sg_do_last_column},
    {"page-up", "[ PgUp", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "A page up.", sg_do_page_up},
    {"page-down", "] PgDn", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "A page down.", sg_do_page_down},
    {"top", "gg", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "To the top.", sg_do_top},
    {"bottom", "G", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "To the end.", sg_do_bottom},
    {"next-input", "Tab", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "To the next input.", sg_do_next_input},
    {"previous-input", "Shift-Tab", SG_ON_ALL, 0, SG_GROUP_MOVE, NULL, "To the input before.",
     sg_do_previous_input},

    /* ---- going in and out ---- */
    {"enter", "Enter", SG_ON_ROWS | SG_ON_WHY | SG_ON_FIELDS | SG_ON_ACTUALS, SG_FIRST, SG_GROUP_GO, "open",
     "Open a job; edit an input; explain a result.", sg_do_enter},
    {"what-if-keep", "Enter", SG_ON_WHAT_IF, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "into plan",
     "Put the what-if into the plan as one change.", sg_do_what_if_keep},
    {"back-to", "Enter", SG_ON_HISTORY, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "undo down to here",
     "Take back your own changes that are newer than this one.", sg_do_back_to},
    {"quote-rates", "Enter", SG_ON_QUOTE, SG_FIRST, SG_GROUP_GO, "rates",
     "To the rates, where they are typed.", sg_do_quote_rates},
    {"trade-what-if", "Enter", SG_ON_TRADE, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "as what-if",
     "Make a what-if of the step and leave the plan alone.", sg_do_trade_what_if},
    {"import-map", "Enter", SG_ON_IMPORT, SG_FIRST, SG_GROUP_CHANGE, "change", "Say where the column goes.",
     sg_do_import_map},
    {"import-bring", "i", SG_ON_IMPORT, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "bring in",
     "Bring the good rows into the plan, as one change.", sg_do_import_bring},
    {"import-replace", "r", SG_ON_IMPORT, 0, SG_GROUP_CHANGE, "replace",
     "Parts that exist already: leave them, or replace them.", sg_do_import_replace},
    {"import-bad", "E", SG_ON_IMPORT, 0, SG_GROUP_FILE, "wrong rows", "Write the wrong rows to a file.",
     sg_do_import_bad},

    /* ---- changing ---- */
    {"edit", "e F2", CELLS, SG_FIRST, SG_GROUP_CHANGE, "edit", "Edit the input, its text kept.", sg_do_edit},
    {"type-over", "0 1 2 3 4 5 6 7 8 9 . =", CELLS, 0, SG_GROUP_CHANGE, NULL,
     "Type over an input; = begins a sum such as =4*5.", sg_do_type_over},
    {"more", "+", CELLS, 0, SG_GROUP_CHANGE, NULL, "One more, to be kept with Enter.", sg_do_more},
    {"less", "-", CELLS, 0, SG_GROUP_CHANGE, NULL, "One less, to be kept with Enter.", sg_do_less},
    {"note", "c", SG_ON_ROWS, 0, SG_GROUP_CHANGE, NULL, "The note of the row.", sg_do_note},
    {"last", "", CELLS, 0, SG_GROUP_CHANGE, NULL, "Bring back the text that was typed last and not kept.",
     sg_do_last},

    /* ---- rows ---- */
    {"add", "a", SG_ON_ROWS, SG_CHANGES | SG_FIRST, SG_GROUP_ROWS, "add", "Add a row below.", sg_do_add},
    {"add-stock", "A", SG_ON_JOB, SG_CHANGES, SG_GROUP_ROWS, "add sheets",
     "Add sheets of another kind to the job.", sg_do_add_stock},
    {"duplicate", "d", SG_ON_ROWS, SG_CHANGES, SG_GROUP_ROWS, "double",
     "Duplicate the row, or the marked rows.", sg_do_duplicate},
    {"copy", "y", SG_ON_ROWS, 0, SG_GROUP_ROWS, NULL, "Take a copy of the rows.", sg_do_copy},
    {"cut", "x Delete", SG_ON_ROWS, SG_CHANGES, SG_GROUP_ROWS, NULL,
     "Take the rows out; p puts them elsewhere.", sg_do_cut},
    {"paste-below", "p", SG_ON_ROWS, SG_CHANGES, SG_GROUP_ROWS, NULL, "Put the rows taken below.",
     sg_do_paste_below},
    {"paste-above", "P", SG_ON_ROWS, SG_CHANGES, SG_GROUP_ROWS, NULL, "Put the rows taken above.",
     sg_do_paste_above},
    {"row-down", "J", SG_ON_ROWS, SG_CHANGES, SG_GROUP_ROWS, "later",
     "Move the rows one down: the order of the run.", sg_do_row_down},
    {"row-up", "K", SG_ON_ROWS, SG_CHANGES, SG_GROUP_ROWS, "earlier", "Move the rows one up.", sg_do_row_up},
    {"mark", "Space", SG_ON_ROWS, 0, SG_GROUP_ROWS, "mark", "Mark the row and go down.", sg_do_mark},
    {"range", "v", SG_ON_ROWS, 0, SG_GROUP_ROWS, NULL, "Mark from here to where v is pressed again.",
     sg_do_range},
    {"mark-all", "*", SG_ON_ROWS, 0, SG_GROUP_ROWS, NULL, "Mark all rows like this one; again: none.",
     sg_do_mark_all},
    {"mark-none", "V", SG_ON_ROWS, 0, SG_GROUP_ROWS, NULL, "Clear all marks.", sg_do_mark_none},
    {"longer-search", "D", SG_ON_SHEET, SG_CHANGES, SG_GROUP_CHANGE, "denser",
     "Search longer for a layout with fewer sheets, and take it.", sg_do_longer_search},
    {"scrap-piece", "x Delete", SG_ON_SHEET, SG_CHANGES, SG_GROUP_CHANGE, "scrap piece",
     "This piece was spoilt: cut one more.", sg_do_scrap_piece},
    {"scrap-sheet", "X", SG_ON_SHEET, SG_CHANGES, SG_GROUP_CHANGE, "scrap sheet",
     "This sheet was spoilt: cut all of its pieces again.", sg_do_scrap_sheet},
    {"undo", "u", SG_ON_ALL, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "undo", "Take back your last change.",
     sg_do_undo},
    {"redo", "Ctrl-R", SG_ON_ALL, SG_CHANGES, SG_GROUP_CHANGE, NULL, "Do again what was taken back.",
     sg_do_redo},
    {"history", "U", SG_ON_ALL & ~SG_ON_HISTORY, 0, SG_GROUP_ASK, NULL, "Every change: who, when, what.",
     sg_do_history},

    /* ---- what really happened ---- */
    {"clock", "b", SG_ON_ROWS | SG_ON_SHEET, SG_CHANGES, SG_GROUP_CHANGE, NULL,
     "Start or stop the clock on the job, or the sheets, one stands on.", sg_do_clock},
    {"record-clock", "b", SG_ON_ACTUALS, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "clock",
     "Start or stop the clock on the sheets one stands on, or that are next.", sg_do_clock},
    {"record-done", "t", SG_ON_ACTUALS, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "done",
     "Pieces that are done: all of the sheet, or a number.", sg_do_done},
    {"record-pause", "s", SG_ON_ACTUALS, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "stands",
     "The machine stands, for a reason.", sg_do_pause},
    {"record-resume", "r", SG_ON_ACTUALS, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "goes on",
     "The machine goes on.", sg_do_resume},
    {"record-scrap", "X", SG_ON_ACTUALS, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "scrap",
     "Pieces that were spoilt, with the reason.", sg_do_scrapped},
    {"record-fill", "f", SG_ON_ACTUALS, SG_CHANGES | SG_FIRST, SG_GROUP_CHANGE, "fill",
     "Bags, or a mass, into the hopper.", sg_do_fill},
    {"record-load", "Y", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "load",
     "The clock of loading a sheet starts.", sg_do_load},
    {"record-check", "Q", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "first check",
     "The clock of the first part check starts.", sg_do_check},
    {"record-stop", "B", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, NULL,
     "Stop the clock, whatever it is on.", sg_do_clock_stop},
    {"record-level", "R", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "read level",
     "What was read in the hopper.", sg_do_level},
    {"record-weigh", "m", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "weigh feed",
     "Garnet that was caught and weighed: the feed of a head.", sg_do_weigh},
    {"record-changed", "O", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, NULL,
     "A mixing tube or an orifice was changed.", sg_do_changed},
    {"record-service", "v", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, NULL,
     "A service that was due is done.", sg_do_service},
    {"record-note", "c", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "note", "A note of what happened.",
     sg_do_remark},
    {"record-at", "@", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "late",
     "When that was which is noted next, such as 10:40.", sg_do_at},
    {"record-remove", "x Delete", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, NULL,
     "Take what was noted out of the log; undo brings it back.", sg_do_unrecord},
    {"use-factor", "F", SG_ON_ACTUALS, SG_CHANGES, SG_GROUP_CHANGE, "use factor",
     "Use what the shop's own times say; first it is shown what that changes.", sg_do_use},

    /* ---- asking ---- */
    {"why", "w", SG_ON_PLANS | SG_ON_FIELDS, SG_FIRST, SG_GROUP_ASK, "why", "Where the number comes from.",
     sg_do_why},
    {"fits", "f", SG_ON_ROWS, 0, SG_GROUP_ASK, "what fits",
     "How many pieces fit before the breaks, the refill, the end, on a sheet.", sg_do_fits},
    {"what-if", "W", (SG_ON_PLANS & ~SG_ON_WHAT_IF) | SG_ON_TRADE, SG_FIRST, SG_GROUP_ASK, "what-if",
     "Try changes without touching the plan.", sg_do_what_if},
    {"what-if-name", "a", SG_ON_WHAT_IF, SG_CHANGES, SG_GROUP_CHANGE, "keep for later",
     "Give the suggestion a name and keep it as a what-if.", sg_do_what_if_name},
    {"what-if-drop", "x Delete", SG_ON_WHAT_IF, SG_CHANGES, SG_GROUP_CHANGE, "drop", "Drop the what-if.",
     sg_do_what_if_drop},
    {"outline", "O", SG_ON_JOB, 0, SG_GROUP_ASK, NULL,
     "The outline of the part instead of the figures, and back.", sg_do_outline},
    {"find", "/ F3", SG_ON_ALL, 0, SG_GROUP_ASK, "find", "Find a text.", sg_do_find},
    {"find-next", "n", SG_ON_ALL, 0, SG_GROUP_ASK, NULL, "The next place that has it.", sg_do_find_next},
    {"find-previous", "N", SG_ON_ALL, 0, SG_GROUP_ASK, NULL, "The place before that has it.",
     sg_do_find_previous},
    {"show-only", "&", SG_ON_ROWS, 0, SG_GROUP_ASK, NULL, "Show only rows that have a text; empty shows all.",
     sg_do_show_only},
    {"order", "o", SG_ON_ROWS, 0, SG_GROUP_ASK, NULL,
     "Order the rows shown by this column: up, down, as they run.", sg_do_order},

    /* ---- going elsewhere ---- */
    {"next", ">", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "The next job, shift or sheet.", sg_do_next},
    {"previous", "<", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "The job, shift or sheet before.", sg_do_previous},
    {"zoom-in", "z", SG_ON_HOPPER | SG_ON_SHEET, SG_FIRST, SG_GROUP_GO, "zoom", "Closer.", sg_do_zoom_in},
    {"zoom-out", "Z", SG_ON_HOPPER | SG_ON_SHEET, 0, SG_GROUP_GO, NULL, "Further away.", sg_do_zoom_out},
    {"finer", "z", SG_ON_TRADE, SG_FIRST, SG_GROUP_GO, "finer", "Smaller steps around where one stands.",
     sg_do_zoom_in},
    {"coarser", "Z", SG_ON_TRADE, SG_FIRST, SG_GROUP_GO, "coarser", "Larger steps.", sg_do_zoom_out},
    {"go-shift", "gs", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "To the shift.", sg_do_go_shift},
    {"go-job", "gj", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "To the job.", sg_do_go_job},
    {"go-hopper", "gh", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "To the hopper across the shift.", sg_do_go_hopper},
    {"go-sheet", "gp", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "To the picture of the sheets.", sg_do_go_sheet},
    {"go-job-sheet", "go", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "To the job sheet.", sg_do_go_job_sheet},
    {"go-quote", "gq", SG_ON_ALL, SG_FIRST | SG_BAR_ON_ROWS, SG_GROUP_GO, "quote", "To the price of the job.",
     sg_do_go_quote},
    {"go-trade", "gt", SG_ON_ALL, SG_FIRST | SG_BAR_ON_ROWS, SG_GROUP_GO, "trade",
     "To what the job trades along pressure, garnet, edge, orifice, head.", sg_do_go_trade},
    {"go-actuals", "ga", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "To what really happened, and the rest.",
     sg_do_go_actuals},
    {"go-machine", "gm", SG_ON_ALL, 0, SG_GROUP_GO, NULL,
     "To the fields of machine, heads, shifts, materials.", sg_do_go_machine},
    {"fields", "I", SG_ON_PLANS | SG_ON_ACTUALS, 0, SG_GROUP_GO, NULL,
     "All fields of the row, each with its meaning.", sg_do_fields},
    {"back", "Esc Ctrl-C Ctrl-G", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "Back one step.", sg_do_back},
    {"shift-fields", "S", SG_ON_PLANS | SG_ON_ACTUALS, 0, SG_GROUP_GO, NULL,
     "The shift: date, start, end, breaks, closed days.", sg_do_shift_fields},
    {"columns", "C", SG_ON_ROWS, 0, SG_GROUP_GO, NULL,
     "Show the columns that had no room instead of the others.", sg_do_columns},
    {"leave", "q F10", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "Leave the screen; on the shift leave the program.",
     sg_do_leave},

    /* ---- files and the rest ---- */
    {"import", "i", SG_ON_ROWS, SG_CHANGES, SG_GROUP_FILE, NULL, "Bring in a parts list (CSV).",
     sg_do_import},
    {"write-csv", "E", SG_ON_JOB_SHEET, SG_FIRST, SG_GROUP_FILE, "write CSV", "Write the job sheet as CSV.",
     sg_do_sheet_csv},
    {"write-text", "T", SG_ON_JOB_SHEET, SG_FIRST, SG_GROUP_FILE, "write text",
     "Write the job sheet as text.", sg_do_sheet_text},
    {"quote-csv", "E", SG_ON_QUOTE, SG_FIRST, SG_GROUP_FILE, "write CSV", "Write the quote as CSV.",
     sg_do_quote_csv},
    {"quote-text", "T", SG_ON_QUOTE, SG_FIRST, SG_GROUP_FILE, "write text", "Write the quote as text.",
     sg_do_quote_text},
    {"quote-customer", "Ctrl-T", SG_ON_QUOTE, SG_FIRST, SG_GROUP_FILE, "for customer",
     "Write what the customer is told as text.", sg_do_quote_customer},
    {"trade-csv", "E", SG_ON_TRADE, 0, SG_GROUP_FILE, "write CSV", "Write the steps as CSV.",
     sg_do_trade_csv},
    {"trade-text", "T", SG_ON_TRADE, 0, SG_GROUP_FILE, "write text", "Write the steps as text.",
     sg_do_trade_text},
    {"hand-over", "T", SG_ON_ACTUALS, 0, SG_GROUP_FILE, "hand-over",
     "Write the hand-over of the shift as text.", sg_do_hand_over},
    {"units", "M", SG_ON_ALL, 0, SG_GROUP_FILE, NULL,
     "Show and type inches or millimetres on this screen; what is kept stays.", sg_do_units},
    {"command", ":", SG_ON_ALL, 0, SG_GROUP_GO, NULL, "Any action by its name.", sg_do_command},
    {"new", "", SG_ON_ALL, 0, SG_GROUP_FILE, NULL, "How to start a shop file of your own.", sg_do_new_file},
    {"help", "? F1", SG_ON_ALL & ~SG_ON_HELP, SG_FIRST, SG_GROUP_GO, "help", "Help for this place.",
     sg_do_help},
    {"help-here", "F1 Ctrl-Y", TYPED, 0, SG_GROUP_TYPE, NULL, "Help for this field.", sg_do_help},
    {"redraw", "Ctrl-L", SG_ON_ALL | TYPED, 0, SG_GROUP_GO, NULL, "Draw the screen again.", sg_do_redraw},
    {"suspend", "Ctrl-Z", SG_ON_ALL | TYPED, 0, SG_GROUP_GO, NULL, "Stop; `fg` comes back.", sg_do_suspend},
    {NULL, NULL, 0, 0, SG_GROUP_MOVE, NULL, NULL, NULL},
};

const char *sg_group_word(enum sg_action_group group)
{
    static const char *const words[SG_GROUPS] = {
        [SG_GROUP_MOVE] = "Move",         [SG_GROUP_CHANGE] = "Change", [SG_GROUP_ROWS] = "Rows",
        [SG_GROUP_ASK] = "Ask",           [SG_GROUP_GO] = "Go",         [SG_GROUP_FILE] = "Files",
        [SG_GROUP_TYPE] = "While typing",
    };
    return words[group];
}

/* ---- keys ---- */

/* Reads the next key of a list of names; false at its end. */
static bool next_key(const char **keys, int32_t *stroke, int32_t *second)
{
    const char *at = *keys + strspn(*keys, " ");
    size_t length = strcspn(at, " ");
    *keys = at + length;
    *stroke = *second = 0;
    if (length > 0)
        *stroke = sg_stroke_find(at, length, second);
    return length > 0;
}

const struct sg_action *sg_action_find(int32_t stroke, int32_t second, unsigned where, bool *first)
{
    if (first)
        *first = false;
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        const char *keys = action->keys;
        int32_t one, two;
        while ((action->where & where) && next_key(&keys, &one, &two)) {
            if (one == stroke && two == second)
                return action;
            if (first && one == stroke && two != 0 && second == 0)
                *first = true;
        }
    }
    return NULL;
}

const struct sg_action *sg_action_named(const char *name)
{
    for (const struct sg_action *action = sg_actions; action->name; action++)
        if (strcmp(action->name, name) == 0)
            return action;
    return NULL;
}

const char *sg_action_second(const struct sg_action *action, char first, unsigned where)
{
    if (action->keys[0] != first || action->keys[1] <= ' ' || !(action->where & where))
        return NULL;
    return strncmp(action->name, "go-", 3) == 0 ? action->name + 3 : action->name;
}

int sg_action_key(const struct sg_action *action, char *out, int size)
{
    int length = (int)strcspn(action->keys, " ");
    length = length < size ? length : size - 1;
    memcpy(out, action->keys, (size_t)length);
    out[length] = '\0';
    return length;
}
