/* JSON that the program wrote, read back with another parser: SQLite's. A path is SQLite's, such as
 * "$.jobs[0].stocks[1].pierce_s". */
#ifndef SANDGLASS_TESTS_CLI_JSON_H
#define SANDGLASS_TESTS_CLI_JSON_H

#include <check.h>
#include <math.h>
#include <sqlite3.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static inline sqlite3_stmt *json_query(const char *sql, const char *json, const char *path)
{
    static sqlite3 *db;
    sqlite3_stmt *query;
    if (!db)
        ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &query, NULL) == SQLITE_OK, "%s: %s", sql,
                  sqlite3_errmsg(db));
    sqlite3_bind_text(query, 1, json, -1, SQLITE_STATIC);
    if (path)
        sqlite3_bind_text(query, 2, path, -1, SQLITE_STATIC);
    ck_assert_msg(sqlite3_step(query) == SQLITE_ROW, "%s with %s: %s in %.300s", sql, path ? path : "",
                  sqlite3_errmsg(db), json);
    return query;
}

/* "null", "true", "false", "integer", "real", "text", "array", "object", or "" where there is none. */
static inline const char *json_type(const char *json, const char *path)
{
    static char type[16];
    sqlite3_stmt *query = json_query("SELECT json_type(?1, ?2)", json, path);
    const char *found = (const char *)sqlite3_column_text(query, 0);
    snprintf(type, sizeof type, "%s", found ? found : "");
    sqlite3_finalize(query);
    return type;
}

static inline bool json_is_number(const char *json, const char *path)
{
    const char *type = json_type(json, path);
    return strcmp(type, "integer") == 0 || strcmp(type, "real") == 0;
}

static inline double json_number(const char *json, const char *path)
{
    ck_assert_msg(json_is_number(json, path), "%s is %s, no number", path, json_type(json, path));
    sqlite3_stmt *query = json_query("SELECT json_extract(?1, ?2)", json, path);
    double value = sqlite3_column_double(query, 0);
    sqlite3_finalize(query);
    return value;
}

/* A text, copied to a place that the fourth call after this one writes again. */
static inline const char *json_text(const char *json, const char *path)
{
    static char kept[4][4096];
    static int next;
    ck_assert_msg(strcmp(json_type(json, path), "text") == 0, "%s is %s, no text", path,
                  json_type(json, path));
    sqlite3_stmt *query = json_query("SELECT json_extract(?1, ?2)", json, path);
    char *to = kept[next++ % 4];
    snprintf(to, sizeof *kept, "%s", (const char *)sqlite3_column_text(query, 0));
    sqlite3_finalize(query);
    return to;
}

/* One number of a query in which ?1 is the document, such as a sum over json_each. */
static inline double json_ask(const char *json, const char *sql)
{
    sqlite3_stmt *query = json_query(sql, json, NULL);
    ck_assert_msg(sqlite3_column_type(query, 0) != SQLITE_NULL, "%s gives nothing", sql);
    double value = sqlite3_column_double(query, 0);
    sqlite3_finalize(query);
    return value;
}

static inline int json_count(const char *json, const char *path)
{
    ck_assert_str_eq(json_type(json, path), "array");
    sqlite3_stmt *query = json_query("SELECT json_array_length(?1, ?2)", json, path);
    int n = sqlite3_column_int(query, 0);
    sqlite3_finalize(query);
    return n;
}

static inline bool json_valid(const char *json)
{
    return json_ask(json, "SELECT json_valid(?1)") == 1;
}

/* One object of format 1 in one line. */
static inline void ck_document(const char *json)
{
    size_t length = strlen(json);
    ck_assert_msg(json_valid(json), "no JSON: %.300s", json);
    ck_assert_msg(length > 0 && strchr(json, '\n') == json + length - 1, "not one line: %.300s", json);
    ck_assert(json_number(json, "$.format") == 1);
    static const char *const never[] = {":nan", ":-nan", ":inf", ":-inf", "[nan", ",nan", "[inf", ",inf"};
    for (size_t i = 0; i < sizeof never / sizeof *never; i++)
        ck_assert_ptr_null(strstr(json, never[i]));
}

/* Types by a list such as "cut_s:number due_at:text? alone:array": ? also null; every key must be there. */
static inline void ck_keys(const char *json, const char *object, const char *keys)
{
    char list[2000], path[300], *rest = NULL;
    snprintf(list, sizeof list, "%s", keys);
    for (char *key = strtok_r(list, " ", &rest); key; key = strtok_r(NULL, " ", &rest)) {
        char *wanted = strchr(key, ':');
        *wanted++ = '\0';
        bool may_be_null = wanted[strlen(wanted) - 1] == '?';
        if (may_be_null)
            wanted[strlen(wanted) - 1] = '\0';
        snprintf(path, sizeof path, "%s.%s", object, key);
        const char *type = json_type(json, path);
        bool right =
            strcmp(type, wanted) == 0 || (may_be_null && strcmp(type, "null") == 0) ||
            (strcmp(wanted, "number") == 0 && json_is_number(json, path)) ||
            (strcmp(wanted, "bool") == 0 && (strcmp(type, "true") == 0 || strcmp(type, "false") == 0));
        ck_assert_msg(right, "%s is \"%s\", expected %s%s", path, json_type(json, path), wanted,
                      may_be_null ? " or null" : "");
    }
}

/* A part of a document as one of its own, so that a long array is not read through its whole document each
 * time. Free with free(). */
static inline char *json_part(const char *json, const char *path)
{
    sqlite3_stmt *query = json_query("SELECT json_object('part', json_extract(?1, ?2))", json, path);
    char *part = strdup((const char *)sqlite3_column_text(query, 0));
    ck_assert_ptr_nonnull(part);
    sqlite3_finalize(query);
    return part;
}

/* How many cautions of that code there are. */
static inline int cautions_of(const char *json, const char *code)
{
    char sql[300];
    snprintf(sql, sizeof sql,
             "SELECT count(*) FROM json_each(?1, '$.cautions') WHERE json_extract(value, '$.code') = '%s'",
             code);
    return (int)json_ask(json, sql);
}

#define ck_near(value, expected, relative)                                                                   \
    ck_near_as(#value, (long double)(value), (long double)(expected), (long double)(relative))

static inline void ck_near_as(const char *what, long double value, long double expected, long double relative)
{
    ck_assert_msg(fabsl(value - expected) <= relative * fabsl(expected), "%s is %.17Lg, expected %.17Lg",
                  what, value, expected);
}

/* Seconds since 1970 of an ISO time with milliseconds and offset, checked for its form. Days by the civil
 * calendar's arithmetic, not by the program's. */
static inline double iso_seconds(const char *text)
{
    int year, month, day, hour, minute, second, ms, oh, om, used = 0;
    char sign;
    ck_assert_msg(sscanf(text, "%4d-%2d-%2dT%2d:%2d:%2d.%3d%c%2d:%2d%n", &year, &month, &day, &hour, &minute,
                         &second, &ms, &sign, &oh, &om, &used) == 10 &&
                      used == 29 && text[29] == '\0' && (sign == '+' || sign == '-'),
                  "\"%s\" is no time", text);
    long days = 0;
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    for (int y = 1970; y < year; y++)
        days += 365 + ((y % 4 == 0 && y % 100 != 0) || y % 400 == 0);
    days +=
        before[month - 1] + day - 1 + (month > 2 && ((year % 4 == 0 && year % 100 != 0) || year % 400 == 0));
    double offset = (oh * 3600 + om * 60) * (sign == '-' ? -1 : 1);
    return (double)days * 86400 + hour * 3600 + minute * 60 + second + ms / 1000.0 - offset;
}

static inline double json_seconds(const char *json, const char *path)
{
    return iso_seconds(json_text(json, path));
}

#endif
