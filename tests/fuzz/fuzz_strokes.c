/* Any bytes as what a terminal sends. The first byte chooses whether they are UTF-8 and how they are split;
 * the inputs must not depend on where. Each input is a key with a name, a place on a screen, or text. */
#include "sandglass/utf8.h"
#include "tui/stroke.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool truth, const char *what)
{
    if (truth)
        return;
    fprintf(stderr, "not so: %s\n", what);
    abort();
}

/* What came out, in short: the same inputs make the same sum. */
struct told {
    uint64_t sum;
    size_t inputs;
};

static void add(struct told *told, const void *bytes, size_t length)
{
    const unsigned char *each = bytes;
    for (size_t i = 0; i < length; i++)
        told->sum = (told->sum ^ each[i]) * 0x100000001B3u;
}

static void check_text(const struct sg_input *input)
{
    require(input->text && input->text[input->length] == '\0', "a paste is a text");
    for (size_t at = 0, bytes; at < input->length; at += bytes) {
        bytes = sg_utf8_character(input->text + at, input->length - at, NULL);
        require(bytes > 0, "a paste is UTF-8");
        require(input->text[at] != '\r' && input->text[at] != '\0', "its lines end in LF");
    }
}

static void tell(struct told *told, const struct sg_input *input)
{
    char name[40];
    if (input->kind == SG_INPUT_NOTHING)
        return;
    told->inputs++;
    add(told, &input->kind, sizeof input->kind);
    add(told, &input->stroke, sizeof input->stroke);
    add(told, &input->row, sizeof input->row);
    add(told, &input->column, sizeof input->column);
    add(told, input->text, input->length);
    if (input->kind == SG_INPUT_STROKE)
        require(sg_stroke_name(input->stroke, name, sizeof name) > 0, "a key has a name");
    else if (input->kind == SG_INPUT_PASTE)
        check_text(input);
    else
        require(input->row >= 0 && input->column >= 0, "a place is on a screen");
}

static void take(struct sg_strokes *strokes, const uint8_t *bytes, size_t length, struct told *told)
{
    struct sg_input input;
    for (size_t used = 0; used < length || sg_strokes_wait(strokes, 25) == 0;) {
        size_t before = strokes->n_again;
        size_t n = sg_strokes_take(strokes, (const char *)bytes + used, length - used, &input);
        require(n <= length - used, "no more is read than there is");
        require(n > 0 || strokes->n_again < before, "each call gets on");
        used += n;
        tell(told, &input);
    }
}

static void be_late(struct sg_strokes *strokes, struct told *told)
{
    struct sg_input input;
    for (int i = 0; sg_strokes_wait(strokes, 25) >= 0; i++) {
        require(i < 2 * SG_SEQUENCE_MAX, "waiting comes to an end");
        sg_strokes_late(strokes, &input);
        tell(told, &input);
    }
}

static bool decode(void *context, unsigned char byte, uint32_t *code)
{
    *code = (uint32_t)byte + *(const unsigned *)context;
    return byte != 0xFF;
}

static struct told read_all(const uint8_t *data, size_t size, unsigned how, size_t piece)
{
    static const struct sg_sequence own[] = {{"\x1B?p", SG_STROKE_INSERT}, {"\x1B[M", SG_STROKE_F1}};
    unsigned shift = 0x100;
    struct sg_strokes strokes = {.own = how & 1 ? own : NULL, .n_own = how & 1 ? 2 : 0};
    struct told told = {0xCBF29CE484222325u, 0};
    if (how & 2) {
        strokes.decode = decode;
        strokes.context = &shift;
    }
    for (size_t at = 0; at < size; at += piece) {
        take(&strokes, data + at, size - at < piece ? size - at : piece, &told);
        if (how & 4)
            be_late(&strokes, &told);
    }
    be_late(&strokes, &told);
    require(told.inputs <= size, "no input comes from nothing");
    struct told after = {0, 0};
    take(&strokes, (const uint8_t *)"j", 1, &after);
    require(after.inputs == 1, "at rest a key is a key");
    sg_strokes_free(&strokes);
    return told;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;
    unsigned how = data[0];
    size_t piece = 1 + (how >> 3);
    read_all(data + 1, size - 1, how, piece);
    struct told whole = read_all(data + 1, size - 1, how & 3, size);
    struct told split = read_all(data + 1, size - 1, how & 3, piece);
    require(whole.sum == split.sum && whole.inputs == split.inputs, "inputs do not depend on the pieces");
    return 0;
}
