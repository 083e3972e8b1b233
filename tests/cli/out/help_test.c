/* SPDX-License-Identifier: MIT */
/* Help: every command has its page, its place in the manual and in the completion. */
#include "support/command.h"

#include "cli/command.h"

static void test_every_command(void **state)
{
    struct ran manual = run_line("help --manual");
    struct ran completion = run_line("help --completion");
    struct ran overview = run_line("help");

    (void)state;
    for (size_t i = 0; commands[i] != NULL; i++) {
        char line[64];
        (void)snprintf(line, sizeof line, "help %s", commands[i]->name);
        struct ran page = run_line(line);
        assert_int_equal(page.status, EXIT_DONE);
        CHECK_HOLDS(page.out, commands[i]->summary);
        CHECK_HOLDS(overview.out, commands[i]->summary);
        CHECK_HOLDS(completion.out, commands[i]->name);
        (void)snprintf(line, sizeof line, ".SS metamer %s ", commands[i]->name);
        CHECK_HOLDS(manual.out, line);
        ran_free(&page);
        (void)snprintf(line, sizeof line, "%s --help", commands[i]->name);
        page = run_line(line);
        assert_int_equal(page.status, EXIT_DONE);
        CHECK_HOLDS(page.out, "Usage: metamer");
        ran_free(&page);
    }
    ran_free(&manual);
    ran_free(&completion);
    ran_free(&overview);
}

/* A page that a terminal of 80 columns shows whole. */
static void test_width(void **state)
{
    (void)state;
    for (size_t i = 0; commands[i] != NULL; i++) {
        char line[64];
        (void)snprintf(line, sizeof line, "help %s", commands[i]->name);
        struct ran page = run_line(line);
        for (char *at = strtok(page.out, "\n"); at != NULL; at = strtok(NULL, "\n")) {
            size_t letters = 0;
            for (size_t k = 0; at[k] != '\0'; k++)
                letters += ((unsigned char)at[k] & 0xc0) != 0x80;
            if (letters > 80 && strncmp(at, "  metamer", 9) != 0)
                fail_msg("%s: a line of %zu letters: %s", line, letters, at);
        }
        ran_free(&page);
    }
}

static const struct row {
    const char *name; /* the line */
    const char *part;
} bad[] = {
    {"hlp", "the nearest is \"help\""},
    {"qqqqqqqqqq", "\"metamer help\" lists them"},
    {"help nothing", "there is no command \"nothing\""},
    {"help --manul", "nearest known one is --manual"},
    {"help a b", "\"b\" is one word too many"},
    {"help --manual=3", "takes no value"},
    {"help --manual --manual", "given twice"},
    {"help -x", "two dashes"},
};

static void test_bad(void **state)
{
    const struct row *row = *state;

    expect_failure(row->name, EXIT_USAGE, row->part);
}

static void test_bare(void **state)
{
    struct ran ran = run_line("");

    (void)state;
    assert_int_equal(ran.status, EXIT_USAGE);
    CHECK_HOLDS(ran.err, "Usage: metamer COMMAND");
    ran_free(&ran);
    ran = run_line("--version");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "metamer ");
    ran_free(&ran);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(bad) + 3];

    ROW_TESTS(tests, bad, test_bad);
    tests[COUNT(bad)] = (struct CMUnitTest)cmocka_unit_test(test_every_command);
    tests[COUNT(bad) + 1] = (struct CMUnitTest)cmocka_unit_test(test_width);
    tests[COUNT(bad) + 2] = (struct CMUnitTest)cmocka_unit_test(test_bare);
    return cmocka_run_group_tests_name("help", tests, enter_source, NULL);
}
