/* What the keys do: the functions of the table of actions that belong to no one screen. */
#ifndef SANDGLASS_DO_H
#define SANDGLASS_DO_H

#include "tui/inside.h"

/* ---- moving (moves.c) ---- */
void sg_do_up(struct sg_ui *ui);
void sg_do_down(struct sg_ui *ui);
void sg_do_left(struct sg_ui *ui);
void sg_do_right(struct sg_ui *ui);
void sg_do_first_column(struct sg_ui *ui);
void sg_do_last_column(struct sg_ui *ui);
void sg_do_page_up(struct sg_ui *ui);
void sg_do_page_down(struct sg_ui *ui);
void sg_do_top(struct sg_ui *ui);
void sg_do_bottom(struct sg_ui *ui);
void sg_do_next_input(struct sg_ui *ui);
void sg_do_previous_input(struct sg_ui *ui);
void sg_do_next(struct sg_ui *ui);
void sg_do_previous(struct sg_ui *ui);
void sg_do_zoom_in(struct sg_ui *ui);
void sg_do_zoom_out(struct sg_ui *ui);
/* By rows, by inputs; true where it moved. */
bool sg_move_lines(struct sg_ui *ui, int by);
bool sg_move_inputs(struct sg_ui *ui, int by);

/* ---- going elsewhere (goes.c) ---- */
void sg_do_enter(struct sg_ui *ui);
void sg_do_back(struct sg_ui *ui);
void sg_do_leave(struct sg_ui *ui);
void sg_do_suspend(struct sg_ui *ui);
void sg_do_redraw(struct sg_ui *ui);
void sg_do_go_shift(struct sg_ui *ui);
void sg_do_go_job(struct sg_ui *ui);
void sg_do_go_hopper(struct sg_ui *ui);
void sg_do_go_sheet(struct sg_ui *ui);
void sg_do_go_job_sheet(struct sg_ui *ui);
void sg_do_go_quote(struct sg_ui *ui);
void sg_do_go_trade(struct sg_ui *ui);
void sg_do_go_actuals(struct sg_ui *ui);
void sg_do_go_machine(struct sg_ui *ui);
void sg_do_fields(struct sg_ui *ui);
void sg_do_shift_fields(struct sg_ui *ui);
void sg_do_columns(struct sg_ui *ui);
void sg_do_help(struct sg_ui *ui);
void sg_do_units(struct sg_ui *ui);
void sg_do_new_file(struct sg_ui *ui);

/* ---- fields (fields.c) ---- */
void sg_do_edit(struct sg_ui *ui);
void sg_do_type_over(struct sg_ui *ui);
void sg_do_more(struct sg_ui *ui);
void sg_do_less(struct sg_ui *ui);
void sg_do_last(struct sg_ui *ui);
void sg_do_note(struct sg_ui *ui);
void sg_type_left(struct sg_ui *ui);
void sg_type_right(struct sg_ui *ui);
void sg_type_home(struct sg_ui *ui);
void sg_type_end(struct sg_ui *ui);
void sg_type_rub_left(struct sg_ui *ui);
void sg_type_rub_right(struct sg_ui *ui);
void sg_type_rub_word(struct sg_ui *ui);
void sg_type_rub_rest(struct sg_ui *ui);
void sg_type_clear(struct sg_ui *ui);
void sg_type_up(struct sg_ui *ui);
void sg_type_down(struct sg_ui *ui);
void sg_type_keep(struct sg_ui *ui);
void sg_type_next(struct sg_ui *ui);
void sg_type_previous(struct sg_ui *ui);
void sg_type_answer_next(struct sg_ui *ui);
void sg_type_drop(struct sg_ui *ui);
/* In a field that + or - opened these go on stepping; false where it is another field or key. */
bool sg_type_step(struct sg_ui *ui, int32_t stroke);
/* The text has changed: the field is read anew, the question asks again. */
void sg_entry_changed(struct sg_ui *ui);

/* ---- what was spoilt (do_scrap.c) ---- */
void sg_do_scrap_sheet(struct sg_ui *ui);
void sg_do_scrap_piece(struct sg_ui *ui);
void sg_do_longer_search(struct sg_ui *ui); /* screen_sheet.c */

/* ---- rows (do_rows.c) ---- */
void sg_mark_range(struct sg_ui *ui); /* the rows between where v was pressed and where one stands */
void sg_do_mark(struct sg_ui *ui);
void sg_do_range(struct sg_ui *ui);
void sg_do_mark_all(struct sg_ui *ui);
void sg_do_mark_none(struct sg_ui *ui);
void sg_do_add(struct sg_ui *ui);
void sg_do_add_stock(struct sg_ui *ui);
void sg_do_duplicate(struct sg_ui *ui);
void sg_do_copy(struct sg_ui *ui);
void sg_do_cut(struct sg_ui *ui);
void sg_do_paste_below(struct sg_ui *ui);
void sg_do_paste_above(struct sg_ui *ui);
void sg_do_row_down(struct sg_ui *ui);
void sg_do_row_up(struct sg_ui *ui);

/* ---- finding (finds.c) ---- */
void sg_do_find(struct sg_ui *ui);
void sg_do_find_next(struct sg_ui *ui);
void sg_do_find_previous(struct sg_ui *ui);
void sg_do_show_only(struct sg_ui *ui);
void sg_do_order(struct sg_ui *ui);
void sg_do_command(struct sg_ui *ui);

#endif
