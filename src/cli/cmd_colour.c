/* SPDX-License-Identifier: MIT */
/* metamer colour: one colour in all its forms. */
#include "cli/args/picture.h"
#include "cli/args/swatch.h"
#include "cli/args/target.h"
#include "cli/out/json.h"
#include "cli/out/text.h"
#include "cli/out/writer.h"

#include <metamer/colour_facts.h>
#include <metamer/diagram.h>
#include <metamer/rgb.h>
#include <metamer/target.h>

#include <math.h>

/* One colour in all its forms. */
struct forms {
    const mtm_target *target;
    double luminance;                     /* Y, the white being 100 */
    const struct reference_white *beside; /* of dominant wavelength and purity */
    mtm_colour_facts facts;
    struct swatches swatches;
};

static void write_white(const struct forms *forms, FILE *out)
{
    if (forms->facts.white_missing[0] != '\0')
        (void)fprintf(out, "CCT, Duv         none: %s\n", forms->facts.white_missing);
    else
        (void)fprintf(out, "CCT, Duv         %.1f K  %+.5f   (%.1f mired)\n",
                      forms->facts.white.cct_k, text_clean(forms->facts.white.duv, 5),
                      mtm_mired_from_cct(forms->facts.white.cct_k));
}

static void write_dominant(const struct forms *forms, FILE *out)
{
    if (!isfinite(forms->facts.dominant.wavelength_nm))
        (void)fprintf(out, "Dominant         none: it is the white itself\n");
    else
        (void)fprintf(out, "%-16s %.1f nm, purity %.3f   (beside %s)\n",
                      forms->facts.dominant.wavelength_nm < 0 ? "Complementary" : "Dominant",
                      fabs(forms->facts.dominant.wavelength_nm), forms->facts.dominant.purity,
                      forms->beside->name);
    if (mtm_dominant_imaginary(forms->facts.dominant))
        (void)fprintf(out, "No light has this colour: it lies outside the spectrum locus.\n");
}

static void write_rgb(const struct forms *forms, FILE *out)
{
    (void)fprintf(out, "\nRGB, as bright as the space shows this colour\n");
    for (size_t i = 0; i < mtm_rgb_space_count(); i++) {
        const mtm_rgb_space *space = mtm_rgb_space_at(i);
        mtm_rgb rgb = mtm_rgb_brightest(space, forms->target->xy);
        (void)fprintf(out, "  %-14s %7.4f  %7.4f  %7.4f%s\n", space->name, text_clean(rgb.r, 4),
                      text_clean(rgb.g, 4), text_clean(rgb.b, 4),
                      mtm_rgb_inside(rgb) ? "" : "   outside the space");
    }
}

static void write_table(const void *data, FILE *out)
{
    const struct forms *forms = data;
    const mtm_target *t = forms->target;

    swatch_put(&forms->swatches, t->xy, out);
    (void)fprintf(out, "%s, %s observer\n\n", t->description,
                  t->observer == MTM_OBSERVER_10 ? "10°" : "2°");
    (void)fprintf(out, "x, y             %.5f  %.5f\n", t->xy.x, t->xy.y);
    (void)fprintf(out, "u', v'           %.5f  %.5f   (CIE 1976)\n", forms->facts.uv.u,
                  forms->facts.uv.v);
    (void)fprintf(out, "u, v             %.5f  %.5f   (CIE 1960)\n", forms->facts.uv.u,
                  forms->facts.uv.v * 2 / 3);
    write_white(forms, out);
    write_dominant(forms, out);
    (void)fprintf(out, "\nAt Y = %.4g, beside a D65 white of Y = 100\n", forms->luminance);
    (void)fprintf(out, "  X, Y, Z        %7.2f  %7.2f  %7.2f\n", forms->facts.xyz.x,
                  forms->facts.xyz.y, forms->facts.xyz.z);
    (void)fprintf(out, "  L*, a*, b*     %7.2f  %7.2f  %7.2f\n", forms->facts.lab.l,
                  text_clean(forms->facts.lab.a, 2), text_clean(forms->facts.lab.b, 2));
    (void)fprintf(out, "  L*, u*, v*     %7.2f  %7.2f  %7.2f\n", forms->facts.luv.l,
                  text_clean(forms->facts.luv.u, 2), text_clean(forms->facts.luv.v, 2));
    (void)fprintf(out, "  J', a', b'     %7.2f  %7.2f  %7.2f   (CAM16-UCS)\n", forms->facts.ucs.j,
                  text_clean(forms->facts.ucs.a, 2), text_clean(forms->facts.ucs.b, 2));
    if (t->observer == MTM_OBSERVER_2) {
        mtm_oklab oklab = forms->facts.oklab;
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
        mtm_rgb rgb = mtm_rgb_brightest(space, forms->target->xy);
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
    json_add_uv(root, forms->facts.uv, 8);
    json_add_number(root, "u_1960", forms->facts.uv.u, 8);
    json_add_number(root, "v_1960", forms->facts.uv.v * 2 / 3, 8);
    json_add_number(root, "cct_k", forms->facts.white.cct_k, 3);
    json_add_number(root, "duv", forms->facts.white.duv, 7);
    json_add_number(root, "mired", 1e6 / forms->facts.white.cct_k, 4);
    json_add_number(root, "dominant_nm", forms->facts.dominant.wavelength_nm, 2);
    json_add_number(root, "purity", forms->facts.dominant.purity, 5);
    json_add_text(root, "dominant_white", forms->beside->name);
    json_add_bool(root, "imaginary", mtm_dominant_imaginary(forms->facts.dominant));
    json_add_three(root, "xyz", forms->facts.xyz.x, forms->facts.xyz.y, forms->facts.xyz.z, 5);
    json_add_three(root, "lab", forms->facts.lab.l, forms->facts.lab.a, forms->facts.lab.b, 5);
    json_add_three(root, "luv", forms->facts.luv.l, forms->facts.luv.u, forms->facts.luv.v, 5);
    json_add_three(root, "cam16_ucs", forms->facts.ucs.j, forms->facts.ucs.a, forms->facts.ucs.b,
                   5);
    if (t->observer == MTM_OBSERVER_2) {
        mtm_oklab oklab = forms->facts.oklab;
        json_add_three(root, "oklab", oklab.l, oklab.a, oklab.b, 6);
        json_add_rgb(root, forms);
    }
    return root;
}

static const struct writer writers[] = {WRITER_TABLE(write_table), WRITER_JSON(write_json), {0}};

/* The picture first: where it cannot be drawn, nothing else is written either. */
static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              const mtm_target *target, struct outlet *to, mtm_error *error)
{
    mtm_picture *picture = NULL;
    mtm_result result = mtm_picture_of_colour(target, &request->options, &picture, error);

    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    mtm_target target;
    struct picture_request picture;
    struct reference_white beside;
    struct forms forms = {.target = &target, .beside = &beside};
    mtm_result result = white_from_args(args, observer_from_args(args), &beside, error);

    if (result == MTM_OK)
        result = picture_from_args(args, &picture, error);
    if (result == MTM_OK)
        result = swatches_from_args(args, to->out, &forms.swatches, error);
    if (result == MTM_OK)
        result = target_from_args(args, NULL, &target, error);
    if (result == MTM_OK) {
        double stated = target_luminance(args);
        forms.luminance = args_number(args, "luminance", stated > 0 ? stated : 100);
        result = mtm_colour_facts_from_xy(target.xy, target.observer, forms.luminance, beside.xy,
                                          &forms.facts, error);
    }
    if (result == MTM_OK && picture.wanted)
        result = put_picture(args, &picture, &target, to, error);
    return result == MTM_OK && !picture.alone ? write_report(args, &forms, to->out, error) : result;
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
    GROUP_PICTURE,
    GROUP_DIAGRAM,
    {.title = "In a terminal", .options = swatch_options, .against = "format=json"},
    {0},
};

static const char *const examples[] = {
    "metamer colour --cct 3200 --duv 0.002",
    "metamer colour --rgb 255,140,90 --format json",
    "metamer colour --cct 3200 --picture warm.svg",
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
