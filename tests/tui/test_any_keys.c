/* Two people press anything, in windows of any size: nothing breaks, the file stays whole, nothing is left
 * beside it. What else must hold for single keys is in the other suites; memory is watched by the build with
 * sanitizers. */
#include "edit/run_suite.h"
#include "support/random.h"
#include "tui/facts.h"

enum { PEOPLE = 2, INPUTS = 4000, SEEDS = 6 };

static struct on_screen people[PEOPLE];

static void open_both(void)
{
    people[0] = on_screen_open(true);
    people[1] = (struct on_screen){.file = people[0].file};
    on_screen_start(&people[1], &(struct sg_ui_how){.path = people[1].file.path}, 24, 80);
    sg_desk_sign(people[1].desk, "office");
}

static void close_both(void)
{
    on_screen_stop(&people[1]);
    on_screen_close(&people[0]);
}

static const int32_t other_keys[] = {
    SG_STROKE_UP,
    SG_STROKE_DOWN,
    SG_STROKE_LEFT,
    SG_STROKE_RIGHT,
    SG_STROKE_HOME,
    SG_STROKE_END,
    SG_STROKE_PAGE_UP,
    SG_STROKE_PAGE_DOWN,
    SG_STROKE_DELETE,
    SG_STROKE_INSERT,
    SG_STROKE_BACK_TAB,
    SG_STROKE_F1,
    SG_STROKE_F1 + 1,
    SG_STROKE_TAB,
    SG_STROKE_ENTER,
    SG_STROKE_ENTER,
    SG_STROKE_ENTER,
    SG_STROKE_ESC,
    SG_STROKE_ESC,
    SG_STROKE_SPACE,
    SG_STROKE_BACKSPACE,
    SG_STROKE_CTRL('r'),
    SG_STROKE_CTRL('u'),
    SG_STROKE_CTRL('w'),
    SG_STROKE_CTRL('k'),
    SG_STROKE_CTRL('t'),
    0x301,
    0x6FFE,
    0x1F527,
};

static const char *const pastes[] = {"12\n13\n", "name,qty\nx,3\ny,4\n", "=4*5", "\xE6\xBF\xBE\xE6\xBF\xBE",
                                     "8 in"};

/* Not a key that writes another file; nor q where nothing is seen, which leaves what is typed behind. */
static int32_t some_key(struct random *r, const struct sg_ui *ui)
{
    unsigned n = sizeof other_keys / sizeof *other_keys;
    int32_t stroke = random_below(r, 3) == 0 ? other_keys[random_below(r, n)]
                                             : (int32_t)(' ' + random_below(r, 0x7F - ' '));
    bool not_here = stroke == 'E' || stroke == 'T' || (stroke == 'q' && sg_frame_tiny(ui));
    return not_here ? SG_STROKE_ESC : stroke;
}

static void do_something(struct random *r, struct on_screen *s)
{
    unsigned what = random_below(r, 100);
    struct sg_input input = {.kind = SG_INPUT_STROKE};
    if (what < 3) {
        sg_ui_resize(s->ui, 1 + (int)random_below(r, 50), 1 + (int)random_below(r, 150));
        return;
    }
    if (what < 6) {
        const char *text = pastes[random_below(r, sizeof pastes / sizeof *pastes)];
        input = (struct sg_input){.kind = SG_INPUT_PASTE, .text = text, .length = strlen(text)};
    } else if (what < 8) {
        input = (struct sg_input){.kind = SG_INPUT_CLICK, .row = (int)random_below(r, 30), .column = 3};
    } else {
        input.stroke = some_key(r, s->ui);
    }
    sg_ui_input(s->ui, &input);
}

/* A field that is open is to be seen, with the cursor in it, wherever anything is. */
static void ck_in_sight(struct on_screen *s)
{
    char out[2000];
    sg_ui_draw(s->ui, &s->canvas);
    if (!s->ui->typing.open || sg_frame_tiny(s->ui) || sg_ui_helps(s->ui))
        return;
    ck_assert_int_ge(s->canvas.cursor_row, 0);
    sg_canvas_row(&s->canvas, s->canvas.cursor_row, out, sizeof out);
    ck_assert_msg(strchr(out, '['), "no field in \"%s\"", out);
}

static void count_finding(void *context, const char *sentence)
{
    fprintf(stderr, "%s\n", sentence);
    ++*(int *)context;
}

START_TEST(nothing_breaks)
{
    struct random r = {(uint64_t)_i * 7919 + 1};
    struct sg_error error;
    int findings = 0;
    for (int i = 0; i < INPUTS; i++) {
        struct on_screen *s = &people[random_below(&r, 4) == 0];
        do_something(&r, s);
        if (random_below(&r, 3) == 0)
            sg_ui_look(s->ui);
        if (random_below(&r, 2) == 0)
            ck_in_sight(s);
    }
    ck_assert_int_gt(steps_in_file(&people[0], NULL), 0); /* it was no idle walk */
    ck_assert_int_eq(sg_store_check(sg_desk_store(people[0].desk), count_finding, &findings, &error), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("any keys");
    TCase *tests = tcase_create("any keys");
    tcase_add_checked_fixture(tests, open_both, close_both);
    tcase_set_timeout(tests, 240);
    tcase_add_loop_test(tests, nothing_breaks, 0, SEEDS);
    suite_add_tcase(suite, tests);
    return run(suite);
}
