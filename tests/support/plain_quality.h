/* SPDX-License-Identifier: MIT */
/* Plain quality: the indices by the standards' own loops over 1 nm, with nothing prepared but the
 * samples at 1 nm. Shared by a test and a benchmark; shares tables and appearance model with the
 * library, and no sum. */
#ifndef METAMER_TESTS_PLAIN_QUALITY_H
#define METAMER_TESTS_PLAIN_QUALITY_H

#include <metamer/appearance.h>
#include <metamer/quality.h>

#include "data/tables.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/** Samples at 1 nm. */
struct plain_samples {
    mtm_spectrum tcs[MTM_TCS_COUNT];
    mtm_spectrum ces[MTM_CES_COUNT];
};

/** Figures of both indices and SSI, unrounded. */
struct plain_quality {
    double ra, rf, rg, ssi;
};

static inline void plain_fill(struct plain_samples *samples)
{
    double nm[95];

    for (int i = 0; i < 95; i++)
        nm[i] = 360 + (5 * i);
    for (int i = 0; i < MTM_TCS_COUNT; i++)
        if (mtm_spectrum_from_samples(nm, mtmi_table_test_colours[i], 95, MTM_ENDS_HOLD,
                                      &samples->tcs[i], NULL) != MTM_OK)
            abort();
    for (int i = 0; i < MTM_CES_COUNT; i++)
        if (mtm_spectrum_from_samples(nm, mtmi_table_evaluation_samples[i], 95, MTM_ENDS_HOLD,
                                      &samples->ces[i], NULL) != MTM_OK)
            abort();
}

/* X, Y, Z over 380..780 nm of light on a sample; NULL is the perfect white. */
static inline mtm_xyz plain_sum(const mtm_spectrum *light, const mtm_spectrum *sample,
                                const double observer[3][471])
{
    mtm_xyz sum = {0, 0, 0};

    for (int i = 20; i <= 420; i++) {
        double p = light->value[i] * (sample == NULL ? 1 : sample->value[i]);

        sum.x += p * observer[0][i];
        sum.y += p * observer[1][i];
        sum.z += p * observer[2][i];
    }
    return sum;
}

static inline mtm_xyz plain_scaled(mtm_xyz xyz, double scale)
{
    return (mtm_xyz){scale * xyz.x, scale * xyz.y, scale * xyz.z};
}

/* CIE 13.3, step by step as in the text. */
static inline double plain_ra(const struct plain_samples *samples, const mtm_spectrum *test,
                              const mtm_spectrum *reference)
{
    mtm_xyz k = plain_sum(test, NULL, mtmi_table_observer_2);
    mtm_xyz r = plain_sum(reference, NULL, mtmi_table_observer_2);
    mtm_uv uk = mtm_uv_from_xyz(k);
    mtm_uv ur = mtm_uv_from_xyz(r);
    double vk = uk.v * 2 / 3;
    double vr = ur.v * 2 / 3;
    double ck = (4 - uk.u - 10 * vk) / vk;
    double cr = (4 - ur.u - 10 * vr) / vr;
    double dk = (1.708 * vk + 0.404 - 1.481 * uk.u) / vk;
    double dr = (1.708 * vr + 0.404 - 1.481 * ur.u) / vr;
    double sum = 0;

    for (int i = 0; i < 8; i++) {
        mtm_xyz ki = plain_sum(test, &samples->tcs[i], mtmi_table_observer_2);
        mtm_xyz ri = plain_sum(reference, &samples->tcs[i], mtmi_table_observer_2);
        mtm_uv uki = mtm_uv_from_xyz(ki);
        mtm_uv uri = mtm_uv_from_xyz(ri);
        double vki = uki.v * 2 / 3;
        double c = cr / ck * (4 - uki.u - 10 * vki) / vki;
        double d = dr / dk * (1.708 * vki + 0.404 - 1.481 * uki.u) / vki;
        double ua = (10.872 + 0.404 * c - 4 * d) / (16.518 + 1.481 * c - d);
        double va = 5.520 / (16.518 + 1.481 * c - d);
        double wk = 25 * cbrt(100 * ki.y / k.y) - 17;
        double wr = 25 * cbrt(100 * ri.y / r.y) - 17;
        double du = 13 * wk * (ua - ur.u) - 13 * wr * (uri.u - ur.u);
        double dv = 13 * wk * (va - vr) - 13 * wr * (uri.v * 2 / 3 - vr);

        sum += 100 - 4.6 * sqrt(du * du + dv * dv + (wk - wr) * (wk - wr));
    }
    return sum / 8;
}

static inline void plain_places(const struct plain_samples *samples, const mtm_spectrum *light,
                                mtm_ucs place[MTM_CES_COUNT])
{
    mtm_xyz white = plain_sum(light, NULL, mtmi_table_observer_10);
    mtm_viewing viewing = {.white = plain_scaled(white, 100 / white.y),
                           .luminance_cd_m2 = 100,
                           .background_y = 20,
                           .discount = true};
    mtm_viewer viewer;

    if (mtm_viewer_create(MTM_CIECAM02, &viewing, &viewer, NULL) != MTM_OK)
        abort();
    for (int i = 0; i < MTM_CES_COUNT; i++)
        place[i] = mtm_ucs_from_xyz(
            &viewer, plain_scaled(plain_sum(light, &samples->ces[i], mtmi_table_observer_10),
                                  100 / white.y));
}

/* Area of the polygon of hue-bin means; the bin is that of the reference. */
static inline double plain_area(const mtm_ucs place[MTM_CES_COUNT],
                                const mtm_ucs reference[MTM_CES_COUNT])
{
    double a[16] = {0};
    double b[16] = {0};
    double count[16] = {0};
    double sum = 0;

    for (int i = 0; i < MTM_CES_COUNT; i++) {
        double hue = atan2(reference[i].b, reference[i].a) * 180 / 3.14159265358979323846;
        int bin = (int)floor((hue < 0 ? hue + 360 : hue) / 22.5) % 16;

        a[bin] += place[i].a;
        b[bin] += place[i].b;
        count[bin]++;
    }
    for (int bin = 0; bin < 16; bin++) {
        int next = (bin + 1) % 16;

        sum += (a[bin] * b[next] - a[next] * b[bin]) / (count[bin] * count[next]);
    }
    return sum / 2;
}

static inline void plain_ssi_bins(const mtm_spectrum *light, double bin[30])
{
    double all = 0;

    for (int b = 0; b < 30; b++) {
        bin[b] = 0;
        for (int k = -5; k <= 5; k++)
            bin[b] += (k == -5 || k == 5 ? 0.5 : 1) * light->value[20 + 10 * b + k];
        all += bin[b];
    }
    for (int b = 0; b < 30; b++)
        bin[b] /= all;
}

/* SMPTE ST 2122, step by step. */
static inline double plain_ssi(const mtm_spectrum *test, const mtm_spectrum *reference)
{
    static const double ends[30] = {
        [0] = 12, [1] = 22, [2] = 32, [3] = 40, [4] = 44, [28] = 33, [29] = 9};
    double t[30];
    double r[30];
    double d[34] = {0};
    double sum = 0;

    plain_ssi_bins(test, t);
    plain_ssi_bins(reference, r);
    for (int b = 0; b < 30; b++)
        d[b + 2] = (ends[b] > 0 ? ends[b] : 45) / 45 * (t[b] - r[b]) / (r[b] + 1 / 30.0);
    for (int b = 1; b < 33; b++) {
        double c = 0.22 * d[b - 1] + 0.56 * d[b] + 0.22 * d[b + 1];

        sum += c * c;
    }
    return 100 - 32 * sqrt(sum);
}

/* The references of CIE 13.3, CIE 224 and ST 2122 at a temperature; that of ST 2122, Planckian
 * below 4000 K and else daylight, as the open library colorSpec for R has it. */
static inline void plain_references(double cct_k, mtm_spectrum *cri, mtm_spectrum *ces,
                                    mtm_spectrum *ssi)
{
    mtm_spectrum planck;
    mtm_spectrum daylight;

    if (mtm_spectrum_planck(cct_k, &planck, NULL) != MTM_OK)
        abort();
    daylight = planck;
    if (cct_k >= 4000 && mtm_spectrum_daylight(cct_k, &daylight, NULL) != MTM_OK)
        abort();
    *cri = cct_k < 5000 ? planck : daylight;
    *ssi = cct_k < 4000 ? planck : daylight;
    double part = cct_k <= 4000 ? 1 : cct_k >= 5000 ? 0 : (5000 - cct_k) / 1000;
    double of_planck = part / plain_sum(&planck, NULL, mtmi_table_observer_10).y;
    double of_daylight = (1 - part) / plain_sum(&daylight, NULL, mtmi_table_observer_10).y;
    for (int i = 0; i < 471; i++)
        ces->value[i] = of_planck * planck.value[i] + of_daylight * daylight.value[i];
}

static inline struct plain_quality plain_quality(const struct plain_samples *samples,
                                                 const mtm_spectrum *test, double cct_k)
{
    mtm_spectrum cri;
    mtm_spectrum ces;
    mtm_spectrum ssi;
    mtm_ucs place[MTM_CES_COUNT];
    mtm_ucs from[MTM_CES_COUNT];
    double sum = 0;

    plain_references(cct_k, &cri, &ces, &ssi);
    plain_places(samples, test, place);
    plain_places(samples, &ces, from);
    for (int i = 0; i < MTM_CES_COUNT; i++)
        sum += mtm_ucs_distance(place[i], from[i]);
    return (struct plain_quality){
        .ra = plain_ra(samples, test, &cri),
        .rf = 10 * log(exp((100 - 6.73 * sum / MTM_CES_COUNT) / 10) + 1),
        .rg = 100 * plain_area(place, from) / plain_area(from, from),
        .ssi = plain_ssi(test, &ssi),
    };
}

#endif
