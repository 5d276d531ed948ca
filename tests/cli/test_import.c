/* Parts lists in: every bad row is told at its place, all comes in or nothing, from any office's file. */
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

/* shop.db: metric, job J with stock 1 of 6 mm mild steel. */
static void make_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
}

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    return ran;
}

/* Import a text from standard input. */
static struct ran import(const char *key, const char *list, size_t length, const char *option,
                         const char *second)
{
    const struct run_how how = {.input = list, .input_length = length};
    return run_how(&how, "import", "-f", "shop.db", key, "-", option, second, NULL);
}

static void ck_part(const char *json, int stock, int part, const char *id, double quantity,
                    double cut_length_mm)
{
    char path[80];
    snprintf(path, sizeof path, "$.jobs[0].stocks[%d].parts[%d].part", stock, part);
    ck_assert_str_eq(json_text(json, path), id);
    snprintf(path, sizeof path, "$.jobs[0].stocks[%d].parts[%d].quantity", stock, part);
    ck_assert(json_number(json, path) == quantity);
    snprintf(path, sizeof path, "$.jobs[0].stocks[%d].parts[%d].cut_length_mm", stock, part);
    ck_near(json_number(json, path), cut_length_mm, 1e-14);
}

START_TEST(a_good_list_comes_in_whole)
{
    make_job();
    write_text("good.csv", "part,name,quantity,cut_length_mm,pierces,length_in,width_in,edge,note\r\n"
                           "A,\"bracket, long\",20,965.2,5,8,6,,\r\n"
                           "B,\"two\r\nlines\",36,406.4,3,4,3,fine,\"say \"\"when\"\"\"\r\n"
                           "C,,,12,,,,2.5,\r\n");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "good.csv", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "3 parts added, 0 replaced, 0 stocks made, 0 rows left out\n");
    ck_says(ran.out, "ends ");
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "A", 20, 965.2);
    ck_part(ran.out, 0, 1, "B", 36, 406.4);
    ck_part(ran.out, 0, 2, "C", 1, 12);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[1].name"), "two\nlines");
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].mass_kg"), 20 * 0.2032 * 0.1524 * 0.006 * 7850,
            1e-12);
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[2].edge_cut"), 2.5, 1e-12);
    done(&ran);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

static const char bad_rows[] = "part,quantity,cut_length_mm,length,width,name\r\n"
                               "A,2,500,100,50,good\r\n"
                               "B,x,500,100,50,letters\r\n"
                               "C,2,500,100,50,\"two\nlines\"\r\n"
                               "D,-1,1e309,0,50,three things\r\n"
                               ",1,500,100,50,no key\r\n"
                               "A,1,500,100,50,twice\r\n"
                               "E,1,\"1,200\",100,50,grouping\r\n"
                               "F,1,nan,100,50,no number\r\n"
                               "G,3,500,100,50,good\r\n";

START_TEST(every_bad_row_is_told_at_its_line_and_column)
{
    make_job();
    write_text("bad.csv", bad_rows);
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "bad.csv", NULL);
    ck_code(ran, 3);
    ck_assert_str_eq(ran.out, "");
    static const char *const said[] = {"bad.csv:3:2: quantity \"x\": ",
                                       "bad.csv:6:2: quantity \"-1\": ",
                                       "bad.csv:6:3: cut_length \"1e309\": ",
                                       "bad.csv:6:4: length \"0\": ",
                                       "bad.csv:7:1: ",
                                       "bad.csv:8:1: ",
                                       "bad.csv:9:3: cut_length \"1,200\": ",
                                       "bad.csv:10:3: cut_length \"nan\": ",
                                       "6 of 9 rows",
                                       "nothing is imported"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        ck_says(ran.err, said[i]);
    static const char *const good[] = {"bad.csv:2:", "bad.csv:4:", "bad.csv:5:", "bad.csv:11:"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++)
        ck_says_not(ran.err, good[i]);
    done(&ran);
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 2);
}
END_TEST

START_TEST(good_only_takes_the_others_and_writes_the_bad_ones_down)
{
    struct csv csv;
    make_job();
    write_text("list.csv", bad_rows);
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--bad", "out.csv", NULL);
    ck_code(ran, 3); /* without --good-only nothing comes in, but the rows to mend are written */
    done(&ran);
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(unlink("out.csv"), 0);
    ran =
        run("import", "-f", "shop.db", "J/1", "list.csv", "--good-only", "--bad", "out.csv", "--json", NULL);
    ck_code(ran, 1);
    ck_document(ran.out);
    ck_assert(json_number(ran.out, "$.added") == 3);
    ck_assert(json_number(ran.out, "$.left_out") == 6);
    done(&ran);
    struct bytes bad = bytes_of("out.csv");
    csv_read(bad.at, ',', &csv);
    ck_assert_int_eq(csv.rows, 7);
    ck_assert_str_eq(csv.cells[0][csv.columns - 1], "reason");
    ck_assert_str_eq(csv_at(&csv, 1, "part"), "B");
    ck_says(csv_at(&csv, 1, "reason"), "quantity \"x\"");
    ck_says(csv_at(&csv, 2, "reason"), "cut_length \"1e309\"");
    ck_says(csv_at(&csv, 2, "reason"), "length \"0\"");
    ck_assert_str_eq(csv_at(&csv, 5, "cut_length_mm"), "1,200");
    csv_free(&csv);
    free(bad.at);
    ran = plan_json();
    ck_assert_int_eq(json_count(ran.out, "$.jobs[0].stocks[0].parts"), 3);
    ck_part(ran.out, 0, 2, "G", 3, 500);
    done(&ran);
    before = bytes_of("shop.db");
    ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--good-only", "--replace", "--bad", "out.csv",
              NULL);
    ck_code(ran, 6);
    ck_says(ran.err, "out.csv exists already");
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

/* Mend the rows that were written down, and they come in. */
START_TEST(the_file_of_bad_rows_can_be_read_again)
{
    make_job();
    write_text("list.csv", "part;quantity;cut_length_mm\r\nA;1;5\r\n'=x;zwei;5,5\r\n");
    struct ran ran =
        run("import", "-f", "shop.db", "J/1", "list.csv", "--good-only", "--bad", "out.csv", NULL);
    ck_code(ran, 1);
    done(&ran);
    struct bytes bad = bytes_of("out.csv");
    char *word = strstr(bad.at, "zwei");
    ck_assert_ptr_nonnull(word);
    memcpy(word, "2   ", 4);
    ran = import("J/1", bad.at, bad.size, NULL, NULL);
    ck_code(ran, 0);
    done(&ran);
    free(bad.at);
    ran = plan_json();
    ck_part(ran.out, 0, 1, "=x", 2, 5.5);
    done(&ran);
}
END_TEST

START_TEST(a_part_that_exists_is_refused_unless_replace)
{
    make_job();
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=2", "cut_length=100", "note=keep me",
            "pierces=4");
    struct bytes before = bytes_of("shop.db");
    static const char list[] = "part,quantity,cut_length\nA,7,\nB,1,50\n";
    struct ran ran = import("J/1", list, strlen(list), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:2:1: part \"A\" is in the plan already; --replace takes the list's\n");
    ck_says(ran.err, "1 of 2 rows");
    done(&ran);
    ck_unchanged("shop.db", &before);
    ran = import("J/1", list, strlen(list), "--replace", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "1 part added, 1 replaced, 0 stocks made, 0 rows left out");
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "A", 7, 100); /* an empty cell says nothing */
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].pierces") == 4);
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1/A", "--list", NULL);
    ck_says(ran.out, "keep me");
    done(&ran);
}
END_TEST

START_TEST(a_dry_run_leaves_every_byte)
{
    make_job();
    write_text("list.csv", "part,cut_length\nA,5\nB,6\n");
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--dry-run", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "would be: 2 parts added");
    done(&ran);
    ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--dry-run", "--json", NULL);
    ck_keys(ran.out, "$",
            "kept:bool added:integer replaced:integer stocks_made:integer left_out:integer encoding:text");
    ck_assert_str_eq(json_type(ran.out, "$.kept"), "false");
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

/* ---- by material and thickness ---- */

START_TEST(rows_are_grouped_into_stocks_that_are_made_where_missing)
{
    make_job();
    static const char list[] = "part,material,thickness_mm,cut_length_mm\n"
                               "A,mild steel,6,1\n"
                               "B,304,3,2\n"
                               "C,\"steel, mild\",6.0,3\n"
                               "D,stainless,3,4\n"
                               "E,304,5,5\n"
                               "A,304,5,6\n";
    struct ran ran = import("J", list, strlen(list), NULL, NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "6 parts added, 0 replaced, 2 stocks made");
    done(&ran);
    ran = plan_json();
    ck_assert_int_eq(json_count(ran.out, "$.jobs[0].stocks"), 3);
    ck_part(ran.out, 0, 0, "A", 1, 1);
    ck_part(ran.out, 0, 1, "C", 1, 3);
    ck_part(ran.out, 1, 0, "B", 1, 2);
    ck_part(ran.out, 1, 1, "D", 1, 4);
    ck_part(ran.out, 2, 1, "A", 1, 6);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[1].material"), "stainless 304");
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[2].thickness_mm") == 5);
    done(&ran);
    struct bytes before = bytes_of("shop.db");
    static const char without[] =
        "part,material,thickness\nF,304,\nG,,3\nH,unobtainium,3\nI,304,900\nK,304,3\n";
    ran = import("J", without, strlen(without), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:2:1: no thickness");
    ck_says(ran.err, "standard input:3:1: no material");
    ck_says(ran.err, "standard input:4:2: material \"unobtainium\"");
    ck_says(ran.err, "standard input:5:1: ");
    ck_says(ran.err, "4 of 5 rows");
    done(&ran);
    static const char neither[] = "part,quantity\nF,1\n";
    ran = import("J", neither, strlen(neither), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "no material");
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

/* A stock takes only what is of its material and thickness, as far as the list says. */
START_TEST(rows_of_other_sheets_do_not_go_into_a_stock)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    static const char list[] = "part,qty,matl,thk\nA,2,mild steel,6\nB,3,304,6\nC,4,,8 mm\nD,5,,\n";
    struct ran ran = import("J/1", list, strlen(list), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:3:1: the list says stainless 304 6 mm, stock J/1 is steel, mild 6 mm: "
                     "import into the job to make a new stock\n");
    ck_says(ran.err, "standard input:4:1: the list says 8 mm, stock J/1 is steel, mild 6 mm: ");
    ck_says(ran.err, "2 of 4 rows cannot be taken: nothing is imported; --good-only takes the others");
    done(&ran);
    ck_unchanged("shop.db", &before);
    ran = import("J/1", list, strlen(list), "--good-only", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "2 parts added, 0 replaced, 0 stocks made, 2 rows left out\n");
    done(&ran);
    static const char one[] = "part,qty,matl,thk\nB,3,304,6\n";
    ran = import("J", one, strlen(one), NULL, NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "1 part added, 0 replaced, 1 stock made, 0 rows left out\n");
    done(&ran);
}
END_TEST

START_TEST(columns_that_are_missing_are_told)
{
    make_job();
    struct ran ran = import("J/1", "part\nA\n", 7, "--dry-run", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "standard input:1:0: no quantity column: every part would be 1 piece\n");
    done(&ran);
    ran = import("J", "part,pcs\nA,3\n", 13, NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:1:0: no material column");
    ck_says(ran.err, "standard input:1:0: no thickness column");
    ck_says(ran.err, "standard input:2:1: no material: fill in the column, or name the stock as JOB/STOCK\n");
    done(&ran);
}
END_TEST

/* ---- the office's file ---- */

static void comes_in_as_one_part(const char *list, size_t length, const char *option, const char *second)
{
    make_job();
    struct ran ran = import("J/1", list, length, option, second);
    ck_code(ran, 0);
    ck_says(ran.out, "1 part added");
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "H\xC3\xA4lfte", 3, 12.5);
    done(&ran);
    ck_assert_int_eq(unlink("shop.db"), 0);
}

static size_t as_utf16(const char *utf8, bool mark, bool big, char *out)
{
    size_t n = 0;
    char *at = out;
    for (const unsigned char *c = (const unsigned char *)utf8;
         *c || (mark && c == (const unsigned char *)utf8); c++) {
        unsigned code = *c;
        if (mark) {
            code = 0xFEFF;
            mark = false;
            c--;
        } else if (code >= 0xC0) {
            code = (code & 0x1F) << 6 | (c[1] & 0x3F);
            c++;
        }
        *at++ = (char)(big ? code >> 8 : code & 0xFF);
        *at++ = (char)(big ? code & 0xFF : code >> 8);
        n += 2;
    }
    return n;
}

START_TEST(any_office_s_file_reads_the_same)
{
    static const char comma[] = "part,quantity,cut_length_mm\r\nH\xC3\xA4lfte,3,12.5\r\n";
    static const char semicolon[] = "part;quantity;cut_length_mm\r\nH\xC3\xA4lfte;3;12,5\r\n";
    static const char tab[] = "part\tquantity\tcut_length_mm\nH\xC3\xA4lfte\t3\t12.5";
    static const char windows[] = "part;quantity;cut_length_mm\r\nH\xE4lfte;3;12,5\r\n";
    static const char mark[] = "\xEF\xBB\xBFpart,quantity,cut_length_mm\rH\xC3\xA4lfte,3,12.5\r";
    char wide[400];
    comes_in_as_one_part(comma, strlen(comma), NULL, NULL);
    comes_in_as_one_part(semicolon, strlen(semicolon), NULL, NULL);
    comes_in_as_one_part(tab, strlen(tab), NULL, NULL);
    comes_in_as_one_part(tab, strlen(tab), "--separator", "tab");
    comes_in_as_one_part(windows, strlen(windows), NULL, NULL);
    comes_in_as_one_part(windows, strlen(windows), "--encoding", "windows-1252");
    comes_in_as_one_part(mark, strlen(mark), NULL, NULL);
    for (int i = 0; i < 4; i++)
        comes_in_as_one_part(wide, as_utf16(semicolon, i & 1, i & 2, wide), NULL, NULL);
    comes_in_as_one_part(wide, as_utf16(comma, false, true, wide), "--encoding", "utf-16be");
}
END_TEST

START_TEST(units_stand_in_the_header_and_in_the_cell)
{
    make_job();
    static const char list[] =
        "part,Cut Length (in),width_m,Length ft\nA,10,0.5,2\nB,10mm,500mm,24in\nC,1 1/2,1/2,=1+1\n";
    struct ran ran = import("J/1", list, strlen(list), NULL, NULL);
    ck_code(ran, 0);
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "A", 1, 254);
    ck_part(ran.out, 0, 1, "B", 1, 10);
    ck_part(ran.out, 0, 2, "C", 1, 38.1);
    for (int i = 0; i < 3; i++) {
        char path[80];
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].mass_kg", i);
        ck_near(json_number(ran.out, path), 0.5 * 0.6096 * 0.006 * 7850, 1e-12);
    }
    done(&ran);
}
END_TEST

START_TEST(a_map_gives_foreign_headers_a_meaning)
{
    make_job();
    static const char list[] = "Pos,Menge,\"Weg, innen\",part\nA,4,33,no\n";
    struct ran ran = import("J/1", list, strlen(list), "--map",
                            "Pos=part,Menge=quantity,\"Weg, innen=cut_length_in\",part=");
    ck_code(ran, 0);
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "A", 4, 33 * 25.4);
    done(&ran);
    struct bytes before = bytes_of("shop.db");
    static const struct {
        const char *map, *piece;
        int code;
    } bad[] = {
        {"Stk=quantity", "\"Stk\"", 3}, {"Menge", "HEADER=COLUMN", 2}, {"Menge=colour", "\"colour\"", 2}};
    for (int i = 0; i < 3; i++) {
        ran = import("J/1", list, strlen(list), "--map", bad[i].map);
        ck_code(ran, bad[i].code);
        ck_says(ran.err, bad[i].piece);
        done(&ran);
    }
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(what_is_no_list_or_no_place_is_refused)
{
    make_job();
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "cut_length=5");
    write_text("list.csv", "part\nB\n");
    write_text("empty.csv", "");
    write_text("headless.csv", "quantity\n3\n");
    write_text("open.csv", "part,name\nA,\"left open\n");
    write_bytes("nul.csv", "part\nA\0B\n", 9);
    write_text("double.csv", "part,quantity,Quantity\nA,1,2\n");
    struct bytes before = bytes_of("shop.db");
    ck_refused(4, "nofile.csv", "import", "-f", "shop.db", "J", "nofile.csv");
    ck_refused(3, "no drawing (.dxf) or part program (.nc .iso .ngc .tap) in .", "import", "-f", "shop.db",
               "J", ".");
    ck_refused(3, "empty.csv", "import", "-f", "shop.db", "J", "empty.csv");
    ck_refused(3, "headless.csv:1:", "import", "-f", "shop.db", "J", "headless.csv");
    ck_refused(3, "open.csv:2", "import", "-f", "shop.db", "J", "open.csv");
    ck_refused(3, "nul.csv", "import", "-f", "shop.db", "J", "nul.csv");
    ck_refused(3, "double.csv:1", "import", "-f", "shop.db", "J", "double.csv");
    ck_refused(3, "no job \"K\"", "import", "-f", "shop.db", "K", "list.csv");
    ck_refused(3, "no stock 2", "import", "-f", "shop.db", "J/2", "list.csv");
    ck_refused(3, "J/1/A is a part", "import", "-f", "shop.db", "J/1/A", "list.csv");
    ck_refused(2, "comma, semicolon or tab", "import", "-f", "shop.db", "J/1", "list.csv", "--separator",
               "x");
    ck_refused(2, "utf-8", "import", "-f", "shop.db", "J/1", "list.csv", "--encoding", "ebcdic");
    ck_unchanged("shop.db", &before);
}
END_TEST

/* ---- much, and cut off ---- */

static struct bytes long_list(int rows)
{
    struct bytes list = {0};
    char line[60];
    add_bytes(&list, "part,cut_length_mm,length_mm,width_mm\n", 38);
    for (int i = 0; i < rows; i++)
        add_bytes(&list, line, (size_t)snprintf(line, sizeof line, "P%06d,%d,50,40\n", i, 100 + i % 900));
    return list;
}

START_TEST(a_hundred_thousand_rows)
{
    make_job();
    struct bytes list = long_list(100000);
    struct ran ran = import("J/1", list.at, list.size, NULL, NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "100000 parts added");
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1/P099999", "--list", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "199 mm"); /* 99,999 mod 900 = 99 */
    done(&ran);
    ck_quiet("check", "-f", "shop.db");
    free(list.at);
}
END_TEST

static off_t size_of(const char *path)
{
    struct stat found;
    return stat(path, &found) == 0 ? found.st_size : -1;
}

static bool has_ended(pid_t pid)
{
    siginfo_t found = {0};
    ck_assert_int_eq(waitid(P_PID, (id_t)pid, &found, WEXITED | WNOHANG | WNOWAIT), 0);
    return found.si_pid == pid;
}

/* Killed from the moment on at which the journal of its transaction is there, later each time, the file is as
 * it was or as it should be, and sound. */
START_TEST(a_kill_in_the_middle_leaves_all_or_nothing)
{
    make_job();
    struct bytes list = long_list(10000), before = bytes_of("shop.db");
    write_bytes("list.csv", list.at, list.size);
    static const char *const words[] = {"import", "-f", "shop.db", "J/1", "list.csv", NULL};
    int killed = 0, nothing = 0;
    for (int i = 0; i < 16; i++) {
        write_bytes("shop.db", before.at, before.size);
        struct running running = start_words(NULL, words);
        while (size_of("shop.db-journal") <= 0 && !has_ended(running.pid))
            ;
        for (long k = 0; k < 1L << i && !has_ended(running.pid); k++)
            ;
        kill(running.pid, SIGKILL);
        struct ran ran = finish(running);
        killed += ran.code == 1000 + SIGKILL;
        done(&ran);
        struct ran check = run("check", "-f", "shop.db", NULL);
        ck_code(check, 0);
        ck_assert_str_eq(check.out, "nothing wrong found\n");
        done(&check);
        struct ran plan = plan_json();
        int parts = json_count(plan.out, "$.jobs[0].stocks[0].parts");
        ck_assert_msg(parts == 0 || parts == 10000, "%d parts", parts);
        nothing += parts == 0;
        done(&plan);
        unlink("shop.db-journal");
    }
    ck_assert_int_ge(killed, 3);
    ck_assert_int_ge(nothing, 3);
    free(list.at);
    free(before.at);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_good_list_comes_in_whole);
    tcase_add_test(tcase, every_bad_row_is_told_at_its_line_and_column);
    tcase_add_test(tcase, good_only_takes_the_others_and_writes_the_bad_ones_down);
    tcase_add_test(tcase, the_file_of_bad_rows_can_be_read_again);
    tcase_add_test(tcase, a_part_that_exists_is_refused_unless_replace);
    tcase_add_test(tcase, a_dry_run_leaves_every_byte);
    tcase_add_test(tcase, rows_are_grouped_into_stocks_that_are_made_where_missing);
    tcase_add_test(tcase, rows_of_other_sheets_do_not_go_into_a_stock);
    tcase_add_test(tcase, columns_that_are_missing_are_told);
    tcase_add_test(tcase, any_office_s_file_reads_the_same);
    tcase_add_test(tcase, units_stand_in_the_header_and_in_the_cell);
    tcase_add_test(tcase, a_map_gives_foreign_headers_a_meaning);
    tcase_add_test(tcase, what_is_no_list_or_no_place_is_refused);
    tcase_add_test(tcase, a_hundred_thousand_rows);
    tcase_add_test(tcase, a_kill_in_the_middle_leaves_all_or_nothing);
}

int main(void)
{
    return run_suite("import", fill);
}
