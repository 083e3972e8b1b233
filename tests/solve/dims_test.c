/* SPDX-License-Identifier: MIT */
/* Units whose colour goes with their output: codes to light and watts beside the published powers,
 * codes for random outputs and colours beside all codes that there are, what a common match, a
 * load and a fade make of them, and what is refused. */
#include "support/random.h"
#include "support/trial.h"

#include <metamer/cue_demand.h>
#include <metamer/demand.h>
#include <metamer/fade.h>
#include <metamer/fade_report.h>
#include <metamer/judge.h>
#include <metamer/lamp.h>
#include <metamer/match.h>
#include <metamer/match_demand.h>
#include <metamer/survey.h>
#include <metamer/white.h>

/* D. G. Fink, H. W. Beaty, Standard Handbook for Electrical Engineers, 11th ed., 1978, p. 22-8, as
 * open encyclopedias cite it under lamp rerating: with the voltage, light goes to the power of 3.4
 * (3.4 to 3.5), watts to that of 1.6, colour temperature to that of 0.42. */
#define LIGHT_POWER 3.4
#define WATTS_POWER 1.6
#define CCT_POWER 0.42

/* As the delivered profiles state them. */
#define LAMP_LM 9200
#define LAMP_W 600
#define LAMP_K 3200

enum { LAMP, LAMP_16, EMBER, WASH, UNITS };

static const struct trial_unit units[UNITS] = {
    {"lamp", "tungsten-spot.json", "dimmed", 1, 1, "S", 1},
    {"lamp 16", "tungsten-spot.json", "dimmed 16-bit", 1, 11, "S", 1},
    {"ember", "ember-downlight.json", "8-bit", 1, 21},
    {"wash", "five-colour-wash.json", "16-bit", 1, 31},
};

struct world {
    mtm_rig *rig;
    mtm_matcher *matcher;
};

static struct world open_world(void)
{
    static const struct trial_supply supply = {"S", 1, 700, 700};
    struct world world = {trial_rig_on(&supply, 1, units, COUNT(units)), NULL};
    mtm_error error = {""};

    trial_must(mtm_matcher_create(world.rig, MTM_OBSERVER_2, &world.matcher, &error), &error);
    return world;
}

static void close_world(struct world *world)
{
    mtm_matcher_free(world->matcher);
    mtm_rig_free(world->rig);
}

static mtm_match match_of(const struct world *world, size_t unit, uint32_t code)
{
    const mtm_codes codes = {.dimmer = code};
    mtm_match match;

    mtm_matcher_predict(world->matcher, unit, &codes, &match);
    return match;
}

/* Kelvin and Duv of the delivered table: powers of the output between rows. */
static mtm_white ember_at(double share)
{
    static const double rows[][3] = {
        {0.01, 1800, 0.001}, {0.1, 2050, 0}, {0.4, 2500, -0.001}, {1, 3000, 0}};
    size_t i = 0;

    if (share <= rows[0][0])
        return (mtm_white){1800, 0.001};
    while (i < 2 && share > rows[i + 1][0])
        i++;
    double part = (log(share) - log(rows[i][0])) / (log(rows[i + 1][0]) - log(rows[i][0]));
    return (mtm_white){exp(log(rows[i][1]) + part * log(rows[i + 1][1] / rows[i][1])),
                       rows[i][2] + part * (rows[i + 1][2] - rows[i][2])};
}

static void check_white(const char *what, const mtm_match *match, mtm_white white)
{
    mtm_xy xy;

    assert_int_equal(mtm_white_to_xy(white, &xy, NULL), MTM_OK);
    CHECK_NEAR(what, mtm_uv_distance(mtm_uv_from_xyz(match->xyz), mtm_uv_from_xy(xy)), 0, 1e-8);
}

/* Every code of 8 bits, and 16-bit ones between them. */
static void test_forward(void **state)
{
    struct world world = open_world();

    (void)state;
    for (uint32_t code = 1; code <= 255; code++) {
        const double voltage = code / 255.0;
        const double cct_k = fmax(1000, LAMP_K * pow(voltage, CCT_POWER));
        mtm_match match = match_of(&world, LAMP, code);
        CHECK_NEAR("lm", match.flux_lm / (LAMP_LM * pow(voltage, LIGHT_POWER)), 1, 1e-9);
        CHECK_NEAR("W", match.watts / (LAMP_W * pow(voltage, WATTS_POWER)), 1, 1e-9);
        check_white("K", &match, (mtm_white){cct_k, 0});
        match = match_of(&world, LAMP_16, 257 * code);
        CHECK_NEAR("lm", match.flux_lm / (LAMP_LM * pow(voltage, LIGHT_POWER)), 1, 1e-9);
        check_white("K", &match, (mtm_white){cct_k, 0});
        match = match_of(&world, EMBER, code);
        CHECK_NEAR("lm", match.flux_lm, 900 * voltage * voltage, 1e-9);
        check_white("K", &match, ember_at(voltage * voltage));
        assert_true(isnan(match.watts));
    }
    mtm_match dark = match_of(&world, LAMP, 0);
    assert_true(dark.xyz.y == 0 && dark.watts == 0);
    close_world(&world);
}

/* A tenth of the light takes 0.1 ^ (1.6 / 3.4) = 0.3384 of the watts, by hand. */
static void test_watts(void **state)
{
    (void)state;
    CHECK_NEAR("10 %", mtm_lamp_watts_share(0.1), 0.3384, 5e-5);
    CHECK_NEAR("full", mtm_lamp_watts_share(1), 1, 0);
    CHECK_NEAR("dark", mtm_lamp_watts_share(0), 0, 0);
    for (int i = 1; i <= 100; i++)
        CHECK_NEAR("back", mtm_lamp_light_at_watts(mtm_lamp_watts_share(i / 100.0)), i / 100.0,
                   1e-12);
}

/* The spectrum is that of a Planckian radiator: CIE 13.3 and CIE 224 stand it beside itself. */
static void test_spectrum(void **state)
{
    struct world world = open_world();

    (void)state;
    for (uint32_t code = 40; code <= 255; code += 43) {
        const mtm_match match = match_of(&world, LAMP, code);
        const mtm_fixture *fixture = mtm_rig_unit(world.rig, LAMP)->fixture;
        mtm_judgement judgement;
        mtm_error error = {""};

        trial_must(mtm_judge(fixture, match.level, &judgement, &error), &error);
        assert_true(judgement.has_quality && judgement.planckian);
        CHECK_NEAR("Ra", judgement.ra, 100, 0.1);
        CHECK_NEAR("Rf", judgement.rf, 100, 0.1);
        CHECK_NEAR("lm", judgement.xyz[0].y, match.flux_lm, 1e-6);
        CHECK_NEAR("spectrum and light are one",
                   mtm_uv_distance(mtm_uv_from_xyz(judgement.xyz[0]), mtm_uv_from_xyz(match.xyz)),
                   0, 1e-6);
        assert_true(mtm_judge(mtm_rig_unit(world.rig, EMBER)->fixture,
                              match_of(&world, EMBER, code).level, &judgement, &error) == MTM_OK &&
                    !judgement.has_spectrum);
    }
    close_world(&world);
}

static mtm_match solve(struct world *world, size_t unit, mtm_white white, mtm_output output)
{
    mtm_match_request request = {.output = output};
    mtm_match match;
    mtm_error error = {""};

    trial_must(mtm_target_from_white(white, MTM_OBSERVER_2, &request.target, &error), &error);
    trial_must(mtm_matcher_unit(world->matcher, unit, &request, &match, &error), &error);
    return match;
}

/* An output that is stated gets the nearest of all codes; without one, the nearest colour does. */
static void test_all_codes(void **state)
{
    struct world world = open_world();
    struct random random = {71}; /* the seed */

    (void)state;
    for (int i = 0; i < 300; i++) {
        const size_t unit = i % 2 == 0 ? LAMP : EMBER;
        const double share = random_between(&random, 0.02, 1);
        const mtm_white white = {random_between(&random, 1900, 4000),
                                 random_between(&random, -0.005, 0.005)};
        mtm_xy xy;
        double least = INFINITY, nearest = INFINITY;

        assert_int_equal(mtm_white_to_xy(white, &xy, NULL), MTM_OK);
        mtm_match by_output = solve(&world, unit, white, (mtm_output){MTM_OUTPUT_SHARE, share});
        mtm_match by_colour = solve(&world, unit, white, (mtm_output){MTM_OUTPUT_MAX, 0});
        const double full_lm = by_output.ideal.most;
        for (uint32_t code = 1; code <= 255; code++) {
            mtm_match one = match_of(&world, unit, code);
            least = fmin(least, fabs(one.flux_lm / full_lm - share));
            nearest = fmin(nearest, mtm_uv_distance(mtm_uv_from_xyz(one.xyz), mtm_uv_from_xy(xy)));
        }
        CHECK_NEAR("output", fabs(by_output.flux_lm / full_lm - share), least, 1e-9);
        CHECK_NEAR("ideal", by_output.ideal.xyz.y, share * full_lm, 1e-6);
        assert_true(by_colour.gamut_uv <= nearest + 1e-9); /* no code is nearer than the ideal */
        assert_true(by_colour.delta_uv >= nearest - 1e-12);
        /* nor is the code of its light farther than the next one: half a step of the codes */
        mtm_match next[2] = {
            match_of(&world, unit, by_colour.codes.dimmer - 1),
            match_of(&world, unit,
                     by_colour.codes.dimmer < 255 ? by_colour.codes.dimmer + 1 : 255)};
        double step =
            fmax(mtm_uv_distance(mtm_uv_from_xyz(next[0].xyz), mtm_uv_from_xyz(by_colour.xyz)),
                 mtm_uv_distance(mtm_uv_from_xyz(next[1].xyz), mtm_uv_from_xyz(by_colour.xyz)));
        assert_true(by_colour.delta_uv <= nearest + step);
    }
    close_world(&world);
}

/* Back from the codes of 16 bits to the lamp that they show. */
static void test_like(void **state)
{
    struct world world = open_world();
    struct random random = {72}; /* the seed */

    (void)state;
    for (int i = 0; i < 100; i++) {
        const mtm_codes codes = {.dimmer = 12000 + (uint32_t)random_index(&random, 53000)};
        const double share = pow(codes.dimmer / 65535.0, LIGHT_POWER);
        mtm_match_request request = {.output = {MTM_OUTPUT_MAX, 0}};
        mtm_match match;
        mtm_target lamp;
        mtm_error error = {""};

        trial_must(mtm_target_from_unit(mtm_rig_unit(world.rig, LAMP_16), &codes, MTM_OBSERVER_2,
                                        &request.target, &error),
                   &error);
        trial_must(mtm_target_from_lamp((mtm_lamp){LAMP_K, share}, MTM_OBSERVER_2, &lamp, &error),
                   &error);
        CHECK_NEAR("the same lamp as a target",
                   mtm_uv_distance(mtm_uv_from_xy(lamp.xy), mtm_uv_from_xy(request.target.xy)), 0,
                   1e-6);
        trial_must(mtm_matcher_unit(world.matcher, LAMP_16, &request, &match, &error), &error);
        assert_in_range(match.codes.dimmer, codes.dimmer - 1, codes.dimmer + 1);
    }
    close_world(&world);
}

/* Cooler than full is full, warmer than the path the most light of its warm end. */
static void test_beyond(void **state)
{
    struct world world = open_world();

    (void)state;
    mtm_match match = solve(&world, LAMP, (mtm_white){6500, 0}, (mtm_output){MTM_OUTPUT_MAX, 0});
    assert_int_equal(match.codes.dimmer, 255);
    assert_true((mtm_match_misses(&match, false) & MTM_MISS_GAMUT) != 0);
    match = solve(&world, EMBER, (mtm_white){1200, 0}, (mtm_output){MTM_OUTPUT_MAX, 0});
    CHECK_NEAR("1 % is the warm end", match.ideal.xyz.y, 9, 1e-6);
    match = solve(&world, LAMP, (mtm_white){2700, 0}, (mtm_output){MTM_OUTPUT_LM, 20000});
    assert_int_equal(match.codes.dimmer, 255);
    assert_true((match.shortfall & MTM_SHORT_OUTPUT) != 0);
    mtm_match_request request = {.goal = MTM_GOAL_RENDERING};
    mtm_choice choice[MTM_CHOICES_MAX];
    mtm_fallback fallback;
    size_t count = 0;
    assert_int_equal(
        mtm_target_from_white((mtm_white){2700, 0}, MTM_OBSERVER_2, &request.target, NULL), MTM_OK);
    assert_int_equal(
        mtm_matcher_choices(world.matcher, LAMP, &request, choice, &count, &fallback, NULL),
        MTM_OK);
    assert_true(count == 1 && fallback == MTM_FALLBACK_ONE_MIX);
    CHECK_NEAR("one choice", choice[0].answer.xyz.y / LAMP_LM,
               pow(2700.0 / LAMP_K, LIGHT_POWER / CCT_POWER), 1e-6);
    match = solve(&world, LAMP, (mtm_white){2700, 0}, (mtm_output){MTM_OUTPUT_SHARE, 0});
    assert_true(match.xyz.y == 0 && match.watts == 0);
    close_world(&world);
}

/* A headroom holds the light back, codes included; the colour comes with it. */
static void test_headroom(void **state)
{
    static const mtm_output output[] = {
        {MTM_OUTPUT_MAX, 0}, {MTM_OUTPUT_LM, 1e5}, {MTM_OUTPUT_SHARE, 0.5}};

    (void)state;
    for (size_t unit = 0; unit <= EMBER; unit++) {
        const double most = 0.8 * (unit == EMBER ? 900 : LAMP_LM);
        struct world world = {trial_rig_of("'units': [{"
                                           "'name': 'held', 'fixture': '%s', 'mode': '%s',"
                                           "'universe': 1, 'address': 1,"
                                           "'limits': {'headroom': 0.2}}]",
                                           units[unit].fixture, units[unit].mode),
                              NULL};
        mtm_error error = {""};
        trial_must(mtm_matcher_create(world.rig, MTM_OBSERVER_2, &world.matcher, &error), &error);
        for (size_t i = 0; i < COUNT(output); i++) {
            mtm_match match = solve(&world, 0, (mtm_white){4000, 0}, output[i]);
            CHECK_NEAR("ideal", match.ideal.xyz.y, (i == 2 ? 0.5 : 1) * most, 1e-6 * most);
            assert_true(match.xyz.y <= most * (1 + 1e-9));
            assert_int_equal((match.shortfall & MTM_SHORT_OUTPUT) != 0, i == 1);
        }
        close_world(&world);
    }
}

/* The white is that of the others; the output is common. */
static void test_together(void **state)
{
    static const size_t chosen[] = {LAMP_16, WASH, EMBER};
    struct world world = open_world();
    mtm_match_request request = {.output = {MTM_OUTPUT_SHARE, 0.1}};
    mtm_match match[COUNT(chosen)];
    mtm_common common;
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_target_from_white((mtm_white){3000, 0}, MTM_OBSERVER_2, &request.target, &error),
               &error);
    trial_must(mtm_matcher_together(world.matcher, chosen, COUNT(chosen), &request, match, &common,
                                    &error),
               &error);
    assert_true(common.exists && common.limits_output == WASH);
    CHECK_NEAR("white", common.delta_uv, 0, 1e-9);
    for (size_t i = 0; i < COUNT(chosen); i++)
        CHECK_NEAR("output", match[i].ideal.xyz.y, common.output, 1e-6 * common.output);
    CHECK_NEAR(
        "what the lamp shows there", match[0].ideal.delta_uv,
        mtm_uv_distance(mtm_uv_from_xyz(match[0].ideal.xyz), mtm_uv_from_xy(request.target.xy)),
        1e-12);
    assert_int_equal(
        mtm_matcher_together(world.matcher, chosen, 1, &request, match, &common, &error),
        MTM_RANGE);
    CHECK_HOLDS(error.text, "goes with its output");
    close_world(&world);
}

/* Two lamps of 600 W on a supply of 700: light comes down until the watts are within, and no
 * farther than rounding asks. */
static void test_load(void **state)
{
    static const size_t chosen[] = {LAMP, LAMP_16};
    struct world world = open_world();
    mtm_match_request request = {.output = {MTM_OUTPUT_SHARE, 1}};
    mtm_match match[COUNT(chosen)];
    bool held[COUNT(chosen)];
    double level[MTM_EMITTERS_MAX];
    mtm_error error = {""};

    (void)state;
    for (uint32_t code = 1; code <= 255; code++) {
        const mtm_codes codes = {.dimmer = code};
        mtm_coder_levels(mtm_matcher_coder(world.matcher, LAMP), &codes, level);
        CHECK_NEAR("watts of levels",
                   mtm_demand_level_w(mtm_rig_unit(world.rig, LAMP), level) / LAMP_W,
                   pow(code / 255.0, WATTS_POWER), 1e-9);
        mtm_coder_levels(mtm_matcher_coder(world.matcher, EMBER), &codes, level);
        CHECK_NEAR("the most where it is not known",
                   mtm_demand_level_w(mtm_rig_unit(world.rig, EMBER), level), 12, 0);
    }
    trial_must(mtm_target_from_white((mtm_white){3000, 0}, MTM_OBSERVER_2, &request.target, &error),
               &error);
    for (size_t i = 0; i < COUNT(chosen); i++)
        trial_must(mtm_matcher_unit(world.matcher, chosen[i], &request, &match[i], &error), &error);
    CHECK_NEAR("asked", match[0].watts + match[1].watts, 1200, 1e-6);
    trial_must(mtm_match_hold_demand(world.matcher, &request, match, COUNT(chosen), NULL, NULL,
                                     held, &error),
               &error);
    const double watts = match[0].watts + match[1].watts;
    assert_true(held[0] && held[1]);
    if (!(watts <= 700 && watts > 690))
        fail_msg("%g W on 700", watts);
    close_world(&world);
}

/* Whatever the path, each frame's colour is that of its light. */
static void test_fade(void **state)
{
    static const char *const paths[] = {"light", "slots", "white", "lamp", "cam16"};

    (void)state;
    for (size_t p = 0; p < COUNT(paths); p++) {
        struct world world = open_world();
        mtm_show *show = trial_show(
            world.rig,
            "'cues': [{'number': 1, 'up_s': 0, 'set': [{'group': 'all', 'colour': {'cct_k': 3000}, "
            "'output': 0.9}]}, {'number': 2, 'up_s': 3, 'down_s': 3, 'path': '%s', 'set': "
            "[{'group': 'all', 'colour': {'cct_k': 2400}, 'output': 0.1}]}]",
            paths[p]);
        const mtm_fader_options options = {40, false, true};
        mtm_fader *fader = NULL;
        mtm_fade_finding finding[UNITS];
        double before = INFINITY;
        mtm_error error = {""};

        trial_must(mtm_fader_create(show, &options, &fader, &error), &error);
        trial_must(mtm_fader_set(fader, 0, &error), &error);
        trial_must(mtm_fader_go(fader, 1, &error), &error);
        for (int frame = 1; frame <= 120; frame++) {
            mtm_match match;
            trial_must(mtm_fader_step(fader, &error), &error);
            assert_true(
                mtm_matcher_decode(world.matcher, LAMP_16, mtm_fader_slots(fader, 0), 512, &match));
            const double share = match.flux_lm / LAMP_LM;
            check_white("of the light", &match,
                        (mtm_white){LAMP_K * pow(share, CCT_POWER / LIGHT_POWER), 0});
            assert_true(match.flux_lm <= before);
            before = match.flux_lm;
        }
        CHECK_NEAR("end", before / LAMP_LM, 0.1, 1e-4);
        trial_must(mtm_fade_examine(fader, 1, finding, NULL, NULL, &error), &error);
        CHECK_NEAR("stray of 16 bits", finding[LAMP_16].stray, 0, 1e-5);
        mtm_fader_free(fader);
        mtm_show_free(show);
        close_world(&world);
    }
}

/* Common whites are those of the other units; the lamps' own range is told. */
static void test_survey(void **state)
{
    struct world world = open_world();
    static const size_t lamps[] = {LAMP, LAMP_16};
    mtm_survey *survey = NULL;
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_survey_create(world.rig, NULL, 0, NULL, &survey, &error), &error);
    assert_int_equal(mtm_survey_range_count(survey), 1);
    CHECK_NEAR("coolest", mtm_survey_kind_at(survey, 0)->coolest_k, LAMP_K, 1e-9);
    CHECK_NEAR("warmest", mtm_survey_kind_at(survey, 0)->warmest_k, 1000, 1e-6);
    assert_int_equal(mtm_survey_white_at(survey, 0)->ends_output, WASH);
    mtm_survey_free(survey);
    trial_must(mtm_survey_create(world.rig, lamps, 2, NULL, &survey, &error), &error);
    assert_int_equal(mtm_survey_white_count(survey), 0);
    assert_int_equal(mtm_survey_range_count(survey), 0);
    mtm_survey_free(survey);
    close_world(&world);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_forward),  cmocka_unit_test(test_watts),
        cmocka_unit_test(test_spectrum), cmocka_unit_test(test_all_codes),
        cmocka_unit_test(test_like),     cmocka_unit_test(test_beyond),
        cmocka_unit_test(test_headroom), cmocka_unit_test(test_together),
        cmocka_unit_test(test_load),     cmocka_unit_test(test_fade),
        cmocka_unit_test(test_survey),
    };

    return cmocka_run_group_tests_name("units whose colour goes with their output", tests, NULL,
                                       NULL);
}
