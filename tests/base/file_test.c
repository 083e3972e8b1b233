/* SPDX-License-Identifier: MIT */
/* Files: what cannot be read is named; what is written is whole or not there. */
#include "support/check.h"

#include "base/file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static char folder[64];

static int make_folder(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "/tmp/metamer-file-XXXXXX");
    return mkdtemp(folder) != NULL ? 0 : -1;
}

static int remove_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}

static void expect_failure(const char *path, size_t limit, mtm_result wanted, const char *part)
{
    char *text = NULL;
    size_t length = 7;
    mtm_error error = {""};

    assert_int_equal(mtmi_file_read(path, limit, &text, &length, &error), wanted);
    assert_null(text);
    assert_int_equal(length, 7);
    CHECK_HOLDS(error.text, path);
    CHECK_HOLDS(error.text, part);
}

static void test_unreadable(void **state)
{
    char path[128];
    mtm_error error = {""};

    (void)state;
    expect_failure("/tmp/metamer-no-such-file", 100, MTM_NOT_FOUND, "cannot be opened");
    expect_failure(folder, 100, MTM_PARSE, "is a directory");
    expect_failure("/dev/zero", 100, MTM_PARSE, "not a regular file");
    (void)snprintf(path, sizeof path, "%s/a", folder);
    assert_int_equal(mtmi_file_write(path, "", 0, &error), MTM_OK);
    expect_failure(path, 100, MTM_PARSE, "is empty");
    assert_int_equal(mtmi_file_write(path, "12345", 5, &error), MTM_OK);
    expect_failure(path, 4, MTM_LIMIT, "at most 4");
    assert_int_equal(unlink(path), 0);
    assert_int_equal(mkfifo(path, 0600), 0);
    expect_failure(path, 100, MTM_PARSE, "is empty");
    assert_int_equal(unlink(path), 0);
}

static void test_round_trip(void **state)
{
    char path[128];
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/b", folder);
    assert_int_equal(mtmi_file_write(path, "old", 3, &error), MTM_OK);
    assert_int_equal(mtmi_file_write(path, "new!", 4, &error), MTM_OK);
    assert_int_equal(mtmi_file_read(path, 100, &text, &length, &error), MTM_OK);
    assert_int_equal(length, 4);
    assert_string_equal(text, "new!");
    free(text);
    assert_int_equal(unlink(path), 0);
}

static void test_unwritable(void **state)
{
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtmi_file_write("/tmp/metamer-no-such-folder/x", "a", 1, &error), MTM_IO);
    CHECK_HOLDS(error.text, "cannot be written");
    /* a directory cannot be replaced, and nothing is left beside it */
    assert_int_equal(mtmi_file_write(folder, "a", 1, &error), MTM_IO);
    CHECK_HOLDS(error.text, folder);
}

/* What is no file stays what it is: a pipe, a device such as /dev/null, a link. */
static void test_not_replaced(void **state)
{
    char path[128];
    char link_path[128];
    char got[8] = "";
    struct stat info;

    (void)state;
    (void)snprintf(path, sizeof path, "%s/p", folder);
    (void)snprintf(link_path, sizeof link_path, "%s/l", folder);
    assert_int_equal(mkfifo(path, 0600), 0);
    int reader = open(path, O_RDONLY | O_NONBLOCK);
    assert_true(reader >= 0);
    assert_int_equal(mtmi_file_write(path, "piped", 5, NULL), MTM_OK);
    assert_int_equal(read(reader, got, sizeof got), 5);
    assert_memory_equal(got, "piped", 5);
    assert_int_equal(close(reader), 0);
    assert_int_equal(stat(path, &info), 0);
    assert_true(S_ISFIFO(info.st_mode));
    assert_int_equal(unlink(path), 0);

    assert_int_equal(mtmi_file_write(path, "old", 3, NULL), MTM_OK);
    assert_int_equal(symlink(path, link_path), 0);
    assert_int_equal(mtmi_file_write(link_path, "linked", 6, NULL), MTM_OK);
    assert_int_equal(lstat(link_path, &info), 0);
    assert_true(S_ISLNK(info.st_mode));
    assert_int_equal(stat(path, &info), 0);
    assert_int_equal(info.st_size, 6);
    assert_int_equal(unlink(link_path), 0);
    assert_int_equal(unlink(path), 0);
}

/* Rights to write say whether a file may be replaced, for root as well. */
static void test_read_only(void **state)
{
    char path[128];
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/r", folder);
    assert_int_equal(mtmi_file_write(path, "old", 3, &error), MTM_OK);
    assert_int_equal(chmod(path, 0444), 0);
    assert_int_equal(mtmi_file_write(path, "new", 3, &error), MTM_IO);
    CHECK_HOLDS(error.text, "/r: is read-only and is not replaced");
    assert_int_equal(mtmi_file_read(path, 100, &text, &length, &error), MTM_OK);
    assert_string_equal(text, "old");
    free(text);
    assert_int_equal(unlink(path), 0);
}

/* One file under several names: what counts is the file. */
static void test_same(void **state)
{
    char path[128];
    char other[128];
    char spelt[160];

    (void)state;
    (void)snprintf(path, sizeof path, "%s/s", folder);
    (void)snprintf(other, sizeof other, "%s/t", folder);
    (void)snprintf(spelt, sizeof spelt, "%s/./s", folder);
    assert_false(mtmi_file_same(path, path)); /* there is none yet */
    assert_int_equal(mtmi_file_write(path, "s", 1, NULL), MTM_OK);
    assert_true(mtmi_file_same(path, spelt));
    assert_false(mtmi_file_same(path, other));
    assert_int_equal(mtmi_file_write(other, "s", 1, NULL), MTM_OK);
    assert_false(mtmi_file_same(path, other));
    assert_int_equal(unlink(other), 0);
    assert_int_equal(link(path, other), 0);
    assert_true(mtmi_file_same(path, other));
    assert_int_equal(unlink(other), 0);
    assert_int_equal(symlink(path, other), 0);
    assert_true(mtmi_file_same(path, other));
    assert_int_equal(unlink(other), 0);
    assert_int_equal(unlink(path), 0);
}

/* As "<(...)" gives it: a pipe whose writer is there, but has written nothing yet. */
static void test_slow_pipe(void **state)
{
    int ends[2];
    char path[32];
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(pipe(ends), 0);
    (void)snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    if (access(path, R_OK) != 0) /* not every system has the folder */
        skip();
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        const struct timespec pause = {0, 50000000};
        (void)close(ends[0]);
        (void)nanosleep(&pause, NULL);
        bool good = write(ends[1], "first ", 6) == 6;
        (void)nanosleep(&pause, NULL);
        _exit(good && write(ends[1], "second", 6) == 6 ? 0 : 1);
    }
    (void)close(ends[1]);
    if (mtmi_file_read(path, 100, &text, &length, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_string_equal(text, "first second");
    free(text);
    (void)close(ends[0]);
    assert_int_equal(waitpid(child, NULL, 0), child);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slow_pipe),  cmocka_unit_test(test_unreadable),
        cmocka_unit_test(test_round_trip), cmocka_unit_test(test_not_replaced),
        cmocka_unit_test(test_unwritable), cmocka_unit_test(test_read_only),
        cmocka_unit_test(test_same),
    };

    return cmocka_run_group_tests_name("files", tests, make_folder, remove_folder);
}
