/* A job to quote, and amounts of money as a quote writes them. */
#ifndef SANDGLASS_TESTS_CLI_QUOTES_H
#define SANDGLASS_TESTS_CLI_QUOTES_H

#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

#include <ctype.h>

/* Two parts and a third of another material, in so many pieces each, at rates that leave odd cents. */
static void make_job(const char *pieces)
{
    char quantity[40];
    snprintf(quantity, sizeof quantity, "quantity=%s", pieces);
    make_shop();
    ck_done("add", "job", "J", "-f", "shop.db", "name=frames", "customer=office 9");
    ck_done("add", "stock", "J", "-f", "shop.db", "material=mild steel", "thickness=12", "sheet_length=2500",
            "sheet_width=1250", "sheet_price=131.37");
    ck_done("add", "part", "J/1", "A", "-f", "shop.db", quantity, "cut_length=733", "pierces=3", "length=211",
            "width=97");
    ck_done("add", "part", "J/1", "B", "-f", "shop.db", quantity, "cut_length=409", "pierces=1", "length=83",
            "width=71");
    ck_done("add", "stock", "J", "-f", "shop.db", "material=acrylic", "thickness=6", "sheet_length=2000",
            "sheet_width=1000", "sheet_price=57.01");
    ck_done("add", "part", "J/2", "A", "-f", "shop.db", quantity, "cut_length=1201", "pierces=2",
            "length=311", "width=89");
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=93.17", "labour=41.03", "power=0.147",
            "water=2.61", "garnet=0.733", "disposal=0.117", "tube=118.9", "orifice=47.3", "setup=23.77",
            "mark_up=23.7");
}

static struct ran quote(const char *option, int code)
{
    struct ran ran = run("quote", "-f", "shop.db", "J", option, NULL);
    ck_code(ran, code);
    return ran;
}

/* Whole cents of "1234.56"; anything else fails. */
static long long cents(const char *text)
{
    long long units = 0;
    const char *at = text;
    for (; isdigit((unsigned char)*at); at++)
        units = units * 10 + (*at - '0');
    ck_assert_msg(at > text && at[0] == '.' && isdigit((unsigned char)at[1]) &&
                      isdigit((unsigned char)at[2]) && at[3] == '\0',
                  "\"%s\" is no amount with two decimals", text);
    return units * 100 + (at[1] - '0') * 10 + (at[2] - '0');
}

#endif
