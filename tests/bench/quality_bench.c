/* SPDX-License-Identifier: MIT */
/* All indices of a spectrum (Ra, Rf, Rg, SSI) per second: the kernel of this processor, its
 * portable twin, and the standards' plain loops, in one run; and Rf of a mixture of prepared
 * emitters. */
#include "quality/kernel.h"
#include "support/plain_quality.h"
#include "support/timing.h"

#include <stdio.h>

#define SPECTRA 16
#define EMITTERS 5
#define ROUNDS 11

static void sum_of_leds(const double *level, mtm_spectrum *sum)
{
    static const double peak_nm[EMITTERS] = {455, 500, 540, 595, 635};
    static const double fwhm_nm[EMITTERS] = {20, 28, 90, 80, 18};

    *sum = (mtm_spectrum){{0}};
    for (int e = 0; e < EMITTERS; e++) {
        mtm_spectrum led;

        if (mtm_spectrum_led(peak_nm[e], fwhm_nm[e], &led, NULL) != MTM_OK)
            exit(1);
        for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
            sum->value[i] += level[e] * led.value[i];
    }
}

/* Whites from 2700 to 9000 K and so, all near the locus. */
static void make_spectra(mtm_spectrum spectrum[SPECTRA])
{
    for (int i = 0; i < SPECTRA; i++) {
        double cool = i / (double)(SPECTRA - 1);
        double level[EMITTERS] = {0.1 + (0.9 * cool), 0.1 + (0.3 * cool), 0.4, 0.8 - (0.5 * cool),
                                  0.9 - (0.6 * cool)};

        sum_of_leds(level, &spectrum[i]);
    }
}

static double time_kernel(const mtmi_quality_kernel *kernel, const mtm_spectrum *spectrum,
                          int repeats, mtm_quality *quality)
{
    double start = timing_now_s();

    for (int r = 0; r < repeats; r++)
        for (int i = 0; i < SPECTRA; i++) {
            mtmi_quality_light light;

            mtmi_quality_light_from_spectrum(kernel, &spectrum[i], &light);
            if (mtmi_quality_from_light(kernel, &light, &quality[i], NULL) != MTM_OK)
                exit(1);
        }
    return (timing_now_s() - start) / (repeats * SPECTRA);
}

static double time_plain(const struct plain_samples *samples, const mtm_spectrum *spectrum,
                         struct plain_quality *quality)
{
    double start = timing_now_s();

    for (int i = 0; i < SPECTRA; i++) {
        mtm_white white;
        mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum[i], MTM_OBSERVER_2));

        if (mtm_white_from_xy(xy, &white, NULL) != MTM_OK)
            exit(1);
        quality[i] = plain_quality(samples, &spectrum[i], white.cct_k);
    }
    return (timing_now_s() - start) / SPECTRA;
}

static double time_mixture(const mtmi_quality_kernel *kernel, int repeats, double *last)
{
    static mtmi_quality_light part[EMITTERS];
    const mtmi_quality_light *parts[EMITTERS];
    double level[EMITTERS] = {0.5, 0.3, 0.4, 0.5, 0.5};
    mtmi_quality_reference reference;

    for (int e = 0; e < EMITTERS; e++) {
        double one[EMITTERS] = {0};
        mtm_spectrum spectrum;

        one[e] = 1;
        sum_of_leds(one, &spectrum);
        mtmi_quality_light_from_spectrum(kernel, &spectrum, &part[e]);
        parts[e] = &part[e];
    }
    if (mtmi_quality_reference_at(kernel, 4500, &reference, NULL) != MTM_OK)
        exit(1);
    double start = timing_now_s();
    for (int r = 0; r < repeats; r++) {
        mtmi_quality_light light;

        level[r % EMITTERS] *= 0.9999;
        mtmi_quality_light_mix(parts, level, EMITTERS, &light);
        *last = mtmi_rf_from_light(kernel, &light, &reference);
    }
    return (timing_now_s() - start) / repeats;
}

static void report(const char *what, double each_s[ROUNDS], double ratio[ROUNDS])
{
    qsort(each_s, ROUNDS, sizeof *each_s, timing_by_value);
    printf("%-22s %7.2f us each at best, %7.2f in the middle; %.0f a second at best, %.0f in the "
           "middle",
           what, each_s[0] * 1e6, each_s[ROUNDS / 2] * 1e6, 1 / each_s[0], 1 / each_s[ROUNDS / 2]);
    if (ratio != NULL) {
        qsort(ratio, ROUNDS, sizeof *ratio, timing_by_value);
        printf("; %.2f (%.2f..%.2f) times the kernel's time", ratio[ROUNDS / 2], ratio[0],
               ratio[ROUNDS - 1]);
    }
    printf("\n");
}

static double largest(double a, double b)
{
    return fmax(a, fabs(b));
}

int main(void)
{
    static mtm_spectrum spectrum[SPECTRA];
    static mtm_quality best[SPECTRA];
    static mtm_quality portable[SPECTRA];
    static struct plain_quality plain[SPECTRA];
    static struct plain_samples samples;
    double seconds[4][ROUNDS];
    double ratio[2][ROUNDS];
    double rf = 0;
    double off[2] = {0, 0};

    make_spectra(spectrum);
    plain_fill(&samples);
    (void)time_kernel(mtmi_quality_best(), spectrum, 50, best);
    for (int r = 0; r < ROUNDS; r++) {
        seconds[0][r] = time_kernel(mtmi_quality_best(), spectrum, 50, best);
        seconds[1][r] = time_kernel(&mtmi_quality_portable, spectrum, 20, portable);
        seconds[2][r] = time_plain(&samples, spectrum, plain);
        seconds[3][r] = time_mixture(mtmi_quality_best(), 2000, &rf);
        ratio[0][r] = seconds[1][r] / seconds[0][r];
        ratio[1][r] = seconds[2][r] / seconds[0][r];
    }
    for (int i = 0; i < SPECTRA; i++) {
        off[0] = largest(off[0], best[i].cri.ra - portable[i].cri.ra);
        off[0] = largest(off[0], best[i].fidelity.rf - portable[i].fidelity.rf);
        off[0] = largest(off[0], best[i].fidelity.rg - portable[i].fidelity.rg);
        off[0] = largest(off[0], best[i].ssi - portable[i].ssi);
        off[1] = largest(off[1], best[i].cri.ra - plain[i].ra);
        off[1] = largest(off[1], best[i].fidelity.rf - plain[i].rf);
        off[1] = largest(off[1], best[i].fidelity.rg - plain[i].rg);
        off[1] = largest(off[1], best[i].ssi - plain[i].ssi);
    }
    printf("kernel: %s\n", mtmi_quality_best()->name);
    report("all indices", seconds[0], NULL);
    report("  portable twin", seconds[1], ratio[0]);
    report("  plain loops", seconds[2], ratio[1]);
    report("Rf of a mixture of 5", seconds[3], NULL);
    printf("largest difference of any index: to the twin %.2g, to the plain loops %.2g\n", off[0],
           off[1]);
    return rf > 0 && off[0] <= 1e-9 && off[1] <= 1e-6 ? 0 : 1;
}
