#include "sandglass/rules.h"

#include "sandglass/cost.h"

#include "sandglass/outline.h"

#include <stdio.h>
#include <string.h>

/* Room for what fits only up to rounding, as 96 in typed in mm. */
#define SLACK (1 + 1e-9)

static const char *show(const struct sg_shop *shop, enum sg_dimension dimension, double value, char *out,
                        size_t size)
{
    const struct sg_unit *unit = sg_unit_of_shop(dimension, shop->units);
    int length = sg_number_format(value, unit, 3, out, size);
    snprintf(out + length, size - (size_t)length, " %s", unit->name);
    return out;
}

#define SHOW(dimension, value) show(shop, dimension, value, (char[64]){0}, 64)

static enum sg_status check_stock(const struct sg_stock *stock, const struct sg_shop *shop,
                                  struct sg_error *error)
{
    const struct sg_machine *m = &shop->machine;
    double height = stock->thickness * stock->stack;
    double narrow = fmin(stock->sheet_length, stock->sheet_width);
    if (height > m->z_travel * SLACK)
        return sg_fail(error, SG_BAD_DATA,
                       "thickness times stack is %s, the head lifts over z_travel %s: type less of either",
                       SHOW(SG_DIM_LENGTH, height), SHOW(SG_DIM_LENGTH, m->z_travel));
    if (sg_known(stock->sheet_length) && sg_known(stock->sheet_width)) {
        if (narrow > m->table_width * SLACK)
            return sg_fail(
                error, SG_BAD_DATA,
                "the sheet's narrow side of %s does not fit across the table_width of %s: type a smaller "
                "sheet_length or sheet_width",
                SHOW(SG_DIM_LENGTH, narrow), SHOW(SG_DIM_LENGTH, m->table_width));
        if (2 * stock->margin >= narrow)
            return sg_fail(error, SG_BAD_DATA,
                           "a margin of %s on both sides leaves nothing of a sheet %s wide",
                           SHOW(SG_DIM_LENGTH, stock->margin), SHOW(SG_DIM_LENGTH, narrow));
    }
    return SG_OK;
}

static enum sg_status check_jet_words(const struct sg_machine *m, struct sg_error *error)
{
    if ((*m->jet_on == '\0') == (*m->jet_off == '\0'))
        return SG_OK;
    return sg_fail(error, SG_BAD_DATA, "jet_on and jet_off go together: type both, or none of them");
}

static enum sg_status check_machine(const struct sg_machine *m, const struct sg_shop *shop,
                                    struct sg_error *error)
{
    if (m->low_line >= m->hopper)
        return sg_fail(error, SG_BAD_DATA, "low_line of %s is not below the hopper's %s",
                       SHOW(SG_DIM_MASS, m->low_line), SHOW(SG_DIM_MASS, m->hopper));
    if (m->hopper_level > m->hopper * SLACK)
        return sg_fail(error, SG_BAD_DATA, "hopper_level of %s is more than the hopper's %s",
                       SHOW(SG_DIM_MASS, m->hopper_level), SHOW(SG_DIM_MASS, m->hopper));
    return check_jet_words(m, error);
}

static enum sg_status check_head(const struct sg_head *head, const struct sg_shop *shop,
                                 struct sg_error *error)
{
    if (head->low_pressure > head->pressure * SLACK)
        return sg_fail(error, SG_BAD_DATA, "low_pressure of %s is above the pressure of %s",
                       SHOW(SG_DIM_PRESSURE, head->low_pressure), SHOW(SG_DIM_PRESSURE, head->pressure));
    if (head->kind != SG_HEAD_ABRASIVE)
        return SG_OK;
    if (!sg_known(head->tube) || !sg_known(head->garnet))
        return sg_fail(error, SG_BAD_DATA,
                       "an abrasive head needs a tube and a garnet feed; without them its kind is "
                       "water");
    if (head->tube <= head->orifice)
        return sg_fail(error, SG_BAD_DATA,
                       "a tube of %s is not wider than the orifice of %s; 3 to 3.5 times is usual",
                       SHOW(SG_DIM_LENGTH, head->tube), SHOW(SG_DIM_LENGTH, head->orifice));
    return SG_OK;
}

int32_t sg_shift_length(const struct sg_shift *shift)
{
    int32_t length = shift->end - shift->start;
    return length > 0 ? length : length + SG_DAY_S;
}

bool sg_break_in_shift(const struct sg_shift *shift, const struct sg_span *span, int32_t *from, int32_t *to)
{
    int32_t length = sg_shift_length(shift), start = span->from_s - shift->start;
    if (start < 0)
        start += SG_DAY_S; /* past midnight */
    *from = start;
    *to = start + span->to_s - span->from_s;
    return *from >= 0 && *to <= length;
}

static enum sg_status check_shift(const struct sg_shift *shift, struct sg_error *error)
{
    int32_t last = -1;
    for (int i = 0; i < shift->n_breaks; i++) {
        char text[64], start[16], end[16];
        int32_t from, to;
        sg_spans_format(&shift->breaks[i], 1, text, sizeof text);
        sg_time_format(shift->start, start, sizeof start);
        sg_time_format(shift->end, end, sizeof end);
        if (!sg_break_in_shift(shift, &shift->breaks[i], &from, &to))
            return sg_fail(error, SG_BAD_DATA, "the break %s does not lie inside the shift, %s to %s", text,
                           start, end);
        if (from <= last)
            return sg_fail(
                error, SG_BAD_DATA,
                "the break %s touches the one before it or is out of order: list breaks in order, apart",
                text);
        last = to;
    }
    return SG_OK;
}

static double size_or_unknown(double size)
{
    return size > 0 ? size : (double)NAN;
}

void sg_part_measure(struct sg_part *part, const struct sg_shop *shop)
{
    if (part->outline == SG_UNKNOWN)
        return;
    const struct sg_outline *outline = shop->drawn[part->outline].outline;
    part->cut_length = outline->cut_length;
    part->pierces = outline->pierces;
    part->length = size_or_unknown(outline->box[2] - outline->box[0]);
    part->width = size_or_unknown(outline->box[3] - outline->box[1]);
    part->area = size_or_unknown(outline->area);
}

bool sg_part_is_measured(const struct sg_field *field)
{
    static const char *const names[] = {"cut_length", "pierces", "length", "width", "area"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (field->kind == SG_KIND_PART && strcmp(field->name, names[i]) == 0)
            return true;
    return false;
}

/* What an outline measures is not typed. */
static enum sg_status check_part(const struct sg_part *part, const struct sg_shop *shop,
                                 struct sg_error *error)
{
    struct sg_part measured = *part;
    struct sg_value typed, right;
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    if (part->outline == SG_UNKNOWN)
        return SG_OK;
    sg_part_measure(&measured, shop);
    for (int i = 0; i < count; i++) {
        sg_field_get(&fields[i], part, &typed);
        sg_field_get(&fields[i], &measured, &right);
        if (!sg_field_same(&fields[i], &typed, &right))
            return sg_fail(error, SG_BAD_DATA,
                           "%s is measured from the outline %.80s: outline=none lets it be typed",
                           fields[i].name, shop->drawn[part->outline].name);
    }
    return SG_OK;
}

/* Hours and days are not mistaken for each other. */
static enum sg_status check_chore(const struct sg_chore *chore, struct sg_error *error)
{
    bool days = chore->counts == SG_COUNTS_CALENDAR;
    if (days && sg_known(chore->every))
        return sg_fail(error, SG_BAD_DATA,
                       "every is hours, and the calendar counts days: set every_days, and every=none");
    if (!days && chore->every_days != SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA,
                       "every_days goes with counts=calendar; where hours are counted set every, and "
                       "every_days=none");
    return SG_OK;
}

enum sg_status sg_rules_check(enum sg_kind kind, const void *record, const struct sg_shop *shop,
                              struct sg_error *error)
{
    switch (kind) {
    case SG_KIND_STOCK:
        return check_stock(record, shop, error);
    case SG_KIND_PART:
        return check_part(record, shop, error);
    case SG_KIND_MACHINE:
        return check_machine(record, shop, error);
    case SG_KIND_HEAD:
        return check_head(record, shop, error);
    case SG_KIND_SHIFT:
        return check_shift(record, error);
    case SG_KIND_CHORE:
        return check_chore(record, error);
    case SG_KIND_RATES:
        return sg_rates_check(record, error);
    default:
        return SG_OK;
    }
}
