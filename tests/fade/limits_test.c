/* SPDX-License-Identifier: MIT */
/* Limits in time: no frame of a fade holds a code above what its unit may be sent, nor lights an
 * emitter below its lowest level. */
#include "support/random.h"
#include "support/trial.h"

#include <metamer/fade.h>

#define SEED 71
#define CUES 4

/* One unit of the kinds that have limits of their own, at random. */
static mtm_rig *draw_rig(struct random *random)
{
    static const char *const mode[] = {"8-bit", "16-bit"};
    struct trial_text text = {.length = 0};
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    trial_add(&text, "{'metamer': 'rig/1', 'name': 't', 'units': [");
    for (int i = 0; i < 3; i++)
        trial_add(
            &text,
            "%s{'name': 'u%d', 'fixture': 'five-colour-wash.json', 'mode': '%s', "
            "'universe': 1, 'address': %d, 'limits': {'lowest_level': %.3f, 'headroom': %.3f, "
            "'most_level': "
            "{'lime': %.3f, 'red': %.3f, 'blue': %d}}}",
            i > 0 ? ", " : "", i, mode[random_index(random, 2)], 1 + 20 * i,
            random_index(random, 2) == 0 ? 0 : random_between(random, 0, 0.08),
            random_between(random, 0, 0.4), random_between(random, 0.1, 1),
            random_between(random, 0.1, 1), (int)random_index(random, 2));
    trial_add(&text, "]}");
    trial_must(mtm_rig_parse(text.data, text.length, "rig", NULL, &rig, &error), &error);
    return rig;
}

static mtm_show *draw_show(struct random *random, const mtm_rig *rig)
{
    static const char *const path[] = {"light", "slots"};
    struct trial_text text = {.length = 0};
    mtm_show *show = NULL;
    mtm_error error = {""};

    trial_add(&text, "{'metamer': 'show/1', 'name': 't', 'cues': [");
    for (int i = 0; i < CUES; i++)
        trial_add(&text,
                  "%s{'number': %d, 'up_s': 0.6, 'path': '%s', 'set': [{'group': 'all', 'colour': "
                  "{'xy': [%.4f, %.4f]}, 'output': %.3f}]}",
                  i > 0 ? ", " : "", i + 1, path[random_index(random, 2)],
                  random_between(random, 0.2, 0.6), random_between(random, 0.2, 0.38),
                  random_index(random, 3) == 0 ? 1 : random_between(random, 0, 1));
    trial_add(&text, "]}");
    trial_must(mtm_show_parse(text.data, text.length, "show", NULL, rig, &show, &error), &error);
    return show;
}

static double dimmer_of(const mtm_unit *unit, const mtm_codes *codes)
{
    if (unit->mode->dimmer_bits == 0)
        return 1;
    return mtm_curve_level(mtm_fixture_dimmer_curve(unit->fixture),
                           codes->dimmer / (unit->mode->dimmer_bits == 8 ? 255.0 : 65535.0));
}

static void look(mtm_fader *fader, const mtm_rig *rig, int round)
{
    for (size_t i = 0; i < 3; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        mtm_fader_state state;

        mtm_fader_unit(fader, i, &state);
        for (size_t k = 0; k < mtm_fixture_emitter_count(unit->fixture); k++) {
            const mtm_curve *curve = mtm_fixture_emitter(unit->fixture, k)->curve;
            double full = unit->mode->emitter_bits[k] == 8 ? 255 : 65535;
            double level = mtm_curve_level(curve, state.codes.emitter[k] / full);
            double behind = level * dimmer_of(unit, &state.codes);
            double lowest = mtm_fixture_limits(unit->fixture)->lowest_level;
            if (behind > 0 && behind < lowest * (1 - 1e-9))
                fail_msg(
                    "round %d, unit %zu, emitter %zu: code %u behind dimmer %u gives %.9g, the "
                    "lowest level is %.9g",
                    round, i, k, (unsigned)state.codes.emitter[k], (unsigned)state.codes.dimmer,
                    behind, lowest);
            if (!(level <= mtm_fixture_most_level(unit->fixture, k) + 1e-9))
                fail_msg("round %d, unit %zu, emitter %zu: code %u gives %.9g, allowed is %.9g",
                         round, i, k, (unsigned)state.codes.emitter[k], level,
                         mtm_fixture_most_level(unit->fixture, k));
        }
    }
}

static void test_frames(void **state)
{
    struct random random = {SEED};

    (void)state;
    print_message("seed %d\n", SEED);
    for (int round = 0; round < 12; round++) {
        const mtm_fader_options options = {40, round % 2 == 1, true};
        mtm_rig *rig = draw_rig(&random);
        mtm_show *show = draw_show(&random, rig);
        mtm_fader *fader = NULL;
        mtm_error error = {""};

        trial_must(mtm_fader_create(show, &options, &fader, &error), &error);
        for (size_t cue = 0; cue < CUES; cue++) {
            trial_must(mtm_fader_go(fader, cue, &error), &error);
            while (mtm_fader_frames_left(fader) > 0) {
                assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
                look(fader, rig, round);
            }
        }
        mtm_fader_free(fader);
        mtm_show_free(show);
        mtm_rig_free(rig);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_frames)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
