/* SPDX-License-Identifier: MIT */
/* Help: every command has its page, its place in the manual and in the completion. */
#include "support/command.h"

#include "cli/command.h"
#include "cli/out/file_formats.h"

static void test_every_command(void **state)
{
    struct ran manual = run_line("help --manual");
    struct ran completion = run_line("help --completion bash");
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

/* The pages open with their day, and the program's page says where files are. */
static void test_pages(void **state)
{
    struct ran manual = run_line("help --manual");
    struct ran files = run_line("help --files");

    (void)state;
    CHECK_HOLDS(manual.out, ".TH METAMER 1 \"20");
    CHECK_HOLDS(manual.out, ".SH FILES\n");
    CHECK_HOLDS(files.out, ".TH METAMER-FILES 5 \"20");
    ran_free(&manual);
    ran_free(&files);
}

/* Every option that is a choice offers its values in each shell, those with blanks whole. */
static void test_completion(void **state)
{
    static const struct {
        const char *line, *part[3];
    } rows[] = {
        {"help --completion bash",
         {"match/--index) choices=('rf' 'ra' 'ssi')", "'half CTB'",
          "cues) choices=(--help --output"}},
        {"help --completion zsh",
         {"match/--index) choices=('rf' 'ra' 'ssi')", "'half CTB'",
          "cues) choices=(--help --output"}},
        {"help --completion fish",
         {"from match' -l index -x -a \"'rf' 'ra' 'ssi'\"", "'half CTB'",
          "from cues' -l output -r"}},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        struct ran ran = run_line(rows[i].line);
        assert_int_equal(ran.status, EXIT_DONE);
        for (size_t k = 0; k < COUNT(rows[i].part); k++)
            CHECK_HOLDS(ran.out, rows[i].part[k]);
        ran_free(&ran);
    }
}

/* What bash itself offers; left out where there is no bash. */
static void test_bash(void **state)
{
    static const struct {
        const char *words, *offered;
    } rows[] = {
        {"metamer cho", "choices"},
        {"metamer match --filter half", "half CTB|half CTO|half minus green|half plus green"},
        {"metamer match --bey", "--beyond"},
        {"metamer match --beyond ", "nearest|hue|cct"},
        {"metamer match examples/foy", "examples/foyer.json"},
        {"metamer help wat", "watch"},
    };
    char path[] = "/tmp/metamer-completion-XXXXXX";
    struct ran script = run_line("help --completion bash");
    int file = mkstemp(path);

    (void)state;
    assert_true(file >= 0);
    assert_int_equal(write(file, script.out, strlen(script.out)), strlen(script.out));
    (void)close(file);
    ran_free(&script);
    if (system("bash -c : 2>/dev/null") != 0) {
        (void)unlink(path);
        skip();
    }
    for (size_t i = 0; i < COUNT(rows); i++) {
        char command[600];
        char offered[400] = "";
        (void)snprintf(command, sizeof command,
                       "bash -c '. %s; IFS=\" \" read -r -a COMP_WORDS <<<\"%s\"; %s "
                       "COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _metamer; IFS=\"|\"; "
                       "printf %%s \"${COMPREPLY[*]}\"'",
                       path, rows[i].words,
                       rows[i].words[strlen(rows[i].words) - 1] == ' ' ? "COMP_WORDS+=(\"\");"
                                                                       : "");
        FILE *pipe = popen(command, "r");
        assert_non_null(pipe);
        (void)fgets(offered, sizeof offered, pipe);
        assert_int_equal(pclose(pipe), 0);
        assert_string_equal(offered, rows[i].offered);
    }
    (void)unlink(path);
}

static void check_width(const char *name)
{
    char line[64];

    (void)snprintf(line, sizeof line, "help %s", name);
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

/* A page that a terminal of 80 columns shows whole. */
static void test_width(void **state)
{
    (void)state;
    for (size_t i = 0; commands[i] != NULL; i++)
        check_width(commands[i]->name);
    for (size_t i = 0; file_topic_at(i) != NULL; i++)
        check_width(file_topic_at(i));
}

static const struct row {
    const char *name; /* the line */
    const char *part;
} bad[] = {
    {"hlp", "the nearest is \"help\""},
    {"qqqqqqqqqq", "\"metamer help\" lists them"},
    {"help nothing", "there is no command and no kind of file \"nothing\""},
    {"help --manul", "nearest known one is --manual"},
    {"help a b", "\"b\" is one word too many"},
    {"help --manual=3", "takes no value"},
    {"help --completion", "--completion"},
    {"help --completion tcsh", "bash, zsh, fish"},
    {"help --completion zsh --files", "--completion"},
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
    struct CMUnitTest tests[COUNT(bad) + 6];

    ROW_TESTS(tests, bad, test_bad);
    tests[COUNT(bad)] = (struct CMUnitTest)cmocka_unit_test(test_every_command);
    tests[COUNT(bad) + 1] = (struct CMUnitTest)cmocka_unit_test(test_width);
    tests[COUNT(bad) + 2] = (struct CMUnitTest)cmocka_unit_test(test_bare);
    tests[COUNT(bad) + 3] = (struct CMUnitTest)cmocka_unit_test(test_pages);
    tests[COUNT(bad) + 4] = (struct CMUnitTest)cmocka_unit_test(test_completion);
    tests[COUNT(bad) + 5] = (struct CMUnitTest)cmocka_unit_test(test_bash);
    return cmocka_run_group_tests_name("help", tests, enter_source, NULL);
}
