/* SPDX-License-Identifier: MIT */
/* The walk through targets, spectra and filters. */
#include "walk.h"

#include <metamer/colour.h>
#include <metamer/dominant.h>
#include <metamer/illuminant.h>
#include <metamer/palette.h>
#include <metamer/quality.h>
#include <metamer/spectrum_facts.h>
#include <metamer/spectrum_file.h>

static const mtm_xyz d65 = {95.047, 100, 108.883};

static void walk_targets(void)
{
    mtm_target target;
    const mtm_observer none = (mtm_observer)NO_ENUM;
    const mtm_xy xy = {0.3, 0.3};
    const mtm_spectrum *light = &world.light;
    const mtm_unit *unit = mtm_rig_unit(world.rig, 0);
    const mtm_codes codes = {0};

    EACH_XY(bad)
    REFUSED(mtm_target_from_xy, *bad, MTM_OBSERVER_2, &target);
    EACH_NUMBER(n)
    {
        REFUSED(mtm_target_from_uv, ((mtm_uv){*n, 0.5}), MTM_OBSERVER_2, &target);
        REFUSED(mtm_target_from_xyz, ((mtm_xyz){1, *n, 1}), MTM_OBSERVER_2, &target);
        REFUSED(mtm_target_from_white, ((mtm_white){*n, 0}), MTM_OBSERVER_2, &target);
        REFUSED(mtm_target_from_white, ((mtm_white){3000, *n}), MTM_OBSERVER_10, &target);
        REFUSED(mtm_target_from_daylight, *n, MTM_OBSERVER_2, &target);
        REFUSED(mtm_target_from_lamp, ((mtm_lamp){*n, 1}), MTM_OBSERVER_2, &target);
        REFUSED(mtm_target_from_lamp, ((mtm_lamp){3200, *n}), MTM_OBSERVER_2, &target);
        REFUSED(mtm_target_from_rgb, ((mtm_rgb){*n, 0, 0}), "srgb", MTM_OBSERVER_2, &target);
    }
    REFUSED(mtm_target_from_xy, xy, none, &target);
    REFUSED(mtm_target_from_xy, xy, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_uv, ((mtm_uv){0, 0}), MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_uv, ((mtm_uv){0.2, 0.5}), none, &target);
    REFUSED(mtm_target_from_uv, ((mtm_uv){0.2, 0.5}), MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_xyz, ((mtm_xyz){1, -1, 1}), MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_xyz, d65, none, &target);
    REFUSED(mtm_target_from_xyz, d65, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_white, ((mtm_white){0, 0}), MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_white, ((mtm_white){3000, 0}), none, &target);
    REFUSED(mtm_target_from_white, ((mtm_white){3000, 0}), MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_daylight, 3999, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_daylight, 5000, none, &target);
    REFUSED(mtm_target_from_daylight, 5000, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_lamp, ((mtm_lamp){3200, 1.5}), MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_lamp, ((mtm_lamp){3200, 0.5}), none, &target);
    REFUSED(mtm_target_from_lamp, ((mtm_lamp){3200, 0.5}), MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_spectrum, NULL, "s", MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_spectrum, &world.no_spectrum, "s", MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_spectrum, light, NULL, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_spectrum, light, "s", none, &target);
    REFUSED(mtm_target_from_spectrum, light, "s", MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_unit, NULL, &codes, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_unit, unit, NULL, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_unit, unit, &codes, none, &target);
    REFUSED(mtm_target_from_unit, unit, &codes, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_rgb, ((mtm_rgb){1.1, 0, 0}), "srgb", MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_rgb, ((mtm_rgb){1, 0, 0}), NULL, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_rgb, ((mtm_rgb){1, 0, 0}), "srgb", none, &target);
    REFUSED(mtm_target_from_rgb, ((mtm_rgb){1, 0, 0}), "srgb", MTM_OBSERVER_2, NULL);
}

static void walk_indices(void)
{
    const mtm_spectrum *light = &world.light;
    const mtm_spectrum *bad = &world.no_spectrum;
    mtm_peak peak;
    mtm_quality quality;
    mtm_cri cri;
    mtm_fidelity fidelity;
    double number;

    REFUSED(mtm_peak_from_spectrum, NULL, &peak);
    REFUSED(mtm_peak_from_spectrum, bad, &peak);
    REFUSED(mtm_peak_from_spectrum, light, NULL);
    REFUSED(mtm_ler_from_spectrum, NULL, &number);
    REFUSED(mtm_ler_from_spectrum, bad, &number);
    REFUSED(mtm_ler_from_spectrum, light, NULL);
    REFUSED(mtm_quality_from_spectrum, NULL, &quality);
    REFUSED(mtm_quality_from_spectrum, bad, &quality);
    REFUSED(mtm_quality_from_spectrum, light, NULL);
    REFUSED(mtm_cri_from_spectrum, NULL, &cri);
    REFUSED(mtm_cri_from_spectrum, bad, &cri);
    REFUSED(mtm_cri_from_spectrum, light, NULL);
    REFUSED(mtm_fidelity_from_spectrum, NULL, &fidelity);
    REFUSED(mtm_fidelity_from_spectrum, bad, &fidelity);
    REFUSED(mtm_fidelity_from_spectrum, light, NULL);
    REFUSED(mtm_ssi_from_spectrum, NULL, NULL, &number);
    REFUSED(mtm_ssi_from_spectrum, bad, NULL, &number);
    REFUSED(mtm_ssi_from_spectrum, light, bad, &number);
    REFUSED(mtm_ssi_from_spectrum, light, light, NULL);
}

static void walk_references(void)
{
    EACH_NUMBER(n)
    {
        HOLDS(mtm_ra_reference, mtm_ra_reference(*n) == MTM_REFERENCE_NONE);
        HOLDS(mtm_rf_reference, mtm_rf_reference(*n) == MTM_REFERENCE_NONE);
        HOLDS(mtm_ssi_reference, mtm_ssi_reference(*n) == MTM_REFERENCE_NONE);
    }
    HOLDS(mtm_ra_reference, mtm_ra_reference(0) == MTM_REFERENCE_NONE);
    HOLDS(mtm_rf_reference, mtm_rf_reference(-3000) == MTM_REFERENCE_NONE);
    HOLDS(mtm_ssi_reference, mtm_ssi_reference(0) == MTM_REFERENCE_NONE);
    HOLDS(mtm_ra_jumps, !mtm_ra_jumps((double)NAN, (double)NAN));
}

static void walk_set_facts(const mtm_spectrum_set *set)
{
    const mtm_xy white = {0.3, 0.3};
    mtm_spectrum_facts facts;

    DONE(mtm_spectrum_set_facts, set, 0, MTM_OBSERVER_2, white, set, &facts);
    REFUSED(mtm_spectrum_set_facts, NULL, 0, MTM_OBSERVER_2, white, NULL, &facts);
    REFUSED(mtm_spectrum_set_facts, set, 1, MTM_OBSERVER_2, white, NULL, &facts);
    REFUSED(mtm_spectrum_set_facts, set, 0, (mtm_observer)NO_ENUM, white, NULL, &facts);
    REFUSED(mtm_spectrum_set_facts, set, 0, MTM_OBSERVER_2, white, NULL, NULL);
    EACH_XY(bad)
    REFUSED(mtm_spectrum_set_facts, set, 0, MTM_OBSERVER_2, *bad, NULL, &facts);
}

static void walk_sets(void)
{
    static const char text[] = "nm,v\n400,1\n500,2\n700,1\n";
    mtm_spectrum_set *set = NULL;
    double two[2] = {1, 2};

    REFUSED(mtm_spectrum_set_load, NULL, MTM_ENDS_ZERO, &set);
    REFUSED(mtm_spectrum_set_load, "profiles/amber.csv", MTM_ENDS_ZERO, NULL);
    REFUSED(mtm_spectrum_set_load, "profiles/amber.csv", (mtm_ends)NO_ENUM, &set);
    REFUSED(mtm_spectrum_set_parse, NULL, 0, "t", MTM_ENDS_ZERO, &set);
    REFUSED(mtm_spectrum_set_parse, text, sizeof text - 1, NULL, MTM_ENDS_ZERO, &set);
    REFUSED(mtm_spectrum_set_parse, text, sizeof text - 1, "t", (mtm_ends)NO_ENUM, &set);
    REFUSED(mtm_spectrum_set_parse, text, sizeof text - 1, "t", MTM_ENDS_ZERO, NULL);
    assert_null(set);
    DONE(mtm_spectrum_set_parse, text, sizeof text - 1, "t", MTM_ENDS_ZERO, &set);
    HOLDS(mtm_spectrum_set_count, mtm_spectrum_set_count(NULL) == 0);
    HOLDS(mtm_spectrum_set_at, mtm_spectrum_set_at(NULL, 0) == NULL);
    HOLDS(mtm_spectrum_set_at, mtm_spectrum_set_at(set, 1) == NULL);
    HOLDS(mtm_spectrum_set_straight, mtm_spectrum_set_straight(NULL, 0) == NULL);
    HOLDS(mtm_spectrum_set_straight, mtm_spectrum_set_straight(set, 1) == NULL);
    HOLDS(mtm_spectrum_set_spacing_nm, isnan(mtm_spectrum_set_spacing_nm(NULL, 0)));
    HOLDS(mtm_spectrum_set_spacing_nm, isnan(mtm_spectrum_set_spacing_nm(set, 1)));
    HOLDS(mtm_spectrum_set_name, mtm_spectrum_set_name(NULL, 0) == NULL);
    HOLDS(mtm_spectrum_set_name, mtm_spectrum_set_name(set, 1) == NULL);
    HOLDS(mtm_spectrum_set_quantity, mtm_spectrum_set_quantity(NULL, 0) == MTM_QUANTITY_UNSTATED);
    HOLDS(mtm_spectrum_set_quantity, mtm_spectrum_set_quantity(set, 1) == MTM_QUANTITY_UNSTATED);
    LEAVES(two, mtm_spectrum_set_range, NULL, 0, &two[0], &two[1]);
    LEAVES(two, mtm_spectrum_set_range, set, 1, &two[0], &two[1]);
    LEAVES(two, mtm_spectrum_set_range, set, 0, NULL, &two[1]);
    LEAVES(two, mtm_spectrum_set_extremes, NULL, 0, &two[0], &two[1]);
    LEAVES(two, mtm_spectrum_set_extremes, set, 1, &two[0], &two[1]);
    LEAVES(two, mtm_spectrum_set_extremes, set, 0, &two[0], NULL);
    walk_set_facts(set);
    mtm_spectrum_set_free(set);
    LEAVES(two, mtm_spectrum_set_free, NULL);
}

void walk_spectra(void **state)
{
    const double nm[] = {400, 500, 600};
    const double falling[] = {400, 400, 600};
    const double value[] = {1, 2, 3};
    mtm_spectrum made;

    (void)state;
    walk_targets();
    walk_indices();
    walk_references();
    walk_sets();
    DONE(mtm_spectrum_from_samples, nm, value, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_from_samples, NULL, value, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_from_samples, nm, NULL, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_from_samples, nm, value, 1, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_from_samples, falling, value, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_from_samples, nm, value, 3, (mtm_ends)NO_ENUM, &made);
    REFUSED(mtm_spectrum_from_samples, nm, value, 3, MTM_ENDS_ZERO, NULL);
    REFUSED(mtm_spectrum_straight_from_samples, NULL, value, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_straight_from_samples, nm, NULL, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_straight_from_samples, nm, value, 1, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_straight_from_samples, falling, value, 3, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_straight_from_samples, nm, value, 3, (mtm_ends)NO_ENUM, &made);
    REFUSED(mtm_spectrum_straight_from_samples, nm, value, 3, MTM_ENDS_ZERO, NULL);
    EACH_NUMBER(n)
    {
        const double odd[] = {400, *n, 600};
        REFUSED(mtm_spectrum_straight_from_samples, odd, value, 3, MTM_ENDS_ZERO, &made);
        REFUSED(mtm_spectrum_straight_from_samples, nm, odd, 3, MTM_ENDS_ZERO, &made);
        REFUSED(mtm_spectrum_from_samples, odd, value, 3, MTM_ENDS_ZERO, &made);
        REFUSED(mtm_spectrum_from_samples, nm, odd, 3, MTM_ENDS_ZERO, &made);
        REFUSED(mtm_spectrum_led, *n, 20, &made);
        REFUSED(mtm_spectrum_led, 500, *n, &made);
        REFUSED(mtm_spectrum_planck, *n, &made);
        REFUSED(mtm_spectrum_daylight, *n, &made);
    }
    REFUSED(mtm_spectrum_load, NULL, MTM_ENDS_ZERO, &made);
    REFUSED(mtm_spectrum_load, "profiles/amber.csv", (mtm_ends)NO_ENUM, &made);
    REFUSED(mtm_spectrum_load, "profiles/amber.csv", MTM_ENDS_ZERO, NULL);
    NOTHING(mtm_xyz, mtm_xyz_from_spectrum, NULL, MTM_OBSERVER_2);
    NOTHING(mtm_xyz, mtm_xyz_from_spectrum, &world.light, (mtm_observer)NO_ENUM);
    NOTHING(mtm_xyz, mtm_xyz_from_spectrum, &world.no_spectrum, MTM_OBSERVER_2);
    REFUSED(mtm_spectrum_scale_to_lm, NULL, 1);
    REFUSED(mtm_spectrum_scale_to_lm, &made, -1);
    mtm_spectrum holed = world.no_spectrum;
    REFUSED(mtm_spectrum_scale_to_lm, &holed, 1);
    EACH_NUMBER(n)
    REFUSED(mtm_spectrum_scale_to_lm, &made, *n);
    REFUSED(mtm_spectrum_led, 299, 20, &made);
    REFUSED(mtm_spectrum_led, 500, 0.4, &made);
    REFUSED(mtm_spectrum_led, 500, 20, NULL);
    REFUSED(mtm_spectrum_planck, 499, &made);
    REFUSED(mtm_spectrum_planck, 3000, NULL);
    REFUSED(mtm_spectrum_daylight, 3999, &made);
    REFUSED(mtm_spectrum_daylight, 5000, NULL);
    REFUSED(mtm_spectrum_illuminant, NULL, &made);
    REFUSED(mtm_spectrum_illuminant, "A", NULL);
}

void walk_filters(void **state)
{
    static const char text[] = "{\"metamer\": \"filter/1\"}";
    const mtm_correction good = {.mired_shift = 50};
    const mtm_filter clear = {.name = "dark"};
    mtm_filter bad = {.name = "bad"};
    mtm_light light = {.name = "d65", .spectrum = world.light};
    mtm_light no_light = {.name = "none", .spectrum = world.no_spectrum};
    mtm_filter made = {.name = ""};
    mtm_filtered seen;
    mtm_target target;
    mtm_filters *filters = NULL;
    mtm_near_filter near[2];

    (void)state;
    bad.transmittance.value[100] = 1.5;
    REFUSED(mtm_light_from_text, NULL, &light);
    REFUSED(mtm_light_from_text, "A", NULL);
    REFUSED(mtm_filter_correction, NULL, good, &world.light, &made);
    REFUSED(mtm_filter_correction, "f", good, NULL, &made);
    REFUSED(mtm_filter_correction, "f", good, &world.no_spectrum, &made);
    REFUSED(mtm_filter_correction, "f", good, &world.light, NULL);
    REFUSED(mtm_filter_correction, "f", ((mtm_correction){.mired_shift = 301}), &world.light,
            &made);
    EACH_NUMBER(n)
    {
        REFUSED(mtm_filter_correction, "f", ((mtm_correction){*n, 0, 0}), &world.light, &made);
        REFUSED(mtm_filter_correction, "f", ((mtm_correction){0, *n, 0}), &world.light, &made);
        REFUSED(mtm_filter_correction, "f", ((mtm_correction){0, 0, *n}), &world.light, &made);
    }
    REFUSED(mtm_filter_load, NULL, &made);
    REFUSED(mtm_filter_load, "profiles/amber.csv", NULL);
    REFUSED(mtm_filter_parse, NULL, 0, "t", NULL, &made);
    REFUSED(mtm_filter_parse, text, sizeof text - 1, NULL, NULL, &made);
    REFUSED(mtm_filter_parse, text, sizeof text - 1, "t", NULL, NULL);
    HOLDS(mtm_filter_stack, mtm_filter_stack(NULL, &clear).name[0] == '\0');
    HOLDS(mtm_filter_stack, mtm_filter_stack(&clear, NULL).name[0] == '\0');
    NOTHING(mtm_spectrum, mtm_filter_apply, NULL, &world.light);
    NOTHING(mtm_spectrum, mtm_filter_apply, &clear, NULL);
    DONE(mtm_filter_over, &clear, &world.light, MTM_OBSERVER_2, &seen);
    REFUSED(mtm_filter_over, NULL, &world.light, MTM_OBSERVER_2, &seen);
    REFUSED(mtm_filter_over, &bad, &world.light, MTM_OBSERVER_2, &seen);
    REFUSED(mtm_filter_over, &clear, NULL, MTM_OBSERVER_2, &seen);
    REFUSED(mtm_filter_over, &clear, &world.no_spectrum, MTM_OBSERVER_2, &seen);
    REFUSED(mtm_filter_over, &clear, &world.light, (mtm_observer)NO_ENUM, &seen);
    REFUSED(mtm_filter_over, &clear, &world.light, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_target_from_filter, NULL, &light, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_filter, &bad, &light, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_filter, &clear, NULL, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_filter, &clear, &no_light, MTM_OBSERVER_2, &target);
    REFUSED(mtm_target_from_filter, &clear, &light, (mtm_observer)NO_ENUM, &target);
    REFUSED(mtm_target_from_filter, &clear, &light, MTM_OBSERVER_2, NULL);
    mtm_palette *palette = NULL;
    REFUSED(mtm_palette_load, NULL, NULL, MTM_OBSERVER_2, &palette);
    REFUSED(mtm_palette_load, "examples/palette.json", NULL, (mtm_observer)NO_ENUM, &palette);
    REFUSED(mtm_palette_load, "examples/palette.json", NULL, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_palette_parse, NULL, 0, "t", NULL, NULL, MTM_OBSERVER_2, &palette);
    REFUSED(mtm_palette_parse, "{}", 2, NULL, NULL, NULL, MTM_OBSERVER_2, &palette);
    REFUSED(mtm_palette_parse, "{}", 2, "t", NULL, NULL, (mtm_observer)NO_ENUM, &palette);
    REFUSED(mtm_palette_parse, "{}", 2, "t", NULL, NULL, MTM_OBSERVER_2, NULL);
    HOLDS(mtm_palette_free, palette == NULL);
    HOLDS(mtm_palette_name, mtm_palette_name(NULL) == NULL);
    HOLDS(mtm_palette_count, mtm_palette_count(NULL) == 0);
    HOLDS(mtm_palette_colour_name, mtm_palette_colour_name(NULL, 0) == NULL);
    HOLDS(mtm_palette_colour, mtm_palette_colour(NULL, 0) == NULL);
    REFUSED(mtm_filters_load, NULL, NULL);
    DONE(mtm_filters_load, NULL, &filters);
    HOLDS(mtm_filters_count, mtm_filters_count(NULL) == 0);
    HOLDS(mtm_filters_at, mtm_filters_at(NULL, 0) == NULL);
    HOLDS(mtm_filters_at, mtm_filters_at(filters, mtm_filters_count(filters)) == NULL);
    REFUSED(mtm_filters_find, NULL, "half CTO", &made);
    REFUSED(mtm_filters_find, filters, NULL, &made);
    REFUSED(mtm_filters_find, filters, "half CTO", NULL);
#define LIKE(...) HOLDS(mtm_filters_like, mtm_filters_like(__VA_ARGS__) == 0)
    LIKE(NULL, &clear, &world.light, MTM_OBSERVER_2, near, 2);
    LIKE(filters, NULL, &world.light, MTM_OBSERVER_2, near, 2);
    LIKE(filters, &bad, &world.light, MTM_OBSERVER_2, near, 2);
    LIKE(filters, &clear, NULL, MTM_OBSERVER_2, near, 2);
    LIKE(filters, &clear, &world.no_spectrum, MTM_OBSERVER_2, near, 2);
    LIKE(filters, &clear, &world.light, (mtm_observer)NO_ENUM, near, 2);
    LIKE(filters, &clear, &world.light, MTM_OBSERVER_2, NULL, 2);
#define NEAREST(...) HOLDS(mtm_filters_nearest, mtm_filters_nearest(__VA_ARGS__) == 0)
    const mtm_xy xy = {0.4, 0.4};
    NEAREST(NULL, xy, &world.light, MTM_OBSERVER_2, true, near, 2);
    NEAREST(filters, xy, NULL, MTM_OBSERVER_2, true, near, 2);
    NEAREST(filters, xy, &world.no_spectrum, MTM_OBSERVER_2, true, near, 2);
    NEAREST(filters, xy, &world.light, (mtm_observer)NO_ENUM, true, near, 2);
    NEAREST(filters, xy, &world.light, MTM_OBSERVER_2, true, NULL, 2);
    EACH_XY(n)
    NEAREST(filters, *n, &world.light, MTM_OBSERVER_2, false, near, 2);
    mtm_filters_free(filters);
    LEAVES(bad, mtm_filters_free, NULL);
}
