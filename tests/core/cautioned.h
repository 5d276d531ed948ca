/* A plain shop without a caution but that of the jet, two causes of some, and what a caution is to say. */
#ifndef SANDGLASS_TESTS_CORE_CAUTIONED_H
#define SANDGLASS_TESTS_CORE_CAUTIONED_H

#include "support/planned.h"

#include <check.h>
#include <string.h>

static struct sg_stock *stock;
static struct sg_part *part;

/* 10 mm of mild steel, 1 sheet of 660 x 430 mm on hand, 4 parts of 300 x 200 mm. */
static void open_plain_shop(void)
{
    open_shop();
    test_shop_job(&test, 0);
    stock = test_shop_stock(&test, 0, 10);
    stock->sheet_length = 660; /* light enough for one person */
    stock->sheet_width = 430;
    stock->sheets = 1; /* just enough */
    stock->margin = stock->gap = 6.35;
    part = test_shop_part(&test, 4, 1000, 300, 200);
}

static void weak_pump(void)
{
    shop->machine.max_pressure = 200;
    shop->machine.max_flow = 2;
    shop->machine.pump_power = 10;
}

static void hazard(int bit)
{
    test.materials[0].hazards = bit;
}

static void silica(void)
{
    hazard(SG_HAZARD_SILICA);
}

static void says(const struct sg_caution *caution, enum sg_unit_system units, const char *expected)
{
    char text[400], cut[24];
    int length = sg_caution_text(caution, units, text, sizeof text);
    const char *word = sg_caution_word(caution->code);
    ck_assert_msg(length == (int)strlen(text) && length > 20, "%s: %s", word, text);
    ck_assert_msg(strpbrk(text, "{}") == NULL && !strstr(text, " nan") && !strstr(text, "-nan") &&
                      !strstr(text, "e+"),
                  "%s: %s", word, text);
    ck_assert_msg(strstr(text, expected) != NULL, "%s: \"%s\" does not say \"%s\"", word, text, expected);
    ck_assert_msg(sg_caution_text(caution, units, cut, sizeof cut) == length, "%s: not the whole length",
                  word);
    ck_assert(strncmp(cut, text, strlen(cut)) == 0);
    ck_assert_int_eq(sg_caution_text(caution, units, NULL, 0), length);
}

#endif
