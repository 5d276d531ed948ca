/* Actions: everything a key can do, in one table. Dispatch, the line of keys, help, the command by name, the
 * `keys` command and the manual all read it. Adding one is a row in actions.c and a function. */
#ifndef SANDGLASS_ACTION_H
#define SANDGLASS_ACTION_H

#include <stdbool.h>
#include <stdint.h>

struct sg_ui;

/* Where an action works: on screens at rest, while a field is typed, while a question is answered in a line.
 * A bit each; the order is that of the table of screens (screens.c). */
enum sg_where {
    SG_ON_SHIFT = 1 << 0,
    SG_ON_JOB = 1 << 1,
    SG_ON_HOPPER = 1 << 2,
    SG_ON_SHEET = 1 << 3,
    SG_ON_JOB_SHEET = 1 << 4,
    SG_ON_IMPORT = 1 << 5,
    SG_ON_WHY = 1 << 6,
    SG_ON_WHAT_IF = 1 << 7,
    SG_ON_HISTORY = 1 << 8,
    SG_ON_FIELDS = 1 << 9,
    SG_ON_HELP = 1 << 10,
    SG_ON_QUOTE = 1 << 11,
    SG_ON_TRADE = 1 << 12,
    SG_ON_ACTUALS = 1 << 13,
    SG_IN_FIELD = 1 << 14,
    SG_IN_LINE = 1 << 15,
    SG_ON_PLANS = SG_ON_SHIFT | SG_ON_JOB | SG_ON_HOPPER | SG_ON_SHEET | SG_ON_WHAT_IF,
    SG_ON_ROWS = SG_ON_SHIFT | SG_ON_JOB,
    SG_ON_ALL = (1 << 14) - 1
};

enum sg_action_flag {
    SG_CHANGES = 1 << 0,    /* changes what is kept: not in read-only screens */
    SG_FIRST = 1 << 1,      /* stands in the line of keys before those without it */
    SG_BAR_ON_ROWS = 1 << 2 /* it stands there on Shift and Job only */
};

enum sg_action_group {
    SG_GROUP_CHANGE,
    SG_GROUP_ROWS,
    SG_GROUP_ASK,
    SG_GROUP_GO,
    SG_GROUP_FILE,
    SG_GROUP_TYPE,
    SG_GROUP_MOVE,
    SG_GROUPS
};

struct sg_action {
    const char *name; /* as typed after : */
    const char *keys; /* names of keys, blanks between; two letters in a row are two keys: "gs" */
    unsigned where;   /* enum sg_where */
    unsigned flags;   /* enum sg_action_flag */
    enum sg_action_group group;
    const char *bar;  /* in the line of keys, two words at most; NULL: not there */
    const char *help; /* one sentence */
    void (*run)(struct sg_ui *ui);
};

extern const struct sg_action sg_actions[]; /* ended by a NULL name */

/* The word of a group, of a place. */
const char *sg_group_word(enum sg_action_group group);

/* The action that a key (and a second one, or 0) means in a place; NULL. *first (may be NULL) is set where
 * the key begins a pair. */
const struct sg_action *sg_action_find(int32_t stroke, int32_t second, unsigned where, bool *first);

/* The action of a name; NULL. */
const struct sg_action *sg_action_named(const char *name);

/* What the second key of a pair does there, in a word: "shift" of "gs"; NULL where the action is no pair of
 * that first key. */
const char *sg_action_second(const struct sg_action *action, char first, unsigned where);

/* The first key of an action, as written; "" where it has none. */
int sg_action_key(const struct sg_action *action, char *out, int size);

#endif
