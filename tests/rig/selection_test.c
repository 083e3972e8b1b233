/* SPDX-License-Identifier: MIT */
/* Selections: the units that names, groups, patterns and kinds choose, in which order, and what bad
 * ones are told; groups of files and of rigs made in memory. */
#include "support/random.h"
#include "support/trial.h"

#include "rig/pattern.h"

#include <metamer/selection.h>

#include <time.h>

#define WHITE "profiles/tunable-white.json"
#define STRIP "profiles/three-colour-strip.json"
#define UNITS_MAX 16

/* wash-01 and wash-1 are two names; comma, star and dots may stand in a name. */
static const struct trial_unit units[] = {
    {"wash-1", WHITE, "8-bit"},      {"wash-2", WHITE, "8-bit"},     {"wash-10", STRIP, "8-bit"},
    {"wash-4", WHITE, "16-bit"},     {"bar-1-left", STRIP, "8-bit"}, {"bar-2-left", STRIP, "8-bit"},
    {"bar-2-right", STRIP, "8-bit"}, {"spot, old", WHITE, "8-bit"},  {"wash-*", WHITE, "8-bit"},
    {"Säule", STRIP, "8-bit"},
};

#define GROUPS                                                                                     \
    "'groups': {"                                                                                  \
    "'bars': ['bar-*'], "                                                                          \
    "'left': ['bar-?-left'], "                                                                     \
    "'front': ['wash-2', 'later', '!bar-2-right'], "                                               \
    "'later': ['bar-2-right', 'bars', 'wash-1'], "                                                 \
    "'!odd': ['spot, old'], "                                                                      \
    "'white': ['kind:tunable white', '! wash-*']}, "

static mtm_rig *rig_of(const char *groups)
{
    struct trial_text text = {.length = 0};

    trial_add_units(&text, units, COUNT(units));
    return trial_rig_of("%s%s", groups, text.data);
}

static void assert_units(const mtm_rig *rig, const size_t *unit, size_t count, const char *wanted)
{
    char text[400] = "";
    size_t used = 0;

    for (size_t i = 0; i < count; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%s", i > 0 ? " | " : "",
                                 mtm_rig_unit(rig, unit[i])->name);
    assert_string_equal(text, wanted);
}

static const struct good_row {
    const char *text, *units;
} good_rows[] = {
    {"wash-2,wash-1", "wash-2 | wash-1"},
    {" wash-2 , wash-1 ", "wash-2 | wash-1"},
    {"spot, old", "spot, old"},
    {"wash-*", "wash-*"},
    {"wash-**", "wash-1 | wash-2 | wash-10 | wash-4 | wash-*"},
    {"wash-1..4", "wash-1 | wash-2 | wash-4"},
    {"wash-01..010", "wash-1 | wash-2 | wash-10 | wash-4"},
    {"*-2-*", "bar-2-left | bar-2-right"},
    {"bar-1..2-left", "bar-1-left | bar-2-left"},
    {"*1..2-left", "bar-1-left | bar-2-left"},
    {"S?ule", "Säule"},
    {"*,!wash-1..10,!kind:three*", "spot, old | wash-*"},
    {"spot? old", "spot, old"},
    {"bars", "bar-1-left | bar-2-left | bar-2-right"},
    {"left,bars", "bar-1-left | bar-2-left | bar-2-right"},
    {"front", "wash-2 | bar-1-left | bar-2-left | wash-1"},
    {"later", "bar-2-right | bar-1-left | bar-2-left | wash-1"},
    {"!bars,!white,!*o*,!S*", "wash-10 | wash-*"},
    {"!odd", "spot, old"},
    {"!!odd,wash-2,spot? old", "wash-2"},
    {"white", "wash-1 | wash-2 | wash-4 | spot, old"},
    {"kind:tunable white", "wash-1 | wash-2 | wash-4 | spot, old | wash-*"},
    {"kind: three-*", "wash-10 | bar-1-left | bar-2-left | bar-2-right | Säule"},
    {"wash-4,all,!kind:three-colour strip,!wash-1..2", "wash-4 | spot, old | wash-*"},
};

static void test_good(void **state)
{
    mtm_rig *rig = rig_of(GROUPS);

    (void)state;
    for (size_t i = 0; i < COUNT(good_rows); i++) {
        size_t unit[UNITS_MAX];
        size_t count = 0;
        mtm_error error = {""};
        trial_must(mtm_rig_select(rig, good_rows[i].text, unit, &count, &error), &error);
        assert_units(rig, unit, count, good_rows[i].units);
    }
    mtm_rig_free(rig);
}

static const struct bad_row {
    const char *text;
    mtm_result result;
    const char *sentence;
} bad_rows[] = {
    {"wash-3", MTM_NOT_FOUND, "the rig has no unit or group \"wash-3\"; the nearest is \"wash-1\""},
    {"bras", MTM_NOT_FOUND, "the rig has no unit or group \"bras\"; the nearest is \"bars\""},
    {"!frnt", MTM_NOT_FOUND, "the rig has no unit or group \"frnt\"; the nearest is \"front\""},
    {"lamp-*", MTM_NOT_FOUND, "the rig has no unit like \"lamp-*\""},
    {"all,!lamp-*", MTM_NOT_FOUND, "the rig has no unit like \"lamp-*\""},
    {"wash-1..6", MTM_NOT_FOUND, "\"wash-1..6\": the rig has no unit like \"wash-6\""},
    {"bar-3..4-*", MTM_NOT_FOUND, "\"bar-3..4-*\": the rig has no unit like \"bar-3-*\""},
    {"wash-4..1", MTM_PARSE, "\"wash-4..1\" runs down; wanted is 1..4"},
    {"kind:tuneable white", MTM_NOT_FOUND,
     "the rig has no kind \"tuneable white\"; the nearest is \"tunable white\""},
    {"kind:seven*", MTM_NOT_FOUND, "the rig has no kind like \"seven*\""},
    {"kind:", MTM_NOT_FOUND, "the rig has no kind \"\""},
    {"", MTM_PARSE, "a name of a unit or group is missing"},
    {"wash-1,,wash-2", MTM_PARSE, "a name of a unit or group is missing"},
    {"wash-1,", MTM_PARSE, "a name of a unit or group is missing"},
    {"!", MTM_PARSE, "a name of a unit or group is missing"},
    {"wash-1,wash-2,wash-1", MTM_PARSE, "\"wash-1\" stands twice"},
    {"bars,!left,!bar-2-right", MTM_PARSE, "no unit is left"},
    {"!all", MTM_PARSE, "no unit is left"},
};

static void test_bad(void **state)
{
    mtm_rig *rig = rig_of(GROUPS);
    char long_text[500];
    size_t unit[UNITS_MAX];
    size_t count = 77;
    mtm_error error = {""};

    (void)state;
    for (size_t i = 0; i < COUNT(bad_rows); i++) {
        assert_int_equal(mtm_rig_select(rig, bad_rows[i].text, unit, &count, &error),
                         bad_rows[i].result);
        assert_string_equal(error.text, bad_rows[i].sentence);
        assert_int_equal(count, 77);
    }
    memset(long_text, '*', sizeof long_text - 1);
    long_text[sizeof long_text - 1] = '\0';
    assert_int_equal(mtm_rig_select(rig, long_text, unit, &count, &error), MTM_PARSE);
    assert_non_null(strstr(error.text, "allowed are at most 400"));
    mtm_rig_free(rig);
}

static const struct file_row {
    const char *name, *groups, *sentence;
} file_rows[] = {
    {"groups in a circle", "'groups': {'a': ['b', 'wash-1'], 'b': ['wash-2', '!c'], 'c': ['a']}, ",
     "rig: groups.c[0]: groups in a circle: \"a\" holds \"b\" holds \"c\" holds \"a\""},
    {"group in itself", "'groups': {'x': ['wash-1'], 'a': ['x', 'a']}, ",
     "rig: groups.a[1]: groups in a circle: \"a\" holds \"a\""},
    {"group of nothing", "'groups': {'a': ['lamp-*']}, ",
     "rig: groups.a[0]: the rig has no unit like \"lamp-*\""},
    {"group of an unknown unit", "'groups': {'a': ['wash-1', 'wash-7']}, ",
     "rig: groups.a[1]: the rig has no unit or group \"wash-7\"; the nearest is \"wash-1\""},
    {"group without units", "'groups': {'a': ['bar-*', '!bar-*']}, ",
     "rig: groups.a: no unit is left"},
    {"empty group", "'groups': {'a': []}, ",
     "rig: groups.a: wanted is at least one unit, group or pattern"},
    {"group of a number", "'groups': {'a': ['bar-*', 1]}, ",
     "rig: groups.a[1]: found a number, allowed is text"},
    {"group that is text", "'groups': {'a': 'bar-*'}, ",
     "rig: groups.a: found text, wanted is a list of units, groups or patterns"},
    {"groups as a list", "'groups': ['bar-*'], ",
     "rig: groups: found a list, wanted is an object of lists by name"},
    {"group with the name of a unit", "'groups': {'wash-2': ['bar-*']}, ",
     "rig: groups.wash-2: a unit of the rig has the name \"wash-2\"; a group needs another"},
    {"group all", "'groups': {'all': ['bar-*']}, ",
     "rig: groups.all: a group needs a name other than \"all\", which means every unit of the rig"},
    {"unit twice in a group", "'groups': {'a': ['wash-1', 'wash-1']}, ",
     "rig: groups.a[1]: \"wash-1\" stands twice"},
};

static void test_file(void **state)
{
    const struct file_row *row = *state;
    struct trial_text text = {.length = 0};
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    trial_add(&text, "{'metamer': 'rig/1', 'name': 'r', %s", row->groups);
    trial_add_units(&text, units, COUNT(units));
    trial_add(&text, "}");
    assert_int_equal(
        mtm_rig_parse(text.data, text.length, "rig", getenv("METAMER_SOURCE"), &rig, &error),
        MTM_PARSE);
    assert_string_equal(error.text, row->sentence);
    assert_null(rig);
}

/* Groups added one by one are written as they are, and read again the same. */
static void test_made(void **state)
{
    mtm_rig *rig = rig_of("");
    mtm_rig *again = NULL;
    size_t unit[UNITS_MAX];
    size_t count = 0;
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_rig_group_count(rig), 0);
    trial_must(mtm_rig_select(rig, "bar-2-*,wash-1", unit, &count, &error), &error);
    trial_must(mtm_rig_add_group(rig, "two", unit, count, &error), &error);
    assert_int_equal(mtm_rig_add_group(rig, "two", unit, count, &error), MTM_INVALID);
    assert_string_equal(error.text,
                        "the rig has a group \"two\" already; a group needs another name");
    trial_must(mtm_rig_select(rig, "!two", unit, &count, &error), &error);
    trial_must(mtm_rig_add_group(rig, "rest", unit, count, &error), &error);
    mtm_unit late = *mtm_rig_unit(rig, 0);
    late.name = "rest";
    assert_int_equal(mtm_rig_add_unit(rig, &late, &error), MTM_INVALID);
    assert_string_equal(error.text, "the rig has a group \"rest\" already");

    trial_must(mtm_rig_to_json(rig, &text, &length, &error), &error);
    trial_must(mtm_rig_parse(text, length, "again", getenv("METAMER_SOURCE"), &again, &error),
               &error);
    assert_int_equal(mtm_rig_group_count(again), 2);
    assert_string_equal(mtm_rig_group_name(again, 0), "two");
    const size_t *member = mtm_rig_group(again, 0, &count);
    assert_units(again, member, count, "bar-2-left | bar-2-right | wash-1");
    member = mtm_rig_group(again, 1, &count);
    assert_units(again, member, count,
                 "wash-2 | wash-10 | wash-4 | bar-1-left | spot, old | wash-* | Säule");
    free(text);
    mtm_rig_free(again);
    mtm_rig_free(rig);
}

/* What is left is written as if it had been all: the first follower that is left leads the others,
 * groups lose what is gone. */
static void test_restrict(void **state)
{
    static const struct trial_unit some[] = {
        {"lead", WHITE, "8-bit", 1, 1},           {"a", WHITE, "8-bit", .follows = "lead"},
        {"other", STRIP, "8-bit", 1, 21},         {"b", WHITE, "8-bit", .follows = "lead"},
        {"c", WHITE, "8-bit", .follows = "lead"}, {"last", STRIP, "16-bit", 2, 1},
    };
    struct trial_text list = {.length = 0};
    const size_t unit[] = {5, 4, 1, 3};
    const size_t beyond = 6;
    char *text = NULL;
    size_t length = 0;
    size_t count = 0;
    mtm_error error = {""};

    (void)state;
    trial_add_units(&list, some, COUNT(some));
    mtm_rig *rigs[2] = {trial_rig_of(
        "'groups': {'gone': ['other', 'lead'], 'rest': ['c', 'other', 'a']}, %s", list.data)};
    assert_int_equal(mtm_rig_restrict(rigs[0], &beyond, 1, &error), MTM_INVALID);
    assert_string_equal(error.text, "unit number 6: the rig has 6");
    trial_must(mtm_rig_restrict(rigs[0], unit, COUNT(unit), &error), &error);
    trial_must(mtm_rig_to_json(rigs[0], &text, &length, &error), &error);
    trial_must(mtm_rig_parse(text, length, "again", getenv("METAMER_SOURCE"), &rigs[1], &error),
               &error);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(mtm_rig_unit_count(rigs[i]), 4);
        assert_int_equal(mtm_rig_unit(rigs[i], 0)->follows, -1);
        assert_int_equal(mtm_rig_unit(rigs[i], 1)->follows, 0);
        assert_int_equal(mtm_rig_unit(rigs[i], 2)->follows, 0);
        assert_int_equal(mtm_rig_unit(rigs[i], 3)->follows, -1);
        assert_int_equal(mtm_rig_unit(rigs[i], 2)->address, 1);
        assert_int_equal(mtm_rig_group_count(rigs[i]), 1);
        const size_t *member = mtm_rig_group(rigs[i], 0, &count);
        assert_units(rigs[i], member, count, "c | a");
        trial_must(mtm_rig_find_unit(rigs[i], "last", &count, &error), &error);
        assert_int_equal(count, 3);
        assert_int_equal(mtm_rig_find_unit(rigs[i], "lead", &count, &error), MTM_NOT_FOUND);
        trial_must(mtm_rig_set_place(rigs[i], 0, (mtm_place){3, 9, -1, 0}, &error), &error);
        assert_int_equal(mtm_rig_unit(rigs[i], 2)->universe, 3);
        mtm_rig_free(rigs[i]);
    }
    free(text);
}

/* The plain way: every part in turn, every length of a star tried. */
static bool meets_plainly(const mtmi_pattern *pattern, size_t i, const char *name, size_t at)
{
    size_t length = strlen(name);

    if (i == pattern->count)
        return at == length;
    const mtmi_pattern_part *part = &pattern->part[i];
    if (part->kind == MTMI_PART_ANY) {
        for (size_t next = at; next <= length; next++) {
            if (meets_plainly(pattern, i + 1, name, next))
                return true;
        }
        return false;
    }
    if (part->kind != MTMI_PART_NUMBER)
        return at < length && (part->kind == MTMI_PART_ONE || name[at] == part->byte) &&
               meets_plainly(pattern, i + 1, name, at + 1);
    size_t digits = strspn(name + at, "0123456789");
    unsigned long number = strtoul(name + at, NULL, 10);
    return digits > 0 && (at == 0 || strchr("0123456789", name[at - 1]) == NULL) &&
           number >= part->first && number <= part->last &&
           meets_plainly(pattern, i + 1, name, at + digits);
}

static void add_piece(char *text, const char *piece)
{
    size_t used = strlen(text);

    (void)snprintf(text + used, 64 - used, "%s", piece);
}

static void test_pattern(void **state)
{
    static const char *const pieces[] = {"a", "b", "-", "1", "2", "12", "*", "?", "1..2", "2..12"};
    const uint64_t seed = (uint64_t)time(NULL);
    struct random random = {seed};
    size_t met = 0;

    (void)state;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int i = 0; i < 20000; i++) {
        char text[64] = "";
        char name[64] = "";
        mtmi_pattern pattern;
        for (size_t k = 0; k <= random_index(&random, 6); k++)
            add_piece(text, pieces[random_index(&random, COUNT(pieces))]);
        for (size_t k = 0; k <= random_index(&random, 7); k++)
            add_piece(name, pieces[random_index(&random, 6)]);
        mtmi_pattern_read(text, &pattern);
        bool wanted = meets_plainly(&pattern, 0, name, 0);
        if (mtmi_pattern_meets(&pattern, name) != wanted)
            fail_msg("\"%s\" and \"%s\": wanted is %d", text, name, wanted);
        met += wanted;
    }
    assert_in_range(met, 300, 15000);
}

int main(void)
{
    struct CMUnitTest rows[COUNT(file_rows)];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_good),    cmocka_unit_test(test_bad),
        cmocka_unit_test(test_made),    cmocka_unit_test(test_restrict),
        cmocka_unit_test(test_pattern),
    };

    ROW_TESTS(rows, file_rows, test_file);
    int failed = cmocka_run_group_tests_name("group refusals", rows, NULL, NULL);
    return failed + cmocka_run_group_tests_name("selections", tests, NULL, NULL);
}
