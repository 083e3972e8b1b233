/* SPDX-License-Identifier: MIT */
/* Reports: the same content as text and CSV to the letter, as PDF as poppler reads it; tables that
 * break over pages; names of every kind; checksums. */
#include "support/check.h"

#include <metamer/report.h>

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static mtm_error check_error;

static void check_ok(mtm_result result)
{
    if (result != MTM_OK)
        fail_msg("%s", check_error.text);
}

static char folder[] = "/tmp/metamer-report-XXXXXX";

static int enter(void **state)
{
    (void)state;
    return mkdtemp(folder) != NULL ? 0 : -1;
}

static int leave(void **state)
{
    char line[96];

    (void)state;
    (void)snprintf(line, sizeof line, "rm -r %s", folder);
    return system(line);
}

static mtm_report *begin(const char *title)
{
    mtm_report *report = NULL;

    check_ok(mtm_report_create(title, &report, &check_error));
    return report;
}

static char *written(const mtm_report *report, mtm_report_form form)
{
    const mtm_report_options options = {.form = form};
    char *text = NULL;
    size_t length = 0;

    check_ok(mtm_report_write(report, &options, &text, &length, &check_error));
    assert_int_equal(strlen(text), length);
    return text;
}

static mtm_report *small_report(void)
{
    static const mtm_report_column columns[] = {{"Unit", false}, {"Output lm", true}};
    static const mtm_report_column facts[] = {{NULL, false}, {NULL, false}};
    mtm_report *report = begin("Spring concert");

    mtm_report_add_table(report, facts, 2, 1);
    mtm_report_add_row(report, (const char *const[]){"By", "the crew"});
    mtm_report_add_heading(report, 1, "What each unit gives");
    mtm_report_add_text(report, "Two units.\nThey agree.");
    mtm_report_add_table(report, columns, 2, 1);
    mtm_report_add_row(report, (const char *const[]){"wash, \"left\"", "6068"});
    mtm_report_add_row(report, (const char *const[]){"wash-2", NULL});
    mtm_report_add_caution(report, "Caution: bright.");
    mtm_report_add_signature(report, "received by", NULL);
    return report;
}

static void test_text(void **state)
{
    mtm_report *report = small_report();
    char *text = written(report, MTM_REPORT_TEXT);

    (void)state;
    assert_string_equal(text, "Spring concert\n"
                              "\n"
                              "By  the crew\n"
                              "\n"
                              "What each unit gives\n"
                              "====================\n"
                              "\n"
                              "Two units.\n"
                              "They agree.\n"
                              "\n"
                              "Unit          Output\n"
                              "                  lm\n"
                              "wash, \"left\"    6068\n"
                              "wash-2\n"
                              "\n"
                              "! Caution: bright.\n"
                              "\n"
                              "received by: ________________________________\n"
                              "Place, date: ________________________________\n");
    free(text);
    mtm_report_free(report);
}

/* RFC 4180: cells with a comma, a quote or a line break stand in quotes, quotes are doubled. */
static void test_csv(void **state)
{
    mtm_report *report = small_report();
    char *text = written(report, MTM_REPORT_CSV);

    (void)state;
    assert_string_equal(text, "Spring concert\n"
                              "\n"
                              "By,the crew\n"
                              "\n"
                              "What each unit gives\n"
                              "\"Two units.\nThey agree.\"\n"
                              "\n"
                              "Unit,Output lm\n"
                              "\"wash, \"\"left\"\"\",6068\n"
                              "wash-2,\n"
                              "\n"
                              "Caution: bright.\n"
                              "received by,\n");
    free(text);
    mtm_report_free(report);
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

static bool has_poppler(void)
{
    bool has = system("pdfinfo -v >/dev/null 2>&1 && pdftotext -v >/dev/null 2>&1") == 0;

    if (!has)
        print_message("skipped: poppler's pdfinfo and pdftotext are not there\n");
    return has;
}

/* The words of a report as PDF, in the places they have; NULL without cairo. */
static char *pdf_words(const mtm_report *report, const char *options)
{
    char path[64], line[160];
    const mtm_report_options pdf = {.form = MTM_REPORT_PDF};

    (void)snprintf(path, sizeof path, "%s/a.pdf", folder);
    mtm_result result = mtm_report_save(report, &pdf, path, &check_error);
    if (result == MTM_UNSUPPORTED)
        return NULL;
    check_ok(result);
    (void)snprintf(line, sizeof line, "pdftotext %s %s - 2>/dev/null", options, path);
    return printed(line);
}

static size_t count_of(const char *text, const char *word)
{
    size_t count = 0;

    for (; (text = strstr(text, word)) != NULL; text += strlen(word))
        count++;
    return count;
}

static mtm_report *long_report(size_t rows)
{
    static const mtm_report_column columns[] = {
        {"Unithead", false}, {"Output lm", true}, {"Why no closer", false}};
    mtm_report *report = begin("long");

    mtm_report_add_table(report, columns, 3, 1);
    for (size_t i = 0; i < rows; i++) {
        char name[32];
        (void)snprintf(name, sizeof name, "row%zuend", i);
        mtm_report_add_row(report, (const char *const[]){name, "-0.5", "outside its gamut"});
    }
    return report;
}

/* Each page has the head once, pages are numbered to their last, and every row is there once. */
static void check_long(size_t rows)
{
    mtm_report *report = long_report(rows);
    char *text = pdf_words(report, "");
    size_t pages = 0, heads = 0;

    mtm_report_free(report);
    if (text == NULL)
        skip();
    for (const char *at = text; *at != '\0'; at++)
        pages += *at == '\f';
    heads = count_of(text, "Unithead");
    if (heads != pages)
        fail_msg("%zu rows: %zu heads on %zu pages", rows, heads, pages);
    for (size_t i = 1; i <= pages; i++) {
        char words[64];
        (void)snprintf(words, sizeof words, "page %zu of %zu", i, pages);
        assert_int_equal(count_of(text, words), 1);
    }
    for (size_t i = 0; i < rows; i++) {
        char name[32];
        (void)snprintf(name, sizeof name, "row%zuend", i);
        assert_int_equal(count_of(text, name), 1);
    }
    assert_int_equal(count_of(text, "−0.5"), rows); /* a true minus */
    free(text);
}

static void test_pages(void **state)
{
    (void)state;
    if (!has_poppler())
        skip();
    check_long(1);
    check_long(100);
    check_long(2000);
}

/* Wider than the page: parts, each with the keys, and every cell once. */
static void test_parts(void **state)
{
    enum { COLUMNS = 61 };
    mtm_report_column columns[COLUMNS] = {{"Unithead", false}};
    const char *cells[COLUMNS] = {"wash-1"};
    char head[COLUMNS][16], cell[COLUMNS][16];
    mtm_report *report = begin("wide");

    (void)state;
    if (!has_poppler())
        skip();
    for (int k = 1; k < COLUMNS; k++) {
        (void)snprintf(head[k], sizeof head[k], "head%02d", k);
        (void)snprintf(cell[k], sizeof cell[k], "%d", 10000 + k);
        columns[k] = (mtm_report_column){head[k], true};
        cells[k] = cell[k];
    }
    mtm_report_add_table(report, columns, COLUMNS, 1);
    mtm_report_add_row(report, cells);
    char *text = pdf_words(report, "");
    char *plain = written(report, MTM_REPORT_TEXT);
    mtm_report_free(report);
    for (int k = 1; k < COLUMNS; k++) {
        assert_int_equal(count_of(plain, head[k]), 1);
        assert_int_equal(count_of(plain, cell[k]), 1);
        if (text == NULL)
            continue;
        assert_int_equal(count_of(text, head[k]), 1);
        assert_int_equal(count_of(text, cell[k]), 1);
    }
    assert_int_equal(count_of(plain, "Unithead"), count_of(plain, "wash-1"));
    assert_true(count_of(plain, "Unithead") > 1);
    if (text != NULL)
        assert_true(count_of(text, "Unithead") > 1);
    free(plain);
    free(text);
}

/* Takes out blanks and marks of direction, which readers of PDF put between letters. */
static void squeeze(char *text)
{
    char *to = text;

    for (const char *at = text; *at != '\0';) {
        size_t marks = strncmp(at, "\u202a", 2) == 0 && (unsigned char)at[2] >= 0xaa &&
                               (unsigned char)at[2] <= 0xae
                           ? 3
                           : 0;
        if (*at == ' ' || *at == '\n' || marks > 0)
            at += marks > 0 ? marks : 1;
        else
            *to++ = *at++;
    }
    *to = '\0';
}

/* Names that would break what is not careful stand there, or what makes them visible does. */
static void test_names(void **state)
{
    static const struct {
        const char *name, *shown;
    } rows[] = {
        {"a<b>&\"c\"", "a<b>&\"c\""},
        {"line\nbreak", "line\\nbreak"},
        {"turned\u202eback", "turned\\u202eback"},
        {"שלום", "שלום"},
        {"bad \xff byte", "bad\\xffbyte"},
    };
    static const mtm_report_column columns[] = {{"Unit", false}, {"Output", true}};
    mtm_report *report = begin("a<b>\nc");
    char *huge = malloc(4001);

    (void)state;
    assert_non_null(huge);
    memset(huge, 'x', 4000);
    huge[4000] = '\0';
    mtm_report_add_heading(report, 1, "line\nbreak");
    mtm_report_add_table(report, columns, 2, 1);
    for (size_t i = 0; i < COUNT(rows); i++)
        mtm_report_add_row(report, (const char *const[]){rows[i].name, "1"});
    mtm_report_add_row(report, (const char *const[]){huge, "1"});
    mtm_report_add_text(report, huge);
    mtm_report_add_caution(report, huge);
    char *text = has_poppler() ? pdf_words(report, "") : NULL;
    char *plain = written(report, MTM_REPORT_TEXT);
    mtm_report_free(report);
    free(huge);
    if (text != NULL)
        squeeze(text);
    for (size_t i = 0; text != NULL && i < COUNT(rows); i++) {
        if (strstr(text, rows[i].shown) == NULL)
            fail_msg("\"%s\" is missing", rows[i].shown);
    }
    assert_non_null(strstr(plain, "turned\\u202eback"));
    assert_non_null(strstr(plain, "bad \\xff byte"));
    assert_true(text == NULL || count_of(text, "x") > 8000); /* paragraph and caution are whole */
    free(plain);
    free(text);
}

/* FIPS 180-4, example "abc" of one block (NIST CSRC, Secure Hash Algorithm examples). */
static void test_sum(void **state)
{
    char path[64], sum[MTM_SHA256_ROOM];
    size_t bytes = 0;

    (void)state;
    (void)snprintf(path, sizeof path, "%s/abc", folder);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    (void)fputs("abc", file);
    (void)fclose(file);
    mtm_result result = mtm_file_sha256(path, sum, &bytes, &check_error);
    if (result == MTM_UNSUPPORTED)
        skip();
    check_ok(result);
    assert_string_equal(sum, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_int_equal(bytes, 3);
    assert_int_equal(mtm_file_sha256("/nonexistent", sum, NULL, &check_error), MTM_NOT_FOUND);
}

/* A file that names others, and they others: each stands there once. */
static void test_files(void **state)
{
    const char *source = getenv("METAMER_SOURCE");
    char path[512];
    const char *paths[] = {path, path};
    mtm_report *report = begin("files");

    (void)state;
    (void)snprintf(path, sizeof path, "%s/examples/hall.json", source);
    mtm_report_add_files(report, paths, 2);
    char *text = written(report, MTM_REPORT_CSV);
    mtm_report_free(report);
    assert_int_equal(count_of(text, "hall.json"), 1);
    assert_int_equal(count_of(text, "five-colour-wash.json"), 1);
    assert_int_equal(count_of(text, "warm-white.csv"), 1);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_text),  cmocka_unit_test(test_csv),   cmocka_unit_test(test_pages),
        cmocka_unit_test(test_parts), cmocka_unit_test(test_names), cmocka_unit_test(test_sum),
        cmocka_unit_test(test_files),
    };

    return cmocka_run_group_tests(tests, enter, leave);
}
