/* SPDX-License-Identifier: MIT */
/* metamer filter, and filters as targets of other commands. */
#include "support/command.h"

static const struct row {
    const char *name; /* the line */
    const char *part; /* of the output */
} rows[] = {
    /* CIE 015:2018: illuminant A, x 0.44758, y 0.40745 */
    {"filter full-cto --over A", "Over A (x 0.4476, y 0.4074), 2° observer"},
    /* 3200 K to 5600 K is -134 mired: 1e6/5600 - 1e6/3200 = -133.93 */
    {"filter 'Full CTB'", "Over 3200 K"},
    {"filter full_ctb --over 3200", "5602   -134.0  +0.0000"},
    {"filter half-cto --over daylight:5500", "+70.0"},
    {"filter half-cto+half-cto amber", "half CTO + half CTO"},
    {"filter amber", "Nearest to amber by CIEDE2000: orange"},
    {"filter blue --over D65", "      -        -        -"},
    {"filter", "deep green"},
    {"filter --nearest --cct 5600 --over 3200", "One filter"},
    {"filter --nearest --cct 5600 --over 3200",
     "\nfull CTB                                          0.0000"},
    {"filter --nearest --filter amber --over 3200 --count 1", "\namber  "},
    {"filter full-ctb --format json", "\"mired_shift\": -134.000"},
    {"filter --nearest --cct 5600 --format json", "\"pairs\":"},
    {"filter tests/fuzz/corpus/filter/inline.json", "\nf   "},
    {"colour --filter full-ctb --over 3200", "CCT, Duv         5602.2 K"},
    {"colour --filter full-ctb --over 3200", "full CTB over 3200 K, 2° observer"},
    {"match examples/hall.json --filter half-cto+quarter-plus-green --over daylight:5600",
     "half CTO + quarter plus green over daylight 5600 K"},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    struct ran ran = run_line(row->name);

    if (ran.status != EXIT_DONE)
        fail_msg("%s: %s", row->name, ran.err);
    CHECK_HOLDS(ran.out, row->part);
    ran_free(&ran);
}

static const struct bad_row {
    const char *name; /* the line */
    const char *part; /* of the sentence */
} bad_rows[] = {
    {"filter ambr", "there is no filter \"ambr\"; the nearest is \"amber\""},
    {"filter amber+", "a name is missing beside a \"+\""},
    {"filter amber --over noon", "--over: found \"noon\"; allowed are a temperature"},
    {"filter amber --over 500", "--over: a light of 500 K; allowed is 1000 to 25000 K"},
    {"filter amber --filters nowhere", "nowhere: the folder of filters cannot be opened"},
    {"filter amber --filters tests/data/plain", "allowed is \"filter/1\""},
    {"filter profiles/warm-white.csv --count 51", "--count: found \"51\""},
    {"filter examples/hall.json", "allowed is \"filter/1\""},
    {"filter profiles", "is a directory"},
    {"filter --nearest --over 3200", "no colour is stated"},
    {"filter amber --nearest --cct 3200", "found the filter \"amber\" beside --nearest"},
    {"colour --filter amber", "--filter needs --over"},
    {"colour --cct 3200 --over A", "--over goes with --filter"},
    {"colour --cct 3200 --filters profiles", "--filters goes with --filter"},
    {"colour --filter amber --over A --cct 3200", "both state a colour"},
    {"colour --filter ambr --over A", "--filter: there is no filter \"ambr\""},
    {"match examples/hall.json --filter amber --over noon", "--over: found \"noon\""},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;

    expect_failure(row->name, EXIT_USAGE, row->part);
}

int main(void)
{
    struct CMUnitTest good[COUNT(rows)];
    struct CMUnitTest bad[COUNT(bad_rows)];

    ROW_TESTS(good, rows, test_row);
    ROW_TESTS(bad, bad_rows, test_bad);
    return cmocka_run_group_tests_name("filter", good, enter_source, NULL) +
           cmocka_run_group_tests_name("bad filter lines", bad, enter_source, NULL);
}
