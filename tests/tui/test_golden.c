/* Every screen as it is, cell for cell, in fixtures/screens. SANDGLASS_GOLDEN=write makes them anew; the diff
 * of the files is then what changed for the eye. History shows times of now and is tested elsewhere. */
#include "tui/whole.h"

#include <sys/stat.h>

#define NO_FILE ""
#define OUTLINE "outline.db" /* the example, its first part with an outline */

/* Rows that are good, that are wrong, and that are good but odd: 200000 pieces. */
static const char parts_list[] = "part,name,quantity,cut_length,pierces,edge,note\r"
                                 "C,bracket base,8,44,3,,\r"
                                 "D,bracket cap,four,20,2,,\r"
                                 "E,spacer,200000,9.5,1,,\r"
                                 "1E5,shim,6,6,1,4,burr side up\r"
                                 "A,bracket again,6,38,5,,\r";

struct scenario {
    const char *name, *keys, *wait;
    const char *paste; /* after the keys */
    const char *file;  /* NULL: the example; NO_FILE: none is named */
};

/* The first three are shown small and in ASCII too. */
static const struct scenario scenarios[] = {
    {"shift", "", "ENDS 14:41", NULL, NULL},
    {"job", "<Enter>", "JOB 2601", NULL, NULL},
    {"hopper", "gh", "HOPPER", NULL, NULL},
    {"typing", "<Enter>30", "20 -> 30", NULL, NULL}, /* README.md shows it */
    {"wrong", "<Enter>12x", "without unit", NULL, NULL},
    {"choosing", "<Enter><Up><Enter>", "not typed", NULL, NULL},
    {"command", ":", " of ", NULL, NULL},
    {"command-part", ":hop", "go-hopper", NULL, NULL},
    {"marked", "<Space><Space>", "2 rows marked", NULL, NULL},
    {"sheet", "gp", "SHEET", NULL, NULL},
    {"job-sheet", "go", "JOB SHEET", NULL, NULL},
    {"quote", "gqG", "cuts.", NULL, NULL}, /* its end: no day stands there, and breaks may come later */
    {"trade", "gt<Right>", "quickest", NULL, NULL},
    {"import", "<Enter>", "nothing of it is in the plan", parts_list, NULL},
    {"why", "<Enter><Right><Right><Right><Right><Right>w", "WHY", NULL, NULL},
    {"what-if", "W", "WHAT IF", NULL, NULL},
    {"fields-part", "<Enter>I", "2601/1/A", NULL, NULL},
    {"fields-machine", "gm", "table length", NULL, NULL},
    {"help", "?", "HELP", NULL, NULL},
    {"pairs", "g", "g then", NULL, NULL},
    {"empty-shift", "", "No jobs", NULL, "empty.db"},
    {"first-run", "", "example", NULL, NO_FILE},
    {"job-outline", "<Enter>", "JOB 2601", NULL, OUTLINE},
    {"outline", "<Enter>O", "smallest radius", NULL, OUTLINE},
};

struct size {
    const char *name;
    int rows, columns;
    const char *option;
};

static const struct size sizes[] = {{"80x24", 24, 80, NULL}, {"120x36", 36, 120, NULL}};
static const struct size smalls[] = {
    {"80x24-ascii", 24, 80, "--ascii"}, {"60x20", 20, 60, NULL}, {"20x5", 5, 20, NULL}};
enum { SMALL_SCENARIOS = 3 };

/* In the root folder, since the job sheet says where it would save, with all of the machine's own left out.
 */
static struct pty *open_scenario(const struct scenario *scenario, const struct size *size)
{
    char path[600], home[600], temporary[600];
    const char *file = scenario->file ? scenario->file : "shop.db";
    snprintf(path, sizeof path, "%s/%s", folder, file);
    snprintf(home, sizeof home, "HOME=%s", folder);
    snprintf(temporary, sizeof temporary, "TMPDIR=%s", folder);
    const char *arguments[] = {"-f", path, size->option, NULL}, *nothing[] = {NULL};
    const char *environment[] = {home, temporary, "SANDGLASS_WHO=programmer", NULL};
    ck_assert_int_eq(chdir("/"), 0);
    struct pty *pty = pty_start(&(struct pty_how){.program = PROGRAM,
                                                  .arguments = *file ? arguments : nothing,
                                                  .environment = environment,
                                                  .rows = size->rows,
                                                  .columns = size->columns});
    ck_assert(pty_settle(pty, "SHIFT A"));
    return pty;
}

static void make_empty(void)
{
    ck_done("new", "empty.db");
    ck_done("set", "-f", "empty.db", "shift:A", "date=2026-12-01", "end=14:30");
}

static void make_outline(void)
{
    ck_done("example", OUTLINE);
    ck_done("set", "-f", OUTLINE, "2601/1/A", "outline=" FIXTURES "/drawings/plate.dxf");
}

/* What the file has, to wait for; SANDGLASS_GOLDEN=write waits for nothing. */
static bool becomes_golden(struct pty *pty, const char *name)
{
    enum { DEADLINE_MS = 3000 };
    char path[600];
    const char *wish = getenv("SANDGLASS_GOLDEN");
    snprintf(path, sizeof path, "%s/screens/%s.txt", FIXTURES, name);
    if ((!wish || strcmp(wish, "write") != 0) && access(path, R_OK) == 0) {
        struct bytes kept = bytes_of(path);
        long long end = pty_now_ms() + DEADLINE_MS;
        while (!looks_like(pty, kept.at) && !pty->ended && pty_now_ms() < end)
            pty_pump(pty, 50);
        free(kept.at);
    }
    return pty_golden(pty, name);
}

static void is_golden(const struct scenario *scenario, const struct size *size)
{
    char name[80];
    snprintf(name, sizeof name, "%s-%s", scenario->name, size->name);
    make_empty();
    if (scenario->file && strcmp(scenario->file, OUTLINE) == 0)
        make_outline();
    struct pty *pty = open_scenario(scenario, size);
    pty_keys(pty, scenario->keys);
    if (scenario->paste)
        pty_paste(pty, scenario->paste);
    ck_assert_msg(pty_settle(pty, scenario->wait), "%s", name);
    ck_assert_msg(becomes_golden(pty, name), "%s", name);
    pty_end(pty);
}

START_TEST(a_screen_is_as_it_was)
{
    is_golden(&scenarios[_i / COUNT(sizes)], &sizes[_i % COUNT(sizes)]);
}
END_TEST

START_TEST(a_small_screen_is_as_it_was)
{
    is_golden(&scenarios[_i / COUNT(smalls)], &smalls[_i % COUNT(smalls)]);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_loop_test(tcase, a_screen_is_as_it_was, 0, COUNT(scenarios) * COUNT(sizes));
    tcase_add_loop_test(tcase, a_small_screen_is_as_it_was, 0, SMALL_SCENARIOS * COUNT(smalls));
}

int main(void)
{
    return run_whole("golden", fill);
}
