/* SPDX-License-Identifier: MIT */
/* Spectral similarity index of SMPTE ST 2122:2020, from its bins. */
#include "quality/kernel.h"

#include <math.h>

/* Weights of the relative differences, ST 2122: the eye and a camera see less at both ends. */
static double weight(size_t bin)
{
    static const double first[] = {12.0 / 45, 22.0 / 45, 32.0 / 45, 40.0 / 45, 44.0 / 45};

    if (bin < 5)
        return first[bin];
    return bin < 28 ? 1 : bin == 28 ? 33.0 / 45 : 9.0 / 45;
}

void mtmi_ssi_smooth(const double test[MTMI_SSI_BINS], const double reference[MTMI_SSI_BINS],
                     double smooth[MTMI_SSI_BINS + 2])
{
    /* two zeros at each end: one that the standard puts there, one that the smoothing reads past */
    double difference[MTMI_SSI_BINS + 4] = {0};
    double test_sum = 0;
    double reference_sum = 0;

    for (size_t i = 0; i < MTMI_SSI_BINS; i++) {
        test_sum += test[i];
        reference_sum += reference[i];
    }
    for (size_t i = 0; i < MTMI_SSI_BINS; i++) {
        double t = test[i] / test_sum;
        double r = reference[i] / reference_sum;

        difference[i + 2] = weight(i) * (t - r) / (r + (1.0 / MTMI_SSI_BINS));
    }
    for (size_t i = 1; i < MTMI_SSI_BINS + 3; i++)
        smooth[i - 1] = (0.22 * (difference[i - 1] + difference[i + 1])) + (0.56 * difference[i]);
}

double mtmi_ssi_from_bins(const double test[MTMI_SSI_BINS], const double reference[MTMI_SSI_BINS])
{
    double smooth[MTMI_SSI_BINS + 2];
    double sum = 0;

    mtmi_ssi_smooth(test, reference, smooth);
    for (size_t i = 0; i < MTMI_SSI_BINS + 2; i++)
        sum += smooth[i] * smooth[i];
    return 100 - (32 * sqrt(sum));
}
