/* SPDX-License-Identifier: MIT */
/* The median. */
#include "numeric/median.h"

#include <stdlib.h>

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;

    return (x > y) - (x < y);
}

double mtmi_median(double *value, size_t count)
{
    qsort(value, count, sizeof *value, compare);
    return count % 2 == 1 ? value[count / 2] : (value[count / 2 - 1] + value[count / 2]) / 2;
}
