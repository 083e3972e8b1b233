/* SPDX-License-Identifier: MIT */
/* Keeping: a copy of a file under a name that was free. */
#include "base/keep.h"

#include "base/error.h"
#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { COPIES_MOST = 9999 };

/* Opens the first free name; O_EXCL makes sure that it was free. -1 with errno set. */
static int open_free(const char *path, char *name, size_t room)
{
    struct stat info;
    mode_t mode = stat(path, &info) == 0 ? info.st_mode & 0777 : 0600;

    for (int number = 1; number <= COPIES_MOST; number++) {
        if (number == 1)
            (void)snprintf(name, room, "%s.bak", path);
        else
            (void)snprintf(name, room, "%s.%d.bak", path, number);
        int descriptor = open(name, O_WRONLY | O_CREAT | O_EXCL, mode);
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
    return fsync(descriptor) == 0;
}

mtm_result mtmi_file_keep(const char *path, size_t limit, char **kept, mtm_error *error)
{
    size_t room = strlen(path) + 16;
    char *name = NULL;
    char *text = NULL;
    size_t length = 0;
    int descriptor = -1;

    mtm_result result = mtmi_file_read(path, limit, &text, &length, error);
    if (result != MTM_OK)
        return result;
    name = malloc(room);
    if (name == NULL) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    descriptor = open_free(path, name, room);
    if (descriptor < 0) {
        result = mtmi_fail(error, MTM_IO, "%s: no copy can be kept beside it: %s", path,
                           strerror(errno));
        goto done;
    }
    bool good = write_whole(descriptor, text, length);
    if (close(descriptor) != 0 || !good) {
        result = mtmi_fail(error, MTM_IO, "%s: cannot be written: %s", name, strerror(errno));
        (void)unlink(name);
        goto done;
    }
    *kept = name;
    name = NULL;
done:
    free(name);
    free(text);
    return result;
}
