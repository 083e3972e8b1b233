/* SPDX-License-Identifier: MIT */
/* Rigs made in memory: the same as those that are read, by the same rules. */
#include "support/check.h"

#include <metamer/rig.h>

#include <unistd.h>

static mtm_fixture *wash(void)
{
    mtm_fixture *fixture = NULL;

    assert_int_equal(mtm_fixture_load("profiles/tunable-white.json", &fixture, NULL), MTM_OK);
    return fixture;
}

/* A rig with a supply and one kind of fixture. */
static mtm_rig *empty_rig(const mtm_fixture **fixture)
{
    mtm_rig *rig = NULL;
    mtm_fixture *own = wash();

    assert_int_equal(mtm_rig_create("made", &rig, NULL), MTM_OK);
    assert_int_equal(mtm_rig_add_supply(rig, &(mtm_supply){"S1", 4, 0, 60, 200, -1, 0, 0, 0}, NULL),
                     MTM_OK);
    assert_int_equal(mtm_rig_add_fixture(rig, own, NULL), MTM_OK);
    *fixture = own;
    return rig;
}

static mtm_unit unit_of(const mtm_fixture *fixture, const char *name, int address)
{
    return (mtm_unit){.name = name,
                      .fixture_file = "tunable-white.json",
                      .fixture = fixture,
                      .mode = mtm_fixture_mode(fixture, 0),
                      .universe = 1,
                      .address = address,
                      .supply = -1,
                      .follows = -1};
}

/* What is read of a file, added part by part. */
static mtm_rig *copy_of(const mtm_rig *read)
{
    mtm_rig *made = NULL;
    size_t count = 0;
    struct {
        const mtm_fixture *read;
        const mtm_fixture *made;
    } kinds[8];

    assert_int_equal(mtm_rig_create(mtm_rig_name(read), &made, NULL), MTM_OK);
    for (size_t i = 0; i < mtm_rig_circuit_count(read); i++)
        assert_int_equal(mtm_rig_add_circuit(made, mtm_rig_circuit(read, i), NULL), MTM_OK);
    for (size_t i = 0; i < mtm_rig_supply_count(read); i++)
        assert_int_equal(mtm_rig_add_supply(made, mtm_rig_supply(read, i), NULL), MTM_OK);
    for (size_t i = 0; i < mtm_rig_unit_count(read); i++) {
        mtm_unit unit = *mtm_rig_unit(read, i);
        size_t k = 0;
        while (k < count && kinds[k].read != unit.fixture)
            k++;
        if (k == count) {
            char *text = NULL;
            size_t length = 0;
            mtm_fixture *own = NULL;
            assert_true(count < COUNT(kinds));
            assert_int_equal(mtm_fixture_to_json(unit.fixture, &text, &length, NULL), MTM_OK);
            assert_int_equal(mtm_fixture_parse(text, length, "copy", NULL, &own, NULL), MTM_OK);
            assert_int_equal(mtm_rig_add_fixture(made, own, NULL), MTM_OK);
            kinds[count].read = unit.fixture;
            kinds[count++].made = own;
            free(text);
        }
        unit.fixture = kinds[k].made;
        unit.mode = mtm_fixture_find_mode(kinds[k].made, unit.mode->name);
        assert_int_equal(mtm_rig_add_unit(made, &unit, NULL), MTM_OK);
    }
    assert_int_equal(mtm_rig_check(made, NULL), MTM_OK);
    return made;
}

static void check_same(const mtm_rig *a, const mtm_rig *b)
{
    assert_string_equal(mtm_rig_name(a), mtm_rig_name(b));
    assert_int_equal(mtm_rig_unit_count(a), mtm_rig_unit_count(b));
    assert_int_equal(mtm_rig_supply_count(a), mtm_rig_supply_count(b));
    assert_int_equal(mtm_rig_circuit_count(a), mtm_rig_circuit_count(b));
    for (size_t i = 0; i < mtm_rig_circuit_count(a); i++) {
        const mtm_circuit *x = mtm_rig_circuit(a, i), *y = mtm_rig_circuit(b, i);
        assert_string_equal(x->name, y->name);
        assert_true(x->rated_a == y->rated_a && x->voltage_v == y->voltage_v);
    }
    for (size_t i = 0; i < mtm_rig_supply_count(a); i++) {
        const mtm_supply *x = mtm_rig_supply(a, i), *y = mtm_rig_supply(b, i);
        assert_string_equal(x->name, y->name);
        assert_true(x->ports == y->ports && x->port_w == y->port_w && x->total_w == y->total_w &&
                    x->circuit == y->circuit && x->efficiency == y->efficiency);
    }
    for (size_t i = 0; i < mtm_rig_unit_count(a); i++) {
        const mtm_unit *x = mtm_rig_unit(a, i), *y = mtm_rig_unit(b, i);
        size_t found = 0;
        assert_string_equal(x->name, y->name);
        assert_string_equal(x->fixture_file, y->fixture_file);
        assert_string_equal(x->mode->name, y->mode->name);
        assert_true(x->universe == y->universe && x->address == y->address &&
                    x->supply == y->supply && x->port == y->port && x->follows == y->follows);
        assert_true(x->gain == y->gain && x->cd_per_klm == y->cd_per_klm &&
                    x->distance_m == y->distance_m);
        assert_int_equal(mtm_rig_find_unit(b, x->name, &found, NULL), MTM_OK);
        assert_int_equal(found, i);
    }
}

/* Made, written and read again: each time the rig of the file. */
static void check_file(const char *file)
{
    mtm_rig *read = NULL, *again = NULL;
    char *text = NULL;
    size_t length = 0;
    mtm_error error = {""};

    assert_int_equal(mtm_rig_load(file, &read, NULL), MTM_OK);
    mtm_rig *made = copy_of(read);
    check_same(read, made);
    assert_int_equal(mtm_rig_to_json(made, &text, &length, NULL), MTM_OK);
    if (mtm_rig_parse(text, length, "made", "examples", &again, &error) != MTM_OK)
        fail_msg("%s", error.text);
    check_same(made, again);
    free(text);
    mtm_rig_free(again);
    mtm_rig_free(made);
    mtm_rig_free(read);
}

static void test_same_as_read(void **state)
{
    (void)state;
    check_file("examples/hall.json");
    check_file("examples/throws.json");
}

/* Each row spoils one thing of a unit that would be good. */
static const struct bad {
    const char *name;
    mtm_unit unit; /* zero: as in a good one; -2: none */
    const char *sentence;
} bad_units[] = {
    {"a name in use", {.name = "a"}, "the rig has a unit \"a\" already"},
    {"no name", {.name = ""}, "a unit needs a name"},
    {"no file", {.fixture_file = ""}, "needs the name of a fixture file"},
    {"universe", {.universe = 64000}, "found universe 64000, allowed is 1 to 63999"},
    {"address", {.address = 513}, "found address 513, allowed is 1 to 512"},
    {"past the last slot", {.address = 512}, "slots and would run to slot"},
    {"gain", {.gain = -1}, "unit \"b\" has gain -1, 0 cd for 1000 lm and a distance of 0 m"},
    {"half of lux", {.distance_m = 5}, "or 0 where they are not stated, the last two together"},
    {"no such supply", {.supply = 1}, "there is no supply number 1"},
    {"a port too many", {.port = 5}, "found port 5, allowed is 1 to"},
    {"follows nobody", {.follows = 9}, "cannot follow unit number 9: there is none yet"},
    {"follows elsewhere", {.follows = 1, .address = 7}, "has another universe or address"},
    {"follows a follower", {.follows = 2}, "which follows \"a\"; name the last of these"},
};

static void test_bad_unit(void **state)
{
    const struct bad *bad = *state;
    const mtm_fixture *fixture = NULL;
    mtm_error error = {""};
    mtm_rig *rig = empty_rig(&fixture);
    mtm_unit a = unit_of(fixture, "a", 1), follower = unit_of(fixture, "f", 1);

    assert_int_equal(mtm_rig_add_unit(rig, &a, NULL), MTM_OK);
    follower.follows = 0;
    assert_int_equal(mtm_rig_add_unit(rig, &follower, NULL), MTM_OK);
    mtm_unit unit = unit_of(fixture, "b", 101);
    if (bad->unit.name != NULL)
        unit.name = bad->unit.name;
    if (bad->unit.fixture_file != NULL)
        unit.fixture_file = bad->unit.fixture_file;
    unit.gain = bad->unit.gain;
    unit.distance_m = bad->unit.distance_m;
    if (bad->unit.universe != 0)
        unit.universe = bad->unit.universe;
    if (bad->unit.address != 0)
        unit.address = bad->unit.address;
    if (bad->unit.supply != 0)
        unit.supply = bad->unit.supply;
    if (bad->unit.port != 0) {
        unit.supply = 0;
        unit.port = bad->unit.port;
    }
    if (bad->unit.follows != 0) {
        unit.follows = bad->unit.follows - (bad->unit.follows < 9);
        unit.address = bad->unit.address;
    }
    assert_int_equal(mtm_rig_add_unit(rig, &unit, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, bad->sentence);
    assert_int_equal(mtm_rig_unit_count(rig), 2);
    mtm_rig_free(rig);
}

/* What is not the rig's own is refused; the rig takes a fixture once. */
static void test_strangers(void **state)
{
    const mtm_fixture *fixture = NULL;
    mtm_rig *rig = empty_rig(&fixture);
    mtm_fixture *stranger = wash();
    mtm_unit unit = unit_of(stranger, "a", 1);
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_rig_add_unit(rig, &unit, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "needs a fixture that was added to the rig");
    unit.fixture = fixture;
    assert_int_equal(mtm_rig_add_unit(rig, &unit, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "needs one of the modes of");
    assert_int_equal(mtm_rig_check(rig, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "the rig has no units");
    assert_int_equal(mtm_rig_add_fixture(rig, (mtm_fixture *)(uintptr_t)fixture, &error),
                     MTM_INVALID);
    mtm_fixture_free(stranger);
    mtm_rig_free(rig);
}

/* Many units in no order of their names: each is found, followers go along with their leader. */
static void test_many(void **state)
{
    enum { PAIRS = 300 };
    const mtm_fixture *fixture = NULL;
    mtm_rig *rig = empty_rig(&fixture);
    char name[16];

    (void)state;
    for (int i = 0; i < PAIRS; i++) {
        mtm_unit unit = unit_of(fixture, name, 0);
        unit.universe = 0;
        (void)snprintf(name, sizeof name, "u%d", i * 71 % PAIRS);
        assert_int_equal(mtm_rig_add_unit(rig, &unit, NULL), MTM_OK);
    }
    for (int i = 0; i < PAIRS; i++) { /* from the last leader to the first */
        mtm_unit unit = unit_of(fixture, name, 0);
        unit.universe = 0;
        unit.follows = PAIRS - 1 - i;
        (void)snprintf(name, sizeof name, "f%d", i);
        assert_int_equal(mtm_rig_add_unit(rig, &unit, NULL), MTM_OK);
    }
    for (int i = 0; i < PAIRS; i++) {
        size_t index = 0;
        (void)snprintf(name, sizeof name, "u%d", i * 71 % PAIRS);
        assert_int_equal(mtm_rig_find_unit(rig, name, &index, NULL), MTM_OK);
        assert_int_equal(index, i);
        assert_int_equal(mtm_rig_set_place(rig, index, (mtm_place){i + 1, 1, -1, 0}, NULL), MTM_OK);
        assert_int_equal(mtm_rig_unit(rig, (size_t)(2 * PAIRS - 1 - i))->universe, i + 1);
    }
    assert_int_equal(mtm_rig_check(rig, NULL), MTM_OK);
    mtm_rig_free(rig);
}

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    return source == NULL ? -1 : chdir(source);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(bad_units) + 3] = {
        cmocka_unit_test(test_same_as_read),
        cmocka_unit_test(test_strangers),
        cmocka_unit_test(test_many),
    };

    for (size_t i = 0; i < COUNT(bad_units); i++)
        tests[3 + i] = (struct CMUnitTest){.name = bad_units[i].name,
                                           .test_func = test_bad_unit,
                                           .initial_state = (void *)(uintptr_t)&bad_units[i]};
    return cmocka_run_group_tests_name("rigs made in memory", tests, enter, NULL);
}
