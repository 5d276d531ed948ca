/* Loads that are cut in part: what lies on them is known, and is not laid out. */
#include "plan_inside.h"

#include <math.h>

/* Index moves of a whole sheet. */
static int32_t moves_of_sheet(const struct sg_machine *machine, const struct sg_stock *stock)
{
    bool across = sg_sheet_lies_across(machine->table_width, stock->sheet_length, stock->sheet_width);
    double length = across ? stock->sheet_width : stock->sheet_length;
    return sg_known(length) ? (int32_t)sg_index_moves(length, machine->table_length) : 0;
}

/* What is left to cut of a line: whole pieces, and before them what is left of one that was begun. */
static void add_line(struct sg_planner *p, const struct sg_begun *line, int32_t moves)
{
    struct sg_batch rest = p->protos[line->part];
    double whole = floor(line->cut + 1e-9), left = 1 - (line->cut - whole);
    bool broken = left < 1 - 1e-9;
    rest.cut *= left;
    rest.pierce *= left;
    rest.rapid *= left;
    rest.garnet *= left;
    int64_t cuts = line->cuts - (int64_t)whole;
    if (broken)
        sg_plan_push_batch(p, &rest, 1, moves);
    if (cuts > broken)
        sg_plan_push_batch(p, &p->protos[line->part], cuts - broken, moves);
}

/* A load that is begun, part after part; the index moves that are left are spread over its lines. One of
 * which all is cut takes no more time. */
static void add_begun(struct sg_planner *p, const struct sg_begun *lines, int32_t n, int32_t moves,
                      const struct sg_sheets *like)
{
    struct sg_sheets one = *like;
    int32_t batches = p->plan.n_batches;
    one.copies = 1;
    if (!sg_plan_push_sheets(p, &one))
        return;
    for (int32_t i = 0; i < n && !p->failed; i++)
        add_line(p, &lines[i], moves * (i + 1) / n);
    if (p->plan.n_batches == batches)
        p->plan.n_sheets--;
}

void sg_plan_begun(struct sg_planner *p, const struct sg_machine *machine, const struct sg_stock *stock,
                   struct sg_sheets *like)
{
    int32_t moves = stock->n_begun > 0 ? moves_of_sheet(machine, stock) : 0;
    for (int32_t i = 0, end; i < stock->n_begun && !p->failed; i = end) {
        double share = stock->begun[i].load == 0 ? stock->begun_share : 1;
        for (end = i; end < stock->n_begun && stock->begun[end].load == stock->begun[i].load; end++)
            ;
        add_begun(p, stock->begun + i, end - i, (int32_t)lround(moves * share), like);
        like->before++;
    }
}
