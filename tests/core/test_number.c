/* Numbers as typed: what is right, unfinished and wrong, and where. */
#include "sandglass/number.h"
#include "support/prefixes.h"
#include "support/random.h"

#include <check.h>
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The fields of the table below: what a number typed there means. */
enum field {
    LENGTH,
    LENGTH_MM,
    UNIT_TYPED,
    COUNT,
    PLAIN,
    HANDS_ON,
    LIFE,
    GARNET,
    MASS,
    BAGS,
    FEED,
    PRESSURE,
    PERCENT,
    FIELDS
};

static struct sg_reading reading(enum field field)
{
    static const struct {
        enum sg_dimension dimension;
        const char *bare;
        enum sg_colon colon;
        double bag_kg;
        bool whole;
    } fields[FIELDS] = {
        [LENGTH] = {SG_DIM_LENGTH, "in", SG_COLON_NONE, 0, false},
        [LENGTH_MM] = {SG_DIM_LENGTH, "mm", SG_COLON_NONE, 0, false},
        [UNIT_TYPED] = {SG_DIM_LENGTH, NULL, SG_COLON_NONE, 0, false},
        [COUNT] = {SG_DIM_NUMBER, NULL, SG_COLON_NONE, 0, true},
        [PLAIN] = {SG_DIM_NUMBER, NULL, SG_COLON_NONE, 0, false},
        [HANDS_ON] = {SG_DIM_DURATION, "min", SG_COLON_MIN_S, 0, false},
        [LIFE] = {SG_DIM_DURATION, "h", SG_COLON_H_MIN, 0, false},
        [GARNET] = {SG_DIM_GARNET_FEED, "lb/min", SG_COLON_NONE, 0, false},
        [MASS] = {SG_DIM_MASS, "lb", SG_COLON_NONE, 0, false},
        [BAGS] = {SG_DIM_MASS, "lb", SG_COLON_NONE, 25, false},
        [FEED] = {SG_DIM_FEED, "in/min", SG_COLON_NONE, 0, false},
        [PRESSURE] = {SG_DIM_PRESSURE, "ksi", SG_COLON_NONE, 0, false},
        [PERCENT] = {SG_DIM_RATIO, "%", SG_COLON_NONE, 0, false},
    };
    const char *bare = fields[field].bare;
    return (struct sg_reading){.dimension = fields[field].dimension,
                               .bare = bare ? sg_unit_find(bare, strlen(bare)) : NULL,
                               .colon = fields[field].colon,
                               .bag_kg = fields[field].bag_kg,
                               .whole = fields[field].whole};
}

static struct sg_parsed parse(enum field field, const char *text)
{
    struct sg_reading how = reading(field);
    struct sg_parsed parsed;
    memset(&parsed, 0x55, sizeof parsed);
    sg_number_parse(text, &how, &parsed);
    return parsed;
}

/* Values in inch, pounds and so on are multiplied by hand; those that are whole or short in SI are written as
 * such. */
static const struct {
    enum field field;
    const char *text;
    double value;
    bool bare;
} whole[] = {
    {LENGTH, "6mm", 6, false},
    {LENGTH, "6 mm", 6, false},
    {LENGTH, " 6\tmm ", 6, false},
    {LENGTH, "6\xC2\xA0mm\xE2\x80\xAF", 6, false},
    {LENGTH, "6MM", 6, false},
    {LENGTH, "1/2\"", 12.7, false},
    {LENGTH, "1-1/2\"", 38.1, false},
    {LENGTH, "1 1/2 in", 38.1, false},
    {LENGTH, "1  1/2", 38.1, true},
    {LENGTH,
     "1\xC2\xA0"
     "1/2",
     38.1, true},
    {LENGTH, "-1-1/2", -38.1, true},
    {LENGTH, "3/16in", 4.7625, false},
    {LENGTH, "3 12/16in", 95.25, false},
    {LENGTH, "6\xE2\x80\xB3", 152.4, false},
    {LENGTH, "6'", 1828.8, false},
    {LENGTH, "2\xE2\x80\xB2", 609.6, false},
    {LENGTH, "2 inch", 50.8, false},
    {LENGTH, ".5", 12.7, true},
    {LENGTH, "4.", 101.6, true},
    {LENGTH, "1e1", 254, true},
    {LENGTH, "1E+1mm", 10, false},
    {LENGTH, "100e-1 mm", 10, false},
    {LENGTH, "-5 mm", -5, false},
    {LENGTH, "- 5 mm", -5, false},
    {LENGTH, "-0", 0, true},
    {LENGTH, "0007mm", 7, false},
    {LENGTH_MM, "1234567.25", 1234567.25, true},
    {LENGTH_MM, "0.1", 0.1, true},
    {LENGTH_MM, "0.000000000000000000000000000000000000000000123456789012345678901234567890",
     1.2345678901234568e-43, true},
    {LENGTH_MM, "123456789012345678901234567890", 123456789012345678901234567890.0, true},
    {LENGTH_MM, "1.7e308", 1.7e308, true},
    {LENGTH_MM, "4.9406564584124654e-324", DBL_TRUE_MIN, true},
    {LENGTH_MM, "0e999999999", 0, true},
    {LENGTH_MM, "4,5", 4.5, true},
    {LENGTH_MM, "4,25mm", 4.25, false},
    {LENGTH_MM, ",5", 0.5, true},
    {LENGTH_MM, "0,125", 0.125, true},
    {LENGTH_MM, "1234,567", 1234.567, true},
    {LENGTH_MM, "4.125", 4.125, true},
    {PLAIN, "=12*4.5", 54, true},
    {PLAIN, "=16/4/2", 2, true},
    {PLAIN, "=16/ 4/2", 2, true},
    {PLAIN, "=16 / 4 / 2", 2, true},
    {PLAIN, "=16/-4/2", -2, true},
    {PLAIN, "=16/(4/2)", 8, true},
    {PLAIN, "=2+3*4", 14, true},
    {PLAIN, "=(2+3)*4", 20, true},
    {PLAIN, "=20-3-2", 15, true},
    {PLAIN, "=1-1/2", 0.5, true},
    {PLAIN, "=1 1/2", 1.5, true},
    {PLAIN, "=1 -1/2", 0.5, true},
    {PLAIN, "=2*1 1/2", 3, true},
    {PLAIN, "=2*-3", -6, true},
    {PLAIN, "=--3", 3, true},
    {PLAIN, " = ( 2 + 3 ) ", 5, true},
    {PLAIN, "=3/4.5*3", 2, true},
    {PLAIN, "=3/4e1*40", 3, true},
    {PLAIN, "=1234567890/2", 617283945, true},
    {PLAIN, "=4,5+1", 5.5, true},
    {LENGTH, "=2*6mm+1/8in", 15.175, false},
    {LENGTH, "=2*6mm+1/8\"", 15.175, false},
    {LENGTH, "=2+3mm", 53.8, false},
    {LENGTH, "=3mm+2", 53.8, false},
    {LENGTH, "=3mm-2*(1+1)", -98.6, false},
    {LENGTH, "=10mm/5mm", 50.8, true},
    {LENGTH, "=10mm*3/2", 15, false},
    {LENGTH, "=6in/2", 76.2, false},
    {LENGTH, "=(2+3mm)*2", 107.6, false},
    {LENGTH, "=6 in / ( 3 in / 1 in ) ", 50.8, false},
    {UNIT_TYPED, "5 mm", 5, false},
    {UNIT_TYPED, "=2*5mm", 10, false},
    {UNIT_TYPED, "=(2+6mm/2mm)*5mm", 25, false},
    {COUNT, "12", 12, true},
    {COUNT, "-3", -3, true},
    {COUNT, "0", 0, true},
    {COUNT, "2.0", 2, true},
    {COUNT, "2.", 2, true},
    {COUNT, "1e3", 1000, true},
    {COUNT, "64/32", 2, true},
    {COUNT, "=24-3", 21, true},
    {COUNT, "=5/2*2", 5, true},
    {COUNT, "=2.5*2", 5, true},
    {COUNT, "9007199254740992", 9007199254740992.0, true},
    {HANDS_ON, "1:30", 90, false},
    {HANDS_ON, "90:00", 5400, false},
    {HANDS_ON, "-1:30", -90, false},
    {HANDS_ON, "1:02:03", 3723, false},
    {HANDS_ON, " 0:07 ", 7, false},
    {HANDS_ON, "2", 120, true},
    {HANDS_ON, "90s", 90, false},
    {HANDS_ON, "1.5min", 90, false},
    {HANDS_ON, "1h", 3600, false},
    {HANDS_ON, "=1h+2*30s", 3660, false},
    {LIFE, "1:30", 5400, false},
    {LIFE, "80", 288000, true},
    {LIFE, "100:00:01", 360001, false},
    {GARNET, "330 g/min", 330, false},
    {GARNET, "0.73", 331.1224301, true},
    {GARNET, "=0.73lb/min*2", 662.2448602, false},
    {GARNET, "6kg/h", 100, false},
    {BAGS, "3bag", 75, false},
    {BAGS, "3 bags", 75, false},
    {BAGS, "=2bag+5kg", 55, false},
    {MASS, "1 lb", 0.45359237, false},
    {FEED, "60ipm", 1524, false},
    {FEED, "=1in/s+1mm/min", 1525, false},
    {FEED, "2 m/min", 2000, false},
    {PRESSURE, "3800 bar", 380, false},
    {PERCENT, "50", 0.5, true},
    {PERCENT, "50%", 0.5, false},
    {PERCENT, "=50%+10", 0.6, false},
};

enum { WHOLE = sizeof whole / sizeof *whole };

START_TEST(what_is_right_has_its_value)
{
    struct sg_parsed parsed = parse(whole[_i].field, whole[_i].text);
    ck_assert_msg(parsed.state == SG_PARSE_WHOLE, "%s: %s", whole[_i].text, parsed.text);
    ck_assert_msg(parsed.value == whole[_i].value, "%s is %.17g", whole[_i].text, parsed.value);
    ck_assert_msg(parsed.bare == whole[_i].bare, "%s", whole[_i].text);
    ck_assert_msg(!signbit(parsed.value) || parsed.value < 0, "%s", whole[_i].text);
    if (!strchr(whole[_i].text, ','))
        ck_assert_str_eq(parsed.text, "");
}
END_TEST

START_TEST(a_decimal_comma_is_said)
{
    ck_assert_str_eq(parse(LENGTH, "4,5").text, "read as 4.5");
    ck_assert_str_eq(parse(LENGTH, " -4,5 mm").text, "read as 4.5");
    ck_assert_str_eq(parse(PLAIN, "=1+0,125").text, "read as 0.125");
}
END_TEST

/* `at` is a byte of the text; the sentence must contain `why`. */
static const struct {
    enum field field;
    const char *text;
    size_t at;
    const char *why;
} wrong[] = {
    {LENGTH, "abc", 0, "a number is expected here"},
    {LENGTH, "nan", 0, "a number is expected here"},
    {LENGTH, "inf", 0, "a number is expected here"},
    {LENGTH, "-inf", 1, "a number is expected here"},
    {LENGTH, "--5", 1, "a number is expected here"},
    {LENGTH, "+5", 0, "a number is expected here"},
    {LENGTH, "0x10", 1, "not a unit of length: mm, cm, m, in, ft"},
    {LENGTH, "1e309", 0, "too large: at most 1.7e308"},
    {LENGTH, "1e-400", 0, "too small"},
    {MASS, "5e-324g", 0, "too small: type 0, or at least 5e-324"},
    {LENGTH, "1e308\"", 0, "too large"},
    {LENGTH, "\xEF\xBC\x91\xEF\xBC\x92", 0, "a number is expected here"}, /* full-width 12 */
    {LENGTH, "12x", 2, "not a unit of length: mm, cm, m, in, ft"},
    {LENGTH, "5mmx", 3, "not a unit of length"},
    {LENGTH, "5 mm x", 5, "nothing is expected after the unit"},
    {LENGTH, "5 mm mm", 5, "nothing is expected after the unit"},
    {LENGTH, "10ga", 2, "gauge depends on the metal: type mm or inch"},
    {LENGTH, "10 gauge", 3, "gauge depends on the metal: type mm or inch"},
    {LENGTH, "55 ksi", 3, "ksi is a unit of pressure; length is expected here, such as 55 in"},
    {PRESSURE, "1/2 in", 4, "in is a unit of length; pressure is expected here, such as 1/2 ksi"},
    {LENGTH, "=2*6mm+1/8lb", 10, "lb is a unit of mass; length is expected here, such as 1/8 in"},
    {PLAIN, "5 mm", 2, "mm is a unit of length; plain number is expected here, such as 5"},
    {PERCENT, "5 mm", 2, "ratio is expected here, such as 5 %"},
    {LENGTH, "1,200", 1, "1,200: type 1200 or 1.2"},
    {LENGTH, "12,500mm", 2, "12,500: type 12500 or 12.5"},
    {LENGTH, "=3*1,000", 4, "1,000: type 1000 or 1"},
    {LENGTH, "1,2345", 1, "1,2345: type 1.2345"},
    {LENGTH, "1,234,567", 5, "1,234,567: type 1234567"},
    {LENGTH, "1.234.567", 5, "1.234.567: type 1234567"},
    {LENGTH, "1.200,5", 5, "1.200,5: type 1200.5"},
    {LENGTH, "1,200.5", 5, "1,200.5: type 1200.5"},
    {COUNT, "1,200", 1, "1,200: type 1200 or 1.2"},
    {COUNT, "2.5", 2, "a whole number is expected"},
    {COUNT, "2,5", 2, "a whole number is expected"},
    {COUNT, "12x", 2, "a whole number without unit is expected"},
    {COUNT, "12 pcs", 3, "a whole number without unit is expected"},
    {COUNT, "1e-1", 2, "a whole number is expected"},
    {COUNT, "4/3", 0, "a whole number is expected"},
    {COUNT, "9007199254740993", 0, "a whole number up to 9007199254740992 is expected"},
    {COUNT, "-1e17", 0, "a whole number up to 9007199254740992 is expected"},
    {LENGTH, "12*4", 2, "a sum begins with =, such as =12*4.5"},
    {LENGTH, "12in+4", 4, "a sum begins with ="},
    {LENGTH, "1/2.5", 3, "to divide begin with ="},
    {LENGTH, "1/ 2", 2, "a whole number is expected directly after /"},
    {LENGTH, "1 1/2 1/2", 6, "not a unit of length"},
    {LENGTH, "1 -1/2", 2, "a sum begins with ="},
    {LENGTH, "1-2mm", 3, "a fraction is expected, such as 1 1/2 or 1-1/2; a sum begins with ="},
    {LENGTH, "1/0in", 2, "nothing can be divided by 0"},
    {LENGTH, "1/1234567890", 11, "at most 9 digits"},
    {LENGTH, "1234567890/2", 10, "at most 9 digits"},
    {LENGTH, "1:30", 1, "no time with a colon is read here"},
    {HANDS_ON, "1:60", 2, "two digits up to 59"},
    {HANDS_ON, "1:30:60", 5, "two digits up to 59"},
    {HANDS_ON, "1:5x", 3, "two digits up to 59"},
    {HANDS_ON, "1:300", 4, "nothing is expected after a time"},
    {HANDS_ON, "1:30:00:00", 7, "nothing is expected after a time"},
    {HANDS_ON, "1:30 s", 5, "nothing is expected after a time"},
    {HANDS_ON, "1.5:30", 3, "stands alone"},
    {HANDS_ON, ":30", 0, "a number is expected here"},
    {HANDS_ON, "=1:30", 2, "stands alone, such as 1:30, and not in a sum"},
    {HANDS_ON, "90 secs", 4, "not a unit of time: s, min, h"},
    {MASS, "3bag", 1, "the mass of a bag is not known here"},
    {BAGS, "3x", 1, "not a unit of mass: kg, g, lb, bag"},
    {FEED, "5 s", 2, "s is a unit of time; feed is expected here, such as 5 in/min"},
    {PLAIN, "=1/0+1", 3, "nothing can be divided by 0"},
    {PLAIN, "=1/(2-2)", 3, "nothing can be divided by 0"},
    {LENGTH, "=1mm/0mm", 5, "nothing can be divided by 0"},
    {LENGTH, "=2mm*3mm", 5, "length times length is not length"},
    {LENGTH, "=6/(3mm)", 3, "a plain number cannot be divided by length"},
    {PLAIN, "=2+*3", 3, "a number is expected here"},
    {PLAIN, "=()", 2, "a number is expected here"},
    {PLAIN, "=(2))", 4, "there is no ( for this"},
    {PLAIN, "=2(3)", 2, "one of + - * / is expected here"},
    {PLAIN, "=(2)3", 4, "one of + - * / is expected here"},
    {PLAIN, "=(2 3)", 5, "an operator is expected"},
    {PLAIN, "==2", 1, "a number is expected here"},
    {UNIT_TYPED, "=2+5mm+1mm", 1, "each number needs a unit here, such as mm"},
    {LENGTH, "5\n", 1, "not a unit of length"},
    {LENGTH, "5\xFF", 1, "not a unit of length"},
};

enum { WRONG = sizeof wrong / sizeof *wrong };

START_TEST(what_is_wrong_says_where_and_what_would_be_right)
{
    struct sg_parsed parsed = parse(wrong[_i].field, wrong[_i].text);
    ck_assert_msg(parsed.state == SG_PARSE_WRONG, "%s: %d %s", wrong[_i].text, (int)parsed.state,
                  parsed.text);
    ck_assert_msg(strstr(parsed.text, wrong[_i].why) != NULL, "%s: %s", wrong[_i].text, parsed.text);
    ck_assert_msg(parsed.at == wrong[_i].at, "%s: at %zu", wrong[_i].text, parsed.at);
    ck_assert(parsed.value == 0 && !parsed.bare);
}
END_TEST

static const struct {
    enum field field;
    const char *text, *why;
} unfinished[] = {
    {LENGTH, "", "a number is expected, such as 4.5"},
    {LENGTH, " ", "a number is expected, such as 4.5"},
    {LENGTH, "-", "a number is expected after -"},
    {LENGTH, "- ", "a number is expected after -"},
    {LENGTH, ".", "a number is expected"},
    {LENGTH, ",", "a number is expected"},
    {LENGTH, "4,", "a number is expected"},
    {LENGTH, "1e", "the power of ten is expected"},
    {LENGTH, "1e+", "the power of ten is expected"},
    {LENGTH, "1e-", "the power of ten is expected"},
    {LENGTH, "1/", "a whole number is expected directly after /"},
    {LENGTH, "1 1", "a fraction is expected"},
    {LENGTH, "1-", "a fraction is expected"},
    {LENGTH, "1-1", "a fraction is expected"},
    {LENGTH, "1 1/", "a whole number is expected directly after /"},
    {LENGTH, "1/0", "nothing can be divided by 0"}, /* 1/08 */
    {LENGTH, "12 i", "a unit of length is expected, such as in"},
    {LENGTH, "12c", "a unit of length is expected, such as in"},
    {LENGTH, "1e308", "too large"},  /* 1e308 mm */
    {LENGTH, "1e308m", "too large"}, /* 1e308mm */
    {LENGTH, "=", "a number is expected after ="},
    {LENGTH, "=12*", "a number is expected after *"},
    {LENGTH, "=12* ", "a number is expected after *"},
    {LENGTH, "=(", "a number is expected after ("},
    {LENGTH, "=(2+3", ") is expected"},
    {LENGTH, "=2/-", "a number is expected after -"},
    {PLAIN, "=1/0", "nothing can be divided by 0"}, /* =1/0.5 */
    {PLAIN, "=1/ 0", "nothing can be divided by 0"},
    {PLAIN, "=1 1", "an operator is expected, or a fraction"},
    {PLAIN, "=1e308*10", "too large"}, /* =1e308*10/10 */
    {COUNT, "=5/2", "a whole number is expected"},
    {COUNT, "64/3", "a whole number is expected"}, /* 64/32 */
    {COUNT, "1e", "the power of ten is expected"},
    {HANDS_ON, "1:", "two digits up to 59"},
    {HANDS_ON, "1:3", "two digits up to 59"},
    {HANDS_ON, "1:30:", "two digits up to 59"},
    {HANDS_ON, "2 m", "a unit of time is expected, such as min"},
    {BAGS, "3 ba", "a unit of mass is expected"},
    {FEED, "5 in", "a unit of feed is expected, such as in/min"},
    {FEED, "=5in/", "a unit of feed is expected, such as in/min"},
    {GARNET, "5 k", "a unit of garnet feed is expected, such as lb/min"},
    {UNIT_TYPED, "5", "a unit is expected, such as mm"},
    {UNIT_TYPED, "=5mm+3", "a unit is expected, such as mm"},
};

enum { UNFINISHED = sizeof unfinished / sizeof *unfinished };

START_TEST(what_is_unfinished_says_what_is_expected)
{
    struct sg_parsed parsed = parse(unfinished[_i].field, unfinished[_i].text);
    ck_assert_msg(parsed.state == SG_PARSE_UNFINISHED, "%s: %d %s", unfinished[_i].text, (int)parsed.state,
                  parsed.text);
    ck_assert_msg(strncmp(parsed.text, "unfinished: ", 12) == 0, "%s: %s", unfinished[_i].text, parsed.text);
    ck_assert_msg(strstr(parsed.text, unfinished[_i].why) != NULL, "%s: %s", unfinished[_i].text,
                  parsed.text);
    ck_assert_uint_eq(parsed.at, strlen(unfinished[_i].text));
    ck_assert(parsed.value == 0 && !parsed.bare);
}
END_TEST

START_TEST(the_beginning_of_what_is_right_is_never_wrong)
{
    struct sg_reading how = reading(whole[_i].field);
    int at = wrong_prefix(whole[_i].text, &how);
    ck_assert_msg(at < 0, "%.*s of %s", at, whole[_i].text, whole[_i].text);
}
END_TEST

START_TEST(length_and_depth_are_limited_and_both_numbers_said)
{
    char text[300];
    memset(text, '1', sizeof text);
    text[200] = '\0';
    ck_assert_int_eq(parse(PLAIN, text).state, SG_PARSE_WHOLE);
    text[200] = '1';
    text[201] = '\0';
    struct sg_parsed parsed = parse(PLAIN, text);
    ck_assert_int_eq(parsed.state, SG_PARSE_WRONG);
    ck_assert_str_eq(parsed.text, "the text has 201 bytes, at most 200 are read");
    ck_assert_uint_eq(parsed.at, 200);

    for (int depth = 32; depth <= 34; depth++) {
        memset(text, '(', (size_t)depth + 1);
        text[0] = '=';
        text[depth + 1] = '7';
        memset(text + depth + 2, ')', (size_t)depth);
        text[2 * depth + 2] = '\0';
        parsed = parse(PLAIN, text);
        ck_assert_int_eq(parsed.state, depth == 32 ? SG_PARSE_WHOLE : SG_PARSE_WRONG);
        if (depth == 34)
            ck_assert_str_eq(parsed.text, "brackets are 34 deep, at most 32 are read");
        ck_assert_uint_eq(parsed.at, depth == 32 ? 0 : 33);
    }
}
END_TEST

static void check_any(const char *bytes, size_t size, const struct sg_reading *how)
{
    char *text = malloc(size + 1); /* of just the size, so that a sanitizer sees a read past its end */
    struct sg_parsed parsed;
    memcpy(text, bytes, size);
    text[size] = '\0';
    memset(&parsed, 0x55, sizeof parsed);
    sg_number_parse(text, how, &parsed);
    ck_assert(parsed.state == SG_PARSE_WHOLE || parsed.state == SG_PARSE_UNFINISHED ||
              parsed.state == SG_PARSE_WRONG);
    ck_assert(isfinite(parsed.value) && parsed.at <= strlen(text));
    ck_assert(memchr(parsed.text, '\0', sizeof parsed.text) != NULL);
    ck_assert((parsed.state == SG_PARSE_WHOLE) || (parsed.value == 0 && parsed.text[0] && !parsed.bare));
    ck_assert(!how->whole || floor(parsed.value) == parsed.value);
    free(text);
}

START_TEST(any_number_of_brackets_may_stand_side_by_side)
{
    char text[SG_NUMBER_TEXT_MAX + 1] = "=(1)";
    for (int i = 1; i < 40; i++)
        strcat(text, "+(1)");
    ck_assert_double_eq(parse(PLAIN, text).value, 40);
}
END_TEST

START_TEST(any_bytes_are_read_or_refused)
{
    static const char bytes[] = "0123456789.,+-*/()=eE :\"'%mincfthslbkgparMWLJ\xC2\xA0\xB2\xE2\x80\xAF\xB3";
    struct random r = {0x5eed0007};
    for (int i = 0; i < 200000; i++) {
        char text[260];
        size_t size = random_below(&r, i % 100 ? 24 : sizeof text);
        for (size_t n = 0; n < size; n++)
            text[n] = i % 4 ? bytes[random_below(&r, sizeof bytes - 1)] : (char)random_below(&r, 256);
        if (size && i % 3 == 0)
            text[0] = '=';
        struct sg_reading how = reading((enum field)random_below(&r, FIELDS));
        check_any(text, size, &how);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("number");
    TCase *tests = tcase_create("number");
    tcase_add_loop_test(tests, what_is_right_has_its_value, 0, WHOLE);
    tcase_add_loop_test(tests, what_is_wrong_says_where_and_what_would_be_right, 0, WRONG);
    tcase_add_loop_test(tests, what_is_unfinished_says_what_is_expected, 0, UNFINISHED);
    tcase_add_loop_test(tests, the_beginning_of_what_is_right_is_never_wrong, 0, WHOLE);
    tcase_add_test(tests, a_decimal_comma_is_said);
    tcase_add_test(tests, length_and_depth_are_limited_and_both_numbers_said);
    tcase_add_test(tests, any_number_of_brackets_may_stand_side_by_side);
    tcase_add_test(tests, any_bytes_are_read_or_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
