/* SPDX-License-Identifier: MIT */
/* Replays every file of the folder named on the command line through a fuzz target. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* An exact-size block, so that a read past the end shows under the sanitizers. */
static int replay(const char *path)
{
    FILE *file = fopen(path, "rb");

    if (file == NULL || fseek(file, 0, SEEK_END) != 0)
        return -1;
    long size = ftell(file);
    uint8_t *data = size > 0 ? malloc((size_t)size) : NULL;
    rewind(file);
    int good = size <= 0 || (data != NULL && fread(data, 1, (size_t)size, file) == (size_t)size);
    (void)fclose(file);
    if (good)
        (void)LLVMFuzzerTestOneInput(data, size > 0 ? (size_t)size : 0);
    free(data);
    return good ? 0 : -1;
}

int main(int argc, char **argv)
{
    DIR *folder = argc == 2 ? opendir(argv[1]) : NULL;
    int count = 0;

    if (folder == NULL) {
        (void)fprintf(stderr, "the folder of the corpus is missing\n");
        return 1;
    }
    for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char path[4096];
        if (entry->d_name[0] == '.')
            continue;
        (void)snprintf(path, sizeof path, "%s/%s", argv[1], entry->d_name);
        if (replay(path) != 0) {
            (void)fprintf(stderr, "%s: cannot be read\n", path);
            (void)closedir(folder);
            return 1;
        }
        count++;
    }
    (void)closedir(folder);
    printf("%d inputs replayed\n", count);
    return count > 0 ? 0 : 1;
}
