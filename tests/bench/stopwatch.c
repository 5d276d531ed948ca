#include "stopwatch.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MOST = 2000 };

static double times[MOST];
static int n_times;

double now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec * 1e-6;
}

void must(bool truth, const char *what)
{
    if (truth)
        return;
    fprintf(stderr, "not so: %s\n", what);
    abort();
}

void note_ms(double ms)
{
    must(n_times < MOST, "room for the times");
    times[n_times++] = ms;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

void report(const char *what, const char *budget)
{
    must(n_times > 0, "a time is noted");
    qsort(times, (size_t)n_times, sizeof *times, by_size);
    printf("  %-47s %8.3f  p95 %8.3f  max %8.3f ms of %4d  %s\n", what, times[n_times / 2],
           times[n_times - 1 - n_times / 20], times[n_times - 1], n_times, budget);
    fflush(stdout);
    n_times = 0;
}
