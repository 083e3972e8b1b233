/* SPDX-License-Identifier: MIT */
/* Quality kernel in portable C. */
#include "quality/kernel.h"

#include <string.h>

#define KERNEL

/* Node sums of a light for X, Y and Z. */
struct nodes {
    double at[3][MTMI_NODES_PADDED];
};

/* X, Y, Z of one block of samples: node sums times reflectance. */
static void block_sums(const struct nodes *node, const double sample[MTMI_NODES][MTMI_BLOCK],
                       double x[MTMI_BLOCK], double y[MTMI_BLOCK], double z[MTMI_BLOCK])
{
    double sum_x[MTMI_BLOCK] = {0};
    double sum_y[MTMI_BLOCK] = {0};
    double sum_z[MTMI_BLOCK] = {0};

    for (size_t i = 0; i < MTMI_NODES; i++)
        for (size_t k = 0; k < MTMI_BLOCK; k++) {
            sum_x[k] += node->at[0][i] * sample[i][k];
            sum_y[k] += node->at[1][i] * sample[i][k];
            sum_z[k] += node->at[2][i] * sample[i][k];
        }
    memcpy(x, sum_x, sizeof sum_x);
    memcpy(y, sum_y, sizeof sum_y);
    memcpy(z, sum_z, sizeof sum_z);
}

#include "quality/kernel_tmpl.h"

const mtmi_quality_kernel mtmi_quality_portable = {
    .name = "portable",
    .sums = kernel_sums,
    .planck = kernel_planck,
    .mix = kernel_mix,
    .appearance = kernel_appearance,
};
