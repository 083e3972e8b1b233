/* SPDX-License-Identifier: MIT */
/* L*a*b* and CIEDE2000 (by LittleCMS), L*u*v*. */
#include <metamer/lab.h>

#include <lcms2.h>

#include <math.h>

#define DEGREES_PER_RADIAN (180 / 3.14159265358979323846)
/* ISO/CIE 11664-5: L* is linear, with this slope, below this share of the white. */
#define LINEAR_BELOW (216.0 / 24389.0)
#define LINEAR_SLOPE (24389.0 / 27.0)

static cmsCIEXYZ to_lcms(mtm_xyz xyz)
{
    return (cmsCIEXYZ){xyz.x, xyz.y, xyz.z};
}

/* X and Z of a white may be 0 (light of one wavelength): what is divided by them is no number. */
static bool is_white(mtm_xyz white)
{
    return isfinite(white.x + white.y + white.z) && white.x >= 0 && white.y > 0 && white.z >= 0;
}

mtm_lab mtm_lab_from_xyz(mtm_xyz xyz, mtm_xyz white)
{
    if (!is_white(white))
        return (mtm_lab){NAN, NAN, NAN};
    cmsCIEXYZ theirs = to_lcms(xyz);
    cmsCIEXYZ their_white = to_lcms(white);
    cmsCIELab lab;

    cmsXYZ2Lab(&their_white, &lab, &theirs);
    return (mtm_lab){lab.L, lab.a, lab.b};
}

mtm_xyz mtm_lab_to_xyz(mtm_lab lab, mtm_xyz white)
{
    if (!is_white(white))
        return (mtm_xyz){NAN, NAN, NAN};
    cmsCIELab theirs = {lab.l, lab.a, lab.b};
    cmsCIEXYZ their_white = to_lcms(white);
    cmsCIEXYZ xyz;

    cmsLab2XYZ(&their_white, &xyz, &theirs);
    return (mtm_xyz){xyz.X, xyz.Y, xyz.Z};
}

double mtm_lab_chroma(mtm_lab lab)
{
    return hypot(lab.a, lab.b);
}

double mtm_lab_hue_deg(mtm_lab lab)
{
    if (!isfinite(lab.a) || !isfinite(lab.b))
        return NAN;
    double hue = atan2(lab.b, lab.a) * DEGREES_PER_RADIAN;

    if (hue < 0)
        hue += 360;
    return hue >= 360 ? 0 : hue; /* a tiny negative angle rounds up to 360; NaN stays */
}

double mtm_lab_difference(mtm_lab a, mtm_lab b)
{
    double dl = a.l - b.l;
    double da = a.a - b.a;
    double db = a.b - b.b;

    return sqrt(dl * dl + da * da + db * db);
}

double mtm_lab_ciede2000(mtm_lab a, mtm_lab b)
{
    cmsCIELab their_a = {a.l, a.a, a.b};
    cmsCIELab their_b = {b.l, b.a, b.b};

    return cmsCIE2000DeltaE(&their_a, &their_b, 1, 1, 1);
}

mtm_luv mtm_luv_from_xyz(mtm_xyz xyz, mtm_xyz white)
{
    if (!is_white(white))
        return (mtm_luv){NAN, NAN, NAN};
    double share = xyz.y / white.y;
    double l = share > LINEAR_BELOW ? 116 * cbrt(share) - 16 : LINEAR_SLOPE * share;
    mtm_uv uv = mtm_uv_from_xyz(xyz);
    mtm_uv white_uv = mtm_uv_from_xyz(white);

    return (mtm_luv){l, 13 * l * (uv.u - white_uv.u), 13 * l * (uv.v - white_uv.v)};
}

mtm_xyz mtm_luv_to_xyz(mtm_luv luv, mtm_xyz white)
{
    if (!is_white(white))
        return (mtm_xyz){NAN, NAN, NAN};
    if (!(luv.l > 0))
        return (mtm_xyz){0, 0, 0};

    double root = (luv.l + 16) / 116;
    double share = luv.l > LINEAR_BELOW * LINEAR_SLOPE ? root * root * root : luv.l / LINEAR_SLOPE;
    mtm_uv uv = mtm_uv_from_xyz(white);
    uv.u += luv.u / (13 * luv.l);
    uv.v += luv.v / (13 * luv.l);
    double y = share * white.y;
    return (mtm_xyz){y * 9 * uv.u / (4 * uv.v), y, y * (12 - 3 * uv.u - 20 * uv.v) / (4 * uv.v)};
}
