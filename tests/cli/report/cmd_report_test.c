/* SPDX-License-Identifier: MIT */
/* metamer report: its PDF as poppler reads it, its text and CSV, and what it refuses. */
#include "support/command.h"

#include <sys/stat.h>

#define HALL "report examples/hall.json --cct 3200 "

static char folder[] = "/tmp/metamer-report-XXXXXX";

static int enter(void **state)
{
    return enter_source(state) == 0 && mkdtemp(folder) != NULL ? 0 : -1;
}

static int leave(void **state)
{
    char line[96];

    (void)state;
    (void)snprintf(line, sizeof line, "rm -r %s", folder);
    return system(line);
}

/* What a shell command prints; free(). */
static char *printed(const char *line)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    FILE *from = popen(line, "r");

    assert_non_null(to);
    assert_non_null(from);
    for (int c = fgetc(from); c != EOF; c = fgetc(from))
        (void)fputc(c, to);
    (void)pclose(from);
    (void)fclose(to);
    return text;
}

static void write_report(const char *options, const char *name, int status)
{
    char line[600];

    (void)snprintf(line, sizeof line, "%s -o %s/%s", options, folder, name);
    struct ran ran = run_line(line);
    if (ran.status != status)
        fail_msg("%s: exit %d: %s", line, ran.status, ran.err);
    ran_free(&ran);
}

static char *of_file(const char *command, const char *name, const char *rest)
{
    char line[300];

    (void)snprintf(line, sizeof line, "%s %s/%s %s 2>/dev/null", command, folder, name, rest);
    return printed(line);
}

static bool has_poppler(void)
{
    return system("pdfinfo -v >/dev/null 2>&1 && pdftotext -v >/dev/null 2>&1 && "
                  "pdffonts -v >/dev/null 2>&1") == 0;
}

static void check_holds(const char *text, const char *const *words)
{
    for (; *words != NULL; words++) {
        if (strstr(text, *words) == NULL)
            fail_msg("\"%s\" is missing", *words);
    }
}

static const char *const hall_names[] = {"front-left-wash",  "front-right-wash", "front-left-spot",
                                         "side-left-batten", "back-centre-wash", "apron-wash",
                                         "hall-centre",      "hall-right",       NULL};

static void test_pdf(void **state)
{
    static const char *const info[] = {"Title:           Spring concert", "Tagged:          yes",
                                       "Author:          the crew", "(letter)", NULL};

    (void)state;
    if (!has_poppler()) {
        print_message("skipped: poppler's pdfinfo, pdftotext and pdffonts are not there\n");
        skip();
    }
    write_report(HALL "--job 'Spring concert' --by 'the crew' --paper letter", "hall.pdf",
                 EXIT_DONE);
    char *text = of_file("pdfinfo", "hall.pdf", "");
    check_holds(text, info);
    free(text);
    text = of_file("pdftotext", "hall.pdf", "-");
    check_holds(text, hall_names);
    check_holds(text, (const char *const[]){"Spring concert", "the crew", "page 1 of ", NULL});
    free(text);
    text = of_file("pdffonts", "hall.pdf", "| tail -n +3 | grep -v ' yes yes yes '");
    assert_string_equal(text, ""); /* emb sub uni */
    free(text);
}

/* Everything that a report can hold, by the words on its pages. */
static void test_whole(void **state)
{
    (void)state;
    if (!has_poppler())
        skip();
    write_report("report examples/hall.json --cct 3000 --trim examples/hall-readings.csv --show "
                 "examples/evening.json",
                 "whole.pdf", EXIT_MISSED); /* nothing is proven yet */
    char *text = of_file("pdftotext", "whole.pdf", "-");
    check_holds(text, hall_names);
    check_holds(text, (const char *const[]){"hall meter", "◐ to be measured", "lamp light to moon",
                                            "Load of community hall", "tunable white",
                                            "examples/evening.json", "received by", NULL});
    free(text);
}

/* Each colour of a palette has its tables. */
static void test_palette(void **state)
{
    (void)state;
    write_report("report examples/hall.json --targets examples/palette.json", "palette.txt",
                 EXIT_DONE);
    char *text = of_file("cat", "palette.txt", "");
    size_t found = 0;
    for (const char *at = text; (at = strstr(at, ": what each unit gives")) != NULL; at++)
        found++;
    assert_true(found >= 2);
    free(text);
}

/* A filter's file is summed like the others; a filter by name is not a file here. */
static void test_filter_file(void **state)
{
    (void)state;
    write_report("report examples/hall.json --filter profiles/filters/eighth-cto.json --over 3200",
                 "filter.txt", EXIT_DONE);
    char *text = of_file("cat", "filter.txt", "");
    CHECK_HOLDS(text, "profiles/filters/eighth-cto.json ");
    free(text);
}

/* Two runs of the program: no date, no name of a file and no address of memory goes into a PDF. */
static void test_same_pdf(void **state)
{
    const char *build = getenv("METAMER_BUILD");
    char line[600];

    (void)state;
    assert_non_null(build);
    for (int i = 0; i < 2; i++) {
        (void)snprintf(line, sizeof line,
                       "%s/src/cli/metamer " HALL "--date 2026-03-12 -o %s/run%d.pdf 2>/dev/null",
                       build, folder, i);
        int status = system(line);
        if (status != 0 && i == 0) {
            print_message("skipped: the program does not draw here\n");
            skip();
        }
        assert_int_equal(status, 0);
    }
    (void)snprintf(line, sizeof line, "cmp %s/run0.pdf %s/run1.pdf", folder, folder);
    assert_int_equal(system(line), 0);
}

/* A full disk: a sentence and 3. A file that may not be replaced stays. */
static void test_disk(void **state)
{
    char path[64], line[200];

    (void)state;
    if (access("/dev/full", W_OK) == 0) {
        struct ran ran = run_line(HALL "--form txt -o /dev/full");
        assert_int_equal(ran.status, EXIT_SYSTEM);
        CHECK_HOLDS(ran.err, "/dev/full");
        ran_free(&ran);
    }
    write_report(HALL, "old.txt", EXIT_DONE);
    char *old = of_file("cat", "old.txt", "");
    (void)snprintf(path, sizeof path, "%s/old.txt", folder);
    assert_int_equal(chmod(path, 0400), 0);
    (void)snprintf(line, sizeof line, "report examples/hall.json --cct 5000 -o %s", path);
    struct ran ran = run_line(line);
    assert_int_equal(ran.status, EXIT_SYSTEM);
    ran_free(&ran);
    char *now = of_file("cat", "old.txt", "");
    assert_string_equal(now, old);
    free(old);
    free(now);
}

static void test_archive(void **state)
{
    /* checked with coreutils' sha256sum */
    char *sum = printed("sha256sum examples/hall.json | cut -c 1-64 | tr -d '\n'");

    (void)state;
    write_report(HALL, "hall.txt", EXIT_DONE);
    write_report(HALL, "hall.csv", EXIT_DONE);
    for (int i = 0; i < 2; i++) {
        char *text = of_file("cat", i == 0 ? "hall.txt" : "hall.csv", "");
        check_holds(text, hall_names);
        check_holds(text, (const char *const[]){sum, "outside its gamut", "Cautions", NULL});
        if (strstr(text, "Date") != NULL)
            fail_msg("a date that nobody gave");
        free(text);
    }
    free(sum);
}

static void test_same_bytes(void **state)
{
    (void)state;
    write_report(HALL "--date 2026-03-12", "one.txt", EXIT_DONE);
    write_report(HALL "--date 2026-03-12", "two.txt", EXIT_DONE);
    char *one = of_file("cat", "one.txt", "");
    char *two = of_file("cat", "two.txt", "");
    assert_string_equal(one, two);
    check_holds(one, (const char *const[]){"2026-03-12", NULL});
    free(one);
    free(two);
}

static void test_refused(void **state)
{
    static const struct {
        const char *line;
        int status;
        const char *words;
    } rows[] = {
        {HALL, EXIT_USAGE, "--write FILE"},
        {HALL "-o hall.doc", EXIT_USAGE, ".pdf, .txt"},
        {HALL "-o hall", EXIT_USAGE, ".pdf, .txt"},
        {HALL "-o", EXIT_USAGE, "--write wants a value"},
        {HALL "-o /nonexistent-folder/hall.txt", EXIT_SYSTEM, "/nonexistent-folder"},
        {"report examples/hall.json -o x.pdf", EXIT_USAGE, "colour"},
        {HALL "--targets examples/palette.json -o a.pdf", EXIT_USAGE, "exclude each other"},
        {HALL "-o a.pdf --paper a3", EXIT_USAGE, "a4, letter"},
        {HALL "-o a.pdf -o b.pdf", EXIT_USAGE, "given twice"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct ran ran = run_line(rows[i].line);
        if (ran.status != rows[i].status || strstr(ran.err, rows[i].words) == NULL)
            fail_msg("%s: exit %d: %s", rows[i].line, ran.status, ran.err);
        ran_free(&ran);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pdf),      cmocka_unit_test(test_whole),
        cmocka_unit_test(test_palette),  cmocka_unit_test(test_filter_file),
        cmocka_unit_test(test_same_pdf), cmocka_unit_test(test_disk),
        cmocka_unit_test(test_archive),  cmocka_unit_test(test_same_bytes),
        cmocka_unit_test(test_refused),
    };

    return cmocka_run_group_tests(tests, enter, leave);
}
