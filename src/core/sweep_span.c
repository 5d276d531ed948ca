#include "sandglass/sweep_span.h"

#include "sandglass/jet.h"

#include <math.h>

/* Whether the sweep changes a stock. */
static bool is_changed(const struct sg_sweep_input *in, int32_t stock)
{
    bool of_garnet = in->field == SG_SWEEP_GARNET;
    if (in->stock != SG_UNKNOWN && in->stock != stock)
        return false;
    const struct sg_head *head = &in->shop->heads[sg_setup_head(in->shop, &in->shop->stocks[stock])];
    return !of_garnet || head->kind == SG_HEAD_ABRASIVE;
}

/* The next stock of the job that is changed, from `from` on; SG_UNKNOWN. */
static int32_t next_changed(const struct sg_sweep_input *in, int32_t from)
{
    const struct sg_job *job = &in->shop->jobs[in->job];
    for (int32_t i = from; i < job->first_stock + job->n_stocks; i++)
        if (is_changed(in, i))
            return i;
    return SG_UNKNOWN;
}

double sg_sweep_weighed(const struct sg_shop *shop, int32_t job, int32_t stock)
{
    const struct sg_sweep_input in = {.shop = shop, .job = job, .stock = stock, .field = SG_SWEEP_GARNET};
    double largest = (double)NAN;
    for (int32_t i = 0; i < shop->n_records; i++) {
        const struct sg_record *record = &shop->records[i];
        bool here = record->place[0] == '\0';
        if (record->what != SG_RECORD_WEIGH)
            continue;
        for (int32_t k = next_changed(&in, shop->jobs[job].first_stock); k != SG_UNKNOWN && !here;
             k = next_changed(&in, k + 1))
            here = sg_setup_head(shop, &shop->stocks[k]) == sg_find_head(shop, record->place);
        if (here)
            largest = fmax(largest, record->feed); /* NaN gives way */
    }
    return largest;
}

static double held(const struct sg_sweep_input *in, int32_t stock)
{
    int index = sg_setup_head(in->shop, &in->shop->stocks[stock]);
    const struct sg_head *head = &in->shop->heads[index];
    const double values[SG_SWEEP_FIELDS] = {[SG_SWEEP_PRESSURE] = head->pressure,
                                            [SG_SWEEP_GARNET] = head->garnet,
                                            [SG_SWEEP_EDGE] = in->shop->stocks[stock].edge,
                                            [SG_SWEEP_ORIFICE] = head->orifice,
                                            [SG_SWEEP_HEAD] = index};
    return values[in->field];
}

double sg_sweep_now(const struct sg_sweep_input *in, double *tube)
{
    int32_t first = next_changed(in, in->shop->jobs[in->job].first_stock);
    if (first == SG_UNKNOWN)
        return (double)NAN;
    double value = held(in, first);
    *tube = in->shop->heads[sg_setup_head(in->shop, &in->shop->stocks[first])].tube;
    for (int32_t i = first; i != SG_UNKNOWN; i = next_changed(in, i + 1)) {
        double other = in->shop->heads[sg_setup_head(in->shop, &in->shop->stocks[i])].tube;
        bool same_tube = in->field != SG_SWEEP_ORIFICE || other == *tube || (isnan(other) && isnan(*tube));
        if (held(in, i) != value || !same_tube)
            return (double)NAN;
    }
    return value;
}

static double least_of(const struct sg_sweep_input *in, double most)
{
    const double shares[SG_SWEEP_FIELDS] = {
        [SG_SWEEP_PRESSURE] = 0.5, [SG_SWEEP_GARNET] = 0.25, [SG_SWEEP_ORIFICE] = 0.5};
    return in->field == SG_SWEEP_EDGE ? 1 : most * shares[in->field];
}

static double most_of(const struct sg_sweep_input *in, const struct sg_head *head)
{
    const struct sg_machine *machine = &in->shop->machine;
    double water = sg_jet_flow(head->pressure, head->orifice, head->discharge); /* L/min of one head */
    switch (in->field) {
    case SG_SWEEP_PRESSURE:
        return machine->max_pressure;
    case SG_SWEEP_GARNET:
        return sg_known(in->weighed) ? in->weighed : SG_SWEEP_LOADING / sg_loading_ratio(1, water);
    case SG_SWEEP_EDGE:
        return SG_EDGES;
    case SG_SWEEP_ORIFICE: /* the flow rises with the square of the bore */
        return head->orifice * sqrt(machine->max_flow / (head->heads * water));
    default:
        return in->shop->n_heads - 1;
    }
}

bool sg_sweep_span(const struct sg_sweep_input *in, double *least, double *most)
{
    int32_t first = next_changed(in, in->shop->jobs[in->job].first_stock);
    if (first == SG_UNKNOWN)
        return false;
    double now = held(in, first);
    *most = most_of(in, &in->shop->heads[sg_setup_head(in->shop, &in->shop->stocks[first])]);
    *least = fmin(least_of(in, *most), now);
    *most = fmax(*most, now);
    return true;
}
