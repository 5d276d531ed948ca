/* A job to sweep, and the steps of its sweeps. */
#ifndef TESTS_SWEEPS_H
#define TESTS_SWEEPS_H

#include "cli/json.h"
#include "cli/run.h"

/* A job of steel whose cut alone takes time: no pierces, nothing by hand; a pump that binds nothing; round
 * figures of the jet. */
static inline void make_job(void)
{
    make_shop();
    ck_done("set", "-f", "shop.db", "machine:main", "max_pressure=500", "max_flow=50", "pump_power=200",
            "pump_efficiency=0.8");
    ck_done("set", "-f", "shop.db", "head:abrasive", "pressure=320", "orifice=0.4", "tube=1.2",
            "discharge=0.7", "tube_life=80", "orifice_life=60", "garnet=300");
    ck_done("add", "job", "J", "-f", "shop.db");
    ck_done("add", "stock", "J", "-f", "shop.db", "material=mild steel", "thickness=12", "sheet_length=2400",
            "sheet_width=1200", "load=0", "first_check=0", "sheet_price=80");
    ck_done("add", "part", "J/1", "A", "-f", "shop.db", "quantity=8", "cut_length=1400", "pierces=0",
            "length=300", "width=200");
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=72", "labour=36", "power=0.15", "water=2.5",
            "garnet=3", "disposal=0.1", "tube=120", "orifice=45", "setup=25", "mark_up=20");
}

static inline struct ran sweep(const char *of, const char *field, int code)
{
    struct ran ran = run("sweep", "-f", "shop.db", of, field, "--json", NULL);
    ck_code(ran, code);
    ck_document(ran.out);
    return ran;
}

static inline const char *at_step(int step, const char *key)
{
    static char path[2][80];
    static int next;
    char *to = path[next++ % 2];
    snprintf(to, sizeof *path, "$.steps[%d].%s", step, key);
    return to;
}

#endif
