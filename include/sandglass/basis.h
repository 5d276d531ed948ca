/* How far a number may be trusted. Every computed number carries the weakest basis of its inputs. */
#ifndef SANDGLASS_BASIS_H
#define SANDGLASS_BASIS_H

/* From the strongest to the weakest; the order is what sg_basis_weaker compares. */
enum sg_basis {
    SG_BASIS_TYPED,     /* a person of this shop typed the number itself */
    SG_BASIS_SHOP,      /* fitted from the shop's own time studies */
    SG_BASIS_PUBLISHED, /* read in the source named */
    SG_BASIS_DERIVED,   /* algebra or geometry from other marked numbers */
    SG_BASIS_RECALLED,  /* a published number known from memory; the source is named, verify it */
    SG_BASIS_PRACTICE,  /* common practice of the trade, no source */
    SG_BASIS_ESTIMATE,  /* our own engineering proposal; calibrate first */
    SG_BASIS_COUNT
};

/* The word that stands for a basis in files, JSON and on screens, such as "recalled". Never NULL. */
const char *sg_basis_word(enum sg_basis basis);

/* The weaker of two. */
enum sg_basis sg_basis_weaker(enum sg_basis a, enum sg_basis b);

#endif
