/* Parts lists read against a small library, from a text or from fixtures/parts, and their findings. */
#ifndef SANDGLASS_TESTS_EXCHANGE_PARTS_LIST_H
#define SANDGLASS_TESTS_EXCHANGE_PARTS_LIST_H

#include "exchange/exchange.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;
static const struct sg_list_how as_it_comes;

static struct sg_material materials[] = {
    {.name = "steel, mild", .aliases = "mild steel;carbon steel"},
    {.name = "stainless 304", .aliases = "304"},
    {.name = "stainless 316", .aliases = "316"},
    {.name = "aluminium 6061", .aliases = "aluminum;6061"},
    {.name = "aluminium 7075", .aliases = ""},
};
static struct sg_shop shop = {.units = SG_UNITS_METRIC, .n_materials = 5, .materials = materials};

static enum sg_status read_text(const char *text, size_t length, const struct sg_list_how *how,
                                struct sg_parts_list *list)
{
    char *copy = malloc(length ? length : 1); /* of just the size, and gone before the list is looked at */
    memcpy(copy, text, length);
    enum sg_status status = sg_parts_list_read("list.csv", copy, length, &shop, how, list, &error);
    free(copy);
    return status;
}

static enum sg_status read_fixture(const char *name, const struct sg_list_how *how,
                                   struct sg_parts_list *list)
{
    char path[1000], *data = NULL;
    size_t length = 0;
    snprintf(path, sizeof path, "%s/parts/%s", FIXTURES, name);
    ck_assert_int_eq(sg_file_read(path, 1 << 20, &data, &length, &error), SG_OK);
    enum sg_status status = read_text(data, length, how, list);
    free(data);
    return status;
}

static void read_good(const char *text, struct sg_parts_list *list)
{
    enum sg_status status = read_text(text, strlen(text), &as_it_comes, list);
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

/* The findings as LINE:COLUMN: TEXT, those that do not leave a row out with a + in front. That a column is
 * missing has a test of its own. */
static const char *findings_of(const struct sg_parts_list *list)
{
    static struct sg_text text;
    text.length = 0;
    sg_text_put(&text, "");
    for (int i = 0; i < list->n_findings; i++) {
        const struct sg_list_finding *one = &list->findings[i];
        if (one->row < 0 && one->column == 0)
            continue;
        sg_text_format(&text, "%s%d:%d: %s\n", one->bad ? "" : "+", one->line, one->column, one->text);
    }
    return text.data;
}

static void expect_findings(const char *text, const char *findings)
{
    struct sg_parts_list list;
    read_good(text, &list);
    ck_assert_str_eq(findings_of(&list), findings);
    sg_parts_list_free(&list);
}

#endif
