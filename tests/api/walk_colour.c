/* SPDX-License-Identifier: MIT */
/* The walk through the colour room. */
#include "walk.h"

#include <metamer/adapt.h>
#include <metamer/appearance.h>
#include <metamer/colour_facts.h>
#include <metamer/dominant.h>
#include <metamer/lab.h>
#include <metamer/rgb.h>
#include <metamer/swatch.h>
#include <metamer/tolerance.h>
#include <metamer/white.h>

static const mtm_xyz d65 = {95.047, 100, 108.883};

static void walk_swatches(void)
{
    const mtm_xy white = {0.31, 0.33};
    mtm_swatch swatch = {.r = 7};

    REFUSED(mtm_swatches_from_xy, NULL, 1, white, &swatch);
    REFUSED(mtm_swatches_from_xy, &white, 1, white, NULL);
    EACH_XY(bad)
    {
        REFUSED(mtm_swatches_from_xy, bad, 1, white, &swatch);
        if (bad->x != 0 || bad->y != 0) /* which stands for D65 */
            REFUSED(mtm_swatches_from_xy, &white, 1, *bad, &swatch);
    }
    HOLDS(mtm_swatches_from_xy, swatch.r == 7);
}

static void walk_formulas(void)
{
    static const mtm_matrix matrix = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};

    EACH_NUMBER(bad)
    {
        double n = *bad;
        NOTHING(mtm_xy, mtm_xy_from_xyz, (mtm_xyz){n, 1, 1});
        NOTHING(mtm_uv, mtm_uv_from_xyz, (mtm_xyz){1, n, 1});
        NOTHING(mtm_xyz, mtm_xyz_from_xy, (mtm_xy){n, 0.3}, 1);
        NOTHING(mtm_xyz, mtm_xyz_from_xy, (mtm_xy){0.3, 0.3}, n);
        NOTHING(mtm_uv, mtm_uv_from_xy, (mtm_xy){n, 0.3});
        NOTHING(mtm_xy, mtm_xy_from_uv, (mtm_uv){0.2, n});
        NOTHING(double, mtm_uv_distance, (mtm_uv){n, 0.3}, (mtm_uv){0.2, 0.3});
        NOTHING(mtm_xyz, mtm_matrix_apply, &matrix, (mtm_xyz){1, n, 1});
        NOTHING(mtm_lab, mtm_lab_from_xyz, (mtm_xyz){1, n, 1}, d65);
        NOTHING(mtm_lab, mtm_lab_from_xyz, d65, (mtm_xyz){n, 1, 1});
        NOTHING(mtm_xyz, mtm_lab_to_xyz, (mtm_lab){n, 0, 0}, d65);
        NOTHING(double, mtm_lab_chroma, (mtm_lab){50, n, 0});
        NOTHING(double, mtm_lab_hue_deg, (mtm_lab){50, 1, n});
        NOTHING(double, mtm_lab_difference, (mtm_lab){n, 0, 0}, (mtm_lab){50, 0, 0});
        NOTHING(double, mtm_lab_ciede2000, (mtm_lab){n, 0, 0}, (mtm_lab){50, 0, 0});
        NOTHING(mtm_luv, mtm_luv_from_xyz, (mtm_xyz){1, n, 1}, d65);
        NOTHING(mtm_luv, mtm_luv_from_xyz, d65, (mtm_xyz){1, n, 1});
        NOTHING(mtm_xyz, mtm_luv_to_xyz, (mtm_luv){n, 0, 0}, d65);
        NOTHING(mtm_oklab, mtm_oklab_from_xyz, (mtm_xyz){1, n, 1});
        NOTHING(mtm_xyz, mtm_oklab_to_xyz, (mtm_oklab){n, 0, 0});
        NOTHING(double, mtm_mired_from_cct, n);
        NOTHING(double, mtm_cct_from_mired, n);
    }
    NOTHING(mtm_xyz, mtm_xyz_from_xy, (mtm_xy){0.3, 0}, 1);
    NOTHING(mtm_xyz, mtm_xyz_from_xy, (mtm_xy){0.3, -0.1}, 1);
    NOTHING(mtm_xyz, mtm_matrix_apply, NULL, d65);
    NOTHING(mtm_lab, mtm_lab_from_xyz, d65, (mtm_xyz){0, 0, 0});
    NOTHING(mtm_xyz, mtm_lab_to_xyz, (mtm_lab){50, 0, 0}, (mtm_xyz){0, 0, 0});
    NOTHING(mtm_luv, mtm_luv_from_xyz, d65, (mtm_xyz){0, 0, 0});
    NOTHING(mtm_xyz, mtm_luv_to_xyz, (mtm_luv){50, 0, 0}, (mtm_xyz){0, 0, 0});
    NOTHING(double, mtm_mired_from_cct, -3000);
    NOTHING(double, mtm_cct_from_mired, 0);
    EACH_XY(bad)
    HOLDS(mtm_xy_valid, !mtm_xy_valid(*bad));
}

static void walk_whites(void)
{
    mtm_white white;
    mtm_xy xy = {0.3, 0.3};
    double steps;
    mtm_dominant dominant;
    mtm_white_class class = {0};
    mtm_xy corner[4];
    mtm_tolerance tolerance;
    bool holds;

    EACH_XY(bad)
    {
        REFUSED(mtm_white_from_xy, *bad, &white);
        REFUSED(mtm_dominant_from_xy, *bad, xy, MTM_OBSERVER_2, &dominant);
        REFUSED(mtm_dominant_from_xy, xy, *bad, MTM_OBSERVER_2, &dominant);
        REFUSED(mtm_steps, *bad, xy, &steps);
        REFUSED(mtm_steps, xy, *bad, &steps);
        REFUSED(mtm_macadam_steps, *bad, xy, &steps);
        REFUSED(mtm_macadam_steps, xy, *bad, &steps);
        REFUSED(mtm_white_class_holds, mtm_white_classes(), 7, *bad, &holds);
        REFUSED(mtm_tolerance_from_xy, *bad, &tolerance);
    }
    REFUSED(mtm_white_from_xy, xy, NULL);
    REFUSED(mtm_dominant_from_xy, xy, xy, (mtm_observer)NO_ENUM, &dominant);
    REFUSED(mtm_dominant_from_xy, xy, xy, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_steps, xy, xy, NULL);
    REFUSED(mtm_macadam_steps, xy, xy, NULL);
    EACH_NUMBER(bad)
    {
        REFUSED(mtm_white_to_xy, ((mtm_white){*bad, 0}), &xy);
        REFUSED(mtm_white_to_xy, ((mtm_white){3000, *bad}), &xy);
        REFUSED(mtm_planck_xy, *bad, MTM_OBSERVER_2, &xy);
        REFUSED(mtm_daylight_xy, *bad, MTM_OBSERVER_2, &xy);
        REFUSED(mtm_white_class_corners, mtm_white_classes(), *bad, corner);
        REFUSED(mtm_white_class_holds, mtm_white_classes(), *bad, xy, &holds);
        class = (mtm_white_class){3000, *bad, 100, 0};
        REFUSED(mtm_white_class_centre, &class, &xy);
        class = (mtm_white_class){3000, 3000, *bad, 0};
        REFUSED(mtm_white_class_corners, &class, 7, corner);
    }
    REFUSED(mtm_white_to_xy, ((mtm_white){999, 0}), &xy);
    REFUSED(mtm_white_to_xy, ((mtm_white){3000, 0.0501}), &xy);
    REFUSED(mtm_white_to_xy, ((mtm_white){3000, 0}), NULL);
    REFUSED(mtm_planck_xy, 25001, MTM_OBSERVER_2, &xy);
    REFUSED(mtm_planck_xy, 3000, (mtm_observer)NO_ENUM, &xy);
    REFUSED(mtm_planck_xy, 3000, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_daylight_xy, 3999, MTM_OBSERVER_2, &xy);
    REFUSED(mtm_daylight_xy, 5000, (mtm_observer)-1, &xy);
    REFUSED(mtm_daylight_xy, 5000, MTM_OBSERVER_2, NULL);
    HOLDS(mtm_lamp_dimmed_cct_k, mtm_lamp_dimmed_cct_k((mtm_lamp){3200, -0.1}) == 0);
    HOLDS(mtm_lamp_watts_share, isnan(mtm_lamp_watts_share(-0.1)));
    HOLDS(mtm_lamp_watts_share, isnan(mtm_lamp_watts_share(1.1)));
    HOLDS(mtm_lamp_light_at_watts, isnan(mtm_lamp_light_at_watts(-0.1)));
    HOLDS(mtm_lamp_light_at_watts, isnan(mtm_lamp_light_at_watts(NAN)));
    HOLDS(mtm_lamp_share_at, isnan(mtm_lamp_share_at(3200, 0)) && isnan(mtm_lamp_share_at(NAN, 1)));
    HOLDS(mtm_white_classes, mtm_white_classes() != NULL);
    REFUSED(mtm_white_class_flexible, 2250, &class);
    REFUSED(mtm_white_class_flexible, 3000, NULL);
    class = (mtm_white_class){0};
    REFUSED(mtm_white_class_centre, &class, &xy);
    REFUSED(mtm_white_class_centre, NULL, &xy);
    REFUSED(mtm_white_class_centre, mtm_white_classes(), NULL);
    REFUSED(mtm_white_class_corners, NULL, 7, corner);
    REFUSED(mtm_white_class_corners, &class, 7, corner);
    REFUSED(mtm_white_class_corners, mtm_white_classes(), 0.5, corner);
    REFUSED(mtm_white_class_corners, mtm_white_classes(), 7, NULL);
    REFUSED(mtm_white_class_holds, NULL, 7, xy, &holds);
    REFUSED(mtm_white_class_holds, mtm_white_classes(), 7, xy, NULL);
    REFUSED(mtm_tolerance_from_xy, xy, NULL);
}

static void walk_appearance(void)
{
    const mtm_viewing good = {d65, 20, 20, MTM_SURROUND_AVERAGE, false};
    mtm_viewing bad = good;
    mtm_viewer viewer;
    mtm_matrix matrix;

    REFUSED(mtm_adapt_matrix, (mtm_adapt_method)NO_ENUM, d65, d65, 1, &matrix);
    REFUSED(mtm_adapt_matrix, MTM_ADAPT_CAT16, (mtm_xyz){0, 0, 0}, d65, 1, &matrix);
    REFUSED(mtm_adapt_matrix, MTM_ADAPT_CAT16, d65, (mtm_xyz){1, -1, 1}, 1, &matrix);
    REFUSED(mtm_adapt_matrix, MTM_ADAPT_BRADFORD, d65, d65, 1.01, &matrix);
    REFUSED(mtm_adapt_matrix, MTM_ADAPT_BRADFORD, d65, d65, 1, NULL);
    DONE(mtm_viewer_create, MTM_CAM16, &good, &viewer);
    REFUSED(mtm_viewer_create, (mtm_appearance_model)NO_ENUM, &good, &viewer);
    REFUSED(mtm_viewer_create, MTM_CAM16, NULL, &viewer);
    REFUSED(mtm_viewer_create, MTM_CAM16, &good, NULL);
    bad.surround = (mtm_surround)NO_ENUM;
    REFUSED(mtm_viewer_create, MTM_CAM16, &bad, &viewer);
    bad = (mtm_viewing){{0, 0, 0}, 0, 0, MTM_SURROUND_AVERAGE, false};
    REFUSED(mtm_viewer_create, MTM_CAM16, &bad, &viewer);
    EACH_NUMBER(n)
    {
        REFUSED(mtm_adapt_matrix, MTM_ADAPT_CAT16, (mtm_xyz){1, *n, 1}, d65, 1, &matrix);
        REFUSED(mtm_adapt_matrix, MTM_ADAPT_CAT16, d65, (mtm_xyz){1, *n, 1}, 1, &matrix);
        REFUSED(mtm_adapt_matrix, MTM_ADAPT_CAT16, d65, d65, *n, &matrix);
        bad = good;
        bad.white.z = *n;
        REFUSED(mtm_viewer_create, MTM_CAM16, &bad, &viewer);
        bad = good;
        bad.luminance_cd_m2 = *n;
        REFUSED(mtm_viewer_create, MTM_CAM16, &bad, &viewer);
        bad = good;
        bad.background_y = *n;
        REFUSED(mtm_viewer_create, MTM_CAM16, &bad, &viewer);
        NOTHING(mtm_appearance, mtm_appearance_from_xyz, &viewer, (mtm_xyz){1, *n, 1});
        NOTHING(mtm_ucs, mtm_ucs_from_xyz, &viewer, (mtm_xyz){1, *n, 1});
        NOTHING(mtm_xyz, mtm_ucs_to_xyz, &viewer, (mtm_ucs){*n, 0, 0});
        NOTHING(mtm_ucs, mtm_ucs_from_appearance, (mtm_appearance){.hue_deg = *n, .lightness = *n});
        NOTHING(double, mtm_ucs_distance, (mtm_ucs){*n, 0, 0}, (mtm_ucs){0, 0, 0});
    }
    const mtm_viewer none = {.model = MTM_CAM16};
    NOTHING(mtm_appearance, mtm_appearance_from_xyz, NULL, d65);
    NOTHING(mtm_ucs, mtm_ucs_from_xyz, NULL, d65);
    NOTHING(mtm_xyz, mtm_ucs_to_xyz, NULL, (mtm_ucs){50, 0, 0});
    NOTHING(mtm_appearance, mtm_appearance_from_xyz, &none, d65);
    NOTHING(mtm_ucs, mtm_ucs_from_xyz, &none, d65);
    NOTHING(mtm_xyz, mtm_ucs_to_xyz, &none, (mtm_ucs){50, 1, 1});
}

static void walk_facts(void)
{
    const mtm_xy xy = {0.3, 0.3};
    mtm_colour_facts facts;

    DONE(mtm_colour_facts_from_xy, xy, MTM_OBSERVER_2, 100, xy, &facts);
    EACH_XY(bad)
    {
        REFUSED(mtm_colour_facts_from_xy, *bad, MTM_OBSERVER_2, 100, xy, &facts);
        REFUSED(mtm_colour_facts_from_xy, xy, MTM_OBSERVER_2, 100, *bad, &facts);
    }
    EACH_NUMBER(n)
    {
        REFUSED(mtm_colour_facts_from_xy, xy, MTM_OBSERVER_2, *n, xy, &facts);
        HOLDS(mtm_dominant_imaginary, !mtm_dominant_imaginary((mtm_dominant){*n, 0}));
    }
    REFUSED(mtm_colour_facts_from_xy, xy, MTM_OBSERVER_2, 0, xy, &facts);
    REFUSED(mtm_colour_facts_from_xy, xy, (mtm_observer)NO_ENUM, 100, xy, &facts);
    REFUSED(mtm_colour_facts_from_xy, xy, MTM_OBSERVER_2, 100, xy, NULL);
}

static void walk_rgb(void)
{
    const mtm_rgb_space *space = NULL;
    const mtm_rgb_space zeroed = {0};

    REFUSED(mtm_rgb_space_find, NULL, &space);
    REFUSED(mtm_rgb_space_find, "srgb", NULL);
    NOTHING(mtm_matrix, mtm_rgb_matrix, NULL);
    NOTHING(mtm_matrix, mtm_rgb_matrix, &zeroed);
    NOTHING(mtm_xyz, mtm_rgb_to_xyz, NULL, (mtm_rgb){1, 1, 1});
    NOTHING(mtm_xyz, mtm_rgb_to_xyz, &zeroed, (mtm_rgb){1, 1, 1});
    NOTHING(mtm_rgb, mtm_rgb_from_xyz, NULL, d65);
    NOTHING(mtm_rgb, mtm_rgb_from_xyz, &zeroed, d65);
    NOTHING(mtm_rgb, mtm_rgb_brightest, NULL, (mtm_xy){0.3, 0.3});
    NOTHING(mtm_rgb, mtm_rgb_brightest, &zeroed, (mtm_xy){0.3, 0.3});
    for (size_t i = 0; i < mtm_rgb_space_count(); i++) {
        space = mtm_rgb_space_at(i);
        EACH_NUMBER(n)
        {
            NOTHING(mtm_xyz, mtm_rgb_to_xyz, space, (mtm_rgb){*n, 1, 1});
            NOTHING(mtm_rgb, mtm_rgb_from_xyz, space, (mtm_xyz){*n, 1, 1});
            NOTHING(mtm_rgb, mtm_rgb_brightest, space, (mtm_xy){*n, 0.3});
            NOTHING(mtm_rgb, mtm_rgb_brightest, space, (mtm_xy){0.3, *n});
            HOLDS(mtm_rgb_inside, !mtm_rgb_inside((mtm_rgb){*n, 0, 0}));
        }
    }
}

void walk_colour(void **state)
{
    (void)state;
    walk_formulas();
    walk_swatches();
    walk_whites();
    walk_appearance();
    walk_rgb();
    walk_facts();
}
