/* The screens in this process: what a key, a drawing and a painting take, each alone. */
#ifndef BENCH_SCREEN_PARTS_H
#define BENCH_SCREEN_PARTS_H

#include "../edit/shop_file.h"

enum { ROWS = 24, COLUMNS = 80, TALL = 50, BROAD = 160 };

void bench_parts(const struct shop_file *file, int runs);

#endif
