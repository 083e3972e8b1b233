/* SPDX-License-Identifier: MIT */
/* Slot rows: values under the names of channels, runs of units, and columns of CSV. */
#include "support/command.h"
#include "support/random.h"

#include "cli/out/slot_rows.h"

static const struct pair {
    const char *name; /* of the first */
    const char *second;
    bool follow;
} pairs[] = {
    {"house-1", "house-2", true},  {"house-9", "house-10", true},
    {"par 09", "par 10", true},    {"7", "8", true},
    {"house-2", "house-1", false}, {"house-1", "house-3", false},
    {"house-1", "wash-2", false},  {"house", "house-1", false},
    {"house-1", "house", false},   {"house-1", "house-1", false},
    {"wash-1b", "wash-2b", false}, {"", "1", false},
    {"a9999999999", "a2", false},
};

static void test_pair(void **state)
{
    const struct pair *row = *state;

    assert_int_equal(names_follow(row->name, row->second), row->follow);
}

/* What a view prints for a unit, as numbers; the fixed slots of a mode do not count. */
static size_t read_back(const struct slot_view *view, const mtm_mode *mode, const mtm_codes *codes,
                        double *value)
{
    size_t count = 0;

    for (size_t k = 0; k < mode->slot_count; k++) {
        char text[SLOT_CELL_ROOM];
        if (!slot_is_shown(view, &mode->slots[k]))
            continue;
        slot_cell(view, mode, codes, k, text);
        value[count++] =
            strcmp(view->name, "hex") == 0 ? (double)strtol(text, NULL, 16) : strtod(text, NULL);
    }
    return count;
}

/* Codes that are shown and read again are the same, whatever the view: no two look alike. */
static void test_views_lose_nothing(void **state)
{
    static const mtm_value_type types[] = {MTM_VALUES_SLOTS, MTM_VALUES_CODES, MTM_VALUES_PERCENT,
                                           MTM_VALUES_SLOTS};
    const uint64_t seed = 20261126;
    struct random random = {seed};
    mtm_rig *rig = NULL;

    (void)state;
    assert_int_equal(mtm_rig_load("examples/hall.json", &rig, NULL), MTM_OK);
    for (int round = 0; round < 2000; round++) {
        const mtm_unit *unit = mtm_rig_unit(rig, (size_t)round % mtm_rig_unit_count(rig));
        const mtm_mode *mode = unit->mode;
        uint8_t slot[2][MTM_SLOTS_MAX];
        mtm_codes codes;
        for (size_t k = 0; k < mode->slot_count; k++)
            slot[0][k] = (uint8_t)random_index(&random, 256);
        mtm_codes_from_slots(mode, slot[0], &codes);
        mtm_codes_to_slots(mode, &codes, slot[0]);
        for (size_t v = 0; slot_views[v].name != NULL; v++) {
            double value[MTM_SLOTS_MAX];
            size_t count = read_back(&slot_views[v], mode, &codes, value);
            mtm_codes back;
            mtm_error error = {""};
            if (mtm_codes_from_values(unit->fixture, mode, types[v], value, count, &back, &error) !=
                MTM_OK)
                fail_msg("%s, %s, seed %llu: %s", unit->name, slot_views[v].name,
                         (unsigned long long)seed, error.text);
            mtm_codes_to_slots(mode, &back, slot[1]);
            if (memcmp(slot[0], slot[1], mode->slot_count) != 0)
                fail_msg("%s, %s, round %d: read back as other codes", unit->name,
                         slot_views[v].name, round);
        }
    }
    mtm_rig_free(rig);
}

#define HALL "match examples/hall.json --cct 3200 "

static const struct said {
    const char *name; /* the line */
    const char *part;
} said[] = {
    {"match examples/foyer.json --cct 3000", "\nceiling-1 to ceiling-5  open      255   255 "},
    {"match examples/foyer.json --cct 3000", "\nceiling-1 to ceiling-5      4479"},
    {"match examples/foyer.json --cct 3000 --units ceiling-2,ceiling-1", "\nceiling-2  open  "},
    {"match examples/foyer.json --cct 3000 --units ceiling-1,ceiling-3", "\nceiling-3  open  "},
    {HALL,
     "five-colour wash, mode 16-bit: slot values\n"
     "Unit              Address dimmer dimmer red  red green green blue blue amber amber lime "
     "lime\n"},
    {HALL, "\nfront-left-wash   1/1        255    255 203  251 "},
    {HALL "--as codes --units front-left-wash", "front-left-wash  1/1       65535  52219  "},
    {HALL "--as percent --units hall-right", "hall-right  2/8      100.0   22.7\n"},
    {HALL "--as percent --units hall-left", "\nhall-left  2/1      100.000   22.8"},
    {HALL "--as hex --units hall-left", "\nhall-left  2/1        FF    FF    3A    83\n"},
    {HALL "--format csv --units hall-left,hall-right",
     ",level warm,level cool,slot warm,slot warm fine,slot cool,slot cool fine\n"},
    {HALL "--format csv --units hall-left,hall-right --as codes", ",code warm,code cool\n"},
    {HALL "--format csv --units hall-right,hall-left", ",255,58,,\n"},
    {HALL "--format csv --units front-right-spot,hall-right", ",slot red,slot green,slot blue,"},
};

static void test_said(void **state)
{
    const struct said *row = *state;
    struct ran ran = run_line(row->name);

    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, row->part);
    ran_free(&ran);
}

static void test_refused(void **state)
{
    (void)state;
    expect_failure(HALL "--as octal", EXIT_USAGE,
                   "--as: found \"octal\", allowed are: slots, codes, percent, hex");
    expect_failure(HALL "--as hex --format json", EXIT_USAGE, "--as");
}

int main(void)
{
    const struct CMUnitTest plain[] = {cmocka_unit_test(test_views_lose_nothing),
                                       cmocka_unit_test(test_refused)};
    struct CMUnitTest names[COUNT(pairs)];
    struct CMUnitTest tables[COUNT(said)];

    ROW_TESTS(names, pairs, test_pair);
    ROW_TESTS(tables, said, test_said);
    return cmocka_run_group_tests_name("views", plain, enter_source, NULL) +
           cmocka_run_group_tests_name("names that follow", names, NULL, NULL) +
           cmocka_run_group_tests_name("slots say", tables, enter_source, NULL);
}
