/* A line of text under the fingers. The text is always valid UTF-8; the cursor stands between characters. */
#ifndef SANDGLASS_ENTRY_H
#define SANDGLASS_ENTRY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sg_entry {
    char *text; /* owned; NULL is "" */
    size_t length, room, cursor;
    size_t most; /* characters it takes; 0: any */
};

void sg_entry_free(struct sg_entry *entry);
const char *sg_entry_text(const struct sg_entry *entry);

/* Replace all of it, the cursor at the end. False where memory is out or it is longer than `most`. */
bool sg_entry_set(struct sg_entry *entry, const char *text);

/* Put a text at the cursor, whole or not at all. */
bool sg_entry_insert(struct sg_entry *entry, const char *text, size_t length);
bool sg_entry_type(struct sg_entry *entry, uint32_t character);

/* Each is one key of the table of actions. */
void sg_entry_left(struct sg_entry *entry);
void sg_entry_right(struct sg_entry *entry);
void sg_entry_home(struct sg_entry *entry);
void sg_entry_end(struct sg_entry *entry);
void sg_entry_rub_left(struct sg_entry *entry);
void sg_entry_rub_right(struct sg_entry *entry);
void sg_entry_rub_word(struct sg_entry *entry);
void sg_entry_rub_rest(struct sg_entry *entry);
void sg_entry_clear(struct sg_entry *entry);

/* Characters in it. */
size_t sg_entry_characters(const struct sg_entry *entry);

#endif
