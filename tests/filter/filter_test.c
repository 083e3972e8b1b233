/* SPDX-License-Identifier: MIT */
/* Filters: shifts against the trade's terms and CIE illuminants, stacks, nearest ones, bad input.
 */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/filter.h>
#include <metamer/illuminant.h>

#include <sys/stat.h>
#include <unistd.h>

static mtm_filters *library;

static int load_library(void **state)
{
    mtm_error error = {""};

    (void)state;
    if (mtm_filters_load(NULL, &library, &error) == MTM_OK)
        return 0;
    print_error("%s\n", error.text);
    return -1;
}

static int free_library(void **state)
{
    (void)state;
    mtm_filters_free(library);
    return 0;
}

static mtm_light light(const char *text)
{
    mtm_light made = {.name = ""};
    mtm_error error = {""};

    if (mtm_light_from_text(text, &made, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return made;
}

static mtm_filter filter(const char *text)
{
    mtm_filter found = {.name = ""};
    mtm_error error = {""};

    if (mtm_filters_find(library, text, &found, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return found;
}

static mtm_filtered over(const char *name, const char *light_text)
{
    mtm_filter found = filter(name);
    mtm_light bare = light(light_text);
    mtm_filtered made = {.has_shift = false};
    mtm_error error = {""};

    if (mtm_filter_over(&found, &bare.spectrum, MTM_OBSERVER_2, &made, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return made;
}

/* The shift that people mean by each term, and the light that it is used on: common practice, no
 * source. stated: what the delivered filter says of itself, on its reference light. */
static const struct term {
    const char *name;
    const char *light;
    double least, most, stated;
    double y; /* a third, a half and two thirds of the light; 0: nothing is said */
} terms[] = {
    {"full CTO", "daylight:5500", 131, 159, 134, 0},
    {"three-quarter CTO", "daylight:5500", 98, 125, 106, 0},
    {"half CTO", "daylight:5500", 64, 81, 70, 0},
    {"quarter CTO", "daylight:5500", 32, 42, 37, 0},
    {"eighth CTO", "daylight:5500", 18, 26, 21, 0},
    {"full CTB", "3200", -137, -131, -134, 1.0 / 3},
    {"three-quarter CTB", "3200", -113, -100, -106, 0},
    {"half CTB", "3200", -78, -68, -72, 0.5},
    {"quarter CTB", "3200", -35, -30, -33, 2.0 / 3},
    {"eighth CTB", "3200", -18, -12, -16, 0},
};

static void test_term(void **state)
{
    const struct term *term = *state;
    mtm_filtered made = over(term->name, term->light);

    assert_true(made.has_shift);
    assert_true(made.mired_shift >= term->least && made.mired_shift <= term->most);
    CHECK_NEAR("stated", made.mired_shift, term->stated, 0.01);
    CHECK_NEAR("as far from the locus as before", made.duv_shift, 0, 1e-5);
    assert_true(made.transmittance_y > 0.3 && made.transmittance_y < 0.9);
    if (term->y > 0)
        CHECK_NEAR("Y", made.transmittance_y, term->y, 0.035);
}

/* Plus green raises Duv, minus green lowers it, full more than half and so on: common practice, no
 * source; so is the colour-compensating density of 30 for the full one. */
static void test_green(void **state)
{
    static const char *const steps[] = {"full", "half", "quarter", "eighth"};
    double last[2] = {1, 1};

    (void)state;
    for (size_t i = 0; i < COUNT(steps); i++) {
        for (int minus = 0; minus <= 1; minus++) {
            char name[64];
            (void)snprintf(name, sizeof name, "%s %s green", steps[i], minus ? "minus" : "plus");
            mtm_filtered made = over(name, "daylight:5500");
            double shift = minus ? -made.duv_shift : made.duv_shift;
            assert_true(shift > 0.002 && shift < last[minus]);
            CHECK_NEAR(name, made.mired_shift, 0, 0.01);
            last[minus] = shift;
        }
    }
    mtm_filter full = filter("full minus green");
    double least = 1;
    for (size_t i = 40; i <= 340; i++)
        least = fmin(least, full.transmittance.value[i]);
    CHECK_NEAR("density of full minus green", log10(0.9 / least), 0.30, 0.03);
}

/* The ratio of two CIE illuminants is the filter that makes one of the other. Chromaticity of D65
 * and of A: CIE 015:2018, table 5 (printed to 5 digits); 2856 K to 6504 K is -196.3885 mired. */
static void test_illuminants(void **state)
{
    mtm_spectrum a, d65;
    mtm_filter made = {.name = "A to D65"};
    mtm_filtered filtered;
    double most = 0;

    (void)state;
    assert_int_equal(mtm_spectrum_illuminant("A", &a, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_illuminant("D65", &d65, NULL), MTM_OK);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        most = fmax(most, d65.value[i] / a.value[i]);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        made.transmittance.value[i] = d65.value[i] / a.value[i] / most;
    assert_int_equal(mtm_filter_over(&made, &a, MTM_OBSERVER_2, &filtered, NULL), MTM_OK);
    mtm_xy xy = mtm_xy_from_xyz(filtered.xyz);
    CHECK_NEAR("x", xy.x, 0.31272, 1e-5);
    CHECK_NEAR("y", xy.y, 0.32903, 1e-5);
    CHECK_NEAR("mired", filtered.mired_shift, -196.3885, 0.5); /* 2855.5 K, 6503.5 K */
    xy = mtm_xy_from_xyz(filtered.light_xyz);
    CHECK_NEAR("x of A", xy.x, 0.44758, 1e-5);
    assert_int_equal(mtm_filter_over(&made, &a, MTM_OBSERVER_10, &filtered, NULL), MTM_OK);
    xy = mtm_xy_from_xyz(filtered.xyz);
    CHECK_NEAR("x, 10 degrees", xy.x, 0.31382, 1e-5);
    CHECK_NEAR("y, 10 degrees", xy.y, 0.33100, 1e-5);
    assert_false(filtered.has_shift);
}

/* Grey takes light away and nothing else. */
static void test_grey(void **state)
{
    mtm_filter grey = {.name = "g"};
    mtm_light bare = light("D65");
    mtm_filtered made;

    (void)state;
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        grey.transmittance.value[i] = 0.25;
    assert_int_equal(mtm_filter_over(&grey, &bare.spectrum, MTM_OBSERVER_2, &made, NULL), MTM_OK);
    CHECK_NEAR("Y", made.transmittance_y, 0.25, 1e-12);
    CHECK_NEAR("L*", made.lab.l, 57.0754, 1e-4); /* 116 * 0.25^(1/3) - 16 */
    CHECK_NEAR("a*", made.lab.a, 0, 1e-4);
    CHECK_NEAR("shift", made.mired_shift, 0, 1e-6);
}

/* Shifts add in a stack, nearly: the reason for mireds. */
static void test_stacks(void **state)
{
    static const struct {
        const char *stack, *light;
        double mired;
    } rows[] = {
        {"half CTO + half CTO", "daylight:5500", 140},
        {"quarter-ctb+QUARTER CTB", "3200", -66},
        {" half_cto +quarter CTO", "daylight:5500", 107},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++)
        CHECK_NEAR(rows[i].stack, over(rows[i].stack, rows[i].light).mired_shift, rows[i].mired, 2);
    assert_string_equal(filter("half CTO+amber").name, "half CTO + amber");
    mtm_filter a = filter("amber");
    mtm_filter b = filter("half CTO");
    mtm_filter both = mtm_filter_stack(&a, &b);
    CHECK_NEAR("product", both.transmittance.value[200],
               a.transmittance.value[200] * b.transmittance.value[200], 1e-15);
}

/* Any allowed shift that is found is met exactly, on any white. */
static void test_corrections(void **state)
{
    static const char *const lights[] = {"2000", "3200", "A", "daylight:5600", "D75", "E"};
    size_t met = 0;

    (void)state;
    for (size_t i = 0; i < COUNT(lights); i++) {
        mtm_light bare = light(lights[i]);
        for (int m = -150; m <= 150; m += 50) {
            for (int d = -2; d <= 2; d++) {
                mtm_correction wanted = {m, d * 0.01, 0.8};
                mtm_filter made;
                mtm_filtered filtered;
                if (mtm_filter_correction("f", wanted, &bare.spectrum, &made, NULL) != MTM_OK)
                    continue;
                assert_int_equal(
                    mtm_filter_over(&made, &bare.spectrum, MTM_OBSERVER_2, &filtered, NULL),
                    MTM_OK);
                CHECK_NEAR("mired", filtered.mired_shift, m, 1e-4);
                CHECK_NEAR("Duv", filtered.duv_shift, d * 0.01, 1e-7);
                met++;
            }
        }
    }
    assert_true(met > 150); /* of 210; the others would leave 1000..25000 K */
}

static void test_like(void **state)
{
    mtm_filter amber = filter("amber");
    mtm_light bare = light("3200");
    mtm_near_filter near[5], rest[4];
    mtm_filter other = amber;

    (void)state;
    (void)snprintf(other.name, sizeof other.name, "another");
    assert_int_equal(mtm_filters_like(library, &other, &bare.spectrum, MTM_OBSERVER_2, near, 5), 5);
    assert_string_equal(mtm_filters_at(library, near[0].first)->name, "amber");
    CHECK_NEAR("the same curve", near[0].distance, 0, 1e-9);
    /* by its own name it is not asked for itself, and the others stay in their order */
    assert_int_equal(mtm_filters_like(library, &amber, &bare.spectrum, MTM_OBSERVER_2, rest, 4), 4);
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(rest[i].first, near[i + 1].first);
    mtm_filtered a = over("amber", "3200");
    for (size_t i = 1; i < 5; i++) {
        mtm_filtered b = over(mtm_filters_at(library, near[i].first)->name, "3200");
        assert_true(near[i].distance >= near[i - 1].distance);
        CHECK_NEAR("CIEDE2000", near[i].distance, mtm_lab_ciede2000(a.lab, b.lab), 1e-12);
        assert_true(near[i].second == SIZE_MAX);
    }
}

/* Every single one and every pair is tried, and the answer is the least of them. */
static void test_nearest(void **state)
{
    mtm_light bare = light("3200");
    mtm_xy target = {0.28, 0.29};
    mtm_near_filter single[3], pair[3];
    double least[2] = {1, 1};
    size_t count = mtm_filters_count(library);

    (void)state;
    assert_int_equal(
        mtm_filters_nearest(library, target, &bare.spectrum, MTM_OBSERVER_2, false, single, 3), 3);
    assert_int_equal(
        mtm_filters_nearest(library, target, &bare.spectrum, MTM_OBSERVER_2, true, pair, 3), 3);
    for (size_t i = 0; i < count; i++) {
        for (size_t k = i; k <= count; k++) {
            mtm_filter both = k == count ? *mtm_filters_at(library, i)
                                         : mtm_filter_stack(mtm_filters_at(library, i),
                                                            mtm_filters_at(library, k));
            mtm_spectrum behind = mtm_filter_apply(&both, &bare.spectrum);
            mtm_uv uv = mtm_uv_from_xyz(mtm_xyz_from_spectrum(&behind, MTM_OBSERVER_2));
            double distance = mtm_uv_distance(uv, mtm_uv_from_xy(target));
            least[k != count] = fmin(least[k != count], distance);
        }
    }
    CHECK_NEAR("single", single[0].distance, least[0], 1e-12);
    CHECK_NEAR("pair", pair[0].distance, least[1], 1e-12);
    assert_true(pair[0].distance < single[0].distance);
    assert_true(pair[0].second != SIZE_MAX && pair[0].distance <= pair[1].distance);
}

/* The full CTB is what makes 5600 K of 3200 K. */
static void test_nearest_term(void **state)
{
    mtm_light bare = light("3200");
    mtm_near_filter near;
    mtm_xy target;

    (void)state;
    assert_int_equal(mtm_planck_xy(5600, MTM_OBSERVER_2, &target, NULL), MTM_OK);
    assert_int_equal(
        mtm_filters_nearest(library, target, &bare.spectrum, MTM_OBSERVER_2, false, &near, 1), 1);
    assert_string_equal(mtm_filters_at(library, near.first)->name, "full CTB");
    CHECK_NEAR("distance", near.distance, 0, 1e-3);
    assert_int_equal(
        mtm_filters_nearest(library, target, &bare.spectrum, MTM_OBSERVER_2, true, &near, 1), 1);
    assert_null(strstr(mtm_filters_at(library, near.first)->name, "grey"));
    assert_null(strstr(mtm_filters_at(library, near.second)->name, "grey"));
}

static const struct light_row {
    const char *name; /* the text */
    mtm_result result;
    const char *answer; /* the light's name, or part of the sentence */
} light_rows[] = {
    {"3200", MTM_OK, "3200 K"},
    {"3200K", MTM_OK, "3200 K"},
    {"5600.5k", MTM_OK, "5600.5 K"},
    {"daylight:5600", MTM_OK, "daylight 5600 K"},
    {"daylight:5600K", MTM_OK, "daylight 5600 K"},
    {"d65", MTM_OK, "d65"},
    {"A", MTM_OK, "A"},
    {"warm-white.csv", MTM_OK, "warm-white.csv"},
    {"999", MTM_RANGE, "a light of 999 K; allowed is 1000 to 25000 K"},
    {"25001", MTM_RANGE, "a light of 25001 K"},
    {"daylight:", MTM_PARSE, "a temperature is wanted"},
    {"daylight:noon", MTM_PARSE, "found \"daylight:noon\""},
    {"daylight:3200", MTM_INVALID, "3200"},
    {"D60", MTM_NOT_FOUND, "found \"D60\"; allowed are a temperature (3200), a dimmed lamp"},
    {"tunable-white.json", MTM_PARSE, "tunable-white.json"},
};

static void test_light(void **state)
{
    const struct light_row *row = *state;
    mtm_light made = {.name = "untouched"};
    mtm_error error = {""};
    mtm_result result = mtm_light_from_text(row->name, &made, &error);

    if (result != row->result)
        fail_msg("result %d: %s", (int)result, error.text);
    if (result == MTM_OK)
        assert_string_equal(made.name, row->answer);
    else
        CHECK_HOLDS(error.text, row->answer);
    if (result != MTM_OK)
        assert_string_equal(made.name, "untouched");
}

#define HEAD "{\"metamer\": \"filter/1\", \"name\": \"f\""

static const struct bad_row {
    const char *name;
    const char *text;
    const char *path;
    const char *sentence;
} bad_rows[] = {
    {"no name", "{\"metamer\": \"filter/1\"}", "", "key \"name\" is missing"},
    {"nothing", HEAD "}", "", "has neither \"transmittance\" nor \"mired_shift\""},
    {"unknown key", HEAD ", \"mired\": 3}", "", "\"mired\"; the nearest known one is"},
    {"plus in the name", "{\"metamer\": \"filter/1\", \"name\": \"a+b\", \"mired_shift\": 1}", "",
     "holds \"+\""},
    {"both kinds", HEAD ", \"transmittance\": [[380, 1], [780, 1]], \"mired_shift\": 3}", "",
     "\"mired_shift\" stands beside \"transmittance\""},
    {"no reference", HEAD ", \"mired_shift\": 3}", "", "key \"reference\" is missing"},
    {"reference of wrong type", HEAD ", \"mired_shift\": 3, \"reference\": 3200}", "reference",
     "found a number, allowed is text"},
    {"unknown reference", HEAD ", \"mired_shift\": 3, \"reference\": \"noon\"}", "",
     "found \"noon\"; allowed are a temperature"},
    {"shift out of range", HEAD ", \"mired_shift\": 301, \"reference\": \"3200\"}", "mired_shift",
     "found 301, allowed is a number from -300 to 300"},
    {"Duv out of range", HEAD ", \"duv_shift\": 0.05, \"reference\": \"3200\"}", "duv_shift",
     "found 0.05, allowed"},
    {"peak out of range", HEAD ", \"duv_shift\": 0.01, \"reference\": \"3200\", \"peak\": 1.1}",
     "peak", "found 1.1, allowed"},
    {"beyond all whites", HEAD ", \"mired_shift\": -300, \"reference\": \"3200\"}", "",
     "no smooth filter shifts the reference light of 3200 K by -300 mired"},
    {"above 1", HEAD ", \"transmittance\": [[380, 0.5], [780, 1.1]]}", "transmittance[1][1]",
     "found 1.1, allowed is a number from 0 to 1"},
    {"below 0", HEAD ", \"transmittance\": [[380, -0.1], [780, 1]]}", "transmittance[0][1]",
     "found -0.1, allowed"},
    {"falling wavelengths", HEAD ", \"transmittance\": [[780, 1], [380, 1]]}", "transmittance",
     "reaches from 780 to 380 nm"},
    {"repeated wavelength", HEAD ", \"transmittance\": [[380, 1], [380, 0.5], [780, 1]]}",
     "transmittance[1]", "found 380 nm after 380 nm; wavelengths must rise"},
    {"too short", HEAD ", \"transmittance\": [[450, 1], [780, 1]]}", "transmittance",
     "reaches from 450 to 780 nm; a filter's curve must reach from 400 to 700 nm"},
    {"no list of pairs", HEAD ", \"transmittance\": [1, 2]}", "transmittance[0]",
     "found a number, allowed is a pair"},
    {"empty list", HEAD ", \"transmittance\": []}", "transmittance", "found a list of 0"},
    {"no such file", HEAD ", \"transmittance\": \"not-there.csv\"}", "transmittance",
     "there is no file \"not-there.csv\""},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;
    mtm_filter made = {.name = "untouched"};
    mtm_error error = {""};
    char place[120];
    mtm_result result =
        mtm_filter_parse(row->text, strlen(row->text), "f.json", NULL, &made, &error);

    assert_int_not_equal(result, MTM_OK);
    assert_string_equal(made.name, "untouched");
    (void)snprintf(place, sizeof place, "f.json: %s%s", row->path,
                   row->path[0] != '\0' ? ": " : "");
    if (strncmp(error.text, place, strlen(place)) != 0)
        fail_msg("\"%s\" does not begin with \"%s\"", error.text, place);
    CHECK_HOLDS(error.text, row->sentence);
}

/* Files in a folder of their own, and what a library makes of them. */
static const struct file_row {
    const char *name;
    const char *file[2];
    const char *text[2];
    mtm_result result;
    const char *sentence; /* or the name of the only filter */
} file_rows[] = {
    {"measured", {"my-blue.csv"}, {"380,0.1\n500,0.9\n780,0.1\n"}, MTM_OK, "MY BLUE"},
    {"semicolons", {"my_blue.txt"}, {"380;0,1\n500;0,9\n780;0,1\n"}, MTM_OK, "my blue"},
    {"headings name", {"two.csv"}, {"nm,pale,deep\n380,0.1,0\n780,0.9,0.5\n"}, MTM_OK, "deep"},
    {"notes are no filters", {"README.md", "a.csv"}, {"hello", "380,0.1\n780,0.1\n"}, MTM_OK, "a"},
    {"filter file", {"a.json"}, {HEAD ", \"transmittance\": [[380, 0], [780, 1]]}"}, MTM_OK, "F"},
    {"named curve",
     {"a.json", "b.csv"},
     {HEAD ", \"transmittance\": \"b.csv\"}", "380,0.1\n780,0.9\n"},
     MTM_OK,
     "F"},
    {"named curve in percent",
     {"a.json", "b.csv"},
     {HEAD ", \"transmittance\": \"b.csv\"}", "380,10\n780,90\n"},
     MTM_PARSE,
     "found a transmittance of 90"},
    {"empty folder", {NULL}, {NULL}, MTM_NOT_FOUND, "holds no filter"},
    {"same name",
     {"a-b.csv", "A_B.csv"},
     {"380,0.1\n780,0.1\n", "380,0.1\n780,0.1\n"},
     MTM_PARSE,
     "two filters are called"},
    {"percent",
     {"a.csv"},
     {"380,10\n780,90\n"},
     MTM_PARSE,
     "a.csv: a: found a transmittance of 90; allowed is 0 to 1 (percent"},
    {"negative", {"a.csv"}, {"380,-0.1\n780,0.9\n"}, MTM_PARSE, "found a transmittance of -0.1"},
    {"too short",
     {"a.csv"},
     {"420,0.1\n680,0.9\n"},
     MTM_PARSE,
     "run from 420 to 680 nm; a transmittance or reflectance must reach from 400 to 700 nm"},
    {"out of order", {"a.csv"}, {"780,0.1\n380,0.9\n"}, MTM_PARSE, "wavelengths must rise"},
    {"repeated", {"a.csv"}, {"380,0.1\n380,0.9\n780,1\n"}, MTM_PARSE, "wavelengths must rise"},
    {"micrometres", {"a.csv"}, {"0.38,0.1\n0.78,0.9\n"}, MTM_PARSE, "a.csv"},
    {"words", {"a.csv"}, {"hello\n"}, MTM_PARSE, "no line begins with a wavelength"},
    {"no JSON", {"a.json"}, {"hello\n"}, MTM_PARSE, "is not JSON"},
    {"rig", {"a.json"}, {"{\"metamer\": \"rig/1\"}"}, MTM_PARSE, "allowed is \"filter/1\""},
};

static void put(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
}

static void test_files(void **state)
{
    const struct file_row *row = *state;
    char folder[] = "/tmp/metamer-filters-XXXXXX";
    char path[2][128] = {"", ""};
    mtm_filters *filters = NULL;
    mtm_filter found;
    mtm_error error = {""};

    assert_non_null(mkdtemp(folder));
    for (size_t i = 0; i < 2 && row->file[i] != NULL; i++) {
        (void)snprintf(path[i], sizeof path[i], "%s/%s", folder, row->file[i]);
        put(path[i], row->text[i]);
    }
    mtm_result result = mtm_filters_load(folder, &filters, &error);
    for (size_t i = 0; i < 2 && row->file[i] != NULL; i++)
        (void)unlink(path[i]);
    (void)rmdir(folder);
    if (result != row->result)
        fail_msg("result %d: %s", (int)result, error.text);
    if (result == MTM_OK) {
        assert_int_equal(mtm_filters_find(filters, row->sentence, &found, &error), MTM_OK);
        for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
            assert_true(found.transmittance.value[i] >= 0 && found.transmittance.value[i] <= 1);
    } else {
        assert_int_equal(strncmp(error.text, folder, strlen(folder)), 0);
        CHECK_HOLDS(error.text, row->sentence);
        assert_null(filters);
    }
    mtm_filters_free(filters);
}

static void test_single_file(void **state)
{
    char path[] = "/tmp/metamer-filter-XXXXXX";
    mtm_filter found = {.name = ""};
    mtm_error error = {""};
    int descriptor = mkstemp(path);

    (void)state;
    assert_true(descriptor >= 0);
    (void)close(descriptor);
    put(path, "380,0.25\n780,0.25\n");
    assert_int_equal(mtm_filters_find(library, path, &found, &error), MTM_OK);
    CHECK_NEAR("value", found.transmittance.value[200], 0.25, 1e-12);
    put(path, "nm,a,b\n380,0.25,0.5\n780,0.25,0.5\n");
    assert_int_equal(mtm_filter_load(path, &found, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "holds 2 curves where one filter is wanted");
    put(path, "380,25\n780,25\n");
    assert_int_equal(mtm_filter_load(path, &found, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, path);
    (void)unlink(path);
    assert_int_equal(mtm_filter_load(path, &found, &error), MTM_NOT_FOUND);
    assert_int_equal(mtm_filter_load("/", &found, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "is a directory");
}

static void test_unknown(void **state)
{
    static const char *const rows[][2] = {
        {"ambr", "there is no filter \"ambr\"; the nearest is \"amber\""},
        {"qqqqqqqqqqqqqqqqq", "there is no filter \"qqqqqqqqqqqqqqqqq\", neither by name nor"},
        {"amber+", "a name is missing beside a \"+\""},
        {"+", "a name is missing beside a \"+\""},
        {"amber++amber", "a name is missing beside a \"+\""},
        {"amber+ambr", "the nearest is \"amber\""},
    };
    mtm_filter found = {.name = "untouched"};
    mtm_filters *none = NULL;
    mtm_error error;

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        assert_int_not_equal(mtm_filters_find(library, rows[i][0], &found, &error), MTM_OK);
        CHECK_HOLDS(error.text, rows[i][1]);
        assert_string_equal(found.name, "untouched");
    }
    assert_int_equal(mtm_filters_load("/not-there", &none, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "/not-there: the folder of filters cannot be opened");
    assert_null(none);
}

/* The delivered colours: every one is a filter of its own, none lets nothing through. */
static void test_delivered(void **state)
{
    (void)state;
    assert_true(mtm_filters_count(library) >= 40);
    for (size_t i = 0; i < mtm_filters_count(library); i++) {
        const char *name = mtm_filters_at(library, i)->name;
        mtm_filtered made = over(name, "3200");
        if (!(made.transmittance_y > 0.01 && made.transmittance_y < 0.95))
            fail_msg("%s: Y %g", name, made.transmittance_y);
    }
}

static void test_wrong_calls(void **state)
{
    mtm_light bare = light("E");
    mtm_spectrum dark = {{0}};
    mtm_filter made = filter("amber");
    mtm_filtered filtered;
    mtm_near_filter near;
    mtm_error error;

    (void)state;
    assert_int_equal(mtm_filter_over(&made, &dark, MTM_OBSERVER_2, &filtered, &error), MTM_RANGE);
    assert_int_equal(mtm_filters_like(library, &made, &dark, MTM_OBSERVER_2, &near, 1), 0);
    assert_int_equal(
        mtm_filters_nearest(library, (mtm_xy){0.3, 0.3}, &dark, MTM_OBSERVER_2, true, &near, 1), 0);
    assert_int_equal(mtm_filters_nearest(library, (mtm_xy){0.3, 0.3}, &bare.spectrum,
                                         MTM_OBSERVER_2, true, &near, 0),
                     0);
    assert_int_equal(mtm_filter_correction("f", (mtm_correction){(double)NAN, 0, 0}, &bare.spectrum,
                                           &made, &error),
                     MTM_INVALID);
    assert_int_equal(
        mtm_filter_correction("f", (mtm_correction){0, 0.1, 0}, &bare.spectrum, &made, &error),
        MTM_INVALID);
    assert_int_equal(
        mtm_filter_correction("f", (mtm_correction){0, 0, 2}, &bare.spectrum, &made, &error),
        MTM_INVALID);
    assert_int_equal(mtm_filter_correction("f", (mtm_correction){10, 0, 0}, &dark, &made, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "the reference light is no white");
}

int main(void)
{
    struct CMUnitTest of_terms[COUNT(terms)];
    struct CMUnitTest of_lights[COUNT(light_rows)];
    struct CMUnitTest bad[COUNT(bad_rows)];
    struct CMUnitTest files[COUNT(file_rows)];
    const struct CMUnitTest others[] = {
        cmocka_unit_test(test_green),       cmocka_unit_test(test_illuminants),
        cmocka_unit_test(test_grey),        cmocka_unit_test(test_stacks),
        cmocka_unit_test(test_corrections), cmocka_unit_test(test_like),
        cmocka_unit_test(test_nearest),     cmocka_unit_test(test_nearest_term),
        cmocka_unit_test(test_single_file), cmocka_unit_test(test_unknown),
        cmocka_unit_test(test_delivered),   cmocka_unit_test(test_wrong_calls),
    };

    ROW_TESTS(of_terms, terms, test_term);
    ROW_TESTS(of_lights, light_rows, test_light);
    ROW_TESTS(bad, bad_rows, test_bad);
    ROW_TESTS(files, file_rows, test_files);
    return cmocka_run_group_tests_name("terms of the trade", of_terms, load_library, free_library) +
           cmocka_run_group_tests_name("lights", of_lights, NULL, NULL) +
           cmocka_run_group_tests_name("bad filters", bad, NULL, NULL) +
           cmocka_run_group_tests_name("folders of filters", files, NULL, NULL) +
           cmocka_run_group_tests_name("filters", others, load_library, free_library);
}
