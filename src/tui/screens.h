/* The screens, one file each, and the actions that only one of them has. */
#ifndef SANDGLASS_SCREENS_H
#define SANDGLASS_SCREENS_H

#include "tui/inside.h"

extern const struct sg_screen sg_screen_shift, sg_screen_job, sg_screen_hopper, sg_screen_sheet,
    sg_screen_job_sheet, sg_screen_import, sg_screen_why, sg_screen_what_if, sg_screen_history,
    sg_screen_fields, sg_screen_help, sg_screen_quote, sg_screen_trade, sg_screen_actuals;

/* ---- Shift ---- */
enum { SG_SHIFT_FIRST_CELL = 2 }; /* the name: where one stands at first */

/* ---- Job ---- */
void sg_do_outline(struct sg_ui *ui); /* the picture instead of the figures, and back */

/* ---- Fields ---- */
bool sg_fields_stand(struct sg_ui *ui, const char *field); /* go to that field; false where there is none */

/* ---- Job sheet ---- */
void sg_do_sheet_csv(struct sg_ui *ui);  /* asks for the file's name, then writes it whole */
void sg_do_sheet_text(struct sg_ui *ui); /* likewise as text */

/* ---- Quote ---- */
void sg_do_quote_csv(struct sg_ui *ui);
void sg_do_quote_text(struct sg_ui *ui);
void sg_do_quote_customer(struct sg_ui *ui);
void sg_do_quote_rates(struct sg_ui *ui); /* to the fields in which the rates are typed */

/* ---- Trade-offs ---- */
void sg_do_trade_csv(struct sg_ui *ui);
void sg_do_trade_text(struct sg_ui *ui);
void sg_do_trade_what_if(struct sg_ui *ui); /* the step one stands on, under a name, the plan as it was */
/* On the screen that is open: only that stock of the job is changed; SG_UNKNOWN: all of them. */
void sg_trade_of_stock(struct sg_ui *ui, int32_t stock);

/* ---- Actuals (do_actuals.c, do_use.c) ---- */
void sg_do_clock(struct sg_ui *ui); /* start it, or stop it where it runs on what is meant */
void sg_do_clock_stop(struct sg_ui *ui);
void sg_do_load(struct sg_ui *ui);
void sg_do_check(struct sg_ui *ui);
void sg_do_done(struct sg_ui *ui);
void sg_do_scrapped(struct sg_ui *ui);
void sg_do_pause(struct sg_ui *ui);
void sg_do_resume(struct sg_ui *ui);
void sg_do_fill(struct sg_ui *ui);
void sg_do_level(struct sg_ui *ui);
void sg_do_weigh(struct sg_ui *ui);
void sg_do_changed(struct sg_ui *ui); /* a tube or an orifice */
void sg_do_service(struct sg_ui *ui);
void sg_do_remark(struct sg_ui *ui);
void sg_do_at(struct sg_ui *ui); /* when that was which is noted next */
void sg_do_unrecord(struct sg_ui *ui);
void sg_do_hand_over(struct sg_ui *ui);
void sg_do_use(struct sg_ui *ui);

/* ---- Import ---- */
void sg_do_import(struct sg_ui *ui); /* on Shift and Job: asks for the file, opens the screen */
/* A pasted table is checked like a file. */
void sg_import_pasted(struct sg_ui *ui, const char *text, size_t length);
void sg_do_import_bring(struct sg_ui *ui);   /* the good rows go into the plan, one step */
void sg_do_import_map(struct sg_ui *ui);     /* the column one stands on goes elsewhere */
void sg_do_import_replace(struct sg_ui *ui); /* parts that exist: refused, or replaced */
void sg_do_import_bad(struct sg_ui *ui);     /* wrong rows to a file */

/* ---- Why ---- */
void sg_do_why(struct sg_ui *ui); /* of the cell under the cursor, on any screen that has cells */

/* ---- What-if ---- */
void sg_do_what_if(struct sg_ui *ui);      /* opens the screen, from any planning screen */
void sg_do_what_if_keep(struct sg_ui *ui); /* into the plan, one step */
void sg_do_what_if_drop(struct sg_ui *ui);
void sg_do_what_if_name(struct sg_ui *ui); /* the suggestion one stands on is kept under a name */
void sg_do_what_if_typed(
    struct sg_ui *ui); /* in a field: what is typed becomes a what-if instead of a change */

/* ---- History ---- */
void sg_do_history(struct sg_ui *ui);
void sg_do_undo(struct sg_ui *ui);
void sg_do_redo(struct sg_ui *ui);
void sg_do_back_to(struct sg_ui *ui); /* take back everything after the step one stands on */

/* ---- what fits ---- */
void sg_do_fits(struct sg_ui *ui);

#endif
