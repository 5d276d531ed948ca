#include "tui/entry.h"

#include "sandglass/utf8.h"

#include <stdlib.h>
#include <string.h>

void sg_entry_free(struct sg_entry *entry)
{
    free(entry->text);
    *entry = (struct sg_entry){0};
}

const char *sg_entry_text(const struct sg_entry *entry)
{
    return entry->text ? entry->text : "";
}

static bool is_inside(char byte)
{
    return ((unsigned char)byte & 0xC0) == 0x80;
}

static size_t characters(const char *text, size_t length)
{
    size_t n = 0;
    for (size_t i = 0; i < length; i++)
        n += !is_inside(text[i]);
    return n;
}

size_t sg_entry_characters(const struct sg_entry *entry)
{
    return characters(sg_entry_text(entry), entry->length);
}

static bool grow(struct sg_entry *entry, size_t length)
{
    if (length + 1 <= entry->room)
        return true;
    size_t room = length + 1 < 64 ? 64 : (length + 1) * 2;
    char *text = realloc(entry->text, room);
    if (!text)
        return false;
    entry->text = text;
    entry->room = room;
    return true;
}

bool sg_entry_insert(struct sg_entry *entry, const char *text, size_t length)
{
    if (entry->most > 0 && sg_entry_characters(entry) + characters(text, length) > entry->most)
        return false;
    if (!grow(entry, entry->length + length))
        return false;
    char *at = entry->text + entry->cursor;
    memmove(at + length, at, entry->length - entry->cursor);
    memcpy(at, text, length);
    entry->length += length;
    entry->cursor += length;
    entry->text[entry->length] = '\0';
    return true;
}

bool sg_entry_set(struct sg_entry *entry, const char *text)
{
    size_t length = strlen(text);
    if ((entry->most > 0 && characters(text, length) > entry->most) || !grow(entry, length))
        return false;
    memmove(entry->text, text, length + 1); /* text may be the entry's own */
    entry->length = entry->cursor = length;
    return true;
}

bool sg_entry_type(struct sg_entry *entry, uint32_t character)
{
    char bytes[4];
    size_t n;
    if (character < 0x80) {
        bytes[0] = (char)character;
        n = 1;
    } else {
        n = character < 0x800 ? 2 : character < 0x10000 ? 3 : 4;
        for (size_t i = n - 1; i > 0; i--, character >>= 6)
            bytes[i] = (char)(0x80 | (character & 0x3F));
        bytes[0] = (char)((0xF0 << (4 - n)) | character);
    }
    return sg_entry_insert(entry, bytes, n);
}

void sg_entry_left(struct sg_entry *entry)
{
    while (entry->cursor > 0 && is_inside(entry->text[--entry->cursor]))
        ;
}

void sg_entry_right(struct sg_entry *entry)
{
    if (entry->cursor < entry->length)
        entry->cursor++;
    while (entry->cursor < entry->length && is_inside(entry->text[entry->cursor]))
        entry->cursor++;
}

void sg_entry_home(struct sg_entry *entry)
{
    entry->cursor = 0;
}

void sg_entry_end(struct sg_entry *entry)
{
    entry->cursor = entry->length;
}

/* Take out the bytes between the cursor and another place. */
static void cut_out(struct sg_entry *entry, size_t from, size_t to)
{
    if (!entry->text)
        return;
    memmove(entry->text + from, entry->text + to, entry->length - to + 1);
    entry->length -= to - from;
    entry->cursor = from;
}

void sg_entry_rub_left(struct sg_entry *entry)
{
    size_t to = entry->cursor;
    sg_entry_left(entry);
    cut_out(entry, entry->cursor, to);
}

void sg_entry_rub_right(struct sg_entry *entry)
{
    size_t from = entry->cursor;
    sg_entry_right(entry);
    cut_out(entry, from, entry->cursor);
}

void sg_entry_rub_word(struct sg_entry *entry)
{
    size_t to = entry->cursor;
    while (entry->cursor > 0 && entry->text[entry->cursor - 1] == ' ')
        entry->cursor--;
    while (entry->cursor > 0 && entry->text[entry->cursor - 1] != ' ')
        entry->cursor--;
    cut_out(entry, entry->cursor, to);
}

void sg_entry_rub_rest(struct sg_entry *entry)
{
    cut_out(entry, entry->cursor, entry->length);
}

void sg_entry_clear(struct sg_entry *entry)
{
    cut_out(entry, 0, entry->length);
}
