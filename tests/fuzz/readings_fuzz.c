/* SPDX-License-Identifier: MIT */
/* Readings from any bytes, JSON or table. A refusal leaves the output alone and carries a sentence;
 * of what is accepted every reading is finite, its codes lie in 0..1, its unit exists, every note
 * has a sentence, and a fit of it gives finite light or a sentence. */
#include "small_rig.h"

#include <metamer/calibration.h>

#include <math.h>

static void check_reading(const mtm_rig *rig, const mtm_reading *one)
{
    hold(one->unit < mtm_rig_unit_count(rig) ||
         (one->unit == MTM_READING_ROOM && mtm_reading_is_dark(one)));
    hold(isfinite(one->xyz.x) && isfinite(one->xyz.y) && isfinite(one->xyz.z));
    hold(one->xyz.y > 0 || mtm_reading_is_dark(one));
    hold(one->dimmer >= 0 && one->dimmer <= 1);
    for (size_t i = 0; i < MTM_EMITTERS_MAX; i++)
        hold(one->code[i] >= 0 && one->code[i] <= 1);
}

static void check_fit(const mtm_rig *rig, const mtm_readings *readings)
{
    static const double level[MTM_EMITTERS_MAX] = {0.3, 0.8};
    mtm_calibration *calibration = NULL;
    mtm_error error = {""};

    if (mtm_calibration_fit(readings, rig, NULL, &calibration, &error) != MTM_OK)
        hold(calibration == NULL && error.text[0] != '\0');
    for (size_t i = 0; calibration != NULL && i < mtm_rig_unit_count(rig); i++) {
        mtm_xyz xyz = mtm_unit_model_xyz(mtm_calibration_unit(calibration, i), level);
        hold(isfinite(xyz.x) && isfinite(xyz.y) && isfinite(xyz.z));
    }
    mtm_calibration_free(calibration);
}

static void check_accepted(const mtm_rig *rig, const mtm_readings *readings)
{
    for (size_t i = 0; i < mtm_readings_count(readings); i++)
        check_reading(rig, mtm_readings_at(readings, i));
    for (size_t i = 0; i < mtm_readings_note_count(readings); i++)
        hold(mtm_readings_note(readings, i)->text[0] != '\0');
    check_fit(rig, readings);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_readings *readings = NULL;
    mtm_rig *rig = small_rig();
    mtm_error error = {""};

    if (mtm_readings_parse(text, size, "input", rig, &readings, &error) == MTM_OK)
        check_accepted(rig, readings);
    else
        hold(readings == NULL && error.text[0] != '\0');
    mtm_readings_free(readings);
    free(text);
    return 0;
}
