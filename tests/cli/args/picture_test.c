/* SPDX-License-Identifier: MIT */
/* The options of pictures, and the files that come of them, read by others: libpng, poppler,
 * librsvg, where this machine has them. */
#include "support/check.h"
#include "support/command.h"

#include "base/file.h"

#ifdef METAMER_TEST_PNG
#include <png.h>
#endif
#include <sys/stat.h>
#include <sys/wait.h>

static char folder[] = "/tmp/metamer-picture-XXXXXX";

static int open_folder(void **state)
{
    return mkdtemp(folder) != NULL ? enter_source(state) : -1;
}

static int close_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}

/* A command line, and a told skip where nothing can be drawn. */
static struct ran run_or_skip(const char *line)
{
    struct ran ran = run_line(line);

    if (strstr(ran.err, "pictures cannot be drawn") != NULL) {
        print_message("skipped: %s", ran.err);
        skip();
    }
    return ran;
}

/* A command line that ends in --picture and a file of this name in the folder. */
static struct ran draw_to(const char *start, const char *name)
{
    char line[400];

    (void)snprintf(line, sizeof line, "%s --picture %s/%s", start, folder, name);
    return run_or_skip(line);
}

static char *path_of(const char *name)
{
    static char path[120];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

/* What a program prints of a file; NULL, and a told skip, where the program is not here. */
static char *printed_by(const char *program, const char *path, const char *more)
{
    char line[400];
    static char text[65536];

    (void)snprintf(line, sizeof line, "command -v %s >/dev/null 2>&1", program);
    if (system(line) != 0) { // NOLINT(cert-env33-c,bugprone-command-processor): a tool of the tests
        print_message("skipped: there is no %s here\n", program);
        return NULL;
    }
    (void)snprintf(line, sizeof line, "%s %s %s", program, path, more);
    FILE *pipe = popen(line, "r"); // NOLINT(cert-env33-c,bugprone-command-processor)
    assert_non_null(pipe);
    size_t count = fread(text, 1, sizeof text - 1, pipe);
    text[count] = '\0';
    assert_int_equal(pclose(pipe), 0);
    return text;
}

static const struct refused {
    const char *name, *line, *part;
    int status;
} refused[] = {
    {"another ending", "colour --cct 3200 --picture a.gif", "allowed are .svg, .png and .pdf", 2},
    {"no ending", "match examples/hall.json --cct 3200 --picture picture", "the ending says", 2},
    {"no folder", "colour --cct 3200 --picture /nonexistent/a.svg", "/nonexistent/a.svg", 3},
    {"too narrow", "colour --cct 3200 --picture a.svg --width 10", "240", 2},
    {"without a picture", "colour --cct 3200 --dark", "--dark goes with --picture", 2},
    {"a form that is none", "colour --cct 3200 --picture - --picture-form gif", "svg, png, pdf", 2},
    {"over what is read",
     "match examples/hall.json --cct 3200 --picture examples/hall.json "
     "--picture-form svg",
     "is read by this command", 2},
};

static void test_refused(void **state)
{
    const struct refused *row = *state;

    expect_failure(row->line, row->status, row->part);
}

/* The standard output holds the picture alone, and a file stands beside the table. */
static void test_outputs(void **state)
{
    struct ran ran = run_or_skip("colour --cct 3200 --picture -");

    (void)state;
    assert_int_equal(ran.status, 0);
    assert_memory_equal(ran.out, "<?xml", 5);
    assert_null(strstr(ran.out, "Dominant"));
    ran_free(&ran);
    ran = draw_to("colour --cct 3200", "a.svg");
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.out, "Dominant");
    ran_free(&ran);
    assert_int_equal(unlink(path_of("a.svg")), 0);
}

/* A full disk: a sentence and 3. What stood there stays where a picture cannot be drawn. */
static void test_failures(void **state)
{
    char *text = NULL;
    size_t length = 0;

    (void)state;
    if (access("/dev/full", W_OK) == 0) {
        struct ran ran = run_or_skip("colour --cct 3200 --picture /dev/full --picture-form png");
        assert_int_equal(ran.status, 3);
        CHECK_HOLDS(ran.err, "/dev/full");
        assert_string_equal(ran.out, "");
        ran_free(&ran);
    } else {
        print_message("skipped: there is no /dev/full here\n");
    }
    assert_int_equal(mtmi_file_write(path_of("old.svg"), "old", 3, NULL), MTM_OK);
    assert_int_equal(chmod(path_of("old.svg"), 0444), 0);
    struct ran ran = draw_to("colour --cct 3200", "old.svg");
    assert_int_equal(ran.status, 3);
    CHECK_HOLDS(ran.err, "read-only");
    ran_free(&ran);
    assert_int_equal(mtmi_file_read(path_of("old.svg"), 100, &text, &length, NULL), MTM_OK);
    assert_string_equal(text, "old");
    free(text);
    assert_int_equal(unlink(path_of("old.svg")), 0);
}

/* PDF by poppler: what its text holds, that all fonts are inside, that it has a title and tags. */
static void test_pdf(void **state)
{
    struct ran ran = draw_to("match examples/hall.json --cct 3200", "a.pdf");

    (void)state;
    assert_int_equal(ran.status, 0);
    ran_free(&ran);
    const char *text = printed_by("pdftotext", path_of("a.pdf"), "-");
    if (text != NULL) {
        CHECK_HOLDS(text, "community hall: 13 units, target 3200 K");
        CHECK_HOLDS(text, "side-right-batten");
        CHECK_HOLDS(text, "hall-centre and hall-right");
        CHECK_HOLDS(text, "outside its gamut");
    }
    text = printed_by("pdfinfo", path_of("a.pdf"), "");
    if (text != NULL) {
        CHECK_HOLDS(text, "Title:           community hall: 13 units, target 3200 K");
        CHECK_HOLDS(text, "Tagged:          yes");
        CHECK_HOLDS(text, "842 x 595 pts (A4)");
        assert_null(strstr(text, "CreationDate")); /* none was given */
    }
    text = printed_by("pdffonts", path_of("a.pdf"), "| tail -n +3");
    if (text != NULL) {
        CHECK_HOLDS(text, "yes");
        assert_null(strstr(text, " no  no"));
        assert_null(strstr(text, "Type 3"));
    }
    assert_int_equal(unlink(path_of("a.pdf")), 0);
}

/* libpng reads it: its size, paper in the corner (L* 12 on a dark screen), and ink elsewhere. */
static void check_png(const char *bytes, size_t length, unsigned width, unsigned height)
{
#ifdef METAMER_TEST_PNG
    png_image image = {.version = PNG_IMAGE_VERSION};
    assert_int_not_equal(png_image_begin_read_from_memory(&image, bytes, length), 0);
    assert_int_equal(image.width, width);
    assert_int_equal(image.height, height);
    image.format = PNG_FORMAT_RGB;
    unsigned char *pixel = malloc((size_t)3 * width * height);
    assert_non_null(pixel);
    assert_int_not_equal(png_image_finish_read(&image, NULL, pixel, 0, NULL), 0);
    size_t inked = 0;
    for (size_t i = 0; i < (size_t)width * height; i++)
        inked += memcmp(pixel + 3 * i, pixel, 3) != 0;
    assert_in_range(pixel[0], 30, 34); /* sRGB of L* 12: 31.5 of 255 */
    assert_true(pixel[0] == pixel[1] && pixel[1] == pixel[2]);
    assert_in_range(inked, (size_t)width * height / 20, (size_t)width * height * 9 / 10);
    free(pixel);
#else
    (void)bytes, (void)length, (void)width, (void)height;
    print_message("not read by libpng: png.h is not there\n");
#endif
}

/* PNG has the size asked for (ISO/IEC 15948, 11.2.2: width and height are the first of IHDR), and
 * is drawn on: more than paper is there. */
static void test_png(void **state)
{
    struct ran ran =
        draw_to("match examples/hall.json --cct 3200 --width 640 --height 800 --dark", "a.png");
    char *bytes = NULL;
    size_t length = 0;

    (void)state;
    assert_int_equal(ran.status, 0);
    ran_free(&ran);
    assert_int_equal(mtmi_file_read(path_of("a.png"), (size_t)1 << 24, &bytes, &length, NULL),
                     MTM_OK);
    static const unsigned char head[] = {0, 0, 0,        13,        'I', 'H', 'D',      'R',
                                         0, 0, 640 >> 8, 640 & 255, 0,   0,   800 >> 8, 800 & 255};
    assert_true(length > 20000);
    assert_memory_equal(bytes + 8, head, sizeof head);
    check_png(bytes, length, 640, 800);
    free(bytes);
    assert_int_equal(unlink(path_of("a.png")), 0);
}

/* SVG is drawn by librsvg without a complaint. */
static void test_svg(void **state)
{
    struct ran ran = draw_to("match examples/hall.json --cct 3200", "a.svg");

    (void)state;
    assert_int_equal(ran.status, 0);
    ran_free(&ran);
    const char *text = printed_by("rsvg-convert", path_of("a.svg"), "2>&1 | head -c 8 | tail -c 7");
    if (text != NULL)
        assert_memory_equal(text, "PNG\r\n", 5);
    text = printed_by("xmllint", path_of("a.svg"), "--noout 2>&1");
    if (text != NULL)
        assert_string_equal(text, "");
    assert_int_equal(unlink(path_of("a.svg")), 0);
}

/* A system without fonts: a sentence instead of boxes for letters. */
static void test_no_font(void **state)
{
    static const char nothing[] = "<?xml version='1.0'?><fontconfig></fontconfig>";
    char line[600], said[600];

    (void)state;
    struct ran ran = run_or_skip("colour --cct 3200 --picture -");
    ran_free(&ran);
    assert_int_equal(mtmi_file_write(path_of("fonts.conf"), nothing, sizeof nothing - 1, NULL),
                     MTM_OK);
    (void)snprintf(line, sizeof line,
                   "FONTCONFIG_FILE=%s '%s/src/cli/metamer' colour --cct 3200 --picture - 2>&1",
                   path_of("fonts.conf"), getenv("METAMER_BUILD"));
    FILE *pipe = popen(line, "r"); // NOLINT(cert-env33-c,bugprone-command-processor)
    assert_non_null(pipe);
    said[fread(said, 1, sizeof said - 1, pipe)] = '\0';
    int status = pclose(pipe);
    CHECK_HOLDS(said, "pictures cannot be drawn: no font is installed");
    assert_int_equal(WEXITSTATUS(status), 2);
    assert_int_equal(unlink(path_of("fonts.conf")), 0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(refused) + 6];
    const struct CMUnitTest others[] = {
        cmocka_unit_test(test_outputs), cmocka_unit_test(test_failures),
        cmocka_unit_test(test_pdf),     cmocka_unit_test(test_png),
        cmocka_unit_test(test_svg),     cmocka_unit_test(test_no_font),
    };

    ROW_TESTS(tests, refused, test_refused);
    memcpy(&tests[COUNT(refused)], others, sizeof others);
    return cmocka_run_group_tests_name("options of pictures", tests, open_folder, close_folder);
}
