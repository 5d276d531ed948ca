/* A job to import parts lists into, and what came in. */
#ifndef SANDGLASS_TESTS_CLI_IMPORTS_H
#define SANDGLASS_TESTS_CLI_IMPORTS_H

#include "cli/json.h"
#include "cli/run.h"

/* shop.db: metric, job J with stock 1 of 6 mm mild steel. */
static void make_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
}

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    return ran;
}

/* Import a text from standard input. */
static struct ran import(const char *key, const char *list, size_t length, const char *option,
                         const char *second)
{
    const struct run_how how = {.input = list, .input_length = length};
    return run_how(&how, "import", "-f", "shop.db", key, "-", option, second, NULL);
}

static void ck_part(const char *json, int stock, int part, const char *id, double quantity,
                    double cut_length_mm)
{
    char path[80];
    snprintf(path, sizeof path, "$.jobs[0].stocks[%d].parts[%d].part", stock, part);
    ck_assert_str_eq(json_text(json, path), id);
    snprintf(path, sizeof path, "$.jobs[0].stocks[%d].parts[%d].quantity", stock, part);
    ck_assert(json_number(json, path) == quantity);
    snprintf(path, sizeof path, "$.jobs[0].stocks[%d].parts[%d].cut_length_mm", stock, part);
    ck_near(json_number(json, path), cut_length_mm, 1e-14);
}

#endif
