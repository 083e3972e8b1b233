/* SPDX-License-Identifier: MIT */
/* Light: one light of a picture of rendering: its name, its spectrum and how it renders. */
#include "picture/light/light.h"

#include "base/number.h"
#include "picture/light/bars.h"
#include "picture/light/hue_circle.h"
#include "picture/light/stack.h"
#include "picture/scale.h"

#include <metamer/illuminant.h>

#include <math.h>
#include <stdio.h>

/* Spectra are drawn at so many lumens, in mW/nm. */
#define LUMENS 1000.0
#define MW_PER_W 1000.0
/* Beyond this ratio of peaks one scale would flatten the lower ones. */
#define PEAKS_APART 5.0
/* Between Planckian radiator and daylight Rf has a mixture (CIE 224:2017). */
#define PLANCK_MOST_K 4000.0
#define DAYLIGHT_LEAST_K 5000.0
#define APART 12.0

double mtmi_light_lumens(const mtm_spectrum *spectrum)
{
    return mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2).y;
}

static void add_scaled(mtm_spectrum *sum, const mtm_spectrum *part, double share)
{
    double scale = share / mtmi_light_lumens(part);

    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
        sum->value[i] += scale * part->value[i];
}

/* The reference of Rf, 1 lm of it. False where there is none. */
static bool find_reference(double cct_k, mtm_spectrum *reference)
{
    double daylight =
        fmin(1, fmax(0, (cct_k - PLANCK_MOST_K) / (DAYLIGHT_LEAST_K - PLANCK_MOST_K)));
    mtm_spectrum part;

    *reference = (mtm_spectrum){.value = {0}};
    if (daylight < 1) {
        if (mtm_spectrum_planck(cct_k, &part, NULL) != MTM_OK)
            return false;
        add_scaled(reference, &part, 1 - daylight);
    }
    if (daylight > 0) {
        if (mtm_spectrum_daylight(cct_k, &part, NULL) != MTM_OK)
            return false;
        add_scaled(reference, &part, daylight);
    }
    return true;
}

/* The highest value of a light or of its reference, at so many lumens. */
static double peak_of(const mtm_light_view *light)
{
    mtm_spectrum reference;
    double peak = mtmi_stack_peak(light->spectrum) / mtmi_light_lumens(light->spectrum);

    if (light->quality != NULL && find_reference(light->quality->white.cct_k, &reference))
        peak = fmax(peak, mtmi_stack_peak(&reference));
    return peak * LUMENS * MW_PER_W;
}

mtmi_light_scales mtmi_light_scales_of(const mtmi_light_pick *pick, size_t count)
{
    mtmi_light_scales scales = {.chroma = 1.2};
    double least = INFINITY, most = 0;

    for (size_t i = 0; i < count; i++) {
        const mtm_quality *quality = pick[i].light->quality;
        double peak = peak_of(pick[i].light);
        least = fmin(least, peak);
        most = fmax(most, peak);
        if (quality == NULL)
            continue;
        scales.chroma = fmax(scales.chroma, mtmi_hue_circle_reach(&quality->fidelity));
        for (int k = 0; k < MTM_TCS_COUNT; k++)
            scales.least_r = fmin(scales.least_r, 50 * floor(quality->cri.r[k] / 50));
    }
    scales.least_r = fmax(scales.least_r, -100);
    scales.power = mtmi_exceeds(most, PEAKS_APART * least) ? 0 : mtmi_axis_top(most);
    return scales;
}

/* "Spectrum at 1000 lm; dashed: daylight"; of which temperature the head says. */
static void title_spectrum(const mtm_light_view *light, char *text, size_t room)
{
    static const char *const names[] = {[MTM_REFERENCE_NONE] = "the reference",
                                        [MTM_REFERENCE_PLANCK] = "Planckian radiator",
                                        [MTM_REFERENCE_MIXTURE] = "Planckian and daylight",
                                        [MTM_REFERENCE_DAYLIGHT] = "daylight"};
    int used = snprintf(text, room, "Spectrum at %.0f\u2009lm", LUMENS);

    if (light->quality != NULL)
        (void)snprintf(text + used, room - (size_t)used, "; dashed: %s",
                       names[mtm_rf_reference(light->quality->white.cct_k)]);
}

static bool has_parts(const mtm_light_view *light)
{
    return light->fixture != NULL && light->level != NULL &&
           mtm_fixture_has_spectra(light->fixture) && !mtm_fixture_mixes(light->fixture);
}

static mtm_result draw_spectrum(mtmi_canvas *c, mtmi_box box, const mtm_light_view *light,
                                const mtmi_light_scales *scales, mtm_error *error)
{
    mtm_spectrum reference;
    mtmi_stack stack = {
        .sum = light->spectrum,
        .fixture = has_parts(light) ? light->fixture : NULL,
        .level = light->level,
        .scale = LUMENS * MW_PER_W / mtmi_light_lumens(light->spectrum),
        .reference_scale = LUMENS * MW_PER_W,
        .top = scales->power > 0 ? scales->power : mtmi_axis_top(peak_of(light)),
        .axis = "mW/nm",
    };

    if (light->quality != NULL && find_reference(light->quality->white.cct_k, &reference)) {
        stack.reference = &reference;
    }
    return mtmi_stack_draw(c, box, &stack, error);
}

/* The name, and its figures quietly behind it, or below it where there is no room. Returns the
 * height. */
static double write_head(mtmi_canvas *c, mtmi_box box, const mtm_light_view *light)
{
    const mtm_quality *q = light->quality;
    mtmi_type type = {.bold = true, .width = box.width};
    mtmi_text words = {0};

    if (q != NULL) {
        char duv[MTMI_FIGURE_ROOM], ra[MTMI_FIGURE_ROOM], r9[MTMI_FIGURE_ROOM];
        (void)mtmi_figure(ra, q->cri.ra, 0, NULL);
        (void)mtmi_figure(r9, q->cri.r[8], 0, NULL);
        (void)mtmi_figure(duv, q->white.duv, 4, NULL);
        mtmi_text_add(&words,
                      "%sRf\u2009%.0f, Rg\u2009%.0f, Ra\u2009%s, R9\u2009%s; %.0f\u2009K, Duv %s%s",
                      light->ideal_lines ? "~ " : "", q->fidelity.rf, q->fidelity.rg, ra, r9,
                      q->white.cct_k, q->white.duv >= 0.00005 ? "+" : "", duv);
    } else {
        mtmi_text_add(&words, "no indices: %s",
                      light->missing != NULL ? light->missing : "none were given");
    }
    if (light->note != NULL && light->note[0] != '\0')
        mtmi_text_add(&words, "; %s", light->note);
    double wide = mtmi_words_extent(c, &type, light->name).width;
    double line = mtmi_words(c, box.x, box.y, &type, light->name).height;
    bool below = wide > box.width / 2;
    type = (mtmi_type){
        .ink = MTMI_INK_QUIET, .width = below ? box.width : box.width - wide - APART, .lines = 2};
    double height =
        mtmi_words(c, below ? box.x : box.x + wide + APART, below ? box.y + line : box.y, &type,
                   words.data != NULL ? words.data : "")
            .height;
    if (words.failed)
        mtmi_canvas_lack_memory(c);
    mtmi_text_free(&words);
    return below ? line + height : fmax(line, height);
}

/* What a panel shows, above it; returns what is left of its box. */
static mtmi_box title_panel(mtmi_canvas *c, mtmi_box box, const char *title)
{
    mtmi_type type = {.ink = MTMI_INK_QUIET, .width = box.width};
    double height = mtmi_words(c, box.x, box.y, &type, title).height + 2;

    return (mtmi_box){box.x, box.y + height, box.width, fmax(1, box.height - height)};
}

static void draw_indices(mtmi_canvas *c, const mtmi_box panel[3], const mtm_light_view *light,
                         const mtmi_light_scales *scales)
{
    const mtm_quality *q = light->quality;
    char rf[64], ra[64];
    const mtmi_bars bins = {.value = q->fidelity.bin_rf,
                            .count = MTM_HUE_BINS,
                            .prefix = "",
                            .axis = "Hue bin",
                            .line_name = rf,
                            .line = q->fidelity.rf};
    const mtmi_bars samples = {.value = q->cri.r,
                               .count = MTM_TCS_COUNT,
                               .prefix = "R",
                               .axis = "Sample",
                               .bottom = scales->least_r,
                               .named = q->cri.r[8] < 0 ? 9 : 0,
                               .line_name = ra,
                               .line = q->cri.ra,
                               .line_count = 8};

    (void)snprintf(rf, sizeof rf, "Rf\u2009%.0f", q->fidelity.rf);
    (void)snprintf(ra, sizeof ra, "Ra\u2009%.0f", q->cri.ra);
    mtmi_hue_circle_draw(c, title_panel(c, panel[0], "Chroma and hue shift"), &q->fidelity,
                         scales->chroma);
    mtmi_bars_draw(c, title_panel(c, panel[1], "Rf by hue bin"), &bins);
    mtmi_bars_draw(c, title_panel(c, panel[2], "R1 to R14"), &samples);
}

/* Where the spectrum and the three other panels stand. */
struct layout {
    mtmi_box spectrum, panel[3];
};

static struct layout side_by_side_of(mtmi_box in)
{
    double circle = fmin(in.height, 0.24 * in.width);
    double spectrum = 0.36 * in.width;
    double bars = (in.width - spectrum - circle - 3 * APART) / 2;

    return (struct layout){{in.x, in.y, spectrum, in.height},
                           {{in.x + spectrum + APART, in.y, circle, in.height},
                            {in.x + spectrum + circle + 2 * APART, in.y, bars, in.height},
                            {in.x + spectrum + circle + bars + 3 * APART, in.y, bars, in.height}}};
}

static struct layout stacked_of(mtmi_box in)
{
    double below = fmin((in.height - APART) * 0.52, 0.36 * in.width);
    double above = in.height - APART - below;
    double bars = (in.width - below - 2 * APART) / 2, y = in.y + above + APART;

    return (struct layout){{in.x, in.y, in.width, above},
                           {{in.x, y, below, below},
                            {in.x + below + APART, y, bars, below},
                            {in.x + below + bars + 2 * APART, y, bars, below}}};
}

mtm_result mtmi_light_draw(mtmi_canvas *c, mtmi_box box, bool side_by_side,
                           const mtm_light_view *light, const mtmi_light_scales *scales,
                           mtm_error *error)
{
    char title[128];
    double head = write_head(c, box, light) + 4;
    mtmi_box in = {box.x, box.y + head, box.width, fmax(1, box.height - head)};
    struct layout layout = side_by_side ? side_by_side_of(in) : stacked_of(in);

    if (light->quality == NULL && !side_by_side)
        layout.spectrum.height = in.height;
    title_spectrum(light, title, sizeof title);
    mtm_result result =
        draw_spectrum(c, title_panel(c, layout.spectrum, title), light, scales, error);
    if (result == MTM_OK && light->quality != NULL)
        draw_indices(c, layout.panel, light, scales);
    return result;
}
