/* SPDX-License-Identifier: MIT */
/* Colour temperatures per second and their error: ours against LittleCMS, in one run. */
#include <metamer/white.h>

#include "support/dense_locus.h"
#include "support/timing.h"

#include <lcms2.h>

#include <stdio.h>
#include <stdlib.h>

#define POINTS 4096
#define REPEATS 200
#define ROUNDS 15

/* Whites between two temperatures, |Duv| <= 0.02, evenly scattered (golden-ratio sequence). */
static void scatter(double least_k, double most_k, mtm_white white[POINTS], mtm_xy xy[POINTS])
{
    for (int i = 0; i < POINTS; i++) {
        double a = fmod(i * 0.6180339887498949, 1);
        double b = (i + 0.5) / POINTS;
        double mired = (1e6 / most_k) + (a * ((1e6 / least_k) - (1e6 / most_k)));

        white[i] = (mtm_white){1e6 / mired, 0.04 * (b - 0.5)};
        if (mtm_white_to_xy(white[i], &xy[i], NULL) != MTM_OK || !mtm_xy_valid(xy[i]))
            exit(1);
    }
}

static double time_ours(const mtm_xy xy[POINTS])
{
    double sum = 0;
    double start = timing_now_s();

    for (int r = 0; r < REPEATS; r++)
        for (int i = 0; i < POINTS; i++) {
            mtm_white white = {0};

            if (mtm_white_from_xy(xy[i], &white, NULL) != MTM_OK)
                exit(1);
            sum += white.cct_k + white.duv;
        }
    double spent = timing_now_s() - start;
    if (!(sum > 0))
        exit(1);
    return spent / ((double)REPEATS * POINTS);
}

static double time_peer(const cmsCIExyY xyy[POINTS])
{
    double sum = 0;
    double start = timing_now_s();

    for (int r = 0; r < REPEATS; r++)
        for (int i = 0; i < POINTS; i++) {
            cmsFloat64Number cct_k = 0;

            if (!cmsTempFromWhitePoint(&cct_k, &xyy[i]))
                exit(1);
            sum += cct_k;
        }
    double spent = timing_now_s() - start;
    if (!(sum > 0))
        exit(1);
    return spent / ((double)REPEATS * POINTS);
}

/* Largest errors against the dense search, over a part of the points. */
static void report_errors(const struct dense *dense, const mtm_xy xy[POINTS])
{
    double ours_k = 0;
    double ours_duv = 0;
    double peer_k = 0;

    for (int i = 0; i < POINTS; i += 64) {
        double scale = 1 / ((-2 * xy[i].x) + (12 * xy[i].y) + 3);
        double distance = 0;
        double cct_k =
            1e6 / dense_nearest(dense, 4 * xy[i].x * scale, 6 * xy[i].y * scale, &distance);
        cmsCIExyY xyy = {xy[i].x, xy[i].y, 1};
        cmsFloat64Number peer = 0;
        mtm_white white = {0};

        if (mtm_white_from_xy(xy[i], &white, NULL) != MTM_OK || !cmsTempFromWhitePoint(&peer, &xyy))
            exit(1);
        ours_k = fmax(ours_k, fabs(white.cct_k - cct_k));
        ours_duv = fmax(ours_duv, fabs(fabs(white.duv) - distance));
        peer_k = fmax(peer_k, fabs(peer - cct_k));
    }
    printf("  largest error: ours %.2g K, %.2g in Duv; LittleCMS %.3g K (no Duv)\n", ours_k,
           ours_duv, peer_k);
}

static void compare(const struct dense *dense, const char *what, double least_k, double most_k)
{
    static mtm_white white[POINTS];
    static mtm_xy xy[POINTS];
    static cmsCIExyY xyy[POINTS];
    double ours[ROUNDS];
    double ratio[ROUNDS];

    scatter(least_k, most_k, white, xy);
    for (int i = 0; i < POINTS; i++)
        xyy[i] = (cmsCIExyY){xy[i].x, xy[i].y, 1};
    (void)time_ours(xy);
    (void)time_peer(xyy);
    for (int r = 0; r < ROUNDS; r++) {
        ours[r] = time_ours(xy);
        ratio[r] = time_peer(xyy) / ours[r];
    }
    qsort(ours, ROUNDS, sizeof *ours, timing_by_value);
    qsort(ratio, ROUNDS, sizeof *ratio, timing_by_value);
    printf("%s: %.1f ns each at best, %.1f in the middle; rate to LittleCMS %.2f (%.2f..%.2f)\n",
           what, ours[0] * 1e9, ours[ROUNDS / 2] * 1e9, ratio[ROUNDS / 2], ratio[0],
           ratio[ROUNDS - 1]);
    report_errors(dense, xy);
}

int main(void)
{
    static struct dense dense;

    dense_fill(&dense);
    compare(&dense, "6500 K", 6499.99, 6500.01);
    compare(&dense, "2700..10000 K", 2700, 10000);
    compare(&dense, "2500..25000 K", 2700, 24999);
    return 0;
}
