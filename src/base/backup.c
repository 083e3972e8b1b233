/* SPDX-License-Identifier: MIT */
/* Keeping: a copy of a file under a name that was free. */
#include "base/backup.h"

#include "base/error.h"
#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { COPIES_MAX = 9999 };

/* Opens the first free name; O_EXCL makes sure that it was free. -1 with errno set. */
static int open_free(const char *path, char *name, size_t room)
{
    struct stat info;
    mode_t mode = stat(path, &info) == 0 ? info.st_mode & 0777 : 0600;

    for (int number = 1; number <= COPIES_MAX; number++) {
        if (number == 1)
            (void)snprintf(name, room, "%s.bak", path);
        else
            (void)snprintf(name, room, "%s.%d.bak", path, number);
        int descriptor = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
        if (descriptor >= 0 || errno != EEXIST)
            return descriptor;
    }
    return -1;
}

static bool write_whole(int descriptor, const char *bytes, size_t count)
{
    while (count > 0) {
        ssize_t wrote = write(descriptor, bytes, count);
        if (wrote < 0 && errno == EINTR)
            continue;
        if (wrote <= 0)
            return false;
        bytes += wrote;
        count -= (size_t)wrote;
    }
    return true;
}

/* All of one into the other, and onto the disk. */
static bool copy(int from, int to)
{
    char block[16384];

    for (;;) {
        ssize_t count = read(from, block, sizeof block);
        if (count < 0 && errno == EINTR)
            continue;
        if (count <= 0)
            return count == 0 && fsync(to) == 0;
        if (!write_whole(to, block, (size_t)count))
            return false;
    }
}

/* The copy under the first free name; what was begun and failed is taken away. */
static mtm_result copy_open(int from, const char *path, char *name, size_t room, mtm_error *error)
{
    int to = open_free(path, name, room);

    if (to < 0)
        return mtmi_fail(error, MTM_IO, "%s: no copy can be kept beside it: %s", path,
                         strerror(errno));
    bool good = copy(from, to);
    int reason = errno;
    if (close(to) != 0 && good) {
        reason = errno;
        good = false;
    }
    if (good)
        return MTM_OK;
    (void)unlink(name);
    return mtmi_fail(error, MTM_IO, "%s: no copy can be kept beside it: %s", path,
                     strerror(reason));
}

mtm_result mtmi_file_back_up(const char *path, char **backup, mtm_error *error)
{
    struct stat info;
    size_t room = strlen(path) + 16;

    *backup = NULL;
    if (stat(path, &info) != 0 || !S_ISREG(info.st_mode) || info.st_size == 0)
        return MTM_OK;
    mtm_result result = mtmi_file_may_replace(path, error);
    if (result != MTM_OK)
        return result;
    int from = open(path, O_RDONLY | O_CLOEXEC);
    if (from < 0)
        return mtmi_fail(error, MTM_IO, "%s: no copy can be kept of it: %s", path, strerror(errno));
    char *name = malloc(room);
    result = name == NULL ? mtmi_fail_memory(error) : copy_open(from, path, name, room, error);
    (void)close(from);
    if (result == MTM_OK) {
        *backup = name;
        name = NULL;
    }
    free(name);
    return result;
}
