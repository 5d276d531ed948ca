#include "edit/left_record.h"
#include "sandglass/utf8.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A head of numbers of eight bytes, the lowest first, then strings, each with its NUL: field, before, who,
 * text, the keys; filled up to a multiple of eight. */
enum {
    MAGIC,
    SUM, /* of all that follows it */
    SIZE,
    GENERATION,
    SHOP,
    AT,
    CURSOR,
    KEYS,
    NUMBERS
};
enum { HEAD = 8 * NUMBERS, SUMMED_FROM = 8 * (SUM + 1), STRINGS = 4, MAGIC_SIZE = 8, FIRST_SLOT = 4096 };

/* A change of the layout gets another digit at the end: a program leaves alone what it cannot read. */
static const unsigned char magic[MAGIC_SIZE] = {'s', 'g', 'd', 'r', 'a', 'f', 't', '1'};

static uint64_t get(const unsigned char *from)
{
    uint64_t number = 0;
    for (unsigned i = 0; i < 8; i++)
        number |= (uint64_t)from[i] << 8 * i;
    return number;
}

static void put(unsigned char *to, uint64_t number)
{
    for (unsigned i = 0; i < 8; i++)
        to[i] = (unsigned char)(number >> 8 * i & 0xFF);
}

/* Not against anybody's will: only to tell a whole record from a torn one. */
static uint64_t sum_of(const unsigned char *record, size_t size)
{
    uint64_t sum = size;
    for (size_t i = SUMMED_FROM; i < size; i += 8) {
        sum = (sum ^ get(record + i)) * 0x9E3779B97F4A7C15U;
        sum ^= sum >> 32;
    }
    return sum;
}

static uint64_t bits_of(double number)
{
    uint64_t bits;
    memcpy(&bits, &number, sizeof bits);
    return bits;
}

static double number_of(uint64_t bits)
{
    double number;
    memcpy(&number, &bits, sizeof number);
    return number;
}

/* ---- written ---- */

size_t sg_left_record_size(const struct sg_left_text *text)
{
    const char *const strings[STRINGS] = {text->field, text->before, text->who, text->text};
    size_t size = HEAD;
    for (int i = 0; i < STRINGS; i++)
        size += strlen(strings[i]) + 1;
    for (int i = 0; i < text->n; i++)
        size += strlen(text->keys[i]) + 1;
    return (size + 7) / 8 * 8;
}

static unsigned char *put_string(unsigned char *to, const char *string)
{
    size_t size = strlen(string) + 1;
    memcpy(to, string, size);
    return to + size;
}

void sg_left_record_write(unsigned char *record, const struct sg_left_head *head,
                          const struct sg_left_text *text)
{
    const char *const strings[STRINGS] = {text->field, text->before, text->who, text->text};
    unsigned char *to = record + HEAD;
    for (int i = 0; i < STRINGS; i++)
        to = put_string(to, strings[i]);
    for (int i = 0; i < text->n; i++)
        to = put_string(to, text->keys[i]);
    memset(to, 0, (size_t)(record + head->size - to));
    memcpy(record, magic, sizeof magic);
    put(record + 8 * SIZE, head->size);
    put(record + 8 * GENERATION, head->generation);
    put(record + 8 * SHOP, head->shop);
    put(record + 8 * AT, bits_of(text->at));
    put(record + 8 * CURSOR, text->cursor);
    put(record + 8 * KEYS, (uint64_t)text->n);
    put(record + 8 * SUM, sum_of(record, head->size));
}

/* ---- read ---- */

static bool read_at(int fd, unsigned char *to, size_t size, size_t at)
{
    while (size > 0) {
        ssize_t n = pread(fd, to, size, (off_t)at);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return false;
        to += n;
        size -= (size_t)n;
        at += (size_t)n;
    }
    return true;
}

static bool is_magic(const unsigned char begin[MAGIC_SIZE])
{
    return memcmp(begin, magic, sizeof magic) == 0;
}

/* Whether a record can begin so, with `left` bytes up to the end of the file. */
static bool read_head(const unsigned char bytes[HEAD], size_t left, struct sg_left_head *head)
{
    uint64_t size = get(bytes + 8 * SIZE), keys = get(bytes + 8 * KEYS);
    if (!is_magic(bytes) || size < HEAD || size % 8 != 0 || size > left || size > SG_LEFT_MOST ||
        keys > size - HEAD)
        return false;
    *head = (struct sg_left_head){
        .size = size, .keys = keys, .generation = get(bytes + 8 * GENERATION), .shop = get(bytes + 8 * SHOP)};
    return true;
}

static bool is_whole(const unsigned char *record, size_t size)
{
    return get(record + 8 * SIZE) == size && sum_of(record, size) == get(record + 8 * SUM);
}

bool sg_left_begins(int fd)
{
    unsigned char begin[MAGIC_SIZE];
    return read_at(fd, begin, sizeof begin, 0) && is_magic(begin);
}

size_t sg_left_next_slot(size_t at)
{
    return at == 0 ? FIRST_SLOT : 2 * at;
}

/* The record that begins there, if it is whole and newer than `newest`. */
static enum sg_left_reading read_record(int fd, size_t at, size_t left, uint64_t newest,
                                        struct sg_left_record *record)
{
    unsigned char bytes[HEAD];
    struct sg_left_head head;
    if (left < sizeof bytes)
        return SG_LEFT_TORN;
    if (!read_at(fd, bytes, sizeof bytes, at))
        return SG_LEFT_NOT_READ;
    if (!read_head(bytes, left, &head) || head.generation <= newest)
        return SG_LEFT_TORN;
    unsigned char *whole = malloc(head.size + head.keys * sizeof(char *));
    enum sg_left_reading reading =
        whole && read_at(fd, whole, head.size, at) ? SG_LEFT_WHOLE : SG_LEFT_NOT_READ;
    if (reading == SG_LEFT_WHOLE && !is_whole(whole, head.size))
        reading = SG_LEFT_TORN;
    if (reading == SG_LEFT_WHOLE)
        *record = (struct sg_left_record){.bytes = whole, .head = head, .at = at};
    else
        free(whole);
    return reading;
}

enum sg_left_reading sg_left_record_newest(int fd, size_t size, struct sg_left_record *newest)
{
    *newest = (struct sg_left_record){0};
    for (size_t at = 0; at < size && at <= SG_LEFT_MOST; at = sg_left_next_slot(at)) {
        struct sg_left_record record;
        enum sg_left_reading reading = read_record(fd, at, size - at, newest->head.generation, &record);
        if (reading == SG_LEFT_TORN)
            continue;
        free(newest->bytes);
        if (reading == SG_LEFT_NOT_READ)
            return SG_LEFT_NOT_READ;
        *newest = record;
    }
    return newest->bytes ? SG_LEFT_WHOLE : SG_LEFT_TORN;
}

static bool is_utf8(const char *string)
{
    for (size_t left = strlen(string), n; left > 0; string += n, left -= n) {
        n = sg_utf8_character(string, left, NULL);
        if (n == 0)
            return false;
    }
    return true;
}

/* The next string of the record; NULL where it has no end or is not text. */
static const char *take_string(const unsigned char **from, const unsigned char *end)
{
    const unsigned char *begin = *from, *nul = memchr(begin, 0, (size_t)(end - begin));
    if (!nul)
        return NULL;
    *from = nul + 1;
    return is_utf8((const char *)begin) ? (const char *)begin : NULL;
}

/* Between two characters, or at an end. */
static bool is_place(const char *text, uint64_t cursor)
{
    return cursor <= strlen(text) && ((unsigned char)text[cursor] & 0xC0) != 0x80;
}

bool sg_left_record_read(const struct sg_left_record *record, struct sg_left_text *text)
{
    const unsigned char *from = record->bytes + HEAD, *end = record->bytes + record->head.size;
    const char *strings[STRINGS];
    /* Aligned: the size is a multiple of eight. */
    const char **keys = (const char **)(void *)(record->bytes + record->head.size);
    for (int i = 0; i < STRINGS; i++)
        if (!(strings[i] = take_string(&from, end)))
            return false;
    for (size_t i = 0; i < record->head.keys; i++)
        if (!(keys[i] = take_string(&from, end)))
            return false;
    uint64_t cursor = get(record->bytes + 8 * CURSOR);
    if (!is_place(strings[3], cursor))
        return false;
    *text = (struct sg_left_text){.keys = keys,
                                  .n = (int)record->head.keys,
                                  .field = strings[0],
                                  .before = strings[1],
                                  .who = strings[2],
                                  .text = strings[3],
                                  .cursor = cursor,
                                  .at = number_of(get(record->bytes + 8 * AT))};
    return true;
}
