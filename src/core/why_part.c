/* Why a part takes the time, garnet and mass that it takes. */
#include "why_inside.h"

#include "sandglass/basis.h"

/* One cut of a part, as the planner has it. */
struct one_cut {
    double cut, pierce, rapid_length, rapid;
};

static double rapid_length(const struct sg_part *part)
{
    if (sg_known(part->rapid_length))
        return part->rapid_length;
    bool boxed = sg_known(part->length) && sg_known(part->width);
    return boxed ? part->pierces * (part->length + part->width) / 2 : 0;
}

static struct one_cut one_cut_of(const struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_part *part = at->part;
    const struct sg_machine *machine = &w->shop->machine;
    int32_t heads = at->head->heads;
    struct one_cut one = {.rapid_length = rapid_length(part)};
    if (part->outline != SG_UNKNOWN)
        one.cut = sg_split_cut(&at->planned_part->split) / heads;
    else if (part->cut_length != 0)
        one.cut = part->cut_length / at->planned_part->traverse * 60 / heads;
    if (part->pierces != 0)
        one.pierce = part->pierces * at->planned_part->pierce_each / heads;
    one.rapid = one.rapid_length / machine->rapid * 60 + part->pierces * machine->z_lift;
    return one;
}

int sg_why_traverse_basis(const struct sg_why_place *at)
{
    return sg_known(at->part->feed) ? SG_BASIS_TYPED : (int)at->setup->traverse_basis;
}

/* Slowing at corners is an estimate of ours. */
int sg_why_cut_basis(const struct sg_why_place *at)
{
    int basis = sg_why_traverse_basis(at);
    bool slowed = at->part->outline != SG_UNKNOWN && at->planned_part->split.corner > 0;
    return slowed ? (int)sg_basis_weaker((enum sg_basis)basis, SG_BASIS_ESTIMATE) : basis;
}

static int pierce_basis(const struct sg_why_place *at)
{
    return sg_known(at->part->pierce_seconds) ? SG_BASIS_TYPED : (int)at->setup->pierce_basis;
}

int sg_why_part_basis(const struct sg_why_place *at, bool cut, bool pierce)
{
    int basis = cut ? sg_why_cut_basis(at) : SG_BASIS_TYPED;
    if (pierce && at->part->pierces > 0)
        basis = (int)sg_basis_weaker((enum sg_basis)basis, (enum sg_basis)pierce_basis(at));
    return basis;
}

struct sg_why_line *sg_why_part_field(struct sg_why_build *w, const struct sg_why_place *at,
                                      const char *field)
{
    return sg_why_field(w, at->of_part, field, NULL, NULL);
}

/* ---- one cut ---- */

void sg_why_part_traverse(struct sg_why_build *w, const struct sg_why_place *at)
{
    double traverse = at->planned_part->traverse;
    if (!(traverse > 0)) {
        sg_why_traverse(w, at);
        return;
    }
    struct sg_why_line *line = sg_why_number(w, "traverse", NULL, SG_DIM_FEED, traverse);
    line->basis = sg_why_traverse_basis(at);
    sg_why_more(line, at->of_part, "traverse");
}

static void cut_of_one(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (at->part->outline != SG_UNKNOWN && at->planned_part->traverse > 0) {
        sg_why_outline_cut(w, at);
        return;
    }
    struct sg_why_line *line = sg_why_number(w, "cut of one", NULL, SG_DIM_DURATION, one_cut_of(w, at).cut);
    if (at->part->cut_length == 0) {
        line->note = "nothing is cut";
        w->depth++;
        sg_why_part_field(w, at, "cut_length");
        w->depth--;
        return;
    }
    sg_why_formula(line, "cut length / traverse x 60 / heads", true, sg_why_traverse_basis(at), NULL);
    w->depth++;
    sg_why_part_field(w, at, "cut_length");
    sg_why_part_traverse(w, at);
    sg_why_field(w, at->of_head, "heads", NULL, NULL);
    w->depth--;
}

static void pierce_of_one(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "pierce of one", NULL, SG_DIM_DURATION, one_cut_of(w, at).pierce);
    bool none = at->part->pierces == 0;
    if (none)
        line->note = "it starts at an edge";
    else
        sg_why_formula(line, "pierces x one pierce / heads", false, pierce_basis(at), NULL);
    w->depth++;
    sg_why_part_field(w, at, "pierces");
    if (!none) {
        sg_why_pierce(w, at);
        sg_why_field(w, at->of_head, "heads", NULL, NULL);
    }
    w->depth--;
}

static void rapid_length_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (sg_known(at->part->rapid_length)) {
        sg_why_part_field(w, at, "rapid_length");
        return;
    }
    struct sg_why_line *line =
        sg_why_number(w, "rapid length", NULL, SG_DIM_LENGTH, one_cut_of(w, at).rapid_length);
    if (!sg_known(at->part->length) || !sg_known(at->part->width)) {
        line->note = "0, because neither it nor both length and width are typed";
        return;
    }
    sg_why_formula(line, "pierces x (length + width) / 2", false, SG_BASIS_PRACTICE, NULL);
    line->note = "none is typed";
    w->depth++;
    sg_why_part_field(w, at, "pierces");
    sg_why_part_field(w, at, "length");
    sg_why_part_field(w, at, "width");
    w->depth--;
}

static void rapid_of_one(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (at->part->outline != SG_UNKNOWN) {
        sg_why_outline_rapid(w, at);
        return;
    }
    struct sg_why_line *line =
        sg_why_number(w, "rapid of one", NULL, SG_DIM_DURATION, one_cut_of(w, at).rapid);
    sg_why_formula(line, "rapid length / rapid x 60 + pierces x z lift", true, SG_BASIS_DERIVED, NULL);
    w->depth++;
    rapid_length_line(w, at);
    sg_why_field(w, at->machine, "rapid", NULL, NULL);
    sg_why_part_field(w, at, "pierces");
    sg_why_field(w, at->machine, "z_lift", NULL, NULL);
    w->depth--;
}

/* ---- the numbers of a part ---- */

void sg_why_each(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "seconds of one piece", NULL, SG_DIM_DURATION, at->planned_part->each);
    sg_why_formula(line, "(cut of one + pierce of one + rapid of one) / stack", false,
                   (int)at->planned_part->basis, NULL);
    if (!sg_known(line->value) && at->planned_part->traverse == 0)
        line->note = "never: the head has no speed in this material";
    else if (!sg_known(line->value))
        line->note = "the time cannot be worked out";
    else if (at->stock->stack > 1)
        line->note = "one cut gives as many pieces as sheets lie on one another";
    w->depth++;
    cut_of_one(w, at);
    pierce_of_one(w, at);
    rapid_of_one(w, at);
    sg_why_field(w, at->of_stock, "stack", NULL, NULL);
    w->depth--;
}

void sg_why_cuts(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_whole(w, "cuts", at->planned_part->cuts);
    bool none = at->part->quantity == 0;
    sg_why_formula(line, none ? "quantity" : "ceil((quantity + scrap) / stack)", false, SG_BASIS_DERIVED,
                   NULL);
    w->depth++;
    sg_why_part_field(w, at, "quantity");
    if (!none)
        sg_why_part_field(w, at, "scrap");
    sg_why_field(w, at->of_stock, "stack", NULL, NULL);
    w->depth--;
}

/* A number of the whole quantity: cuts x one. */
static void whole_quantity(struct sg_why_build *w, const struct sg_why_place *at, const char *name,
                           enum sg_dimension dimension, double value, const char *formula, int basis,
                           void (*one)(struct sg_why_build *w, const struct sg_why_place *at))
{
    struct sg_why_line *line = sg_why_number(w, name, NULL, dimension, value);
    if (at->planned_part->cuts == 0) {
        line->note = "the quantity is 0: nothing is cut";
        w->depth++;
        sg_why_part_field(w, at, "quantity");
        w->depth--;
        return;
    }
    sg_why_formula(line, formula, false, basis, NULL);
    w->depth++;
    sg_why_cuts(w, at);
    one(w, at);
    w->depth--;
}

/* Each of a part's times is not known where one of them is not. */
static void add_what_is_unknown(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (sg_known(at->planned_part->each) || at->planned_part->cuts == 0)
        return;
    w->lines[0].formula = NULL;
    w->lines[0].note = "the part's time is not known";
    w->depth++;
    sg_why_each(w, at);
    w->depth--;
}

void sg_why_part_cut(struct sg_why_build *w, const struct sg_why_place *at)
{
    whole_quantity(w, at, "cut", SG_DIM_DURATION, at->planned_part->cut, "cuts x cut of one",
                   sg_why_cut_basis(at), cut_of_one);
    add_what_is_unknown(w, at);
}

void sg_why_part_pierce(struct sg_why_build *w, const struct sg_why_place *at)
{
    whole_quantity(w, at, "pierce", SG_DIM_DURATION, at->planned_part->pierce, "cuts x pierce of one",
                   pierce_basis(at), pierce_of_one);
    add_what_is_unknown(w, at);
}

void sg_why_part_rapid(struct sg_why_build *w, const struct sg_why_place *at)
{
    whole_quantity(w, at, "rapid", SG_DIM_DURATION, at->planned_part->rapid, "cuts x rapid of one",
                   SG_BASIS_DERIVED, rapid_of_one);
    add_what_is_unknown(w, at);
}

static void garnet_of_one(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct one_cut one = one_cut_of(w, at);
    double kg = at->setup->garnet * at->head->heads / 1000 * ((one.cut + one.pierce) / 60);
    struct sg_why_line *line = sg_why_number(w, "garnet of one cut", NULL, SG_DIM_MASS, kg);
    sg_why_formula(line, "Ma x heads / 1000 x (cut of one + pierce of one) / 60", true,
                   sg_why_part_basis(at, true, true), NULL);
    line->note = "garnet runs while it cuts and pierces";
    w->depth++;
    sg_why_garnet_feed(w, at);
    sg_why_field(w, at->of_head, "heads", NULL, NULL);
    cut_of_one(w, at);
    pierce_of_one(w, at);
    w->depth--;
}

void sg_why_part_garnet(struct sg_why_build *w, const struct sg_why_place *at)
{
    whole_quantity(w, at, "garnet", SG_DIM_MASS, at->planned_part->garnet, "cuts x garnet of one cut",
                   sg_why_part_basis(at, true, true), garnet_of_one);
    add_what_is_unknown(w, at);
}

/* ---- mass ---- */

static void area_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (sg_known(at->part->area)) {
        sg_why_part_field(w, at, "area");
        return;
    }
    struct sg_why_line *line =
        sg_why_number(w, "area", NULL, SG_DIM_AREA, at->part->length * at->part->width);
    sg_why_formula(line, "length x width", false, SG_BASIS_DERIVED, NULL);
    line->note = "none is typed: the box";
    w->depth++;
    sg_why_part_field(w, at, "length");
    sg_why_part_field(w, at, "width");
    w->depth--;
}

void sg_why_part_mass(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "mass", NULL, SG_DIM_MASS, at->planned_part->mass);
    bool none = at->part->quantity == 0;
    if (none)
        line->note = "the quantity is 0";
    else
        sg_why_formula(line, "(quantity + scrap) x area / 1000000 x thickness / 1000 x density", true,
                       SG_BASIS_DERIVED, NULL);
    w->depth++;
    sg_why_part_field(w, at, "quantity");
    if (!none) {
        sg_why_part_field(w, at, "scrap");
        area_line(w, at);
        sg_why_field(w, at->of_stock, "thickness", NULL, NULL);
        sg_why_material(w, at, "density", NULL);
    }
    w->depth--;
}
