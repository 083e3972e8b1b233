/* SPDX-License-Identifier: MIT */
/* Fades of slots that need care: codes that are left alone are never sent, shutters open with the
 * light and close after it, and 24 bits carry the way exactly. */
#include "support/trial.h"

#include "fade/fader.h"

#include <metamer/fade.h>

static const char rig_text[] =
    "{ \"metamer\": \"rig/1\", \"name\": \"t\", \"units\": ["
    "{ \"name\": \"small\", \"fixture\": \"studio-panel.json\", \"mode\": \"8-bit\","
    "  \"universe\": 1, \"address\": 1 },"
    "{ \"name\": \"large\", \"fixture\": \"studio-panel.json\", \"mode\": \"24-bit\","
    "  \"universe\": 1, \"address\": 11 },"
    "{ \"name\": \"plain\", \"fixture\": \"five-colour-wash.json\", \"mode\": \"16-bit\","
    "  \"universe\": 1, \"address\": 41 } ] }";

static const char show_text[] =
    "{ \"metamer\": \"show/1\", \"name\": \"t\", \"cues\": ["
    "{ \"number\": 1, \"up_s\": 3, \"path\": \"%s\", \"set\": ["
    "  { \"group\": \"all\", \"colour\": { \"cct_k\": 4000 } } ] },"
    "{ \"number\": 2, \"up_s\": 2, \"path\": \"%s\", \"set\": ["
    "  { \"group\": \"all\", \"colour\": { \"cct_k\": 3000 }, \"output\": 0.3 } ] },"
    "{ \"number\": 3, \"up_s\": 2, \"set\": [ { \"group\": \"all\", \"output\": 0 } ] } ] }";

static uint32_t three_bytes(const uint8_t *slot)
{
    return (uint32_t)slot[0] << 16 | (uint32_t)slot[1] << 8 | slot[2];
}

struct seen {
    uint32_t highest, last;
    bool opened, shut;
};

static void look(mtm_fader *fader, struct seen *seen)
{
    const uint8_t *slot = mtm_fader_slots(fader, 0);
    mtm_fader_state state;
    mtm_codes codes;

    mtm_fader_unit(fader, 0, &state);
    assert_true(slot[0] <= 249);
    assert_int_equal(slot[0], state.codes.dimmer);
    bool lit = slot[0] > 0 && (slot[3] | slot[4] | slot[5] | slot[6] | slot[7]) != 0;
    assert_int_equal(slot[1], 16);
    assert_int_equal(slot[2], lit ? 255 : 0);
    assert_int_equal(slot[8], 128);
    seen->highest = slot[0] > seen->highest ? slot[0] : seen->highest;
    seen->opened = seen->opened || lit;
    seen->shut = seen->opened && !lit;

    mtm_fader_unit(fader, 1, &state);
    mtm_codes_from_slots(mtm_rig_unit(mtm_show_rig(fader->show), 1)->mode, slot + 10, &codes);
    assert_memory_equal(&codes, &state.codes, sizeof codes);
    assert_int_equal(codes.dimmer, three_bytes(slot + 10));
    seen->last = codes.dimmer;
    /* the light of the codes is that of the way, as nearly as 24 bits have it */
    const mtm_unit *unit = mtm_rig_unit(mtm_show_rig(fader->show), 1);
    double dimmer =
        mtm_curve_level(mtm_fixture_dimmer_curve(unit->fixture), codes.dimmer / 16777215.0);
    for (size_t i = 0; i < 5 && fader->runners[1].transition.path_type != MTM_PATH_SLOTS; i++)
        CHECK_NEAR("level", dimmer * codes.emitter[i] / 16777215.0, state.level[i], 1e-4);
}

static void run(const char *path)
{
    char text[1000];
    mtm_rig *rig = NULL;
    mtm_show *show = NULL;
    mtm_fader *fader = NULL;
    mtm_error error = {""};
    struct seen seen = {0, 0, false, false};

    (void)snprintf(text, sizeof text, show_text, path, path);
    if (mtm_rig_parse(rig_text, strlen(rig_text), "rig", NULL, &rig, &error) != MTM_OK ||
        mtm_show_parse(text, strlen(text), "show", NULL, rig, &show, &error) != MTM_OK ||
        mtm_fader_create(show, NULL, &fader, &error) != MTM_OK)
        fail_msg("%s", error.text);
    look(fader, &seen);
    assert_false(seen.opened);
    for (size_t cue = 0; cue < 3; cue++) {
        assert_int_equal(mtm_fader_go(fader, cue, NULL), MTM_OK);
        while (mtm_fader_frames_left(fader) > 0) {
            assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
            look(fader, &seen);
        }
        if (cue == 0)
            assert_true(seen.highest == 249 && seen.last > 16000000);
    }
    assert_true(seen.shut && seen.last == 0);
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
}

static void test_light(void **state)
{
    (void)state;
    run("light");
}

static void test_slots(void **state)
{
    (void)state;
    run("slots");
}

/* Units that mix by themselves: what is sent gives the light of the way, its colour codes are none
 * that are left alone, in the dark too, and they do not jump there. */
static void test_mixing(void **state)
{
    static const char rig_of[] =
        "{'metamer': 'rig/1', 'name': 't', 'units': ["
        "{'name': 'white', 'fixture': 'studio-panel.json', 'mode': 'white', 'universe': 1, "
        "'address': 1},"
        "{'name': 'hsi', 'fixture': 'studio-panel.json', 'mode': 'hsi', 'universe': 1, 'address': "
        "11},"
        "{'name': 'xy', 'fixture': 'studio-panel.json', 'mode': 'xy', 'universe': 1, 'address': "
        "21}]}";
    char *json = trial_json(rig_of);
    char text[1000];
    mtm_rig *rig = NULL;
    mtm_show *show = NULL;
    mtm_fader *fader = NULL;
    mtm_error error = {""};
    uint8_t colour = 0;

    (void)state;
    (void)snprintf(text, sizeof text, show_text, "light", "slots");
    trial_must(mtm_rig_parse(json, strlen(json), "rig", NULL, &rig, &error), &error);
    trial_must(mtm_show_parse(text, strlen(text), "show", NULL, rig, &show, &error), &error);
    trial_must(mtm_fader_create(show, NULL, &fader, &error), &error);
    assert_true(mtm_fader_slots(fader, 0)[2] == 10);
    for (size_t cue = 0; cue < 3; cue++) {
        assert_int_equal(mtm_fader_go(fader, cue, NULL), MTM_OK);
        while (mtm_fader_frames_left(fader) > 0) {
            assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
            const uint8_t *slot = mtm_fader_slots(fader, 0);
            assert_true(slot[2] >= 10);
            for (size_t i = 0; i < 3; i++) {
                const mtmi_kind *kind = fader->runners[i].kind;
                mtm_fader_state now;
                mtm_codes sent;
                double level[MTM_EMITTERS_MAX];

                mtm_fader_unit(fader, i, &now);
                mtm_codes_from_slots(kind->mode, slot + 10 * i, &sent);
                assert_memory_equal(&sent, &now.codes, sizeof sent);
                mtmi_channels_levels(kind->mixed, &sent, level);
                mtm_xyz made = mtmi_mix_xyz(&kind->emitters, level);
                mtm_xyz meant = mtmi_mix_xyz(&kind->emitters, now.level);
                if (meant.y < 0.02 * kind->emitters.full_y)
                    continue; /* 8 bits of a square dimmer are coarse there */
                CHECK_NEAR("light", made.y / meant.y, 1, 0.06);
                CHECK_NEAR("colour", mtm_uv_distance(mtm_uv_from_xyz(made), mtm_uv_from_xyz(meant)),
                           0, 0.0015);
            }
        }
        if (cue == 1)
            colour = mtm_fader_slots(fader, 0)[2];
    }
    assert_true(colour > 10 && mtm_fader_slots(fader, 0)[2] == colour); /* kept in the dark */
    assert_int_equal(mtm_fader_slots(fader, 0)[0] | mtm_fader_slots(fader, 0)[1], 0);
    mtm_fader_free(fader);
    mtm_show_free(show);
    mtm_rig_free(rig);
    free(json);
}

/* A range amid the codes is jumped over, whatever the path and the bits. */
static void test_gap(void **state)
{
    (void)state;
    for (int bits = 8; bits <= 24; bits += 8) {
        mtm_curve *curve = NULL;
        struct mtmi_level_cache cache = {NULL};
        struct mtmi_table table = {0};
        const unsigned most = (1u << bits) - 1, first = most / 3, last = most / 2;
        struct mtmi_gaps gaps = {.count = 1};
        mtmi_lanes lanes;
        bool below = false, above = false;

        gaps.range[0].first = first;
        gaps.range[0].last = last;
        assert_int_equal(mtm_curve_create_named("square", &curve, NULL), MTM_OK);
        assert_int_equal(mtmi_table_create(&cache, curve, bits, &gaps, &table, NULL), MTM_OK);
        for (int by_code = 0; by_code < 2; by_code++) {
            assert_int_equal(mtmi_lanes_create(&lanes, 1, 0, 3, NULL), MTM_OK);
            lanes.narrow_end = 0;
            lanes.own[0] = &table;
            lanes.by_code[0] = by_code == 1;
            lanes.coarse[0] = 0;
            lanes.fine[0] = 1;
            lanes.ultra[0] = 2;
            lanes.d1[0] = 1 / 997.0;
            for (int frame = 0; frame < 997; frame++) {
                mtmi_advance_careful(&lanes);
                assert_true(lanes.code[0] < first || lanes.code[0] > last);
                below = below || lanes.code[0] == first - 1;
                above = above || lanes.code[0] == last + 1;
                uint32_t sent = three_bytes(lanes.slots) >> (24 - bits);
                assert_int_equal(sent, lanes.code[0]);
            }
            assert_true(below && above);
            mtmi_lanes_free(&lanes);
        }
        mtmi_table_free(&table);
        mtmi_level_cache_free(&cache);
        mtm_curve_free(curve);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_light),
        cmocka_unit_test(test_slots),
        cmocka_unit_test(test_mixing),
        cmocka_unit_test(test_gap),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
