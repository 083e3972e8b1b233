/* SPDX-License-Identifier: MIT */
/* The edge of the library: every public function refuses what its comment does not allow. The list
 * of those that were called is compared with the headers, so that none can be forgotten. */
#include "walk.h"

#include <metamer/colour.h>
#include <metamer/frames.h>
#include <metamer/illuminant.h>
#include <metamer/rgb.h>
#include <metamer/spectral.h>

#include <ctype.h>
#include <dirent.h>
#include <unistd.h>

#define NAMES_MAX 2000

struct walk_world world;

const double no_number[NO_NUMBERS] = {NAN, INFINITY, -INFINITY};
const mtm_xy no_xy[NO_XYS] = {{NAN, 0.3},  {0.3, NAN}, {INFINITY, 0.3}, {0.3, INFINITY}, {0, 0},
                              {-0.1, 0.3}, {0.3, 0},   {0.8, 0.8},      {-INFINITY, 0.3}};

static char *walked[NAMES_MAX];
static size_t walked_count;
static int complaints;

static bool is_walked(const char *function)
{
    for (size_t i = 0; i < walked_count; i++) {
        if (strcmp(walked[i], function) == 0)
            return true;
    }
    return false;
}

void walk_note(const char *function)
{
    if (is_walked(function))
        return;
    assert_true(walked_count < NAMES_MAX);
    walked[walked_count] = strdup(function);
    assert_non_null(walked[walked_count]);
    walked_count++;
}

void walk_complain(const char *file, int line, const char *call, const char *why)
{
    complaints++;
    print_message("%s:%d: %s %s\n", file, line, call, why);
}

void walk_result(const char *file, int line, const char *call, mtm_result got, mtm_result wanted,
                 const mtm_error *error)
{
    char why[700];

    (void)snprintf(why, sizeof why, "gives %d, wanted is %d (%s)", (int)got, (int)wanted,
                   error->text);
    if (got != wanted)
        walk_complain(file, line, call, why);
    else if (got != MTM_OK && error->text[0] == '\0')
        walk_complain(file, line, call, "has no sentence");
}

bool walk_nothing(const void *numbers, size_t bytes)
{
    bool zero = true;

    for (size_t at = 0; at + sizeof(double) <= bytes; at += sizeof(double)) {
        double number;
        memcpy(&number, (const char *)numbers + at, sizeof number);
        if (!isfinite(number))
            return true;
        zero = zero && number == 0;
    }
    return zero;
}

/* The first function named in a declaration: the letters before its parenthesis; false for data. */
static bool function_of(const char *declaration, char name[80])
{
    const char *end = strpbrk(declaration, "([;=");
    size_t length = 0;

    if (end == NULL || *end != '(')
        return false;
    while (end > declaration && (isalnum((unsigned char)end[-1]) || end[-1] == '_')) {
        end--;
        length++;
    }
    if (strncmp(end, "mtm_", 4) != 0)
        return false;
    (void)snprintf(name, 80, "%.*s", (int)length, end);
    return true;
}

/* Compares one header's declarations with what was walked; returns how many functions it has. */
static int check_header(const char *path)
{
    static char text[100000];
    FILE *file = fopen(path, "r");
    char name[80];
    int count = 0;

    assert_non_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    assert_true(length < sizeof text - 1);
    (void)fclose(file);
    text[length] = '\0';
    for (const char *at = strstr(text, "\nMTM_API "); at != NULL;
         at = strstr(at + 1, "\nMTM_API ")) {
        if (!function_of(at, name))
            continue;
        count++;
        if (!is_walked(name))
            walk_complain(path, 0, name, "is declared here, and is not walked");
    }
    return count;
}

static void test_complete(void **state)
{
    DIR *folder = opendir("include/metamer");
    int count = 0;

    (void)state;
    assert_non_null(folder);
    for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char path[300];
        const char *dot = strrchr(entry->d_name, '.');
        if (dot == NULL || strcmp(dot, ".h") != 0)
            continue;
        (void)snprintf(path, sizeof path, "include/metamer/%s", entry->d_name);
        count += check_header(path);
    }
    (void)closedir(folder);
    print_message("%d public functions, %zu walked\n", count, walked_count);
    assert_true(count >= 300); /* so many were there when this was written */
    assert_int_equal((size_t)count, walked_count);
    assert_int_equal(complaints, 0);
}

static void walk_base(void **state)
{
    (void)state;
    HOLDS(mtm_version, mtm_version() != NULL);
}

/* A table: as many rows as it counts, each with a name, and nothing behind them. */
#define WALK_TABLE(stem)                                                                           \
    do {                                                                                           \
        HOLDS(mtm_##stem##_count, mtm_##stem##_count() > 0);                                       \
        for (size_t i = 0; i < mtm_##stem##_count(); i++)                                          \
            HOLDS(mtm_##stem##_at, mtm_##stem##_at(i)->name[0] != '\0');                           \
        HOLDS(mtm_##stem##_at, mtm_##stem##_at(mtm_##stem##_count()) == NULL);                     \
        HOLDS(mtm_##stem##_at, mtm_##stem##_at(SIZE_MAX) == NULL);                                 \
    } while (0)
/* A row stands at its number in the enumeration. */
#define WALK_ORDER(stem, member)                                                                   \
    for (size_t i = 0; i < mtm_##stem##_count(); i++)                                              \
    HOLDS(mtm_##stem##_at, (size_t)mtm_##stem##_at(i)->member == i)

static void walk_tables(void **state)
{
    (void)state;
    WALK_TABLE(goal);
    WALK_ORDER(goal, goal);
    WALK_TABLE(index);
    WALK_ORDER(index, index);
    WALK_TABLE(path_type);
    WALK_ORDER(path_type, type);
    WALK_TABLE(shape_type);
    WALK_ORDER(shape_type, type);
    WALK_TABLE(frame_format);
    WALK_ORDER(frame_format, format);
    WALK_TABLE(curve_type);
    WALK_TABLE(rgb_space);
    WALK_TABLE(illuminant);
    WALK_TABLE(cue_code);
    for (int i = 0; i < MTM_ASSUMED_COUNT; i++)
        HOLDS(mtm_assumed_row_at, mtm_assumed_row_at((mtm_assumed_what)i)->usual >= 0);
    HOLDS(mtm_assumed_row_at, mtm_assumed_row_at(MTM_ASSUMED_COUNT) == NULL);
    HOLDS(mtm_assumed_row_at, mtm_assumed_row_at((mtm_assumed_what)-1) == NULL);
}

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");
    const mtm_white warm = {3200, 0};

    (void)state;
    assert_non_null(source);
    assert_int_equal(chdir(source), 0);
    assert_int_equal(mtm_rig_load("examples/hall.json", &world.rig, NULL), MTM_OK);
    assert_int_equal(
        mtm_readings_load("examples/hall-readings.csv", world.rig, &world.readings, NULL), MTM_OK);
    assert_int_equal(mtm_calibration_fit(world.readings, world.rig, NULL, &world.calibration, NULL),
                     MTM_OK);
    assert_int_equal(mtm_show_load("examples/evening.json", &world.show, NULL), MTM_OK);
    assert_int_equal(mtm_fixture_load("profiles/five-colour-wash.json", &world.fixture, NULL),
                     MTM_OK);
    assert_int_equal(mtm_matcher_create(world.rig, MTM_OBSERVER_2, &world.matcher, NULL), MTM_OK);
    assert_int_equal(mtm_target_from_white(warm, MTM_OBSERVER_2, &world.target, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_illuminant("D65", &world.light, NULL), MTM_OK);
    world.no_spectrum = world.light;
    world.no_spectrum.value[200] = NAN;
    world.watts = calloc(mtm_rig_unit_count(world.rig), sizeof *world.watts);
    assert_non_null(world.watts);
    return 0;
}

static int leave(void **state)
{
    (void)state;
    free(world.watts);
    mtm_matcher_free(world.matcher);
    mtm_fixture_free(world.fixture);
    mtm_show_free(world.show);
    mtm_calibration_free(world.calibration);
    mtm_readings_free(world.readings);
    mtm_rig_free(world.rig);
    for (size_t i = 0; i < walked_count; i++)
        free(walked[i]);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(walk_base),          cmocka_unit_test(walk_tables),
        cmocka_unit_test(walk_colour),        cmocka_unit_test(walk_spectra),
        cmocka_unit_test(walk_filters),       cmocka_unit_test(walk_fixtures),
        cmocka_unit_test(walk_rigs),          cmocka_unit_test(walk_meters),
        cmocka_unit_test(walk_solve),         cmocka_unit_test(walk_match),
        cmocka_unit_test(walk_shows),         cmocka_unit_test(walk_cue_sheets),
        cmocka_unit_test(walk_demand),        cmocka_unit_test(walk_pictures),
        cmocka_unit_test(walk_plan_pictures), cmocka_unit_test(walk_reports),
        cmocka_unit_test(walk_frames),        cmocka_unit_test(walk_stream),
        cmocka_unit_test(walk_calibrations), /* which gives the rig's units fixtures of their own */
        cmocka_unit_test(test_complete),
    };

    return cmocka_run_group_tests_name("walk", tests, enter, leave);
}
