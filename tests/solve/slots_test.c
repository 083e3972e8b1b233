/* SPDX-License-Identifier: MIT */
/* Slots: codes of 8, 16 and 24 bits to slots and back; shutters; codes that are left alone, which
 * neither the rounder nor values may state; and what decoding says of how slots stand. */
#include "support/check.h"
#include "support/random.h"

#include <metamer/codes.h>
#include <metamer/match.h>

/* One panel in the mode tried; its three modes are those of the delivered file. */
static mtm_rig *load(const char *mode)
{
    char text[400];
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    (void)snprintf(text, sizeof text,
                   "{ \"metamer\": \"rig/1\", \"name\": \"t\", \"units\": [ { \"name\": \"panel\", "
                   "\"fixture\": \"studio-panel.json\", \"mode\": \"%s\", \"universe\": 1, "
                   "\"address\": 1 } ] }",
                   mode);
    if (mtm_rig_parse(text, strlen(text), "rig", NULL, &rig, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return rig;
}

static uint32_t draw_code(struct random *random, int bits)
{
    return (uint32_t)random_index(random, (size_t)1 << bits);
}

/* Whatever the bits, slots give the codes back, coarse byte first. */
static void test_round_trip(void **state)
{
    static const char *const modes[] = {"8-bit", "16-bit", "24-bit"};
    struct random random = {41}; /* the seed */

    (void)state;
    for (size_t m = 0; m < COUNT(modes); m++) {
        mtm_rig *rig = load(modes[m]);
        const mtm_mode *mode = mtm_rig_unit(rig, 0)->mode;
        int bits = 8 + 8 * (int)m;

        assert_int_equal(mode->dimmer_bits, bits);
        for (int i = 0; i < 200; i++) {
            mtm_codes codes = {.dimmer = draw_code(&random, bits)}, back;
            uint8_t slot[MTM_SLOTS_MAX];
            for (size_t k = 0; k < 5; k++) {
                assert_int_equal(mode->emitter_bits[k], bits);
                codes.emitter[k] = draw_code(&random, bits);
            }
            mtm_codes_to_slots(mode, &codes, slot);
            mtm_codes_from_slots(mode, slot, &back);
            assert_memory_equal(&codes, &back, sizeof codes);
            for (int byte = 0; byte < bits / 8; byte++)
                assert_int_equal(slot[byte], codes.dimmer >> (bits - 8 * (byte + 1)) & 255);
        }
        mtm_rig_free(rig);
    }
}

/* Decodes slots of the 8-bit mode. */
static mtm_match decode(const mtm_rig *rig, const uint8_t *slot, const char *sentence)
{
    mtm_matcher *matcher = NULL;
    mtm_match match;
    char text[200];
    const mtm_unit *unit = mtm_rig_unit(rig, 0);

    assert_int_equal(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, NULL), MTM_OK);
    assert_true(mtm_matcher_decode(matcher, 0, slot, unit->mode->slot_count, &match));
    mtm_standing_text(unit->fixture, unit->mode, &match.standing, text, sizeof text);
    assert_string_equal(text, sentence);
    mtm_matcher_free(matcher);
    return match;
}

static void test_standing(void **state)
{
    static const struct {
        uint8_t slot[9];
        bool lit;
        const char *sentence;
    } rows[] = {
        {{249, 16, 255, 9, 9, 9, 9, 9, 128}, true, ""},
        {{249, 16, 255, 9, 9, 9, 9, 9, 3}, true, ""}, /* any value of a default is as good */
        {{0, 16, 0, 9, 9, 9, 9, 9, 128}, false, ""},
        {{249, 16, 0, 9, 9, 9, 9, 9, 128}, false, "slot 3 stands at 0, dark"},
        {{249, 16, 100, 9, 9, 9, 9, 9, 128},
         true,
         "slot 3 stands at 100, neither open (255) nor dark (0): what it gives is not known"},
        {{251, 16, 100, 9, 9, 9, 9, 9, 128},
         true,
         "dimmer stands at code 251, one of 250 to 255 that do something else: what it gives is "
         "not "
         "known"},
        {{251, 17, 0, 9, 9, 9, 9, 9, 128},
         true,
         "slot 2 stands at 17, and the mode holds at 16: what it gives is not known"},
    };
    mtm_rig *rig = load("8-bit");

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        mtm_match match = decode(rig, rows[i].slot, rows[i].sentence);
        assert_int_equal(match.xyz.y > 0, rows[i].lit);
        assert_int_equal(match.codes.dimmer, rows[i].slot[0]); /* as it stands */
    }
    mtm_rig_free(rig);
}

/* Full light is code 249; the shutter is open while there is light, and the rest as the file says.
 */
static void test_rounder(void **state)
{
    struct random random = {43}; /* the seed */
    mtm_rig *rig = load("8-bit");
    const mtm_unit *unit = mtm_rig_unit(rig, 0);
    mtm_coder *coder = NULL;

    (void)state;
    assert_int_equal(mtm_coder_create(unit->fixture, unit->mode, MTM_OBSERVER_2, &coder, NULL),
                     MTM_OK);
    for (int i = 0; i < 500; i++) {
        double level[MTM_EMITTERS_MAX] = {0};
        double dim = i < 100 ? 1 : random_between(&random, 0, 1);
        mtm_codes codes;
        uint8_t slot[9];

        for (size_t k = 0; k < 5; k++)
            level[k] = dim * (k == (size_t)i % 5 ? 1 : random_between(&random, 0, 0.4));
        mtm_coder_round(coder, level, &codes);
        assert_true(codes.dimmer <= 249);
        if (i < 100)
            assert_int_equal(codes.dimmer, 249);
        mtm_codes_to_slots(unit->mode, &codes, slot);
        bool lit = codes.dimmer > 0;
        assert_true(slot[1] == 16 && slot[2] == (lit ? 255 : 0) && slot[8] == 128);
    }
    mtm_codes out = {.dimmer = 0, .emitter = {9, 9}};
    uint8_t slot[9];
    mtm_codes_to_slots(unit->mode, &out, slot);
    assert_int_equal(slot[2], 0);
    mtm_coder_free(coder);
    mtm_rig_free(rig);
}

/* 24-bit codes give what was asked to within half of one of their steps in every emitter. */
static void test_24_bits(void **state)
{
    struct random random = {47}; /* the seed */
    mtm_rig *rig = load("24-bit");
    const mtm_unit *unit = mtm_rig_unit(rig, 0);
    mtm_coder *coder = NULL;

    (void)state;
    assert_int_equal(mtm_coder_create(unit->fixture, unit->mode, MTM_OBSERVER_2, &coder, NULL),
                     MTM_OK);
    for (int i = 0; i < 300; i++) {
        double level[MTM_EMITTERS_MAX] = {0}, got[MTM_EMITTERS_MAX];
        double dim = pow(10, -random_between(&random, 0, 4));
        mtm_codes codes;

        for (size_t k = 0; k < 5; k++)
            level[k] = dim * random_between(&random, 0, 0.4);
        mtm_coder_round(coder, level, &codes);
        mtm_coder_levels(coder, &codes, got);
        for (size_t k = 0; k < 5; k++)
            CHECK_NEAR("level", got[k], level[k], 3 * dim / 16777215);
    }
    mtm_coder_free(coder);
    mtm_rig_free(rig);
}

static void test_values(void **state)
{
    mtm_rig *rig = load("8-bit"), *fine = load("24-bit");
    const mtm_unit *unit = mtm_rig_unit(rig, 0), *wide = mtm_rig_unit(fine, 0);
    double value[] = {250, 0, 0, 0, 0, 9}, full[] = {100, 0, 0, 0, 0, 50};
    double wide_value[] = {16777215, 65536, 0, 0, 0, 1}, low[] = {255, 3, 0, 0, 0, 0};
    mtm_codes codes;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_codes_from_values(unit->fixture, unit->mode, MTM_VALUES_CODES, value, 6,
                                           &codes, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "code 250 of \"dimmer\" is one of 250 to 255, which mode \"8-bit\" "
                            "leaves alone");
    assert_int_equal(mtm_codes_from_values(unit->fixture, unit->mode, MTM_VALUES_PERCENT, full, 6,
                                           &codes, &error),
                     MTM_OK);
    assert_int_equal(codes.dimmer, 249);
    assert_int_equal(codes.emitter[4], 128);
    assert_int_equal(mtm_codes_from_values(wide->fixture, wide->mode, MTM_VALUES_CODES, wide_value,
                                           6, &codes, &error),
                     MTM_OK);
    assert_int_equal(codes.dimmer, 16777215);
    assert_int_equal(codes.emitter[0], 65536);
    assert_int_equal(
        mtm_codes_from_values(wide->fixture, wide->mode, MTM_VALUES_CODES, low, 6, &codes, &error),
        MTM_RANGE);
    CHECK_HOLDS(error.text, "\"dimmer\" takes 0-16777215: state 100%,1.176%");
    mtm_rig_free(rig);
    mtm_rig_free(fine);
}

/* Codes from 0 on may be left alone where 0 is not dark: the next above is the lowest. */
static void test_values_from_0(void **state)
{
    mtm_rig *rig = load("white");
    const mtm_unit *unit = mtm_rig_unit(rig, 0);
    const double value[] = {100, 0, 50};
    mtm_codes codes;

    (void)state;
    assert_int_equal(mtm_codes_from_values(unit->fixture, unit->mode, MTM_VALUES_PERCENT, value, 3,
                                           &codes, NULL),
                     MTM_OK);
    assert_int_equal(codes.emitter[0], 10); /* the profile leaves 0 to 9 alone */
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_round_trip), cmocka_unit_test(test_standing),
        cmocka_unit_test(test_rounder),    cmocka_unit_test(test_24_bits),
        cmocka_unit_test(test_values),     cmocka_unit_test(test_values_from_0),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
