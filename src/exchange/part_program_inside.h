/* What the files of the part-program reader share. */
#ifndef SANDGLASS_EXCHANGE_PART_PROGRAM_INSIDE_H
#define SANDGLASS_EXCHANGE_PART_PROGRAM_INSIDE_H

#include "exchange/drawing_inside.h"

enum { CODES_MOST = 16 };

/* The words of one block. */
struct words {
    uint32_t has; /* bit 0: A */
    double value[26];
    int g[CODES_MOST], m[CODES_MOST]; /* in tenths: G92.1 is 921 */
    int n_g, n_m;
};

static inline bool has_word(const struct words *words, char letter)
{
    return words->has >> (letter - 'A') & 1;
}

static inline double word_value(const struct words *words, char letter)
{
    return has_word(words, letter) ? words->value[letter - 'A'] : 0;
}

/* The words of a line, whose text ends in NUL (part_program_words.c). */
bool words_read(struct gather *gather, const char *text, struct words *words);

enum g_act {
    G_UNKNOWN,
    G_PASSED,
    G_MOVE,
    G_PLANE,
    G_UNIT,
    G_ABSOLUTE,
    G_RELATIVE,
    G_CENTRE_ABSOLUTE,
    G_CENTRE_RELATIVE,
    G_SET,
    G_UNSET,
    G_SUSPEND,
    G_RESTORE,
    G_OWN_WORDS,
    G_HOME,
    G_MACHINE,
    G_PLACE,
    G_NO_MOVE,
    G_REFUSED
};
enum g_act g_act_of(int tenths);

enum { MOTION_NONE = -1, MOTION_RAPID, MOTION_LINE, MOTION_CLOCKWISE, MOTION_COUNTER };

struct program {
    struct gather *gather;
    struct words on, off; /* the jet's words */
    bool by_words;        /* the jet follows them */
    bool jet;             /* on, by its words */
    bool ever_on;
    bool cutting; /* the last segment belongs to the run that goes on */
    int motion, plane;
    bool relative, centre_absolute;
    double unit;     /* mm in one of the numbers */
    bool unit_named; /* by a word */
    bool moved, tilt_said;
    double x, y;            /* mm from program zero */
    bool lost_x, lost_y;    /* after a way home */
    double set[2], kept[2]; /* shift of G92 now, and as it is kept; mm */
    int place;              /* of G54 to G59.3, in tenths; 0: none yet */
    bool ended;
};

/* The move of a block to (x, y), by the motion that holds (part_program_move.c). */
bool program_move(struct program *program, const struct words *words);

#endif
