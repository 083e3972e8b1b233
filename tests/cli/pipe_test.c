/* SPDX-License-Identifier: MIT */
/* Who reads the output may leave ("metamer ... | head"): that is no failure; a full disk is. */
#include "support/command.h"

#include <signal.h>

static int run_to(FILE *out, const char *second, const char *third, char **said)
{
    char *words[] = {(char *)(uintptr_t) "metamer", (char *)(uintptr_t)second,
                     (char *)(uintptr_t)third, NULL};
    size_t size = 0;
    FILE *err = open_memstream(said, &size);

    assert_non_null(out);
    assert_non_null(err);
    int status = command_main(3, words, out, err);
    (void)fclose(out);
    (void)fclose(err);
    return status;
}

static void test_reader_left(void **state)
{
    static const char *const lines[][2] = {{"colour", "--cct=3200"},
                                           {"frames", "examples/evening.json"}};

    (void)state;
    for (size_t i = 0; i < COUNT(lines); i++) {
        int ends[2];
        char *said = NULL;
        assert_int_equal(pipe(ends), 0);
        assert_int_equal(close(ends[0]), 0);
        int status = run_to(fdopen(ends[1], "w"), lines[i][0], lines[i][1], &said);
        if (status != EXIT_DONE)
            fail_msg("%s: exit %d (%s)", lines[i][0], status, said);
        assert_null(strstr(said, "could not be written"));
        free(said);
    }
}

static void test_full_disk(void **state)
{
    char *said = NULL;

    (void)state;
    if (access("/dev/full", W_OK) != 0)
        skip();
    assert_int_equal(run_to(fopen("/dev/full", "w"), "colour", "--cct=3200", &said), EXIT_SYSTEM);
    CHECK_HOLDS(said, "could not be written whole");
    free(said);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reader_left),
        cmocka_unit_test(test_full_disk),
    };

    (void)signal(SIGPIPE, SIG_IGN); /* as the command has it */
    return cmocka_run_group_tests_name("output", tests, enter_source, NULL);
}
