/* SPDX-License-Identifier: MIT */
/* Limiter: no frame is over a rating, none within them is touched, colours stay. */
#include "support/trial.h"

#include <metamer/fade.h>
#include <metamer/limiter.h>

/* Two of 90 W on a port of 120 W; three more make up to 270 W on a supply of 300 W. */
static const struct trial_supply supplies[] = {{"S1", 4, 120, 300}};
static const struct trial_unit units[] = {
    {"a", "five-colour-wash.json", "16-bit", 1, 1, "S1", 1},
    {"b", "five-colour-wash.json", "8-bit", 1, 13, "S1", 1},
    {"c", "five-colour-wash.json", "16-bit", 1, 19, "S1", 2},
    {"d", "five-colour-wash.json", "16-bit", .supply = "S1", .port = 3, .follows = "c"},
    {"e", "five-colour-wash.json", "8-bit", 2, 1},
};

static const char cues[] =
    "'cues': [{'number': 1, 'up_s': 2, 'set': [{'group': 'all', 'colour': {'cct_k': 4000}, "
    "'output': 1}]}]";

struct stage {
    mtm_rig *rig;
    mtm_show *show;
    mtm_fader *fader, *twin; /* the same show twice: limited and as it is */
    mtm_frame_source source, plain;
    mtm_limiter *limiter;
};

static void set_up(struct stage *stage, const mtm_demand_options *options)
{
    mtm_error error = {""};

    *stage = (struct stage){0};
    stage->rig = trial_rig_on(supplies, COUNT(supplies), units, COUNT(units));
    stage->show = trial_show(stage->rig, "%s", cues);
    trial_must(mtm_fader_create(stage->show, NULL, &stage->fader, &error), &error);
    trial_must(mtm_fader_create(stage->show, NULL, &stage->twin, &error), &error);
    trial_must(
        mtm_fader_source(stage->fader, MTM_FADER_DARK, 0, MTM_PLAY_ONE, &stage->source, &error),
        &error);
    trial_must(
        mtm_fader_source(stage->twin, MTM_FADER_DARK, 0, MTM_PLAY_ONE, &stage->plain, &error),
        &error);
    trial_must(mtm_limiter_create(stage->rig, options, &stage->source, &stage->limiter, &error),
               &error);
}

static void tear_down(struct stage *stage)
{
    mtm_limiter_free(stage->limiter);
    mtm_limiter_free(NULL);
    mtm_fader_free(stage->twin);
    mtm_fader_free(stage->fader);
    mtm_show_free(stage->show);
    mtm_rig_free(stage->rig);
}

/* What a unit gives at the slots of a frame. */
static mtm_xyz light_of(const struct stage *stage, size_t index, uint8_t *const *slots,
                        double *watts)
{
    const mtm_unit *unit = mtm_rig_unit(stage->rig, index);
    double level[MTM_EMITTERS_MAX] = {0};
    mtm_xyz sum = {0};
    mtm_codes codes = {0};
    mtm_coder *coder = NULL;
    mtm_error error = {""};

    trial_must(mtm_coder_create(unit->fixture, unit->mode, MTM_OBSERVER_2, &coder, &error), &error);
    mtm_codes_from_slots(unit->mode, &slots[unit->universe - 1][unit->address - 1], &codes);
    mtm_coder_levels(coder, &codes, level);
    *watts = mtm_demand_level_w(unit, level);
    for (size_t e = 0; e < mtm_fixture_emitter_count(unit->fixture); e++) {
        const mtm_xyz *xyz = &mtm_fixture_emitter(unit->fixture, e)->xyz[MTM_OBSERVER_2];
        sum.x += level[e] * xyz->x;
        sum.y += level[e] * xyz->y;
        sum.z += level[e] * xyz->z;
    }
    mtm_coder_free(coder);
    return sum;
}

static void check_frame(const struct stage *stage, uint8_t *const *slots, uint8_t *const *plain,
                        double share, double least, bool *touched)
{
    double watts[5];
    double asked[5];
    bool over = false;

    for (size_t i = 0; i < 5; i++) {
        mtm_xyz was = light_of(stage, i, plain, &asked[i]);
        mtm_xyz is = light_of(stage, i, slots, &watts[i]);
        if (is.y > 100) /* lumens: darker ones are coarse in 8 bits, limited or not */
            assert_true(mtm_uv_distance(mtm_uv_from_xyz(was), mtm_uv_from_xyz(is)) < 0.004);
    }
    over = asked[0] + asked[1] > 120 * share * (1 + 1e-9) ||
           asked[0] + asked[1] + asked[2] + asked[3] > 300 * share * (1 + 1e-9) ||
           asked[2] > 120 * share * (1 + 1e-9);
    assert_true(watts[0] + watts[1] <= 120 * share * (1 + 1e-8));
    assert_true(watts[2] <= 120 * share * (1 + 1e-8));
    assert_true(watts[0] + watts[1] + watts[2] + watts[3] <= 300 * share * (1 + 1e-8));
    assert_int_equal(memcmp(slots[1], plain[1], 6), 0); /* e is on no supply */
    if (!over)
        assert_int_equal(memcmp(slots[0], plain[0], 30), 0);
    else /* no more is taken away than rounding needs */
        assert_true(watts[0] + watts[1] > least * 120 * share ||
                    watts[0] + watts[1] + watts[2] + watts[3] > least * 300 * share);
    *touched = over;
}

static void run(double share, double least)
{
    const mtm_demand_options options = {.supply_share = share};
    uint8_t limited[2][512] = {{0}};
    uint8_t plain[2][512] = {{0}};
    uint8_t *const to[2] = {limited[0], limited[1]};
    uint8_t *const from[2] = {plain[0], plain[1]};
    struct stage stage;
    uint64_t lowered = 0;
    bool end = false;
    bool touched = false;
    mtm_error error = {""};

    set_up(&stage, &options);
    mtm_frame_source source = mtm_limiter_source(stage.limiter);
    assert_int_equal(source.layout.universe_count, 2);
    for (uint64_t frame = 0;; frame++) {
        trial_must(stage.plain.fill(stage.plain.context, frame, from, &end, &error), &error);
        if (end)
            break;
        trial_must(source.fill(source.context, frame, to, &end, &error), &error);
        assert_false(end);
        check_frame(&stage, to, from, share, least, &touched);
        lowered += touched;
    }
    assert_int_equal(mtm_limiter_lowered(stage.limiter), lowered);
    assert_true(lowered > 5);
    trial_must(source.fill(source.context, 10000, to, &end, &error), &error);
    assert_true(end);
    tear_down(&stage);
}

static void test_full_ratings(void **state)
{
    (void)state;
    run(1, 0.95);
}

static void test_part_of_ratings(void **state)
{
    (void)state;
    run(0.6, 0.95);
}

/* Where 8-bit codes are coarse, rounding up must not go over. */
static void test_coarse(void **state)
{
    (void)state;
    run(0.03, 0.5);
    run(0.01, 0.2);
}

/* Lamps: watts go with the voltage to the power of 1.6 (common practice, no source), so that two of
 * 600 W on a port of 1000 W are dimmed to 500 W each, and neither below what that needs. */
static void test_lamps(void **state)
{
    static const struct trial_supply dimmers[] = {{"S1", 2, 1000, 2000}};
    static const struct trial_unit lamps[] = {
        {"a", "tungsten-spot.json", "dimmed 16-bit", 1, 1, "S1", 1},
        {"b", "tungsten-spot.json", "dimmed", 1, 3, "S1", 1},
        {"c", "tungsten-spot.json", "dimmed 16-bit", 1, 4, "S1", 2},
    };
    mtm_rig *rig = trial_rig_on(dimmers, COUNT(dimmers), lamps, COUNT(lamps));
    mtm_show *show =
        trial_show(rig, "'cues': [{'number': 1, 'up_s': 2, 'set': [{'group': 'all', 'colour': "
                        "{'cct_k': 3200}, 'output': 1}]}]");
    uint8_t slots[512] = {0};
    uint8_t *const to[1] = {slots};
    mtm_fader *fader = NULL;
    mtm_limiter *limiter = NULL;
    mtm_frame_source plain;
    double watts[3] = {0}, before = 0;
    bool end = false;
    mtm_error error = {""};

    (void)state;
    trial_must(mtm_fader_create(show, NULL, &fader, &error), &error);
    trial_must(mtm_fader_source(fader, MTM_FADER_DARK, 0, MTM_PLAY_ONE, &plain, &error), &error);
    trial_must(mtm_limiter_create(rig, NULL, &plain, &limiter, &error), &error);
    const mtm_frame_source source = mtm_limiter_source(limiter);
    for (uint64_t frame = 0;; frame++) {
        trial_must(source.fill(source.context, frame, to, &end, &error), &error);
        if (end)
            break;
        watts[0] = 600 * pow((256 * slots[0] + slots[1]) / 65535.0, 1.6);
        watts[1] = 600 * pow(slots[2] / 255.0, 1.6);
        watts[2] = 600 * pow((256 * slots[3] + slots[4]) / 65535.0, 1.6);
        assert_true(watts[0] + watts[1] <= 1000 * (1 + 1e-8));
        assert_true(watts[0] >= before - 5); /* they come up, and stay */
        before = watts[0];
    }
    assert_true(watts[0] + watts[1] > 980); /* a code of the 8-bit lamp is 4 W */
    CHECK_NEAR("shared", watts[0], watts[1], 8);
    CHECK_NEAR("alone", watts[2], 600, 1e-9);
    assert_true(mtm_limiter_lowered(limiter) > 5);
    mtm_limiter_free(limiter);
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

static void test_bad(void **state)
{
    struct stage stage;
    mtm_limiter *none = NULL;
    const mtm_demand_options options = {.supply_share = 1.5};
    mtm_error error = {""};

    (void)state;
    set_up(&stage, NULL);
    assert_int_equal(mtm_limiter_create(NULL, NULL, &stage.source, &none, &error), MTM_INVALID);
    assert_int_equal(mtm_limiter_create(stage.rig, NULL, NULL, &none, &error), MTM_INVALID);
    assert_int_equal(mtm_limiter_create(stage.rig, &options, &stage.source, &none, &error),
                     MTM_INVALID);
    assert_null(none);
    tear_down(&stage);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_full_ratings), cmocka_unit_test(test_part_of_ratings),
        cmocka_unit_test(test_coarse),       cmocka_unit_test(test_lamps),
        cmocka_unit_test(test_bad),
    };

    return cmocka_run_group_tests_name("limiter", tests, NULL, NULL);
}
