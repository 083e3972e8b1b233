/* SPDX-License-Identifier: MIT */
/* XYZ of a spectrum against a plain loop of doubles with the same flags, for the kernel that the
 * processor gets and for the portable one; CIEDE2000 against bare LittleCMS. Answers are checked.
 */
#include <metamer/colour.h>
#include <metamer/lab.h>
#include <metamer/spectrum.h>

#include "colour/integrate.h"
#include "data/tables.h"
#include "support/random.h"
#include "support/timing.h"

#include <lcms2.h>

#include <math.h>

#define SPECTRA 4 /* they stay in the nearest cache, as a spectrum just made does */
#define PAIRS 1024

/* What one writes first. Apart, so that nothing is known of its input. */
__attribute__((noinline)) static mtm_xyz plain_loop(const double *value,
                                                    const double (*column)[MTM_SPECTRUM_COUNT])
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        sum.x += value[i] * column[0][i];
        sum.y += value[i] * column[1][i];
        sum.z += value[i] * column[2][i];
    }
    return (mtm_xyz){683 * sum.x, 683 * sum.y, 683 * sum.z};
}

static double work_plain(const void *input, size_t count)
{
    const mtm_spectrum *spectra = input;
    double total = 0;

    for (size_t i = 0; i < count; i++) {
        mtm_xyz xyz = plain_loop(spectra[i % SPECTRA].value, mtmi_table_observer_2);
        total += xyz.x + xyz.y + xyz.z;
    }
    return total;
}

static double work_public(const void *input, size_t count)
{
    const mtm_spectrum *spectra = input;
    double total = 0;

    for (size_t i = 0; i < count; i++) {
        mtm_xyz xyz = mtm_xyz_from_spectrum(&spectra[i % SPECTRA], MTM_OBSERVER_2);
        total += xyz.x + xyz.y + xyz.z;
    }
    return total;
}

/* One kernel after another; timing_work has no room for which. */
static mtmi_integrate timed_kernel;

static double work_kernel(const void *input, size_t count)
{
    const mtm_spectrum *spectra = input;
    double total = 0;

    for (size_t i = 0; i < count; i++) {
        mtm_xyz xyz = timed_kernel(spectra[i % SPECTRA].value, mtmi_weights[0]);
        total += 683 * xyz.x + 683 * xyz.y + 683 * xyz.z;
    }
    return total;
}

struct pair {
    mtm_lab a, b;
};

static double work_ciede2000(const void *input, size_t count)
{
    const struct pair *pairs = input;
    double total = 0;

    for (size_t i = 0; i < count; i++)
        total += mtm_lab_ciede2000(pairs[i % PAIRS].a, pairs[i % PAIRS].b);
    return total;
}

static double work_lcms(const void *input, size_t count)
{
    const struct pair *pairs = input;
    double total = 0;

    for (size_t i = 0; i < count; i++) {
        const struct pair *pair = &pairs[i % PAIRS];
        const cmsCIELab a = {pair->a.l, pair->a.a, pair->a.b};
        const cmsCIELab b = {pair->b.l, pair->b.a, pair->b.b};
        total += cmsCIE2000DeltaE(&a, &b, 1, 1, 1);
    }
    return total;
}

static void check(const char *what, double got, double wanted)
{
    if (!(fabs(got - wanted) <= 1e-12 * fabs(wanted))) {
        printf("%s: %.17g, wanted %.17g\n", what, got, wanted);
        exit(1);
    }
}

int main(void)
{
    static mtm_spectrum spectra[SPECTRA];
    static struct pair pairs[PAIRS];
    struct random random = {1};

    for (size_t i = 0; i < SPECTRA; i++) {
        for (size_t k = 0; k < MTM_SPECTRUM_COUNT; k++)
            spectra[i].value[k] = random_between(&random, 0, 1);
    }
    for (size_t i = 0; i < PAIRS; i++) {
        mtm_lab *both[] = {&pairs[i].a, &pairs[i].b};

        for (size_t k = 0; k < 2; k++) {
            both[k]->l = random_between(&random, 0, 100);
            both[k]->a = random_between(&random, -100, 100);
            both[k]->b = random_between(&random, -100, 100);
        }
    }
    check("XYZ", work_public(spectra, SPECTRA), work_plain(spectra, SPECTRA));
    check("CIEDE2000", work_ciede2000(pairs, PAIRS), work_lcms(pairs, PAIRS));

    timing_compare("XYZ of a spectrum", "a plain loop", work_public, work_plain, spectra, 40000);
    for (size_t k = 0; k < mtmi_integrate_kernel_count; k++) {
        char name[64];

        if (!mtmi_integrate_kernels[k].runs())
            continue;
        timed_kernel = mtmi_integrate_kernels[k].integrate;
        check("XYZ", work_kernel(spectra, SPECTRA), work_plain(spectra, SPECTRA));
        (void)snprintf(name, sizeof name, "  its %s kernel", mtmi_integrate_kernels[k].name);
        timing_compare(name, "a plain loop", work_kernel, work_plain, spectra, 40000);
    }
    timing_compare("CIEDE2000", "LittleCMS called directly", work_ciede2000, work_lcms, pairs,
                   100000);
    return 0;
}
