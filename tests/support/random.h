/* Numbers that look random and are the same on every machine. */
#ifndef SANDGLASS_TESTS_RANDOM_H
#define SANDGLASS_TESTS_RANDOM_H

#include <stdint.h>

struct random {
    uint64_t state; /* not 0 */
};

static inline uint64_t random_bits(struct random *r)
{
    r->state ^= r->state << 13;
    r->state ^= r->state >> 7;
    r->state ^= r->state << 17;
    return r->state * 0x2545F4914F6CDD1Du;
}

/* 0 to below `n`. */
static inline unsigned random_below(struct random *r, unsigned n)
{
    return (unsigned)((random_bits(r) >> 32) % n);
}

/* 0 to below 1, all 53 bits. */
static inline double random_unit(struct random *r)
{
    return (double)(random_bits(r) >> 11) * 0x1p-53;
}

#endif
