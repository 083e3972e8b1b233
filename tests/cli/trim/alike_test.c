/* SPDX-License-Identifier: MIT */
/* metamer trim --alike: each set of units is trimmed as it would be alone, and later rounds know
 * what each was trimmed to. What a set alone gives is the outside figure, by --units. */
#include "support/command.h"

#include <cjson/cJSON.h>
#include <unistd.h>

/* Two kinds, three in groups of which one lies in the other, one in none. */
static const char rig_text[] =
    "{ \"metamer\": \"rig/1\", \"name\": \"stand\", \"groups\": { \"row\": [\"a\", \"b\", \"c\"], "
    "\"left\": [\"a\", \"b\"] }, \"units\": ["
    "{ \"name\": \"a\", \"fixture\": \"three-colour-wash.json\", \"mode\": \"8-bit\" },"
    "{ \"name\": \"b\", \"fixture\": \"three-colour-wash.json\", \"mode\": \"16-bit\" },"
    "{ \"name\": \"c\", \"fixture\": \"tunable-white.json\", \"mode\": \"16-bit\" },"
    "{ \"name\": \"d\", \"fixture\": \"three-colour-wash.json\", \"mode\": \"16-bit\" },"
    "{ \"name\": \"e\", \"fixture\": \"tunable-white.json\", \"mode\": \"16-bit\" } ] }";

#define HEAD "# uncertainty xy: 0.001\n# uncertainty output: 0.02\n"

static const char readings_text[] =
    HEAD "unit,emitter,x,y,lux\n"
         "a,red,0.690,0.305,69\na,green,0.180,0.720,115\na,blue,0.140,0.060,29\n"
         "b,red,0.695,0.300,60\nb,green,0.175,0.725,105\nb,blue,0.138,0.062,28\n"
         "c,warm,0.460,0.410,200\nc,cool,0.313,0.329,220\n"
         "d,red,0.688,0.306,30\nd,green,0.182,0.718,55\nd,blue,0.142,0.058,14\n";

static char folder[64];

static void put(const char *name, const char *text)
{
    char path[128];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static int begin(void **state)
{
    (void)snprintf(folder, sizeof folder, "/tmp/metamer-alike-XXXXXX");
    if (mkdtemp(folder) == NULL || enter_source(state) != 0)
        return -1;
    put("rig.json", rig_text);
    put("a.csv", readings_text);
    return 0;
}

static int end(void **state)
{
    static const char *const names[] = {"rig.json", "a.csv",  "b.csv",
                                        "c.json",   "k.json", "k.json.bak"};
    char path[128];

    (void)state;
    for (size_t i = 0; i < COUNT(names); i++) {
        (void)snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        (void)unlink(path);
    }
    return rmdir(folder);
}

/* metamer trim of the rig and these readings. */
static struct ran trim(const char *readings, const char *more)
{
    char line[512];

    (void)snprintf(line, sizeof line, "trim %s/rig.json %s/%s --cct 3000 %s", folder, folder,
                   readings, more);
    return run_line(line);
}

static cJSON *trim_json(const char *readings, const char *more)
{
    char options[300];

    (void)snprintf(options, sizeof options, "%s --format json", more);
    struct ran ran = trim(readings, options);
    cJSON *root = cJSON_Parse(ran.out);
    if (root == NULL)
        fail_msg("%s: %s%s", options, ran.out, ran.err);
    ran_free(&ran);
    return root;
}

static double number(const cJSON *object, const char *key)
{
    return cJSON_GetNumberValue(cJSON_GetObjectItem(object, key));
}

/* A way to be alike, and the units of its sets. */
static const struct row {
    const char *way;
    const char *set[3]; /* as --units takes them */
    const char *name[3];
} rows[] = {
    {"kind",
     {"kind:three-colour wash", "kind:tunable white"},
     {"three-colour wash", "tunable white"}},
    {"group", {"a,b", "c", "d"}, {"left", "row", NULL}},
};

static void compare_set(const cJSON *set, const struct row *row, size_t i, const char *more)
{
    static const char *const keys[] = {"flux_lm", "asked_flux_lm", "without_limiting_flux_lm",
                                       "common_white_delta_uv", "output_on_meter"};
    char alone[200];

    (void)snprintf(alone, sizeof alone, "%s --units '%s'", more, row->set[i]);
    cJSON *root = trim_json("a.csv", alone);
    for (size_t k = 0; k < COUNT(keys); k++) {
        if (cJSON_IsNull(cJSON_GetObjectItem(root, keys[k])))
            assert_true(cJSON_IsNull(cJSON_GetObjectItem(set, keys[k])));
        else
            CHECK_NEAR(keys[k], number(set, keys[k]), number(root, keys[k]), 1e-9);
    }
    assert_true(cJSON_Compare(cJSON_GetObjectItem(set, "common_white"),
                              cJSON_GetObjectItem(root, "common_white"), true));
    assert_true(cJSON_Compare(cJSON_GetObjectItem(set, "limits"),
                              cJSON_GetObjectItem(root, "limits"), true));
    cJSON_Delete(root);
}

static void test_row(void **state)
{
    const struct row *row = *state;
    static const char *const with[] = {"", "--together", "--output 60%"};

    for (size_t w = 0; w < COUNT(with); w++) {
        char more[100];
        (void)snprintf(more, sizeof more, "%s --alike %s", with[w], row->way);
        cJSON *root = trim_json("a.csv", more);
        const cJSON *sets = cJSON_GetObjectItem(root, "sets");
        size_t count = row->set[2] != NULL ? 3 : 2;

        assert_int_equal(cJSON_GetArraySize(sets), count);
        assert_null(cJSON_GetObjectItem(root, "flux_lm")); /* there is no one output */
        for (size_t i = 0; i < count; i++) {
            const cJSON *set = cJSON_GetArrayItem(sets, (int)i);
            const char *name = cJSON_GetStringValue(cJSON_GetObjectItem(set, "name"));

            assert_int_equal(name == NULL, row->name[i] == NULL);
            if (name != NULL)
                assert_string_equal(name, row->name[i]);
            compare_set(set, row, i, with[w]);
        }
        cJSON_Delete(root);
    }
}

/* All is what is done where nothing is said; the weakest unit then limits all. */
static void test_all(void **state)
{
    cJSON *said = trim_json("a.csv", "--alike all");
    cJSON *usual = trim_json("a.csv", "");
    cJSON *kind = trim_json("a.csv", "--alike kind");
    const cJSON *sets = cJSON_GetObjectItem(kind, "sets");

    (void)state;
    assert_true(cJSON_Compare(said, usual, true));
    assert_null(cJSON_GetObjectItem(said, "sets"));
    for (int i = 0; i < 2; i++)
        assert_true(number(cJSON_GetArrayItem(sets, i), "flux_lm") >=
                    number(said, "flux_lm") - 1e-6);
    assert_true(number(cJSON_GetArrayItem(sets, 1), "flux_lm") > 1.2 * number(said, "flux_lm"));
    cJSON_Delete(said);
    cJSON_Delete(usual);
    cJSON_Delete(kind);
}

/* The sets are named, and the last line says what was meant. */
static void test_said(void **state)
{
    (void)state;
    struct ran ran = trim("a.csv", "--alike group --together");
    expect_said(ran.out, "Group left a ");
    expect_said(ran.out, "Group row c ");
    expect_said(ran.out, "Units of no group d ");
    expect_said(ran.out, "Group left: Common output:");
    expect_said(ran.out, "After trimming, each by the white of its group,");
    expect_said(ran.out,
                "Not read, so not trimmed: e. Meant to be alike: the units of each group,");
    ran_free(&ran);
    ran = trim("a.csv", "--alike kind");
    expect_said(ran.out, "Kind tunable white: Common output:");
    expect_said(ran.out, "Meant to be alike: the units of each kind,");
    ran_free(&ran);
    ran = trim("a.csv", "--units a,b");
    expect_said(ran.out, "Meant to be alike: all these units,");
    ran_free(&ran);
    ran = trim("a.csv", "--alike group --format csv");
    CHECK_HOLDS(ran.out, "unit,alike_with,before_read");
    CHECK_HOLDS(ran.out, "\nc,row,no,");
    ran_free(&ran);
}

/* A later round goes on from what each set was trimmed to, and begins anew where sets are others.
 */
static void test_again(void **state)
{
    char write[200];

    (void)state;
    (void)snprintf(write, sizeof write, "--together --alike group --steps 20 --write %s/k.json",
                   folder);
    cJSON *first = trim_json("a.csv", write);
    put("b.csv",
        HEAD "unit,codes,x,y,lux\na,red=200 green=200 blue=30 dimmer=200,0.4310,0.3990,60\n");
    (void)snprintf(write, sizeof write,
                   "--together --alike group --steps 20 --again --calibration %s/k.json", folder);
    cJSON *again = trim_json("b.csv", write);
    for (int i = 0; i < 3; i++) {
        const cJSON *then = cJSON_GetArrayItem(cJSON_GetObjectItem(first, "sets"), i);
        const cJSON *now = cJSON_GetArrayItem(cJSON_GetObjectItem(again, "sets"), i);

        if (i == 0)
            continue; /* it was read, and may give less */
        assert_true(cJSON_IsTrue(cJSON_GetObjectItem(now, "output_kept")));
        CHECK_NEAR("output", number(now, "flux_lm"), number(then, "flux_lm"), 1e-6);
        assert_true(cJSON_Compare(cJSON_GetObjectItem(then, "common_white"),
                                  cJSON_GetObjectItem(now, "common_white"), true));
    }
    cJSON_Delete(again);
    (void)snprintf(write, sizeof write, "--together --steps 20 --again --calibration %s/k.json",
                   folder);
    again = trim_json("b.csv", write);
    assert_true(cJSON_IsFalse(cJSON_GetObjectItem(again, "output_kept")));
    cJSON_Delete(again);
    cJSON_Delete(first);
}

static void test_refused(void **state)
{
    char line[300];

    (void)state;
    expect_failure("trim tests/data/trim/rig.json examples/hall-readings.csv --cct 3000 --alike "
                   "pair",
                   EXIT_USAGE, "--alike");
    expect_failure("trim examples/hall.json examples/hall-readings.csv examples/hall-readings.csv "
                   "--cct 3000 --compare --alike kind",
                   EXIT_USAGE, "--alike");
    (void)snprintf(line, sizeof line, "trim %s/rig.json %s/a.csv --cct 3000 --alike kind --units e",
                   folder, folder);
    expect_failure(line, EXIT_USAGE, "no unit that is chosen is calibrated");
    put("c.json", "{ \"metamer\": \"rig/1\", \"name\": \"bare\", \"units\": [{ \"name\": \"a\", "
                  "\"fixture\": \"tunable-white.json\", \"mode\": \"8-bit\" }] }");
    put("b.csv", HEAD "unit,emitter,x,y,lux\na,warm,0.46,0.41,390\na,cool,0.313,0.329,450\n");
    (void)snprintf(line, sizeof line, "trim %s/c.json %s/b.csv --cct 3000 --alike group", folder,
                   folder);
    expect_failure(line, EXIT_USAGE, "the rig \"bare\" has no groups");
}

int main(void)
{
    static const struct CMUnitTest plain[] = {
        cmocka_unit_test(test_all), cmocka_unit_test(test_said), cmocka_unit_test(test_again),
        cmocka_unit_test(test_refused)};
    struct CMUnitTest tests[COUNT(plain) + COUNT(rows)];

    memcpy(tests, plain, sizeof plain);
    for (size_t i = 0; i < COUNT(rows); i++)
        tests[COUNT(plain) + i] = (struct CMUnitTest){.name = rows[i].way,
                                                      .test_func = test_row,
                                                      .initial_state = (void *)(uintptr_t)&rows[i]};
    return cmocka_run_group_tests_name("trim --alike", tests, begin, end);
}
