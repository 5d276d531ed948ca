#include "support/simulated_shop.h"

#include <math.h>

#define UNKNOWN ((double)NAN)

#define head (sg_fresh_heads[0])

static double between(struct random *r, double low, double high)
{
    return low + (high - low) * random_unit(r);
}

/* Box & Muller 1958. */
static double normal(struct random *r)
{
    double far = sqrt(-2 * log(1 - random_unit(r)));
    return far * cos(6.283185307179586 * random_unit(r));
}

/* Up to `most` off, or just that, either way. */
static double off(struct random *r, double number, double most, bool just)
{
    double up = just ? random_below(r, 2) * 2.0 - 1 : between(r, -1, 1);
    return number * (1 + most * up);
}

void simulated_shop_make(struct simulated_shop *out, uint64_t seed, bool just)
{
    *out = (struct simulated_shop){.random = {seed * 0x9E3779B97F4A7C15u + 1}, .noise = 0.08, .wild = 0.10};
    struct random *r = &out->random;
    for (int i = 0; i < 20; i++) /* neighbouring seeds begin alike */
        random_bits(r);
    out->published = (struct simulated_numbers){87.6, 1.5, 3.0, head.garnet, 1.15};
    out->truth = out->published;
    out->truth.machinability = off(r, 87.6, 0.4, just);
    out->truth.base = off(r, 1.5, 0.4, just);
    out->truth.factor = off(r, 3.0, 0.4, just);
    out->truth.garnet = off(r, head.garnet, 0.4, just);
    out->creep = off(r, 1, 0.01, just) - 1;
}

/* Zeng & Kim's formula at q = 1, in logarithms, mm/min. */
static double parting(const struct simulated_numbers *numbers, double height)
{
    double inner = log(numbers->machinability) + 1.594 * log(head.pressure) + 1.374 * log(head.orifice) +
                   0.343 * log(numbers->garnet) - log(788) - log(12) - 0.618 * log(head.tube);
    return exp(1.15 * inner - numbers->exponent * log(height / 12));
}

double simulated_cut(const struct simulated_numbers *numbers, const struct simulated_job *job)
{
    double slower_for_edge = exp(1.15 * log(job->edge));
    return job->cut_length * slower_for_edge / parting(numbers, job->height) * 60;
}

double simulated_pierce(const struct simulated_numbers *numbers, double height)
{
    return numbers->base + numbers->factor * height * 60 / parting(numbers, height);
}

double simulated_rapid(const struct simulated_job *job)
{
    return job->pierces * (2 + 60.0 / 10160 * 60); /* lift, and 60 mm at 400 in/min */
}

double simulated_seconds(const struct simulated_numbers *numbers, const struct simulated_job *job)
{
    return simulated_cut(numbers, job) + job->pierces * simulated_pierce(numbers, job->height) +
           simulated_rapid(job);
}

struct simulated_numbers simulated_truth(const struct simulated_shop *shop)
{
    struct simulated_numbers now = shop->truth;
    now.garnet *= pow(1 + shop->creep, shop->n_runs);
    return now;
}

struct simulated_job simulated_job(struct simulated_shop *shop, int32_t turn)
{
    static const double heights[] = {6, 12, 20};
    struct simulated_job job = {.height = heights[turn % 3]};
    job.edge = 1 + random_below(&shop->random, 5);
    job.cut_length = between(&shop->random, 2000, 10000);
    double share = between(&shop->random, 0.05, 0.5);
    double seconds = simulated_cut(&shop->published, &job) * share / (1 - share);
    job.pierces = 1 + (int32_t)(seconds / simulated_pierce(&shop->published, job.height));
    return job;
}

/* 1 for a common run. */
static double wildness(struct simulated_shop *shop)
{
    if (random_unit(&shop->random) >= shop->wild)
        return 1;
    shop->n_wild++;
    return random_below(&shop->random, 2) ? 0.5 : between(&shop->random, 2, 4);
}

struct sg_study_run simulated_run(struct simulated_shop *shop, const struct simulated_job *job)
{
    const struct simulated_numbers truth = simulated_truth(shop);
    double seconds = simulated_seconds(&truth, job), rapid = simulated_rapid(job);
    double noise = 1 + shop->noise * normal(&shop->random), wild = wildness(shop);
    double measured = truth.garnet * (1 + shop->noise * normal(&shop->random));
    bool weigh = shop->n_runs++ % 2 == 0;
    struct sg_study_run run = {.material_name = "steel, mild",
                               .heads = 1,
                               .height = job->height,
                               .edge = job->edge,
                               .pressure = head.pressure,
                               .low_pressure = head.low_pressure,
                               .orifice = head.orifice,
                               .tube = head.tube,
                               .garnet = head.garnet,
                               .abrasive_factor = 1,
                               .discharge = head.discharge,
                               .threshold = UNKNOWN,
                               .feed_override = 1,
                               .top_feed = UNKNOWN,
                               .pierce = SG_PIERCE_STILL,
                               .cut_length = job->cut_length,
                               .pierces = job->pierces,
                               .planned_cut = simulated_cut(&shop->published, job),
                               .planned_pierce =
                                   job->pierces * simulated_pierce(&shop->published, job->height),
                               .planned_rapid = rapid,
                               .took = seconds * noise * wild + 120,
                               .stops = 120,
                               .garnet_used = UNKNOWN,
                               .garnet_weighed = UNKNOWN};
    if (weigh)
        run.garnet_weighed = measured;
    else /* what flowed while the jet was really on; a forgotten clock spoils the feed read from it too */
        run.garnet_used = measured / 1000 * (seconds - rapid) / 60;
    return run;
}
