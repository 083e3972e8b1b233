/* SPDX-License-Identifier: MIT */
/* Screen: XYZ to the bytes of an sRGB screen, by LittleCMS. */
#include "colour/screen.h"

#include <metamer/adapt.h>
#include <metamer/rgb.h>

#include <lcms2.h>

/* LittleCMS reads our XYZ in place. */
_Static_assert(sizeof(mtm_xyz) == sizeof(cmsCIEXYZ), "three doubles each");

/* The matrix from the white of sRGB to that of profiles, D50. */
static bool adaptation(mtm_matrix *matrix)
{
    const cmsCIEXYZ *d50 = cmsD50_XYZ();
    mtm_xyz white = mtm_rgb_to_xyz(mtm_rgb_space_at(0), (mtm_rgb){1, 1, 1});

    return mtm_adapt_matrix(MTM_ADAPT_BRADFORD, white, (mtm_xyz){d50->X, d50->Y, d50->Z}, 1, matrix,
                            NULL) == MTM_OK;
}

bool mtmi_screen_from_xyz(mtm_xyz *xyz, size_t count, uint8_t (*rgb)[3])
{
    mtm_matrix matrix;
    cmsContext context = cmsCreateContext(NULL, NULL);
    cmsHPROFILE from = cmsCreateXYZProfileTHR(context);
    cmsHPROFILE to = cmsCreate_sRGBProfileTHR(context);
    cmsHTRANSFORM transform = NULL;

    if (from != NULL && to != NULL && adaptation(&matrix))
        transform = cmsCreateTransformTHR(context, from, TYPE_XYZ_DBL, to, TYPE_RGB_8,
                                          INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE);
    for (size_t i = 0; transform != NULL && i < count; i++)
        xyz[i] = mtm_matrix_apply(&matrix, xyz[i]);
    if (transform != NULL)
        cmsDoTransform(transform, xyz, rgb, (cmsUInt32Number)count);
    bool done = transform != NULL;
    if (done)
        cmsDeleteTransform(transform);
    if (from != NULL)
        cmsCloseProfile(from);
    if (to != NULL)
        cmsCloseProfile(to);
    if (context != NULL)
        cmsDeleteContext(context);
    return done;
}
