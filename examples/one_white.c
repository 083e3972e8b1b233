/* SPDX-License-Identifier: MIT */
/* One white: a spectrum that is held in memory, how it renders, and which class of white it keeps.
 * Build: cc one_white.c $(pkg-config --cflags --libs metamer)
 * Run: ./a.out ../profiles/warm-white.csv */
#include <metamer/colour.h>
#include <metamer/quality.h>
#include <metamer/spectrum_file.h>
#include <metamer/tolerance.h>
#include <metamer/white.h>

#include <stdio.h>

static int fail(const mtm_error *error)
{
    (void)fprintf(stderr, "%s\n", error->text);
    return 1;
}

static int show_rendering(const mtm_spectrum *spectrum)
{
    mtm_cri cri;
    mtm_fidelity fidelity;
    mtm_error error;

    if (mtm_cri_from_spectrum(spectrum, &cri, &error) != MTM_OK ||
        mtm_fidelity_from_spectrum(spectrum, &fidelity, &error) != MTM_OK)
        return fail(&error);
    printf("Ra %.0f, R9 %.0f; Rf %.0f, Rg %.0f\n", cri.ra, cri.r[8], fidelity.rf, fidelity.rg);
    return 0;
}

/* Steps from the middle of a class, and the corners of its quadrangle at those steps it keeps. */
static int show_class(const mtm_white_class *class, mtm_xy xy)
{
    mtm_xy centre, corner[4];
    double steps = 0;
    bool holds = false;
    mtm_error error;

    if (mtm_white_class_centre(class, &centre, &error) != MTM_OK ||
        mtm_steps(xy, centre, &steps, &error) != MTM_OK ||
        mtm_white_class_holds(class, MTM_QUADRANGLE_STEPS, xy, &holds, &error) != MTM_OK ||
        mtm_white_class_corners(class, MTM_QUADRANGLE_STEPS, corner, &error) != MTM_OK)
        return fail(&error);
    printf("class %d K: %s its quadrangle (x %.4f to %.4f), %.1f steps from its middle\n",
           class->nominal_k, holds ? "in" : "outside", corner[2].x, corner[0].x, steps);
    return 0;
}

/* The nominal class nearest to a temperature, and the flexible one. */
static int show_classes(mtm_white white, mtm_xy xy)
{
    const mtm_white_class *nominal = mtm_white_classes();
    const mtm_white_class *nearest = nominal;
    mtm_white_class flexible;
    mtm_error error;

    for (size_t i = 1; i < MTM_WHITE_CLASS_COUNT; i++) {
        double before = nearest->cct_k - white.cct_k;
        double now = nominal[i].cct_k - white.cct_k;
        if (now * now < before * before)
            nearest = &nominal[i];
    }
    if (show_class(nearest, xy) != 0)
        return 1;
    int hundreds = 100 * (int)(white.cct_k / 100 + 0.5);
    if (mtm_white_class_flexible(hundreds, &flexible, &error) != MTM_OK)
        return fail(&error); /* the standard has none below 2700 K or above 6500 K */
    return flexible.nominal_k == nearest->nominal_k ? 0 : show_class(&flexible, xy);
}

static int show(const mtm_spectrum_set *set)
{
    const mtm_spectrum *spectrum = mtm_spectrum_set_at(set, 0);
    const mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2));
    mtm_white white;
    mtm_error error;

    if (mtm_white_from_xy(xy, &white, &error) != MTM_OK)
        return fail(&error);
    printf("%s: %.0f K, Duv %+.4f\n", mtm_spectrum_set_name(set, 0), white.cct_k, white.duv);
    return show_rendering(spectrum) != 0 ? 1 : show_classes(white, xy);
}

int main(int argc, char **argv)
{
    static char text[1 << 16];
    mtm_spectrum_set *set = NULL;
    mtm_error error;

    FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
    if (file == NULL) {
        (void)fprintf(stderr, "usage: one_white SPECTRUM.csv\n");
        return 2;
    }
    size_t length = fread(text, 1, sizeof text, file);
    (void)fclose(file);
    if (mtm_spectrum_set_parse(text, length, argv[1], MTM_ENDS_ZERO, &set, &error) != MTM_OK)
        return fail(&error);
    int status = show(set);
    mtm_spectrum_set_free(set);
    return status;
}
