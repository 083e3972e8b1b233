/* SPDX-License-Identifier: MIT */
/* Spectra from formulas: LED line, black body, CIE daylight. */
#include "colour/radiator.h"

#include "base/error.h"
#include "data/tables.h"

#include <math.h>
#include <string.h>

#define NORMAL_NM 560.0 /* where CIE scales relative spectra to one another */

/* Half maximum of (g + 2 g^5) / 3 lies 0.46091... of the formula's width from the peak. */
#define OHNO_FWHM_PER_WIDTH 0.92182311964982

#define DAYLIGHT_FIRST_NM 300
#define DAYLIGHT_STEP_NM 10

/* One side of the line, from the grid point at start outward. Neighbouring values of a Gaussian
 * have a ratio that itself changes by a constant factor, so a step costs two products; over the 471
 * points the rounding stays below 1e-10 of a value. Ends where nothing is left: 1e-22 of the peak.
 */
static void fill_led(double peak_nm, double width_nm, long start, long direction,
                     mtm_spectrum *spectrum)
{
    double t = (double)(MTM_SPECTRUM_FIRST_NM + start) - peak_nm;
    double square = width_nm * width_nm;
    double g = exp(-t * t / square);
    double ratio = exp(-(2 * t * (double)direction + 1) / square);
    double change = exp(-2 / square);

    for (long i = start; i >= 0 && i < MTM_SPECTRUM_COUNT && g > 1e-22; i += direction) {
        double g2 = g * g;

        spectrum->value[i] = (g + 2 * g2 * g2 * g) / 3;
        g *= ratio;
        ratio *= change;
    }
}

mtm_result mtm_spectrum_led(double peak_nm, double fwhm_nm, mtm_spectrum *spectrum,
                            mtm_error *error)
{
    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the LED's spectrum was given");
    if (!(peak_nm >= 300 && peak_nm <= 900))
        return mtmi_fail(error, MTM_INVALID, "an LED's peak is 300..900 nm, not %g nm", peak_nm);
    if (!(fwhm_nm >= 0.5 && fwhm_nm <= 300))
        return mtmi_fail(error, MTM_INVALID,
                         "an LED's full width at half maximum is 0.5..300 nm, not %g nm", fwhm_nm);

    double width_nm = fwhm_nm / OHNO_FWHM_PER_WIDTH;
    long nearest = lround(peak_nm) - MTM_SPECTRUM_FIRST_NM;
    long start = nearest < 0 ? 0 : nearest < MTM_SPECTRUM_COUNT ? nearest : MTM_SPECTRUM_COUNT - 1;
    memset(spectrum, 0, sizeof *spectrum);
    fill_led(peak_nm, width_nm, start, 1, spectrum);
    fill_led(peak_nm, width_nm, start, -1, spectrum);
    return MTM_OK;
}

void mtmi_planck_shape(double c2_nm_k, double temperature_k, mtm_spectrum *spectrum)
{
    double at_normal = expm1(c2_nm_k / (NORMAL_NM * temperature_k));

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double nm = MTM_SPECTRUM_FIRST_NM + (double)i;
        double ratio = NORMAL_NM / nm;

        spectrum->value[i] = ratio * ratio * ratio * ratio * ratio * at_normal /
                             expm1(c2_nm_k / (nm * temperature_k));
    }
}

mtm_result mtm_spectrum_planck(double cct_k, mtm_spectrum *spectrum, mtm_error *error)
{
    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the black body's spectrum was given");
    if (!(cct_k >= 500 && cct_k <= 1000000))
        return mtmi_fail(error, MTM_INVALID,
                         "a black body's temperature is 500..1000000 K, not %g K", cct_k);
    mtmi_planck_shape(MTMI_C2_NM_K, cct_k, spectrum);
    return MTM_OK;
}

mtm_xy mtmi_daylight_point(double cct_k)
{
    double t = 1e3 / cct_k;
    double x = cct_k <= 7000 ? ((-4.6070 * t + 2.9678) * t + 0.09911) * t + 0.244063
                             : ((-2.0064 * t + 1.9018) * t + 0.24748) * t + 0.237040;

    return (mtm_xy){x, (-3.000 * x + 2.870) * x - 0.275};
}

void mtmi_daylight_weights(mtm_xy xy, double *m1, double *m2)
{
    double m = 0.0241 + 0.2562 * xy.x - 0.7341 * xy.y;

    *m1 = (-1.3515 - 1.7703 * xy.x + 5.9114 * xy.y) / m;
    *m2 = (0.0300 - 31.4424 * xy.x + 30.0717 * xy.y) / m;
}

void mtmi_daylight_sum(double m1, double m2, mtm_spectrum *spectrum)
{
    const double(*s)[54] = mtmi_table_daylight;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        size_t from_first = MTM_SPECTRUM_FIRST_NM - DAYLIGHT_FIRST_NM + i;
        size_t row = from_first / DAYLIGHT_STEP_NM;
        double part = (double)(from_first % DAYLIGHT_STEP_NM) / DAYLIGHT_STEP_NM;
        double value = s[0][row] + m1 * s[1][row] + m2 * s[2][row];

        if (part > 0) /* the last row has no next one */
            value += part * (s[0][row + 1] + m1 * s[1][row + 1] + m2 * s[2][row + 1] - value);
        spectrum->value[i] = value;
    }
}

mtm_result mtm_spectrum_daylight(double cct_k, mtm_spectrum *spectrum, mtm_error *error)
{
    double m1 = 0;
    double m2 = 0;

    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the daylight spectrum was given");
    if (!(cct_k >= 4000 && cct_k <= 25000))
        return mtmi_fail(error, MTM_INVALID, "CIE daylight is defined for 4000..25000 K, not %g K",
                         cct_k);
    mtmi_daylight_weights(mtmi_daylight_point(cct_k), &m1, &m2);
    mtmi_daylight_sum(m1, m2, spectrum);
    return MTM_OK;
}
