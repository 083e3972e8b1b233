/* SPDX-License-Identifier: MIT */
/* Fades: that they begin and end where they should, keep to their paths, move without jumps, and
 * keep to the times a lighting desk would. */
#include "support/random.h"
#include "support/trial.h"

#include "fade/fader.h"

#include <metamer/fade.h>

/* Two five-emitter units, one of each resolution, one with a dimmer, a tunable white, a strip. */
static const struct trial_unit units[] = {
    {"fine", "five-colour-batten.json", "16-bit", 3, 11},
    {"coarse", "five-colour-batten.json", "8-bit", 3, 31},
    {"dimmed", "five-colour-wash.json", "16-bit", 7, 1},
    {"white", "tunable-white.json", "16-bit", 7, 101},
    {"strip", "three-colour-strip.json", "8-bit", 3, 1},
};

static mtm_rig *rig;

struct run {
    mtm_show *show;
    mtm_fader *fader;
};

/* A show of these cues (JSON), and a fader at this refresh; the times of E1.11 are not looked at.
 */
static struct run run_begin(const char *cues, double refresh_hz, bool dither)
{
    const mtm_fader_options options = {refresh_hz, dither, true};
    struct run run = {.show = trial_show(rig, "'cues': [%s]", cues)};
    mtm_error error = {""};

    trial_must(mtm_fader_create(run.show, &options, &run.fader, &error), &error);
    return run;
}

static void run_end(struct run *run)
{
    mtm_fader_free(run->fader);
    mtm_show_free(run->show);
}

static void go(struct run *run, size_t cue)
{
    mtm_error error = {""};

    if (mtm_fader_go(run->fader, cue, &error) != MTM_OK)
        fail_msg("%s", error.text);
}

static void step(struct run *run)
{
    assert_int_equal(mtm_fader_step(run->fader, NULL), MTM_OK);
}

static mtm_fader_state at(struct run *run, size_t unit)
{
    mtm_fader_state state;

    mtm_fader_unit(run->fader, unit, &state);
    return state;
}

/* What a unit sends, in codes, from its slots. */
static mtm_codes sent(struct run *run, size_t unit)
{
    const mtm_unit *of = mtm_rig_unit(rig, unit);
    size_t universe = of->universe == 3 ? 0 : 1;
    mtm_codes codes = {0};

    mtm_codes_from_slots(of->mode, mtm_fader_slots(run->fader, universe) + of->address - 1, &codes);
    return codes;
}

static const char *two_cues(const char *path)
{
    static char text[1000];

    (void)snprintf(text, sizeof text,
                   "{'number': 1, 'up_s': 0, 'set': [{'group': 'all', 'colour': {'cct_k': 3000}, "
                   "'output': 0.7}]}, "
                   "{'number': 2, 'up_s': 5, 'down_s': 5, 'path': '%s', 'set': [{'group': 'all', "
                   "'colour': {'cct_k': 5600}, 'output': 0.2}]}",
                   path);
    return text;
}

/* After the last frame, slots are those of the match, as the match command would give them. */
static void test_ends(void **state)
{
    struct run run = run_begin(two_cues("light"), 40, false);
    mtm_matcher *matcher = NULL;
    mtm_match_request request = {.output = {MTM_OUTPUT_SHARE, 0.2}};

    (void)state;
    assert_int_equal(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, NULL), MTM_OK);
    assert_int_equal(
        mtm_target_from_white((mtm_white){5600, 0}, MTM_OBSERVER_2, &request.target, NULL), MTM_OK);
    go(&run, 0);
    step(&run);
    assert_int_equal(mtm_fader_frames_left(run.fader), 0);
    go(&run, 1);
    assert_int_equal(mtm_fader_frames_left(run.fader), 200);
    for (int i = 0; i < 200; i++)
        step(&run);
    assert_int_equal(mtm_fader_frames_left(run.fader), 0);
    for (size_t unit = 0; unit < 4; unit++) {
        mtm_match match;
        mtm_codes codes = sent(&run, unit);

        assert_int_equal(mtm_matcher_unit(matcher, unit, &request, &match, NULL), MTM_OK);
        assert_memory_equal(&codes, &match.codes, sizeof codes);
    }
    mtm_matcher_free(matcher);
    run_end(&run);
}

/* The largest change of a level between frames. A transition along slots is between codes: beside
 * the light of its ends by their rounding, which no frame shows. */
static double largest_change(const char *path, double refresh_hz)
{
    struct run run = run_begin(two_cues(path), refresh_hz, false);
    const bool by_slots = strcmp(path, "slots") == 0;
    double largest = 0;

    go(&run, 0);
    step(&run);
    go(&run, 1);
    mtm_fader_state last[4] = {at(&run, 0), at(&run, 1), at(&run, 2), at(&run, 3)};
    while (mtm_fader_frames_left(run.fader) > 0) {
        step(&run);
        for (size_t unit = 0; unit < 4; unit++) {
            mtm_fader_state now = at(&run, unit);
            bool between = now.moving && last[unit].moving;

            for (size_t i = 0; i < MTM_EMITTERS_MAX && (between || !by_slots); i++)
                largest = fmax(largest, fabs(now.level[i] - last[unit].level[i]));
            last[unit] = now;
        }
    }
    run_end(&run);
    return largest;
}

/* A transition without jumps: twice the frames, half the largest change, on every path. */
static void test_continuous(void **state)
{
    (void)state;
    for (const mtm_path_info *info = mtm_path_type_at(0); info != NULL;
         info = mtm_path_type_at(info->type + 1)) {
        double slow = largest_change(info->name, 40);
        double fast = largest_change(info->name, 320);

        if (!(slow < 0.05 && fast < 0.15 * slow))
            fail_msg("%s: %g at 40 Hz, %g at 320 Hz", info->name, slow, fast);
    }
}

/* What is sent stays by the transition: within one code and a ten-thousandth of the light; where
 * rounding is carried, so does the mean. */
static void test_rounding(void **state)
{
    (void)state;
    for (const mtm_path_info *info = mtm_path_type_at(0); info != NULL;
         info = mtm_path_type_at(info->type + 1)) {
        struct run run = run_begin(two_cues(info->name), 40, false);
        double sum[5][MTMI_CHANNELS_MAX] = {{0}};
        double allowed[5][MTMI_CHANNELS_MAX] = {{0}};
        double step_of[5][MTMI_CHANNELS_MAX] = {{0}};

        go(&run, 0);
        step(&run);
        go(&run, 1);
        while (mtm_fader_frames_left(run.fader) > 1) {
            step(&run);
            for (size_t unit = 0; unit < 5; unit++) {
                const mtmi_runner *runner = &run.fader->runners[unit];
                const mtmi_kind *kind = runner->kind;
                double code[MTMI_CHANNELS_MAX];
                mtm_codes codes = sent(&run, unit);

                mtmi_transition_codes(&runner->transition, (double)runner->frame, code);
                for (size_t i = 0; i < kind->channel_count; i++) {
                    double most = kind->most[i];
                    double reach = most > 255 ? 1.2 : 1.02;
                    double low = mtmi_level_of(kind, i, fmax(0, code[i] - reach));
                    double high = mtmi_level_of(kind, i, fmin(most, code[i] + reach));
                    double level = mtmi_level_of(kind, i, code[i]);
                    double got = mtmi_level_of(kind, i, mtmi_codes_channel(kind, &codes, i));

                    if (runner->transition.dimmer == MTMI_DIMMER_GUIDED &&
                        i < kind->emitters.count &&
                        runner->transition.path_type != MTM_PATH_SLOTS) {
                        /* behind the dimmer as it was rounded, to which they are fitted */
                        double dimmer = mtmi_level_of(kind, kind->emitters.count, codes.dimmer);
                        double position = mtmi_code_for(kind, i, at(&run, unit).level[i] / dimmer);
                        low = mtmi_level_of(kind, i, fmax(0, position - reach));
                        high = mtmi_level_of(kind, i, fmin(most, position + reach));
                    }
                    if (!(got >= low - 1.1e-4 * level - 1e-8 &&
                          got <= high + 1.1e-4 * level + 1e-8))
                        fail_msg("%s, unit %zu, channel %zu: %.9g, not %.9g..%.9g", info->name,
                                 unit, i, got, low, high);
                    sum[unit][i] += got - level;
                    step_of[unit][i] = fmax(step_of[unit][i], high - low);
                    allowed[unit][i] += 1.1e-4 * level + 1e-9;
                    if (most > 255 &&
                        !(fabs(sum[unit][i]) <= 2 * step_of[unit][i] + allowed[unit][i]))
                        fail_msg("%s, unit %zu, channel %zu: the mean is off by %g", info->name,
                                 unit, i, sum[unit][i]);
                }
            }
        }
        run_end(&run);
    }
}

static double squared_steps(const mtmi_kind *kind, const double *code, mtm_xyz wanted)
{
    double level[MTM_EMITTERS_MAX] = {0};

    for (size_t i = 0; i < kind->emitters.count; i++)
        level[i] = mtmi_level_of(kind, i, code[i]);
    mtm_xyz xyz = mtmi_mix_xyz(&kind->emitters, level);
    if (!(xyz.y > 0))
        return 2500; /* no light: 100 % of 2 % steps */
    double uv = mtm_uv_distance(mtm_uv_from_xyz(xyz), mtm_uv_from_xyz(wanted)) / 0.0011;
    double y = (xyz.y - wanted.y) / wanted.y / 0.02;
    return uv * uv + y * y;
}

/* Units of 8 bits without a dimmer: no channel turns back in a transition that does not, and their
 * colour is kept better than by the nearest code of each channel. */
static void test_together(void **state)
{
    struct run run = run_begin("{'number': 1, 'up_s': 30, 'set': [{'unit': 'strip', 'colour': "
                               "{'cct_k': 3000}, 'output': 0.3}]}",
                               40, false);
    const mtmi_runner *runner = &run.fader->runners[4];
    mtm_codes last = {0};
    double together = 0;
    double alone = 0;

    (void)state;
    go(&run, 0);
    while (mtm_fader_frames_left(run.fader) > 1) {
        double exact[MTMI_CHANNELS_MAX] = {0};
        double code[MTMI_CHANNELS_MAX] = {0};
        double nearest[MTMI_CHANNELS_MAX] = {0};

        step(&run);
        mtm_codes now = sent(&run, 4);
        mtmi_transition_codes(&runner->transition, (double)runner->frame, exact);
        for (size_t i = 0; i < 3; i++) {
            assert_true(now.emitter[i] >= last.emitter[i]);
            code[i] = now.emitter[i];
            nearest[i] = floor(exact[i] + 0.5);
        }
        together += squared_steps(runner->kind, code, at(&run, 4).wanted);
        alone += squared_steps(runner->kind, nearest, at(&run, 4).wanted);
        last = now;
    }
    if (!(together < 0.8 * alone))
        fail_msg("squared steps: %g together, %g alone", together, alone);
    run_end(&run);
}

/* With a transition that is straight in codes, the carried rounding adds up to it within one code.
 */
static void test_mean(void **state)
{
    struct run run = run_begin(two_cues("slots"), 40, false);
    double sum[MTMI_CHANNELS_MAX] = {0};

    (void)state;
    go(&run, 0);
    step(&run);
    go(&run, 1);
    while (mtm_fader_frames_left(run.fader) > 1) {
        const mtmi_runner *runner = &run.fader->runners[0];
        double code[MTMI_CHANNELS_MAX];

        step(&run);
        mtm_codes codes = sent(&run, 0);
        mtmi_transition_codes(&runner->transition, (double)runner->frame, code);
        for (size_t i = 0; i < runner->kind->channel_count; i++) {
            sum[i] += mtmi_codes_channel(runner->kind, &codes, i) - code[i];
            CHECK_NEAR("sum of what rounding did", sum[i], 0, 1.1);
        }
    }
    run_end(&run);
}

/* On each path the light before rounding has the colour of the path, wherever the unit can. */
static void test_path_is_kept(void **state)
{
    (void)state;
    for (const mtm_path_info *info = mtm_path_type_at(0); info != NULL;
         info = mtm_path_type_at(info->type + 1)) {
        struct run run = run_begin(two_cues(info->name), 40, false);

        go(&run, 0);
        step(&run);
        go(&run, 1);
        while (mtm_fader_frames_left(run.fader) > 1) {
            step(&run);
            for (size_t unit = 0; unit < 3; unit++) {
                const mtmi_runner *runner = &run.fader->runners[unit];
                mtm_fader_state now = at(&run, unit);
                mtm_xyz xyz = mtmi_mix_xyz(&runner->kind->emitters, now.level);

                assert_false(now.held_by_gamut);
                CHECK_NEAR("Y", xyz.y, now.wanted.y, 1e-6 * now.wanted.y);
                CHECK_NEAR(info->name,
                           mtm_uv_distance(mtm_uv_from_xyz(xyz), mtm_uv_from_xyz(now.wanted)), 0,
                           1e-7);
            }
        }
        run_end(&run);
    }
}

/* A white fade stays at Duv 0 and is even in mired: half way from 3000 K to 5600 K in time is
 * 256.0 mired, (333.33 + 178.57) / 2. */
static void test_white_half_way(void **state)
{
    struct run run = run_begin(two_cues("white"), 40, false);
    mtm_white white;

    (void)state;
    go(&run, 0);
    step(&run);
    go(&run, 1);
    for (int i = 0; i < 100; i++)
        step(&run);
    mtm_xyz xyz = mtmi_mix_xyz(&run.fader->runners[0].kind->emitters, at(&run, 0).level);
    assert_int_equal(mtm_white_from_xy(mtm_xy_from_xyz(xyz), &white, NULL), MTM_OK);
    CHECK_NEAR("mired", mtm_mired_from_cct(white.cct_k), 255.952, 0.01);
    CHECK_NEAR("Duv", white.duv, 0, 1e-5);
    run_end(&run);
}

/* Light that rises takes the time up, light that falls the time down, after the delay (common
 * practice, no source). Straight in slots, that is so for every slot. */
static void test_up_and_down(void **state)
{
    struct run run =
        run_begin("{'number': 1, 'up_s': 0, 'set': [{'unit': 'fine', 'colour': {'cct_k': 3000}, "
                  "'output': 0.5}, {'unit': 'coarse', 'colour': {'cct_k': 3000}, 'output': 0.5}]}, "
                  "{'number': 2, 'up_s': 2, 'down_s': 4, 'delay_s': 1, 'set': [{'unit': 'fine', "
                  "'output': 0.9}, {'unit': 'coarse', 'output': 0.1}]}",
                  40, false);

    (void)state;
    go(&run, 0);
    step(&run);
    go(&run, 1);
    mtm_codes before = sent(&run, 0);
    assert_int_equal(mtm_fader_frames_left(run.fader), 200);
    for (int i = 0; i < 40; i++) {
        step(&run);
        mtm_codes now = sent(&run, 0);
        assert_memory_equal(&now, &before, sizeof now);
    }
    step(&run);
    assert_true(at(&run, 0).moving && at(&run, 1).moving);
    for (int i = 0; i < 79; i++)
        step(&run);
    assert_true(!at(&run, 0).moving && at(&run, 1).moving);
    for (int i = 0; i < 80; i++)
        step(&run);
    assert_false(at(&run, 1).moving);
    assert_int_equal(mtm_fader_frames_left(run.fader), 0);
    run_end(&run);
}

/* A cue that comes amid a fade starts from where the light is: no jump. */
static void test_cut_short(void **state)
{
    struct run run = run_begin(two_cues("cam16"), 40, false);

    (void)state;
    go(&run, 1);
    for (int i = 0; i < 77; i++)
        step(&run);
    for (size_t unit = 0; unit < 4; unit++) {
        mtm_fader_state was = at(&run, unit);
        mtm_codes codes = sent(&run, unit);
        if (unit == 0)
            go(&run, 0);
        mtm_codes after = sent(&run, unit);
        mtm_fader_state now = at(&run, unit);
        assert_memory_equal(&after, &codes, sizeof codes);
        for (size_t i = 0; i < MTM_EMITTERS_MAX; i++)
            CHECK_NEAR("level", now.level[i], was.level[i], 1e-12);
    }
    run_end(&run);
}

/* From dark to dark: all light ends at 0, and no colour is passed on the way. */
static void test_dark_ends(void **state)
{
    struct run run = run_begin(
        "{'number': 1, 'up_s': 2, 'path': 'oklab', 'set': [{'group': 'all', 'colour': {'cct_k': "
        "4000}}]}, "
        "{'number': 2, 'up_s': 2, 'path': 'white', 'set': [{'group': 'all', 'output': 0}]}",
        40, false);
    const mtm_codes none = {0};

    (void)state;
    for (size_t cue = 0; cue < 2; cue++) {
        go(&run, cue);
        while (mtm_fader_frames_left(run.fader) > 1) {
            step(&run);
            for (size_t unit = 0; unit < 4; unit++) {
                const mtmi_runner *runner = &run.fader->runners[unit];
                mtm_xyz xyz = mtmi_mix_xyz(&runner->kind->emitters, at(&run, unit).level);
                mtm_xyz lit = cue == 0 ? runner->transition.to.xyz : runner->transition.from.xyz;
                CHECK_NEAR("colour", mtm_uv_distance(mtm_uv_from_xyz(xyz), mtm_uv_from_xyz(lit)), 0,
                           1e-9);
            }
        }
        step(&run);
    }
    for (size_t unit = 0; unit < 4; unit++) {
        mtm_codes codes = sent(&run, unit);
        if (mtmi_dimmer_keeps_colour(
                mtmi_dimmer_role_of(run.fader->runners[unit].kind, MTM_DIMMING_FINEST)))
            assert_int_equal(codes.dimmer, 0);
        else
            assert_memory_equal(&codes, &none, sizeof none);
    }
    run_end(&run);
}

/* The vector kernel and plain C send the same codes. */
static void test_kernels(void **state)
{
    enum { COUNT_16 = 1003, SLOTS = 2 * COUNT_16 };
    mtmi_lanes a;
    mtmi_lanes b;
    struct random random = {7};
    struct run run = run_begin(two_cues("light"), 40, false);
    mtmi_advance best = mtmi_advance_best();

    (void)state;
    assert_int_equal(mtmi_lanes_create(&a, COUNT_16, COUNT_16, SLOTS, NULL), MTM_OK);
    assert_int_equal(mtmi_lanes_create(&b, COUNT_16, COUNT_16, SLOTS, NULL), MTM_OK);
    for (size_t i = 0; i < COUNT_16; i++) {
        a.p[i] = b.p[i] = random_between(&random, -0.1, 1.1);
        a.d1[i] = b.d1[i] = random_between(&random, -0.005, 0.005);
        a.d2[i] = b.d2[i] = random_between(&random, -1e-5, 1e-5);
        a.d3[i] = b.d3[i] = random_between(&random, -1e-7, 1e-7);
        a.table[i] = b.table[i] = run.fader->runners[0].kind->codes[i % 5];
        a.keep[i] = b.keep[i] = i % 7 > 0 ? 0xffff : 0;
        a.coarse[i] = b.coarse[i] = (uint32_t)(2 * i);
        a.fine[i] = b.fine[i] = (uint32_t)(2 * i + 1);
    }
    for (int frame = 0; frame < 100; frame++) {
        mtmi_advance_portable(&a, 0, COUNT_16);
        best(&b, 0, COUNT_16);
        assert_memory_equal(a.slots, b.slots, SLOTS);
        assert_memory_equal(a.carry, b.carry, COUNT_16 * sizeof *a.carry);
    }
    mtmi_lanes_free(&a);
    mtmi_lanes_free(&b);
    run_end(&run);
}

/* IEEE Std 1789-2015, low-risk region, as open programs that rate flicker by it agree: modulation
 * in percent at most 0.025 times the frequency below 90 Hz, at most 0.08 times above, free from
 * 1250 Hz. At 40 frames a second two frames make 20 Hz, so 0.5 %: codes 100 and 101 of a straight
 * channel have 1/201, which is just allowed; 99 and 100 have 1/199, which is not. */
static void test_dither_limits(void **state)
{
    (void)state;
    assert_int_equal(mtmi_dither_period(100, 101, 40), 2);
    assert_int_equal(mtmi_dither_period(99, 100, 40), 1);
    assert_int_equal(mtmi_dither_period(0, 1, 800), 0);
    assert_int_equal(mtmi_dither_period(0, 1, 2500), 2);
    assert_int_equal(mtmi_dither_period(3, 4, 400), 2);
    assert_int_equal(mtmi_dither_period(1, 1, 40), 8);
}

/* Dithered, an 8-bit unit goes back and forth between codes, but only where the light changes by no
 * more than 0.5 %: 0.025 % for each of the 20 Hz that two frames at 40 a second make. */
static void test_dither(void **state)
{
    struct run run = run_begin("{'number': 1, 'up_s': 60, 'curve': 'linear', 'set': [{'unit': "
                               "'strip', 'colour': {'cct_k': 5000}}]}",
                               40, true);
    const mtmi_kind *kind = run.fader->runners[4].kind;
    size_t back = 0;
    mtm_codes last = {0};

    (void)state;
    go(&run, 0);
    while (mtm_fader_frames_left(run.fader) > 1) {
        step(&run);
        mtm_codes now = sent(&run, 4);
        for (size_t i = 0; i < 3; i++) {
            double low = mtmi_level_of(kind, i, now.emitter[i]);
            double high = mtmi_level_of(kind, i, last.emitter[i]);

            if (now.emitter[i] >= last.emitter[i])
                continue;
            back++;
            if (!((high - low) / (high + low) <= 0.005))
                fail_msg("emitter %zu blinks between codes %d and %d", i, now.emitter[i],
                         last.emitter[i]);
        }
        last = now;
    }
    assert_true(back > 30);
    run_end(&run);
}

/* As a source: frame 0 is the state before, frames left out are passed through, then it ends. */
static void test_source(void **state)
{
    struct run a = run_begin(two_cues("light"), 40, false);
    struct run b = run_begin(two_cues("light"), 40, false);
    mtm_frame_source source;
    uint8_t first[512] = {0};
    uint8_t second[512] = {0};
    uint8_t *const slots[2] = {first, second};
    bool end = false;

    (void)state;
    assert_int_equal(mtm_fader_source(a.fader, 0, 1, MTM_PLAY_ONE, &source, NULL), MTM_OK);
    assert_int_equal(source.layout.universe_count, 2);
    assert_int_equal(source.layout.universe[0].universe, 3);
    go(&b, 0);
    step(&b);
    assert_int_equal(source.fill(source.context, 0, slots, &end, NULL), MTM_OK);
    assert_memory_equal(first, mtm_fader_slots(b.fader, 0), source.layout.universe[0].slot_count);
    go(&b, 1);
    for (uint64_t i = 1; i <= 200; i++) {
        step(&b);
        if (i % 3 != 0 && i != 200)
            continue;
        assert_int_equal(source.fill(source.context, i, slots, &end, NULL), MTM_OK);
        assert_false(end);
        assert_memory_equal(first, mtm_fader_slots(b.fader, 0),
                            source.layout.universe[0].slot_count);
        assert_memory_equal(second, mtm_fader_slots(b.fader, 1),
                            source.layout.universe[1].slot_count);
    }
    assert_int_equal(source.fill(source.context, 201, slots, &end, NULL), MTM_OK);
    assert_true(end);
    run_end(&a);
    run_end(&b);
}

/* Wherever a fader has been, being put somewhere gives what a new fader gives there. */
static void test_set_from_anywhere(void **state)
{
    static const int moves[] = {0, 1, 1, 0, -1, 1, -2, 0, 1, -1, -1, -2, 1};
    struct run run = run_begin(two_cues("light"), 40, false);

    (void)state;
    for (size_t i = 0; i < COUNT(moves); i++) {
        struct run fresh = run_begin(two_cues("light"), 40, false);
        size_t cue = (size_t)abs(moves[i]) % 2;

        if (moves[i] < 0) { /* by running it, and half of the next */
            go(&run, cue);
            for (int k = 0; k < 30; k++)
                step(&run);
        }
        assert_int_equal(mtm_fader_set(run.fader, cue, NULL), MTM_OK);
        assert_int_equal(mtm_fader_set(fresh.fader, cue, NULL), MTM_OK);
        for (size_t unit = 0; unit < 5; unit++) {
            mtm_codes a = sent(&run, unit);
            mtm_codes b = sent(&fresh, unit);
            assert_memory_equal(&a, &b, sizeof a);
        }
        run_end(&fresh);
    }
    run_end(&run);
}

static const char loop_cues[] =
    "{'number': 1, 'up_s': 1, 'follow_s': 2, 'set': [{'unit': 'fine', 'colour': {'cct_k': "
    "3000}}]}, "
    "{'number': 2, 'up_s': 1, 'follow_s': 0.5, 'set': [{'unit': 'fine', 'output': 0}]}";

/* A loop goes round: 2.5 s at 40 frames a second are 100 frames. The first round begins dark, the
 * second amid a fade; from then on all are alike. */
static void test_loop(void **state)
{
    struct run run = run_begin(loop_cues, 40, false);
    mtm_frame_source source;
    uint8_t earlier[100][64];
    uint8_t first[512] = {0};
    uint8_t second[512] = {0};
    uint8_t *const slots[2] = {first, second};
    bool end = false;

    (void)state;
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_LOOP, &source, NULL),
                     MTM_OK);
    for (uint64_t i = 0; i < 500; i++) {
        assert_int_equal(source.fill(source.context, i, slots, &end, NULL), MTM_OK);
        assert_false(end);
        if (i >= 100 && i < 200)
            memcpy(earlier[i - 100], first, 36);
        if (i >= 200)
            assert_memory_equal(earlier[i % 100], first, 36);
    }
    run_end(&run);
}

/* From dark the first cue's path needs no colours; from the last cue it does, and has none. */
static void test_loop_is_checked_round(void **state)
{
    struct run run = run_begin("{'number': 1, 'up_s': 1, 'follow_s': 1, 'path': 'white', 'set': "
                               "[{'unit': 'fine', 'colour': {'cct_k': 4000}}]}, "
                               "{'number': 2, 'up_s': 1, 'follow_s': 1, 'set': [{'unit': 'fine', "
                               "'colour': {'xy': [0.2, 0.1]}}]}",
                               40, false);
    mtm_frame_source source;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_FOLLOW, &source, NULL),
                     MTM_OK);
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_LOOP, &source, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "cue 1, unit \"fine\": a path along the white locus");
    run_end(&run);
}

static void test_follow(void **state)
{
    struct run run = run_begin(loop_cues, 40, false);
    mtm_frame_source source;
    uint8_t first[512] = {0};
    uint8_t second[512] = {0};
    uint8_t *const slots[2] = {first, second};
    bool end = false;
    uint64_t frames = 0;

    (void)state;
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_FOLLOW, &source, NULL),
                     MTM_OK);
    while (source.fill(source.context, frames, slots, &end, NULL) == MTM_OK && !end)
        frames++;
    assert_int_equal(frames, 1 + 80 + 40); /* the state before, 2 s of cue 1, 1 s of cue 2 */
    run_end(&run);
}

static void test_refusals(void **state)
{
    const mtm_fader_options fast = {900, false, false};
    struct run run = run_begin("{'number': 1, 'up_s': 1, 'follow_s': 0, 'set': [{'unit': 'fine', "
                               "'colour': {'xy': [0.2, 0.1]}}]}, "
                               "{'number': 2, 'up_s': 1, 'path': 'white', 'set': [{'unit': 'fine', "
                               "'colour': {'cct_k': 4000}}]}",
                               40, false);
    mtm_frame_source source;
    mtm_fader *none = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_fader_create(run.show, &fast, &none, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "900 frames a second are asked for, but ANSI E1.11 allows at most");
    assert_null(none);
    assert_int_equal(mtm_fader_create(NULL, &fast, &none, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_LOOP, &source, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "cue 2 has no \"follow_s\"");
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_ONE, &source, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text,
                "cue 2, unit \"fine\": a path along the white locus cannot end here: x 0.2");
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 9, MTM_PLAY_ONE, &source, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_fader_go(run.fader, 9, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_set(run.fader, 9, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_set_before(run.fader, 9, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_step(NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_fader_check(NULL, &error), MTM_INVALID);
    mtm_fader_free(NULL);
    run_end(&run);
}

/* A cue that one unit cannot run starts none, and leaves no look behind for the cues that follow.
 */
static void test_cue_that_fails(void **state)
{
    struct run run = run_begin(
        "{'number': 1, 'up_s': 0, 'set': [{'group': 'all', 'colour': {'cct_k': 3000}, 'output': "
        "0.5}]}, "
        "{'number': 2, 'up_s': 0, 'set': [{'unit': 'dimmed', 'colour': {'xy': [0.2, 0.1]}, "
        "'output': 0.5}]}, "
        "{'number': 3, 'up_s': 1, 'path': 'white', 'set': [{'group': 'all', 'colour': {'cct_k': "
        "5600}, 'output': 0.3}]}, "
        "{'number': 4, 'up_s': 1, 'set': [{'group': 'all', 'output': 0.4}]}",
        40, false);
    size_t count = mtm_rig_unit_count(rig);
    mtm_fader_state before[64];
    mtm_error error = {""};

    (void)state;
    assert_true(count <= 64);
    assert_int_equal(mtm_fader_set(run.fader, 1, NULL), MTM_OK);
    for (size_t i = 0; i < count; i++)
        before[i] = at(&run, i);
    for (int way = 0; way < 2; way++) {
        assert_int_equal(way == 0 ? mtm_fader_go(run.fader, 2, &error)
                                  : mtm_fader_go_to(run.fader, 2, &error),
                         MTM_RANGE);
        CHECK_HOLDS(error.text, "cue 3, unit \"dimmed\"");
        assert_int_equal(mtm_fader_frames_left(run.fader), 0);
        step(&run);
        for (size_t i = 0; i < count; i++) {
            mtm_fader_state now = at(&run, i);
            assert_false(now.moving);
            assert_memory_equal(&now.codes, &before[i].codes, sizeof now.codes);
        }
    }
    go(&run, 3); /* 40 % of the colours of cues 1 and 2 */
    while (mtm_fader_frames_left(run.fader) > 0)
        step(&run);
    for (size_t i = 0; i < count; i++) {
        mtm_fader_state now = at(&run, i);
        CHECK_NEAR("x", now.wanted.x / now.wanted.y, before[i].wanted.x / before[i].wanted.y, 1e-6);
        CHECK_NEAR("y", now.wanted.y / before[i].wanted.y, 0.8, 1e-6);
    }
    run_end(&run);
}

static void test_loop_without_time(void **state)
{
    struct run run =
        run_begin("{'number': 1, 'up_s': 1, 'follow_s': 0, 'set': [{'unit': 'fine', 'output': 0}]}",
                  40, false);
    mtm_frame_source source;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_fader_source(run.fader, MTM_FADER_DARK, 0, MTM_PLAY_LOOP, &source, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "no time at all");
    run_end(&run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ends),
        cmocka_unit_test(test_continuous),
        cmocka_unit_test(test_rounding),
        cmocka_unit_test(test_mean),
        cmocka_unit_test(test_path_is_kept),
        cmocka_unit_test(test_white_half_way),
        cmocka_unit_test(test_up_and_down),
        cmocka_unit_test(test_cut_short),
        cmocka_unit_test(test_dark_ends),
        cmocka_unit_test(test_kernels),
        cmocka_unit_test(test_dither_limits),
        cmocka_unit_test(test_dither),
        cmocka_unit_test(test_source),
        cmocka_unit_test(test_loop),
        cmocka_unit_test(test_follow),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_cue_that_fails),
        cmocka_unit_test(test_loop_without_time),
        cmocka_unit_test(test_together),
        cmocka_unit_test(test_set_from_anywhere),
        cmocka_unit_test(test_loop_is_checked_round),
    };

    rig = trial_rig(units, COUNT(units));
    int failed = cmocka_run_group_tests_name("fader", tests, NULL, NULL);
    mtm_rig_free(rig);
    return failed;
}
