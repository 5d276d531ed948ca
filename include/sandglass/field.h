/* The table of fields: everything a person can set, once.
 *
 * Commands, the parts list, the shop file and the screens all read this table: the name typed, the column of
 * the shop file, the place in the struct, the unit of a bare number, the range, and one sentence of meaning.
 * Adding a field is a member in shop.h, a row in field.c and a column in a migration. */
#ifndef SANDGLASS_FIELD_H
#define SANDGLASS_FIELD_H

#include "sandglass/items.h"
#include "sandglass/number.h"
#include "sandglass/shop.h"

/* What a field belongs to. */
enum sg_kind {
    SG_KIND_JOB,
    SG_KIND_STOCK,
    SG_KIND_PART,
    SG_KIND_SHIFT,
    SG_KIND_MACHINE,
    SG_KIND_HEAD,
    SG_KIND_MATERIAL,
    SG_KIND_CHORE,
    SG_KIND_RATES,
    SG_KIND_CLOCK,
    SG_KIND_RECORD,
    SG_KINDS
};

/* How a field is held in the struct (and in struct sg_value). */
enum sg_field_type {
    SG_FIELD_NUMBER,   /* double; NaN: not known */
    SG_FIELD_NUMBERS,  /* `count` doubles in a row, typed with blanks or commas between */
    SG_FIELD_WHOLE,    /* int32_t; SG_UNKNOWN: not known */
    SG_FIELD_EDGE,     /* double 1 to 5, or its word */
    SG_FIELD_CHOICE,   /* int32_t index into words; yes/no is a choice of no = 0, yes = 1 */
    SG_FIELD_FLAGS,    /* int32_t bits of words, typed with commas between */
    SG_FIELD_TEXT,     /* const char *, UTF-8 */
    SG_FIELD_DATE,     /* int32_t days; SG_NO_DATE: none */
    SG_FIELD_TIME,     /* int32_t seconds after midnight */
    SG_FIELD_MOMENT,   /* int64_t local seconds; SG_NO_MOMENT: none */
    SG_FIELD_SPANS,    /* int32_t count directly before struct sg_span[SG_MAX_SPANS] */
    SG_FIELD_DATES,    /* int32_t count directly before int32_t[SG_MAX_DAYS] */
    SG_FIELD_SIZES,    /* struct sg_items: sizes of sheets */
    SG_FIELD_PLACES,   /* struct sg_items: places on a sheet */
    SG_FIELD_MATERIAL, /* int32_t index into shop->materials */
    SG_FIELD_HEAD,     /* ... into shop->heads */
    SG_FIELD_SHIFT,    /* ... into shop->shifts */
    SG_FIELD_OUTLINE   /* ... into shop->drawn */
};

enum sg_field_flag {
    SG_FIELD_OPTIONAL = 1 << 0,  /* `none` clears it */
    SG_FIELD_ABOVE_MIN = 1 << 1, /* the minimum itself is impossible */
    SG_FIELD_MISSING = 1 << 2,   /* not known until it is typed, and then never cleared */
};

enum { SG_TEXT_MAX = 200, SG_NOTE_MAX = 10000 }; /* characters of a text field, of a note */

struct sg_field {
    enum sg_kind kind;
    const char *name;   /* as typed in F=V */
    const char *column; /* in the shop file; of NUMBERS with a %d for 1, 2, ... */
    enum sg_field_type type;
    enum sg_dimension dimension;
    size_t offset;            /* in the struct of its kind */
    int count;                /* of NUMBERS, else 1 */
    unsigned flags;           /* enum sg_field_flag */
    double min, max;          /* canonical unit; for TEXT max is the length in characters */
    double odd;               /* above this it is kept and marked odd; 0: never */
    double odd_below;         /* likewise below this, but for 0 */
    const char *const *words; /* of CHOICE and FLAGS, ended by NULL; of NUMBERS, what each number is for */
    enum sg_colon colon;
    const char *bare_us, *bare_metric; /* unit of a bare number; NULL: the shop's of the dimension */
    const char *meaning;               /* one sentence */
};

/* The rows of one kind, in the order in which they are shown and stored. */
const struct sg_field *sg_fields(enum sg_kind kind, int *count);

/* The row with that name, or NULL. */
const struct sg_field *sg_field_find(enum sg_kind kind, const char *name);

/* The kind's word: "job", "stock", ... and its size as a struct. */
const char *sg_kind_word(enum sg_kind kind);
size_t sg_kind_size(enum sg_kind kind);

/* A value of any field, out of its struct. Text is borrowed. */
struct sg_value {
    bool none;               /* not known or not set; the rest does not matter */
    double number[SG_EDGES]; /* NUMBER, EDGE: [0]; NUMBERS */
    int64_t whole;           /* WHOLE, CHOICE, FLAGS, DATE, TIME, MOMENT, and the references' index */
    const char *text;        /* TEXT */
    int32_t count;           /* SPANS, DATES */
    struct sg_span spans[SG_MAX_SPANS];
    int32_t days[SG_MAX_DAYS];
    struct sg_items items; /* SIZES, PLACES */
};

struct sg_typed {
    enum sg_parse_state state;
    struct sg_value value; /* if whole; a text points into the text that was read */
    size_t length;         /* of a text: its bytes without the blanks behind it, which may follow */
    bool odd;              /* possible but odd: kept and marked */
    size_t at;             /* byte of the text where it went wrong */
    char text[300];        /* why not, with what would be right; or what is worth saying; or "" */
};

/* Read the text typed into a field. shop gives the units of bare numbers, the mass of a bag and the names of
 * materials, heads and shifts. A text value starts behind the blanks in front and is
 * copied nowhere; its length leaves out those behind. It is checked for length, valid UTF-8 and control
 * characters. */
void sg_field_read(const struct sg_field *field, const struct sg_shop *shop, const char *text,
                   struct sg_typed *out);

/* The same with a unit for bare numbers that overrules the field's (a parts list says it in a header). */
void sg_field_read_unit(const struct sg_field *field, const struct sg_shop *shop, const char *text,
                        const struct sg_unit *bare, struct sg_typed *out);

/* Between a struct of the field's kind and a value. */
void sg_field_get(const struct sg_field *field, const void *record, struct sg_value *out);
void sg_field_put(const struct sg_field *field, void *record, const struct sg_value *value);
bool sg_field_same(const struct sg_field *field, const struct sg_value *a, const struct sg_value *b);

/* Whether a value is one that this field may hold (the range of the table); the shop file is checked with it.
 */
bool sg_field_in_range(const struct sg_field *field, const struct sg_value *value);

/* Write a value as a person of this shop reads it, unit behind it, "none" if not set. As snprintf returns. */
int sg_field_show(const struct sg_field *field, const struct sg_shop *shop, const struct sg_value *value,
                  char *out, size_t size);

/* Write "0.1 to 8 in" or the words of a choice: what is accepted here. As snprintf returns. */
int sg_field_range(const struct sg_field *field, const struct sg_shop *shop, char *out, size_t size);

/* The unit of a bare number in this shop; NULL for a field without numbers. */
const struct sg_unit *sg_field_unit(const struct sg_field *field, enum sg_unit_system system);

/* Index of the material, head, shift with that name, SG_UNKNOWN where there is none. Materials match whatever
 * the case, by name, by alias, or by the beginning of a name where only one material has it; *others (may be
 * NULL) then says how many a beginning matched. */
int sg_find_material(const struct sg_shop *shop, const char *name, int *others);
/* Why the library has not just one material of that name, with up to three names that are near, best first;
 * others is what sg_find_material said. As snprintf returns. */
enum { SG_NEAR_SIZE = 800 };
int sg_near_materials(const struct sg_shop *shop, const char *name, int others, char *out, size_t size);

int sg_find_head(const struct sg_shop *shop, const char *name);
int sg_find_drawn(const struct sg_shop *shop, const char *name);
int sg_find_shift(const struct sg_shop *shop, const char *id);

/* The words of choices, ended by NULL; index = the enum. */
extern const char *const sg_words_yes_no[];
extern const char *const sg_words_head_kind[];
extern const char *const sg_words_pierce[];
extern const char *const sg_words_owner[];
extern const char *const sg_words_edge[]; /* [0] is edge 1, "separation" */
extern const char *const sg_words_hazard[];
extern const char *const sg_words_record[];

/* The word for an edge of 1 to 5, rounded to the nearest. */
const char *sg_edge_word(double edge);

#endif
