/* SPDX-License-Identifier: MIT */
/* Filters from any bytes. A refusal leaves the output alone and is a sentence that begins with the
 * file's name; what is accepted has a name and transmittances of 0..1, and over a light it neither
 * adds light nor gives a number that is not finite. */
#include "input.h"

#include <metamer/colour.h>
#include <metamer/filter.h>
#include <metamer/illuminant.h>

#include <math.h>
static void check_accepted(const mtm_filter *filter)
{
    mtm_spectrum light;
    mtm_filtered made;

    hold(filter->name[0] != '\0' && memchr(filter->name, '\0', sizeof filter->name) != NULL);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        hold(filter->transmittance.value[i] >= 0 && filter->transmittance.value[i] <= 1);
    hold(mtm_spectrum_illuminant("E", &light, NULL) == MTM_OK);
    hold(mtm_filter_over(filter, &light, MTM_OBSERVER_2, &made, NULL) == MTM_OK);
    hold(made.transmittance_y >= 0 && made.transmittance_y <= 1 + 1e-9);
    hold(isfinite(made.xyz.x) && isfinite(made.lab.l) && isfinite(made.mired_shift));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_filter filter = {.name = "untouched"};
    mtm_error error = {""};

    if (mtm_filter_parse(text, size, "input", NULL, &filter, &error) == MTM_OK)
        check_accepted(&filter);
    else
        hold(strcmp(filter.name, "untouched") == 0 && strncmp(error.text, "input: ", 7) == 0);
    free(text);
    return 0;
}
