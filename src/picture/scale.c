/* SPDX-License-Identifier: MIT */
/* Scale: from values to places on a picture, and the round values along it. */
#include "picture/scale.h"

#include <math.h>

/* Part of a step by which a multiple may miss the end of a span and still stand on it. */
#define NOISE 1e-6

double mtmi_scale_at(const mtmi_scale *s, double value)
{
    double share = s->logarithmic ? log(value / s->from) / log(s->to / s->from)
                                  : (value - s->from) / (s->to - s->from);

    return s->start + share * (s->end - s->start);
}

double mtmi_scale_value(const mtmi_scale *s, double place)
{
    double share = (place - s->start) / (s->end - s->start);

    return s->logarithmic ? s->from * pow(s->to / s->from, share)
                          : s->from + share * (s->to - s->from);
}

double mtmi_round_step(double span, int most)
{
    static const double round_ones[] = {1, 2, 5, 10};
    double power = pow(10, floor(log10(span / most) + NOISE));

    for (int i = 0; i < 3; i++) {
        if (span / (round_ones[i] * power) <= most * (1 + NOISE))
            return round_ones[i] * power;
    }
    return 10 * power;
}

int mtmi_step_decimals(double step)
{
    int decimals = (int)ceil(-log10(step) - NOISE);

    return decimals > 0 ? decimals : 0;
}

double mtmi_first_multiple(double from, double step)
{
    return ceil(from / step - NOISE) * step;
}
