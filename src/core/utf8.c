#include "sandglass/utf8.h"

/* Bytes behind each lead byte, and what the first of them may be: no surrogates, nothing longer than needed,
 * nothing over U+10FFFF (the table of well-formed sequences of the Unicode standard, section 3.9). */
static const struct {
    unsigned char first, last, more, low, high;
} leads[] = {
    {0xC2, 0xDF, 1, 0x80, 0xBF}, {0xE0, 0xE0, 2, 0xA0, 0xBF}, {0xE1, 0xEC, 2, 0x80, 0xBF},
    {0xED, 0xED, 2, 0x80, 0x9F}, {0xEE, 0xEF, 2, 0x80, 0xBF}, {0xF0, 0xF0, 3, 0x90, 0xBF},
    {0xF1, 0xF3, 3, 0x80, 0xBF}, {0xF4, 0xF4, 3, 0x80, 0x8F},
};

static uint32_t code_point(const unsigned char *bytes, size_t length)
{
    uint32_t code = length == 1 ? bytes[0] : bytes[0] & (0xFFu >> (length + 1));
    for (size_t i = 1; i < length; i++)
        code = code << 6 | (bytes[i] & 0x3Fu);
    return code;
}

static size_t character_length(const unsigned char *bytes, size_t left)
{
    if (left == 0)
        return 0;
    if (bytes[0] < 0x80)
        return 1;
    for (size_t i = 0; i < sizeof leads / sizeof *leads; i++) {
        if (bytes[0] < leads[i].first || bytes[0] > leads[i].last)
            continue;
        size_t length = 1u + leads[i].more;
        if (left < length || bytes[1] < leads[i].low || bytes[1] > leads[i].high)
            return 0;
        for (size_t k = 2; k < length; k++)
            if ((bytes[k] & 0xC0) != 0x80)
                return 0;
        return length;
    }
    return 0;
}

size_t sg_utf8_character(const char *text, size_t left, uint32_t *code)
{
    const unsigned char *bytes = (const unsigned char *)text;
    size_t length = character_length(bytes, left);
    if (code && length > 0)
        *code = code_point(bytes, length);
    return length;
}

bool sg_utf8_hidden(uint32_t code)
{
    static const struct {
        uint32_t first, last;
    } ranges[] = {{0, 0x1F},        {0x7F, 0x9F},     {0x61C, 0x61C},   {0x200E, 0x200F},
                  {0x2028, 0x2029}, {0x202A, 0x202E}, {0x2066, 0x2069}, {0xFEFF, 0xFEFF}};
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}
