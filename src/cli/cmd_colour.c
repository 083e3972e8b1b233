/* SPDX-License-Identifier: MIT */
/* metamer colour: one colour in all its forms. */
#include "cli/args/target.h"
#include "cli/out/json.h"
#include "cli/out/text.h"
#include "cli/out/writer.h"

#include "base/error.h"

#include <metamer/appearance.h>
#include <metamer/dominant.h>
#include <metamer/lab.h>
#include <metamer/rgb.h>
#include <metamer/target.h>
#include <metamer/white.h>

#include <math.h>
#include <string.h>

/* The white beside which relative forms are given: D65, CIE 15:2004, table T.3. */
static const mtm_xy d65[MTM_OBSERVER_COUNT] = {{0.31272, 0.32903}, {0.31382, 0.33100}};

/* One colour in all its forms; what has no value is NAN. */
struct forms {
    const mtm_target *target;
    double luminance; /* Y, the white being 100 */
    mtm_xyz xyz, white_xyz;
    mtm_uv uv;
    mtm_white white;
    char white_missing[256]; /* why there is no temperature; "" if there is one */
    mtm_dominant dominant;
    const struct reference_white *beside; /* of dominant wavelength and purity */
    mtm_lab lab;
    mtm_luv luv;
    mtm_ucs ucs;
};

static void find_white(struct forms *forms)
{
    mtm_error error = {""};

    forms->white = (mtm_white){NAN, NAN};
    if (forms->target->observer == MTM_OBSERVER_10)
        (void)snprintf(forms->white_missing, sizeof forms->white_missing,
                       "colour temperature is defined for the 2° observer");
    else if (mtm_white_from_xy(forms->target->xy, &forms->white, &error) != MTM_OK)
        (void)snprintf(forms->white_missing, sizeof forms->white_missing, "%.250s", error.text);
}

static mtm_result compute(struct forms *forms, mtm_error *error)
{
    const mtm_target *target = forms->target;
    mtm_viewing viewing = {.luminance_cd_m2 = 20, .background_y = 20};
    mtm_viewer viewer;

    forms->xyz = mtm_xyz_from_xy(target->xy, forms->luminance);
    forms->white_xyz = mtm_xyz_from_xy(d65[target->observer], 100);
    forms->uv = mtm_uv_from_xy(target->xy);
    find_white(forms);
    if (mtm_dominant_from_xy(target->xy, forms->beside->xy, target->observer, &forms->dominant,
                             NULL) != MTM_OK)
        forms->dominant = (mtm_dominant){NAN, NAN};
    forms->lab = mtm_lab_from_xyz(forms->xyz, forms->white_xyz);
    forms->luv = mtm_luv_from_xyz(forms->xyz, forms->white_xyz);
    viewing.white = forms->white_xyz;
    mtm_result result = mtm_viewer_create(MTM_CAM16, &viewing, &viewer, error);
    if (result == MTM_OK)
        forms->ucs = mtm_ucs_from_xyz(&viewer, forms->xyz);
    return result;
}

static void write_white(const struct forms *forms, FILE *out)
{
    if (forms->white_missing[0] != '\0')
        (void)fprintf(out, "CCT, Duv         none: %s\n", forms->white_missing);
    else
        (void)fprintf(out, "CCT, Duv         %.1f K  %+.5f   (%.1f mired)\n", forms->white.cct_k,
                      text_clean(forms->white.duv, 5), mtm_mired_from_cct(forms->white.cct_k));
}

/* Outside the locus, by more than the rounding of a chromaticity. */
static bool is_imaginary(const struct forms *forms)
{
    return forms->dominant.purity > 1.002;
}

static void write_dominant(const struct forms *forms, FILE *out)
{
    if (!isfinite(forms->dominant.wavelength_nm))
        (void)fprintf(out, "Dominant         none: it is the white itself\n");
    else
        (void)fprintf(out, "%-16s %.1f nm, purity %.3f   (beside %s)\n",
                      forms->dominant.wavelength_nm < 0 ? "Complementary" : "Dominant",
                      fabs(forms->dominant.wavelength_nm), forms->dominant.purity,
                      forms->beside->name);
    if (is_imaginary(forms))
        (void)fprintf(out, "No light has this colour: it lies outside the spectrum locus.\n");
}

/* The RGB value of this chromaticity whose largest part is 1: the brightest that the space shows.
 */
static mtm_rgb brightest_rgb(const mtm_rgb_space *space, mtm_xy xy)
{
    mtm_xyz xyz = mtm_xyz_from_xy(xy, 1);
    mtm_rgb rgb = mtm_rgb_from_xyz(space, xyz);
    double most =
        fmax(space->to_light(rgb.r), fmax(space->to_light(rgb.g), space->to_light(rgb.b)));

    return mtm_rgb_from_xyz(space, mtm_xyz_from_xy(xy, 1 / most));
}

static bool inside(mtm_rgb rgb)
{
    const double slack = -1e-6;

    return rgb.r >= slack && rgb.g >= slack && rgb.b >= slack;
}

static void write_rgb(const struct forms *forms, FILE *out)
{
    (void)fprintf(out, "\nRGB, as bright as the space shows this colour\n");
    for (size_t i = 0; i < mtm_rgb_space_count(); i++) {
        const mtm_rgb_space *space = mtm_rgb_space_at(i);
        mtm_rgb rgb = brightest_rgb(space, forms->target->xy);
        (void)fprintf(out, "  %-14s %7.4f  %7.4f  %7.4f%s\n", space->name, text_clean(rgb.r, 4),
                      text_clean(rgb.g, 4), text_clean(rgb.b, 4),
                      inside(rgb) ? "" : "   outside the space");
    }
}

static void write_table(const void *data, FILE *out)
{
    const struct forms *forms = data;
    const mtm_target *t = forms->target;

    (void)fprintf(out, "%s, %s observer\n\n", t->description,
                  t->observer == MTM_OBSERVER_10 ? "10°" : "2°");
    (void)fprintf(out, "x, y             %.5f  %.5f\n", t->xy.x, t->xy.y);
    (void)fprintf(out, "u', v'           %.5f  %.5f   (CIE 1976)\n", forms->uv.u, forms->uv.v);
    (void)fprintf(out, "u, v             %.5f  %.5f   (CIE 1960)\n", forms->uv.u,
                  forms->uv.v * 2 / 3);
    write_white(forms, out);
    write_dominant(forms, out);
    (void)fprintf(out, "\nAt Y = %.4g, beside a D65 white of Y = 100\n", forms->luminance);
    (void)fprintf(out, "  X, Y, Z        %7.2f  %7.2f  %7.2f\n", forms->xyz.x, forms->xyz.y,
                  forms->xyz.z);
    (void)fprintf(out, "  L*, a*, b*     %7.2f  %7.2f  %7.2f\n", forms->lab.l,
                  text_clean(forms->lab.a, 2), text_clean(forms->lab.b, 2));
    (void)fprintf(out, "  L*, u*, v*     %7.2f  %7.2f  %7.2f\n", forms->luv.l,
                  text_clean(forms->luv.u, 2), text_clean(forms->luv.v, 2));
    (void)fprintf(out, "  J', a', b'     %7.2f  %7.2f  %7.2f   (CAM16-UCS)\n", forms->ucs.j,
                  text_clean(forms->ucs.a, 2), text_clean(forms->ucs.b, 2));
    if (t->observer == MTM_OBSERVER_2) {
        mtm_xyz xyz = {forms->xyz.x / 100, forms->xyz.y / 100, forms->xyz.z / 100};
        mtm_oklab oklab = mtm_oklab_from_xyz(xyz);
        (void)fprintf(out, "  Oklab          %7.4f  %7.4f  %7.4f\n", oklab.l,
                      text_clean(oklab.a, 4), text_clean(oklab.b, 4));
        write_rgb(forms, out);
    }
}

static void json_add_three(cJSON *root, const char *key, double a, double b, double c, int decimals)
{
    cJSON *array = json_add_array(root, key);

    json_append_number(array, a, decimals);
    json_append_number(array, b, decimals);
    json_append_number(array, c, decimals);
}

static void json_add_rgb(cJSON *root, const struct forms *forms)
{
    cJSON *object = json_add_object(root, "rgb");

    for (size_t i = 0; i < mtm_rgb_space_count(); i++) {
        const mtm_rgb_space *space = mtm_rgb_space_at(i);
        mtm_rgb rgb = brightest_rgb(space, forms->target->xy);
        json_add_three(object, space->name, rgb.r, rgb.g, rgb.b, 6);
    }
}

static cJSON *write_json(const void *data)
{
    const struct forms *forms = data;
    cJSON *root = cJSON_CreateObject();
    const mtm_target *t = forms->target;

    json_add_text(root, "description", t->description);
    json_add_number(root, "observer_deg", t->observer == MTM_OBSERVER_10 ? 10 : 2, 0);
    json_add_xy(root, t->xy, 8);
    json_add_uv(root, forms->uv, 8);
    json_add_number(root, "u_1960", forms->uv.u, 8);
    json_add_number(root, "v_1960", forms->uv.v * 2 / 3, 8);
    json_add_number(root, "cct_k", forms->white.cct_k, 3);
    json_add_number(root, "duv", forms->white.duv, 7);
    json_add_number(root, "mired", 1e6 / forms->white.cct_k, 4);
    json_add_number(root, "dominant_nm", forms->dominant.wavelength_nm, 2);
    json_add_number(root, "purity", forms->dominant.purity, 5);
    json_add_text(root, "dominant_white", forms->beside->name);
    json_add_bool(root, "imaginary", is_imaginary(forms));
    json_add_three(root, "xyz", forms->xyz.x, forms->xyz.y, forms->xyz.z, 5);
    json_add_three(root, "lab", forms->lab.l, forms->lab.a, forms->lab.b, 5);
    json_add_three(root, "luv", forms->luv.l, forms->luv.u, forms->luv.v, 5);
    json_add_three(root, "cam16_ucs", forms->ucs.j, forms->ucs.a, forms->ucs.b, 5);
    if (t->observer == MTM_OBSERVER_2) {
        mtm_xyz xyz = {forms->xyz.x / 100, forms->xyz.y / 100, forms->xyz.z / 100};
        mtm_oklab oklab = mtm_oklab_from_xyz(xyz);
        json_add_three(root, "oklab", oklab.l, oklab.a, oklab.b, 6);
        json_add_rgb(root, forms);
    }
    return root;
}

static const struct writer writers[] = {WRITER_TABLE(write_table), WRITER_JSON(write_json), {0}};

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    mtm_target target;
    struct reference_white beside;
    struct forms forms = {.target = &target, .beside = &beside};
    mtm_result result = white_from_args(args, observer_from_args(args), &beside, error);

    if (result == MTM_OK)
        result = target_from_args(args, NULL, &target, error);
    if (result == MTM_OK) {
        double stated = target_luminance(args);
        forms.luminance = args_number(args, "luminance", stated > 0 ? stated : 100);
        result = compute(&forms, error);
    }
    return result == MTM_OK ? write_report(args, &forms, to->out, error) : result;
}

static const struct option_spec options[] = {
    OPTION_NUMBER(
        "luminance", "Y", 0.001, 10000,
        "Y of the colour beside a white of 100, for the relative forms; if not said, that of "
        "--xyz or --rgb, else 100"),
    OPTION_FORMAT(writers, FORMAT_HELP),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The colour (one of them)", .options = target_options},
    {.title = "", .options = over_options, .with = "filter"},
    {.title = "Options", .options = observer_options},
    {.title = "", .options = white_options},
    {.title = "", .options = options},
    {0},
};

static const char *const examples[] = {
    "metamer colour --cct 3200 --duv 0.002",
    "metamer colour --rgb 255,140,90 --format json",
    NULL,
};

const struct command cmd_colour = {
    .name = "colour",
    .summary = "show one colour in all its forms",
    .usage = "",
    .details = "Takes a colour in any of its forms and gives the others: chromaticities, colour "
               "temperature with Duv, dominant wavelength, tristimulus values, the uniform spaces, "
               "and the brightest RGB value of that chromaticity in each named space.",
    .examples = examples,
    .groups = groups,
    .run = run,
};
