/* A parts list before it is brought in: where its columns go, how they read, what is wrong with its rows. */
#include "tui/screens.h"

#include "tui/import_check.h"
#include "tui/wrapped.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum {
    MOST_TOLD = 1000, /* findings in the list; the others are counted */
    MARGIN = 2,       /* of the lines, for the cursor */
    CELL = 400,
    LINE = 2000,
    KEY = 1200,
    LEAST_HEADER = 14,
    GOES = 15,
    NUMBER = 6,
    STATE = 8,
    ROW_LINE = 1 + SG_CSV_MAX_FIELDS /* line ids: columns first, then rows of the file */
};

/* NULL while the screen is being opened. */
static struct sg_import_check *check_of(struct sg_ui *ui)
{
    return sg_ui_place(ui)->screen == SG_SCREEN_IMPORT ? sg_ui_place(ui)->own : NULL;
}

static void key_of(struct sg_ui *ui, char *out, size_t size)
{
    sg_key_write(ui->kept.shop, sg_ui_place(ui)->about, out, size);
}

/* ---- the first lines ---- */

static void title(struct sg_ui *ui, char *out, size_t size)
{
    char key[KEY];
    struct sg_import_check *check = check_of(ui);
    key_of(ui, key, sizeof key);
    if (check)
        snprintf(out, size, "IMPORT  %s  into %s", check->name, key);
}

static void second(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_import_check *check = check_of(ui);
    if (!check)
        return;
    const struct sg_parts_list *list = &check->list;
    if (list->folder) {
        snprintf(out, size, "a folder, %d file%s that can be cut", list->n_raw, list->n_raw == 1 ? "" : "s");
        return;
    }
    const char *separator = list->separator == '\t'  ? "tab"
                            : list->separator == ';' ? "semicolon"
                            : list->n_header > 1     ? "comma"
                                                     : "one column";
    snprintf(out, size, "%s, %s, %s, %d row%s, header %s", separator, check->decimals, list->encoding,
             list->n_raw, list->n_raw == 1 ? "" : "s",
             sg_parts_list_headless(list) ? "looks like a row" : "yes");
}

/* ---- the columns ---- */

struct widths {
    int header, example;
};

static struct widths widths_of(const struct sg_ui *ui)
{
    int columns = ui->columns - MARGIN - GOES;
    int header = columns * 3 / 10, example = columns / 5;
    return (struct widths){header > LEAST_HEADER ? header : LEAST_HEADER, example > 8 ? example : 8};
}

/* Add a text in just `width` columns and a blank: blanks behind it, or "~" where it is cut. */
static void put_cell(char *out, size_t size, int width, const char *text)
{
    size_t used = strlen(out);
    bool cut = sg_text_columns(text) > width;
    int columns, left = cut ? width - 1 : width;
    while (*text) {
        size_t bytes = sg_text_next(text, &columns);
        if (columns > left || used + bytes >= size)
            break;
        memcpy(out + used, text, bytes);
        used += bytes;
        left -= columns;
        text += bytes;
    }
    snprintf(out + used, size - used, "%s%*s", cut ? "~" : "", left + 1, "");
}

/* Columns under each other, the last as long as it is. */
static void row_of(const struct sg_ui *ui, const char *header, const char *goes, const char *example,
                   const char *reads, char *out, size_t size)
{
    struct widths w = widths_of(ui);
    out[0] = '\0';
    put_cell(out, size, w.header, header);
    put_cell(out, size, GOES, goes);
    put_cell(out, size, w.example, example);
    size_t used = strlen(out);
    snprintf(out + used, size - used, "%s", reads);
}

/* How the example reads, and where its unit is from. */
static void reading_of(struct sg_ui *ui, const struct sg_import_check *check, int column, const char *example,
                       char *out, size_t size)
{
    const struct sg_list_column *what = &check->list.columns[column];
    bool own_unit = false;
    out[0] = '\0';
    if (!what->name)
        snprintf(out, size, "%s", what->told ? "-" : "- not known; Enter sends it");
    else if (strcmp(what->name, "outline") == 0)
        snprintf(out, size, "%s", example);
    else if (example[0]) {
        bool good = sg_parts_list_reads(&check->list, ui->kept.shop, column, example, out, size, &own_unit);
        size_t used = strlen(out);
        bool number =
            what->field && what->field->type == SG_FIELD_NUMBER && what->field->dimension != SG_DIM_NUMBER;
        if (good && number)
            snprintf(out + used, size - used, " (%s)",
                     own_unit                               ? "unit: cell"
                     : what->unit && what->unit_from_header ? "unit: header"
                     : what->unit                           ? "unit: chosen"
                                                            : "unit: shop");
    }
}

static bool add_column(struct sg_ui *ui, const struct sg_import_check *check, int column)
{
    char example[CELL], reads[SG_NEAR_SIZE], words[LINE];
    const struct sg_list_column *what = &check->list.columns[column];
    sg_parts_list_example(&check->list, column, example, sizeof example);
    reading_of(ui, check, column, example, reads, sizeof reads);
    row_of(ui, check->list.header[column], what->name ? what->name : SG_LEFT_OUT, example, reads, words,
           sizeof words);
    if (!sg_line_words(ui, what->name ? SG_ROLE_INPUT : SG_ROLE_LABEL, true, "%s", words))
        return false;
    ui->lines[ui->n_lines - 1].row = 1 + column;
    return true;
}

static void add_columns(struct sg_ui *ui, const struct sg_import_check *check)
{
    char words[LINE];
    row_of(ui, "Column in the file", "goes to", "example", "reads as", words, sizeof words);
    bool good = sg_line_words(ui, SG_ROLE_LABEL, false, "%s", words);
    for (int i = 0; i < check->list.n_header && good; i++)
        good = add_column(ui, check, i);
    sg_line_words(ui, SG_ROLE_TEXT, false, "%s", "");
}

/* ---- what comes of it ---- */

static void add_long(struct sg_ui *ui, enum sg_role role, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void add_long(struct sg_ui *ui, enum sg_role role, const char *format, ...)
{
    char words[LINE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    sg_line_wrapped(ui, role, 0, 0, words);
}

static bool has_goal(const struct sg_parts_list *list, const char *name)
{
    for (int i = 0; i < list->n_header; i++)
        if (list->columns[i].name && strcmp(list->columns[i].name, name) == 0)
            return true;
    return false;
}

/* Why no row can be read yet. */
static void add_unmatched(struct sg_ui *ui, const struct sg_parts_list *list)
{
    if (sg_parts_list_headless(list))
        add_long(ui, SG_ROLE_ODD,
                 "The first row looks like data: a parts list begins with a row of column names.");
    for (int i = 0; i < list->n_header; i++)
        for (int k = 0; k < i; k++)
            if (list->columns[i].name && list->columns[k].name &&
                strcmp(list->columns[i].name, list->columns[k].name) == 0)
                add_long(
                    ui, SG_ROLE_WRONG,
                    "Columns %d \"%.60s\" and %d \"%.60s\" both go to %s: send one elsewhere with Enter.",
                    k + 1, list->header[k], i + 1, list->header[i], list->columns[i].name);
    if (!has_goal(list, "part"))
        add_long(ui, SG_ROLE_WRONG,
                 "No column goes to part yet: stand on the one with the keys of the parts and press Enter.");
}

/* Columns that are missing. */
static void add_lacks(struct sg_ui *ui, const struct sg_parts_list *list)
{
    bool any = false;
    for (int i = 0; i < list->n_findings; i++)
        if (sg_import_is_lack(&list->findings[i])) {
            add_long(ui, SG_ROLE_ODD, "look: %s", list->findings[i].text);
            any = true;
        }
    if (any)
        add_long(ui, SG_ROLE_LABEL, "Stand on a column above and press Enter to say where it goes.");
}

static void add_counts(struct sg_ui *ui, const struct sg_import_check *check)
{
    const struct sg_import_result *would = &check->would;
    sg_line_words(ui, check->list.n_bad ? SG_ROLE_ODD : SG_ROLE_TEXT, false,
                  "%d row%s good, %d wrong, %d to look at", check->n_good, check->n_good == 1 ? "" : "s",
                  check->list.n_bad, check->n_look);
    add_long(ui, SG_ROLE_LABEL,
             "New parts %d, replaced %d, new stocks %d. Parts that exist are %s; r changes that.",
             would->added, would->replaced, would->stocks_made, check->replace ? "replaced" : "refused");
    add_lacks(ui, &check->list);
}

/* The reason goes on in the rows below where it is long. */
static bool add_finding(struct sg_ui *ui, const struct sg_parts_list *list, const struct sg_import_told *told,
                        bool bad)
{
    char number[20], words[LINE] = "";
    int before = NUMBER + STATE + widths_of(ui).header + 3, first = ui->n_lines;
    snprintf(number, sizeof number, "%d", list->raw[told->raw].line);
    put_cell(words, sizeof words, NUMBER, number);
    put_cell(words, sizeof words, STATE, bad ? "left out" : "look");
    put_cell(words, sizeof words, widths_of(ui).header,
             told->column > 0 && told->column <= list->n_header ? list->header[told->column - 1] : "");
    size_t used = strlen(words);
    snprintf(words + used, sizeof words - used, "%s", told->text);
    bool good = sg_line_wrapped(ui, bad ? SG_ROLE_WRONG : SG_ROLE_ODD, 0, before, words);
    for (int i = first; i < ui->n_lines; i++)
        ui->lines[i].row = ROW_LINE + told->raw;
    return good;
}

/* Wrong rows first: they are what has to be mended. */
static void add_findings(struct sg_ui *ui, const struct sg_import_check *check)
{
    struct sg_import_told told;
    int n = 0;
    if (check->n_told > 0)
        sg_line_words(ui, SG_ROLE_LABEL, false, "%-*s %-*s %s", NUMBER, "line", STATE, "row is", "why");
    for (int bad = 1; bad >= 0; bad--) {
        struct sg_import_at at = {0};
        while (n < MOST_TOLD && sg_import_check_next(check, bad, &at, &told) &&
               add_finding(ui, &check->list, &told, bad))
            n++;
    }
    if (n < check->n_told)
        sg_line_words(ui, SG_ROLE_LABEL, true, "and %d more; E writes all wrong rows to a file",
                      check->n_told - n);
}

static void build(struct sg_ui *ui)
{
    const struct sg_import_check *check = check_of(ui);
    if (!check)
        return;
    add_columns(ui, check);
    if (check->list.unmatched) {
        add_unmatched(ui, &check->list);
        return;
    }
    if (check->trouble[0])
        add_long(ui, SG_ROLE_WRONG, "The plan cannot take the list: %s", check->trouble);
    add_counts(ui, check);
    add_findings(ui, check);
}

/* ---- the words below ---- */

static void row_text(const struct sg_parts_list *list, int raw, char *out, size_t size)
{
    size_t used = (size_t)snprintf(out, size, "line %d:", list->raw[raw].line);
    for (int i = 0; i < list->raw[raw].n_cells && used < size; i++)
        used +=
            (size_t)snprintf(out + used, size - used, "%s %s", i > 0 ? " |" : "", list->raw[raw].cells[i]);
}

static void column_text(const struct sg_import_check *check, int column, char *out, size_t size)
{
    const struct sg_list_column *what = &check->list.columns[column];
    if (!what->name)
        snprintf(out, size, "\"%.80s\" is left out. Enter says where it goes.", check->list.header[column]);
    else
        snprintf(out, size, "\"%.80s\" goes to %s%s%s. Enter sends it elsewhere.", check->list.header[column],
                 what->name, what->field ? ": " : "", what->field ? what->field->meaning : "");
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_import_check *check = check_of(ui);
    const struct sg_line *line = sg_ui_line(ui);
    if (!check || !line)
        return;
    if (line->row >= ROW_LINE && line->row - ROW_LINE < check->list.n_raw)
        row_text(&check->list, (int)(line->row - ROW_LINE), out, size);
    else if (line->row > 0 && line->row <= check->list.n_header)
        column_text(check, (int)line->row - 1, out, size);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_import_check *check = check_of(ui);
    if (check)
        snprintf(out, size, "Nothing is in the plan until i brings in %d; u takes all of it out again.",
                 check->n_good);
}

static void leave(struct sg_ui *ui)
{
    sg_import_check_free(sg_ui_place(ui)->own);
}

const struct sg_screen sg_screen_import = {
    .name = "Import",
    .title = title,
    .second = second,
    .build = build,
    .advice = advice,
    .legend = legend,
    .enter = sg_do_import_map,
    .leave = leave,
};
