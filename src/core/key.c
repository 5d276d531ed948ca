#include "sandglass/key.h"

#include <stdio.h>
#include <string.h>

int32_t sg_find_job(const struct sg_shop *shop, const char *id, size_t length)
{
    for (int32_t i = 0; i < shop->n_jobs; i++)
        if (strncmp(shop->jobs[i].id, id, length) == 0 && shop->jobs[i].id[length] == '\0')
            return i;
    return SG_UNKNOWN;
}

int32_t sg_find_stock(const struct sg_shop *shop, int32_t job, int32_t number)
{
    for (int32_t i = 0; i < shop->jobs[job].n_stocks; i++)
        if (shop->stocks[shop->jobs[job].first_stock + i].number == number)
            return shop->jobs[job].first_stock + i;
    return SG_UNKNOWN;
}

int32_t sg_find_part(const struct sg_shop *shop, int32_t stock, const char *id)
{
    for (int32_t i = 0; i < shop->stocks[stock].n_parts; i++)
        if (strcmp(shop->parts[shop->stocks[stock].first_part + i].id, id) == 0)
            return shop->stocks[stock].first_part + i;
    return SG_UNKNOWN;
}

/* ---- what there is instead, for a sentence ---- */

static void list_jobs(const struct sg_shop *shop, char *out, size_t size)
{
    int used = snprintf(out, size, "%s", shop->n_jobs ? "jobs: " : "there are no jobs; `add job` makes one");
    for (int32_t i = 0; i < shop->n_jobs && i < 12 && used < (int)size; i++)
        used += snprintf(out + used, size - (size_t)used, "%s%.40s", i ? ", " : "", shop->jobs[i].id);
    if (shop->n_jobs > 12 && used < (int)size)
        snprintf(out + used, size - (size_t)used, " and %d more", shop->n_jobs - 12);
}

/* A stock's number: digits without a leading zero, then the end or a slash at *end. SG_UNKNOWN if it is not.
 */
static int32_t read_number(const char *text, const char **end)
{
    int32_t number = 0;
    const char *at = text;
    for (; *at >= '0' && *at <= '9' && at - text < 8; at++)
        number = number * 10 + (*at - '0');
    *end = at;
    return at == text || *text == '0' || (*at != '\0' && *at != '/') ? SG_UNKNOWN : number;
}

static enum sg_status find_in_job(const struct sg_shop *shop, const char *key, const char *slash,
                                  struct sg_target *out, struct sg_error *error)
{
    char jobs[400];
    int32_t job = sg_find_job(shop, key, (size_t)(slash - key));
    if (job == SG_UNKNOWN) {
        list_jobs(shop, jobs, sizeof jobs);
        return sg_fail(error, SG_BAD_DATA, "no job \"%.*s\"; %s", (int)(slash - key < 80 ? slash - key : 80),
                       key, jobs);
    }
    if (*slash == '\0') {
        *out = (struct sg_target){SG_KIND_JOB, job};
        return SG_OK;
    }
    const char *part;
    int32_t number = read_number(slash + 1, &part);
    if (number == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "\"%.60s\" is not the number of a stock: type it as %.40s/1",
                       slash + 1, shop->jobs[job].id);
    int32_t stock = sg_find_stock(shop, job, number);
    if (stock == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "job %.60s has no stock %d; it has %d", shop->jobs[job].id, number,
                       shop->jobs[job].n_stocks);
    int32_t index = *part ? sg_find_part(shop, stock, part + 1) : stock;
    if (index == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "stock %.60s/%d has no part \"%.80s\"; it has %d parts",
                       shop->jobs[job].id, number, part + 1, shop->stocks[stock].n_parts);
    *out = (struct sg_target){*part ? SG_KIND_PART : SG_KIND_STOCK, index};
    return SG_OK;
}

static enum sg_status find_shift(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                 struct sg_error *error)
{
    int index = sg_find_shift(shop, name);
    if (index == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no shift \"%.60s\"; the first is %.60s", name,
                       shop->n_shifts ? shop->shifts[0].id : "not made yet");
    *out = (struct sg_target){SG_KIND_SHIFT, index};
    return SG_OK;
}

static enum sg_status find_machine(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                   struct sg_error *error)
{
    if (strcmp(name, shop->machine.name) != 0)
        return sg_fail(error, SG_BAD_DATA, "no machine \"%.60s\"; it is machine:%s", name,
                       shop->machine.name);
    *out = (struct sg_target){SG_KIND_MACHINE, 0};
    return SG_OK;
}

static enum sg_status find_head(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                struct sg_error *error)
{
    char names[300];
    int index = sg_find_head(shop, name), used = 0;
    for (int i = 0; i < shop->n_heads && used < (int)sizeof names; i++)
        used += snprintf(names + used, sizeof names - (size_t)used, "%shead:%.40s", i ? ", " : "",
                         shop->heads[i].name);
    if (index == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no head \"%.60s\"; there is %s", name, names);
    *out = (struct sg_target){SG_KIND_HEAD, index};
    return SG_OK;
}

static enum sg_status find_material(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                    struct sg_error *error)
{
    int others, index = sg_find_material(shop, name, &others);
    char why[SG_NEAR_SIZE];
    if (index == SG_UNKNOWN) {
        sg_near_materials(shop, name, others, why, sizeof why);
        return sg_fail(error, SG_BAD_DATA, "material \"%.60s\": %s", name, why);
    }
    *out = (struct sg_target){SG_KIND_MATERIAL, index};
    return SG_OK;
}

static enum sg_status find_chore(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                 struct sg_error *error)
{
    for (int32_t i = 0; i < shop->n_chores; i++)
        if (strcmp(shop->chores[i].name, name) == 0) {
            *out = (struct sg_target){SG_KIND_CHORE, i};
            return SG_OK;
        }
    return sg_fail(error, SG_BAD_DATA, "no chore \"%.60s\"; `add chore NAME` makes one", name);
}

static enum sg_status find_rates(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                 struct sg_error *error)
{
    if (strcmp(name, shop->rates.name) != 0)
        return sg_fail(error, SG_BAD_DATA, "no rates \"%.60s\"; they are rates:%s", name, shop->rates.name);
    *out = (struct sg_target){SG_KIND_RATES, 0};
    return SG_OK;
}

static enum sg_status find_clock(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                 struct sg_error *error)
{
    for (int32_t i = 0; i < shop->n_clocks; i++)
        if (strcmp(shop->clocks[i].id, name) == 0) {
            *out = (struct sg_target){SG_KIND_CLOCK, i};
            return SG_OK;
        }
    return sg_fail(error, SG_BAD_DATA, "no clock \"%.60s\"; `record list` shows what was noted", name);
}

static enum sg_status find_record(const struct sg_shop *shop, const char *name, struct sg_target *out,
                                  struct sg_error *error)
{
    for (int32_t i = 0; i < shop->n_records; i++)
        if (strcmp(shop->records[i].id, name) == 0) {
            *out = (struct sg_target){SG_KIND_RECORD, i};
            return SG_OK;
        }
    return sg_fail(error, SG_BAD_DATA, "no record \"%.60s\"; `record list` shows what was noted", name);
}

static const struct {
    const char *prefix;
    enum sg_status (*find)(const struct sg_shop *, const char *, struct sg_target *, struct sg_error *);
} prefixes[] = {{"shift:", find_shift},       {"machine:", find_machine}, {"head:", find_head},
                {"material:", find_material}, {"chore:", find_chore},     {"rates:", find_rates},
                {"clock:", find_clock},       {"record:", find_record}};

enum sg_status sg_key_find(const struct sg_shop *shop, const char *key, struct sg_target *out,
                           struct sg_error *error)
{
    for (size_t i = 0; i < sizeof prefixes / sizeof *prefixes; i++) {
        size_t n = strlen(prefixes[i].prefix);
        if (strncmp(key, prefixes[i].prefix, n) == 0)
            return prefixes[i].find(shop, key + n, out, error);
    }
    return find_in_job(shop, key, key + strcspn(key, "/"), out, error);
}

int sg_key_write(const struct sg_shop *shop, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock;
    switch (target.kind) {
    case SG_KIND_JOB:
        return snprintf(out, size, "%s", shop->jobs[target.index].id);
    case SG_KIND_STOCK:
        stock = &shop->stocks[target.index];
        return snprintf(out, size, "%s/%d", shop->jobs[stock->job].id, stock->number);
    case SG_KIND_PART:
        stock = &shop->stocks[shop->parts[target.index].stock];
        return snprintf(out, size, "%s/%d/%s", shop->jobs[stock->job].id, stock->number,
                        shop->parts[target.index].id);
    case SG_KIND_SHIFT:
        return snprintf(out, size, "shift:%s", shop->shifts[target.index].id);
    case SG_KIND_MACHINE:
        return snprintf(out, size, "machine:%s", shop->machine.name);
    case SG_KIND_HEAD:
        return snprintf(out, size, "head:%s", shop->heads[target.index].name);
    case SG_KIND_CHORE:
        return snprintf(out, size, "chore:%s", shop->chores[target.index].name);
    case SG_KIND_RATES:
        return snprintf(out, size, "rates:%s", shop->rates.name);
    case SG_KIND_CLOCK:
        return snprintf(out, size, "clock:%s", shop->clocks[target.index].id);
    case SG_KIND_RECORD:
        return snprintf(out, size, "record:%s", shop->records[target.index].id);
    default:
        return snprintf(out, size, "material:%s", shop->materials[target.index].name);
    }
}

void *sg_target_record(const struct sg_shop *shop, struct sg_target target)
{
    switch (target.kind) {
    case SG_KIND_JOB:
        return &shop->jobs[target.index];
    case SG_KIND_STOCK:
        return &shop->stocks[target.index];
    case SG_KIND_PART:
        return &shop->parts[target.index];
    case SG_KIND_SHIFT:
        return &shop->shifts[target.index];
    case SG_KIND_HEAD:
        return &shop->heads[target.index];
    case SG_KIND_MATERIAL:
        return &shop->materials[target.index];
    case SG_KIND_CHORE:
        return &shop->chores[target.index];
    case SG_KIND_CLOCK:
        return &shop->clocks[target.index];
    case SG_KIND_RECORD:
        return &shop->records[target.index];
    case SG_KIND_RATES:
        return (void *)(uintptr_t)&shop->rates; /* this and the machine are not behind a pointer */
    default:
        return (void *)(uintptr_t)&shop->machine;
    }
}

enum sg_status sg_key_check(enum sg_kind kind, const char *key, struct sg_error *error)
{
    bool longer = kind == SG_KIND_PART || kind == SG_KIND_MATERIAL;
    const struct sg_field rule = {.kind = kind, .type = SG_FIELD_TEXT, .count = 1, .max = longer ? 200 : 60};
    const struct sg_shop none = {.units = SG_UNITS_METRIC};
    struct sg_typed typed;
    size_t length = strlen(key);
    if (length == 0 || key[0] == ' ' || key[0] == '\t' || key[length - 1] == ' ' || key[length - 1] == '\t')
        return sg_fail(error, SG_BAD_DATA, "the key of a %s may not be empty or start or end with a blank",
                       sg_kind_word(kind));
    if (strcmp(key, "none") != 0) {
        sg_field_read(&rule, &none, key, &typed);
        if (typed.state != SG_PARSE_WHOLE)
            return sg_fail(error, SG_BAD_DATA, "the key of the %s: %s", sg_kind_word(kind), typed.text);
    }
    if (strpbrk(key, "\n\t") != NULL)
        return sg_fail(error, SG_BAD_DATA, "the key of a %s may not hold a tab or line break",
                       sg_kind_word(kind));
    if (kind == SG_KIND_JOB && strpbrk(key, "/:") != NULL)
        return sg_fail(error, SG_BAD_DATA, "the key of a job may not hold / or :, which separate keys");
    return SG_OK;
}

int32_t sg_job_of(const struct sg_shop *shop, struct sg_target target)
{
    switch (target.kind) {
    case SG_KIND_JOB:
        return target.index;
    case SG_KIND_STOCK:
        return shop->stocks[target.index].job;
    case SG_KIND_PART:
        return shop->stocks[shop->parts[target.index].stock].job;
    default:
        return SG_UNKNOWN;
    }
}
