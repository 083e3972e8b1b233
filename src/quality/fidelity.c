/* SPDX-License-Identifier: MIT */
/* Fidelity, gamut and local shifts of CIE 224:2017 and ANSI/IES TM-30-20. */
#include "quality/fidelity.h"

#include <math.h>

#define PER_DIFFERENCE 6.73 /* CIE 224:2017 */
#define LUMINANCE_CD_M2 100.0
#define BACKGROUND_Y 20.0
#define PI 3.14159265358979323846

mtm_result mtmi_fidelity_viewer(const mtmi_ces *ces, mtm_viewer *viewer, double *scale,
                                mtm_error *error)
{
    *scale = 100 / ces->at[1][MTMI_CES_WHITE];
    mtm_viewing viewing = {
        .white = {*scale * ces->at[0][MTMI_CES_WHITE], 100, *scale * ces->at[2][MTMI_CES_WHITE]},
        .luminance_cd_m2 = LUMINANCE_CD_M2,
        .background_y = BACKGROUND_Y,
        .surround = MTM_SURROUND_AVERAGE,
        .discount = true,
    };

    return mtm_viewer_create(MTM_CIECAM02, &viewing, viewer, error);
}

mtm_result mtmi_fidelity_coordinates(const mtmi_quality_kernel *kernel, const mtmi_ces *ces,
                                     mtmi_ces *jab, mtm_error *error)
{
    mtm_viewer viewer;
    double scale;
    mtm_result result = mtmi_fidelity_viewer(ces, &viewer, &scale, error);

    if (result == MTM_OK)
        kernel->appearance(&viewer, scale, ces, MTMI_BLOCKS_ALL, jab);
    return result;
}

/* floor(hue / 22.5 degrees): turned into the first quadrant, then by the tangents of its thirds. */
static unsigned char hue_bin(double a, double b)
{
    const double tan_22 = 0.41421356237309505;
    unsigned bin = 0;

    if (b < 0 || (b == 0 && a < 0)) {
        a = -a;
        b = -b;
        bin = 8;
    }
    if (a <= 0 && b > 0) {
        double turned = b;

        b = -a;
        a = turned;
        bin += 4;
    }
    bin += b < a * tan_22 ? 0 : b < a ? 1 : b * tan_22 < a ? 2 : 3;
    return (unsigned char)bin;
}

static void bin_means(const mtmi_ces *jab, const mtmi_quality_reference *reference,
                      mtmi_ab mean[MTM_HUE_BINS])
{
    for (size_t bin = 0; bin < MTM_HUE_BINS; bin++)
        mean[bin] = (mtmi_ab){0, 0};
    for (size_t i = 0; i < MTM_CES_COUNT; i++) {
        mean[reference->bin[i]].a += jab->at[1][i];
        mean[reference->bin[i]].b += jab->at[2][i];
    }
    for (size_t bin = 0; bin < MTM_HUE_BINS; bin++)
        if (reference->bin_count[bin] > 0) {
            mean[bin].a /= (double)reference->bin_count[bin];
            mean[bin].b /= (double)reference->bin_count[bin];
        }
}

/* Shoelace formula over the bins that hold samples. */
static double polygon_area(const mtmi_ab mean[MTM_HUE_BINS], const size_t count[MTM_HUE_BINS])
{
    size_t last = MTM_HUE_BINS - 1;
    double sum = 0;

    while (last > 0 && count[last] == 0)
        last--;
    for (size_t bin = 0; bin < MTM_HUE_BINS; bin++) {
        if (count[bin] == 0)
            continue;
        sum += (mean[last].a * mean[bin].b) - (mean[bin].a * mean[last].b);
        last = bin;
    }
    return sum / 2;
}

void mtmi_fidelity_reference(mtmi_quality_reference *reference)
{
    for (size_t bin = 0; bin < MTM_HUE_BINS; bin++)
        reference->bin_count[bin] = 0;
    for (size_t i = 0; i < MTM_CES_COUNT; i++) {
        reference->bin[i] = hue_bin(reference->jab.at[1][i], reference->jab.at[2][i]);
        reference->bin_count[reference->bin[i]]++;
    }
    bin_means(&reference->jab, reference, reference->mean);
    reference->area = polygon_area(reference->mean, reference->bin_count);
}

/* CIE 224:2017: softened so that it does not fall below 0. */
double mtmi_fidelity_of(double difference)
{
    double plain = 100 - (PER_DIFFERENCE * difference);

    return plain > 0 ? plain + (10 * log1p(exp(-plain / 10))) : 10 * log1p(exp(plain / 10));
}

static double difference_of(const mtmi_ces *jab, const mtmi_quality_reference *reference, size_t i)
{
    double dj = jab->at[0][i] - reference->jab.at[0][i];
    double da = jab->at[1][i] - reference->jab.at[1][i];
    double db = jab->at[2][i] - reference->jab.at[2][i];

    return sqrt((dj * dj) + (da * da) + (db * db));
}

/* Shift of a bin's mean along and across the bin's own hue. TM-30-20, annex. */
static void local_shift(mtmi_ab mean, mtmi_ab from, size_t bin, double *chroma, double *hue)
{
    double theta = (22.5 * (double)bin + 11.25) * PI / 180;
    double length = hypot(from.a, from.b);
    double da = (mean.a - from.a) / length;
    double db = (mean.b - from.b) / length;

    *chroma = 100 * ((da * cos(theta)) + (db * sin(theta)));
    *hue = (db * cos(theta)) - (da * sin(theta));
}

mtm_result mtmi_fidelity_from_light(const mtmi_quality_kernel *kernel,
                                    const mtmi_quality_light *light,
                                    const mtmi_quality_reference *reference, mtm_fidelity *fidelity,
                                    mtm_error *error)
{
    mtmi_ces jab;
    mtmi_ab mean[MTM_HUE_BINS];
    mtm_fidelity found = {0};
    double sum = 0;

    mtm_result result = mtmi_fidelity_coordinates(kernel, &light->ces, &jab, error);
    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < MTM_CES_COUNT; i++) {
        double difference = difference_of(&jab, reference, i);

        found.sample[i] = mtmi_fidelity_of(difference);
        found.bin_rf[reference->bin[i]] += difference;
        sum += difference;
    }
    bin_means(&jab, reference, mean);
    for (size_t bin = 0; bin < MTM_HUE_BINS; bin++) {
        found.bin_count[bin] = reference->bin_count[bin];
        if (found.bin_count[bin] == 0)
            continue;
        found.bin_rf[bin] = mtmi_fidelity_of(found.bin_rf[bin] / (double)found.bin_count[bin]);
        local_shift(mean[bin], reference->mean[bin], bin, &found.chroma_shift[bin],
                    &found.hue_shift[bin]);
    }
    found.rf = mtmi_fidelity_of(sum / MTM_CES_COUNT);
    found.rg = 100 * polygon_area(mean, reference->bin_count) / reference->area;
    *fidelity = found;
    return MTM_OK;
}

double mtmi_rf_from_light(const mtmi_quality_kernel *kernel, const mtmi_quality_light *light,
                          const mtmi_quality_reference *reference)
{
    mtmi_ces jab;
    double sum = 0;

    if (mtmi_fidelity_coordinates(kernel, &light->ces, &jab, NULL) != MTM_OK)
        return NAN;
    for (size_t i = 0; i < MTM_CES_COUNT; i++)
        sum += difference_of(&jab, reference, i);
    return mtmi_fidelity_of(sum / MTM_CES_COUNT);
}
