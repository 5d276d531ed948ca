/* Times of one measure after another, and how they are told: medians, and the slow ones beside them. */
#ifndef BENCH_STOPWATCH_H
#define BENCH_STOPWATCH_H

#include <stdbool.h>

double now_ms(void);

/* Note a time of the measure that goes on. */
void note_ms(double ms);

/* Print the times noted since the last report, and forget them; `budget` stands behind. */
void report(const char *what, const char *budget);

/* End the program where something measured is not what it should be. */
void must(bool truth, const char *what);

#endif
