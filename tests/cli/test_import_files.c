/* Files of parts lists in: from any office's program, in any units, large, and whole or not at all when
 * killed. */
#include "cli/imports.h"

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
    tcase_add_test(tcase, any_office_s_file_reads_the_same);
    tcase_add_test(tcase, units_stand_in_the_header_and_in_the_cell);
    tcase_add_test(tcase, a_map_gives_foreign_headers_a_meaning);
    tcase_add_test(tcase, what_is_no_list_or_no_place_is_refused);
    tcase_add_test(tcase, a_hundred_thousand_rows);
    tcase_add_test(tcase, a_kill_in_the_middle_leaves_all_or_nothing);
}

int main(void)
{
    return run_suite("import, files", fill);
}
