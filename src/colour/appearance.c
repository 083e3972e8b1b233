/* SPDX-License-Identifier: MIT */
/* CIECAM02, CAM16 and CIECAM16. LittleCMS has CIECAM02 alone, without M, Q, s and H; the three
 * models share all but two steps, so they stand here together. */
#include <metamer/appearance.h>

#include "base/error.h"
#include "colour/adapt.h"

#include <math.h>

#define DEGREES_PER_RADIAN (180 / 3.14159265358979323846)
/* The models add 0.1 to each response and take it off again; here it is left where it counts. */
#define NOISE 0.305

/* CIECAM02: adaptation happens in CAT02, the response in Hunt-Pointer-Estevez. CIE 159:2004. */
static const mtm_matrix cat02 = {{
    {0.7328, 0.4296, -0.1624},
    {-0.7036, 1.6975, 0.0061},
    {0.0030, 0.0136, 0.9834},
}};
/* The product of the Hunt-Pointer-Estevez matrix and the inverse of CAT02. */
static const mtm_matrix hunt_from_cat02 = {{
    {0.7409790970135308, 0.2180251556757356, 0.0410057473107336},
    {0.2853532916858801, 0.6242015741188158, 0.0904451341953042},
    {-0.0096276087384294, -0.0056980312161134, 1.0153256399545427},
}};

static const struct {
    double f, c, nc;
} surrounds[] = {
    [MTM_SURROUND_AVERAGE] = {1.0, 0.69, 1.0},
    [MTM_SURROUND_DIM] = {0.9, 0.59, 0.9},
    [MTM_SURROUND_DARK] = {0.8, 0.525, 0.8},
};

/* What the models compute on the way to the correlates. */
struct response {
    double achromatic; /* A */
    double a, b;       /* opponent */
    double denominator;
};

static double compress(const mtm_viewer *viewer, double cone)
{
    double s = pow(viewer->fl * cone / 100, 0.42);

    return 400 * s / (s + 27.13);
}

/* CIECAM16: straight below and above, so that no stimulus breaks it. CIE 248:2022. */
static double compress_safely(const mtm_viewer *viewer, double cone)
{
    const double low = 0.26;
    const double high = 150;

    if (cone < low)
        return compress(viewer, low) * cone / low;
    if (cone <= high)
        return compress(viewer, cone);
    double s = pow(viewer->fl * high / 100, 0.42);
    double slope = 400 * 27.13 * 0.42 * s / high / ((s + 27.13) * (s + 27.13));
    return compress(viewer, high) + slope * (cone - high);
}

static double respond(const mtm_viewer *viewer, double cone)
{
    if (viewer->model == MTM_CIECAM16)
        return compress_safely(viewer, cone);
    return copysign(compress(viewer, fabs(cone)), cone);
}

static mtm_xyz adapted_cones(const mtm_viewer *viewer, mtm_xyz xyz)
{
    const mtm_matrix *sharp = viewer->model == MTM_CIECAM02 ? &cat02 : &mtmi_cat16;
    mtm_xyz cone = mtm_matrix_apply(sharp, xyz);

    cone = (mtm_xyz){viewer->gain[0] * cone.x, viewer->gain[1] * cone.y, viewer->gain[2] * cone.z};
    if (viewer->model == MTM_CIECAM02)
        cone = mtm_matrix_apply(&hunt_from_cat02, cone);
    return cone;
}

static struct response respond_to(const mtm_viewer *viewer, mtm_xyz xyz)
{
    mtm_xyz cone = adapted_cones(viewer, xyz);
    double r = respond(viewer, cone.x);
    double g = respond(viewer, cone.y);
    double b = respond(viewer, cone.z);

    return (struct response){
        .achromatic = (2 * r + g + b / 20) * viewer->nbb,
        .a = r - 12 * g / 11 + b / 11,
        .b = (r + g - 2 * b) / 9,
        .denominator = r + g + 1.05 * b + NOISE,
    };
}

mtm_result mtm_viewer_create(mtm_appearance_model model, const mtm_viewing *viewing,
                             mtm_viewer *viewer, mtm_error *error)
{
    if (viewing == NULL || viewer == NULL)
        return mtmi_fail(error, MTM_INVALID, "no viewing conditions or no place for the viewer");
    mtm_xyz white = viewing->white;
    double la = viewing->luminance_cd_m2;
    if (!(isfinite(white.x + white.y + white.z) && white.x > 0 && white.y > 0 && white.z > 0))
        return mtmi_fail(error, MTM_INVALID, "a white needs X, Y and Z above 0");
    if (!(isfinite(la) && la > 0))
        return mtmi_fail(error, MTM_INVALID, "an adapting luminance is above 0, not %g cd/m2", la);
    if (!(isfinite(viewing->background_y) && viewing->background_y > 0))
        return mtmi_fail(error, MTM_INVALID, "a background is above 0, not %g",
                         viewing->background_y);
    if ((unsigned)model > MTM_CIECAM16 || (unsigned)viewing->surround > MTM_SURROUND_DARK)
        return mtmi_fail(error, MTM_INVALID, "no such model or surround");

    double k = 1 / (5 * la + 1);
    double k4 = k * k * k * k;
    double n = viewing->background_y / white.y;
    double f = surrounds[viewing->surround].f;
    double d = viewing->discount ? 1 : f * (1 - exp((-la - 42) / 92) / 3.6);
    d = fmax(0, fmin(1, d));
    mtm_xyz cone = mtm_matrix_apply(model == MTM_CIECAM02 ? &cat02 : &mtmi_cat16, white);
    if (!(cone.x > 0 && cone.y > 0 && cone.z > 0))
        return mtmi_fail(error, MTM_INVALID, "the white is too far from any light to adapt to it");
    mtm_viewer made = {
        .model = model,
        .gain = {white.y * d / cone.x + 1 - d, white.y * d / cone.y + 1 - d,
                 white.y * d / cone.z + 1 - d},
        .fl = 0.2 * k4 * 5 * la + 0.1 * (1 - k4) * (1 - k4) * cbrt(5 * la),
        .n = n,
        .nbb = 0.725 * pow(n, -0.2),
        .z = 1.48 + sqrt(n),
        .c = surrounds[viewing->surround].c,
        .nc = surrounds[viewing->surround].nc,
    };
    made.fl_root = pow(made.fl, 0.25);
    made.chroma_gain = pow(1.64 - pow(0.29, n), 0.73);
    made.aw = respond_to(&made, white).achromatic;
    *viewer = made;
    return MTM_OK;
}

static double hue_angle_deg(struct response response)
{
    double hue = atan2(response.b, response.a) * DEGREES_PER_RADIAN;

    if (hue < 0)
        hue += 360;
    return hue < 360 ? hue : 0;
}

/* CIE 159:2004, table 3: hue angle, eccentricity and quadrature of the unique hues. */
static double hue_quadrature(double hue_deg)
{
    static const struct {
        double hue_deg, e;
    } unique[] = {{20.14, 0.8}, {90.00, 0.7}, {164.25, 1.0}, {237.53, 1.2}, {380.14, 0.8}};
    double hue = hue_deg < unique[0].hue_deg ? hue_deg + 360 : hue_deg;
    size_t i = 0;

    while (i < 3 && hue >= unique[i + 1].hue_deg)
        i++;
    double from = (hue - unique[i].hue_deg) / unique[i].e;
    double to = (unique[i + 1].hue_deg - hue) / unique[i + 1].e;
    return 100 * ((double)i + from / (from + to));
}

static double lightness(const mtm_viewer *viewer, struct response response)
{
    if (!(response.achromatic > 0))
        return 0;
    return 100 * pow(response.achromatic / viewer->aw, viewer->c * viewer->z);
}

static double chroma(const mtm_viewer *viewer, struct response response, double lightness)
{
    double hue = atan2(response.b, response.a);
    double eccentricity = (cos(hue + 2) + 3.8) / 4;
    double t = 50000.0 / 13 * viewer->nc * viewer->nbb * eccentricity *
               sqrt(response.a * response.a + response.b * response.b) / response.denominator;

    if (!(t > 0)) /* black, or a denominator below 0 far outside real colours */
        return 0;
    return pow(t, 0.9) * sqrt(lightness / 100) * viewer->chroma_gain;
}

mtm_appearance mtm_appearance_from_xyz(const mtm_viewer *viewer, mtm_xyz xyz)
{
    if (viewer == NULL)
        return (mtm_appearance){.lightness = 0};
    if (!isfinite(xyz.x + xyz.y + xyz.z))
        return (mtm_appearance){NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    struct response response = respond_to(viewer, xyz);
    double fl_root = viewer->fl_root;
    mtm_appearance look = {.lightness = lightness(viewer, response),
                           .hue_deg = hue_angle_deg(response)};

    look.chroma = chroma(viewer, response, look.lightness);
    look.colourfulness = look.chroma * fl_root;
    look.brightness = 4 / viewer->c * sqrt(look.lightness / 100) * (viewer->aw + 4) * fl_root;
    if (look.brightness > 0)
        look.saturation = 100 * sqrt(look.colourfulness / look.brightness);
    look.hue_quadrature = hue_quadrature(look.hue_deg);
    return look;
}

static double ucs_lightness(double lightness)
{
    return 1.7 * lightness / (1 + 0.007 * lightness);
}

static double ucs_colourfulness(double colourfulness)
{
    return log1p(0.0228 * colourfulness) / 0.0228;
}

mtm_ucs mtm_ucs_from_appearance(mtm_appearance appearance)
{
    double m = ucs_colourfulness(appearance.colourfulness);
    double hue = appearance.hue_deg / DEGREES_PER_RADIAN;

    return (mtm_ucs){ucs_lightness(appearance.lightness), m * cos(hue), m * sin(hue)};
}

mtm_ucs mtm_ucs_from_xyz(const mtm_viewer *viewer, mtm_xyz xyz)
{
    if (viewer == NULL)
        return (mtm_ucs){0, 0, 0};
    struct response response = respond_to(viewer, xyz);
    double j = lightness(viewer, response);
    double m = ucs_colourfulness(chroma(viewer, response, j) * viewer->fl_root);
    double length = sqrt(response.a * response.a + response.b * response.b);

    if (!(length > 0))
        return (mtm_ucs){ucs_lightness(j), 0, 0};
    return (mtm_ucs){ucs_lightness(j), m * response.a / length, m * response.b / length};
}

double mtm_ucs_distance(mtm_ucs a, mtm_ucs b)
{
    double dj = a.j - b.j;
    double da = a.a - b.a;
    double db = a.b - b.b;

    return sqrt(dj * dj + da * da + db * db);
}
