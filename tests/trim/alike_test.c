/* SPDX-License-Identifier: MIT */
/* Which units are to agree with each other: rules of this project's own header. */
#include "support/trial.h"

#include <metamer/trim.h>

#include <stdint.h>

/* Two fixtures in three modes; inner lies in outer, and side shares "b" with it. */
static const char rig_text[] =
    "'groups': {'outer': ['a', 'b', 'c', 'd'], 'inner': ['c', 'd'], 'side': ['b', 'e', 'f']}, "
    "'units': [{'name': 'a', 'fixture': 'five-colour-wash.json', 'mode': '16-bit'}, "
    "{'name': 'b', 'fixture': 'tunable-white.json', 'mode': '8-bit'}, "
    "{'name': 'c', 'fixture': 'five-colour-wash.json', 'mode': '8-bit'}, "
    "{'name': 'd', 'fixture': 'tunable-white.json', 'mode': '16-bit'}, "
    "{'name': 'e', 'fixture': 'tunable-white.json', 'mode': '8-bit'}, "
    "{'name': 'f', 'fixture': 'plain-white.json', 'mode': '8-bit'}, "
    "{'name': 'g', 'fixture': 'plain-white.json', 'mode': '8-bit'}, "
    "{'name': 'h', 'fixture': 'five-colour-wash.json', 'mode': '8-bit'}]";

#define UNITS 8
#define NONE SIZE_MAX

static const struct row {
    const char *name;
    mtm_alike alike;
    const char *meant; /* a letter a unit */
    size_t set[UNITS];
    size_t count;
    const char *set_name[UNITS]; /* of each unit's set */
} rows[] = {
    {"all", MTM_ALIKE_ALL, "abcdefgh", {0, 0, 0, 0, 0, 0, 0, 0}, 1, {NULL}},
    {"kind, whatever the mode",
     MTM_ALIKE_KIND,
     "abcdefgh",
     {0, 1, 0, 1, 1, 2, 2, 0},
     3,
     {"five-colour wash", "tunable white", "five-colour wash", "tunable white", "tunable white",
      "plain white", "plain white", "five-colour wash"}},
    /* b: side has three units, outer four; g and h are in no group */
    {"group, the smallest",
     MTM_ALIKE_GROUP,
     "abcdefgh",
     {0, 1, 2, 2, 1, 1, 3, 3},
     4,
     {"outer", "side", "inner", "inner", "side", "side", NULL, NULL}},
    {"chosen units alone",
     MTM_ALIKE_GROUP,
     "cefh",
     {NONE, NONE, 0, NONE, 1, 1, NONE, 2},
     3,
     {NULL, NULL, "inner", NULL, "side", "side", NULL, NULL}},
    {"chosen units of a kind",
     MTM_ALIKE_KIND,
     "gh",
     {NONE, NONE, NONE, NONE, NONE, NONE, 0, 1},
     2,
     {NULL, NULL, NULL, NULL, NULL, NULL, "plain white", "five-colour wash"}},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_rig *rig = trial_rig_of("%s", rig_text);
    bool meant[UNITS];
    size_t set[UNITS];
    size_t count = 0;
    mtm_error error = {""};

    for (size_t i = 0; i < UNITS; i++)
        meant[i] = strchr(row->meant, (int)('a' + i)) != NULL;
    trial_must(mtm_alike_split(rig, meant, row->alike, set, &count, &error), &error);
    assert_int_equal(count, row->count);
    for (size_t i = 0; i < UNITS; i++) {
        assert_int_equal(set[i], row->set[i]);
        if (!meant[i])
            continue;
        const char *name = mtm_alike_name(rig, row->alike, i);
        assert_int_equal(name == NULL, row->set_name[i] == NULL);
        if (name != NULL)
            assert_string_equal(name, row->set_name[i]);
    }
    mtm_rig_free(rig);
}

static void test_no_groups(void **state)
{
    const struct trial_unit unit = {"a", "plain-white.json", "8-bit"};
    mtm_rig *rig = trial_rig(&unit, 1);
    mtm_error error = {""};
    size_t set = 7;
    size_t count = 7;

    (void)state;
    assert_int_equal(mtm_alike_split(rig, NULL, MTM_ALIKE_GROUP, &set, &count, &error),
                     MTM_NOT_FOUND);
    assert_string_equal(error.text,
                        "units of a group are to be alike, but the rig \"trial\" has no groups");
    assert_true(set == 7 && count == 7);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1] = {cmocka_unit_test(test_no_groups)};

    for (size_t i = 0; i < COUNT(rows); i++)
        tests[i + 1] = (struct CMUnitTest){.name = rows[i].name,
                                           .test_func = test_row,
                                           .initial_state = (void *)(uintptr_t)&rows[i]};
    return cmocka_run_group_tests_name("units that are to agree", tests, NULL, NULL);
}
