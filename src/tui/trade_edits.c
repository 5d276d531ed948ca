/* A step of the Trade-offs as edits of the shop. */
#include "tui/trade.h"

#include <stdio.h>
#include <stdlib.h>

struct list {
    const struct sg_trade *trade;
    struct sg_edit *edits;
    int n;
};

static void add(struct list *list, struct sg_target target, const char *field, const char *value)
{
    struct sg_edit *edit = &list->edits[list->n++];
    sg_key_write(list->trade->input.shop, target, edit->key, sizeof edit->key);
    snprintf(edit->assignment, sizeof edit->assignment, "%s=%s", field, value);
}

/* As many digits as the step has; with its unit, so that it means the same in a shop of other units. */
static void add_number(struct list *list, struct sg_target target, const char *field, double value,
                       enum sg_dimension dimension)
{
    char text[60];
    const struct sg_unit *unit = sg_unit_of_shop(dimension, list->trade->input.shop->units);
    snprintf(text, sizeof text, "%.6g%s", (double)sg_from_canonical(value, unit),
             dimension == SG_DIM_NUMBER ? "" : unit->name);
    add(list, target, field, text);
}

/* A wider orifice needs its tube first, a narrower one itself first: the tube is always the wider. */
static void add_bores(struct list *list, struct sg_target target, const struct sg_sweep_step *step)
{
    const struct sg_head *head = &list->trade->input.shop->heads[target.index];
    bool tube = head->kind == SG_HEAD_ABRASIVE, wider = step->value > head->orifice;
    if (tube && wider)
        add_number(list, target, "tube", step->tube, SG_DIM_LENGTH);
    add_number(list, target, "orifice", step->value, SG_DIM_LENGTH);
    if (tube && !wider)
        add_number(list, target, "tube", step->tube, SG_DIM_LENGTH);
}

static void add_head(struct list *list, int32_t index, const struct sg_sweep_step *step)
{
    const struct sg_target target = {SG_KIND_HEAD, index};
    const struct sg_head *head = &list->trade->input.shop->heads[index];
    switch (list->trade->field) {
    case SG_SWEEP_PRESSURE:
        if (head->low_pressure > step->value)
            add_number(list, target, "low_pressure", step->value, SG_DIM_PRESSURE);
        add_number(list, target, "pressure", step->value, SG_DIM_PRESSURE);
        break;
    case SG_SWEEP_GARNET:
        add_number(list, target, "garnet", step->value, SG_DIM_GARNET_FEED);
        break;
    default:
        add_bores(list, target, step);
        break;
    }
}

static void add_stock(struct list *list, int32_t index, const struct sg_sweep_step *step)
{
    const struct sg_target target = {SG_KIND_STOCK, index};
    if (list->trade->field == SG_SWEEP_EDGE)
        add_number(list, target, "edge", step->value, SG_DIM_NUMBER);
    else
        add(list, target, "head", list->trade->input.shop->heads[(int)step->value].name);
}

static bool is_swept(const struct sg_sweep_input *in, int32_t head)
{
    const struct sg_job *job = &in->shop->jobs[in->job];
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++)
        if ((in->stock == SG_UNKNOWN || in->stock == i) &&
            sg_setup_head(in->shop, &in->shop->stocks[i]) == head)
            return in->field != SG_SWEEP_GARNET || in->shop->heads[head].kind == SG_HEAD_ABRASIVE;
    return false;
}

struct sg_edit *sg_trade_edits(const struct sg_trade *trade, const struct sg_sweep_step *step, int *n)
{
    const struct sg_sweep_input *in = &trade->input;
    const struct sg_job *job = &in->shop->jobs[in->job];
    bool of_stocks = in->field == SG_SWEEP_EDGE || in->field == SG_SWEEP_HEAD;
    size_t most = (size_t)job->n_stocks + 2 * (size_t)in->shop->n_heads;
    struct list list = {.trade = trade, .edits = calloc(most, sizeof *list.edits)};
    *n = 0;
    if (!list.edits)
        return NULL;
    for (int32_t i = job->first_stock; of_stocks && i < job->first_stock + job->n_stocks; i++)
        if (in->stock == SG_UNKNOWN || in->stock == i)
            add_stock(&list, i, step);
    for (int32_t i = 0; !of_stocks && i < in->shop->n_heads; i++)
        if (is_swept(in, i))
            add_head(&list, i, step);
    *n = list.n;
    return list.edits;
}
