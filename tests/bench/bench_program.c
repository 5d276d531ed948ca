/* The whole program from outside: process start to last byte, and its peak memory. Prints medians, judges
 * nothing. */
#define _DEFAULT_SOURCE /* wait4 */
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 21, ROWS = 100000 };

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* Run the program with output to /dev/null; false where it did not exit with 0. */
static int run(const char *const *arguments, double *wall, long *peak_kb)
{
    double start = seconds();
    pid_t child = fork();
    if (child == 0) {
        int nothing = open("/dev/null", O_WRONLY);
        dup2(nothing, 1);
        dup2(nothing, 2);
        execv(arguments[0], (char *const *)(uintptr_t)arguments);
        _exit(127);
    }
    int status;
    struct rusage usage;
    if (child < 0 || wait4(child, &status, 0, &usage) != child)
        return 0;
    *wall = seconds() - start;
    *peak_kb = usage.ru_maxrss;
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static void measure(const char *what, int runs, void (*before)(void), const char *const *arguments)
{
    double walls[RUNS], worst_kb = 0;
    for (int i = 0; i < runs; i++) {
        long kb;
        if (before)
            before();
        if (!run(arguments, &walls[i], &kb)) {
            printf("%-40s failed\n", what);
            return;
        }
        worst_kb = (double)kb > worst_kb ? (double)kb : worst_kb;
    }
    qsort(walls, (size_t)runs, sizeof *walls, by_size);
    printf("%-40s %9.2f ms median of %d, %6.1f MB peak\n", what, walls[runs / 2] * 1000, runs,
           worst_kb / 1024);
}

static const char file[] = "bench-program.db", list[] = "bench-program.csv", program[] = PROGRAM;

static void make_list(void)
{
    FILE *out = fopen(list, "w");
    if (!out)
        exit(1);
    fputs("part,name,quantity,material,thickness_in,cut_length_in,pierces,length_in,width_in\n", out);
    static const char *const materials[] = {"mild steel", "aluminium 6061", "copper"};
    for (int i = 0; i < ROWS; i++)
        fprintf(out, "P%06d,part %d,1,%s,%s,%d.5,%d,%d,%d\n", i, i, materials[i % 3], i % 2 ? "0.25" : "1/2",
                5 + i % 70, 1 + i % 9, 2 + i % 17, 2 + i % 13);
    if (fclose(out) != 0)
        exit(1);
}

static void make_shop(void)
{
    double wall;
    long kb;
    unlink(file);
    if (!run((const char *[]){program, "new", file, NULL}, &wall, &kb) ||
        !run((const char *[]){program, "add", "job", "1", "-f", file, NULL}, &wall, &kb))
        exit(1);
}

int main(void)
{
    make_list();
    measure("example, start to last byte", RUNS, NULL, (const char *[]){program, "example", NULL});
    measure("example --json", RUNS, NULL, (const char *[]){program, "example", "--json", NULL});
    measure("import of 100,000 rows into a file", 5, make_shop,
            (const char *[]){program, "import", "1", list, "-f", file, NULL});
    measure("plan of them, as JSON", 5, NULL, (const char *[]){program, "plan", "--json", "-f", file, NULL});
    make_shop();
    measure("set, kept (one flush)", RUNS, NULL,
            (const char *[]){program, "set", "1", "name=bench", "-f", file, NULL});
    unlink(file);
    unlink(list);
    return 0;
}
