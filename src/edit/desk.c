#include "edit/desk.h"

#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum sg_status sg_desk_reload(struct sg_desk *desk, struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_shop shop;
    enum sg_status status = sg_store_load(desk->store, &arena, &shop, error);
    if (status != SG_OK) {
        sg_arena_free(&arena);
        return status;
    }
    sg_arena_free(&desk->held.arena);
    desk->held.arena = arena;
    desk->held.shop = shop;
    if (desk->own_units)
        desk->held.shop.units = desk->units;
    sg_calendar_fill_all(&desk->held.shop);
    return SG_OK;
}

enum sg_status sg_desk_open(const char *path, enum sg_store_mode mode, struct sg_desk **out,
                            struct sg_error *error)
{
    struct sg_desk *desk = calloc(1, sizeof *desk);
    if (!desk || !(desk->planner = sg_planner_new())) {
        free(desk);
        return sg_fail(error, SG_FAULT, "no memory to open %s", path);
    }
    sg_desk_sign(desk, NULL);
    enum sg_status status = sg_store_open(path, mode, &desk->store, error);
    /* Before the shop is read: what comes in between is shown and still told. A history that cannot be read
     * is no reason to close the file: `check` tells. */
    if (status == SG_OK && sg_desk_watch(desk, error) == SG_BUSY)
        status = SG_BUSY;
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status != SG_OK) {
        sg_desk_close(desk);
        return status;
    }
    *out = desk;
    return SG_OK;
}

void sg_desk_close(struct sg_desk *desk)
{
    if (!desk)
        return;
    sg_store_close(desk->store);
    sg_planner_free(desk->planner);
    sg_arena_free(&desk->held.arena);
    free(desk->own);
    free(desk);
}

const struct sg_shop *sg_desk_shop(const struct sg_desk *desk)
{
    return &desk->held.shop;
}

struct sg_store *sg_desk_store(struct sg_desk *desk)
{
    return desk->store;
}

enum sg_status sg_desk_plan(struct sg_desk *desk, int32_t shift, const struct sg_plan **out,
                            struct sg_error *error)
{
    return sg_plan_shift(desk->planner, &desk->held.shop, shift, out, error);
}

const char *sg_desk_who(const struct sg_desk *desk)
{
    return desk->who;
}

void sg_desk_units(struct sg_desk *desk, enum sg_unit_system units)
{
    desk->own_units = true;
    desk->units = desk->held.shop.units = units;
}
