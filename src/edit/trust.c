/* What a number is trusted by goes with the number: typed over by hand, it is no longer what its source says.
 */
#include "edit/inside.h"

#include <string.h>

static const struct {
    enum sg_kind kind;
    const char *field, *companion;
} companions[] = {
    {SG_KIND_MATERIAL, "machinability", "basis"},      {SG_KIND_MATERIAL, "machinability", "source"},
    {SG_KIND_MATERIAL, "cut_energy", "basis"},         {SG_KIND_MATERIAL, "cut_energy", "source"},
    {SG_KIND_MACHINE, "pierce_base", "pierce_source"}, {SG_KIND_MACHINE, "pierce_factor", "pierce_source"},
    {SG_KIND_HEAD, "garnet", "garnet_source"},
};

int sg_trust_follows(enum sg_kind kind, const struct sg_change *changes, int n, const struct sg_field **out)
{
    int found = 0;
    for (size_t i = 0; i < sizeof companions / sizeof *companions; i++) {
        const char *companion = companions[i].companion;
        bool said = companions[i].kind != kind || !sg_change_has(changes, n, companions[i].field) ||
                    sg_change_has(changes, n, companion);
        for (int k = 0; k < found; k++)
            said = said || strcmp(out[k]->name, companion) == 0;
        if (!said)
            out[found++] = sg_field_find(kind, companion);
    }
    return found;
}

void sg_trust_settle(enum sg_kind kind, void *record, const struct sg_change *changes, int n)
{
    const struct sg_field *fields[SG_TRUSTS];
    const struct sg_value none = {.none = true, .text = ""}, typed = {.whole = SG_BASIS_TYPED};
    int count = sg_trust_follows(kind, changes, n, fields);
    for (int i = 0; i < count; i++)
        sg_field_put(fields[i], record, fields[i]->type == SG_FIELD_TEXT ? &none : &typed);
}
