/* How far the speeds of some stocks are trusted: which are recalled or estimated, which the shop's own. */
#include "exchange/render.h"
#include "sandglass/setup.h"
#include "sandglass/study.h"

#include <stdio.h>
#include <string.h>

struct trust {
    const struct sg_shop *shop;
    int32_t first, end; /* stocks */
};

/* Whether any of its parts is cut at the speed of the model, not at a typed feed. */
static bool is_modelled(const struct sg_shop *shop, const struct sg_stock *stock)
{
    bool any = false;
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        any = any || (shop->parts[i].quantity > 0 && !sg_known(shop->parts[i].feed));
    return any && !sg_known(stock->feed) && stock->material != SG_UNKNOWN;
}

static int32_t head_kind(const struct sg_shop *shop, const struct sg_stock *stock)
{
    return shop->heads[sg_setup_head(shop, stock)].kind;
}

static bool is_own(const struct sg_shop *shop, const struct sg_stock *stock)
{
    bool abrasive = head_kind(shop, stock) == SG_HEAD_ABRASIVE;
    return sg_speed_basis(abrasive, &shop->materials[stock->material]) == SG_BASIS_SHOP;
}

/* Whether no stock before it has its material and kind of head. */
static bool is_first(const struct trust *t, int32_t index)
{
    const struct sg_stock *stock = &t->shop->stocks[index];
    for (int32_t i = t->first; i < index; i++) {
        const struct sg_stock *other = &t->shop->stocks[i];
        if (is_modelled(t->shop, other) && other->material == stock->material &&
            head_kind(t->shop, other) == head_kind(t->shop, stock))
            return false;
    }
    return true;
}

/* Materials whose speed is the shop's own, with what its study says, or the others. Returns how many. */
static int list(const struct trust *t, bool own, struct sg_text *out)
{
    int n = 0;
    for (int32_t i = t->first; i < t->end; i++) {
        const struct sg_stock *stock = &t->shop->stocks[i];
        char source[300];
        if (!is_modelled(t->shop, stock) || is_own(t->shop, stock) != own || !is_first(t, i))
            continue;
        const struct sg_material *material = &t->shop->materials[stock->material];
        sg_text_format(out, "%s%s", n++ > 0 ? "; " : "", material->name);
        if (own && sg_study_source(material, head_kind(t->shop, stock), source, sizeof source) && source[0])
            sg_text_format(out, " (%s)", strncmp(source, "shop, ", 6) == 0 ? source + 6 : source);
    }
    return n;
}

/* Whether something is cut at a feed that was typed. */
static bool has_typed(const struct trust *t)
{
    for (int32_t i = t->first; i < t->end; i++) {
        const struct sg_stock *stock = &t->shop->stocks[i];
        for (int32_t k = stock->first_part; k < stock->first_part + stock->n_parts; k++)
            if (t->shop->parts[k].quantity > 0 && (sg_known(stock->feed) || sg_known(t->shop->parts[k].feed)))
                return true;
    }
    return false;
}

void sg_trust_words(struct sg_text *out, const struct sg_shop *shop, int32_t first_stock, int32_t n_stocks,
                    const char *expect)
{
    const struct trust t = {shop, first_stock, first_stock + n_stocks};
    struct sg_text others = {0}, own = {0};
    int n_others = list(&t, false, &others), n_own = list(&t, true, &own);
    bool some = n_own > 0 || has_typed(&t);
    if (n_others > 0)
        sg_text_format(
            out, "Speeds %s%s%sare recalled or estimated figures until the shop has timed its own cuts%s",
            some ? "of " : "", some && others.data ? others.data : "", some ? " " : "", expect);
    if (n_own > 0)
        sg_text_format(out, "%sThe shop's own speeds: %s.", n_others > 0 ? " " : "",
                       own.data ? own.data : "");
    if (n_others + n_own == 0 && some)
        sg_text_put(out, "Feeds are as they were typed.");
    out->failed = out->failed || others.failed || own.failed;
    sg_text_free(&others);
    sg_text_free(&own);
}

/* ---- pierces ---- */

void sg_trust_of_pierces(struct sg_text *out, const struct sg_shop *shop, int32_t first_stock,
                         int32_t n_stocks)
{
    const char *source = shop->machine.pierce_source;
    bool own = false, others = false;
    for (int32_t i = first_stock; i < first_stock + n_stocks; i++) {
        const struct sg_stock *stock = &shop->stocks[i];
        const struct sg_material *material =
            stock->material == SG_UNKNOWN ? NULL : &shop->materials[stock->material];
        int32_t way = stock->pierce != SG_UNKNOWN ? stock->pierce
                      : material                  ? material->pierce
                                                  : SG_PIERCE_STILL;
        if (sg_known(stock->pierce_seconds))
            continue;
        bool here = head_kind(shop, stock) == SG_HEAD_ABRASIVE && sg_pierce_is_own(&shop->machine, way);
        own = own || here;
        others = others || !here;
    }
    if (own)
        sg_text_format(out, " Pierce times by the shop's own clocks: %s%s.", source,
                       others ? "; the others are estimates" : "");
    else if (others)
        sg_text_put(out, " Pierce times are estimates.");
}
