#include "edit/studies.h"

#include "edit/inside.h"
#include "sandglass/setup.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- fitting ---- */

void sg_studied_free(struct sg_studied *studied)
{
    sg_arena_free(&studied->arena);
    *studied = (struct sg_studied){0};
}

enum sg_status sg_studied_make(struct sg_studied *s, const struct sg_shop *shop, unsigned with,
                               struct sg_error *error)
{
    sg_studied_free(s);
    bool made = sg_actual_make(shop, sg_log_end(shop), &s->arena, &s->actual) &&
                sg_actual_runs(shop, &s->actual, &s->arena, &s->runs, &s->clocks, &s->n_runs, &s->left_out) &&
                sg_study_groups(s->runs, s->n_runs, &s->arena, &s->groups, &s->n_groups) &&
                sg_study_fit(s->runs, s->n_runs, &shop->machine, with, &s->arena, &s->study);
    if (made)
        sg_actual_left_out(shop, &s->actual, s->why);
    return made ? SG_OK : sg_fail(error, SG_FAULT, "no memory for studies of %d clocks", shop->n_clocks);
}

/* Materials whose number is in use as it was fitted here. */
static int count_in_use(const struct sg_studied *s, const struct sg_shop *shop, bool with_exponent)
{
    int n = 0;
    for (int32_t i = 0; i < s->study.n_cutting; i++)
        n += sg_study_has_material(&s->study.cutting[i], with_exponent,
                                   &shop->materials[s->study.cutting[i].material]);
    return n;
}

enum sg_status sg_studied_look(struct sg_studied *s, const struct sg_shop *shop, struct sg_error *error)
{
    static const unsigned withs[] = {0, SG_STUDY_USE_THICKNESS, SG_STUDY_USE_FEED,
                                     SG_STUDY_USE_THICKNESS | SG_STUDY_USE_FEED};
    unsigned best = 0;
    int most = 0;
    enum sg_status status = SG_OK;
    for (size_t i = 0; i < sizeof withs / sizeof *withs && status == SG_OK; i++) {
        status = sg_studied_make(s, shop, withs[i], error);
        int n = status == SG_OK ? count_in_use(s, shop, withs[i] & SG_STUDY_USE_THICKNESS) : 0;
        if (n > most) {
            best = withs[i];
            most = n;
        }
    }
    return status == SG_OK ? sg_studied_make(s, shop, best, error) : status;
}

/* ---- using ---- */

enum { SENTENCE = 120, REASONS = 400, NAME = 300, MIND = 140 /* of the sentence around a list */ };

struct using
{
    const struct sg_shop *shop;
    const struct sg_studied *studied;
    unsigned use;
    int32_t material, today;
    struct sg_arena *arena;
    struct sg_edit *edits;
    int n, room;
    bool failed; /* no memory */
    struct sg_used *used;
    int overrides;         /* stocks that used->mind is about */
    char reasons[REASONS]; /* why the others are not */
};

static struct sg_edit *add_edit(struct using *u, struct sg_target target)
{
    if (u->n == u->room) {
        int room = 2 * u->room + 16;
        struct sg_edit *more = realloc(u->edits, (size_t)room * sizeof *more);
        if (!more) {
            u->failed = true;
            return NULL;
        }
        u->edits = more;
        u->room = room;
    }
    struct sg_edit *edit = &u->edits[u->n++];
    *edit = (struct sg_edit){.before = NULL};
    sg_key_write(u->shop, target, edit->key, sizeof edit->key);
    return edit;
}

#define SET(u, target, ...)                                                                                  \
    do {                                                                                                     \
        struct sg_edit *edit_ = add_edit(u, target);                                                         \
        if (edit_)                                                                                           \
            snprintf(edit_->assignment, sizeof edit_->assignment, __VA_ARGS__);                              \
    } while (0)

/* Add to a list "a; b" as long as it fits. */
static void add_words(char *list, size_t size, const char *what, const char *sentence)
{
    size_t used = strlen(list);
    if (used + 3 < size)
        snprintf(list + used, size - used, "%s%s: %s", used ? "; " : "", what, sentence);
}

/* Whether a number is offered, and not in use already; it is put into the words, or the reasons. now: as it
 * is. */
static bool take(struct using *u, const struct sg_study_number *number, const char *what, double now,
                 bool in_use)
{
    char sentence[SENTENCE], change[NAME + 60], has[SENTENCE + 60];
    sg_study_sentence(number, sentence, sizeof sentence);
    if (number->verdict != SG_STUDY_OFFERED) {
        add_words(u->reasons, sizeof u->reasons, what, sentence);
        return false;
    }
    if (in_use) {
        snprintf(has, sizeof has, "%.4g is in use (%s)", now, sentence);
        add_words(u->reasons, sizeof u->reasons, what, has);
        return false;
    }
    snprintf(change, sizeof change, "%s %.4g -> %.4g", what, now, number->estimate);
    add_words(u->used->words, SG_WORDS_SIZE, change, sentence);
    return true;
}

/* Stocks that are yet to be cut and whose speed was turned up or down: by repeat for what their clocks took,
 * or by hand. The clocks are in the new number too. */
static void mind_overrides(struct using *u, const struct sg_study_cutting *cutting)
{
    const struct sg_shop *shop = u->shop;
    for (int32_t i = 0; i < shop->n_stocks; i++) {
        const struct sg_stock *stock = &shop->stocks[i];
        char key[200], percent[NAME];
        bool closed = shop->shifts[shop->jobs[stock->job].shift].closed;
        if (closed || stock->material != cutting->material || stock->feed_override == 1 ||
            shop->heads[sg_setup_head(shop, stock)].kind != cutting->head_kind)
            continue;
        sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, i}, key, sizeof key);
        snprintf(percent, sizeof percent, "%.4g%%", stock->feed_override * 100);
        add_words(u->used->mind, SG_WORDS_SIZE - MIND, key, percent);
        u->overrides++;
    }
}

/* The list becomes a sentence. */
static void say_overrides(struct using *u)
{
    char list[SG_WORDS_SIZE];
    if (u->overrides == 0)
        return;
    snprintf(list, sizeof list, "%s", u->used->mind);
    snprintf(
        u->used->mind, SG_WORDS_SIZE,
        "feed_override stays on top: %.*s. It was typed, or comes of a repeat: 100%% where it made up for "
        "what the new number says now.",
        SG_WORDS_SIZE - MIND, list);
}

/* The source of a material: of its number that is the shop's, and what was said of its density. */
static void set_source(struct using *u, struct sg_target target, const char *field,
                       const struct sg_study_number *number)
{
    char sentence[SENTENCE], day[24];
    const char *density = strstr(u->shop->materials[target.index].source, "; density:");
    size_t size = 300 + (density ? strlen(density) : 0);
    char *text = sg_arena_take(u->arena, size);
    struct sg_edit *edit = add_edit(u, target);
    if (!text || !edit) {
        u->failed = true;
        return;
    }
    sg_study_sentence(number, sentence, sizeof sentence);
    sg_date_format(u->today, day, sizeof day);
    snprintf(text, size, "source=%s: %s, %s%s", field, sentence, day, density ? density : "");
    edit->longer = text;
}

static void use_cutting(struct using *u, const struct sg_study_cutting *cutting)
{
    const struct sg_target target = {SG_KIND_MATERIAL, cutting->material};
    struct sg_material material = u->shop->materials[cutting->material];
    bool water = cutting->head_kind == SG_HEAD_WATER, bent = false;
    bool in_use = sg_study_has_material(cutting, u->use & SG_STUDY_USE_THICKNESS, &material);
    char what[NAME];
    if (u->use & SG_STUDY_USE_THICKNESS && !water) {
        snprintf(what, sizeof what, "thickness exponent of %.200s", material.name);
        double now = sg_has_exponent(&material) ? material.thickness_exponent : SG_TRAVERSE_EXPONENT;
        bent = take(u, &cutting->exponent, what, now, in_use);
    }
    if (!bent && !(u->use & SG_STUDY_USE_SPEED))
        return;
    const struct sg_study_number *number = bent ? &cutting->speed_at : &cutting->speed;
    const char *field = water ? "cut_energy" : "machinability";
    snprintf(what, sizeof what, "%s of %.200s", water ? "cut energy" : "machinability", material.name);
    double before = water ? material.cut_energy : material.machinability;
    if (!take(u, number, what, before, in_use) || !sg_study_apply_material(cutting, bent, &material))
        return;
    mind_overrides(u, cutting);
    SET(u, target, "%s=%.17g", field, water ? material.cut_energy : material.machinability);
    if (!water && bent)
        SET(u, target, "thickness_exponent=%.17g", cutting->exponent.estimate);
    else if (!water)
        SET(u, target, "thickness_exponent=none");
    if (!water && bent)
        SET(u, target, "reference_thickness=%.17g mm", cutting->reference);
    else if (!water)
        SET(u, target, "reference_thickness=none");
    SET(u, target, "basis=%s", sg_basis_word((enum sg_basis)material.basis));
    set_source(u, target, water ? "cut energy" : "machinability", number);
}

/* Text of four numbers: those of the machine, with what is offered in their place. A unit stands once, behind
 * all of them. */
static void write_ways(const double *numbers, const char *unit, char *out, size_t size)
{
    size_t used = 0;
    for (int way = 0; way < SG_PIERCE_WAYS && used < size; way++)
        used += (size_t)snprintf(out + used, size - used, "%s%.17g%s", way ? ", " : "", numbers[way],
                                 way == SG_PIERCE_WAYS - 1 ? unit : "");
}

static void set_own_source(struct using *u, struct sg_target target, const char *field,
                           const struct sg_study_number *number)
{
    char sentence[SENTENCE], day[24];
    sg_study_sentence(number, sentence, sizeof sentence);
    sg_date_format(u->today, day, sizeof day);
    SET(u, target, "%s=%s, %s", field, sentence, day);
}

/* "still: shop, 9 runs, +-12 %; low: ...", of the ways that are offered: in use or to be used. */
static void set_pierce_source(struct using *u, struct sg_target target)
{
    enum { SIZE = SG_PIERCE_WAYS * (SENTENCE + 40) };
    char sentence[SENTENCE], day[24], ways[SIZE] = "";
    char *text = sg_arena_take(u->arena, SIZE + 60);
    struct sg_edit *edit = add_edit(u, target);
    if (!text || !edit) {
        u->failed = true;
        return;
    }
    for (int way = 0; way < SG_PIERCE_WAYS; way++) {
        const struct sg_study_number *pierce = &u->studied->study.piercing[way].pierce;
        sg_study_sentence(pierce, sentence, sizeof sentence);
        if (pierce->verdict == SG_STUDY_OFFERED)
            add_words(ways, sizeof ways, sg_words_pierce[way], sentence);
    }
    sg_date_format(u->today, day, sizeof day);
    snprintf(text, SIZE + 60, "pierce_source=%s, %s", ways, day);
    edit->longer = text;
}

static void use_pierces(struct using *u)
{
    const struct sg_target target = {SG_KIND_MACHINE, 0};
    struct sg_machine machine = u->shop->machine;
    char what[80], numbers[200];
    bool any = false;
    for (int i = 0; i < SG_PIERCE_WAYS; i++) {
        enum sg_pierce_way way = (enum sg_pierce_way)i;
        const struct sg_study_piercing *piercing = &u->studied->study.piercing[way];
        double now = machine.pierce_base[way] + machine.pierce_factor[way] * piercing->rise;
        bool in_use = sg_study_has_machine(&u->studied->study, way, &machine);
        snprintf(what, sizeof what, "t0 and kappa of %s pierces, a pierce, s", sg_words_pierce[way]);
        any |= piercing->pierce.n > 0 && take(u, &piercing->pierce, what, now, in_use) &&
               sg_study_apply_machine(&u->studied->study, way, &machine);
    }
    if (!any)
        return;
    write_ways(machine.pierce_base, " s", numbers, sizeof numbers);
    SET(u, target, "pierce_base=%s", numbers);
    write_ways(machine.pierce_factor, "", numbers, sizeof numbers);
    SET(u, target, "pierce_factor=%s", numbers);
    set_pierce_source(u, target);
}

static void use_feeds(struct using *u)
{
    for (int32_t i = 0; i < u->studied->study.n_feeds; i++) {
        const struct sg_study_feed *feed = &u->studied->study.feeds[i];
        const struct sg_target target = {SG_KIND_HEAD, feed->head};
        struct sg_head head = u->shop->heads[feed->head];
        char what[120];
        snprintf(what, sizeof what, "feed of %.60s, g/min", head.name);
        bool in_use = sg_study_in_use(&feed->feed, head.garnet);
        if (take(u, &feed->feed, what, head.garnet, in_use) && sg_study_apply_head(feed, &head)) {
            SET(u, target, "garnet=%.17g g/min", head.garnet);
            set_own_source(u, target, "garnet_source", &feed->feed);
        }
    }
}

static void use_all(struct using *u)
{
    for (int32_t i = 0; i < u->studied->study.n_cutting; i++) {
        const struct sg_study_cutting *cutting = &u->studied->study.cutting[i];
        if (u->material == SG_UNKNOWN || u->material == cutting->material)
            use_cutting(u, cutting);
    }
    if (u->use & SG_STUDY_USE_PIERCE && u->material == SG_UNKNOWN)
        use_pierces(u);
    if (u->use & SG_STUDY_USE_FEED && u->material == SG_UNKNOWN)
        use_feeds(u);
}

/* Make the edits, in memory or in the open transaction too. */
static enum sg_status make_edits(struct sg_desk *desk, struct using *u, bool keep, struct sg_error *error)
{
    int clash;
    struct sg_change *changes = calloc((size_t)u->n + 1, sizeof *changes);
    enum sg_status status =
        !changes || u->failed ? sg_fail(error, SG_FAULT, "no memory for what studies say")
        : u->n == 0           ? sg_fail(error, SG_BAD_DATA, "nothing is offered: %s",
                              u->reasons[0] ? u->reasons : "no runs of it were clocked to their end")
        : keep                ? sg_desk_edit(desk, u->edits, u->n, changes, &clash, NULL, 0, error)
                              : sg_held_edit(&desk->held, u->edits, u->n, changes, &clash, error);
    free(changes);
    return status;
}

enum sg_status sg_desk_use_studies(struct sg_desk *desk, unsigned use, int32_t material, int32_t today,
                                   bool keep, struct sg_used *used, struct sg_error *error)
{
    struct sg_studied studied = {0};
    struct using u = {.shop = &desk->held.shop,
                      .studied = &studied,
                      .use = use,
                      .material = material,
                      .today = today,
                      .arena = &studied.arena,
                      .used = used};
    enum sg_status status = keep ? sg_desk_begin(desk, error) : SG_OK;
    if (status != SG_OK)
        return status;
    *used = (struct sg_used){.words = ""};
    status = sg_studied_make(&studied, u.shop, use, error);
    if (status == SG_OK) {
        use_all(&u);
        say_overrides(&u);
        status = make_edits(desk, &u, keep, error);
    }
    if (keep) {
        status = status == SG_OK ? sg_desk_reload(desk, error) : status;
        status = sg_desk_finish(desk, status, used->words, error);
    } else if (status != SG_OK) {
        sg_desk_reload(desk, NULL);
    }
    free(u.edits);
    sg_studied_free(&studied);
    return status;
}
