/* SPDX-License-Identifier: MIT */
/* What carries the output: codes by the dimmer, by the emitters, or by both together. What is
 * checked are the laws that each choice is named for, on the delivered profiles and on random
 * fixtures; light is summed here again, as it adds in XYZ (CIE 015:2018, 7). The weights of the
 * cost (one step: 0.0011 in u', v' as in ANSI C78.377; 2 % of output: common practice, no source)
 * are written here again. */
#include "random_fixture.h"

#include <metamer/codes.h>
#include <metamer/rig.h>

#include <math.h>

#define SEED 1861
#define PROFILES                                                                                   \
    {                                                                                              \
        "five-colour-batten", "five-colour-spot", "five-colour-wash", "plain-white",               \
            "studio-panel", "three-colour-wash", "tunable-white"                                   \
    }

/* A mode with a dimmer beside emitters of its own. */
struct scene {
    const mtm_fixture *fixture;
    const mtm_mode *mode;
    mtm_coder *coder;
    size_t count;
};

static mtm_xyz light(const struct scene *scene, const double *level)
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t k = 0; k < scene->count; k++) {
        mtm_xyz xyz = mtm_fixture_emitter(scene->fixture, k)->xyz[MTM_OBSERVER_2];
        sum.x += level[k] * xyz.x;
        sum.y += level[k] * xyz.y;
        sum.z += level[k] * xyz.z;
    }
    return sum;
}

static double watts(const struct scene *scene, const double *level)
{
    double sum = 0;

    for (size_t k = 0; k < scene->count; k++)
        sum += level[k] * mtm_fixture_emitter(scene->fixture, k)->watts;
    return sum;
}

/* In steps: the square root of the cost. */
static double steps_off(const struct scene *scene, const mtm_codes *codes, const double *wanted)
{
    double level[MTM_EMITTERS_MAX];

    mtm_coder_levels(scene->coder, codes, level);
    mtm_xyz got = light(scene, level), aim = light(scene, wanted);
    double output = (got.y / aim.y - 1) / 0.02;
    double uv = got.y > 0 ? mtm_uv_distance(mtm_uv_from_xyz(got), mtm_uv_from_xyz(aim)) : 0;
    return hypot(output, uv / 0.0011);
}

static double light_at(const struct scene *scene, uint32_t dimmer)
{
    mtm_codes codes = {.dimmer = dimmer};
    double level[MTM_EMITTERS_MAX];

    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        codes.emitter[k] = 0xffffff; /* counts as the highest of its bits */
    mtm_coder_levels(scene->coder, &codes, level);
    return light(scene, level).y;
}

/* The code of a dimmer at full: the lowest that gives as much light as any. */
static uint32_t full_dimmer(const struct scene *scene)
{
    const double most = light_at(scene, 0xffffff);
    uint32_t below = 0, full = 0xffffff;

    while (full - below > 1) {
        uint32_t middle = below + (full - below) / 2;
        if (light_at(scene, middle) < most)
            below = middle;
        else
            full = middle;
    }
    return full;
}

/* Dim as often as bright, some emitters dark; the strongest at scale. */
static void random_mix(const struct scene *scene, struct random *random, double *level)
{
    double strongest = 0;

    memset(level, 0, MTM_EMITTERS_MAX * sizeof *level);
    for (size_t k = 0; k < scene->count; k++) {
        level[k] = random_index(random, 4) == 0 ? 0 : random_between(random, 0.05, 1);
        strongest = fmax(strongest, level[k]);
    }
    if (!(strongest > 0))
        level[0] = strongest = 1;
    for (size_t k = 0; k < scene->count; k++)
        level[k] /= strongest;
}

static void scaled(const double *mix, double output, double *level)
{
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        level[k] = mix[k] * output;
}

/* Of all dimmer codes none is nearer in light than the one taken. */
static void check_dimmer_nearest(const struct scene *scene, const mtm_codes *codes,
                                 const double *wanted, uint32_t full)
{
    double level[MTM_EMITTERS_MAX];
    mtm_codes other = *codes;
    double aim = light(scene, wanted).y;

    mtm_coder_levels(scene->coder, codes, level);
    double taken = fabs(light(scene, level).y - aim);
    for (int by = -1; by <= 1; by += 2) {
        other.dimmer = (uint32_t)fmin(fmax((double)codes->dimmer + by, 0), full);
        mtm_coder_levels(scene->coder, &other, level);
        if (fabs(light(scene, level).y - aim) < taken - 1e-9 * aim)
            fail_msg("%s: dimmer %u is nearer than %u", scene->mode->name, other.dimmer,
                     codes->dimmer);
    }
}

/* The codes held are those of the mix at its most: none is above it, and they are the same at
 * every output. */
static void check_dimmer(const struct scene *scene, const double *mix, uint32_t full)
{
    static const double outputs[] = {1, 0.7, 0.31, 0.08, 0.011};
    mtm_codes held = {0}, codes;
    double level[MTM_EMITTERS_MAX];

    for (size_t i = 0; i < COUNT(outputs); i++) {
        scaled(mix, outputs[i], level);
        mtm_coder_round_by(scene->coder, MTM_DIMMING_DIMMER, level, &codes);
        held = i == 0 ? codes : held;
        assert_memory_equal(codes.emitter, held.emitter, sizeof codes.emitter);
        check_dimmer_nearest(scene, &codes, level, full);
    }
    codes.dimmer = full;
    mtm_coder_levels(scene->coder, &codes, level);
    const double limit = mtm_fixture_power_limit_w(scene->fixture);
    assert_true(watts(scene, level) <= limit * (1 + 1e-9) + 1e-9);
    if (watts(scene, mix) > limit)
        return;
    codes = held;
    scaled(mix, 1, level);
    codes.dimmer = full;
    mtm_codes best;
    mtm_coder_round_by(scene->coder, MTM_DIMMING_EMITTERS, level, &best);
    assert_memory_equal(best.emitter, held.emitter, sizeof best.emitter);
}

/* By how much luck lets a choice be nearer than the codes chosen together: these are proven best
 * for the dimmer codes that are tried only, and codes.h says that half a step is not gained. */
static double check_costs(const struct scene *scene, const double *level, uint32_t full)
{
    double off[3], gained = 0;

    for (int by = MTM_DIMMING_FINEST; by <= (int)MTM_DIMMING_EMITTERS; by++) {
        mtm_codes codes;
        mtm_coder_round_by(scene->coder, (mtm_dimming)by, level, &codes);
        if (by == (int)MTM_DIMMING_EMITTERS)
            assert_int_equal(codes.dimmer, full);
        off[by] = steps_off(scene, &codes, level);
        gained = fmax(gained, off[0] - off[by]);
    }
    if (gained > 0.5)
        fail_msg("%s: together %.3f steps, by the dimmer %.3f, by the emitters %.3f",
                 scene->mode->name, off[0], off[1], off[2]);
    return gained;
}

static double check_scene(const struct scene *scene, struct random *random, int rounds)
{
    const uint32_t full = full_dimmer(scene);
    double gained = 0;

    for (int i = 0; i < rounds; i++) {
        double mix[MTM_EMITTERS_MAX], level[MTM_EMITTERS_MAX] = {0};
        random_mix(scene, random, mix);
        check_dimmer(scene, mix, full);
        const double most = fmin(1, mtm_fixture_power_limit_w(scene->fixture) / watts(scene, mix));
        scaled(mix, most * exp(random_between(random, -4, 0)), level);
        gained = fmax(gained, check_costs(scene, level, full));
    }
    return gained;
}

static double check_fixture(const mtm_fixture *fixture, struct random *random, int rounds,
                            size_t *modes)
{
    double gained = 0;

    for (size_t m = 0; m < mtm_fixture_mode_count(fixture); m++) {
        struct scene scene = {.fixture = fixture,
                              .mode = mtm_fixture_mode(fixture, m),
                              .count = mtm_fixture_emitter_count(fixture)};
        mtm_error error = {""};
        if (mtm_coder_create(fixture, scene.mode, MTM_OBSERVER_2, &scene.coder, &error) != MTM_OK)
            fail_msg("%s", error.text);
        if (mtm_coder_chooses_dimming(scene.coder)) {
            gained = fmax(gained, check_scene(&scene, random, rounds));
            ++*modes;
        }
        mtm_coder_free(scene.coder);
    }
    return gained;
}

static void test_profiles(void **state)
{
    static const char *const names[] = PROFILES;
    struct random random = {SEED};
    size_t modes = 0;
    double gained = 0;

    (void)state;
    for (size_t i = 0; i < COUNT(names); i++) {
        char path[1024];
        mtm_fixture *fixture = NULL;
        mtm_error error = {""};
        (void)snprintf(path, sizeof path, "%s/profiles/%s.json", getenv("METAMER_SOURCE"),
                       names[i]);
        if (mtm_fixture_load(path, &fixture, &error) != MTM_OK)
            fail_msg("%s", error.text);
        gained = fmax(gained, check_fixture(fixture, &random, 40, &modes));
        mtm_fixture_free(fixture);
    }
    print_message("seed %d: %zu modes, together farther off by %.4f steps at most\n", SEED, modes,
                  gained);
    assert_true(modes >= 9);
}

static void test_random(void **state)
{
    struct random random = {SEED + 1};
    size_t modes = 0;
    double gained = 0;

    (void)state;
    for (int i = 0; i < 40; i++) {
        mtm_fixture *fixture =
            random_fixture(&random, 1 + (size_t)(i % 6), i % 4 == 3 ? 16 : 8, i % 3 == 2 ? 16 : 8);
        gained = fmax(gained, check_fixture(fixture, &random, 10, &modes));
        mtm_fixture_free(fixture);
    }
    print_message("seed %d: %zu modes, together farther off by %.4f steps at most\n", SEED + 1,
                  modes, gained);
    assert_int_equal(modes, 40);
}

/* Levels above the power limit: each emitter has the lower of its two codes, as codes.h says of
 * modes without a dimmer too, and the unit is not dark. */
static void test_above_limit(void **state)
{
    const double wanted[MTM_EMITTERS_MAX] = {0.6734, 0.8319}; /* 63.2 W of 60 W */
    mtm_fixture *fixture = NULL;
    mtm_coder *coder = NULL;
    mtm_codes codes;
    char path[1024];

    (void)state;
    (void)snprintf(path, sizeof path, "%s/profiles/tunable-white.json", getenv("METAMER_SOURCE"));
    assert_int_equal(mtm_fixture_load(path, &fixture, NULL), MTM_OK);
    const mtm_mode *mode = mtm_fixture_find_mode(fixture, "dimmer");
    assert_non_null(mode);
    assert_int_equal(mtm_coder_create(fixture, mode, MTM_OBSERVER_2, &coder, NULL), MTM_OK);
    mtm_coder_round(coder, wanted, &codes);
    for (size_t k = 0; k < 2; k++) {
        double level[MTM_EMITTERS_MAX];
        mtm_coder_levels(coder, &codes, level);
        assert_true(level[k] <= wanted[k] + 1e-12);
        codes.emitter[k]++;
        mtm_coder_levels(coder, &codes, level);
        assert_true(level[k] > wanted[k]);
        codes.emitter[k]--;
    }
    mtm_coder_free(coder);
    mtm_fixture_free(fixture);
}

/* Nothing to choose, and no light: the codes are those of the usual way, or none. */
static void test_no_choice(void **state)
{
    struct random random = {SEED + 2};

    (void)state;
    for (int bits = 0; bits <= 16; bits += 8) {
        mtm_fixture *fixture = random_fixture(&random, 4, 8, bits);
        struct scene scene = {.fixture = fixture, .mode = mtm_fixture_mode(fixture, 0), .count = 4};
        double mix[MTM_EMITTERS_MAX], dark[MTM_EMITTERS_MAX] = {0};
        const mtm_codes none = {0};
        mtm_codes usual, codes;
        assert_int_equal(mtm_coder_create(fixture, scene.mode, MTM_OBSERVER_2, &scene.coder, NULL),
                         MTM_OK);
        assert_int_equal(mtm_coder_chooses_dimming(scene.coder), bits > 0);
        random_mix(&scene, &random, mix);
        mtm_coder_round(scene.coder, mix, &usual);
        for (int by = MTM_DIMMING_FINEST; by <= (int)MTM_DIMMING_EMITTERS; by++) {
            mtm_coder_round_by(scene.coder, (mtm_dimming)by, dark, &codes);
            assert_memory_equal(&codes, &none, sizeof codes);
            mtm_coder_round_by(scene.coder, (mtm_dimming)by, mix, &codes);
            if (bits == 0 || by == MTM_DIMMING_FINEST)
                assert_memory_equal(&codes, &usual, sizeof codes);
        }
        mtm_coder_free(scene.coder);
        mtm_fixture_free(fixture);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_profiles),
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_above_limit),
        cmocka_unit_test(test_no_choice),
    };

    return cmocka_run_group_tests_name("what carries the output", tests, NULL, NULL);
}
