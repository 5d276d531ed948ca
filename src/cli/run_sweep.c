/* A job along one setting: what it trades, and what bounds it. */
#include "cli/cli.h"
#include "exchange/sweep_render.h"
#include "sandglass/sweep_span.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PIECE = 120 };

struct sweeping {
    const struct sg_args *args;
    const struct sg_shop *shop;
    struct sg_planner *planner;
    struct sg_arena arena;
    struct sg_sweep_input input;
    struct sg_sweep sweep;
    struct sg_bore_pair *pairs;
};

/* ---- what is swept ---- */

static enum sg_status find_target(struct sweeping *s, struct sg_error *error)
{
    struct sg_target target;
    const char *key = s->args->words[0];
    enum sg_status status = sg_key_find(s->shop, key, &target, error);
    if (status != SG_OK)
        return status;
    if (target.kind != SG_KIND_JOB && target.kind != SG_KIND_STOCK)
        return sg_fail(error, SG_BAD_DATA, "a sweep is of a JOB or JOB/STOCK; %.60s is a %s", key,
                       sg_kind_word(target.kind));
    bool stock = target.kind == SG_KIND_STOCK;
    s->input.job = stock ? s->shop->stocks[target.index].job : target.index;
    s->input.stock = stock ? target.index : SG_UNKNOWN;
    return SG_OK;
}

static enum sg_status find_sweep_field(struct sweeping *s, struct sg_error *error)
{
    const char *text = s->args->words[1];
    char word[40];
    snprintf(word, sizeof word, "%.*s", (int)strcspn(text, "="), text);
    int field = sg_sweep_find(word);
    if (field == SG_UNKNOWN)
        return sg_fail(error, SG_USAGE,
                       "there is no sweep along \"%.30s\"; it is pressure, garnet, edge, orifice or head",
                       word);
    s->input.field = (enum sg_sweep_field)field;
    bool values = strchr(text, '=') != NULL;
    if (field == SG_SWEEP_HEAD && values)
        return sg_fail(error, SG_USAGE, "%.60s: head stands alone, every head of the shop is tried", text);
    if (field != SG_SWEEP_HEAD && !values)
        return sg_fail(error, SG_USAGE, "%s needs its range: %s=FROM..TO:STEP", word, word);
    if (sg_option(s->args, "tube-ratio") && field != SG_SWEEP_ORIFICE)
        return sg_fail(error, SG_USAGE, "--tube-ratio goes with orifice=FROM..TO:STEP, not with %s", word);
    return SG_OK;
}

static const struct sg_field *field_of(const struct sweeping *s)
{
    enum sg_kind kind = s->input.field == SG_SWEEP_EDGE ? SG_KIND_STOCK : SG_KIND_HEAD;
    return sg_field_find(kind, sg_sweep_word((int)s->input.field));
}

/* ---- values ---- */

/* The unit behind a value; NULL: it has none. */
static const struct sg_unit *unit_behind(const char *text, size_t length)
{
    size_t from;
    while (length > 0 && text[length - 1] == ' ')
        length--;
    for (from = length; from > 0 && !strchr("0123456789.)", text[from - 1]);)
        from--;
    while (from < length && text[from] == ' ')
        from++;
    return sg_unit_find(text + from, length - from);
}

/* The unit of the bare numbers among values: the last that is typed with one of them, as in 40..60:2ksi;
 * NULL: that of the shop. */
static const struct sg_unit *unit_among(const char *text)
{
    const struct sg_unit *unit = NULL;
    while (*text) {
        size_t range = strstr(text, "..") ? (size_t)(strstr(text, "..") - text) : strlen(text);
        size_t length = strcspn(text, ":,/");
        const struct sg_unit *found;
        /* lb/min: a slash may belong to a unit */
        if (text[length] == '/' && !strchr("0123456789. ", text[length + 1]))
            length += 1 + strcspn(text + length + 1, ":,/");
        length = range < length ? range : length;
        found = unit_behind(text, length);
        unit = found ? found : unit;
        text += length;
        text += strspn(text, ".:,/");
    }
    return unit;
}

static enum sg_status read_value(const struct sweeping *s, const struct sg_field *field, const char *piece,
                                 const struct sg_unit *bare, double *out, struct sg_error *error)
{
    struct sg_typed typed;
    if (bare && bare->dimension == field->dimension)
        sg_field_read_unit(field, s->shop, piece, bare, &typed);
    else
        sg_field_read(field, s->shop, piece, &typed);
    bool empty = piece[strspn(piece, " ")] == '\0' || (typed.state == SG_PARSE_WHOLE && typed.value.none);
    if (typed.state != SG_PARSE_WHOLE || empty)
        return sg_fail(error, SG_BAD_DATA, "%.80s: %s \"%.40s\": %s", s->args->words[1], field->name, piece,
                       empty ? "a value is expected" : typed.text);
    if (typed.text[0] && !typed.odd) /* nothing is kept, so nothing odd is */
        sg_cli_say(SG_OK, "%s %.40s: %s", field->name, piece, typed.text);
    *out = typed.value.number[0];
    return SG_OK;
}

/* A value in a unit as it was typed: the shortest decimal that is the same value. */
static double in_unit(double canonical, const struct sg_unit *unit)
{
    char text[80];
    sg_number_exact(canonical, unit, false, text, sizeof text);
    bool plain = text[strspn(text, "0123456789.-")] == '\0';
    return plain ? strtod(text, NULL) : (double)sg_from_canonical(canonical, unit);
}

/* The range in the unit of its step, so that its values are those that would be typed. */
static void keep_unit(struct sweeping *s, const struct sg_unit *unit)
{
    struct sg_sweep_input *in = &s->input;
    in->unit = unit;
    in->from = in_unit(in->from, unit);
    in->to = in_unit(in->to, unit);
    in->step = in_unit(in->step, unit);
}

/* A step may be smaller than the field itself can be. */
static enum sg_status read_step(struct sweeping *s, const char *piece, const struct sg_unit *bare,
                                struct sg_error *error)
{
    const struct sg_field *field = field_of(s);
    const struct sg_unit *of_field = sg_field_unit(field, s->shop->units);
    struct sg_reading how = {.dimension = field->dimension, .bare = of_field};
    struct sg_parsed parsed;
    if (bare && bare->dimension == field->dimension)
        how.bare = bare;
    else if (!of_field)
        how.bare = sg_unit_canonical(field->dimension);
    sg_number_parse(piece, &how, &parsed);
    if (parsed.state != SG_PARSE_WHOLE)
        return sg_fail(error, SG_BAD_DATA, "%.80s: step \"%.40s\": %s", s->args->words[1], piece,
                       parsed.text[0] ? parsed.text : "a value is expected");
    if (!(parsed.value > 0))
        return sg_fail(error, SG_BAD_DATA, "%.80s: step \"%.40s\": it must be above 0", s->args->words[1],
                       piece);
    s->input.step = parsed.value;
    const struct sg_unit *typed = unit_behind(piece, strlen(piece));
    keep_unit(s, typed && typed->dimension == field->dimension ? typed : how.bare);
    return SG_OK;
}

static enum sg_status bad_form(const struct sweeping *s, struct sg_error *error)
{
    const char *word = sg_sweep_word((int)s->input.field);
    bool orifice = s->input.field == SG_SWEEP_ORIFICE;
    return sg_fail(error, SG_USAGE, "%.80s: type %s=FROM..TO:STEP%s", s->args->words[1], word,
                   orifice ? ", or pairs of orifice and tube as orifice=0.010/0.030,0.013/0.040" : "");
}

static enum sg_status read_range(struct sweeping *s, const char *text, struct sg_error *error)
{
    char from[PIECE], to[PIECE], step[PIECE];
    const char *dots = strstr(text, ".."), *colon = dots ? strrchr(dots, ':') : NULL;
    const struct sg_unit *bare = unit_among(text);
    size_t lengths[] = {colon ? (size_t)(dots - text) : 0, colon ? (size_t)(colon - dots - 2) : 0,
                        colon ? strlen(colon + 1) : 0};
    for (int i = 0; i < 3; i++)
        if (lengths[i] == 0 || lengths[i] >= PIECE)
            return bad_form(s, error);
    snprintf(from, sizeof from, "%.*s", (int)lengths[0], text);
    snprintf(to, sizeof to, "%.*s", (int)lengths[1], dots + 2);
    snprintf(step, sizeof step, "%s", colon + 1);
    enum sg_status status = read_value(s, field_of(s), from, bare, &s->input.from, error);
    if (status == SG_OK)
        status = read_value(s, field_of(s), to, bare, &s->input.to, error);
    if (status == SG_OK)
        status = read_step(s, step, bare, error);
    if (status == SG_OK && s->input.to < s->input.from)
        status = sg_fail(error, SG_BAD_DATA, "%.80s runs downwards: type the lower value first, %s=%s..%s:%s",
                         s->args->words[1], sg_sweep_word((int)s->input.field), to, from, step);
    return status;
}

/* 0.010/0.030 of `length` bytes; an orifice alone where there is no tube. */
static enum sg_status read_pair(struct sweeping *s, const char *text, size_t length,
                                const struct sg_unit *bare, struct sg_error *error)
{
    char piece[PIECE];
    struct sg_bore_pair *pair = &s->pairs[s->input.n_pairs];
    if (length == 0 || length >= sizeof piece)
        return bad_form(s, error);
    snprintf(piece, sizeof piece, "%.*s", (int)length, text);
    char *slash = strchr(piece, '/');
    if (slash)
        *slash = '\0';
    pair->tube = (double)NAN;
    enum sg_status status = read_value(s, field_of(s), piece, bare, &pair->orifice, error);
    if (status == SG_OK && slash)
        status = read_value(s, sg_field_find(SG_KIND_HEAD, "tube"), slash + 1, bare, &pair->tube, error);
    s->input.n_pairs++;
    return status;
}

static enum sg_status read_pairs(struct sweeping *s, const char *text, struct sg_error *error)
{
    const struct sg_unit *bare = unit_among(text);
    size_t n = 1;
    if (sg_option(s->args, "tube-ratio"))
        return sg_fail(error, SG_USAGE,
                       "--tube-ratio goes with orifice=FROM..TO:STEP; pairs name their tubes");
    for (const char *c = text; *c; c++)
        n += *c == ',';
    s->pairs = sg_arena_take(&s->arena, n * sizeof *s->pairs);
    if (!s->pairs)
        return sg_fail(error, SG_FAULT, "no memory for %zu pairs", n);
    s->input.pairs = s->pairs;
    for (const char *at = text;; at++) {
        size_t length = strcspn(at, ",");
        enum sg_status status = read_pair(s, at, length, bare, error);
        at += length;
        if (status != SG_OK || *at == '\0')
            return status;
    }
}

static enum sg_status read_ratio(struct sweeping *s, struct sg_error *error)
{
    const char *text = sg_option(s->args, "tube-ratio");
    const struct sg_reading how = {.dimension = SG_DIM_NUMBER, .bare = sg_unit_canonical(SG_DIM_NUMBER)};
    struct sg_parsed parsed;
    if (!text)
        return SG_OK;
    sg_number_parse(text, &how, &parsed);
    if (parsed.state != SG_PARSE_WHOLE || !(parsed.value > 1))
        return sg_fail(error, SG_BAD_DATA,
                       "--tube-ratio %.40s: tube over orifice is above 1; 3 to 3.5 is usual", text);
    s->input.tube_ratio = parsed.value;
    return SG_OK;
}

static enum sg_status read_values(struct sweeping *s, struct sg_error *error)
{
    enum sg_status status = find_sweep_field(s, error);
    if (status != SG_OK || s->input.field == SG_SWEEP_HEAD)
        return status;
    const char *text = strchr(s->args->words[1], '=') + 1;
    bool pairs = s->input.field == SG_SWEEP_ORIFICE && !strstr(text, "..") && *text;
    status = pairs ? read_pairs(s, text, error) : read_range(s, text, error);
    return status == SG_OK ? read_ratio(s, error) : status;
}

/* ---- the sweep ---- */

/* The same sweep with one step, where the job is now. False: it has no one value now. */
static bool make_now(struct sweeping *s, struct sg_sweep_step *out)
{
    struct sg_sweep_input one = s->input;
    struct sg_sweep sweep;
    struct sg_bore_pair pair;
    double value = sg_sweep_now(&s->input, &pair.tube);
    if (!sg_known(value))
        return false;
    if (s->input.field == SG_SWEEP_HEAD) {
        *out = s->sweep.steps[(int)value];
        return true;
    }
    pair.orifice = value;
    one.from = one.to = value;
    one.step = 1;
    one.unit = NULL;
    one.pairs = s->input.field == SG_SWEEP_ORIFICE ? &pair : NULL;
    one.n_pairs = 1;
    if (sg_sweep_make(s->planner, &one, &s->arena, &sweep, NULL) != SG_OK)
        return false;
    *out = sweep.steps[0];
    return true;
}

static enum sg_status make(struct sweeping *s, struct sg_error *error)
{
    s->input = (struct sg_sweep_input){
        .shop = s->shop, .rates = &s->shop->rates, .tube_ratio = (double)NAN, .weighed = (double)NAN};
    enum sg_status status = find_target(s, error);
    if (status == SG_OK)
        status = read_values(s, error);
    if (status != SG_OK)
        return status;
    s->input.weighed = sg_sweep_weighed(s->shop, s->input.job, s->input.stock);
    s->planner = sg_planner_new();
    if (!s->planner)
        return sg_fail(error, SG_FAULT, "no memory to sweep %.60s", s->args->words[0]);
    return sg_sweep_make(s->planner, &s->input, &s->arena, &s->sweep, error);
}

static int put_sweep(struct sweeping *s, enum sg_unit_system units)
{
    struct sg_text out = {0};
    struct sg_sweep_step now;
    struct sg_sweep_view view = {.input = &s->input, .sweep = &s->sweep};
    if (make_now(s, &now))
        view.now = &now;
    if (sg_option(s->args, "json"))
        sg_sweep_json(&out, &view);
    else if (sg_option(s->args, "csv"))
        sg_sweep_csv(&out, &view, units);
    else
        sg_sweep_text(&out, &view);
    return sg_cli_put_chosen(s->args, &out, s->sweep.quickest == SG_UNKNOWN ? SG_NO : SG_OK);
}

static enum sg_status check_options(const struct sg_args *args, enum sg_unit_system *units,
                                    struct sg_error *error)
{
    int forms = (sg_option(args, "json") != NULL) + (sg_option(args, "csv") != NULL) +
                (sg_option(args, "text") != NULL);
    if (forms > 1)
        return sg_fail(error, SG_USAGE, "sweep takes one of --text, --csv and --json");
    return sg_cli_units(args, units, error);
}

int sg_run_sweep(const struct sg_args *args)
{
    struct sg_desk *desk = NULL;
    struct sg_error error;
    enum sg_unit_system units = SG_UNITS_METRIC; /* of CSV, as in the job sheet */
    struct sweeping s = {.args = args};
    enum sg_status status = check_options(args, &units, &error);
    if (status == SG_OK)
        status = sg_cli_open(args, SG_STORE_READ, &desk, &error);
    if (status == SG_OK) {
        if (sg_option(args, "units"))
            sg_desk_units(desk, units);
        s.shop = sg_desk_shop(desk);
        status = make(&s, &error);
    }
    int code = status == SG_OK ? put_sweep(&s, units) : sg_cli_fail(&error);
    sg_planner_free(s.planner);
    sg_arena_free(&s.arena);
    sg_desk_close(desk);
    return code;
}
