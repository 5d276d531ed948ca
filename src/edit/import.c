/* Bringing a parts list into a job. */
#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MAX_NEW_STOCKS = 256 };

/* A row of the list with what its outline measures. */
struct measured_row {
    struct sg_incoming incoming;
    bool has[64];
    char remark[sizeof((struct sg_typed *)0)->text]; /* what there is to look at in it; "" */
};

struct import {
    struct sg_desk *desk;
    const struct sg_import_how *how;
    struct sg_import_result *result;
    int32_t job, stock; /* stock SG_UNKNOWN: by material and thickness */
    struct sg_stock made[MAX_NEW_STOCKS];
    int n_made;
    const struct sg_part **by_key; /* parts of the job that are there already,
                                      sorted by stock and key */
    int32_t n_by_key;
    char folder[4096]; /* where files that are named in the list lie, a / at its end; "" */
    int row;
    int32_t material; /* of that row, index in the shop as it is now; SG_UNKNOWN: not said */
};

/* A row is left out; the others go on. */
static enum sg_status refuse(struct import *import, enum sg_refusal why, const char *sentence)
{
    import->result->refused++;
    if (import->how->refuse)
        import->how->refuse(import->how->context, import->row, why, sentence);
    return SG_OK;
}

static int compare_parts(const void *a, const void *b)
{
    const struct sg_part *x = *(const struct sg_part *const *)a, *y = *(const struct sg_part *const *)b;
    if (x->stock != y->stock)
        return x->stock < y->stock ? -1 : 1;
    return strcmp(x->id, y->id);
}

static enum sg_status index_parts(struct import *import, struct sg_error *error)
{
    const struct sg_shop *shop = &import->desk->held.shop;
    const struct sg_job *job = &shop->jobs[import->job];
    int32_t n = 0;
    for (int32_t i = 0; i < job->n_stocks; i++)
        n += shop->stocks[job->first_stock + i].n_parts;
    import->by_key = malloc(((size_t)n + 1) * sizeof *import->by_key);
    if (!import->by_key)
        return sg_fail(error, SG_FAULT, "no memory to look up %d parts", n);
    for (int32_t i = 0; i < job->n_stocks; i++) {
        const struct sg_stock *stock = &shop->stocks[job->first_stock + i];
        for (int32_t k = 0; k < stock->n_parts; k++)
            import->by_key[import->n_by_key++] = &shop->parts[stock->first_part + k];
    }
    qsort(import->by_key, (size_t)n, sizeof *import->by_key, compare_parts);
    return SG_OK;
}

static const struct sg_part *existing_part(const struct import *import, int32_t stock, const char *id)
{
    const struct sg_part wanted = {.stock = stock, .id = id}, *key = &wanted;
    const struct sg_part **found =
        bsearch(&key, import->by_key, (size_t)import->n_by_key, sizeof *import->by_key, compare_parts);
    return found ? *found : NULL;
}

static bool is_as_thick(const struct sg_stock *stock, double thickness)
{
    return fabs(stock->thickness - thickness) <= 1e-9 * thickness;
}

static bool is_of(const struct sg_stock *stock, int32_t material, double thickness)
{
    return stock->material == material && is_as_thick(stock, thickness);
}

/* A stock of the job for this material and thickness, there already, just made,
 * or NULL. */
static const struct sg_stock *stock_for(const struct import *import, const struct sg_incoming *part)
{
    const struct sg_shop *shop = &import->desk->held.shop;
    if (import->stock != SG_UNKNOWN)
        return &shop->stocks[import->stock];
    const struct sg_job *job = &shop->jobs[import->job];
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++)
        if (is_of(&shop->stocks[i], import->material, part->thickness))
            return &shop->stocks[i];
    for (int i = 0; i < import->n_made; i++)
        if (is_of(&import->made[i], import->material, part->thickness))
            return &import->made[i];
    return NULL;
}

static enum sg_status make_stock(struct import *import, const struct sg_incoming *part,
                                 const struct sg_stock **out, struct sg_error *error)
{
    struct sg_shop *shop = &import->desk->held.shop;
    if (import->n_made == MAX_NEW_STOCKS)
        return sg_fail(error, SG_BAD_DATA,
                       "the list asks for more than %d new stocks: look at its material and "
                       "thickness columns",
                       MAX_NEW_STOCKS);
    struct sg_stock *stock = &import->made[import->n_made];
    *stock = sg_fresh_stock;
    stock->material = import->material;
    stock->thickness = part->thickness;
    stock->job = import->job;
    stock->number = sg_next_stock_number(shop, import->job) + import->n_made;
    struct sg_error rule;
    if (sg_rules_check(SG_KIND_STOCK, stock, shop, &rule) != SG_OK) {
        *out = NULL;
        return refuse(import, SG_REFUSED_OTHER, rule.text);
    }
    int64_t row;
    enum sg_status status = sg_store_insert(import->desk->store, SG_KIND_STOCK, shop->jobs[import->job].row,
                                            shop, stock, &row, error);
    stock->row = row;
    stock->n_parts = SG_UNKNOWN; /* none of its parts is in the index */
    import->n_made++;
    import->result->stocks_made++;
    *out = stock;
    return status;
}

static enum sg_status replace_part(struct import *import, const struct sg_part *existing,
                                   const struct sg_incoming *incoming, struct sg_error *error)
{
    struct sg_part part = *existing;
    const struct sg_field *said[64];
    int count, n = 0;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    for (int i = 0; i < count; i++)
        if (incoming->has[i]) {
            struct sg_value value;
            sg_field_get(&fields[i], &incoming->part, &value);
            sg_field_put(&fields[i], &part, &value);
            said[n++] = &fields[i];
        }
    struct sg_error rule;
    if (sg_rules_check(SG_KIND_PART, &part, &import->desk->held.shop, &rule) != SG_OK)
        return refuse(import, SG_REFUSED_OTHER, rule.text);
    import->result->replaced++;
    return n > 0 ? sg_desk_update_row(import->desk, SG_KIND_PART, &part, said, n, error) : SG_OK;
}

static enum sg_status add_part(struct import *import, const struct sg_stock *stock,
                               const struct sg_incoming *incoming, struct sg_error *error)
{
    char sentence[300];
    int64_t row;
    struct sg_error why;
    enum sg_status status =
        sg_desk_insert_row(import->desk, SG_KIND_PART, stock->row, &incoming->part, &row, &why);
    if (status == SG_OK)
        import->result->added++;
    if (status != SG_BAD_DATA)
        return status == SG_OK ? SG_OK : sg_fail(error, status, "%s", why.text);
    int32_t outline = incoming->part.outline;
    if (outline != SG_UNKNOWN && import->desk->held.shop.drawn[outline].row == 0) /* that is not kept */
        return refuse(import, SG_REFUSED_OTHER, why.text);
    snprintf(sentence, sizeof sentence, "part \"%.80s\" stands twice in the list", incoming->part.id);
    return refuse(import, SG_REFUSED_OTHER, sentence);
}

/* Looked up for each row, since the list was read before the shop was read anew. False where it is gone. */
static bool find_material(struct import *import, const char *name)
{
    const struct sg_shop *shop = &import->desk->held.shop;
    import->material = SG_UNKNOWN;
    for (int32_t i = 0; name && i < shop->n_materials; i++)
        if (strcmp(shop->materials[i].name, name) == 0)
            import->material = i;
    return !name || import->material != SG_UNKNOWN;
}

/* "steel, mild 0.25 in", or as much as is known of it. */
static const char *sheets_in_words(const struct sg_shop *shop, int32_t material, double thickness, bool all,
                                   char *out, size_t size)
{
    char thick[80];
    const char *name = material != SG_UNKNOWN ? shop->materials[material].name : all ? "(no material)" : "";
    const struct sg_value value = {.number = {thickness}};
    snprintf(thick, sizeof thick, "%s", all ? "(no thickness)" : "");
    if (sg_known(thickness))
        sg_field_show(sg_field_find(SG_KIND_STOCK, "thickness"), shop, &value, thick, sizeof thick);
    snprintf(out, size, "%.80s%s%s", name, *name && *thick ? " " : "", thick);
    return out;
}

/* Whether the list says other sheets than those of the stock that all rows go to. */
static bool is_other_stock(const struct import *import, const struct sg_incoming *incoming)
{
    if (import->stock == SG_UNKNOWN)
        return false;
    const struct sg_stock *stock = &import->desk->held.shop.stocks[import->stock];
    return (import->material != SG_UNKNOWN && import->material != stock->material) ||
           (sg_known(incoming->thickness) && !is_as_thick(stock, incoming->thickness));
}

static enum sg_status refuse_other_stock(struct import *import, const struct sg_incoming *incoming)
{
    char said[200], own[200], key[200], sentence[700];
    const struct sg_shop *shop = &import->desk->held.shop;
    const struct sg_stock *stock = &shop->stocks[import->stock];
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, import->stock}, key, sizeof key);
    snprintf(sentence, sizeof sentence,
             "the list says %s, stock %s is %s: import into the job to make a new stock",
             sheets_in_words(shop, import->material, incoming->thickness, false, said, sizeof said), key,
             sheets_in_words(shop, stock->material, stock->thickness, true, own, sizeof own));
    return refuse(import, SG_REFUSED_OTHER, sentence);
}

static enum sg_status refuse_existing(struct import *import, const struct sg_incoming *incoming)
{
    char sentence[300];
    snprintf(sentence, sizeof sentence, "part \"%.80s\" is in the plan already", incoming->part.id);
    return refuse(import, SG_REFUSED_EXISTS, sentence);
}

/* ---- outlines ---- */

static bool far_from(double said, double right)
{
    return sg_known(right) && fabs(log(said / right)) > log(1.5);
}

/* A list that says another size than the drawing measures most often has its units wrong. It may call length
 * what the drawing has across. */
static const struct sg_field *far_off(const struct sg_incoming *incoming, const struct sg_part *measured)
{
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    for (int i = 0; i < count; i++) {
        struct sg_value said, right;
        if (!incoming->has[i] || fields[i].type != SG_FIELD_NUMBER || !sg_part_is_measured(&fields[i]))
            continue;
        sg_field_get(&fields[i], &incoming->part, &said);
        sg_field_get(&fields[i], measured, &right);
        bool side = strcmp(fields[i].name, "length") == 0 || strcmp(fields[i].name, "width") == 0;
        if (!said.none && !right.none && far_from(said.number[0], right.number[0]) &&
            (!side ||
             (far_from(said.number[0], measured->length) && far_from(said.number[0], measured->width))))
            return &fields[i];
    }
    return NULL;
}

static enum sg_status refuse_size(struct import *import, const struct sg_incoming *incoming,
                                  const struct sg_part *measured, const struct sg_field *field)
{
    char said[80], right[80], sentence[400];
    struct sg_value value;
    const struct sg_shop *shop = &import->desk->held.shop;
    sg_field_get(field, &incoming->part, &value);
    sg_field_show(field, shop, &value, said, sizeof said);
    sg_field_get(field, measured, &value);
    sg_field_show(field, shop, &value, right, sizeof right);
    snprintf(sentence, sizeof sentence, "the list says %s %s, %.80s measures %s: mind the units of both",
             field->name, said, incoming->outline, right);
    return refuse(import, SG_REFUSED_OTHER, sentence);
}

/* Measure the row's outline into `out`, which then has what the list and the outline say. *refused where it
 * cannot be. */
static enum sg_status take_outline(struct import *import, const struct sg_incoming *incoming,
                                   struct measured_row *out, bool *refused)
{
    int count;
    struct sg_typed typed;
    struct sg_held *held = &import->desk->held;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    out->incoming = *incoming;
    out->remark[0] = '\0';
    if (!incoming->outline)
        return SG_OK;
    sg_held_read_beside(held, sg_field_find(SG_KIND_PART, "outline"), import->folder, incoming->outline,
                        &typed);
    *refused = typed.state != SG_PARSE_WHOLE;
    if (*refused)
        return refuse(import, SG_REFUSED_OTHER, typed.text);
    if (typed.odd)
        memcpy(out->remark, typed.text, sizeof out->remark);
    struct sg_part *part = &out->incoming.part;
    part->outline = typed.value.none ? SG_UNKNOWN : (int32_t)typed.value.whole;
    sg_part_measure(part, &held->shop);
    const struct sg_field *off = typed.value.none ? NULL : far_off(incoming, part);
    *refused = off != NULL;
    if (off)
        return refuse_size(import, incoming, part, off);
    for (int i = 0; i < count; i++) {
        bool measured = !typed.value.none && sg_part_is_measured(&fields[i]);
        out->has[i] = incoming->has[i] || measured || fields[i].type == SG_FIELD_OUTLINE;
    }
    out->incoming.has = out->has;
    return SG_OK;
}

/* Into its stock. */
static enum sg_status place_row(struct import *import, const struct sg_incoming *incoming,
                                struct sg_error *error)
{
    const struct sg_stock *stock = stock_for(import, incoming);
    if (!stock) {
        enum sg_status status = make_stock(import, incoming, &stock, error);
        if (status != SG_OK || !stock)
            return status;
    }
    bool made = stock->n_parts == SG_UNKNOWN;
    const struct sg_part *existing =
        made ? NULL
             : existing_part(import, (int32_t)(stock - import->desk->held.shop.stocks), incoming->part.id);
    if (existing && !import->how->replace)
        return refuse_existing(import, incoming);
    return existing ? replace_part(import, existing, incoming, error)
                    : add_part(import, stock, incoming, error);
}

static enum sg_status import_row(struct import *import, const struct sg_incoming *row, struct sg_error *error)
{
    char sentence[300];
    bool refused = false;
    struct measured_row measured;
    enum sg_status taken = take_outline(import, row, &measured, &refused);
    const struct sg_incoming *incoming = &measured.incoming;
    if (taken != SG_OK || refused)
        return taken;
    if (!find_material(import, incoming->material)) {
        snprintf(sentence, sizeof sentence,
                 "material \"%.80s\" is gone since the list was read: read the list again",
                 incoming->material);
        return refuse(import, SG_REFUSED_OTHER, sentence);
    }
    if (is_other_stock(import, incoming))
        return refuse_other_stock(import, incoming);
    if (import->stock == SG_UNKNOWN && (import->material == SG_UNKNOWN || !sg_known(incoming->thickness)))
        return refuse(import, SG_REFUSED_NO_STOCK,
                      import->material == SG_UNKNOWN ? "no material: fill in the column"
                                                     : "no thickness: fill in the column");
    int before = import->result->refused;
    enum sg_status status = place_row(import, incoming, error);
    if (status == SG_OK && import->result->refused == before && measured.remark[0] && import->how->remark)
        import->how->remark(import->how->context, import->row, measured.remark);
    return status;
}

static enum sg_status find_place(struct import *import, const char *key, struct sg_error *error)
{
    struct sg_target target;
    enum sg_status status = sg_key_find(&import->desk->held.shop, key, &target, error);
    if (status != SG_OK)
        return status;
    if (target.kind != SG_KIND_JOB && target.kind != SG_KIND_STOCK)
        return sg_fail(error, SG_BAD_DATA, "a parts list goes into a JOB or JOB/STOCK; %.80s is a %s", key,
                       sg_kind_word(target.kind));
    bool stock = target.kind == SG_KIND_STOCK;
    import->stock = stock ? target.index : SG_UNKNOWN;
    import->job = stock ? import->desk->held.shop.stocks[target.index].job : target.index;
    return index_parts(import, error);
}

enum sg_status sg_desk_import(struct sg_desk *desk, const char *key, const struct sg_incoming *parts, int n,
                              const struct sg_import_how *how, struct sg_import_result *result,
                              struct sg_error *error)
{
    struct import *import = calloc(1, sizeof *import);
    *result = (struct sg_import_result){0};
    if (!import)
        return sg_fail(error, SG_FAULT, "no memory to import %d parts", n);
    *import = (struct import){.desk = desk, .how = how, .result = result};
    const char *slash = how->path ? strrchr(how->path, '/') : NULL;
    if (slash)
        snprintf(import->folder, sizeof import->folder, "%.*s", (int)(slash + 1 - how->path), how->path);
    enum sg_status status = sg_desk_begin(desk, error);
    if (status == SG_OK) {
        status = find_place(import, key, error);
        for (import->row = 0; import->row < n && status == SG_OK; import->row++)
            status = import_row(import, &parts[import->row], error);
        if (status == SG_OK && result->refused > 0 && !how->good_only)
            status = sg_fail(error, SG_BAD_DATA, "%d of %d rows cannot be taken: nothing is imported",
                             result->refused, n);
        if (status == SG_OK && how->keep)
            status = sg_desk_reload(desk, error);
        char words[SG_WORDS_SIZE];
        snprintf(words, sizeof words, "%d part%s added and %d replaced in %.80s%s%.200s", result->added,
                 result->added == 1 ? "" : "s", result->replaced, key, how->list ? " from " : "",
                 how->list ? how->list : "");
        status = sg_desk_finish(desk, status, how->keep ? words : NULL, error);
    }
    free(import->by_key);
    free(import);
    return status;
}
