/* SPDX-License-Identifier: MIT */
/* Fixtures from any bytes. A refusal leaves the output alone and is a sentence that begins with the
 * file's name; what is accepted keeps its ranges, and written and read again it is the same. */
#include "input.h"

#include <metamer/fixture.h>

#include <math.h>
static bool near_to(double a, double b)
{
    return fabs(a - b) <= 1e-9 * fabs(b);
}

static void check_emitter(const mtm_emitter *a, const mtm_emitter *b)
{
    hold(strcmp(a->name, b->name) == 0 && a->watts == b->watts && a->flux_lm == b->flux_lm);
    hold(a->watts >= 0 && a->flux_lm >= 0 && isfinite(a->flux_lm));
    hold((a->spectrum == NULL) == (b->spectrum == NULL));
    for (size_t i = 0; i < MTM_OBSERVER_COUNT; i++) {
        hold(isfinite(a->xyz[i].x) && isfinite(a->xyz[i].y) && isfinite(a->xyz[i].z));
        hold(near_to(a->xyz[i].x, b->xyz[i].x) && near_to(a->xyz[i].y, b->xyz[i].y));
    }
    for (int i = 0; i <= 8; i++) {
        double level = mtm_curve_level(a->curve, i / 8.0);
        hold(level >= 0 && level <= 1 && level == mtm_curve_level(b->curve, i / 8.0));
    }
}

static void check_mode(const mtm_mode *a, const mtm_mode *b)
{
    hold(strcmp(a->name, b->name) == 0 && a->slot_count == b->slot_count);
    hold(a->slot_count >= 1 && a->slot_count <= MTM_SLOTS_MAX);
    hold(a->dimmer_bits == b->dimmer_bits);
    hold(memcmp(a->emitter_bits, b->emitter_bits, sizeof a->emitter_bits) == 0);
    for (size_t i = 0; i < a->slot_count; i++)
        hold(a->slots[i].role == b->slots[i].role && a->slots[i].emitter == b->slots[i].emitter &&
             a->slots[i].fixed == b->slots[i].fixed);
}

static void check_same(const mtm_fixture *a, const mtm_fixture *b)
{
    size_t emitters = mtm_fixture_emitter_count(a);

    hold(emitters >= MTM_EMITTERS_MIN && emitters <= MTM_EMITTERS_MAX);
    hold(emitters == mtm_fixture_emitter_count(b));
    for (size_t i = 0; i < emitters; i++)
        check_emitter(mtm_fixture_emitter(a, i), mtm_fixture_emitter(b, i));
    hold(mtm_fixture_mode_count(a) == mtm_fixture_mode_count(b));
    for (size_t i = 0; i < mtm_fixture_mode_count(a); i++)
        check_mode(mtm_fixture_mode(a, i), mtm_fixture_mode(b, i));
    hold(mtm_fixture_power_limit_w(a) == mtm_fixture_power_limit_w(b));
}

static void check_accepted(const mtm_fixture *fixture)
{
    char *text = NULL;
    size_t length = 0;
    mtm_fixture *again = NULL;

    hold(mtm_fixture_to_json(fixture, &text, &length, NULL) == MTM_OK);
    hold(mtm_fixture_parse(text, length, "again", NULL, &again, NULL) == MTM_OK);
    check_same(fixture, again);
    mtm_fixture_free(again);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};

    mtm_result result = mtm_fixture_parse(text, size, "input", NULL, &fixture, &error);
    if (result == MTM_OK)
        check_accepted(fixture);
    else
        hold(fixture == NULL && strncmp(error.text, "input: ", 7) == 0);
    mtm_fixture_free(fixture);
    free(text);
    return 0;
}
