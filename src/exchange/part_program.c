#include "exchange/part_program_inside.h"

#include <math.h>
#include <string.h>

/* ---- the jet ---- */

static bool read_jet_words(struct gather *gather, const char *text, struct words *words)
{
    if (words_read(gather, text, words) && (words->has || words->n_g || words->n_m))
        return true;
    gather->status =
        sg_fail(gather->error, SG_USAGE, "\"%s\" is no word that turns the jet on or off: such as M03", text);
    return false;
}

static bool holds_codes(const int *codes, int n, const int *wanted, int n_wanted)
{
    for (int i = 0; i < n_wanted; i++) {
        bool found = false;
        for (int k = 0; k < n; k++)
            found |= codes[k] == wanted[i];
        if (!found)
            return false;
    }
    return true;
}

/* Whether a block has all words of a phrase. */
static bool holds(const struct words *words, const struct words *phrase)
{
    if ((words->has & phrase->has) != phrase->has)
        return false;
    for (int i = 0; i < 26; i++)
        if (phrase->has >> i & 1 && words->value[i] != phrase->value[i])
            return false;
    return holds_codes(words->g, words->n_g, phrase->g, phrase->n_g) &&
           holds_codes(words->m, words->n_m, phrase->m, phrase->n_m);
}

static bool turn_jet(struct program *program, const struct words *words)
{
    if (!program->by_words)
        return true;
    bool on = holds(words, &program->on), off = holds(words, &program->off);
    if (on && off)
        return refuse(program->gather, "one block turns the jet on and off");
    if (on && !program->jet)
        program->cutting = false;
    program->jet = on || (program->jet && !off);
    program->ever_on |= on;
    program->cutting &= program->jet;
    return true;
}

/* ---- G words ---- */

static bool set_place(struct program *program, const struct words *words)
{
    if (has_word(words, 'X'))
        program->set[0] = program->x - word_value(words, 'X') * program->unit;
    if (has_word(words, 'Y'))
        program->set[1] = program->y - word_value(words, 'Y') * program->unit;
    memcpy(program->kept, program->set, sizeof program->kept);
    return true;
}

static void set_unit(struct program *program, double mm)
{
    if (program->moved && mm != program->unit)
        tell(program->gather, PROBLEM_UNIT, "the unit changes on the way: mm and inches are both followed");
    program->unit = mm;
    program->unit_named = true;
}

static void set_work_place(struct program *program, int code)
{
    if (program->place && program->place != code)
        tell(program->gather, PROBLEM_WORD, "more than one work place (G54 to G59): taken for the same");
    program->place = code;
}

static bool refuse_code(struct program *program, int code)
{
    char tenth[8] = {'.', (char)('0' + code % 10), '\0'};
    return refuse(
        program->gather,
        "G%d%s is not read, and the path would be another without it: write the program out with G00 "
        "to G03",
        code / 10, code % 10 ? tenth : "");
}

static bool take_motion(struct program *program, const struct words *words, int code)
{
    int others = 0;
    for (int i = 0; i < words->n_g; i++)
        others += g_act_of(words->g[i]) == G_MOVE && words->g[i] != code;
    if (others > 0)
        return refuse(program->gather, "more than one of G00 to G03 in one block");
    program->motion = code / 10;
    return true;
}

/* What holds from now on. What needs the numbers of the block comes after all of them. */
static bool take_mode(struct program *program, const struct words *words, int code)
{
    switch (g_act_of(code)) {
    case G_MOVE:
        return take_motion(program, words, code);
    case G_NO_MOVE:
        program->motion = MOTION_NONE;
        return true;
    case G_PLANE:
        program->plane = code;
        return true;
    case G_UNIT:
        set_unit(program, code == 200 || code == 700 ? 25.4 : 1);
        return true;
    case G_ABSOLUTE:
    case G_RELATIVE:
        program->relative = g_act_of(code) == G_RELATIVE;
        return true;
    case G_CENTRE_ABSOLUTE:
    case G_CENTRE_RELATIVE:
        program->centre_absolute = g_act_of(code) == G_CENTRE_ABSOLUTE;
        return true;
    case G_PLACE:
        set_work_place(program, code);
        return true;
    case G_REFUSED:
        return refuse_code(program, code);
    case G_UNKNOWN:
        tell(program->gather, PROBLEM_WORD, "G%g is not known here and was passed over", code / 10.0);
        return true;
    default:
        return true;
    }
}

/* By way of the place that is named, to one that is not known. Without X and Y, and with Z, only up. */
static bool go_home(struct program *program, const struct words *words)
{
    bool x = has_word(words, 'X'), y = has_word(words, 'Y'), up = has_word(words, 'Z') && !x && !y;
    int motion = program->motion;
    program->cutting &= program->by_words; /* the head goes up */
    if (up)
        return true;
    tell(program->gather, PROBLEM_WORD,
         "the machine's own home (G28, G30) is not in the program: the way there and back is not measured");
    program->motion = MOTION_RAPID;
    bool good = (!x && !y) || program_move(program, words);
    program->motion = motion;
    program->lost_x |= x || !y;
    program->lost_y |= y || !x;
    return good;
}

/* The G words whose numbers are no move, or not one of ours. *taken: there was one. */
static bool take_numbers(struct program *program, const struct words *words, int code, bool *taken)
{
    bool in_plane = has_word(words, 'X') || has_word(words, 'Y');
    static const double none[2] = {0, 0};
    enum g_act act = g_act_of(code);
    *taken |= act == G_OWN_WORDS || act == G_SET || act == G_HOME || act == G_MACHINE;
    switch (act) {
    case G_SET:
        return set_place(program, words);
    case G_UNSET:
        memcpy(program->kept, none, sizeof none);
        memcpy(program->set, none, sizeof none);
        return true;
    case G_SUSPEND:
        memcpy(program->set, none, sizeof none);
        return true;
    case G_RESTORE:
        memcpy(program->set, program->kept, sizeof program->set);
        return true;
    case G_HOME:
        return go_home(program, words);
    case G_MACHINE:
        program->cutting &= program->by_words;
        return !in_plane || refuse_code(program, code);
    default:
        return true;
    }
}

/* ---- M words ---- */

static bool take_machine(struct program *program, const struct words *words, bool *taken)
{
    bool motion = false;
    for (int i = 0; i < words->n_g; i++)
        motion |= g_act_of(words->g[i]) == G_MOVE;
    for (int i = 0; i < words->n_m; i++) {
        int code = words->m[i];
        if (code == 970 || code == 980)
            return refuse(program->gather, "M%d: subprograms are not read: write the program out", code / 10);
        program->ended |= code == 20 || code == 300 || code == 990;
        if (code >= 1000 && !motion && (has_word(words, 'X') || has_word(words, 'Y'))) {
            tell(program->gather, PROBLEM_WORD, "X or Y of a machine function such as M%g: taken for no move",
                 code / 10.0);
            *taken = true;
        }
    }
    return true;
}

static void say_tilt(struct program *program, const struct words *words)
{
    static const uint32_t letters = 7u | 7u << ('U' - 'A'); /* A B C, U V W */
    if (!(words->has & letters) || program->tilt_said)
        return;
    program->tilt_said = true; /* once: such a program has them in each block */
    tell(program->gather, PROBLEM_WORD, "A, B, C, U, V and W are not followed: X and Y alone are measured");
}

/* ---- block after block ---- */

static bool take_block(struct program *program, const struct words *words)
{
    bool taken = false;
    if (!turn_jet(program, words) || !take_machine(program, words, &taken))
        return false;
    for (int i = 0; i < words->n_g; i++)
        if (!take_mode(program, words, words->g[i]))
            return false;
    for (int i = 0; i < words->n_g; i++)
        if (!take_numbers(program, words, words->g[i], &taken))
            return false;
    say_tilt(program, words);
    if (taken)
        return true;
    bool arc = program->motion >= MOTION_CLOCKWISE &&
               (has_word(words, 'I') || has_word(words, 'J') || has_word(words, 'R'));
    if (has_word(words, 'X') || has_word(words, 'Y') || arc)
        return program_move(program, words);
    if (has_word(words, 'Z') && program->motion == MOTION_RAPID && !program->by_words)
        program->cutting = false; /* the head goes up: what follows is another cut */
    return true;
}

static bool read_blocks(struct program *program)
{
    struct gather *gather = program->gather;
    struct words words;
    char *text;
    size_t length;
    while (!program->ended && lines_next(&gather->lines, &text, &length)) {
        gather->line = gather->lines.line;
        text[length] = '\0'; /* where its end of line was */
        if (!words_read(gather, text, &words) || !take_block(program, &words))
            return false;
    }
    gather->status = gather->lines.status;
    return gather->status == SG_OK;
}

static void say_end(struct program *program)
{
    struct gather *gather = program->gather;
    if (gather->out->path.n == 0 && program->by_words && !program->ever_on)
        tell(gather, PROBLEM_NOTHING,
             "nothing is cut: the words that turn the jet on do not stand in the program");
    else if (gather->out->path.n == 0)
        tell(gather, PROBLEM_NOTHING, "nothing is cut: no G01, G02 or G03 moves with the jet on");
    if (program->by_words && program->jet && gather->out->path.n > 0)
        tell(gather, PROBLEM_JET, "the jet is still on at the end of the program");
    gather->line = gather->lines.line;
    if (!program->ended)
        tell(gather, PROBLEM_CUT_OFF, "the program ends without M02 or M30: is it whole?");
}

bool read_program(struct gather *gather)
{
    const struct sg_drawing_how *how = gather->how;
    struct program program = {.gather = gather, .motion = MOTION_NONE, .plane = 170};
    program.unit = how->unit == SG_DRAWING_IN ? 25.4 : 1;
    program.by_words = how->on || how->off;
    if (program.by_words && (!how->on || !how->off)) {
        gather->status = sg_fail(gather->error, SG_USAGE,
                                 "the words that turn the jet on and off are needed both, or none of them");
        return false;
    }
    if (program.by_words &&
        (!read_jet_words(gather, how->on, &program.on) || !read_jet_words(gather, how->off, &program.off)))
        return false;
    if (!read_blocks(&program))
        return false;
    gather->line = 0;
    say_end(&program);
    return true;
}
