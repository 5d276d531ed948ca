/* Bytes of terminals in, keys out. What terminals send is from the control sequences of xterm
 * (ctlseqs, "PC-Style Function Keys", "VT220-Style", "Bracketed Paste", "SGR mouse"), console_codes(4) and
 * the terminfo entries vt100, rxvt, linux and screen of ncurses 6.4. */
#include "tui/stroke.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 4096 };

/* What came out, as words with a blank between: "Esc j paste:3:abc click:4,2 wheel:1,1,-1". */
static char told[MOST];

static void tell(const struct sg_input *input)
{
    char name[20], *at = told + strlen(told);
    size_t room = sizeof told - strlen(told);
    const char *blank = *told ? " " : "";
    sg_stroke_name(input->stroke, name, sizeof name);
    switch (input->kind) {
    case SG_INPUT_NOTHING:
        break;
    case SG_INPUT_STROKE:
        snprintf(at, room, "%s%s", blank, name);
        break;
    case SG_INPUT_PASTE:
        snprintf(at, room, "%spaste:%zu:%s", blank, input->length, input->text ? input->text : "none");
        ck_assert(!input->text || strlen(input->text) == input->length);
        break;
    case SG_INPUT_CLICK:
        snprintf(at, room, "%sclick:%d,%d", blank, input->row, input->column);
        break;
    case SG_INPUT_WHEEL:
        snprintf(at, room, "%swheel:%d,%d,%d", blank, input->row, input->column, input->stroke);
        break;
    default:
        ck_abort_msg("an input of kind %d", input->kind);
    }
}

static void take(struct sg_strokes *strokes, const char *bytes, size_t length)
{
    struct sg_input input;
    for (size_t used = 0; used < length || sg_strokes_wait(strokes, 25) == 0;) {
        used += sg_strokes_take(strokes, bytes + used, length - used, &input);
        tell(&input);
    }
}

static void be_late(struct sg_strokes *strokes)
{
    struct sg_input input;
    for (int i = 0; sg_strokes_wait(strokes, 25) >= 0; i++) {
        ck_assert_int_lt(i, 70); /* it comes to an end */
        sg_strokes_late(strokes, &input);
        tell(&input);
    }
}

static const char *keys_of(const char *bytes, size_t length)
{
    struct sg_strokes strokes = {0};
    *told = '\0';
    take(&strokes, bytes, length);
    be_late(&strokes);
    sg_strokes_free(&strokes);
    return told;
}

static const struct {
    const char *bytes;
    const char *keys;
} sent[] = {
    {"j", "j"},
    {" \t\r\n\x7F\b", "Space Tab Enter Enter Backspace Backspace"},
    {"\x03\x12\x1A\x1F", "Ctrl-C Ctrl-R Ctrl-Z Ctrl-_"},
    {"\xC3\xA9\xE6\x97\xA5\xF0\x9F\x9A\x80", "\xC3\xA9 \xE6\x97\xA5 \xF0\x9F\x9A\x80"},
    /* what is no UTF-8 is nothing, and eats nothing behind it */
    {"\xFFj", "j"},
    {"\xC3j", "j"},
    {"\xE6\x97j", "j"},
    {"\xC3\xC3\xA9", "\xC3\xA9"},
    {"\xC0\xAFj", "j"},
    {"\xED\xA0\x80j", "j"},
    {"\xC2\x9B"
     "Aj",
     "A j"}, /* U+009B */
    {"\xE6\x1B[A", "Up"},
    /* Esc */
    {"\x1B", "Esc"},
    {"\x1Bj", "Esc j"},
    {"\x1B\x1B", "Esc Esc"},
    {"\x1B\r", "Esc Enter"},
    {"\x1B\x7F", "Esc Backspace"},
    {"\x1B\xC3\xA9", "Esc \xC3\xA9"},
    {"\x1B\x1B[A", "Esc Up"},
    {"\x1BPx", "Esc P x"}, /* not an answer of the terminal */
    {"\x1B]x", "Esc ] x"},
    {"\x1BX", "Esc X"},
    {"\x1B[", "Esc ["}, /* nothing came behind it */
    {"\x1BO", "Esc O"},
    {"\x1BP", "Esc P"},
    {"\x1B:\x1B\x1Bq", "Esc : Esc Esc q"},
    /* arrows */
    {"\x1B[A\x1B[B\x1B[C\x1B[D", "Up Down Right Left"},
    {"\x1BOA\x1BOB\x1BOC\x1BOD", "Up Down Right Left"},
    /* xterm, tmux; linux, screen; rxvt; in application mode */
    {"\x1B[H\x1B[F\x1B[2~\x1B[3~\x1B[5~\x1B[6~\x1B[Z", "Home End Insert Delete PgUp PgDn Shift-Tab"},
    {"\x1B[1~\x1B[4~\x1B[7~\x1B[8~\x1BOH\x1BOF", "Home End Home End Home End"},
    {"\x1BOP\x1BOQ\x1BOR\x1BOS", "F1 F2 F3 F4"},
    {"\x1B[11~\x1B[12~\x1B[13~\x1B[14~", "F1 F2 F3 F4"},
    {"\x1B[[A\x1B[[B\x1B[[C\x1B[[D\x1B[[E", "F1 F2 F3 F4 F5"},
    {"\x1B[15~\x1B[17~\x1B[18~\x1B[19~\x1B[20~\x1B[21~\x1B[23~\x1B[24~", "F5 F6 F7 F8 F9 F10 F11 F12"},
    /* the keypad in application mode */
    {"\x1BOp\x1BOq\x1BOr\x1BOs\x1BOt\x1BOu\x1BOv\x1BOw\x1BOx\x1BOy", "0 1 2 3 4 5 6 7 8 9"},
    {"\x1BOj\x1BOk\x1BOl\x1BOm\x1BOn\x1BOo\x1BOX\x1BOM\x1BOI\x1BO ", "* + , - . / = Enter Tab Space"},
    /* with modifiers: no key, and nothing of it is one */
    {"\x1B[1;5Dj", "j"},
    {"\x1B[1;2A\x1B[3;5~\x1B[15;2~j", "j"},
    {"\x1BO5Cj", "j"},
    {"\x1BOaj", "j"},
    {"\x1B[27;5;13~\x1B[13;5uj", "j"},
    {"\x1B[7$\x1B[8^\x1B[3@j", "j"},
    /* answers and news of terminals */
    {"\x1B[Ij\x1B[Ok", "j k"},
    {"\x1B[?62;1;6cj", "j"},
    {"\x1B[24;80Rj", "j"},
    {"\x1B[?2026;2$yj", "j"},
    {"\x1BP1$r0m\x1B\\j", "j"},
    {"\x1BP>|one(370)\x1B\\j", "j"},
    {"\x1B]11;rgb:0000/0000/0000\x07j", "j"},
    {"\x1B]11;rgb:0000/0000/0000\x1B\\j", "j"},
    {"\x1B_Gi=1;OK\x1B\\j", "j"},
    {"\x1B]0;broken\x18j", "j"},
    {"\x1B]0;broken\x1B[Aj", "Up j"},
    /* broken off */
    {"\x1B[1\x1B[A", "Up"},
    {"\x1B[1\rj", "Enter j"},
    {"\x1B[1\xC3\xA9", "\xC3\xA9"},
    {"\x1BO\r", "Esc O Enter"},
    {"\x1BO5\r", "Enter"},
    {"\x1B[12", ""},
    {"\x1B]0;never ends", ""},
    /* longer than any room */
    {"\x1B[1;2;3;4;5;6;7;8;9;10;11;12;13;14;15;16;17;18;19;20;21;22;23;24;25;26;27;28;29;30mj", "j"},
    {"\x1B[1;2;3;4;5;6;7;8;9;10;11;12;13;14;15;16;17;18;19;20;21;22;23;24;25;26;27;28;29;30\rj", "Enter j"},
    /* mouse */
    {"\x1B[<0;3;5M\x1B[<0;3;5m", "click:4,2"},
    {"\x1B[<64;1;2M\x1B[<65;1;2M", "wheel:1,0,-1 wheel:1,0,1"},
    {"\x1B[<1;3;5M\x1B[<2;3;5M\x1B[<4;3;5M\x1B[<32;3;5M\x1B[<35;3;5Mj", "j"},
    {"\x1B[<0;0;5M\x1B[<0;5M\x1B[<0;1;2;3M\x1B[<;;M\x1B[<99999999999;1;1Mj", "j"},
    {"\x1B[M !\"", "click:1,0"},
    {"\x1B[M`!\"\x1B[Ma!\"\x1B[M#!\"j", "wheel:1,0,-1 wheel:1,0,1 j"},
    {"\x1B[32;3;5Mj", "j"},
    /* paste */
    {"\x1B[200~abc\x1B[201~j", "paste:3:abc j"},
    {"\x1B[200~\x1B[201~", "paste:0:"},
    {"\x1B[200~q\rx\r\ny\n\x1B[201~", "paste:6:q\nx\ny\n"},
    {"\x1B[200~\r\r\n\n\x1B[201~", "paste:3:\n\n\n"},
    {"\x1B[200~a\xFF\xC3 \xC3\x1B[201~", "paste:11:a\xEF\xBF\xBD\xEF\xBF\xBD \xEF\xBF\xBD"},
    {"\x1B[200~a\x1B[20\x1B[A\x1B\x1B[201~", "paste:9:a\x1B[20\x1B[A\x1B"},
    {"\x1B[200~a\x1B[200~b\x1B[201~", "paste:8:a\x1B[200~b"},
    {"\x1B[200~the mark is lost", "paste:16:the mark is lost"},
    {"\x1B[200~\x1B[20", "paste:0:"},
    {"\x1B[201~j", "j"},
};
enum { SENT = sizeof sent / sizeof *sent };

START_TEST(bytes_are_these_keys)
{
    ck_assert_str_eq(keys_of(sent[_i].bytes, strlen(sent[_i].bytes)), sent[_i].keys);
}
END_TEST

/* Wherever the line breaks, as long as the rest comes in time. */
START_TEST(it_does_not_matter_where_the_bytes_are_split)
{
    size_t length = strlen(sent[_i].bytes);
    for (size_t split = 0; split <= length; split++) {
        struct sg_strokes strokes = {0};
        *told = '\0';
        take(&strokes, sent[_i].bytes, split);
        take(&strokes, sent[_i].bytes + split, length - split);
        be_late(&strokes);
        sg_strokes_free(&strokes);
        ck_assert_str_eq(told, sent[_i].keys);
    }
}
END_TEST

START_TEST(nothing_is_waited_for_at_rest)
{
    struct sg_strokes strokes = {0};
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), -1);
    take(&strokes, "j\x1B[A", 4);
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), -1);
    take(&strokes, "\x1B", 1);
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), 25); /* as long as the caller says */
    take(&strokes, "[", 1);
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), SG_SEQUENCE_WAIT);
    take(&strokes, "200~", 4);
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), SG_PASTE_WAIT);
    take(&strokes, "\x1B[201~\xC3", 7);
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), SG_SEQUENCE_WAIT);
    be_late(&strokes);
    sg_strokes_free(&strokes);
}
END_TEST

START_TEST(one_input_at_a_time)
{
    struct sg_strokes strokes = {0};
    struct sg_input input;
    ck_assert_uint_eq(sg_strokes_take(&strokes, "\x1Bjk", 3, &input), 2);
    ck_assert_int_eq(input.stroke, SG_STROKE_ESC);
    ck_assert_int_eq(sg_strokes_wait(&strokes, 25), 0); /* j is kept */
    ck_assert_uint_eq(sg_strokes_take(&strokes, "k", 1, &input), 0);
    ck_assert_int_eq(input.stroke, 'j');
    ck_assert_uint_eq(sg_strokes_take(&strokes, "k", 1, &input), 1);
    ck_assert_int_eq(input.stroke, 'k');
    ck_assert_uint_eq(sg_strokes_take(&strokes, "", 0, &input), 0);
    ck_assert_int_eq(input.kind, SG_INPUT_NOTHING);
    sg_strokes_free(&strokes);
}
END_TEST

static size_t paste_of(size_t length, struct sg_input *input, struct sg_strokes *strokes)
{
    char *bytes = malloc(length + 12);
    ck_assert_ptr_nonnull(bytes);
    memcpy(bytes, "\x1B[200~", 6);
    memset(bytes + 6, 'x', length);
    memcpy(bytes + 6 + length, "\x1B[201~", 6);
    size_t used = sg_strokes_take(strokes, bytes, length + 12, input);
    free(bytes);
    return used;
}

START_TEST(a_paste_is_whole_or_none)
{
    struct sg_strokes strokes = {0};
    struct sg_input input;
    ck_assert_uint_eq(paste_of(SG_PASTE_MAX, &input, &strokes), SG_PASTE_MAX + 12);
    ck_assert_int_eq(input.kind, SG_INPUT_PASTE);
    ck_assert_uint_eq(input.length, SG_PASTE_MAX);
    ck_assert_uint_eq(paste_of(SG_PASTE_MAX + 1, &input, &strokes), SG_PASTE_MAX + 13);
    ck_assert_int_eq(input.kind, SG_INPUT_PASTE);
    ck_assert_ptr_null(input.text);
    ck_assert_uint_eq(input.length, 0);
    ck_assert_uint_eq(paste_of(3, &input, &strokes), 15); /* the next is not touched by it */
    ck_assert_str_eq(input.text, "xxx");
    sg_strokes_free(&strokes);
}
END_TEST

START_TEST(zero_bytes_are_nothing)
{
    ck_assert_str_eq(keys_of("\0j\x1B\0k\x1B[200~a\0b\x1B[201~", 19), "j Esc k paste:2:ab");
}
END_TEST

START_TEST(a_terminal_may_have_sequences_of_its_own)
{
    static const struct sg_sequence own[] = {{"\x1B"
                                              "A",
                                              SG_STROKE_UP},
                                             {"\x1B?p", SG_STROKE_INSERT},
                                             {"\x1B[M", SG_STROKE_F1},
                                             {"\x1B[224z", SG_STROKE_F1 + 1},
                                             {"\x1BOx", SG_STROKE_F1 + 9},
                                             {"\x1B[[", SG_STROKE_HOME}};
    struct sg_strokes strokes = {.own = own, .n_own = sizeof own / sizeof *own};
    static const char bytes[] = "\x1B"
                                "A\x1B?p\x1B[M\x1B[224z\x1BOx\x1B?q\x1B[A\x1B[[\x1B";
    *told = '\0';
    take(&strokes, bytes, sizeof bytes - 1);
    be_late(&strokes);
    /* The 8 of the keypad stays one, though this terminal calls it F10. */
    ck_assert_str_eq(told, "Up Insert F1 F2 8 Esc ? q Up Home Esc");
    sg_strokes_free(&strokes);
}
END_TEST

static bool roman(void *context, unsigned char byte, uint32_t *code)
{
    int *asked = context;
    ++*asked;
    *code = byte == 0xC4 ? 0x192 : 0x9B;
    return byte != 0xFF;
}

START_TEST(a_terminal_may_have_characters_of_its_own)
{
    int asked = 0;
    struct sg_strokes strokes = {.decode = roman, .context = &asked};
    static const char bytes[] = "a\xC4\xFF\x80"
                                "b\x1B[200~\xC4\xFF!\x1B[201~\x1B\xC4";
    *told = '\0';
    take(&strokes, bytes, sizeof bytes - 1);
    ck_assert_str_eq(told, "a \xC6\x92 b paste:3:\xC6\x92! Esc \xC6\x92");
    ck_assert_int_eq(asked, 6);
    sg_strokes_free(&strokes);
}
END_TEST

static const struct {
    const char *name;
    int32_t stroke;
} named[] = {
    {"Enter", SG_STROKE_ENTER},
    {"Space", ' '},
    {"Esc", SG_STROKE_ESC},
    {"Shift-Tab", SG_STROKE_BACK_TAB},
    {"Ctrl-R", 0x12},
    {"Ctrl-_", 0x1F},
    {"Ctrl-\\", 0x1C},
    {"F1", SG_STROKE_F1},
    {"F9", SG_STROKE_F1 + 8},
    {"F10", SG_STROKE_F1 + 9},
    {"F12", SG_STROKE_F12},
    {"J", 'J'},
    {"?", '?'},
    {"<", '<'},
    {"\xC3\xA9", 0xE9},
    {"PgDn", SG_STROKE_PAGE_DOWN},
    {"Backspace", 0x7F},
    {"Delete", SG_STROKE_DELETE},
    {"~", '~'},
    {"\xF0\x9F\x9A\x80", 0x1F680},
};

START_TEST(names_go_both_ways)
{
    char name[40];
    int32_t second = 7;
    ck_assert_int_eq(sg_stroke_name(named[_i].stroke, name, sizeof name), (int)strlen(named[_i].name));
    ck_assert_str_eq(name, named[_i].name);
    ck_assert_int_eq(sg_stroke_find(name, strlen(name), &second), named[_i].stroke);
    ck_assert_int_eq(second, 0);
}
END_TEST

START_TEST(names_of_pairs_and_of_nothing)
{
    static const char *const none[] = {"",    "Ctrl-", "Ctrl-r", "Ctrl-1", "enter", "F13",
                                       "abc", "a\t",   "\xFF",   "\x01",   "g\xFF"};
    int32_t second = 0;
    ck_assert_int_eq(sg_stroke_find("gs", 2, &second), 'g');
    ck_assert_int_eq(second, 's');
    ck_assert_int_eq(sg_stroke_find("g\xC3\xA9", 3, &second), 'g');
    ck_assert_int_eq(second, 0xE9);
    ck_assert_int_eq(sg_stroke_find("gs", 2, NULL), 0);
    ck_assert_int_eq(sg_stroke_find("gsx", 1, &second), 'g'); /* as long as is said */
    ck_assert_int_eq(sg_stroke_find("Ctrl-H", 6, NULL), SG_STROKE_BACKSPACE);
    ck_assert_int_eq(sg_stroke_find("Ctrl-[", 6, NULL), SG_STROKE_ESC);
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        ck_assert_int_eq(sg_stroke_find(none[i], strlen(none[i]), &second), 0);
        ck_assert_int_eq(second, 0);
    }
}
END_TEST

START_TEST(what_is_no_key_has_no_name)
{
    static const int32_t none[] = {0, -1, SG_STROKE_SPECIAL, SG_STROKE_F12 + 1};
    char name[4] = "x";
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        ck_assert_int_eq(sg_stroke_name(none[i], name, sizeof name), 0);
        ck_assert_str_eq(name, "");
    }
    ck_assert_int_eq(sg_stroke_name(SG_STROKE_BACKSPACE, name, sizeof name), 9);
    ck_assert_str_eq(name, "Bac");
}
END_TEST

static Suite *suite(void)
{
    Suite *made = suite_create("stroke");
    TCase *bytes = tcase_create("bytes"), *names = tcase_create("names");
    tcase_add_loop_test(bytes, bytes_are_these_keys, 0, SENT);
    tcase_add_loop_test(bytes, it_does_not_matter_where_the_bytes_are_split, 0, SENT);
    tcase_add_test(bytes, nothing_is_waited_for_at_rest);
    tcase_add_test(bytes, one_input_at_a_time);
    tcase_add_test(bytes, a_paste_is_whole_or_none);
    tcase_add_test(bytes, zero_bytes_are_nothing);
    tcase_add_test(bytes, a_terminal_may_have_sequences_of_its_own);
    tcase_add_test(bytes, a_terminal_may_have_characters_of_its_own);
    tcase_add_loop_test(names, names_go_both_ways, 0, (int)(sizeof named / sizeof *named));
    tcase_add_test(names, names_of_pairs_and_of_nothing);
    tcase_add_test(names, what_is_no_key_has_no_name);
    suite_add_tcase(made, bytes);
    suite_add_tcase(made, names);
    return made;
}

int main(void)
{
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
