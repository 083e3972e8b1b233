/* SPDX-License-Identifier: MIT */
/* metamer fixture: every profile is described; a wrong file is refused with its place. */
#include "support/command.h"

#include <cjson/cJSON.h>
#include <dirent.h>

/* Walks the folder, so that a new profile cannot be forgotten. */
static void test_profiles(void **state)
{
    DIR *folder = opendir("profiles");
    int count = 0;

    (void)state;
    assert_non_null(folder);
    for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        size_t length = strlen(entry->d_name);
        char line[512];
        if (length < 5 || strcmp(entry->d_name + length - 5, ".json") != 0)
            continue;
        (void)snprintf(line, sizeof line, "fixture profiles/%s", entry->d_name);
        struct ran ran = run_line(line);
        if (ran.status != EXIT_DONE)
            fail_msg("%s: %s", line, ran.err);
        CHECK_HOLDS(ran.out, strstr(ran.out, ": 0 emitters") != NULL
                                 ? "its modes tell what they make"
                                 : "Gamut corners");
        CHECK_HOLDS(ran.out, "Modes");
        assert_null(strstr(ran.out, "nan"));
        ran_free(&ran);
        count++;
    }
    (void)closedir(folder);
    assert_true(count >= 3);
}

static void test_json(void **state)
{
    struct ran ran = run_line("fixture profiles/five-colour-wash.json --format json");
    cJSON *root = cJSON_Parse(ran.out);

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_non_null(root);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "emitters")), 5);
    assert_true(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "modes")) >= 2);
    CHECK_HOLDS(ran.out, "\"order\": [\"dimmer\", \"red\"");
    cJSON_Delete(root);
    ran_free(&ran);
}

static const cJSON *mixing_of(const cJSON *root, const char *mode)
{
    const cJSON *one;

    cJSON_ArrayForEach(one, cJSON_GetObjectItemCaseSensitive(root, "modes"))
    {
        if (strcmp(cJSON_GetObjectItemCaseSensitive(one, "name")->valuestring, mode) == 0)
            return cJSON_GetObjectItemCaseSensitive(one, "mixing");
    }
    fail_msg("no mode \"%s\"", mode);
    return NULL;
}

/* The mixing of each mode, by its path from there; values as in the profile. */
static void test_json_mixing(void **state)
{
    static const struct {
        const char *profile, *mode, *said;
    } rows[] = {
        {"studio-panel", "white",
         "{\"type\":\"white\",\"flux_lm\":5200,\"watts\":null,\"temperature\":[[10,2700],[130,4300]"
         ","
         "[255,6500]],\"tint\":[[0,-0.01],[255,0.01]]}"},
        {"studio-panel", "hsi",
         "{\"type\":\"hsi\",\"flux_lm\":4800,\"watts\":null,\"red\":[0.68,0.31],\"green\":[0.19,0."
         "69],"
         "\"blue\":[0.15,0.05],\"white\":[0.3127,0.329],\"transfer\":null}"},
        {"studio-panel", "xy",
         "{\"type\":\"xy\",\"flux_lm\":4500,\"watts\":null,\"x\":[0,0.8],\"y\":[0,0.8],\"gamut\":[]"
         "}"},
        {"studio-panel", "16-bit", "null"},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        char line[100];
        (void)snprintf(line, sizeof line, "fixture profiles/%s.json --format json",
                       rows[i].profile);
        struct ran ran = run_line(line);
        cJSON *root = cJSON_Parse(ran.out);
        assert_non_null(root);
        char *said = cJSON_PrintUnformatted(mixing_of(root, rows[i].mode));
        assert_string_equal(said, rows[i].said);
        cJSON_free(said);
        cJSON_Delete(root);
        ran_free(&ran);
    }
}

/* A lamp by its voltage, and a table of points: as the profile has them, and a lamp's temperature
 * at a tenth of its light: 0.1 to the power of 0.42 / 3.4 (common practice, no source). */
static void test_json_dims(void **state)
{
    struct ran spot = run_line("fixture profiles/tungsten-spot.json --format json");
    struct ran ember = run_line("fixture profiles/ember-downlight.json --format json");
    cJSON *lamp = cJSON_Parse(spot.out);
    cJSON *table = cJSON_Parse(ember.out);
    const cJSON *of = mixing_of(lamp, "dimmed");

    (void)state;
    assert_string_equal(cJSON_GetObjectItemCaseSensitive(of, "type")->valuestring, "dims");
    double full_k = cJSON_GetObjectItemCaseSensitive(of, "lamp_k")->valuedouble;
    CHECK_NEAR("at 10 %", cJSON_GetObjectItemCaseSensitive(of, "lamp_k_at_10_percent")->valuedouble,
               full_k * pow(0.1, 0.42 / 3.4), 0.01);
    assert_true(cJSON_IsBool(cJSON_GetObjectItemCaseSensitive(of, "by_voltage")));
    assert_true(cJSON_IsNull(cJSON_GetObjectItemCaseSensitive(of, "points")));
    of = mixing_of(table, "8-bit");
    assert_true(cJSON_IsNull(cJSON_GetObjectItemCaseSensitive(of, "lamp_k")));
    const cJSON *points = cJSON_GetObjectItemCaseSensitive(of, "points");
    assert_true(cJSON_GetArraySize(points) >= 2);
    assert_int_equal(cJSON_GetArraySize(points->child), 3);
    CHECK_NEAR("the last", points->child->prev->child->valuedouble, 1, 0);
    cJSON_Delete(lamp);
    cJSON_Delete(table);
    ran_free(&spot);
    ran_free(&ember);
}

/* What the answer must say of fixtures made for this test. */
static void check_said(const char *emitters, const char *slots, const char *const *parts)
{
    char path[] = "/tmp/metamer-fixture-XXXXXX";
    char line[64];
    int file = mkstemp(path);

    assert_true(file >= 0);
    (void)dprintf(
        file,
        "{\"metamer\":\"fixture/1\",\"name\":\"f\",\"emitters\":[%s],\"modes\":[{\"name\":"
        "\"m\",\"slots\":[%s]}]}",
        emitters, slots);
    (void)close(file);
    (void)snprintf(line, sizeof line, "fixture %s", path);
    struct ran ran = run_line(line);
    (void)unlink(path);
    if (ran.status != EXIT_DONE)
        fail_msg("%s", ran.err);
    for (; *parts != NULL; parts++)
        CHECK_HOLDS(ran.out, *parts);
    for (const char *at = ran.out; at != NULL; at = strchr(at + 1, '\n')) {
        if (strcspn(at + 1, "\n") > 106) /* 100 columns; a few letters take two bytes and more */
            fail_msg("too wide: %.120s", at);
    }
    assert_null(strstr(ran.out, "bright none looks")); /* an emitter that is dark */
    ran_free(&ran);
}

static void test_said(void **state)
{
    (void)state;
    check_said("{\"name\":\"uv\",\"peak_nm\":385,\"fwhm_nm\":12,\"flux_lm\":0.5,\"watts\":20},"
               "{\"name\":\"red\",\"peak_nm\":630,\"fwhm_nm\":18,\"flux_lm\":80,\"watts\":20},"
               "{\"name\":\"none\",\"peak_nm\":530,\"fwhm_nm\":18,\"flux_lm\":0,\"watts\":20}",
               "\"uv\",\"red\",\"red.fine\",\"none\"",
               (const char *const[]){"Caution: uv radiates below 400 nm", "     0.50     20.0",
                                     "none                 -       -        0     20.0",
                                     "uv, red, red fine, none", NULL});
    check_said("{\"name\":\"a\",\"peak_nm\":440,\"fwhm_nm\":12,\"flux_lm\":5,\"watts\":20},"
               "{\"name\":\"an-emitter-of-a-rather-long-name\",\"peak_nm\":630,\"fwhm_nm\":18,"
               "\"flux_lm\":80,\"watts\":20}",
               "\"a\",\"an-emitter-of-a-rather-long-name\",\"an-emitter-of-a-rather-long-name."
               "fine\",\"a.fine\","
               "{\"fixed\":1},{\"fixed\":255}",
               (const char *const[]){"Caution: how bright a looks says nothing",
                                     "long-name fine, a fine,\n    fixed 1, fixed 255\n", NULL});
}

/* Each colour says what it is known by; the whites are those that are made: tunable-white.json has
 * emitters of 2702 K and 6504 K by its spectra, and nothing outside. */
static void test_knowledge(void **state)
{
    struct ran ran = run_line("fixture profiles/tunable-white.json");

    (void)state;
    CHECK_HOLDS(ran.out, "Whites from 2702 K to 6504 K");
    CHECK_HOLDS(ran.out, "    8000    6504  ");
    ran_free(&ran);
    check_said(
        "{\"name\":\"red\",\"peak_nm\":630,\"fwhm_nm\":18,\"flux_lm\":80,\"watts\":20},"
        "{\"name\":\"lime\",\"x\":0.41,\"y\":0.545,\"flux_lm\":80,\"watts\":20},"
        "{\"name\":\"drawn\",\"spectrum\":[[400,1],[500,1],[700,1]],\"ideal_line\":true,"
        "\"flux_lm\":8,\"watts\":20},"
        "{\"name\":\"warm\",\"spectrum\":[[400,1],[500,1],[700,3]],\"flux_lm\":8,"
        "\"watts\":20}",
        "\"red\",\"lime\",\"drawn\",\"warm\"",
        (const char *const[]){"4.0  peak and width: an ideal line\nlime ", "4.0  x, y\ndrawn ",
                              "0.4  peak and width: an ideal line\nwarm", "0.4  spectrum\n", NULL});
}

static void test_bad(void **state)
{
    (void)state;
    expect_failure("fixture", EXIT_USAGE, "metamer fixture FILE");
    expect_failure("fixture nowhere.json", EXIT_USAGE, "nowhere.json: cannot be opened");
    expect_failure("fixture examples/hall.json", EXIT_USAGE,
                   "found \"rig/1\", allowed is \"fixture/1\"");
    expect_failure("fixture profiles/five-colour-wash.json --format csv", EXIT_USAGE,
                   "allowed are: table, json");
}

/* L* = 50 is 18.42 % of full light (ISO/CIE 11664-4, 116 f(Y) - 16); s at half is half, at a tenth
 * 3 c^2 - 2 c^3 = 2.8 %. */
static void test_curves(void **state)
{
    struct ran ran = run_line("fixture profiles/five-colour-batten.json --curve");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "\nCurves, light by code: s of red; lightness of green, cyan, lime; table "
                         "(blue) of blue; linear of\n  dimmer\n");
    CHECK_HOLDS(ran.out, "\n    10.0     2.800      1.126         3.000    10.000\n");
    CHECK_HOLDS(ran.out, "\n    50.0    50.000     18.419        36.000    50.000\n");
    CHECK_HOLDS(ran.out, "\ntable (blue): no light up to 2.00 % of the code.\n");
    ran_free(&ran);
    ran = run_line("fixture profiles/five-colour-batten.json --format json");
    CHECK_HOLDS(ran.out, "{ \"type\": \"lightness\" }");
    CHECK_HOLDS(ran.out, "\"dimmer_curve\"");
    ran_free(&ran);
    expect_failure("fixture profiles/five-colour-batten.json --curve --format json", EXIT_USAGE,
                   "exclude each other");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_profiles),    cmocka_unit_test(test_json),
        cmocka_unit_test(test_json_mixing), cmocka_unit_test(test_json_dims),
        cmocka_unit_test(test_said),        cmocka_unit_test(test_knowledge),
        cmocka_unit_test(test_bad),         cmocka_unit_test(test_curves),
    };

    return cmocka_run_group_tests_name("fixture", tests, enter_source, NULL);
}
