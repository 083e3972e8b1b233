/* SPDX-License-Identifier: MIT */
/* Swatches before the rows of tables, on a pseudo-terminal and in a pipe. */
#define _XOPEN_SOURCE 700 /* posix_openpt */

#include "support/command.h"

#include "cli/out/text.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/ioctl.h>
#include <sys/wait.h>

#define COLUMNS 100
#define ROOM 100000

static void set_or_not(const char *name, const char *value)
{
    if (value != NULL)
        (void)setenv(name, value, 1);
    else
        (void)unsetenv(name);
}

static void run_child(const char *path, const char *line, const char *colorterm,
                      const char *no_color)
{
    char copy[400];
    char *words[32] = {(char *)(uintptr_t) "metamer"}, *left = NULL;
    int count = 1;

    (void)snprintf(copy, sizeof copy, "%s", line);
    for (char *word = strtok_r(copy, " ", &left); word != NULL; word = strtok_r(NULL, " ", &left))
        words[count++] = word;
    set_or_not("COLORTERM", colorterm);
    set_or_not("NO_COLOR", no_color);
    FILE *out = fopen(path, "w");
    int status = out != NULL ? command_main(count, words, out, stderr) : 3;
    if (out != NULL)
        (void)fclose(out);
    _exit(status);
}

/* What a command line writes to a terminal of COLUMNS columns; a terminal ends its lines with \r\n,
 * and \r is left out. */
static void run_on_terminal(const char *line, const char *colorterm, const char *no_color,
                            char *text)
{
    int master = posix_openpt(O_RDWR | O_NOCTTY);
    const struct winsize size = {.ws_row = 50, .ws_col = COLUMNS};
    size_t length = 0;

    if (master < 0 || grantpt(master) != 0 || unlockpt(master) != 0 || ptsname(master) == NULL) {
        print_message("skipped: there are no pseudo-terminals here\n");
        skip();
    }
    const char *path = ptsname(master);
    int slave = open(path, O_RDWR | O_NOCTTY);
    if (slave < 0) {
        print_message("skipped: a pseudo-terminal cannot be opened here\n");
        skip();
    }
    assert_int_equal(ioctl(slave, TIOCSWINSZ, &size), 0);
    (void)fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0)
        run_child(path, line, colorterm, no_color);
    (void)close(slave);
    for (char c; length + 1 < ROOM;) {
        ssize_t got = read(master, &c, 1);
        if (got < 0 && errno == EINTR)
            continue;
        if (got != 1)
            break; /* EIO: the other end is closed */
        if (c != '\r')
            text[length++] = c;
    }
    text[length] = '\0';
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    (void)close(master);
}

/* The same text without "\033[...m". */
static void strip(char *text)
{
    char *to = text;

    for (const char *at = text; *at != '\0';) {
        if (*at == '\033')
            at += strcspn(at, "m") + 1;
        else
            *to++ = *at++;
    }
    *to = '\0';
}

static const struct row {
    const char *name, *when, *colorterm, *no_color;
    bool terminal, shown;
} rows[] = {
    {"true colour", "screen", "truecolor", NULL, true, true},
    {"24 bits", "screen", "24bit", NULL, true, true},
    {"a terminal of few colours", "screen", NULL, NULL, true, false},
    {"another word", "screen", "yes", NULL, true, false},
    {"no colour", "screen", "truecolor", "1", true, false},
    {"an empty NO_COLOR", "screen", "truecolor", "", true, true},
    {"never", "never", "truecolor", NULL, true, false},
    {"always, no word", "always", NULL, NULL, true, true},
    {"a pipe", "screen", "truecolor", NULL, false, false},
    {"a pipe, always", "always", NULL, NULL, false, true},
    {"a pipe, always, no colour", "always", "truecolor", "1", false, false},
};

/* Illuminant A beside D65 is 255, 178, 100 (swatch_test). */
static void test_when(void **state)
{
    const struct row *row = *state;
    static char text[ROOM];
    char line[200];

    (void)snprintf(line, sizeof line, "colour --xy 0.44758,0.40745 --swatches %s", row->when);
    if (row->terminal) {
        run_on_terminal(line, row->colorterm, row->no_color, text);
    } else {
        set_or_not("COLORTERM", row->colorterm);
        set_or_not("NO_COLOR", row->no_color);
        struct ran ran = run_line(line);
        (void)snprintf(text, sizeof text, "%s", ran.out);
        ran_free(&ran);
    }
    CHECK_HOLDS(text, "0.44758  0.40745");
    if ((strstr(text, "\033[48;2;255;255;255m \033[48;2;255;178;100m") != NULL) != row->shown)
        fail_msg("%s", text);
    assert_true(row->shown || strchr(text, '\033') == NULL);
}

/* Columns that a line takes. */
static void check_width(const char *text)
{
    char line[1000];

    for (const char *at = text; *at != '\0'; at += strcspn(at, "\n") + 1) {
        (void)snprintf(line, sizeof line, "%.*s", (int)strcspn(at, "\n"), at);
        if (text_width(line) > COLUMNS)
            fail_msg("%d columns: %s", text_width(line), line);
        if (at[strcspn(at, "\n")] == '\0')
            break;
    }
}

static const struct table {
    const char *name, *line, *head, *first;
} tables[] = {
    {"choices", "choices examples/hall.json front-left-wash --cct 3200", "No  Output", "1 "},
    {"match", "match examples/hall.json --cct 3200", "Unit  ", "front-left-wash "},
    {"colours of a palette", "match examples/hall.json --targets examples/palette.json",
     "Colour     Target", "lamp       2900 K"},
    {"trim", "trim examples/hall.json examples/hall-readings.csv --cct 3000 --steps 30", "Unit  ",
     "front-left-wash"},
    {"rig", "rig examples/hall.json", "   White", "    2200 "},
};

/* Swatches move a table's rows and heads alike, by four columns, and lines stay in the width. */
static void test_width(void **state)
{
    const struct table *table = *state;
    static char text[ROOM];
    char line[200], wanted[100];

    (void)snprintf(line, sizeof line, "%s --swatches screen", table->line);
    run_on_terminal(line, "truecolor", NULL, text);
    CHECK_HOLDS(text, "\033[48;2;255;255;255m ");
    strip(text);
    (void)snprintf(wanted, sizeof wanted, "\n    %s", table->head);
    CHECK_HOLDS(text, wanted);
    (void)snprintf(wanted, sizeof wanted, "\n    %s", table->first);
    CHECK_HOLDS(text, wanted);
    check_width(text);
}

/* What sRGB cannot show has a corner cut: a triangle in the swatch's colour. */
static void test_cut(void **state)
{
    (void)state;
    (void)unsetenv("NO_COLOR");
    struct ran ran = run_line("colour --xy 0.1,0.7 --swatches always");
    CHECK_HOLDS(ran.out, "m\u25e3\033[0m ");
    ran_free(&ran);
    ran = run_line("colour --xy 0.44758,0.40745 --swatches always --swatch-white 0.44758,0.40745");
    CHECK_HOLDS(ran.out, "\033[48;2;255;255;255m \033[48;2;255;255;255m ");
    ran_free(&ran);
    expect_failure("colour --cct 3200 --swatches always --swatch-white 0,0.5", 2, "--swatch-white");
    expect_failure(
        "match examples/hall.json --targets examples/palette.json --swatch-white 0.4,0.4", 2,
        "--swatch-white goes with --picture or");
    expect_failure("colour --cct 3200 --swatches always --format json", 2, "exclude each other");
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + COUNT(tables) + 1];

    ROW_TESTS(tests, rows, test_when);
    ROW_TESTS(&tests[COUNT(rows)], tables, test_width);
    tests[COUNT(rows) + COUNT(tables)] = (struct CMUnitTest)cmocka_unit_test(test_cut);
    return cmocka_run_group_tests_name("swatches in tables", tests, enter_source, NULL);
}
