/* The example shop on a screen, and a parts list that is brought before it with i. */
#ifndef TESTS_TUI_IMPORTS_H
#define TESTS_TUI_IMPORTS_H

#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen s;
static char list_path[600], bad_path[600];

static inline void open_shop(void)
{
    s = on_screen_open(true);
    snprintf(list_path, sizeof list_path, "%s/north.csv", s.file.folder);
    snprintf(bad_path, sizeof bad_path, "%s/bad.csv", s.file.folder);
}

static inline void close_shop(void)
{
    unlink(list_path);
    unlink(bad_path);
    on_screen_close(&s);
}

static inline void put_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");
    ck_assert(file && fputs(text, file) >= 0 && fclose(file) == 0);
}

/* With i and the name of a file that holds this text. */
static inline void import(const char *text)
{
    put_file(list_path, text);
    press(&s, "i");
    paste(&s, list_path);
    press(&s, "<Enter>");
    ck_shows(&s, "IMPORT  north.csv");
}

static inline bool has_row(const char *key)
{
    struct sg_target target;
    struct sg_error error;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    bool found = sg_key_find(sg_desk_shop(desk), key, &target, &error) == SG_OK;
    sg_desk_close(desk);
    return found;
}

static const char good[] = "part,quantity,material,thickness_mm,cut_length_mm\n"
                           "N1,4,\"steel, mild\",6,1000\n"
                           "N2,5,304,8,2000\n";

#endif
