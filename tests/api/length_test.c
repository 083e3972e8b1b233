/* SPDX-License-Identifier: MIT */
/* A text with a length needs nothing behind it: each reader gets one that ends where its memory
 * ends (a byte further stops the program) and one with other bytes behind it. */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */

#include "support/check.h"

#include <metamer/calibration.h>
#include <metamer/colour.h>
#include <metamer/cue_text.h>
#include <metamer/e131.h>
#include <metamer/filter.h>
#include <metamer/palette.h>
#include <metamer/show.h>
#include <metamer/spectrum_file.h>

#include <sys/mman.h>
#include <unistd.h>

static mtm_rig *hall;

static mtm_result read_fixture(const char *text, size_t length, mtm_error *error)
{
    mtm_fixture *fixture = NULL;
    mtm_result result = mtm_fixture_parse(text, length, "t", "profiles", &fixture, error);

    mtm_fixture_free(fixture);
    return result;
}

static mtm_result read_rig(const char *text, size_t length, mtm_error *error)
{
    mtm_rig *rig = NULL;
    mtm_result result = mtm_rig_parse(text, length, "t", "examples", &rig, error);

    mtm_rig_free(rig);
    return result;
}

static mtm_result read_show(const char *text, size_t length, mtm_error *error)
{
    mtm_show *show = NULL;
    mtm_result result = mtm_show_parse(text, length, "t", "examples", NULL, &show, error);

    mtm_show_free(show);
    return result;
}

static mtm_result read_palette(const char *text, size_t length, mtm_error *error)
{
    mtm_palette *palette = NULL;
    mtm_result result =
        mtm_palette_parse(text, length, "t", "examples", NULL, MTM_OBSERVER_2, &palette, error);

    mtm_palette_free(palette);
    return result;
}

static mtm_result read_filter(const char *text, size_t length, mtm_error *error)
{
    mtm_filter filter;

    return mtm_filter_parse(text, length, "t", NULL, &filter, error);
}

static mtm_result read_readings(const char *text, size_t length, mtm_error *error)
{
    mtm_readings *readings = NULL;
    mtm_result result = mtm_readings_parse(text, length, "t", hall, &readings, error);

    mtm_readings_free(readings);
    return result;
}

static mtm_result read_calibration(const char *text, size_t length, mtm_error *error)
{
    mtm_calibration *calibration = NULL;
    mtm_result result = mtm_calibration_parse(text, length, "t", hall, &calibration, error);

    mtm_calibration_free(calibration);
    return result;
}

static mtm_result read_spectra(const char *text, size_t length, mtm_error *error)
{
    mtm_spectrum_set *set = NULL;
    mtm_result result = mtm_spectrum_set_parse(text, length, "t", MTM_ENDS_ZERO, &set, error);

    mtm_spectrum_set_free(set);
    return result;
}

static mtm_result read_cue_text(const char *text, size_t length, mtm_error *error)
{
    mtm_cue_sheet *sheet = NULL;
    mtm_result result = mtm_cue_text_read(text, length, NULL, &sheet, error);

    mtm_cue_sheet_free(sheet);
    return result;
}

static mtm_result read_packet(const char *octets, size_t length, mtm_error *error)
{
    mtm_e131_packet packet;

    return mtm_e131_decode((const uint8_t *)octets, length, &packet, error);
}

static const struct row {
    const char *name;
    const char *file; /* from the top of the source; NULL: a calibration of the hall */
    mtm_result (*read)(const char *text, size_t length, mtm_error *error);
    bool packet;
    size_t skip; /* bytes at the file's start that are not part of it */
} rows[] = {
    {"fixture", "profiles/five-colour-wash.json", read_fixture, false, 0},
    {"rig", "examples/hall.json", read_rig, false, 0},
    {"show", "examples/evening.json", read_show, false, 0},
    {"palette", "examples/palette.json", read_palette, false, 0},
    {"filter", "tests/fuzz/corpus/filter/full-cto.json", read_filter, false, 0},
    {"readings, a table", "examples/hall-readings.csv", read_readings, false, 0},
    {"readings, JSON", NULL, read_readings, false, 0},
    {"calibration", NULL, read_calibration, false, 0},
    {"spectra, a table", "profiles/amber.csv", read_spectra, false, 0},
    {"spectra, CGATS", "tests/fuzz/corpus/spectrum/rows.cgats", read_spectra, false, 1},
    {"spectra, XML", "tests/fuzz/corpus/spectrum/relative.spdx", read_spectra, false, 1},
    {"cue text", "tests/fuzz/corpus/cue_text/example", read_cue_text, false, 0},
    {"packet", "tests/fuzz/corpus/e131/data-4", read_packet, true, 0},
};

/* What the library itself writes of the hall, at path. */
static void write_made(const struct row *row, const char *path)
{
    mtm_readings *readings = NULL;
    mtm_calibration *calibration = NULL;

    if (row->read == read_readings) {
        assert_int_equal(mtm_readings_load("examples/hall-readings.csv", hall, &readings, NULL),
                         MTM_OK);
        assert_int_equal(mtm_readings_write(readings, path, NULL), MTM_OK);
    } else {
        assert_int_equal(mtm_calibration_create(hall, &calibration, NULL), MTM_OK);
        assert_int_equal(mtm_calibration_write(calibration, path, NULL), MTM_OK);
    }
    mtm_readings_free(readings);
    mtm_calibration_free(calibration);
}

static size_t read_text(const struct row *row, char *text, size_t room)
{
    char made[] = "/tmp/metamer-length-XXXXXX";
    int descriptor = row->file == NULL ? mkstemp(made) : -1;
    const char *path = row->file != NULL ? row->file : made;

    if (row->file == NULL) {
        assert_true(descriptor >= 0);
        (void)close(descriptor);
        write_made(row, path);
    }
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    assert_int_equal(fseek(file, (long)row->skip, SEEK_SET), 0);
    size_t length = fread(text, 1, room, file);
    assert_true(length > 0 && length < room);
    assert_int_equal(fclose(file), 0);
    if (row->file == NULL)
        (void)unlink(made);
    return length;
}

static void test_row(void **state)
{
    enum { room = 1 << 18 };
    const struct row *row = *state;
    size_t page = (size_t)sysconf(_SC_PAGESIZE);
    char *memory =
        mmap(NULL, room + page, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    mtm_error error = {""};

    assert_true(memory != MAP_FAILED);
    assert_int_equal(mprotect(memory + room, page, PROT_NONE), 0);
    size_t length = read_text(row, memory, room - 1);
    memory[length] = row->packet ? '\0' : 'x'; /* as if another text followed */
    mtm_result result = row->read(memory, length, &error);
    if (result == MTM_UNSUPPORTED) /* a library without XML says so */
        skip();
    if (result != MTM_OK)
        fail_msg("other bytes behind it: %s", error.text);
    memmove(memory + room - length, memory, length);
    if (row->read(memory + room - length, length, &error) != MTM_OK)
        fail_msg("nothing behind it: %s", error.text);
    /* cut anywhere, no text reads further either: whether it is refused is not asked here */
    for (size_t cut = 1; cut <= 40 && cut < length; cut++) {
        memmove(memory + room - (length - cut), memory + room - (length - cut + 1), length - cut);
        (void)!row->read(memory + room - (length - cut), length - cut, &error);
    }
    assert_int_equal(munmap(memory, room + page), 0);
}

static int load_hall(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    return source == NULL || chdir(source) != 0 ||
           mtm_rig_load("examples/hall.json", &hall, NULL) != MTM_OK;
}

static int free_hall(void **state)
{
    (void)state;
    mtm_rig_free(hall);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, test_row);
    return cmocka_run_group_tests_name("length", tests, load_hall, free_hall);
}
