/* SPDX-License-Identifier: MIT */
/* Kinds: units of one fixture and mode are one kind, and no others are; found by sorting, compared
 * with looking at every pair. */
#include "support/check.h"
#include "support/random.h"

#include "base/text.h"
#include "unit/kind.h"

static const struct choice {
    const char *fixture, *mode;
} choices[] = {
    {"five-colour-wash.json", "16-bit"},   {"five-colour-wash.json", "8-bit"},
    {"five-colour-batten.json", "16-bit"}, {"five-colour-batten.json", "8-bit"},
    {"tunable-white.json", "16-bit"},
};

enum { UNITS = 60 };

static mtm_rig *draw_rig(struct random *random)
{
    mtmi_text text = {0};
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    mtmi_text_add(&text, "{\"metamer\": \"rig/1\", \"name\": \"drawn\", \"units\": [");
    for (size_t i = 0; i < UNITS; i++) {
        const struct choice *choice = &choices[random_index(random, COUNT(choices))];
        mtmi_text_add(&text, "%s{\"name\": \"u%zu\", \"fixture\": \"%s\", \"mode\": \"%s\"}",
                      i > 0 ? ", " : "", i, choice->fixture, choice->mode);
    }
    mtmi_text_add(&text, "]}");
    if (mtm_rig_parse(text.data, text.length, "drawn", NULL, &rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    mtmi_text_free(&text);
    return rig;
}

static bool alike(const mtm_rig *rig, size_t a, size_t b)
{
    const mtm_unit *x = mtm_rig_unit(rig, a), *y = mtm_rig_unit(rig, b);

    return x->fixture == y->fixture && x->mode == y->mode;
}

/* list: NULL for all */
static void check(const mtm_rig *rig, const size_t *list, size_t count)
{
    struct mtmi_kinds kinds;
    bool is_listed[UNITS] = {false};
    size_t numbered = 0;

    assert_int_equal(mtmi_kinds_create(rig, list, count, &kinds, NULL), MTM_OK);
    for (size_t n = 0; n < count; n++) {
        size_t i = list != NULL ? list[n] : n;
        is_listed[i] = true;
        assert_true(kinds.of_unit[i] <= numbered); /* each new kind has the next number */
        if (kinds.of_unit[i] == numbered)
            assert_int_equal(kinds.first[numbered++], i);
    }
    assert_int_equal(kinds.count, numbered);
    for (size_t i = 0; i < UNITS; i++) {
        assert_int_equal(kinds.of_unit[i] != MTMI_NO_KIND, is_listed[i]);
        for (size_t j = 0; j < i; j++) {
            if (is_listed[i] && is_listed[j])
                assert_int_equal(kinds.of_unit[i] == kinds.of_unit[j], alike(rig, i, j));
        }
    }
    mtmi_kinds_free(&kinds);
}

static void test_kinds(void **state)
{
    struct random random = {11}; /* the seed */

    (void)state;
    for (int round = 0; round < 5; round++) {
        mtm_rig *rig = draw_rig(&random);
        size_t list[UNITS];
        size_t count = random_index(&random, UNITS);

        for (size_t n = 0; n < count; n++)
            list[n] = random_index(&random, UNITS); /* some of them twice */
        check(rig, NULL, UNITS);
        check(rig, list, count);
        check(rig, list, 0);
        mtm_rig_free(rig);
    }
}

/* A unit that was given emitters of its own is a kind of its own. */
static void test_own_emitters(void **state)
{
    struct random random = {12};
    mtm_rig *rig = draw_rig(&random);
    const mtm_fixture *fixture = mtm_rig_unit(rig, 5)->fixture;
    mtm_emitter emitter[MTM_EMITTERS_MAX];
    mtm_fixture *own = NULL;
    struct mtmi_kinds kinds;

    (void)state;
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
        emitter[k] = *mtm_fixture_emitter(fixture, k);
    assert_int_equal(mtm_fixture_with_emitters(fixture, emitter, &own, NULL), MTM_OK);
    assert_int_equal(mtm_rig_set_unit_fixture(rig, 5, own, NULL), MTM_OK);
    assert_int_equal(mtmi_kinds_create(rig, NULL, UNITS, &kinds, NULL), MTM_OK);
    for (size_t i = 0; i < UNITS; i++)
        assert_int_equal(kinds.of_unit[i] == kinds.of_unit[5], i == 5);
    mtmi_kinds_free(&kinds);
    check(rig, NULL, UNITS);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kinds),
        cmocka_unit_test(test_own_emitters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
