/* SPDX-License-Identifier: MIT */
/* Lines: what commands show keeps to 100 columns where no terminal says otherwise. */
#include "support/command.h"

#define TRIM "trim examples/hall.json examples/hall-readings.csv "

#define LONG "tests/data/lines/"

static const struct row {
    const char *name;
} rows[] = {
    {"rig examples/hall.json"},
    {TRIM "--cct 3000 --steps 3"},
    {TRIM "--cct 3000 --output 60000lm"},
    {TRIM "--xy 0.2,0.7"},
    {TRIM "--xy 0.2,0.7 --together"},
    {"match examples/hall.json --cct 3200 --goal rendering"},
    {"match examples/hall.json --cct 4000 --together --goal spectrum"},
    {"match examples/hall.json --lamp 3200@30% --output 30%"},
    {"match examples/hall.json --cct 3200 --quality"},
    {"match examples/limits.json --rgb 0,0,255"},
    {"spectrum profiles/warm-white.csv profiles/lime.csv"},
    {"rig " LONG "rig.json"},
    {"match " LONG "rig.json --cct 3200"},
    {"match " LONG "rig.json --xy 0.2,0.1 --quality --as percent"},
    {"match " LONG "rig.json --targets " LONG "colours.json"},
    {"match " LONG "rig.json --targets " LONG "colours.json --as percent"},
    {"trim " LONG "rig.json " LONG "readings.csv --cct 3200"},
    {"trim " LONG "rig.json " LONG "readings.csv --cct 3200 --alike kind"},
    {"trim " LONG "rig.json " LONG "readings.csv " LONG "readings.csv --compare --cct 3200"},
    {"load " LONG "rig.json"},
    {"layout " LONG "rig.json"},
    {"fade " LONG "show.json"},
    {"fade " LONG "show.json --report"},
    {"cues " LONG "show.json --channels"},
    {"frames examples/evening.json --refresh 60 --any-rate --dither --format jsonl"},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    struct ran ran = run_line(row->name);

    if (ran.status != EXIT_DONE && ran.status != EXIT_MISSED)
        fail_msg("%s: %s", row->name, ran.err);
    if (strncmp(row->name, "frames", 6) != 0) /* those are for programs */
        expect_lines_fit(ran.out);
    expect_lines_fit(ran.err);
    ran_free(&ran);
}

/* Two names that begin alike are not cut alike. */
static void test_names_whole(void **state)
{
    struct ran ran = run_line("trim " LONG "rig.json " LONG "readings.csv --cct 3200");

    (void)state;
    CHECK_HOLDS(ran.out, "\nover-the-stairs-at-the-north-end-wash-1\n ");
    CHECK_HOLDS(ran.out, "\nover-the-stairs-at-the-north-end-wash-2\n ");
    assert_null(strstr(ran.out, "…"));
    ran_free(&ran);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_names_whole);
    return cmocka_run_group_tests_name("lines fit", tests, enter_source, NULL);
}
