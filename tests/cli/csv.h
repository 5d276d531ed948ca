/* A small reader of RFC 4180, strict: every line ends in CRLF, quotes stand only where they may. */
#ifndef SANDGLASS_TESTS_CLI_CSV_H
#define SANDGLASS_TESTS_CLI_CSV_H

#include <check.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CSV_ROWS = 64, CSV_COLUMNS = 40 };

struct csv {
    int rows, columns;
    char *cells[CSV_ROWS][CSV_COLUMNS];
    bool quoted[CSV_ROWS][CSV_COLUMNS];
};

/* One cell at *at, unquoted into a new string; leaves *at behind it. */
static inline char *csv_cell(const char **at, char separator, bool *quoted)
{
    const char *from = *at;
    char *cell = malloc(strlen(from) + 1), *end = cell;
    *quoted = *from == '"';
    if (*quoted) {
        for (from++; *from != '"' || from[1] == '"'; from++) {
            ck_assert_msg(*from != '\0', "a quote is left open: %.60s", *at);
            from += *from == '"';
            *end++ = *from;
        }
        from++;
        ck_assert_msg(*from == separator || strncmp(from, "\r\n", 2) == 0, "behind a quote: %.60s", from);
    } else {
        for (; *from != separator && *from != '\r'; from++) {
            ck_assert_msg(*from != '\0' && *from != '\n' && *from != '"', "a bare cell: %.60s", *at);
            *end++ = *from;
        }
    }
    *end = '\0';
    *at = from;
    return cell;
}

static inline void csv_read(const char *text, char separator, struct csv *csv)
{
    *csv = (struct csv){0};
    for (const char *at = text; *at; csv->rows++) {
        int column = 0;
        ck_assert_int_lt(csv->rows, CSV_ROWS);
        for (bool more = true; more; column++) {
            ck_assert_int_lt(column, CSV_COLUMNS);
            csv->cells[csv->rows][column] = csv_cell(&at, separator, &csv->quoted[csv->rows][column]);
            more = *at == separator;
            at += more;
        }
        ck_assert_msg(strncmp(at, "\r\n", 2) == 0, "a line ends in %.20s", at);
        at += 2;
        ck_assert_msg(csv->rows == 0 || column == csv->columns, "row %d has %d cells, the header %d",
                      csv->rows + 1, column, csv->columns);
        csv->columns = column;
    }
}

static inline void csv_free(struct csv *csv)
{
    for (int row = 0; row < csv->rows; row++)
        for (int column = 0; column < csv->columns; column++)
            free(csv->cells[row][column]);
}

static inline const char *csv_at(const struct csv *csv, int row, const char *title)
{
    for (int column = 0; column < csv->columns; column++)
        if (strcmp(csv->cells[0][column], title) == 0)
            return csv->cells[row][column];
    ck_abort_msg("no column %s", title);
}

/* A number written with the fewest digits that read back to it. */
static inline double csv_number(const struct csv *csv, int row, const char *title)
{
    const char *cell = csv_at(csv, row, title);
    char *end, shortest[40];
    double value = strtod(cell, &end);
    ck_assert_msg(*cell != '\0' && *end == '\0', "%s, row %d: \"%s\" is no number", title, row, cell);
    int digits = 0, wanted = 1;
    for (const char *c = cell; *c && *c != 'e'; c++)
        digits += *c >= '0' && *c <= '9' && (digits > 0 || *c != '0');
    for (; wanted < 17; wanted++) {
        snprintf(shortest, sizeof shortest, "%.*g", wanted, value);
        if (strtod(shortest, NULL) == value)
            break;
    }
    const char *point = strchr(cell, '.');
    bool whole = !point && !strchr(cell, 'e'); /* 1000 has one digit that counts and three that do not */
    ck_assert_msg(whole || digits <= wanted || digits == 0, "%s: %s can be written as %s", title, cell,
                  shortest);
    return value;
}

#endif
