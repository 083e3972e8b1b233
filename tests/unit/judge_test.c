/* SPDX-License-Identifier: MIT */
/* Judge: a mixture judged through a fixture against the indices of its published spectrum. */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/illuminant.h>
#include <metamer/judge.h>
#include <metamer/quality.h>

#include "base/text.h"

/* A fixture of two emitters whose spectra are written out at 5 nm: A and D65 of ISO/CIE 11664-2. */
static mtm_fixture *make_fixture(void)
{
    static const char *const names[] = {"A", "D65"};
    mtmi_text text = {0};
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};

    mtmi_text_add(&text, "{\"metamer\": \"fixture/1\", \"name\": \"lamps\", \"emitters\": [");
    for (size_t i = 0; i < 2; i++) {
        mtm_spectrum spectrum;
        assert_int_equal(mtm_spectrum_illuminant(names[i], &spectrum, &error), MTM_OK);
        mtmi_text_add(&text,
                      "%s{\"name\": \"%s\", \"flux_lm\": 1000, \"watts\": 60, \"spectrum\": [",
                      i > 0 ? ", " : "", names[i]);
        for (int nm = 360; nm <= 830; nm += 5)
            mtmi_text_add(&text, "%s[%d, %.9g]", nm > 360 ? ", " : "", nm,
                          spectrum.value[nm - 360] / 1000);
        mtmi_text_add(&text, "]}");
    }
    mtmi_text_add(&text, "], \"modes\": [{\"name\": \"m\", \"slots\": [\"A\", \"D65\"]}]}");
    if (mtm_fixture_parse(text.data, text.length, "lamps", NULL, &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    mtmi_text_free(&text);
    return fixture;
}

/* A is its own reference (CIE 13.3-1995, 5.2: Planckian below 5000 K), so its indices are 100; its
 * chromaticities are those of CIE 015:2018 for both observers. */
static void test_illuminant_a(void **state)
{
    mtm_fixture *fixture = make_fixture();
    const double level[MTM_EMITTERS_MAX] = {1, 0};
    mtm_judgement judgement;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_judge(fixture, level, &judgement, &error), MTM_OK);
    assert_true(judgement.has_spectrum && judgement.has_quality);
    CHECK_NEAR("Ra", judgement.ra, 100, 0.05);
    CHECK_NEAR("Rf", judgement.rf, 100, 0.05);
    CHECK_NEAR("Rg", judgement.rg, 100, 0.05);
    CHECK_NEAR("x2", mtm_xy_from_xyz(judgement.xyz[0]).x, 0.44758, 0.00005);
    CHECK_NEAR("y2", mtm_xy_from_xyz(judgement.xyz[0]).y, 0.40745, 0.00005);
    CHECK_NEAR("x10", mtm_xy_from_xyz(judgement.xyz[1]).x, 0.45117, 0.00005);
    CHECK_NEAR("y10", mtm_xy_from_xyz(judgement.xyz[1]).y, 0.40594, 0.00005);
    mtm_fixture_free(fixture);
}

static void test_pair(void **state)
{
    mtm_fixture *fixture = make_fixture();
    const double level[3][MTM_EMITTERS_MAX] = {{1, 0}, {0, 1}, {0.5, 0}};
    mtm_judgement judgement[3];
    mtm_metamerism metamerism;
    mtm_error error = {""};

    (void)state;
    for (size_t i = 0; i < 3; i++)
        assert_int_equal(mtm_judge(fixture, level[i], &judgement[i], &error), MTM_OK);
    /* a light and the same light at half its level are one colour and one shape */
    assert_int_equal(mtm_judge_pair(&judgement[0], &judgement[2], &metamerism, &error), MTM_OK);
    CHECK_NEAR("2 degrees", metamerism.delta_uv[0], 0, 1e-12);
    CHECK_NEAR("10 degrees", metamerism.delta_uv[1], 0, 1e-12);
    CHECK_NEAR("SSI", metamerism.ssi, 100, 1e-9);
    /* A to D65: 0.2560, 0.5243 to 0.1978, 0.4683, the u', v' of CIE 015:2018's x, y */
    assert_int_equal(mtm_judge_pair(&judgement[0], &judgement[1], &metamerism, &error), MTM_OK);
    CHECK_NEAR("distance", metamerism.delta_uv[0], hypot(0.2560 - 0.1978, 0.5243 - 0.4683), 0.0002);
    assert_true(metamerism.ssi < 70);
    mtm_fixture_free(fixture);
}

static void test_nothing_to_tell(void **state)
{
    static const char text[] =
        "{\"metamer\": \"fixture/1\", \"name\": \"plain\", \"emitters\": ["
        "{\"name\": \"a\", \"x\": 0.6, \"y\": 0.3, \"flux_lm\": 10, \"watts\": 1},"
        "{\"name\": \"b\", \"x\": 0.2, \"y\": 0.6, \"flux_lm\": 10, \"watts\": 1}],"
        "\"modes\": [{\"name\": \"m\", \"slots\": [\"a\", \"b\"]}]}";
    const double level[MTM_EMITTERS_MAX] = {1, 1};
    const double dark[MTM_EMITTERS_MAX] = {0};
    mtm_fixture *fixture = NULL;
    mtm_judgement judgement;
    mtm_metamerism metamerism;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_fixture_parse(text, strlen(text), "plain", NULL, &fixture, &error),
                     MTM_OK);
    assert_int_equal(mtm_judge(fixture, level, &judgement, &error), MTM_OK);
    assert_false(judgement.has_spectrum);
    assert_int_equal(mtm_judge_pair(&judgement, &judgement, &metamerism, &error), MTM_UNSUPPORTED);
    CHECK_HOLDS(error.text, "by their spectra");
    assert_int_equal(mtm_judge(NULL, level, &judgement, &error), MTM_INVALID);
    mtm_fixture_free(fixture);
    fixture = make_fixture();
    assert_int_equal(mtm_judge(fixture, dark, &judgement, &error), MTM_OK);
    assert_true(judgement.has_spectrum);
    assert_false(judgement.has_quality);
    mtm_fixture_free(fixture);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_illuminant_a),
        cmocka_unit_test(test_pair),
        cmocka_unit_test(test_nothing_to_tell),
    };

    return cmocka_run_group_tests_name("judge", tests, NULL, NULL);
}
