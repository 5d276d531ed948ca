/* Any bytes as a parts list: it is read or refused, and the file of its bad rows can be read again. The first
 * byte chooses how. */
#include "exchange/exchange.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static struct sg_material materials[] = {
    {.name = "steel, mild", .aliases = "mild steel;carbon steel"},
    {.name = "stainless 304", .aliases = "304"},
};
static const struct sg_shop shop = {.units = SG_UNITS_US, .n_materials = 2, .materials = materials};

static const struct sg_list_how ways[] = {
    {.map = NULL},
    {.map = "A=part,B=quantity,C="},
    {.encoding = "utf-16", .separator = ';'},
    {.encoding = "windows-1252", .separator = '\t', .map = "Qty req=quantity,Thk=thickness_in"},
    {.encoding = "latin-1", .separator = ',', .map = "item=part"},
};

static void require(bool truth, const char *what)
{
    if (truth)
        return;
    fprintf(stderr, "not so: %s\n", what);
    abort();
}

struct counted {
    int rows, cells;
};

static bool count_row(void *context, const struct sg_csv_row *row)
{
    struct counted *counted = context;
    require(counted->rows == 0 || row->n_cells == counted->cells,
            "all rows have as many cells as the header");
    counted->cells = row->n_cells;
    counted->rows++;
    return true;
}

static void check_bad_rows(const struct sg_parts_list *list)
{
    struct sg_text text = {0};
    struct sg_error error;
    struct counted counted = {0, 0};
    sg_parts_list_bad(list, &text);
    require(!text.failed, "the bad rows are written");
    require(sg_csv_read("bad", text.data, text.length, list->separator, count_row, &counted, NULL, &error) ==
                SG_OK,
            "the bad rows can be read");
    require(counted.rows == list->n_bad + 1, "each bad row stands there once");
    sg_text_free(&text);
}

static void check_list(const struct sg_parts_list *list)
{
    require(list->n_rows + list->n_bad == list->n_raw, "each row is good or bad");
    for (int i = 1; i < list->n_findings; i++) {
        const struct sg_list_finding *a = &list->findings[i - 1], *b = &list->findings[i];
        require(a->line < b->line || (a->line == b->line && a->column <= b->column),
                "findings are in file order");
    }
    for (int i = 0; i < list->n_findings; i++)
        require(!list->findings[i].bad || list->raw[list->findings[i].row].bad,
                "a bad finding has a bad row");
    for (int i = 0; i < list->n_rows; i++) {
        const struct sg_part *part = &list->rows[i].part;
        require(part->id[0] != '\0' && part->quantity >= 0 && part->pierces >= 0, "a good row is a part");
        require(!(list->rows[i].thickness <= 0), "a thickness is more than 0");
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    size_t way = data[0] % (sizeof ways / sizeof *ways);
    char *copy = malloc(size); /* of just the size, for the sanitizer */
    if (!copy)
        return 0;
    memcpy(copy, data + 1, size - 1);
    struct sg_parts_list list;
    struct sg_error error = {SG_OK, ""};
    enum sg_status status = sg_parts_list_read("list", copy, size - 1, &shop, &ways[way], &list, &error);
    free(copy);
    if (status == SG_OK) {
        check_list(&list);
        check_bad_rows(&list);
        sg_parts_list_free(&list);
    } else {
        require(status == SG_BAD_DATA && error.status == status && error.text[0] != '\0',
                "a refusal has its reason");
    }
    return 0;
}
