/* Many rows at once on the example shop, with more parts in 2603/1: for the tests of clips. */
#ifndef SANDGLASS_TESTS_EDIT_CLIPS_H
#define SANDGLASS_TESTS_EDIT_CLIPS_H

#include "edit/clip.h"
#include "edit/steps.h"

static struct sg_clip *clip;

enum { LINE = 2000, MOST_KEYS = 12 };

/* "A,B,C": keys with commas between, as a list. */
struct keys {
    char text[LINE];
    const char *at[MOST_KEYS];
    int n;
};

static inline struct keys *keys_of(const char *text)
{
    static struct keys keys;
    snprintf(keys.text, sizeof keys.text, "%s", text);
    keys.n = 0;
    for (char *at = strtok(keys.text, ","); at; at = strtok(NULL, ",")) {
        ck_assert_int_lt(keys.n, MOST_KEYS);
        keys.at[keys.n++] = at;
    }
    return &keys;
}

static inline enum sg_status yank(const char *text, bool cut)
{
    struct sg_clip *taken = NULL;
    struct keys *keys = keys_of(text);
    enum sg_status status = sg_desk_yank(desk, keys->at, keys->n, cut, &taken, &error);
    ck_assert((status == SG_OK) == (taken != NULL));
    if (taken) {
        sg_clip_free(clip);
        clip = taken;
    }
    return status;
}

static inline enum sg_status paste(const char *beside, bool above)
{
    return sg_desk_paste(desk, clip, beside, above, &target, &error);
}

static inline enum sg_status duplicate(const char *text)
{
    struct keys *keys = keys_of(text);
    return sg_desk_duplicate(desk, keys->at, keys->n, &target, &error);
}

static inline enum sg_status step_rows(const char *text, int by)
{
    struct keys *keys = keys_of(text);
    return sg_desk_step_rows(desk, keys->at, keys->n, by, &error);
}

static inline enum sg_status add_beside(enum sg_kind kind, const char *beside, const char *id,
                                        const char *assignment)
{
    return sg_desk_add_beside(desk, kind, beside, id, &assignment, assignment ? 1 : 0, changes, &target,
                              &error);
}

/* The keys of the parts of a stock, the jobs of a shift, as "A,B,C". */
static inline const char *parts_of(const char *key)
{
    static char out[LINE];
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_stock *stock = &shop->stocks[found(desk, key).index];
    out[0] = '\0';
    for (int32_t i = 0; i < stock->n_parts; i++)
        snprintf(out + strlen(out), sizeof out - strlen(out), "%s%s", i ? "," : "",
                 shop->parts[stock->first_part + i].id);
    return out;
}

static inline const char *jobs_of(const char *key)
{
    static char out[LINE];
    const struct sg_shop *shop = sg_desk_shop(desk);
    int32_t shift = found(desk, key).index, place = 0;
    out[0] = '\0';
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        if (shop->jobs[i].shift != shift)
            continue;
        ck_assert_int_eq(shop->jobs[i].order, ++place);
        snprintf(out + strlen(out), sizeof out - strlen(out), "%s%s", *out ? "," : "", shop->jobs[i].id);
    }
    return out;
}

static inline const char *key_of_target(void)
{
    static char out[1200];
    sg_key_write(sg_desk_shop(desk), target, out, sizeof out);
    return out;
}

static inline void open_parts(void)
{
    open_example();
    static const char *const ids[] = {"C", "D", "E"};
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++)
        must(add(SG_KIND_PART, "2603/1", ids[i]));
    must(set_by(desk, "2603/1/C", "note=grind the edge, see drawing 7"));
    must(add(SG_KIND_SHIFT, NULL, "B"));
    must(set_by(desk, "2605", "shift=B"));
}
enum { STEPS_BEFORE = 6 };

static inline void close_parts(void)
{
    sg_clip_free(clip);
    clip = NULL;
    close_example();
}

/* Two rows have the same fields, but those that `but` names. */
static inline void ck_same_fields(const struct sg_shop *a, struct sg_target x, const struct sg_shop *b,
                                  struct sg_target y, const char *but)
{
    int n_fields;
    const struct sg_field *fields = sg_fields(x.kind, &n_fields);
    ck_assert_int_eq(x.kind, y.kind);
    for (int i = 0; i < n_fields; i++) {
        struct sg_value p, q;
        sg_field_get(&fields[i], sg_target_record(a, x), &p);
        sg_field_get(&fields[i], sg_target_record(b, y), &q);
        if (but && strstr(but, fields[i].name))
            continue;
        ck_assert_msg(sg_field_same(&fields[i], &p, &q), "%s differs", fields[i].name);
    }
}

#endif
