/* SPDX-License-Identifier: MIT */
/* Spectra from any bytes: CSV, CGATS text, TM-27 XML. A refusal leaves the output alone and is one
 * sentence that begins with the file's name; what is accepted is finite, its ranges rise and its
 * names hold no control characters. The first byte chooses what stands outside the samples. */
#include "input.h"

#include <metamer/colour.h>
#include <metamer/spectrum_file.h>

#include <math.h>
static void check(const mtm_spectrum_set *set)
{
    size_t count = mtm_spectrum_set_count(set);

    hold(count >= 1);
    for (size_t i = 0; i < count; i++) {
        const char *name = mtm_spectrum_set_name(set, i);
        double first_nm = 0;
        double last_nm = 0;

        mtm_spectrum_set_range(set, i, &first_nm, &last_nm);
        hold(first_nm > 0 && first_nm <= 780 && last_nm >= 380 && first_nm < last_nm);
        hold(mtm_spectrum_set_quantity(set, i) <= MTM_QUANTITY_REFLECTANCE);
        for (const unsigned char *c = (const unsigned char *)name; *c != '\0'; c++)
            hold(*c >= 0x20 && *c != 0x7f);
        for (size_t k = 0; k < MTM_SPECTRUM_COUNT; k++)
            hold(isfinite(mtm_spectrum_set_at(set, i)->value[k]));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    if (size == 0)
        return 0;
    mtm_ends ends = data[0] % 2 == 0 ? MTM_ENDS_ZERO : MTM_ENDS_HOLD;
    char *text = exact_copy(data + 1, size - 1);
    mtm_result result = mtm_spectrum_set_parse(text, size - 1, "fuzz", ends, &set, &error);
    free(text);
    if (result == MTM_OK) {
        check(set);
        mtm_spectrum_set_free(set);
    } else {
        hold(set == NULL && result != MTM_INVALID);
        hold(result == MTM_MEMORY || strncmp(error.text, "fuzz: ", 6) == 0);
        hold(strchr(error.text, '\n') == NULL);
    }
    return 0;
}
