/* SPDX-License-Identifier: MIT */
/* Meters: one brought into line with another, from readings of both. */
#include "cli/trim/trim_meters.h"

#include "cli/trim/trim_files.h"

static void print_match(const mtm_rig *rig, const mtm_meter_found *found, FILE *out)
{
    (void)fprintf(out, "Reference XYZ = matrix times our XYZ:\n");
    for (int i = 0; i < 3; i++)
        (void)fprintf(out, "  %9.6f  %9.6f  %9.6f\n", found->match.matrix[i][0],
                      found->match.matrix[i][1], found->match.matrix[i][2]);
    (void)fprintf(out,
                  "From %s, our readings at lines %zu, %zu, %zu and (mixture) %zu.\n"
                  "Over all settings that both meters read they differed by up to Δu'v' %.4f, "
                  "corrected by up to %.4f.\n",
                  mtm_rig_unit(rig, found->unit)->name, found->line[0], found->line[1],
                  found->line[2], found->line[3], found->before_uv, found->after_uv);
    if (found->match.xy > 0)
        (void)fprintf(out,
                      "Readings of these emitters, corrected by it: x, y ±%.4f (k = 2), beside "
                      "their own scatter.\n",
                      found->match.xy);
    else
        (void)fprintf(out, "The reference's uncertainty is not stated: that of our meter stays.\n");
}

mtm_result trim_match_meters(const struct args *args, const mtm_rig *rig, struct outlet *to,
                             mtm_error *error)
{
    mtm_readings *ours = NULL, *reference = NULL;
    mtm_meter_found found;
    mtm_result result = trim_load(args, args->words[1], rig, &ours, error);

    if (result == MTM_OK)
        result = trim_load(args, args->words[2], rig, &reference, error);
    if (result == MTM_OK) {
        trim_show_reading_notes(ours, args->words[1], to->err);
        trim_show_reading_notes(reference, args->words[2], to->err);
        result = mtm_readings_match_meters(ours, reference, &found, error);
    }
    if (result == MTM_OK)
        result = trim_write_match(args, &found.match, to->err, error);
    if (result == MTM_OK)
        print_match(rig, &found, to->out);
    mtm_readings_free(ours);
    mtm_readings_free(reference);
    return result;
}
