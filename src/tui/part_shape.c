#include "tui/part_shape.h"

#include "tui/shape.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PIECES = 16, PIECE = 260, LEAST_ROWS = 2, LEAST_COLUMNS = 4 };
enum { WORDS_COLUMNS = 34, WIDE = 2 * WORDS_COLUMNS };

/* Pieces of words that are never broken. */
struct words {
    char pieces[PIECES][PIECE];
    int n;
};

static int32_t part_of(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (!line || line->target.kind != SG_KIND_PART || line->target.index == SG_UNKNOWN)
        return SG_UNKNOWN;
    return sg_ui_tried(ui, line->target).index;
}

const struct sg_drawn *sg_part_drawn(struct sg_ui *ui)
{
    int32_t index = part_of(ui);
    const struct sg_shop *shop = ui->tried.shop;
    int32_t outline = index == SG_UNKNOWN ? SG_UNKNOWN : shop->parts[index].outline;
    return outline == SG_UNKNOWN ? NULL : &shop->drawn[outline];
}

/* ---- what it measures ---- */

static char *next_piece(struct words *words)
{
    return words->pieces[words->n < PIECES - 1 ? words->n++ : PIECES - 1];
}

static void say_length(const struct sg_shop *shop, const char *what, double mm, char *out)
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, shop->units);
    char figure[60];
    sg_number_short(mm, unit, shop->units == SG_UNITS_US ? 3 : 1, figure, sizeof figure);
    snprintf(out, PIECE, "%s %s %s", what, figure, unit->name);
}

static void say_measures(const struct sg_shop *shop, const struct sg_drawn *drawn, struct words *words)
{
    const struct sg_outline *outline = drawn->outline;
    snprintf(next_piece(words), PIECE, "%s", drawn->name);
    if (outline->open > 0)
        snprintf(next_piece(words), PIECE, "%d pierces, %d open", outline->pierces, outline->open);
    else
        snprintf(next_piece(words), PIECE, "%d pierce%s", outline->pierces, outline->pierces == 1 ? "" : "s");
    say_length(shop, "cut", outline->cut_length, next_piece(words));
    snprintf(next_piece(words), PIECE, "%lld corner%s", (long long)outline->corners,
             outline->corners == 1 ? "" : "s");
    if (sg_known(outline->smallest_radius))
        say_length(shop, "smallest radius", outline->smallest_radius, next_piece(words));
}

/* ---- of what its time is made ---- */

/* Seconds to a tenth, from ten minutes on whole ones. The parts are steps of the sum so far, so that those
 * shown add up to the total shown. */
static void say_step(const char *what, double from, double to, bool tenths, char *out)
{
    double grain = tenths ? 0.1 : 1;
    double step = floor(to / grain + 0.5) - floor(from / grain + 0.5);
    char time[40];
    if (tenths)
        snprintf(time, sizeof time, "%.1f s", step / 10);
    else
        sg_duration_format(step, time, sizeof time);
    snprintf(out, PIECE, "%s %s", what, time);
}

static void say_split(const struct sg_look *look, int32_t index, struct words *words)
{
    const struct sg_part *part = &look->shop->parts[index];
    const struct sg_plan *plan = look->plan;
    if (index < plan->first_part || index >= plan->first_part + plan->n_parts)
        return;
    const struct sg_plan_part *planned = &plan->parts[index - plan->first_part];
    const struct sg_plan_split *split = &planned->split;
    int32_t stack = look->shop->stocks[part->stock].stack;
    int heads = look->shop->heads[plan->stocks[part->stock - plan->first_stock].head].heads;
    const struct {
        const char *what;
        double time;
    } steps[] = {{"straight", split->straight / heads},
                 {"corners", split->corner / heads},
                 {"speeding up", split->acceleration / heads},
                 {"leads", split->lead / heads},
                 {"pierce", part->pierces * planned->pierce_each / heads},
                 {"rapid", split->rapid},
                 {"lift", part->pierces * look->shop->machine.z_lift}};
    double total = planned->each * stack, sum = 0;
    if (!isfinite(total))
        return;
    bool tenths = total < 600;
    say_step(stack > 1 ? "one cut of the stack" : "one piece", 0, total, tenths, next_piece(words));
    strcat(words->pieces[words->n - 1], ":");
    for (size_t i = 0; i < sizeof steps / sizeof *steps; sum += steps[i++].time)
        say_step(steps[i].what, sum, sum + steps[i].time, tenths, next_piece(words));
}

/* ---- words in rows ---- */

/* Pieces with two blanks between, broken into rows; how many those are. NULL: only counted. */
static int put_words(struct sg_canvas *canvas, struct sg_area area, const struct words *words)
{
    int row = 0, at = 0;
    for (int i = 0; i < words->n; i++) {
        int width = sg_text_columns(words->pieces[i]);
        if (at > 0 && at + 2 + width > area.columns) {
            row++;
            at = 0;
        }
        at += at > 0 ? 2 : 0;
        if (canvas && row < area.rows)
            sg_canvas_field(canvas, area.row + row, area.column + at,
                            width < area.columns - at ? width : area.columns - at, false,
                            i == 0 ? SG_ROLE_TEXT : SG_ROLE_RESULT, words->pieces[i]);
        at += width;
    }
    return words->n > 0 ? row + 1 : 0;
}

/* ---- the picture ---- */

/* Below the words, or beside them. */
struct arranged {
    struct sg_area words, picture, cells;
};

static struct arranged arrange(struct sg_area area, bool beside, const struct words *words,
                               const struct sg_outline *outline, const struct sg_shape_how *how)
{
    struct arranged a = {.words = area, .picture = area};
    if (beside) {
        a.words.columns = area.columns >= WIDE ? WORDS_COLUMNS : area.columns / 2 - 1;
        a.picture.columns = area.columns - a.words.columns - 2;
    }
    int rows = put_words(NULL, a.words, words);
    if (!beside) {
        a.picture.row += rows;
        a.picture.rows -= rows;
    }
    bool room = a.picture.rows >= LEAST_ROWS && a.picture.columns >= LEAST_COLUMNS && rows <= area.rows;
    a.cells = sg_shape_cells(a.picture, outline, how);
    if (!room)
        a.cells.rows = a.cells.columns = 0;
    if (beside)
        a.words.column += a.cells.columns + 2;
    return a;
}

void sg_part_shape_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    const struct sg_drawn *drawn = sg_part_drawn(ui);
    struct words words = {.n = 0};
    if (!drawn || area.rows < 1 || area.columns < 1)
        return;
    int32_t index = part_of(ui);
    const struct sg_part *part = &ui->tried.shop->parts[index];
    int32_t stock = part->stock - ui->tried.plan->first_stock;
    bool planned = stock >= 0 && stock < ui->tried.plan->n_stocks;
    double height = planned ? ui->tried.plan->stocks[stock].setup.height : 0;
    struct sg_shape_how how = {.fine = ui->how.wide,
                               .pierces = true,
                               .lead = drawn->program ? 0 : sg_lead(ui->tried.shop->machine.lead, height),
                               .role = SG_ROLE_PIECE};
    say_measures(ui->tried.shop, drawn, &words);
    say_split(&ui->tried, index, &words);
    struct arranged below = arrange(area, false, &words, drawn->outline, &how);
    struct arranged beside = arrange(area, true, &words, drawn->outline, &how);
    bool larger = beside.cells.rows * beside.cells.columns > below.cells.rows * below.cells.columns;
    const struct arranged *a = larger ? &beside : &below;
    put_words(canvas, a->words, &words);
    sg_shape_draw(canvas, a->picture, a->cells, drawn->outline, &how);
}
