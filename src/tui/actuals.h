/* What the files of the Actuals screen share. */
#ifndef SANDGLASS_TUI_ACTUALS_H
#define SANDGLASS_TUI_ACTUALS_H

#include "tui/log.h"

/* The first stock of the plan of the rest of which something is left, of a job of the shop or (SG_UNKNOWN) of
 * any; index into the shop, SG_UNKNOWN where there is none. */
int32_t sg_next_stock(struct sg_ui *ui, int32_t job);

/* "11:05" */
const char *sg_log_clock(int64_t moment, char out[24]);

/* Index of the newest clock, of the newest record in the shop. */
int32_t sg_newest_clock(const struct sg_shop *shop);

/* ---- what the keys note (do_actuals.c) ---- */

enum { SG_ASKED_KEY = 1200, SG_ASKED_TEXT = 16384, SG_ASKED_REASONS = 60 };

/* What is asked in a line, and what was said before it. Kept while the program runs: a place may close below
 * a question. */
struct sg_asked {
    bool at_typed; /* by sg_do_at, for the act that comes next */
    int64_t at;
    char label[400];
    struct sg_question question;
    char key[SG_ASKED_KEY];            /* of the stock whose pieces are counted */
    int32_t reasons[SG_ASKED_REASONS]; /* records with different reasons of pauses, the last first */
    char choice[2][SG_ASKED_KEY];      /* the last two choices that are no text of the shop, by turns */
    bool choice_at;
    unsigned use; /* enum sg_study_use: what waits for a yes */
};

/* NULL with a message where memory is out. */
struct sg_asked *sg_note_asked(struct sg_ui *ui);

/* When that was which is noted: the time in front of *text, which goes on behind it; else what sg_do_at was
 * told; else now. False, and refused, where nothing may be noted for the time in front. */
bool sg_note_time(struct sg_ui *ui, const char **text, int64_t *at);

/* Bytes of the time in front of a text and of the blanks behind it. */
size_t sg_note_front(struct sg_ui *ui, const char *text);

/* Nothing is noted, for the reason given; what was typed is in its question again. Returns false. */
bool sg_note_refuse(struct sg_ui *ui, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Note a record for that moment. */
void sg_note(struct sg_ui *ui, struct sg_record *record, int64_t at);

/* The end of each act: says what was noted, or refuses it with the reason. True where it was. */
bool sg_note_end(struct sg_ui *ui, enum sg_status status, const struct sg_noted *noted, int64_t at,
                 const struct sg_error *error);

/* Ask in a line; choices may be NULL. False with a message where memory is out. */
bool sg_note_ask(struct sg_ui *ui, const char *label, void (*answer)(struct sg_ui *ui, const char *text),
                 int (*choices)(struct sg_ui *ui),
                 void (*choice)(struct sg_ui *ui, int index, const char **word, const char **meaning));

/* The answers of the rest, with by how much it ends later than was planned; false where it cannot be planned.
 */
bool sg_actuals_answered(struct sg_ui *ui, struct sg_look *look, char *behind, size_t size);

/* The lines (actuals_lines.c). */
void sg_actuals_build(struct sg_ui *ui);

/* Rows of the panel: took against plan for like work (actuals_panel.c). */
void sg_actuals_panel(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);

#endif
