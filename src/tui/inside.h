/* What the files of the screens share.
 *
 * A screen is a list of lines with cells on them, or a picture of its own, over the same frame: title,
 * answers, body, panel, two lines of words, keys. A cell is an input (a field of the field table) or a result
 * (a number that `why` explains); cells are described by tables of columns, and everything that is typed goes
 * through typing.c whatever the screen. */
#ifndef SANDGLASS_TUI_INSIDE_H
#define SANDGLASS_TUI_INSIDE_H

#include "edit/clip.h"
#include "edit/draft.h"
#include "edit/left.h"
#include "tui/action.h"
#include "tui/canvas.h"
#include "tui/entry.h"
#include "tui/ui.h"

/* A shop with its plan: what is kept, or what it would be with what is typed. */
struct sg_look {
    const struct sg_shop *shop;
    const struct sg_plan *plan;
};

/* ---- columns and lines (columns_*.c, lines.c) ---- */

struct sg_column {
    const char *title;  /* of a table's column, or in front of a value in a form; "%" becomes the unit */
    int width;          /* least columns of the value */
    int leaves;         /* where the terminal is narrow the highest leaves first; 0 stays */
    bool right, grows;  /* figures; takes what is left over */
    const char *field;  /* an input: its name in the field table of the line's kind; NULL: a result */
    const char *number; /* of a result: how `why` calls it; NULL: cannot be explained */
    /* Writes the value; NULL: the field as people read it. */
    void (*show)(const struct sg_look *look, struct sg_target target, char *out, size_t size);
    enum sg_dimension dimension; /* of the unit in the title */
    /* Of a value that is neither: what `w` says about it; NULL: nothing. */
    void (*explain)(const struct sg_look *look, struct sg_target target, char *out, size_t size);
};

/* How the lines of one kind are laid out. */
struct sg_layout {
    bool form; /* several values with their titles on one line; else a table with the titles above */
    int cell;  /* columns of one value with its title in a form */
    const struct sg_column *columns;
    int n;
};

struct sg_line {
    const struct sg_layout *layout; /* NULL: a line of words */
    bool heading;                   /* the titles of the layout */
    bool stop;                      /* one can stand on it */
    struct sg_target target;
    int64_t row;      /* its id in the file, which outlives a reload */
    int first, n;     /* of a form: the columns of the layout on this line */
    const char *text; /* of a line of words; in the arena of the lines */
    enum sg_role role;
};

/* Append a line to those of the place that is shown; false where memory is out. */
bool sg_line_add(struct sg_ui *ui, const struct sg_line *line);
bool sg_line_row(struct sg_ui *ui, const struct sg_layout *layout, struct sg_target target);
bool sg_line_form(struct sg_ui *ui, const struct sg_layout *layout, struct sg_target target);
bool sg_line_heading(struct sg_ui *ui, const struct sg_layout *layout);
bool sg_line_words(struct sg_ui *ui, enum sg_role role, bool stop, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* ---- screens (screens.c and screen_*.c) ---- */

enum sg_screen_id {
    SG_SCREEN_SHIFT,
    SG_SCREEN_JOB,
    SG_SCREEN_HOPPER,
    SG_SCREEN_SHEET,
    SG_SCREEN_JOB_SHEET,
    SG_SCREEN_IMPORT,
    SG_SCREEN_WHY,
    SG_SCREEN_WHAT_IF,
    SG_SCREEN_HISTORY,
    SG_SCREEN_FIELDS,
    SG_SCREEN_HELP,
    SG_SCREEN_QUOTE,
    SG_SCREEN_TRADE,
    SG_SCREEN_ACTUALS,
    SG_SCREENS
};

struct sg_area {
    int row, column, rows, columns;
};

struct sg_screen {
    const char *name; /* "Shift" */
    bool answers;     /* the second line holds the three answers; else `second` fills it */
    bool tries;       /* it tries what one stands on: the first line says so instead of when it was saved */
    bool rest_ends;   /* behind the answers: when it really ends now, where the shift is at work */
    bool of_job;      /* its place is about a job: <, > go to the next one */
    /* Texts of the first line and, without answers, the second. */
    void (*title)(struct sg_ui *ui, char *out, size_t size);
    void (*second)(struct sg_ui *ui, char *out, size_t size);
    /* Whose answers those are, and what is said behind the first of them; false, or NULL: those of what is
     * tried. */
    bool (*answered)(struct sg_ui *ui, struct sg_look *look, char *behind, size_t size);
    void (*build)(struct sg_ui *ui); /* the lines, by sg_line_*; NULL: it has none */
    /* A picture instead of lines, or NULL. */
    void (*draw)(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);
    /* Below the lines, at rest; while a field is typed the changes stand there. */
    int panel, panel_tall; /* rows it wants, and on a tall terminal */
    void (*draw_panel)(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);
    bool panel_has_changes; /* it draws them itself, and other things beside them */
    /* Words of the two lines above the keys, at rest: what is to say, a legend. NULL: none. */
    void (*advice)(struct sg_ui *ui, char *out, size_t size);
    void (*legend)(struct sg_ui *ui, char *out, size_t size);
    void (*enter)(struct sg_ui *ui); /* Enter at rest; NULL: edits an input, explains a result */
    bool (*open)(struct sg_ui *ui);  /* after it was put over the others; false with a message: not to be
                                        opened. NULL: nothing to do */
    void (*leave)(struct sg_ui *ui); /* gives back place->own; NULL: free() does */
    /* Of a picture: arrows by columns and rows, zoom in (1) and out (-1). NULL: it has none. */
    void (*step)(struct sg_ui *ui, int right, int down);
    void (*zoom)(struct sg_ui *ui, int by);
    void (*next)(struct sg_ui *ui, int by); /* < and >; NULL: nothing */
    /* While nobody types: work that takes a moment; true where there is more to show. NULL: none. */
    bool (*idle)(struct sg_ui *ui);
    /* For a screen reader, of a picture: where one stands, in words. */
    void (*say)(struct sg_ui *ui, char *out, size_t size);
};

extern const struct sg_screen *const sg_screens[SG_SCREENS]; /* screens.c */

enum { SG_COLUMNS_MOST = 40, SG_PLACES = 12, SG_MESSAGE = 600, SG_FIND = 200 };

struct sg_mark {
    enum sg_kind kind;
    int64_t row;
};

/* One screen open over others. */
struct sg_place {
    enum sg_screen_id screen;
    struct sg_target about; /* the job, the row whose fields, ... that it shows; index made good at each
                               reload */
    int64_t about_row;
    int line, cell, top;  /* where one stands: line, column of the layout, first line shown */
    struct sg_mark stood; /* the row of that line when another screen was opened over it */
    int at, zoom;         /* of a picture: where one stands in it */
    char only[SG_FIND];   /* only rows that have this are shown; "" shows all */
    void *own;            /* what the screen keeps for itself; freed by its `leave` */
};

/* What is asked in a line: a name, a text to find, a file. */
struct sg_question {
    const char *label;
    void (*answer)(struct sg_ui *ui, const char *text); /* Enter */
    bool live; /* answer is called on each key too (find, show only) */
    /* Words to choose from, as the list says; NULL: none. */
    int (*choices)(struct sg_ui *ui); /* how many */
    void (*choice)(struct sg_ui *ui, int index, const char **word, const char **meaning);
    /* Bytes in front of what is typed that are not looked for in the words: the answer is they, and the word.
     * NULL: none. */
    size_t (*front)(struct sg_ui *ui, const char *text);
};

/* A list to choose from, narrowed by what is typed. */
struct sg_choosing {
    bool open;
    int n;                         /* of all */
    bool stepped;                  /* one was chosen by an arrow: it counts, not what narrowed the list */
    int *shown, n_shown, room, at; /* indexes that match; where one stands in them, -1: nowhere */
};

/* The field under the fingers. */
struct sg_typing {
    bool open;
    struct sg_target *targets; /* owned; several rows where they are marked */
    int64_t *rows;             /* owned: their ids */
    int n, room;
    const struct sg_field *field;
    bool moves;            /* a job's shift or order: rows stand elsewhere in the draft */
    char **before;         /* owned, each too: the values as shown when it was opened */
    struct sg_typed typed; /* how the text reads */
    bool steps;            /* opened by + or -, which go on stepping it */
    bool told;             /* something was said of it that a change by another must not hide, until a key */
    int line, cell;        /* where it stands */
};

struct sg_ui {
    struct sg_desk *desk;
    struct sg_draft *draft;
    struct sg_ui_how how;
    char *path; /* owned: how.path */
    int rows, columns;
    int64_t shift_row;
    int32_t shift;            /* index of the shift that is shown */
    struct sg_look kept;      /* the plan */
    struct sg_look tried;     /* with what is typed; the same as kept where nothing is */
    double saved_at;          /* when anybody kept something last, seconds since the epoch; 0: never */
    char no_plan[SG_MESSAGE]; /* why there is nothing to show; "" where there is a plan. No screen is asked to
                                 draw then */

    struct sg_place places[SG_PLACES];
    int depth;             /* places[depth - 1] is shown */
    struct sg_arena arena; /* of the lines' texts */
    struct sg_line *lines;
    int n_lines, lines_room;
    bool build;                    /* the lines are to be built again */
    struct sg_area body;           /* of the last drawing */
    bool turned;                   /* columns that have no room are shown before the others */
    const struct sg_layout *drawn; /* the table under the cursor at the last drawing, */
    int at[SG_COLUMNS_MOST];       /* where its columns stood, -1: nowhere */
    int hidden;               /* columns of the table under the cursor that had no room at the last drawing */
    char cut[2 * SG_MESSAGE]; /* sentences that had no room then, whole: help says them */

    struct sg_entry entry; /* of the field or the question */
    struct sg_typing typing;
    struct sg_choosing choosing;
    const struct sg_question *question; /* open where not NULL */
    const struct sg_question *answered; /* whose answer is being taken, */
    const char *answer;                 /* as it was typed; else NULL */
    bool proposal;      /* the text was there before: the first character that is typed replaces it */
    int question_depth; /* of the place where it was asked */
    int32_t first;      /* first key of a pair, or 0 */
    int32_t stroke;     /* the key that is being taken */

    struct sg_mark *marks;
    int n_marks, marks_room;
    bool ranging; /* v: rows from here are marked */
    int range_line;
    char find[SG_FIND];
    const struct sg_column *order; /* rows are shown by this column; NULL: as they run */
    bool order_down;
    struct sg_clip *clip;
    struct sg_left *left;  /* what is under the fingers, beside the file */
    struct sg_sums *sums;  /* as they were typed (sums.c) */
    char last[SG_MESSAGE]; /* text that was typed and not kept */

    char message[SG_MESSAGE]; /* of the last key */
    enum sg_role message_role;
    char news[SG_MESSAGE];   /* what another person did, until the next key */
    char advice[SG_MESSAGE]; /* what is worth trying, of this plan */
    bool advice_known;
    bool touched; /* a field was opened or something kept: the word of welcome has done its work */
    enum sg_wish wish;
    void
        *own[SG_SCREENS]; /* what a screen keeps while the program runs; freed by sg_ui_free through free() */
    void *to_file;        /* what is being written to a file (to_file.c); freed likewise */
    struct sg_prices *prices; /* of a job, while a rate is typed (prices.c) */
    struct sg_log *log;       /* what really happened, read up to now (log.c) */
};

/* ---- ui.c ---- */

struct sg_place *sg_ui_place(struct sg_ui *ui);
const struct sg_screen *sg_ui_screen(struct sg_ui *ui);
void sg_ui_say(struct sg_ui *ui, enum sg_role role, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void sg_ui_fail(struct sg_ui *ui, const struct sg_error *error);
/* The sentence without the name of the shop file in front, which these screens are all about. */
const char *sg_ui_reason(const struct sg_ui *ui, const struct sg_error *error);
/* Open a screen over the one that is shown; about may have index SG_UNKNOWN. False with a message where there
 * are too many, or memory is out. */
bool sg_ui_open(struct sg_ui *ui, enum sg_screen_id screen, struct sg_target about);
void sg_ui_back(struct sg_ui *ui);
/* What is tried is forgotten: the plan is shown. */
void sg_ui_forget(struct sg_ui *ui);
/* Take the kept shop and its plan anew: after a change, or another's. */
void sg_ui_refresh(struct sg_ui *ui);
/* Plan the draft anew: after each key of a field. */
void sg_ui_try(struct sg_ui *ui);
/* Whether something is typed that is not in the plan, and whether its results show. */
bool sg_ui_differs(const struct sg_ui *ui);
/* The job that the place is about, or that one stands in; SG_UNKNOWN. */
int32_t sg_ui_job(struct sg_ui *ui);
/* The stock, likewise. */
int32_t sg_ui_stock(struct sg_ui *ui);
/* Index of the row with that id, SG_UNKNOWN. */
int32_t sg_row_index(const struct sg_shop *shop, enum sg_kind kind, int64_t row);
int64_t sg_row_id(const struct sg_shop *shop, struct sg_target target);
/* The same row in the draft, where it may stand elsewhere. */
struct sg_target sg_ui_tried(const struct sg_ui *ui, struct sg_target target);

/* Open the screen on which a field stands, and stand on it. */
bool sg_ui_go_to_field(struct sg_ui *ui, struct sg_target target, const char *field);

/* Draw the frame and what the screen puts into it (frame.c). */
void sg_frame_draw(struct sg_ui *ui, struct sg_canvas *canvas);
/* Too small to show what a key would change: only leaving works. */
bool sg_frame_tiny(const struct sg_ui *ui);
/* Where keys go now: a bit of enum sg_where. */
unsigned sg_ui_where(const struct sg_ui *ui);
/* Help lies over a field or a question, which wait below it. */
bool sg_ui_helps(const struct sg_ui *ui);

/* ---- lines.c ---- */

/* The line one stands on, the column; NULL where there is none. */
const struct sg_line *sg_ui_line(struct sg_ui *ui);
const struct sg_column *sg_ui_column(struct sg_ui *ui);
const struct sg_field *sg_column_field(const struct sg_line *line, const struct sg_column *column);
void sg_ui_build(struct sg_ui *ui);
/* Stand on the row with that id, if it is shown. */
bool sg_ui_stand(struct sg_ui *ui, enum sg_kind kind, int64_t row);
void sg_column_show(const struct sg_look *look, const struct sg_line *line, const struct sg_column *column,
                    char *out, size_t size);
/* What is under the fingers, in brackets; the part of it around the cursor where it is long. */
void sg_field_draw(struct sg_ui *ui, struct sg_canvas *canvas, int row, int column, int width);
void sg_lines_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);

/* Put the rows of the tables in the order that is asked for (finds.c). */
void sg_lines_order(struct sg_ui *ui);
/* Whether a line has a text in one of its values, whatever the case. */
bool sg_line_has(struct sg_ui *ui, const struct sg_line *line, const char *wanted);

/* ---- sums.c ---- */

/* A row's field was kept from that text: it is remembered where it is a sum. */
void sg_sums_keep(struct sg_ui *ui, const struct sg_field *field, int64_t row, const char *text);
/* The sum from which the value came; NULL where it came from none, or is another one since. */
const char *sg_sums_text(const struct sg_ui *ui, const struct sg_field *field, int64_t row,
                         const struct sg_value *value);

/* ---- dispatch.c ---- */

/* Run an action, but for one that changes something in screens that only read. */
void sg_action_run(struct sg_ui *ui, const struct sg_action *action);

/* ---- typing.c, choosing.c, question.c ---- */

void sg_typing_open(struct sg_ui *ui, const char *text); /* text NULL: the value as it is */
void sg_typing_changed(struct sg_ui *ui);                /* after each key */
bool sg_typing_keep(struct sg_ui *ui);                   /* true where it is kept (or was as kept) */
bool sg_typing_same(struct sg_ui *ui);                   /* whole, and all rows hold that value already */
void sg_typing_drop(struct sg_ui *ui);
void sg_typing_free(struct sg_ui *ui);
/* The text under the fingers in its file beside the shop file (aside.c): put there on each key, taken away
 * with the field, offered when a program that died had one. */
void sg_typing_put_aside(struct sg_ui *ui);
void sg_typing_take_aside(struct sg_ui *ui);
void sg_typing_aside_free(struct sg_ui *ui);
void sg_typing_offer(struct sg_ui *ui);
void sg_typing_leave(struct sg_ui *ui); /* by an arrow: kept, or put aside */
void sg_question_open(struct sg_ui *ui, const struct sg_question *question, const char *text);
void sg_question_close(struct sg_ui *ui);
/* What was answered is refused: the question that it answered is open again, with the text as it was typed.
 * Nothing where no answer is being taken. */
void sg_question_again(struct sg_ui *ui);
void sg_choosing_start(struct sg_ui *ui);
void sg_choosing_narrow(struct sg_ui *ui); /* after each key */
void sg_choosing_step(struct sg_ui *ui, int by);
void sg_choosing_close(struct sg_ui *ui);
/* The word chosen, NULL where none is. */
const char *sg_choosing_word(struct sg_ui *ui, int index, const char **meaning);
void sg_choosing_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);

/* ---- answers.c ---- */

/* The three answers, with the change where something is tried, and behind them when it really ends now: texts
 * in order, the last "" where it has nothing to say; in fewer words where they would take more than so many
 * columns with bars between. */
enum { SG_ANSWERS = 4, SG_ANSWER = 240 };
/* True where the end they say is late, or not known. */
bool sg_answers(struct sg_ui *ui, int columns, char out[SG_ANSWERS][SG_ANSWER]);
/* By how much the shift ends late, in minutes of the clock: "0:40". */
void sg_look_over(const struct sg_look *look, char *out, size_t size);
/* In plan, typed, change. */
void sg_changes_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);
void sg_look_clock(const struct sg_look *look, double at, char *out, size_t size); /* "14:53", "Fri 02:10" */

#endif
