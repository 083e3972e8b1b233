/* SPDX-License-Identifier: MIT */
/* Cautions: what light of an emitter may do that its brightness does not show. */
#include "cli/out/caution.h"

/* The share of what a spectrum radiates below a wavelength. */
static double share_below(const mtm_spectrum *spectrum, int limit_nm)
{
    double below = 0, all = 0;

    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        all += spectrum->value[i];
        below += MTM_SPECTRUM_FIRST_NM + i < limit_nm ? spectrum->value[i] : 0;
    }
    return all > 0 ? below / all : 0;
}

/* Shares that call for a word of caution: a tenth below 400 nm, where light counts as ultraviolet,
 * or half of it where the eye sees little, below 450 nm and above 700 nm. Common practice, no
 * source: what is safe cannot be told from a relative spectrum. */
void put_light_caution(const char *name, const mtm_spectrum *spectrum, FILE *out)
{
    if (share_below(spectrum, 400) >= 0.1)
        (void)fprintf(out,
                      "\nCaution: %s radiates below 400 nm. It can hurt eyes and skin though it "
                      "hardly looks lit;\nkeep to the maker's exposure limits and local rules.\n",
                      name);
    else if (share_below(spectrum, 450) + 1 - share_below(spectrum, 700) >= 0.5)
        (void)fprintf(
            out,
            "\nCaution: how bright %s looks says nothing about the light that reaches the "
            "eye.\n",
            name);
}
