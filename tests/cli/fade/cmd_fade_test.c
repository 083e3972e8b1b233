/* SPDX-License-Identifier: MIT */
/* metamer fade: its report, its exit status, and what it refuses. */
#include "support/command.h"

static void test_report(void **state)
{
    struct ran ran = run_line("fade examples/evening.json --report --cue 30");

    (void)state;
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.out, "cue 30, house out: up 4 s, down 5 s");
    CHECK_HOLDS(ran.out, "8 bits: warm goes from 1 to 0");
    CHECK_HOLDS(ran.out, "cure: the mode \"16-bit\" of its fixture");
    CHECK_HOLDS(ran.out, "CIEDE2000");
    assert_string_equal(ran.err, "");
    ran_free(&ran);
}

static void test_formats(void **state)
{
    struct ran table = run_line("fade examples/evening.json");
    struct ran csv = run_line("fade examples/evening.json --format csv --cue 30");
    struct ran json = run_line("fade examples/evening.json --format json --cue 30");

    (void)state;
    CHECK_HOLDS(table.out, "lamp light to moon");
    CHECK_HOLDS(csv.out, "cue,unit,bits,step_de2000");
    CHECK_HOLDS(csv.out, "30,hall-right,8,");
    CHECK_HOLDS(json.out, "\"unit\": \"hall-right\"");
    CHECK_HOLDS(json.out, "\"cause\": \"codes\"");
    ran_free(&table);
    ran_free(&csv);
    ran_free(&json);
}

/* The show's dimming, and what it would be by another; only units with a dimmer beside emitters. */
static void test_dimming(void **state)
{
    struct ran by_show = run_line("fade tests/data/dimming/show.json --cue 1 --format csv");
    struct ran json = run_line("fade tests/data/dimming/show.json --cue 1 --format json");
    struct ran by_option = run_line("fade tests/data/dimming/show.json --cue 1 --report "
                                    "--dimming emitters");
    struct ran usual =
        run_line("fade tests/data/dimming/show.json --cue 1 --report --dimming finest");

    (void)state;
    assert_int_equal(by_show.status, 0);
    CHECK_HOLDS(by_show.out, "left_dark_delta_uv,dimming\n1,narrow,8,");
    CHECK_HOLDS(by_show.out, ",dimmer\n1,mixed,8,");
    CHECK_HOLDS(by_show.out, ",dimmer\n1,plain,16,");
    CHECK_HOLDS(by_show.out, ",\n1,panel,8,");
    CHECK_HOLDS(by_show.out, ",dimmer\n1,panel-2,8,");
    CHECK_HOLDS(json.out, "\"dimming\": \"dimmer\"");
    CHECK_HOLDS(json.out, "\"dimming\": null");
    CHECK_HOLDS(by_option.out, "dimming: the emitters, while the dimmer stays at full");
    CHECK_HOLDS(by_option.out, "cure: the dimming \"finest\"");
    assert_null(strstr(usual.out, "dimming"));
    ran_free(&by_show);
    ran_free(&json);
    ran_free(&by_option);
    ran_free(&usual);
}

static void test_tolerance(void **state)
{
    struct ran missed = run_line("fade examples/evening.json --cue 30 --tolerance 1");
    struct ran met = run_line("fade examples/evening.json --cue 30 --tolerance 5");

    (void)state;
    assert_int_equal(missed.status, 1);
    assert_int_equal(met.status, 0);
    ran_free(&missed);
    ran_free(&met);
}

static void test_dither_caution(void **state)
{
    struct ran ran = run_line("fade examples/evening.json --cue 30 --dither");

    (void)state;
    CHECK_HOLDS(ran.err, "seizures in photosensitive people");
    ran_free(&ran);
}

#define RIG(place)                                                                                 \
    "{\"metamer\": \"rig/1\", \"name\": \"r\", \"units\": ["                                       \
    "{\"name\": \"a\", \"fixture\": \"@/profiles/tunable-white.json\", \"mode\": \"8-bit\"" place  \
    "}]}"
#define SHOW                                                                                       \
    "{\"metamer\": \"show/1\", \"name\": \"s\", \"rig\": \"rig.json\", \"colours\": {\"low\": "    \
    "{\"cct_k\": "                                                                                 \
    "3000}, \"high\": {\"cct_k\": 5000}}, \"cues\": ["                                             \
    "{\"number\": 1, \"up_s\": 0, \"set\": [{\"units\": [\"a\"], \"colour\": \"low\", "            \
    "\"output\": 0.2}]},"                                                                          \
    "{\"number\": 2, \"up_s\": 3, \"set\": [{\"units\": [\"a\"], \"colour\": \"high\", "           \
    "\"output\": 1}]}]}"

static void put(const char *folder, const char *name, const char *text)
{
    char path[128];

    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static void put_away(const char *folder)
{
    static const char *const names[] = {"rig.json", "show.json"};
    char path[128];

    for (size_t i = 0; i < COUNT(names); i++) {
        (void)snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        (void)unlink(path);
    }
    (void)rmdir(folder);
}

/* "@" in a pattern stands for a folder. */
static void put_for_at(char *text, size_t room, const char *pattern, const char *folder)
{
    size_t used = 0;

    for (const char *c = pattern; *c != '\0'; c++)
        used += *c == '@' ? (size_t)snprintf(text + used, room - used, "%s", folder)
                          : (size_t)snprintf(text + used, room - used, "%c", *c);
    assert_true(used < room);
}

/* What needs no slots is the same before a rig is laid out and after. */
static void test_without_addresses(void **state)
{
    static const char *const rigs[] = {RIG(", \"universe\": 1, \"address\": 1"), RIG("")};
    static const char *const lines[] = {"fade @/show.json --report", "fade @/show.json",
                                        "load @/rig.json --show @/show.json"};
    char folder[] = "/tmp/metamer-fade-XXXXXX";
    char source[512];
    char text[1200];
    char *first[COUNT(lines)] = {NULL};

    (void)state;
    assert_non_null(mkdtemp(folder));
    assert_non_null(getcwd(source, sizeof source));
    put(folder, "show.json", SHOW);
    for (size_t r = 0; r < COUNT(rigs); r++) {
        put_for_at(text, sizeof text, rigs[r], source);
        put(folder, "rig.json", text);
        for (size_t i = 0; i < COUNT(lines); i++) {
            put_for_at(text, sizeof text, lines[i], folder);
            struct ran ran = run_line(text);
            if (ran.status != 0)
                fail_msg("%s: exit %d: %s", text, ran.status, ran.err);
            if (r == 0)
                first[i] = strdup(ran.out);
            else
                assert_string_equal(ran.out, first[i]);
            ran_free(&ran);
        }
    }
    (void)snprintf(text, sizeof text, "frames %s/show.json", folder);
    expect_failure(text, 2,
                   "no unit of the rig \"r\" has a universe and an address; \"metamer layout\"");
    (void)snprintf(text, sizeof text, "cues %s/show.json", folder);
    expect_failure(text, 2, "no unit of the rig \"r\" has a universe and an address");
    for (size_t i = 0; i < COUNT(lines); i++)
        free(first[i]);
    put_away(folder);
}

/* Said, and not done in silence: what has no 8-bit channels is not dithered. */
static void test_dither_of_nothing(void **state)
{
    static const char rig[] =
        "{\"metamer\": \"rig/1\", \"name\": \"r\", \"units\": [{\"name\": \"a\", \"fixture\": "
        "\"@/profiles/tunable-white.json\", \"mode\": \"16-bit\"}]}";
    char folder[] = "/tmp/metamer-fade-XXXXXX";
    char source[512];
    char text[1200];

    (void)state;
    assert_non_null(mkdtemp(folder));
    assert_non_null(getcwd(source, sizeof source));
    put_for_at(text, sizeof text, rig, source);
    put(folder, "rig.json", text);
    put(folder, "show.json", SHOW);
    put_for_at(text, sizeof text, "fade @/show.json --dither", folder);
    struct ran ran = run_line(text);
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.err, "--dither changes nothing: no emitter of the rig has an 8-bit channel");
    ran_free(&ran);
    put_away(folder);
}

/* A picture alone on the standard output, of the cue that is named; without, of that whose step is
 * the largest. The same line gives the same bytes. */
static void test_picture(void **state)
{
    static const char line[] = "fade examples/evening.json --cue 40 --picture -";
    struct ran first = run_line(line), again = run_line(line);
    struct ran worst = run_line("fade examples/evening.json --tolerance 2 --picture - --width 600");

    (void)state;
    if (strstr(first.err, "pictures cannot be drawn") == NULL) {
        assert_int_equal(first.status, 0);
        assert_true(strncmp(first.out, "<?xml", 5) == 0 && strstr(first.out, "of unit") == NULL);
        assert_string_equal(first.out, again.out);
        CHECK_HOLDS(first.out, "cue 40, lamp light to moon");
        CHECK_HOLDS(first.out, "None of 8 units steps visibly");
        assert_int_equal(worst.status, 1); /* the tolerance is missed, drawn or not */
        CHECK_HOLDS(worst.out, "cue 10, house open");
    }
    ran_free(&first);
    ran_free(&again);
    ran_free(&worst);
}

static void test_refusals(void **state)
{
    (void)state;
    expect_failure("fade", 2, "something is missing");
    expect_failure("fade none.json", 2, "none.json");
    expect_failure("fade examples/hall.json", 2, "show/1");
    expect_failure("fade examples/evening.json --cue 11", 2, "the next to it are 10 and 20");
    expect_failure("fade examples/evening.json --from 10", 2, "--from goes with --cue");
    expect_failure("fade examples/evening.json --cue 20 --from 11", 2, "no cue 11");
    expect_failure("fade examples/evening.json --picture a.bmp", 2, ".svg, .png and .pdf");
    expect_failure("fade examples/evening.json --width 600", 2, "--width goes with --picture");
    expect_failure("fade examples/evening.json --refresh 500", 2, "ANSI E1.11 allows at most");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_report),
        cmocka_unit_test(test_formats),
        cmocka_unit_test(test_dimming),
        cmocka_unit_test(test_tolerance),
        cmocka_unit_test(test_dither_caution),
        cmocka_unit_test(test_picture),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_without_addresses),
        cmocka_unit_test(test_dither_of_nothing),
    };

    return cmocka_run_group_tests_name("metamer fade", tests, enter_source, NULL);
}
