/* SPDX-License-Identifier: MIT */
/* Files: read whole with a limit, written beside and renamed. */
#define _XOPEN_SOURCE 700 /* realpath */

#include "base/file.h"

#include "base/error.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static mtm_result check_kind(const char *path, const struct stat *info, size_t limit,
                             mtm_error *error)
{
    if (S_ISDIR(info->st_mode))
        return mtmi_fail(error, MTM_PARSE, "%s: is a directory; a file is wanted", path);
    if (!S_ISREG(info->st_mode) && !S_ISFIFO(info->st_mode))
        return mtmi_fail(error, MTM_PARSE, "%s: is not a regular file", path);
    if (S_ISREG(info->st_mode) && (unsigned long long)info->st_size > limit)
        return mtmi_fail(error, MTM_LIMIT, "%s: has %lld bytes; at most %zu are read: split it",
                         path, (long long)info->st_size, limit);
    return MTM_OK;
}

/* Waits for what the writer of a pipe has not written yet. */
static bool wait_for(int descriptor)
{
    struct pollfd wanted = {.fd = descriptor, .events = POLLIN};

    return poll(&wanted, 1, -1) > 0 || errno == EINTR;
}

/* Reads to the end, growing as needed, so that a file that changes size meanwhile is no trap. */
static mtm_result read_all(int descriptor, const char *path, size_t limit, char **text,
                           size_t *length, mtm_error *error)
{
    size_t capacity = 4096;
    size_t used = 0;
    char *data = malloc(capacity);

    while (data != NULL) {
        ssize_t count = read(descriptor, data + used, capacity - used - 1);
        if (count < 0 && errno == EINTR)
            continue;
        if (count < 0 && errno == EAGAIN && wait_for(descriptor))
            continue;
        if (count < 0) {
            free(data);
            return mtmi_fail(error, MTM_IO, "%s: cannot be read: %s", path, strerror(errno));
        }
        if (count == 0)
            break;
        used += (size_t)count;
        if (used > limit) {
            free(data);
            return mtmi_fail(error, MTM_LIMIT, "%s: has more than %zu bytes: split it", path,
                             limit);
        }
        if (capacity - used < 2) {
            char *larger = realloc(data, capacity * 2);
            if (larger == NULL)
                free(data);
            data = larger;
            capacity *= 2;
        }
    }
    if (data == NULL)
        return mtmi_fail_memory(error);
    data[used] = '\0';
    *text = data;
    *length = used;
    return MTM_OK;
}

mtm_result mtmi_file_read(const char *path, size_t limit, char **text, size_t *length,
                          mtm_error *error)
{
    /* O_NONBLOCK: a named pipe without a writer must not hang the program */
    int descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    struct stat info;
    char *data = NULL;
    size_t used = 0;

    if (descriptor < 0) {
        mtm_result why =
            errno == ENOENT || errno == ENOTDIR || errno == ENAMETOOLONG ? MTM_NOT_FOUND : MTM_IO;
        return mtmi_fail(error, why, "%s: cannot be opened: %s", path, strerror(errno));
    }
    mtm_result result = MTM_OK;
    if (fstat(descriptor, &info) != 0)
        result = mtmi_fail(error, MTM_IO, "%s: cannot be examined: %s", path, strerror(errno));
    if (result == MTM_OK)
        result = check_kind(path, &info, limit, error);
    if (result == MTM_OK)
        result = read_all(descriptor, path, limit, &data, &used, error);
    (void)close(descriptor);
    if (result == MTM_OK && used == 0) {
        free(data);
        return mtmi_fail(error, MTM_PARSE, "%s: is empty", path);
    }
    if (result == MTM_OK) {
        *text = data;
        *length = used;
    }
    return result;
}

static int write_all(int descriptor, const char *bytes, size_t count)
{
    while (count > 0) {
        ssize_t written = write(descriptor, bytes, count);
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return -1;
        bytes += written;
        count -= (size_t)written;
    }
    return 0;
}

/* Fills and closes the file beside; false leaves the reason in errno. */
static bool fill(int descriptor, const char *path, const void *bytes, size_t count)
{
    struct stat old;
    mode_t mode = stat(path, &old) == 0 ? old.st_mode & 0777 : 0644;
    bool good = write_all(descriptor, bytes, count) == 0 && fchmod(descriptor, mode) == 0 &&
                fsync(descriptor) == 0;
    int reason = errno;

    if (close(descriptor) != 0 && good)
        return false;
    errno = reason;
    return good;
}

/* A device or a pipe takes what it is given; a file beside it, renamed, would put an end to it. */
static mtm_result write_through(const char *path, const void *bytes, size_t count, mtm_error *error)
{
    int descriptor = open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY);
    bool good = descriptor >= 0 && write_all(descriptor, bytes, count) == 0;
    int reason = errno;

    if (descriptor >= 0 && close(descriptor) != 0 && good) {
        reason = errno;
        good = false;
    }
    return good ? MTM_OK
                : mtmi_fail(error, MTM_IO, "%s: cannot be written: %s", path, strerror(reason));
}

static mtm_result write_beside(const char *path, const void *bytes, size_t count, mtm_error *error)
{
    size_t room = strlen(path) + 16;
    char *beside = malloc(room);

    if (beside == NULL)
        return mtmi_fail_memory(error);
    (void)snprintf(beside, room, "%s.XXXXXX", path);
    int descriptor = mkstemp(beside);
    if (descriptor < 0) {
        free(beside);
        return mtmi_fail(error, MTM_IO, "%s: cannot be written: %s", path, strerror(errno));
    }
    mtm_result result = MTM_OK;
    if (!fill(descriptor, path, bytes, count) || rename(beside, path) != 0) {
        result = mtmi_fail(error, MTM_IO, "%s: cannot be written: %s", path, strerror(errno));
        (void)unlink(beside);
    }
    free(beside);
    return result;
}

bool mtmi_file_same(const char *a, const char *b)
{
    struct stat of_a;
    struct stat of_b;

    return stat(a, &of_a) == 0 && stat(b, &of_b) == 0 && of_a.st_dev == of_b.st_dev &&
           of_a.st_ino == of_b.st_ino;
}

mtm_result mtmi_file_may_replace(const char *path, mtm_error *error)
{
    struct stat info;

    if (stat(path, &info) != 0 || !S_ISREG(info.st_mode))
        return MTM_OK;
    /* renaming asks for no right to write the file itself, and root has every right */
    if ((info.st_mode & (S_IWUSR | S_IWGRP | S_IWOTH)) != 0 &&
        faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) == 0)
        return MTM_OK;
    return mtmi_fail(error, MTM_IO, "%s: is read-only and is not replaced", path);
}

mtm_result mtmi_file_write(const char *path, const void *bytes, size_t count, mtm_error *error)
{
    struct stat old;

    if (stat(path, &old) != 0)
        return write_beside(path, bytes, count, error);
    if (!S_ISREG(old.st_mode))
        return write_through(path, bytes, count, error);
    mtm_result result = mtmi_file_may_replace(path, error);
    if (result != MTM_OK)
        return result;
    char *real = realpath(path, NULL); /* a link stays a link */
    result = write_beside(real != NULL ? real : path, bytes, count, error);
    free(real);
    return result;
}

char *mtmi_path_join(const char *directory, const char *name)
{
    size_t room = strlen(name) + 2 + (directory != NULL ? strlen(directory) : 0);
    char *path = malloc(room);

    if (path == NULL)
        return NULL;
    if (directory == NULL || directory[0] == '\0' || name[0] == '/')
        (void)snprintf(path, room, "%s", name);
    else
        (void)snprintf(path, room, "%s/%s", directory, name);
    return path;
}

char *mtmi_path_directory(const char *path)
{
    const char *slash = strrchr(path, '/');
    size_t length = slash == NULL ? 0 : (size_t)(slash - path);

    if (slash == path)
        length = 1; /* the root itself */
    char *directory = malloc(length + 1);
    if (directory == NULL)
        return NULL;
    memcpy(directory, path, length);
    directory[length] = '\0';
    return directory;
}

const char *mtmi_path_ending(const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *dot = strrchr(slash != NULL ? slash : path, '.');

    return dot != NULL ? dot + 1 : "";
}
