/* How many sheets a parts list takes. */
#include "cli/cli.h"

#include "exchange/drawing_measure.h"
#include "sandglass/nest.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum {
    MAX_LIST_BYTES = 1 << 29,
    EFFORT = 10000,
    EFFORT_MOST = 10000000,
    MIX_EFFORT = 100 /* steps that another mix of interlocked pieces counts as */
};

struct laying {
    const struct sg_args *args;
    struct sg_shop shop; /* only its units */
    struct sg_parts_list list;
    struct sg_layout_sheet sheet;
    struct sg_layout_input input;
    struct sg_layout_part *parts;
    struct sg_measured *measured;       /* by row; of those with an outline */
    const struct sg_outline **outlines; /* by row; NULL where only its box is known */
    bool drawn;                         /* some have one */
    struct sg_layout layout;
    struct sg_nest_gain gain;
};

/* ---- what is asked ---- */

/* A length, read as that field of a stock. */
static enum sg_status read_length(struct laying *laying, const char *option, const char *field_name,
                                  const char *text, double *mm, struct sg_error *error)
{
    struct sg_typed typed;
    sg_field_read(sg_field_find(SG_KIND_STOCK, field_name), &laying->shop, text, &typed);
    if (typed.state != SG_PARSE_WHOLE || typed.value.none)
        return sg_fail(error, SG_BAD_DATA, "--%s %.60s: %s", option, text,
                       typed.text[0] ? typed.text : "a length is expected");
    if (typed.text[0])
        sg_cli_say(SG_OK, "--%s %.60s: %s", option, text, typed.text);
    *mm = typed.value.number[0];
    return SG_OK;
}

static enum sg_status read_sheet(struct laying *laying, struct sg_error *error)
{
    const char *text = sg_option(laying->args, "sheet");
    if (!text)
        return sg_fail(error, SG_USAGE, "layout needs --sheet LENGTHxWIDTH, such as --sheet 96x48");
    size_t length = strcspn(text, "xX");
    char first[80];
    if (text[length] == '\0' || length >= sizeof first)
        return sg_fail(error, SG_BAD_DATA,
                       "--sheet %.60s: a length and a width with x between them are expected, such as "
                       "96x48 or 2500mm x 1250mm",
                       text);
    memcpy(first, text, length);
    first[length] = '\0';
    enum sg_status status = read_length(laying, "sheet", "sheet_length", first, &laying->sheet.length, error);
    laying->sheet.count = -1;
    return status == SG_OK
               ? read_length(laying, "sheet", "sheet_width", text + length + 1, &laying->sheet.width, error)
               : status;
}

static enum sg_status read_distance(struct laying *laying, const char *name, double *mm,
                                    struct sg_error *error)
{
    const char *text = sg_option(laying->args, name);
    return text ? read_length(laying, name, name, text, mm, error) : SG_OK;
}

static enum sg_status read_effort(struct laying *laying, struct sg_error *error)
{
    const char *text = sg_option(laying->args, "effort");
    char *end;
    laying->input.effort = EFFORT;
    if (!text)
        return SG_OK;
    long value = strtol(text, &end, 10);
    if (end == text || *end != '\0' || value < 0 || value > EFFORT_MOST)
        return sg_fail(error, SG_USAGE, "--effort is a whole number from 0 to %d, not \"%.40s\"", EFFORT_MOST,
                       text);
    laying->input.effort = (int32_t)value;
    return SG_OK;
}

/* ---- the list ---- */

/* What the layout does not depend on is left out unread, so that it cannot be wrong: "" in goes_to. */
static bool leave_out(const struct sg_parts_list *list, const char **goes_to)
{
    static const char *const wanted[] = {"length", "width", "quantity"};
    bool found[2] = {false, false}, drawn = false;
    for (int i = 0; i < list->n_header; i++) {
        const struct sg_list_column *column = &list->columns[i];
        bool outline = column->name && strcmp(column->name, "outline") == 0;
        bool used = !column->name || strcmp(column->name, "part") == 0 || outline;
        drawn = drawn || outline;
        for (int k = 0; k < 3 && column->field; k++)
            if (column->field == sg_field_find(SG_KIND_PART, wanted[k])) {
                used = true;
                if (k < 2)
                    found[k] = true;
            }
        goes_to[i] = used ? NULL : "";
    }
    return drawn || (found[0] && found[1]);
}

static enum sg_status read_rows(struct laying *laying, const char *name, const char *data, size_t length,
                                struct sg_error *error)
{
    const char *goes_to[SG_CSV_MAX_FIELDS];
    struct sg_list_how how = {.encoding = sg_option(laying->args, "encoding"),
                              .map = sg_option(laying->args, "map")};
    enum sg_status status = sg_parts_list_read(name, data, length, &laying->shop, &how, &laying->list, error);
    if (status != SG_OK)
        return status;
    if (!leave_out(&laying->list, goes_to))
        return sg_fail(error, SG_BAD_DATA,
                       "%s: a layout needs the columns part, length and width, or outline; --map "
                       "\"HEADER=length\" says which column is which",
                       name);
    how.goes_to = goes_to;
    how.n_goes_to = laying->list.n_header;
    sg_parts_list_free(&laying->list);
    return sg_parts_list_read(name, data, length, &laying->shop, &how, &laying->list, error);
}

static void put_findings(const struct sg_parts_list *list)
{
    for (int i = 0; i < list->n_findings; i++) {
        const struct sg_list_finding *finding = &list->findings[i];
        struct sg_text line = {0};
        sg_text_format(&line, "%s:%d:%d: %s", list->name, finding->line, finding->column, finding->text);
        sg_cli_line("", line.failed ? finding->text : line.data);
        sg_text_free(&line);
    }
}

static enum sg_status read_list(struct laying *laying, struct sg_error *error)
{
    const char *path = laying->args->words[0], *name = strcmp(path, "-") == 0 ? "standard input" : path;
    char *data;
    size_t length;
    enum sg_status status = sg_file_read(path, MAX_LIST_BYTES, &data, &length, error);
    if (status != SG_OK)
        return status;
    status = read_rows(laying, name, data, length, error);
    free(data);
    if (status != SG_OK)
        return status;
    put_findings(&laying->list);
    if (laying->list.n_bad > 0)
        return sg_fail(error, SG_BAD_DATA, "%d of %d rows are bad: nothing is laid out", laying->list.n_bad,
                       laying->list.n_raw);
    return SG_OK;
}

/* ---- outlines ---- */

/* Beside the list, where it is there; else as it is typed. */
static void find_file(const struct laying *laying, const char *typed, char *out, size_t size)
{
    const char *list = laying->args->words[0], *slash = strrchr(list, '/');
    snprintf(out, size, "%.*s%s", slash && typed[0] != '/' ? (int)(slash - list + 1) : 0, list, typed);
    if (access(out, R_OK) != 0)
        snprintf(out, size, "%s", typed);
}

static void put_remarks(const struct laying *laying, const char *file, const struct sg_measured *measured)
{
    struct sg_remark remark;
    for (int i = 0; sg_measured_remark(measured, i, laying->shop.units == SG_UNITS_US, &remark); i++)
        sg_cli_say(SG_OK, "%.200s: %s", file, remark.text);
}

static enum sg_status measure(struct laying *laying, int row, struct sg_error *error)
{
    char file[4000];
    struct sg_measure_settings settings;
    struct sg_measured *measured = &laying->measured[row];
    const struct sg_list_row *from = &laying->list.rows[row];
    struct sg_part *part = &laying->list.rows[row].part;
    sg_measure_settings(&laying->shop, &settings);
    find_file(laying, from->outline, file, sizeof file);
    struct sg_error why;
    enum sg_status status = sg_measure(file, &settings.how, measured, &why);
    if (status != SG_OK)
        return sg_fail(error, status, "%s:%d: %.400s", laying->list.name, from->line, why.text);
    const double *box = measured->outline.box;
    if (measured->outline.n_contours == 0 || !(box[2] > box[0]) || !(box[3] > box[1]))
        return sg_fail(error, SG_BAD_DATA, "%s:%d: the outline %.200s has nothing that lies on a sheet",
                       laying->list.name, from->line, file);
    put_remarks(laying, file, measured);
    part->length = box[2] - box[0];
    part->width = box[3] - box[1];
    laying->outlines[row] = &measured->outline;
    laying->drawn = true;
    return SG_OK;
}

static enum sg_status take_outlines(struct laying *laying, struct sg_error *error)
{
    size_t n = (size_t)laying->list.n_rows + 1;
    enum sg_status status = SG_OK;
    laying->measured = calloc(n, sizeof *laying->measured);
    laying->outlines = calloc(n, sizeof *laying->outlines);
    if (!laying->measured || !laying->outlines)
        return sg_fail(error, SG_FAULT, "no memory for %d outlines", laying->list.n_rows);
    for (int i = 0; i < laying->list.n_rows && status == SG_OK; i++)
        if (laying->list.rows[i].outline && laying->list.rows[i].part.quantity > 0)
            status = measure(laying, i, error);
    return status;
}

/* ---- parts ---- */

static enum sg_status take_parts(struct laying *laying, struct sg_error *error)
{
    const struct sg_parts_list *list = &laying->list;
    enum sg_status status = take_outlines(laying, error);
    if (status != SG_OK)
        return status;
    laying->parts = calloc((size_t)list->n_rows + 1, sizeof *laying->parts);
    if (!laying->parts)
        return sg_fail(error, SG_FAULT, "no memory for %d parts", list->n_rows);
    laying->input.parts = laying->parts;
    laying->input.n_parts = list->n_rows;
    for (int i = 0; i < list->n_rows; i++) {
        const struct sg_part *part = &list->rows[i].part;
        if (part->quantity > 0 && (!sg_known(part->length) || !sg_known(part->width)))
            return sg_fail(error, SG_BAD_DATA, "%s:%d: part %.60s has no length or no width", list->name,
                           list->rows[i].line, part->id);
        laying->parts[i] = (struct sg_layout_part){part->length, part->width, part->quantity,
                                                   sg_option(laying->args, "no-rotate") == NULL};
        if (part->quantity <= 0) /* it may have no box */
            laying->parts[i] = (struct sg_layout_part){1, 1, 0, false};
    }
    return SG_OK;
}

/* ---- the answer ---- */

static const struct sg_unit *shop_unit(const struct laying *laying)
{
    return sg_unit_of_shop(SG_DIM_LENGTH, laying->shop.units);
}

static void put_size(const struct laying *laying, struct sg_text *out, double length, double width)
{
    char a[64], b[64];
    const struct sg_unit *unit = shop_unit(laying);
    sg_number_short(length, unit, 4, a, sizeof a);
    sg_number_short(width, unit, 4, b, sizeof b);
    sg_text_format(out, "%s x %s %s", a, b, unit->name);
}

static enum sg_status refuse_large(const struct laying *laying, struct sg_error *error)
{
    int32_t i = laying->layout.too_large;
    const struct sg_list_row *row = &laying->list.rows[i];
    struct sg_text box = {0}, sheet = {0};
    put_size(laying, &box, row->part.length, row->part.width);
    put_size(laying, &sheet, laying->sheet.length, laying->sheet.width);
    enum sg_status status =
        sg_fail(error, SG_BAD_DATA, "%s:%d: part %.60s is too large: %s does not lie on a sheet of %s%s%s",
                laying->list.name, row->line, row->part.id, box.failed ? "it" : box.data,
                sheet.failed ? "this size" : sheet.data, laying->input.margin > 0 ? " within its margin" : "",
                laying->parts[i].turn ? ", turned neither" : " without being turned");
    sg_text_free(&box);
    sg_text_free(&sheet);
    return status;
}

static void put_placements(const struct laying *laying, struct sg_json *json)
{
    const struct sg_layout *layout = &laying->layout;
    int64_t sheet = 1;
    sg_json_array(json, "placements");
    for (int32_t i = 0; i < layout->n_used; i++)
        for (int64_t copy = 0; copy < layout->used[i].copies; copy++, sheet++)
            for (int64_t k = 0; k < layout->used[i].n_pieces; k++) {
                const struct sg_placement *at = &layout->placements[layout->used[i].first + k];
                sg_json_object(json, NULL);
                sg_json_whole(json, "sheet", sheet);
                sg_json_text(json, "part", laying->list.rows[at->part].part.id);
                sg_json_number(json, "x_mm", at->x);
                sg_json_number(json, "y_mm", at->y);
                sg_json_yes(json, "rotated", at->turned);
                if (laying->drawn)
                    sg_json_yes(json, "flipped", at->flipped);
                sg_json_end_object(json);
            }
    sg_json_end_array(json);
}

static void put_json(const struct laying *laying, struct sg_text *out)
{
    const struct sg_layout *layout = &laying->layout;
    struct sg_json json;
    int64_t sheet = 1;
    sg_json_start(&json, out);
    sg_json_whole(&json, "sheets", layout->sheets);
    sg_json_whole(&json, "lower_bound", layout->lower_bound);
    sg_json_number(&json, "utilisation", layout->utilisation);
    sg_json_whole(&json, "effort", laying->input.effort);
    if (laying->drawn) {
        sg_json_yes(&json, "interlocked", laying->gain.interlocked);
        sg_json_whole(&json, "sheets_of_boxes", laying->gain.sheets_of_boxes);
    }
    put_placements(laying, &json);
    sg_json_array(&json, "alike");
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        sg_json_object(&json, NULL);
        sg_json_whole(&json, "first_sheet", sheet);
        sg_json_whole(&json, "sheets", used->copies);
        sg_json_whole(&json, "pieces", used->n_pieces);
        sg_json_number(&json, "drop_x_mm", used->drop_x);
        sg_json_number(&json, "drop_y_mm", used->drop_y);
        sg_json_number(&json, "drop_length_mm", used->drop_length);
        sg_json_number(&json, "drop_width_mm", used->drop_width);
        sg_json_end_object(&json);
        sheet += used->copies;
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
}

static const char *plural(int64_t n)
{
    return n == 1 ? "" : "s";
}

static void put_text(const struct laying *laying, struct sg_text *out)
{
    enum { STRIP = 10 }; /* mm: what is narrower is waste */
    const struct sg_layout *layout = &laying->layout;
    int64_t sheet = 1;
    char left[80], at[80];
    sg_text_format(out, "%lld sheet%s of ", (long long)layout->sheets, plural(layout->sheets));
    put_size(laying, out, laying->sheet.length, laying->sheet.width);
    sg_text_format(out, ", at least %lld needed, %.1f %% used\n", (long long)layout->lower_bound,
                   100 * layout->utilisation);
    if (laying->gain.interlocked)
        sg_text_format(out, "outlines lie into each other: boxes alone would take %lld sheet%s\n",
                       (long long)laying->gain.sheets_of_boxes, plural(laying->gain.sheets_of_boxes));
    else if (laying->drawn)
        sg_text_put(out, "laid out as boxes: outlines that lie into each other take no fewer sheets\n");
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        sg_text_format(out, "sheet%s %lld", plural(used->copies), (long long)sheet);
        sheet += used->copies;
        if (used->copies > 1)
            sg_text_format(out, " to %lld", (long long)(sheet - 1));
        sg_text_format(out, ": %lld piece%s%s", (long long)used->n_pieces, plural(used->n_pieces),
                       used->copies > 1 ? " each" : "");
        if (used->drop_length >= STRIP && used->drop_width >= STRIP) {
            sg_left_over_words(used, laying->shop.units, left, at, sizeof left);
            sg_text_format(out, ", the largest rectangle left over %s at %s", left, at);
        }
        sg_text_put(out, "\n");
    }
}

/* ---- */

static bool make(struct laying *laying)
{
    struct sg_nest *memory = NULL;
    struct sg_nest_input shapes = {
        .boxes = laying->input, .outlines = laying->outlines, .effort = laying->input.effort / MIX_EFFORT};
    if (!laying->drawn)
        return sg_layout_make(&laying->input, &laying->layout);
    bool made = sg_nest_make(&shapes, &memory, &laying->layout, &laying->gain);
    sg_nest_free(memory);
    return made;
}

static enum sg_status lay_out(struct laying *laying, struct sg_error *error)
{
    struct sg_layout_input *input = &laying->input;
    enum sg_status status = sg_cli_units(laying->args, &laying->shop.units, error);
    if (status == SG_OK)
        status = read_sheet(laying, error);
    if (status == SG_OK)
        status = read_distance(laying, "gap", &input->gap, error);
    if (status == SG_OK)
        status = read_distance(laying, "margin", &input->margin, error);
    if (status == SG_OK)
        status = read_effort(laying, error);
    if (status == SG_OK)
        status = read_list(laying, error);
    if (status == SG_OK)
        status = take_parts(laying, error);
    if (status != SG_OK)
        return status;
    input->sheets = &laying->sheet;
    input->n_sheets = 1;
    if (!make(laying))
        return sg_fail(error, SG_FAULT, "no memory to lay out %d parts", input->n_parts);
    return laying->layout.too_large < 0 ? SG_OK : refuse_large(laying, error);
}

int sg_run_layout(const struct sg_args *args)
{
    struct laying laying = {.args = args, .shop = {.units = SG_UNITS_US, .machine = sg_fresh_machine}};
    struct sg_error error;
    struct sg_text out = {0};
    int code;
    if (lay_out(&laying, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        (sg_option(args, "json") ? put_json : put_text)(&laying, &out);
        code = sg_cli_put(&out, SG_OK);
    }
    sg_layout_free(&laying.layout);
    for (int i = 0; laying.measured && i < laying.list.n_rows; i++)
        sg_measured_free(&laying.measured[i]);
    free(laying.measured);
    free(laying.outlines);
    sg_parts_list_free(&laying.list);
    free(laying.parts);
    return code;
}
