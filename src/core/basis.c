#include "sandglass/basis.h"

const char *sg_basis_word(enum sg_basis basis)
{
    static const char *const words[SG_BASIS_COUNT] = {
        [SG_BASIS_TYPED] = "typed",         [SG_BASIS_SHOP] = "shop",
        [SG_BASIS_PUBLISHED] = "published", [SG_BASIS_DERIVED] = "derived",
        [SG_BASIS_RECALLED] = "recalled",   [SG_BASIS_PRACTICE] = "practice",
        [SG_BASIS_ESTIMATE] = "estimate",
    };
    return (unsigned)basis < SG_BASIS_COUNT ? words[basis] : "unknown";
}

enum sg_basis sg_basis_weaker(enum sg_basis a, enum sg_basis b)
{
    return a > b ? a : b;
}
