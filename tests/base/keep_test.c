/* SPDX-License-Identifier: MIT */
/* Keeping: a copy under a name that was free, never over anything; columns and cells of text. */
#include "support/check.h"

#include "base/backup.h"
#include "base/file.h"
#include "base/text.h"

#include <sys/stat.h>
#include <unistd.h>

static void check_file(const char *path, const char *wanted)
{
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    if (mtmi_file_read(path, 1000, &text, &length, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_string_equal(text, wanted);
    free(text);
}

static void test_copies(void **state)
{
    char folder[] = "/tmp/metamer-keep-XXXXXX";
    char path[64];
    char wanted[96];
    mtm_error error = {""};

    (void)state;
    assert_non_null(mkdtemp(folder));
    (void)snprintf(path, sizeof path, "%s/rig.json", folder);
    for (int i = 1; i <= 3; i++) {
        char text[16];
        char *kept = NULL;
        (void)snprintf(text, sizeof text, "version %d", i);
        assert_int_equal(mtmi_file_write(path, text, strlen(text), &error), MTM_OK);
        assert_int_equal(mtmi_file_back_up(path, &kept, &error), MTM_OK);
        if (i == 1)
            (void)snprintf(wanted, sizeof wanted, "%s.bak", path);
        else
            (void)snprintf(wanted, sizeof wanted, "%s.%d.bak", path, i);
        assert_string_equal(kept, wanted);
        check_file(kept, text);
        free(kept);
    }
    (void)snprintf(wanted, sizeof wanted, "%s.bak", path);
    check_file(wanted, "version 1"); /* as it was */
    (void)unlink(wanted);
    for (int i = 2; i <= 3; i++) {
        (void)snprintf(wanted, sizeof wanted, "%s.%d.bak", path, i);
        (void)unlink(wanted);
    }
    (void)unlink(path);
    assert_int_equal(rmdir(folder), 0);
}

/* Where nothing stands that could be lost, nothing is kept. */
static void test_nothing_to_keep(void **state)
{
    char path[] = "/tmp/metamer-keep-XXXXXX";
    char *kept = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtmi_file_back_up("/tmp/metamer-no-such-file", &kept, &error), MTM_OK);
    assert_null(kept);
    int descriptor = mkstemp(path);
    assert_true(descriptor >= 0);
    (void)close(descriptor);
    assert_int_equal(mtmi_file_back_up(path, &kept, &error), MTM_OK);
    assert_null(kept);
    (void)unlink(path);
    assert_int_equal(mkfifo(path, 0600), 0);
    assert_int_equal(mtmi_file_back_up(path, &kept, &error), MTM_OK);
    assert_null(kept);
    (void)unlink(path);
}

static void test_columns(void **state)
{
    mtmi_text text = {0};

    (void)state;
    assert_int_equal(mtmi_text_letters("n\xc3\xa4he"), 4);
    mtmi_text_add_column(&text, "n\xc3\xa4he", 6);
    mtmi_text_add_column(&text, "n\xc3\xa4he", 4);
    mtmi_text_add_column(&text, "n\xc3\xa4he", 3);
    assert_string_equal(text.data, "n\xc3\xa4he  n\xc3\xa4hen\xc3\xa4\xe2\x80\xa6");
    mtmi_text_free(&text);
    mtmi_text_add_cell(&text, "plain");
    mtmi_text_add_cell(&text, "a,b");
    mtmi_text_add_cell(&text, "a\"b");
    assert_string_equal(text.data, "plain\"a,b\"\"a\"\"b\"");
    mtmi_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_copies),
        cmocka_unit_test(test_nothing_to_keep),
        cmocka_unit_test(test_columns),
    };

    return cmocka_run_group_tests_name("keeping", tests, NULL, NULL);
}
