/* SPDX-License-Identifier: MIT */
/* Two colours side by side: how far apart they look on a screen, and on a stage in warm light.
 * Build: cc two_colours.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out 1 0.55 0.2 1 0.5 0.25 */
#include <metamer/adapt.h>
#include <metamer/appearance.h>
#include <metamer/lab.h>
#include <metamer/rgb.h>
#include <metamer/white.h>

#include <stdio.h>
#include <stdlib.h>

static int fail(const mtm_error *error)
{
    (void)fprintf(stderr, "%s\n", error->text);
    return 1;
}

static mtm_xyz hundredfold(mtm_xyz xyz)
{
    return (mtm_xyz){100 * xyz.x, 100 * xyz.y, 100 * xyz.z};
}

/* A chromaticity as XYZ with Y of 100. */
static mtm_xyz white_of(mtm_xy xy)
{
    return (mtm_xyz){100 * xy.x / xy.y, 100, 100 * (1 - xy.x - xy.y) / xy.y};
}

static void show_lab(const mtm_xyz xyz[2], mtm_xyz white)
{
    mtm_lab lab[2];

    for (int i = 0; i < 2; i++) {
        lab[i] = mtm_lab_from_xyz(xyz[i], white);
        printf("colour %d  L* %5.1f  C* %5.1f  h %5.1f°\n", i + 1, lab[i].l, mtm_lab_chroma(lab[i]),
               mtm_lab_hue_deg(lab[i]));
    }
    printf("difference: %.2f (1976), %.2f (CIEDE2000)\n", mtm_lab_difference(lab[0], lab[1]),
           mtm_lab_ciede2000(lab[0], lab[1]));
    const mtm_lab between = {(lab[0].l + lab[1].l) / 2, (lab[0].a + lab[1].a) / 2,
                             (lab[0].b + lab[1].b) / 2};
    const mtm_xyz middle = mtm_lab_to_xyz(between, white);
    printf("halfway in L*a*b*: X %.2f, Y %.2f, Z %.2f\n", middle.x, middle.y, middle.z);
}

/* The same two as an eye sees them that is adapted to a dim stage. */
static int show_appearance(const mtm_xyz xyz[2], mtm_xyz white)
{
    const mtm_viewing viewing = {
        .white = white, .luminance_cd_m2 = 60, .background_y = 20, .surround = MTM_SURROUND_DIM};
    mtm_viewer viewer;
    mtm_ucs place[2];
    mtm_error error;

    if (mtm_viewer_create(MTM_CAM16, &viewing, &viewer, &error) != MTM_OK)
        return fail(&error);
    for (int i = 0; i < 2; i++) {
        const mtm_appearance look = mtm_appearance_from_xyz(&viewer, xyz[i]);
        place[i] = mtm_ucs_from_appearance(look);
        printf("colour %d  J %5.1f  M %5.1f  H %5.1f\n", i + 1, look.lightness, look.colourfulness,
               look.hue_quadrature);
    }
    printf("difference: %.2f (CAM16-UCS)\n", mtm_ucs_distance(place[0], place[1]));
    return 0;
}

static int compare(const mtm_rgb_space *space, const mtm_rgb rgb[2])
{
    const mtm_xyz white = white_of(space->white);
    mtm_xyz xyz[2], warm[2];
    mtm_xy warm_xy;
    mtm_matrix matrix;
    mtm_error error;

    for (int i = 0; i < 2; i++)
        xyz[i] = hundredfold(mtm_rgb_to_xyz(space, rgb[i]));
    printf("Beside the white of %s\n", space->name);
    show_lab(xyz, white);
    if (mtm_planck_xy(3200, MTM_OBSERVER_2, &warm_xy, &error) != MTM_OK ||
        mtm_adapt_matrix(MTM_ADAPT_CAT16, white, white_of(warm_xy), 1, &matrix, &error) != MTM_OK)
        return fail(&error);
    for (int i = 0; i < 2; i++)
        warm[i] = mtm_matrix_apply(&matrix, xyz[i]);
    printf("\nThe colours that look the same beside 3200 K\n");
    return show_appearance(warm, white_of(warm_xy));
}

int main(int argc, char **argv)
{
    const mtm_rgb_space *space = NULL;
    double value[6];
    mtm_error error;

    if (argc != 7) {
        (void)fprintf(stderr, "usage: two_colours R G B R G B (0 to 1 each, sRGB)\n");
        return 2;
    }
    for (int i = 0; i < 6; i++)
        value[i] = strtod(argv[i + 1], NULL);
    const mtm_rgb rgb[2] = {{value[0], value[1], value[2]}, {value[3], value[4], value[5]}};
    if (mtm_rgb_space_find("srgb", &space, &error) != MTM_OK)
        return fail(&error);
    return compare(space, rgb);
}
