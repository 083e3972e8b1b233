/* SPDX-License-Identifier: MIT */
/* Bad input for pictures, in every command that draws: its option table says which they are, and
 * one of its own examples is the command line. And what no command loads that does not draw. */
#include "support/check.h"
#include "support/command.h"

#include "base/file.h"
#include "cli/args/args.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>

static char folder[] = "/tmp/metamer-pictures-XXXXXX";

static int open_folder(void **state)
{
    return mkdtemp(folder) != NULL ? enter_source(state) : -1;
}

static int close_folder(void **state)
{
    (void)state;
    return rmdir(folder); /* nothing was left there */
}

static const struct option_spec *option_of(const struct command *command, const char *name)
{
    const struct option_spec *option;

    for (size_t i = 0; (option = command_option(command, i)) != NULL; i++) {
        if (strcmp(option->name, name) == 0)
            return option;
    }
    return NULL;
}

/* An example without " --picture FILE": one that has it, or the first. */
static void example_of(const struct command *command, char *line, size_t room)
{
    const char *example = command->examples[0];

    for (size_t i = 0; command->examples[i] != NULL; i++) {
        if (strstr(command->examples[i], " --picture ") != NULL) {
            example = command->examples[i];
            break;
        }
    }
    (void)snprintf(line, room, "%s", example + strlen("metamer "));
    char *at = strstr(line, " --picture ");
    if (at != NULL) {
        char *behind = at + strlen(" --picture ");
        behind += strcspn(behind, " ");
        memmove(at, behind, strlen(behind) + 1);
    }
}

static void put_folder(const char *pattern, char *text, size_t room)
{
    const char *at = strchr(pattern, '@');

    if (at == NULL)
        (void)snprintf(text, room, "%s", pattern);
    else
        (void)snprintf(text, room, "%.*s%s%s", (int)(at - pattern), pattern, folder, at + 1);
}

/* @ is a folder that is there and empty. */
static const struct refused {
    const char *name, *options, *part;
    int status;
    bool system; /* told by what draws or writes: other words where nothing can be drawn */
} refused[] = {
    {"another ending", "--picture @/a.gif", "allowed are .svg, .png and .pdf", 2, false},
    {"no ending", "--picture @/a", "the ending says", 2, false},
    {"an ending of a folder", "--picture @.svg/a", "the ending says", 2, false},
    {"an empty name", "--picture ''", "--picture", 2, false},
    {"a folder", "--picture @ --picture-form svg", "metamer-pictures", 3, true},
    {"no such folder", "--picture @/none/a.svg", "/none/", 3, true},
    {"a folder that is not writable", "--picture /proc/a.svg", "/proc/a.svg", 3, true},
    {"a full disk", "--picture /dev/full --picture-form png", "/dev/full", 3, true},
    {"a form that is none", "--picture - --picture-form jpeg", "svg, png, pdf", 2, false},
    {"a form alone", "--picture-form svg", "--picture-form goes with --picture", 2, false},
    {"a width that is none", "--picture @/a.svg --width wide", "--width", 2, false},
    {"too narrow", "--picture @/a.svg --width 239", "--width", 2, false},
    {"too wide", "--picture @/a.svg --width 8193", "--width", 2, false},
    {"no number", "--picture @/a.svg --width nan", "--width", 2, false},
    {"too low", "--picture @/a.svg --height 0", "--height", 2, false},
    {"endless", "--picture @/a.svg --height inf", "--height", 2, false},
    {"a width alone", "--width 600", "--width goes with --picture", 2, false},
    {"a height alone", "--height 600", "--height goes with --picture", 2, false},
    {"dark alone", "--dark", "--dark goes with --picture", 2, false},
    {"a date alone", "--picture-date today", "--picture-date goes with --picture", 2, false},
    {"twice", "--picture @/a.svg --picture @/b.svg", "--picture", 2, false},
};

static bool cannot_draw(const struct ran *ran)
{
    return strstr(ran->err, "pictures cannot be drawn") != NULL;
}

static void check_refused(const struct command *command, const struct refused *row)
{
    char example[300], options[200], line[600];

    example_of(command, example, sizeof example);
    put_folder(row->options, options, sizeof options);
    (void)snprintf(line, sizeof line, "%s %s", example, options);
    struct ran ran = run_line(line);
    if (row->system && cannot_draw(&ran))
        print_message("skipped: %s", ran.err);
    else if (ran.status != row->status || strstr(ran.err, row->part) == NULL)
        fail_msg("%s: exit %d, \"%s\"", line, ran.status, ran.err);
    else if (ran.out[0] != '\0')
        fail_msg("%s: an answer was written though the picture was not", line);
    ran_free(&ran);
}

static void test_refused(void **state)
{
    size_t count = 0;

    for (size_t i = 0; commands[i] != NULL; i++) {
        if (option_of(commands[i], "picture") == NULL)
            continue;
        count++;
        check_refused(commands[i], *state);
    }
    assert_true(count >= 4);
}

/* Every command that draws has all the options of pictures, and they are the same. */
static void test_options(void **state)
{
    static const char *const names[] = {"picture-form", "width", "height", "dark", "picture-date"};

    (void)state;
    for (size_t i = 0; commands[i] != NULL; i++) {
        if (option_of(commands[i], "picture") == NULL)
            continue;
        for (size_t k = 0; k < COUNT(names); k++) {
            if (option_of(commands[i], names[k]) == NULL)
                fail_msg("%s has --picture and no --%s", commands[i]->name, names[k]);
        }
    }
}

static char *old_path(void)
{
    static char path[80];

    (void)snprintf(path, sizeof path, "%s/old.svg", folder);
    return path;
}

/* No file grows beyond some octets, as on a disk that fills: a sentence, 3, and what stood there
 * stays. */
static void test_filled(void **state)
{
    struct rlimit before, low;

    (void)state;
    (void)signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    for (size_t i = 0; commands[i] != NULL; i++) {
        char example[300], line[600], *text = NULL;
        size_t length = 0;
        if (option_of(commands[i], "picture") == NULL)
            continue;
        example_of(commands[i], example, sizeof example);
        (void)snprintf(line, sizeof line, "%s --picture %s", example, old_path());
        assert_int_equal(mtmi_file_write(old_path(), "old", 3, NULL), MTM_OK);
        low = before;
        low.rlim_cur = 512;
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &low), 0);
        struct ran ran = run_line(line);
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
        if (cannot_draw(&ran))
            print_message("skipped: %s", ran.err);
        else if (ran.status != 3 || strstr(ran.err, "old.svg") == NULL)
            fail_msg("%s: exit %d, \"%s\"", line, ran.status, ran.err);
        ran_free(&ran);
        assert_int_equal(mtmi_file_read(old_path(), 100, &text, &length, NULL), MTM_OK);
        assert_string_equal(text, "old");
        free(text);
        assert_int_equal(unlink(old_path()), 0);
    }
}

/* Libraries that are open in this program, by their names in its memory map. */
static bool has_open(const char *library)
{
    char line[1000];
    bool found = false;
    FILE *maps = fopen("/proc/self/maps", "r");

    if (maps == NULL) {
        print_message("skipped: there is no /proc/self/maps here\n");
        skip();
    }
    while (maps != NULL && fgets(line, sizeof line, maps) != NULL)
        found = found || strstr(line, library) != NULL;
    if (maps != NULL)
        (void)fclose(maps);
    return found;
}

/* Run first: no command opens what draws until a picture is asked for; a picture opens it. */
static void test_loaded(void **state)
{
    (void)state;
    for (size_t i = 0; commands[i] != NULL; i++) {
        char example[300];
        if (option_of(commands[i], "picture") == NULL)
            continue;
        example_of(commands[i], example, sizeof example);
        struct ran ran = run_line(example);
        if (ran.status > 1)
            fail_msg("%s: exit %d, \"%s\"", example, ran.status, ran.err);
        ran_free(&ran);
        if (has_open("libcairo") || has_open("libpango") || has_open("libglib"))
            fail_msg("%s opens what draws", example);
    }
    struct ran ran = run_line("colour --cct 3200 --picture -");
    if (cannot_draw(&ran))
        print_message("skipped: %s", ran.err);
    else
        assert_true(has_open("libcairo") && has_open("libpango"));
    ran_free(&ran);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(refused) + 3] = {cmocka_unit_test(test_loaded)};

    ROW_TESTS(&tests[1], refused, test_refused);
    tests[COUNT(refused) + 1] = (struct CMUnitTest)cmocka_unit_test(test_options);
    tests[COUNT(refused) + 2] = (struct CMUnitTest)cmocka_unit_test(test_filled);
    return cmocka_run_group_tests_name("bad input for pictures", tests, open_folder, close_folder);
}
