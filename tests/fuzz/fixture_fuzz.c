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

static void check_points(const mtm_mixing_point *a, const mtm_mixing_point *b, size_t count)
{
    for (size_t i = 0; i < count; i++)
        hold(a[i].code == b[i].code && a[i].value == b[i].value);
}

static bool same_xy(mtm_xy a, mtm_xy b)
{
    return a.x == b.x && a.y == b.y;
}

static void check_mixing(const mtm_mixing *a, const mtm_mixing *b)
{
    hold(a->type == b->type && a->flux_lm == b->flux_lm && a->watts == b->watts);
    hold(a->temperature_count == b->temperature_count && a->tint_count == b->tint_count);
    check_points(a->temperature, b->temperature, a->temperature_count);
    check_points(a->tint, b->tint, a->tint_count);
    hold(same_xy(a->red, b->red) && same_xy(a->green, b->green));
    hold(same_xy(a->blue, b->blue) && same_xy(a->white, b->white));
    hold(memcmp(a->x, b->x, sizeof a->x) == 0 && memcmp(a->y, b->y, sizeof a->y) == 0);
    hold(a->gamut_count == b->gamut_count);
    for (size_t i = 0; i < a->gamut_count; i++)
        hold(same_xy(a->gamut[i], b->gamut[i]));
    hold((a->transfer == NULL) == (b->transfer == NULL));
    for (int i = 0; a->transfer != NULL && i <= 8; i++)
        hold(mtm_curve_level(a->transfer, i / 8.0) == mtm_curve_level(b->transfer, i / 8.0));
}

static void check_ranges(const mtm_mode *a, const mtm_mode *b)
{
    hold(a->range_count == b->range_count && a->range_count <= MTM_RANGES_MAX);
    for (size_t i = 0; i < a->range_count; i++) {
        const mtm_code_range *one = &a->ranges[i];
        const mtm_code_range *other = &b->ranges[i];
        bool darkens = one->role == MTM_SLOT_DIMMER || a->mixing == NULL;
        hold(one->first >= (darkens ? 1 : 0) && one->first <= one->last);
        hold(one->role == other->role && one->emitter == other->emitter);
        hold(one->first == other->first && one->last == other->last);
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
             a->slots[i].fixed == b->slots[i].fixed && a->slots[i].dark == b->slots[i].dark);
    check_ranges(a, b);
    hold((a->mixing == NULL) == (b->mixing == NULL));
    if (a->mixing != NULL)
        check_mixing(a->mixing, b->mixing);
}

static void check_limits(const mtm_limits *a, const mtm_limits *b, size_t emitters)
{
    hold(a->headroom == b->headroom && a->no_ultraviolet == b->no_ultraviolet);
    for (size_t i = 0; i < emitters; i++)
        hold(a->most_level[i] == b->most_level[i] && a->left_out[i] == b->left_out[i]);
}

static void check_same(const mtm_fixture *a, const mtm_fixture *b)
{
    size_t emitters = mtm_fixture_emitter_count(a);

    hold(emitters <= MTM_EMITTERS_MAX);
    hold(emitters == mtm_fixture_emitter_count(b));
    for (size_t i = 0; i < emitters; i++)
        check_emitter(mtm_fixture_emitter(a, i), mtm_fixture_emitter(b, i));
    hold(mtm_fixture_mode_count(a) == mtm_fixture_mode_count(b));
    for (size_t i = 0; i < mtm_fixture_mode_count(a); i++) {
        const mtm_mode *mode = mtm_fixture_mode(a, i);
        hold(emitters >= MTM_EMITTERS_MIN || mode->mixing != NULL);
        check_mode(mode, mtm_fixture_mode(b, i));
    }
    hold(mtm_fixture_power_limit_w(a) == mtm_fixture_power_limit_w(b));
    hold(mtm_fixture_standby_w(a) == mtm_fixture_standby_w(b));
    check_limits(mtm_fixture_limits(a), mtm_fixture_limits(b), emitters);
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
