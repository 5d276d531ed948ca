/* What is typed into a draft is planned as if it were kept, and nothing else is touched: thousands of edits
 * at random, each compared with a planner without a past. */
#include "edit/drafting.h"
#include "sandglass/rules.h"
#include "support/random.h"

static struct random dice;

/* The kept record of a row, wherever it stands. */
static const void *kept_of(struct sg_target target)
{
    const struct sg_shop *kept = sg_desk_shop(desk);
    int64_t wanted, row;
    memcpy(&wanted, sg_target_record(&mirror.shop, target), sizeof wanted);
    for (int32_t i = 0; i < rows_of(kept, target.kind); i++) {
        const void *record = sg_target_record(kept, (struct sg_target){target.kind, i});
        memcpy(&row, record, sizeof row);
        if (row == wanted)
            return record;
    }
    ck_abort_msg("no kept %s of row %lld", sg_kind_word(target.kind), (long long)wanted);
    return NULL;
}

/* The kept value; what an outline measures goes back with it, and an outline that is there measures. */
static void put_kept(struct sg_target target, const struct sg_field *field)
{
    struct sg_value kept, now;
    void *record = sg_target_record(&mirror.shop, target);
    sg_field_get(field, kept_of(target), &kept);
    sg_field_get(field, record, &now);
    sg_field_put(field, record, &kept);
    if (target.kind != SG_KIND_PART)
        return;
    struct sg_part *part = record;
    const struct sg_part *before = kept_of(target);
    if (field->type == SG_FIELD_OUTLINE && !sg_field_same(field, &kept, &now)) {
        part->cut_length = before->cut_length;
        part->pierces = before->pierces;
        part->length = before->length;
        part->width = before->width;
        part->area = before->area;
    }
    sg_part_measure(part, &mirror.shop);
}

/* What the contract says of typing, done by hand to the mirror: the kept value first, then the value if it
 * is whole and the rules take it. */
static void type_by_hand(struct sg_target target, const struct sg_field *field, const char *text,
                         struct sg_typed *expected)
{
    void *record = sg_target_record(&mirror.shop, target);
    put_kept(target, field);
    sg_field_read(field, &mirror.shop, text, expected);
    if (expected->state == SG_PARSE_WHOLE) {
        struct sg_value value = expected->value;
        if (field->type == SG_FIELD_TEXT && !value.none) {
            size_t length = strlen(value.text);
            while (length > 0 && value.text[length - 1] == ' ')
                length--;
            value.text = sg_arena_text(&mirror.arena, value.text, length);
        }
        sg_field_put(field, record, &value);
        if (field->type == SG_FIELD_OUTLINE)
            sg_part_measure(record, &mirror.shop);
        if (sg_rules_check(target.kind, record, &mirror.shop, &error) != SG_OK) {
            put_kept(target, field);
            expected->state = SG_PARSE_WRONG;
            snprintf(expected->text, sizeof expected->text, "%s", error.text);
        }
    }
    sg_calendar_fill_all(&mirror.shop);
}

struct tally {
    int whole, unfinished, wrong, refused, moves, several, failed, resets, escapes;
};

static struct tally tally;

static void type(struct sg_target target, const struct sg_field *field, const char *text)
{
    struct sg_typed typed, expected, read;
    type_by_hand(target, field, text, &expected);
    sg_draft_type(draft, target, field, text, &typed);
    ck_assert_msg(typed.state == expected.state, "%s=%s is %d, not %d", field->name, text, typed.state,
                  expected.state);
    ck_assert_msg(strcmp(typed.text, expected.text) == 0, "%s=%s: %s | %s", field->name, text, typed.text,
                  expected.text);
    ck_assert_int_eq(typed.odd, expected.odd);
    if (typed.state != SG_PARSE_WHOLE)
        ck_assert_msg(typed.text[0] != '\0', "%s=%s: no word why it is not taken", field->name, text);
    sg_field_read(field, &mirror.shop, text, &read);
    tally.whole += typed.state == SG_PARSE_WHOLE;
    tally.unfinished += typed.state == SG_PARSE_UNFINISHED;
    tally.wrong += typed.state == SG_PARSE_WRONG;
    tally.refused += typed.state == SG_PARSE_WRONG && read.state == SG_PARSE_WHOLE;
}

/* ---- texts as they may be typed ---- */

static const char *pick(const char *const *texts)
{
    unsigned n = 0;
    while (texts[n])
        n++;
    return texts[random_below(&dice, n)];
}

#define PICK(...) pick((const char *const[]){__VA_ARGS__, NULL})

/* A text that reads back as the kept value of a row; "" where it has none that could be typed. */
static void kept_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    struct sg_value value;
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_unit *unit = sg_field_unit(field, shop->units);
    out[0] = '\0';
    sg_field_get(field, kept_of(target), &value);
    if (value.none)
        snprintf(out, size, "%s", field->flags & SG_FIELD_OPTIONAL ? "none" : "");
    else if (field->type == SG_FIELD_NUMBER || field->type == SG_FIELD_EDGE)
        sg_number_exact(value.number[0], unit, field->type == SG_FIELD_NUMBER, out, size);
    else if (field->type == SG_FIELD_NUMBERS)
        for (int i = 0; i < field->count; i++) {
            size_t used = strlen(out);
            out[used] = ' ';
            sg_number_exact(value.number[i], unit, true, out + used + (i > 0), size - used - 1);
            for (char *at = out + used + 1; *at; at++)
                if (*at == ' ')
                    memmove(at, at + 1, strlen(at)); /* 0.1in, so that blanks are only between numbers */
        }
    else
        sg_field_show(field, shop, &value, out, size);
}

static void number_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    struct sg_value value;
    const struct sg_unit *unit = sg_field_unit(field, sg_desk_shop(desk)->units);
    char number[64];
    sg_field_get(field, kept_of(target), &value);
    double now = value.none || value.number[0] == 0 ? 3 * (double)unit->factor : value.number[0];
    sg_number_format(now * (0.4 + 1.6 * random_unit(&dice)), unit, 1 + (int)random_below(&dice, 4), number,
                     sizeof number);
    switch (random_below(&dice, 12)) {
    case 0:
        snprintf(out, size, "=%s*1.1", number);
        return;
    case 1:
        snprintf(out, size, "%s",
                 PICK("", "-", "abc", "1,200", "=12*", "1e999", "-5", "1/", "0", "12 furlongs"));
        return;
    case 2:
        snprintf(out, size, "%s", field->flags & SG_FIELD_OPTIONAL ? "none" : "99999999999");
        return;
    case 3:
        snprintf(out, size, " %s %s ", number, unit->name);
        return;
    default:
        snprintf(out, size, "%s", number);
    }
}

static void whole_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    struct sg_value value;
    sg_field_get(field, kept_of(target), &value);
    unsigned most = value.none || value.whole < 4 ? 6 : (unsigned)value.whole * 2;
    if (random_below(&dice, 10) == 0)
        snprintf(out, size, "%s", PICK("", "x", "1.5", "-3", "=2*", "none", "99999999", "1,200"));
    else if (field->min == 0 && random_below(&dice, 5) == 0)
        snprintf(out, size, "0");
    else
        snprintf(out, size, "%u", random_below(&dice, most));
}

static void word_text(const struct sg_field *field, char *out, size_t size)
{
    int n = 0;
    while (field->words[n])
        n++;
    snprintf(out, size, "%s", field->words[random_below(&dice, (unsigned)n)]);
    if (random_below(&dice, 6) == 0)
        out[random_below(&dice, (unsigned)strlen(out))] = '\0';
    else if (random_below(&dice, 10) == 0)
        snprintf(out, size, "%s", PICK("maybe", "none", "9", "yess"));
}

static void name_text(const struct sg_field *field, char *out, size_t size)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    if (field->type == SG_FIELD_HEAD)
        snprintf(out, size, "%s", PICK("abrasive", "water", "none", "abr", "laser head"));
    else if (random_below(&dice, 8) == 0)
        snprintf(out, size, "%s", PICK("", "st", "cheese", "none", "glass"));
    else
        snprintf(out, size, "%s", shop->materials[random_below(&dice, (unsigned)shop->n_materials)].name);
}

static void make_text(struct sg_target target, const struct sg_field *field, char *out, size_t size)
{
    switch (field->type) {
    case SG_FIELD_NUMBER:
        number_text(target, field, out, size);
        return;
    case SG_FIELD_WHOLE:
        whole_text(target, field, out, size);
        return;
    case SG_FIELD_EDGE:
        snprintf(out, size, "%s",
                 PICK("1", "2", "3", "4", "5", "2.5", "fine", "coa", "none", "6", "medium", "x"));
        return;
    case SG_FIELD_NUMBERS:
        snprintf(out, size, "%s", PICK("1 2 3 4", "0.1 0.2 0.3 0.4 0.5", "2,3,4,5", "0.004in", "1 2 x 4"));
        return;
    case SG_FIELD_CHOICE:
    case SG_FIELD_FLAGS:
        word_text(field, out, size);
        return;
    case SG_FIELD_MATERIAL:
    case SG_FIELD_HEAD:
        name_text(field, out, size);
        return;
    case SG_FIELD_TEXT:
        snprintf(out, size, "%s", PICK("2601/1", "2601/1  ", "J1/1", "none", "a word", "bad \x01", ""));
        return;
    case SG_FIELD_DATE:
        snprintf(out, size, "%s", PICK("2026-12-01", "2026-12-02", "2026-11-30", "2026-13-01", "2026-"));
        return;
    case SG_FIELD_DATES:
        snprintf(out, size, "%s", PICK("none", "2026-12-01", "2026-12-24,2026-12-25", "soon"));
        return;
    case SG_FIELD_TIME:
        snprintf(out, size, "%s", PICK("06:00", "05:30", "07:15", "14:30", "22:00", "02:00", "25:00", "6"));
        return;
    case SG_FIELD_MOMENT:
        snprintf(out, size, "%s", PICK("none", "2026-12-01 11:00", "2026-12-02", "2026-12-01 25:00", ""));
        return;
    case SG_FIELD_SPANS:
        snprintf(out, size, "%s",
                 PICK("none", "09:30-09:45,12:00-12:30", "10:00-10:30", "08:00-08:10,11:00-11:40",
                      "01:00-01:30", "12:00-12:30,12:30-12:40", "09:30-",
                      "07:00-07:05,09:00-09:05,11:00-11:05,13:00-13:30"));
        return;
    case SG_FIELD_SHIFT:
        snprintf(out, size, "A");
        return;
    case SG_FIELD_OUTLINE:
        snprintf(out, size, "%s",
                 PICK("none", "plate.dxf", "plate.nc", " plate.dxf ", "plate", "gone.dxf", ""));
        return;
    case SG_FIELD_SIZES:
        snprintf(out, size, "%s", PICK("none", "24 x 16 x 2; 30 x 20", "10 x 10", "10 x", "10 x 0", ""));
        return;
    case SG_FIELD_PLACES:
        snprintf(out, size, "%s",
                 PICK("none", "4 x 2 at 0 x 10", "1 x 1 at 0 x 0; 1 x 1 at 5 x 0", "4 x 2 at", "7"));
    }
}

static bool is_place(const struct sg_field *field)
{
    return field->kind == SG_KIND_JOB && (!strcmp(field->name, "shift") || !strcmp(field->name, "order"));
}

static void choose(struct sg_target *target, const struct sg_field **field)
{
    static const enum sg_kind kinds[] = {SG_KIND_PART,    SG_KIND_PART,  SG_KIND_PART,  SG_KIND_PART,
                                         SG_KIND_STOCK,   SG_KIND_STOCK, SG_KIND_STOCK, SG_KIND_MACHINE,
                                         SG_KIND_MACHINE, SG_KIND_HEAD,  SG_KIND_SHIFT, SG_KIND_MATERIAL,
                                         SG_KIND_JOB,     SG_KIND_CHORE};
    int n_fields;
    target->kind = kinds[random_below(&dice, sizeof kinds / sizeof *kinds)];
    target->index = (int32_t)random_below(&dice, (unsigned)rows_of(&mirror.shop, target->kind));
    const struct sg_field *fields = sg_fields(target->kind, &n_fields);
    do
        *field = &fields[random_below(&dice, (unsigned)n_fields)];
    while (is_place(*field));
}

/* ---- changes that are set at once ---- */

static void set_place(void)
{
    char order[24], shift[24], key[80];
    const char *assignments[2];
    struct sg_change changes[2];
    struct sg_target target;
    int n = 0;
    int32_t job = (int32_t)random_below(&dice, (unsigned)mirror.shop.n_jobs),
            to = mirror.shop.jobs[job].shift, place = INT32_MAX;
    snprintf(key, sizeof key, "%s", mirror.shop.jobs[job].id);
    if (random_below(&dice, 2) == 0) {
        to = (int32_t)random_below(&dice, 2);
        snprintf(shift, sizeof shift, "shift=%s", mirror.shop.shifts[to].id);
        assignments[n++] = shift;
    }
    if (n == 0 || random_below(&dice, 2) == 0) {
        place = 1 + (int32_t)random_below(&dice, 8);
        snprintf(order, sizeof order, "order=%d", place);
        assignments[n++] = order;
    }
    ck_assert_msg(sg_draft_set(draft, key, assignments, n, changes, &target, &error) == SG_OK, "%s",
                  error.text);
    int32_t at = shop_copy_move(&mirror, job, to, place);
    ck_assert_int_eq(target.kind, SG_KIND_JOB);
    ck_assert_msg(target.index == at, "%s %s: at %d, expected %d", key, assignments[0], target.index, at);
    tally.moves++;
}

/* Several fields of a part, all or none: one time in three the last is not possible. */
static void set_several(void)
{
    char key[300], quantity[32], length[32];
    struct sg_change changes[3];
    struct sg_target target;
    int32_t index = (int32_t)random_below(&dice, (unsigned)mirror.shop.n_parts);
    int32_t pieces = 1 + (int32_t)random_below(&dice, 30), mm = 100 + (int32_t)random_below(&dice, 900);
    bool wrong = random_below(&dice, 3) == 0,
         bad = wrong || mirror.shop.parts[index].outline != SG_UNKNOWN; /* which measures the length */
    sg_key_write(&mirror.shop, (struct sg_target){SG_KIND_PART, index}, key, sizeof key);
    snprintf(quantity, sizeof quantity, "quantity=%d", pieces);
    snprintf(length, sizeof length, "cut_length=%d mm", mm);
    const char *const assignments[] = {quantity, length, wrong ? "pierces=-1" : "edge=fine"};
    enum sg_status status = sg_draft_set(draft, key, assignments, 3, changes, &target, &error);
    ck_assert_int_eq(status, bad ? SG_BAD_DATA : SG_OK);
    if (bad) {
        tally.failed++;
        return;
    }
    ck_assert_int_eq(target.index, index);
    mirror.shop.parts[index].quantity = pieces;
    mirror.shop.parts[index].cut_length = mm;
    mirror.shop.parts[index].edge = 4;
    tally.several++;
}

/* ---- random edits ---- */

static void reset(void)
{
    ck_assert_int_eq(sg_draft_reset(draft, &error), SG_OK);
    shop_copy_take(&mirror, sg_desk_shop(desk));
    tally.resets++;
}

static void escape(struct sg_target target, const struct sg_field *field)
{
    char text[SG_CHANGE_TEXT];
    struct sg_value kept, now;
    kept_text(target, field, text, sizeof text);
    type(target, field, text);
    sg_field_get(field, kept_of(target), &kept);
    sg_field_get(field, sg_target_record(sg_draft_shop(draft), target), &now);
    bool measured = sg_part_is_measured(field) && mirror.shop.parts[target.index].outline != SG_UNKNOWN;
    ck_assert_msg(measured || sg_field_same(field, &kept, &now), "%s=%s is not the kept value", field->name,
                  text);
    tally.escapes++;
}

/* Type, set, escape and drop at random; after each, the plan of a shift is that of the mirror. */
static void edit_at_random(uint64_t seed, int edits)
{
    struct sg_target target = {SG_KIND_MACHINE, 0};
    const struct sg_field *field = sg_field_find(SG_KIND_MACHINE, "bag");
    char text[SG_CHANGE_TEXT], after[600];
    dice.state = seed;
    for (int i = 0; i < edits; i++) {
        unsigned what = random_below(&dice, 100);
        snprintf(after, sizeof after, "edit %d (%s)", i, field->name);
        if (what < 4) {
            reset();
            ck_plans_as(sg_desk_shop(desk), (int32_t)random_below(&dice, 2), "a reset");
        } else if (what < 7) {
            set_place();
        } else if (what < 10) {
            set_several();
        } else if (what < 25) {
            escape(target, field);
        } else {
            if (what < 70)
                choose(&target, &field);
            make_text(target, field, text, sizeof text);
            snprintf(after, sizeof after, "edit %d (%s=%s)", i, field->name, text);
            type(target, field, text);
        }
        ck_plans_as(&mirror.shop, (int32_t)random_below(&dice, 2), after);
        if (i % 50 == 0)
            ck_shop_is_mirror(after);
    }
    ck_shop_is_mirror("the last");
}

/* Every kind of edit came up, often. */
static void ck_tally(int edits)
{
    int least = edits / 200;
    ck_assert_int_gt(tally.whole, edits / 3);
    ck_assert_int_gt(tally.unfinished, least);
    ck_assert_int_gt(tally.wrong, least);
    ck_assert_int_gt(tally.refused, 0);
    ck_assert_int_gt(tally.moves, least);
    ck_assert_int_gt(tally.several, least);
    ck_assert_int_gt(tally.failed, 0);
    ck_assert_int_gt(tally.resets, least);
    ck_assert_int_gt(tally.escapes, edits / 20);
}

enum { ROUNDS = 8, EDITS = 1250 }; /* times two shops: 20,000 edits */

START_TEST(twenty_thousand_edits_plan_like_a_fresh_planner)
{
    edit_at_random(0x1DEA5A9D61A55u + (uint64_t)_i * 0x9E3779B97F4A7C15u, EDITS);
    ck_tally(EDITS);
}
END_TEST

START_TEST(escape_from_any_field_gives_the_kept_plan)
{
    for (int kind = 0; kind < SG_KINDS; kind++) {
        int n_fields;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &n_fields);
        for (int32_t i = 0; i < rows_of(&mirror.shop, (enum sg_kind)kind) && i < 4; i++)
            for (int f = 0; f < n_fields; f++) {
                const struct sg_target target = {(enum sg_kind)kind, i};
                char text[SG_CHANGE_TEXT];
                if (is_place(&fields[f]))
                    continue;
                make_text(target, &fields[f], text, sizeof text);
                type(target, &fields[f], text);
                escape(target, &fields[f]);
                ck_plans_as(sg_desk_shop(desk), 0, fields[f].name);
                const char *field = shop_difference(sg_draft_shop(draft), sg_desk_shop(desk));
                ck_assert_msg(*field == '\0', "after %s: %s", fields[f].name, field);
            }
    }
    ck_assert_int_gt(tally.escapes, 150);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drafts at random");
    TCase *example = on_shop(suite, "example", open_example),
          *lines = on_shop(suite, "500 lines", open_lines);
    tcase_add_loop_test(example, twenty_thousand_edits_plan_like_a_fresh_planner, 0, ROUNDS);
    tcase_add_loop_test(lines, twenty_thousand_edits_plan_like_a_fresh_planner, 0, ROUNDS);
    tcase_add_test(example, escape_from_any_field_gives_the_kept_plan);
    return run(suite);
}
