/* Every number of any shop taken apart: the root is the plan's own, bit for bit, and every formula that is
 * shown gives, from the values that are shown, the value that is shown. */
#include "sandglass/plan.h"
#include "sandglass/rules.h"
#include "support/random_outline.h"
#include "support/shop.h"
#include "support/why_tree.h"

#include <stdio.h>

enum { SHOPS = 30 };

/* ---- what the plan says ---- */

struct planned {
    const struct sg_plan *plan;
    const struct sg_plan_stock *stock;
    const struct sg_plan_part *part;
    const struct sg_plan_job *job;
};

static double count_of(int64_t n)
{
    return n == SG_UNKNOWN ? (double)NAN : (double)n;
}

#define VALUE(name, expression)                                                                              \
    static double name(const struct planned *p)                                                              \
    {                                                                                                        \
        return expression;                                                                                   \
    }
VALUE(traverse, p->stock->setup.traverse)
VALUE(separation, p->stock->setup.separation)
VALUE(pierce, p->stock->setup.pierce)
VALUE(edge_cut, p->stock->setup.edge_cut)
VALUE(kerf, p->stock->setup.kerf)
VALUE(water, p->stock->setup.water)
VALUE(jet_velocity, p->stock->setup.jet_velocity)
VALUE(jet_power, p->stock->setup.jet_power)
VALUE(shaft_power, p->stock->setup.shaft_power)
VALUE(loading_ratio, p->stock->setup.loading_ratio)
VALUE(garnet_feed, p->stock->setup.garnet)
VALUE(stock_sheets, count_of(p->stock->sheets))
VALUE(sheet_mass, p->stock->sheet_mass)
VALUE(slat_load, p->stock->slat_load)
VALUE(load, p->stock->load)
VALUE(index_moves, (double)p->stock->index_moves)
VALUE(each, p->part->each)
VALUE(part_cut, p->part->cut)
VALUE(part_pierce, p->part->pierce)
VALUE(part_rapid, p->part->rapid)
VALUE(part_garnet, p->part->garnet)
VALUE(part_mass, p->part->mass)
VALUE(part_sheets, p->part->sheets)
VALUE(part_traverse, p->part->traverse)
VALUE(starts, p->job->starts)
VALUE(job_ends, p->job->ends)
VALUE(job_cut, p->job->cut)
VALUE(job_pierce, p->job->pierce)
VALUE(job_rapid, p->job->rapid)
VALUE(job_garnet, p->job->garnet)
VALUE(job_sheets, count_of(p->job->sheets))
VALUE(late, p->job->late)
VALUE(ends, p->plan->ends)
VALUE(over, p->plan->over)
VALUE(cut, p->plan->totals.cut)
VALUE(total_pierce, p->plan->totals.pierce)
VALUE(rapid, p->plan->totals.rapid)
VALUE(hands_on, p->plan->totals.hands_on)
VALUE(waiting, p->plan->totals.waiting)
VALUE(garnet, p->plan->totals.garnet)
VALUE(total_water, p->plan->totals.water)
VALUE(energy, p->plan->totals.energy)
VALUE(bags, p->plan->totals.bags)
VALUE(refills, p->plan->totals.refills)
VALUE(next_refill, p->plan->next_refill < 0 ? (double)NAN : p->plan->run.events[p->plan->next_refill].at)
VALUE(sheets, count_of(p->plan->totals.sheets))

static const struct {
    enum sg_kind kind;
    const char *name;
    double (*value)(const struct planned *p);
} numbers[] = {
    {SG_KIND_STOCK, "traverse", traverse},
    {SG_KIND_STOCK, "separation", separation},
    {SG_KIND_STOCK, "pierce", pierce},
    {SG_KIND_STOCK, "edge_cut", edge_cut},
    {SG_KIND_STOCK, "kerf", kerf},
    {SG_KIND_STOCK, "water", water},
    {SG_KIND_STOCK, "jet_velocity", jet_velocity},
    {SG_KIND_STOCK, "jet_power", jet_power},
    {SG_KIND_STOCK, "shaft_power", shaft_power},
    {SG_KIND_STOCK, "loading_ratio", loading_ratio},
    {SG_KIND_STOCK, "garnet_feed", garnet_feed},
    {SG_KIND_STOCK, "sheets", stock_sheets},
    {SG_KIND_STOCK, "sheet_mass", sheet_mass},
    {SG_KIND_STOCK, "slat_load", slat_load},
    {SG_KIND_STOCK, "load", load},
    {SG_KIND_STOCK, "index_moves", index_moves},
    {SG_KIND_PART, "each", each},
    {SG_KIND_PART, "cut", part_cut},
    {SG_KIND_PART, "pierce", part_pierce},
    {SG_KIND_PART, "rapid", part_rapid},
    {SG_KIND_PART, "garnet", part_garnet},
    {SG_KIND_PART, "mass", part_mass},
    {SG_KIND_PART, "sheets", part_sheets},
    {SG_KIND_PART, "traverse", part_traverse},
    {SG_KIND_JOB, "starts", starts},
    {SG_KIND_JOB, "ends", job_ends},
    {SG_KIND_JOB, "cut", job_cut},
    {SG_KIND_JOB, "pierce", job_pierce},
    {SG_KIND_JOB, "rapid", job_rapid},
    {SG_KIND_JOB, "garnet", job_garnet},
    {SG_KIND_JOB, "sheets", job_sheets},
    {SG_KIND_JOB, "late", late},
    {SG_KIND_SHIFT, "ends", ends},
    {SG_KIND_SHIFT, "over", over},
    {SG_KIND_SHIFT, "cut", cut},
    {SG_KIND_SHIFT, "pierce", total_pierce},
    {SG_KIND_SHIFT, "rapid", rapid},
    {SG_KIND_SHIFT, "hands_on", hands_on},
    {SG_KIND_SHIFT, "waiting", waiting},
    {SG_KIND_SHIFT, "garnet", garnet},
    {SG_KIND_SHIFT, "water", total_water},
    {SG_KIND_SHIFT, "energy", energy},
    {SG_KIND_SHIFT, "bags", bags},
    {SG_KIND_SHIFT, "refills", refills},
    {SG_KIND_SHIFT, "next_refill", next_refill},
    {SG_KIND_SHIFT, "sheets", sheets},
};
enum { NUMBERS = sizeof numbers / sizeof *numbers };

START_TEST(the_test_knows_every_number_that_can_be_explained)
{
    for (int kind = 0; kind < SG_KINDS; kind++) {
        const char *name;
        for (int i = 0; (name = sg_why_name((enum sg_kind)kind, i)); i++) {
            bool found = false;
            for (int k = 0; k < NUMBERS; k++)
                found =
                    found || (numbers[k].kind == (enum sg_kind)kind && strcmp(numbers[k].name, name) == 0);
            ck_assert_msg(found, "%s %s", sg_kind_word((enum sg_kind)kind), name);
        }
    }
}
END_TEST

/* ---- one number of one row ---- */

static void check_basis(const struct planned *p, const char *name, const struct sg_why_line *root)
{
    if (p->part && strcmp(name, "each") == 0)
        ck_assert_int_eq(root->basis, (int)p->part->basis);
    else if (p->stock && !p->part && strcmp(name, "traverse") == 0)
        ck_assert_int_eq(root->basis, (int)p->stock->setup.traverse_basis);
    else if (p->stock && !p->part && strcmp(name, "pierce") == 0)
        ck_assert_int_eq(root->basis, (int)p->stock->setup.pierce_basis);
}

static int unknown_roots; /* seen, so that the test of what is not known is one */

static void check_number(const struct sg_shop *shop, struct sg_target target, const struct planned *p,
                         int index)
{
    struct sg_arena arena = {0};
    struct sg_why why;
    struct sg_error error = {.text = ""};
    double expected = numbers[index].value(p);
    enum sg_status status = sg_why(shop, target, numbers[index].name, &arena, &why, &error);
    ck_assert_msg(status == SG_OK, "%s: %s", numbers[index].name, error.text);
    double found = why.lines[0].value;
    ck_assert_msg(sg_known(expected) ? memcmp(&found, &expected, sizeof found) == 0 : !sg_known(found),
                  "shop %u: why %s %s is %.17g, the plan's is %.17g", shop_number, sg_kind_word(target.kind),
                  numbers[index].name, found, expected);
    check_tree(shop, &why);
    check_basis(p, numbers[index].name, &why.lines[0]);
    unknown_roots += !sg_known(found);
    if (!sg_known(found)) /* says why not */
        ck_assert_msg(why.lines[0].note != NULL, "shop %u: %s %s is not known and says nothing", shop_number,
                      sg_kind_word(target.kind), numbers[index].name);
    sg_arena_free(&arena);
}

static void check_row(const struct sg_shop *shop, struct sg_target target, const struct planned *p)
{
    for (int i = 0; i < NUMBERS; i++)
        if (numbers[i].kind == target.kind)
            check_number(shop, target, p, i);
}

/* The seconds of a part with an outline are told as the plan splits them. */
static void check_split(const struct sg_shop *shop, int32_t part, const struct planned *p)
{
    const struct sg_plan_split *split = &p->part->split;
    const struct {
        const char *line;
        double value;
    } told[] = {{"straight", split->straight},        {"corners", split->corner},
                {"speeding up", split->acceleration}, {"leads", split->lead},
                {"lead length", split->lead_length},  {"moves", split->rapid}};
    struct sg_arena arena = {0};
    struct sg_why why;
    struct sg_error error;
    ck_assert_int_eq(sg_why(shop, (struct sg_target){SG_KIND_PART, part}, "each", &arena, &why, &error),
                     SG_OK);
    for (size_t i = 0; i < sizeof told / sizeof *told; i++) {
        int found = 0;
        for (int k = 0; k < why.n_lines; k++)
            found += strcmp(why.lines[k].name, told[i].line) == 0 && why.lines[k].value == told[i].value;
        ck_assert_msg(found == 1, "shop %u: %s of %.17g is told %d times", shop_number, told[i].line,
                      told[i].value, found);
    }
    sg_arena_free(&arena);
}

/* Every number of every row of a shift. */
static void check_shift(const struct sg_shop *shop, int32_t shift)
{
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan;
    struct sg_error error;
    ck_assert_int_eq(sg_plan_shift(planner, shop, shift, &plan, &error), SG_OK);
    check_row(shop, (struct sg_target){SG_KIND_SHIFT, shift}, &(struct planned){.plan = plan});
    for (int32_t i = 0; i < plan->n_jobs; i++)
        check_row(shop, (struct sg_target){SG_KIND_JOB, plan->first_job + i},
                  &(struct planned){.plan = plan, .job = &plan->jobs[i]});
    for (int32_t i = 0; i < plan->n_stocks; i++)
        check_row(shop, (struct sg_target){SG_KIND_STOCK, plan->first_stock + i},
                  &(struct planned){.plan = plan, .stock = &plan->stocks[i]});
    for (int32_t i = 0; i < plan->n_parts; i++) {
        int32_t stock = shop->parts[plan->first_part + i].stock;
        const struct planned planned = {
            .plan = plan, .stock = &plan->stocks[stock - plan->first_stock], .part = &plan->parts[i]};
        check_row(shop, (struct sg_target){SG_KIND_PART, plan->first_part + i}, &planned);
        if (shop->parts[plan->first_part + i].outline != SG_UNKNOWN && plan->parts[i].traverse > 0)
            check_split(shop, plan->first_part + i, &planned);
    }
    sg_planner_free(planner);
}

/* ---- shops at random ---- */

static bool one_in(struct random *r, unsigned n)
{
    return random_below(r, n) == 0;
}

static double between(struct random *r, double low, double high)
{
    return low + (high - low) * random_unit(r);
}

static struct sg_outline drawn[4];

/* Two drawings and two part programs besides the plate that each shop has. */
static void draw_outlines(struct random *r, struct test_shop *t)
{
    static const char *const names[] = {"1.dxf", "2.nc", "3.dxf", "4.nc"};
    for (int i = 0; i < 4; i++) {
        sg_outline_free(&drawn[i]);
        random_outline(r, &drawn[i]);
        test_shop_drawn(t, names[i], &drawn[i], i % 2);
    }
    t->shop.machine.lead = one_in(r, 4) ? 0 : between(r, 0, 1);
    t->shop.machine.acceleration = between(r, 50, 4000);
}

static int outlined; /* parts that were given an outline */

static void make_part(struct random *r, struct test_shop *t, bool gaps)
{
    struct sg_part *part = test_shop_part(t, (int32_t)random_below(r, 60), between(r, 100, 4000),
                                          between(r, 20, 900), between(r, 20, 900));
    part->pierces = (int32_t)random_below(r, 6);
    part->scrap = one_in(r, 3) ? (int32_t)random_below(r, 4) : 0;
    part->edge = one_in(r, 4) ? between(r, 1, 5) : (double)NAN;
    part->feed = one_in(r, 6) ? between(r, 20, 15000) : (double)NAN;
    part->pierce_seconds = one_in(r, 6) ? between(r, 0, 30) : (double)NAN;
    part->rapid_length = one_in(r, 4) ? between(r, 0, 3000) : (double)NAN;
    part->area = one_in(r, 4) ? between(r, 100, 1e5) : (double)NAN;
    if (one_in(r, 8))
        part->cut_length = 0;
    if (gaps && one_in(r, 5))
        part->cut_length = (double)NAN;
    if (gaps && one_in(r, 5))
        part->length = (double)NAN;
    if (one_in(r, 2)) {
        part->outline = (int32_t)random_below(r, (unsigned)t->shop.n_drawn);
        sg_part_measure(part, &t->shop);
        outlined++;
    }
}

static void make_stock(struct random *r, struct test_shop *t, bool gaps)
{
    struct sg_stock *stock = test_shop_stock(t, (int32_t)random_below(r, 5), between(r, 1, 40));
    if (gaps && one_in(r, 5))
        stock->material = SG_UNKNOWN;
    if (gaps && one_in(r, 5))
        stock->thickness = (double)NAN;
    stock->stack = one_in(r, 3) ? 1 + (int32_t)random_below(r, 4) : 1;
    stock->sheet_length = gaps && one_in(r, 4) ? (double)NAN : between(r, 300, 5000);
    stock->sheet_width = between(r, 300, 2500);
    stock->head = one_in(r, 3) ? (int32_t)random_below(r, 3) : SG_UNKNOWN;
    stock->edge = between(r, 1, 5);
    stock->pierce = one_in(r, 2) ? (int32_t)random_below(r, SG_PIERCE_WAYS) : SG_UNKNOWN;
    stock->load = one_in(r, 3) ? between(r, 0, 900) : (double)NAN;
    stock->first_check = one_in(r, 3) ? 0 : between(r, 10, 300);
    stock->gap = between(r, 0, 12);
    stock->margin = between(r, 0, 20);
    stock->feed_override = between(r, 0.5, 1.5);
    stock->feed = one_in(r, 6) ? between(r, 20, 15000) : (double)NAN;
    stock->pierce_seconds = one_in(r, 6) ? between(r, 0, 30) : (double)NAN;
    stock->turn = !one_in(r, 3);
    stock->fill = one_in(r, 5);
    for (int n = (int)random_below(r, one_in(r, 6) ? 14 : 4); n >= 0; n--)
        make_part(r, t, gaps);
}

static void make_surroundings(struct random *r, struct test_shop *t)
{
    static struct sg_chore chores[3];
    struct sg_machine *m = &t->shop.machine;
    t->heads[2] = sg_fresh_heads[0];
    t->heads[2].name = "second";
    t->shop.n_heads = 3;
    t->materials[4] = t->materials[3];
    t->materials[4].name = "felt";
    t->materials[4].threshold = between(r, 10, 400);
    t->shop.n_materials = 5;
    t->shop.units = one_in(r, 2) ? SG_UNITS_US : SG_UNITS_METRIC;
    for (int i = 0; i < 3; i++) {
        struct sg_head *h = &t->heads[i];
        h->pressure = between(r, 150, 400);
        h->low_pressure = between(r, 60, 150);
        h->heads = 1 + (int32_t)random_below(r, 3);
        h->orifice_life = one_in(r, 2) ? (double)NAN : between(r, 3600, 40000);
        if (i == 1)
            continue;
        h->orifice = between(r, 0.2, 0.45);
        h->tube = between(r, 0.7, 1.4);
        h->garnet = between(r, 100, 900);
        h->tube_wear = one_in(r, 2) ? between(r, 0, 0.5) : 0;
        h->tube_hours = between(r, 0, 80 * 3600);
        h->tube_life = one_in(r, 2) ? (double)NAN : between(r, 3600, 40000);
    }
    m->hopper = between(r, 40, 300);
    m->low_line = m->hopper * between(r, 0.05, 0.4);
    m->hopper_level = m->hopper * between(r, 0.2, 1);
    m->bag = one_in(r, 5) ? 0 : between(r, 5, 40);
    m->bags_in_stock = one_in(r, 5) ? (int32_t)random_below(r, 6) : 500;
    m->refill_stops_cutting = !one_in(r, 3);
    m->refill_at = (int32_t)random_below(r, 2);
    m->refill_amount = (int32_t)random_below(r, 2);
    m->refill_when = one_in(r, 12) ? SG_WHEN_LEAST_WAIT : SG_WHEN_LATEST;
    m->table_length = between(r, 800, 3000);
    for (int i = 0; i < SG_PIERCE_WAYS; i++)
        m->pierce_factor[i] = one_in(r, 4) ? 0 : between(r, 0.5, 4);
    for (int i = 0; i < 3; i++)
        chores[i] = (struct sg_chore){.name = "wash",
                                      .when = (int32_t)random_below(r, SG_CHORE_SHIFT_END + 1),
                                      .time = between(r, 1, 300)};
    t->shop.chores = chores;
    t->shop.n_chores = (int32_t)random_below(r, 4);
}

static void make_shifts(struct random *r, struct test_shop *t)
{
    t->shop.n_shifts = 1 + (int32_t)random_below(r, 2);
    for (int32_t i = 0; i < t->shop.n_shifts; i++) {
        struct sg_shift *shift = &t->shifts[i];
        *shift = sg_fresh_shift;
        shift->id = i ? "B" : "A";
        shift->date = 20000 + i;
        shift->calendar = (struct sg_calendar){.epoch = 1.8e9 + i * 30000.0, .close_s = 8 * 3600};
        shift->run_in_breaks = !one_in(r, 3);
        shift->fill_before_breaks = one_in(r, 5);
        shift->closed = one_in(r, 12);
        if (one_in(r, 15)) {
            shift->n_closed_days = 1;
            shift->closed_days[0] = shift->date;
        }
        double at = 0;
        for (int k = (int)random_below(r, 3); k > 0; k--) {
            struct sg_calendar *c = &shift->calendar;
            at += between(r, 600, 9000);
            c->breaks[c->n_breaks].from_s = at;
            at += between(r, 300, 2700);
            c->breaks[c->n_breaks++].to_s = at;
        }
    }
}

static void make_shop(struct random *r, struct test_shop *t)
{
    bool gaps = one_in(r, 3);
    test_shop_make(t);
    make_surroundings(r, t);
    draw_outlines(r, t);
    make_shifts(r, t);
    for (int32_t shift = 0; shift < t->shop.n_shifts; shift++) {
        for (int jobs = (int)random_below(r, 4); jobs > 0; jobs--) {
            struct sg_job *job = test_shop_job(t, shift);
            if (one_in(r, 2))
                job->due_epoch = 1.8e9 + between(r, 0, 60000);
            for (int stocks = (int)random_below(r, 3); stocks > 0; stocks--)
                make_stock(r, t, gaps);
        }
    }
    if (one_in(r, 6) && t->shop.n_stocks > 0 && t->shop.jobs[0].n_stocks > 0)
        t->shifts[0].sheet_on = "A/1";
}

START_TEST(every_number_of_any_shop_is_the_plans_and_can_be_worked_out_again)
{
    struct random r = {.state = 0x9E3779B97F4A7C15u};
    for (shop_number = 0; shop_number < SHOPS; shop_number++) {
        struct test_shop t;
        make_shop(&r, &t);
        for (int32_t shift = 0; shift < t.shop.n_shifts; shift++)
            check_shift(&t.shop, shift);
        test_shop_free(&t);
    }
    ck_assert_int_gt(unknown_roots, 50); /* the shops with gaps are there */
    ck_assert_int_gt(outlined, 60);
    for (int i = 0; i < 4; i++)
        sg_outline_free(&drawn[i]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("why, any shop");
    TCase *tcase = tcase_create("why, any shop");
    tcase_add_test(tcase, the_test_knows_every_number_that_can_be_explained);
    tcase_add_test(tcase, every_number_of_any_shop_is_the_plans_and_can_be_worked_out_again);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
