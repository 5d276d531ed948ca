/* Runs a fuzzer's entry point without libFuzzer: every file of a folder, then a fixed series of changed
 * copies of them, the same on every machine. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MAX_SIZE = 1 << 16, CHANGES = 3000 };

static uint64_t state = 0x9e3779b97f4a7c15u;

static uint32_t next_random(void)
{
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return (uint32_t)(state >> 32);
}

static size_t change(uint8_t *data, size_t size)
{
    static const char bytes[] = "\"',;\n\r\t =+-*/().0123456789eEinmx\xff\xfe\xc3\xa9";
    for (unsigned n = 1 + next_random() % 4; n > 0; n--) {
        size_t at = size ? next_random() % size : 0;
        uint8_t byte = (uint8_t)bytes[next_random() % (sizeof bytes - 1)];
        switch (next_random() % 3) {
        case 0:
            if (size)
                data[at] = byte;
            break;
        case 1:
            if (size < MAX_SIZE) {
                memmove(data + at + 1, data + at, size - at);
                data[at] = byte;
                size++;
            }
            break;
        default:
            if (size) {
                memmove(data + at, data + at + 1, size - at - 1);
                size--;
            }
        }
    }
    return size;
}

/* A copy of just the size, so that the sanitizer sees a read past its end. */
static void run_once(const uint8_t *data, size_t size)
{
    uint8_t *copy = malloc(size ? size : 1);
    if (!copy)
        exit(1);
    memcpy(copy, data, size);
    LLVMFuzzerTestOneInput(copy, size);
    free(copy);
}

static int run_file(const char *path)
{
    static uint8_t seed[MAX_SIZE], data[MAX_SIZE + 8];
    FILE *file = fopen(path, "rb");
    if (!file)
        return 0;
    size_t size = fread(seed, 1, MAX_SIZE, file);
    fclose(file);
    run_once(seed, size);
    for (int i = 0; i < CHANGES; i++) {
        memcpy(data, seed, size);
        run_once(data, change(data, size));
    }
    return 1;
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: %s FOLDER\n", argv[0]);
        return 2;
    }
    DIR *folder = opendir(argv[1]);
    if (!folder) {
        perror(argv[1]);
        return 1;
    }
    int files = 0;
    for (struct dirent *entry; (entry = readdir(folder));) {
        char path[4096];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(path, sizeof path, "%s/%s", argv[1], entry->d_name);
        files += run_file(path);
    }
    closedir(folder);
    printf("%d seeds, %d changes of each\n", files, (int)CHANGES);
    return files ? 0 : 1;
}
