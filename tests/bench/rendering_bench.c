/* SPDX-License-Identifier: MIT */
/* The best rendering mixture of five emitters: time an answer, and how far from the best of a dense
 * search.
 */
#include "solve/dense_truth.h"
#include "support/timing.h"

#include <metamer/spectral.h>

#include <stdio.h>

static void need(int condition, const char *what)
{
    if (condition)
        return;
    (void)fprintf(stderr, "rendering_bench: %s\n", what);
    exit(1);
}

static void run(const mtm_fixture *fixture, const mtm_spectral *spectral, double cct_k,
                double fraction)
{
    static struct dense_truth dense;
    mtm_request request = {.output = {MTM_OUTPUT_SHARE, fraction}};
    mtm_best best = {.value = 0};
    double fastest = 1, slowest = 0;

    need(mtm_white_to_xy((mtm_white){cct_k, 0}, &request.xy, NULL) == MTM_OK, "no white");
    for (int i = 0; i < 10; i++) {
        double start = timing_cpu_s();
        need(mtm_spectral_rendering(spectral, &request, MTM_INDEX_RF, NULL, &best, NULL) == MTM_OK,
             "no answer");
        double spent = timing_cpu_s() - start;
        fastest = fmin(fastest, spent);
        slowest = fmax(slowest, spent);
    }
    need(dense_truth_prepare(&dense, fixture, cct_k), "no reference");
    double found = dense_truth_search(&dense, best.answer.xyz, 200, 3);
    (void)printf("%6.0f K, %3.0f %% of the most: Rf %.3f (bound %.3f), dense search %.3f; %zu "
                 "mixtures, %.2f to %.2f ms (wanted 50)\n",
                 cct_k, 100 * fraction, best.value, best.bound, found, best.tried, 1e3 * fastest,
                 1e3 * slowest);
    need(best.value > found - 0.1, "the dense search finds better");
}

int main(void)
{
    const char *profiles = getenv("METAMER_PROFILES");
    static const char *const names[] = {"five-colour-wash", "five-colour-spot",
                                        "five-colour-batten"};

    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char path[512];
        mtm_fixture *fixture = NULL;
        mtm_spectral *spectral = NULL;
        mtm_error error;
        (void)snprintf(path, sizeof path, "%s/%s.json", profiles != NULL ? profiles : "profiles",
                       names[i]);
        if (mtm_fixture_load(path, &fixture, &error) != MTM_OK ||
            mtm_spectral_create(fixture, &spectral, &error) != MTM_OK)
            need(0, error.text);
        (void)printf("%s\n", names[i]);
        run(fixture, spectral, 2700, 0.5);
        run(fixture, spectral, 3200, 0.9);
        run(fixture, spectral, 4200, 0.3);
        run(fixture, spectral, 5600, 0.7);
        mtm_spectral_free(spectral);
        mtm_fixture_free(fixture);
    }
    return 0;
}
