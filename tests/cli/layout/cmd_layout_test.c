/* SPDX-License-Identifier: MIT */
/* metamer layout, load and sheet: what a technician types and reads. */
#include "support/command.h"

#include "base/file.h"

#define RIG "examples/hall.json"

/* A rig of ours in a folder of its own, removed with what is kept beside it. */
struct scratch {
    char folder[40];
    char path[64];
};

static const char small[] =
    "{ \"metamer\": \"rig/1\", \"name\": \"small\",\n"
    "  \"circuits\": [ { \"name\": \"C1\", \"rated_a\": 2, \"voltage_v\": 230 } ],\n"
    "  \"supplies\": [ { \"name\": \"S1\", \"ports\": 2, \"port_w\": 100, \"total_w\": 150,\n"
    "    \"circuit\": \"C1\" } ],\n"
    "  \"units\": [\n"
    "    { \"name\": \"a\", \"fixture\": \"tunable-white.json\", \"mode\": \"16-bit\" },\n"
    "    { \"name\": \"b\", \"fixture\": \"tunable-white.json\", \"mode\": \"16-bit\",\n"
    "      \"universe\": 1, \"address\": 3 } ] }\n";

static struct scratch scratch_make(const char *text)
{
    struct scratch scratch = {.folder = "/tmp/metamer-layout-XXXXXX"};
    mtm_error error = {""};

    assert_non_null(mkdtemp(scratch.folder));
    (void)snprintf(scratch.path, sizeof scratch.path, "%s/rig.json", scratch.folder);
    assert_int_equal(mtmi_file_write(scratch.path, text, strlen(text), &error), MTM_OK);
    return scratch;
}

static void scratch_remove(const struct scratch *scratch)
{
    static const char *const ends[] = {"", ".bak", ".2.bak", ".new", ".show"};
    char path[80];

    for (size_t i = 0; i < COUNT(ends); i++) {
        (void)snprintf(path, sizeof path, "%s%s", scratch->path, ends[i]);
        (void)unlink(path);
    }
    assert_int_equal(rmdir(scratch->folder), 0);
}

static char *read_beside(const struct scratch *scratch, const char *end)
{
    char path[80];
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    (void)snprintf(path, sizeof path, "%s%s", scratch->path, end);
    if (mtmi_file_read(path, 100000, &text, &length, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return text;
}

static struct ran run_on(const char *command, const struct scratch *scratch, const char *options)
{
    char line[300];

    (void)snprintf(line, sizeof line, "%s %s %s", command, scratch->path, options);
    return run_line(line);
}

static void expect_bad(const char *command, const struct scratch *scratch, const char *options,
                       const char *part)
{
    char line[300];

    (void)snprintf(line, sizeof line, "%s %s %s", command, scratch->path, options);
    expect_failure(line, EXIT_USAGE, part);
}

static void test_shown_not_written(void **state)
{
    struct scratch scratch = scratch_make(small);
    struct ran ran = run_on("layout", &scratch, "");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "1 of 1 supplies in use");
    CHECK_HOLDS(ran.out, "8 slots in 1 universe; no layout does with fewer");
    CHECK_HOLDS(ran.out, "2 free slots between units, beside fixed addresses");
    CHECK_HOLDS(ran.out, "1 unit to be addressed by hand");
    CHECK_HOLDS(ran.out, "open        1/7         7-10");
    CHECK_HOLDS(ran.out, "2 units to be plugged by hand");
    CHECK_HOLDS(ran.out, "nothing is written yet");
    CHECK_HOLDS(ran.out, "local electrical code");
    ran_free(&ran);
    char *text = read_beside(&scratch, "");
    assert_string_equal(text, small);
    free(text);
    scratch_remove(&scratch);
}

static void test_written_and_kept(void **state)
{
    struct scratch scratch = scratch_make(small);
    struct ran ran = run_on("layout", &scratch, "--write");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "rig.json.bak\n");
    ran_free(&ran);
    char *text = read_beside(&scratch, ".bak");
    assert_string_equal(text, small);
    free(text);
    text = read_beside(&scratch, "");
    CHECK_HOLDS(text, "\"address\": 7");
    CHECK_HOLDS(text, "\"port\": 2");
    free(text);

    ran = run_on("layout", &scratch, "--write"); /* all done: no second copy */
    CHECK_HOLDS(ran.out, "nothing is to be changed");
    assert_null(strstr(ran.out, ".bak"));
    ran_free(&ran);

    ran = run_on("layout", &scratch, "--move b --to 2/509 --write");
    CHECK_HOLDS(ran.out, "b                                     1/3         2/509       509-512");
    CHECK_HOLDS(ran.out, "rig.json.2.bak\n");
    ran_free(&ran);
    text = read_beside(&scratch, ".bak");
    assert_string_equal(text, small); /* the first copy is as it was */
    free(text);
    scratch_remove(&scratch);
}

static void test_other_file(void **state)
{
    struct scratch scratch = scratch_make(small);
    char options[120];
    struct ran ran;

    (void)state;
    (void)snprintf(options, sizeof options, "--out %s.new --add-supply S2", scratch.path);
    ran = run_on("layout", &scratch, options);
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "supply \"S2\" is added: 2 ports of 100 W, 150 W in all");
    ran_free(&ran);
    char *text = read_beside(&scratch, ".new");
    CHECK_HOLDS(text, "\"name\": \"S2\"");
    free(text);
    expect_bad("layout", &scratch, options, "is there already and is not overwritten");
    scratch_remove(&scratch);
}

static void test_moves(void **state)
{
    struct ran ran = run_line("layout " RIG " --move apron-wash --to 1/20 --port hall/4");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "3 units to be addressed by hand");
    CHECK_HOLDS(ran.out, "apron-wash                            1/82        1/20        20-25");
    CHECK_HOLDS(ran.out, "stage/9           hall/4");
    ran_free(&ran);
    ran = run_line("layout examples/foyer.json");
    CHECK_HOLDS(ran.out, "2 of 3 supplies in use; no layout does with fewer");
    CHECK_HOLDS(ran.out, "60 free slots between units, beside fixed addresses");
    CHECK_HOLDS(ran.out, "ceiling-5                             open        1/9         9-12");
    ran_free(&ran);
    ran = run_line("layout " RIG " --renumber all --format csv");
    CHECK_HOLDS(ran.out, "hall-left,4,60,2,1,hall,1,1,88,hall,1,yes,no\n");
    ran_free(&ran);
    ran = run_line("layout " RIG " --renumber hall --replug hall-right --format json");
    CHECK_HOLDS(ran.out, "\"universes\": 1,");
    CHECK_HOLDS(ran.out, "\"universes_proven\": true");
    ran_free(&ran);
}

static const struct row {
    const char *name; /* options */
    const char *part;
} bad[] = {
    {"--move nobody --to 1/1", "the rig has no unit \"nobody\""},
    {"--move a", "--move goes with --to or --port"},
    {"--to 1/1", "goes with --move"},
    {"--port S1/1", "goes with --move"},
    {"--move a --to 1", "--to: found \"1\", allowed is UNIVERSE/ADDRESS"},
    {"--move a --to 1/513", "--to: found \"1/513\""},
    {"--move a --to 64000/1", "--to: found \"64000/1\""},
    {"--move a --to 1.5/1", "--to: found \"1.5/1\""},
    {"--move a --to 1/510", "its mode has 4 slots, so allowed is 1 to 509"},
    {"--move a --port S2/1", "--port: the rig has no supply \"S2\"; the nearest is \"S1\""},
    {"--move a --port S1/3", "found port 3, allowed is 1 to 2"},
    {"--renumber c", "--renumber: the rig has no unit \"c\""},
    {"--add-supply S1", "--add-supply: the rig has a supply \"S1\" already"},
    {"--add-supply S2:x:60:600", "--add-supply: found \"S2:x:60:600\""},
    {"--add-supply S2:513:60:600", "--add-supply: found \"S2:513:60:600\""},
    {"--add-supply S2:6:-1:600", "found -1 W a port"},
    {"--rating 50", "with 50 % of each rating: unit \"a\" takes 60 W, but even the strongest"},
    {"--write --out x.json", "exclude each other"},
    {"--universe 64000", "--universe"},
};

static void test_bad(void **state)
{
    const struct row *row = *state;
    struct scratch scratch = scratch_make(small);

    expect_bad("layout", &scratch, row->name, row->part);
    scratch_remove(&scratch);
}

static void test_load(void **state)
{
    struct scratch scratch = scratch_make(small);
    struct ran ran;

    (void)state;
    ran = run_on("layout", &scratch, "--write");
    ran_free(&ran);
    ran = run_on("load", &scratch, "");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "S1/1                           100 W    60.0 W   60 %");
    CHECK_HOLDS(ran.out, "S1 in all                      150 W   120.0 W   80 %");
    /* 120 W / 0.85 / 0.9 / 230 V = 141 W, 157 VA, 0.682 A: no more digits than what was assumed has
     */
    CHECK_HOLDS(ran.out, " 140 W    160 VA");
    CHECK_HOLDS(ran.out, "  that is                               0.68 A  ");
    CHECK_HOLDS(ran.out, "    may carry 1.6 A, 80 % of its 2 A\n");
    CHECK_HOLDS(ran.out, "(standby)     not stated: no file has standby_w\n");
    CHECK_HOLDS(ran.out, "85 % assumed");
    CHECK_HOLDS(ran.out, "0.9 assumed");
    CHECK_HOLDS(ran.out, "decide\n");
    ran_free(&ran);
    ran = run_on("load", &scratch, "--rating 70 --reserve 30");
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "all full: S1 in all carries 120.0 W, may carry 105 W");
    CHECK_HOLDS(ran.out, "all full: circuit C1 carries 0.68 A, may carry 0.6 A");
    ran_free(&ran);
    ran = run_on("load", &scratch, "--format csv");
    CHECK_HOLDS(ran.out, "all full,port,S1,1,1,60.000,,,,100,1,0.6000,no\n");
    CHECK_HOLDS(ran.out, "all full,rig,small,,2,120.000,140.000,160.000,,,,,\n");
    ran_free(&ran);
    ran = run_on("load", &scratch, "--format json");
    CHECK_HOLDS(ran.out, "\"case\": \"white 4000 K\"");
    ran_free(&ran);
    ran = run_line("load " RIG " --show examples/evening.json --rating 40");
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "cue, at its fullest");
    CHECK_HOLDS(ran.out, "  70 house up, bright");
    CHECK_HOLDS(ran.out, "60 % OVER hall/1\n");
    CHECK_HOLDS(ran.out, "  70 house up, bright: hall in all carries 179.9 W, may carry 160 W\n");
    ran_free(&ran);
    expect_bad("load", &scratch, "--show nothing.json", "nothing.json");
    expect_bad("load", &scratch, "--power-factor 2", "--power-factor");
    expect_bad("load", &scratch, "--calibration nothing.json", "nothing.json");
    scratch_remove(&scratch);
}

/* A long name is cut, the port behind it is not: two ports never look alike. */
static void test_load_of_long_names(void **state)
{
    struct scratch scratch = scratch_make(
        "{\"metamer\": \"rig/1\", \"name\": \"long\", \"supplies\": [{\"name\": "
        "\"a supply whose name is longer than its column\", \"ports\": 12, \"port_w\": 30, "
        "\"total_w\": 900}], \"units\": [{\"name\": \"a\", \"fixture\": "
        "\"tunable-white.json\", \"mode\": \"8-bit\", \"supply\": "
        "\"a supply whose name is longer than its column\", \"port\": 11}]}");
    struct ran ran = run_on("load", &scratch, "");

    (void)state;
    assert_int_equal(ran.status, EXIT_MISSED);
    CHECK_HOLDS(ran.out, "  a supply whose name i…/11 ");
    CHECK_HOLDS(ran.out, "  a supply whose na… in all ");
    CHECK_HOLDS(ran.out, "all full: a supply whose…/11 carries 60.0 W, may carry 30 W");
    ran_free(&ran);
    scratch_remove(&scratch);
}

/* A unit of 60 W on a port of 30 W: the show keeps to the port where it is told to. */
static void test_frames_within_load(void **state)
{
    static const char rig[] =
        "{\"metamer\": \"rig/1\", \"name\": \"weak\", \"supplies\": [{\"name\": \"S1\", "
        "\"ports\": 1, \"port_w\": 30, \"total_w\": 90}], \"units\": [{\"name\": \"a\", "
        "\"fixture\": \"tunable-white.json\", \"mode\": \"8-bit\", \"universe\": 1, "
        "\"address\": 1, \"supply\": \"S1\", \"port\": 1}]}";
    static const char show[] =
        "{\"metamer\": \"show/1\", \"name\": \"s\", \"rig\": \"rig.json\", \"colours\": {\"w\": "
        "{\"cct_k\": 4000}}, \"cues\": [{\"number\": 1, \"text\": \"up\", \"up_s\": 1, \"set\": "
        "[{\"group\": \"all\", \"colour\": \"w\", \"output\": 1}]}]}";
    struct scratch scratch = scratch_make(rig);
    char path[80];
    char line[200];
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s.show", scratch.path);
    assert_int_equal(mtmi_file_write(path, show, strlen(show), &error), MTM_OK);
    (void)snprintf(line, sizeof line, "frames %s", path);
    struct ran plain = run_line(line);
    (void)snprintf(line, sizeof line, "frames %s --within-load", path);
    struct ran within = run_line(line);
    assert_int_equal(plain.status, EXIT_DONE);
    assert_int_equal(within.status, EXIT_DONE);
    CHECK_HOLDS(plain.err, "metamer frames: overload: cue 1 up: port 1 of supply S1 would carry "
                           "60.0 W, may carry 30 W");
    CHECK_HOLDS(plain.err, "--within-load keeps to the ratings");
    CHECK_HOLDS(plain.err, "local electrical code");
    assert_string_equal(within.err, "");
    (void)snprintf(line, sizeof line, "play %s --to 127.0.0.1 --port 5570 --seconds 0.1", path);
    struct ran played = run_line(line);
    assert_int_equal(played.status, EXIT_DONE);
    CHECK_HOLDS(played.err, "metamer play: overload: cue 1 up: port 1 of supply S1");
    ran_free(&played);
    assert_true(strcmp(plain.out, within.out) != 0);
    assert_int_equal(strncmp(plain.out, within.out, 80), 0); /* the dark beginning is the same */
    (void)snprintf(line, sizeof line, "load %s --show %s", scratch.path, path);
    struct ran load = run_line(line);
    assert_int_equal(load.status, EXIT_MISSED);
    CHECK_HOLDS(load.out, "1 up: S1/1 carries 60.0 W, may carry 30 W");
    ran_free(&load);
    ran_free(&within);
    ran_free(&plain);
    scratch_remove(&scratch);
}

static void test_sheet(void **state)
{
    struct ran ran = run_line("sheet " RIG);

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "12 ports of 120 W, 1000 W in all; carries 10 units, 712 W");
    ran_free(&ran);
    ran = run_line("sheet " RIG " --by address");
    CHECK_HOLDS(ran.out, "Universe 2: 9 of 512 slots in use");
    ran_free(&ran);
    ran = run_line("sheet " RIG " --by label");
    CHECK_HOLDS(ran.out, "| universe 1   address 082 ");
    ran_free(&ran);
    ran = run_line("sheet " RIG " --format csv");
    CHECK_HOLDS(ran.out, ",apron-wash,five-colour wash,8-bit,8,6,1,82,87,stage,9,90,,,,,\r\n");
    ran_free(&ran);
    ran = run_line("sheet " RIG " --by reading --units front-left-wash --codes 50,10");
    CHECK_HOLDS(ran.out, "[ ] red        1-4=255 ");
    CHECK_HOLDS(ran.out, "from slot 1; codes at 10 %\n");
    ran_free(&ran);
    expect_failure("sheet nothing.json", EXIT_USAGE, "nothing.json");
    expect_failure("sheet " RIG " --codes 50", EXIT_USAGE, "--codes");
    expect_failure("sheet " RIG " --by reading --codes 50,,10", EXIT_USAGE, "--codes \",10\"");
    expect_failure("sheet " RIG " --by reading --codes 100", EXIT_USAGE, "below 100");
    expect_failure("sheet " RIG " --page 19", EXIT_USAGE, "allowed is 0, or 20 to 1000 lines");
    expect_failure("sheet " RIG " --page 40 --format csv", EXIT_USAGE, "--page");
    expect_failure("sheet " RIG " --units nobody", EXIT_USAGE, "nobody");
    expect_failure("sheet " RIG " --by colour", EXIT_USAGE, "--by");
}

int main(void)
{
    const struct CMUnitTest single[] = {
        cmocka_unit_test(test_shown_not_written),
        cmocka_unit_test(test_written_and_kept),
        cmocka_unit_test(test_other_file),
        cmocka_unit_test(test_moves),
        cmocka_unit_test(test_load),
        cmocka_unit_test(test_load_of_long_names),
        cmocka_unit_test(test_sheet),
        cmocka_unit_test(test_frames_within_load),
    };
    struct CMUnitTest tests[COUNT(bad) + COUNT(single)];

    ROW_TESTS(tests, bad, test_bad);
    memcpy(tests + COUNT(bad), single, sizeof single);
    return cmocka_run_group_tests_name("layout, load and sheet", tests, enter_source, NULL);
}
