/* SPDX-License-Identifier: MIT */
/* What "metamer trim" reads: the notes on it, and the meter it was read with. */
#include "cli/trim/trim_input.h"

#include "base/error.h"
#include "base/number.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

/* Sentences about readings that are shown; the rest is counted. */
#define NOTES_SHOWN 30

void trim_show_reading_notes(const mtm_readings *readings, const char *path, FILE *err)
{
    size_t count = mtm_readings_note_count(readings);

    for (size_t i = 0; i < count && i < NOTES_SHOWN; i++)
        (void)fprintf(err, "%s: %s\n", path, mtm_readings_note(readings, i)->text);
    if (count > NOTES_SHOWN)
        (void)fprintf(err, "%s: and %zu more\n", path, count - NOTES_SHOWN);
}

void trim_show_fit_notes(const mtm_calibration *calibration, const char *path, FILE *err)
{
    size_t count = mtm_calibration_note_count(calibration);

    for (size_t i = 0; i < count && i < NOTES_SHOWN; i++) {
        const mtm_note *note = mtm_calibration_note(calibration, i);
        if (note->line > 0)
            (void)fprintf(err, "%s: line %zu: %s\n", path, note->line, note->text);
        else
            (void)fprintf(err, "%s: %s\n", path, note->text);
    }
    if (count > NOTES_SHOWN)
        (void)fprintf(err, "%s: and %zu more\n", path, count - NOTES_SHOWN);
}

bool trim_in_doubt(const mtm_readings *readings, const mtm_calibration *calibration)
{
    bool doubt = false;

    for (size_t i = 0; i < mtm_readings_note_count(readings); i++)
        doubt = doubt || mtm_readings_note(readings, i)->kind != MTM_NOTE_REMARK;
    for (size_t i = 0; i < mtm_calibration_note_count(calibration); i++)
        doubt = doubt || mtm_calibration_note(calibration, i)->kind != MTM_NOTE_REMARK;
    return doubt;
}

/* "droop=0.02,bend=0". */
static mtm_result set_assumed(const char *text, mtm_readings *readings, mtm_error *error)
{
    mtm_assumed assumed = *mtm_readings_assumed(readings);
    mtm_result result = MTM_OK;

    while (*text != '\0' && result == MTM_OK) {
        char name[40] = "";
        double value = 0;
        size_t length = strcspn(text, "=,");
        size_t used = text[length] == '=' ? mtmi_number_read(text + length + 1, &value) : 0;
        size_t read = length + 1 + used;
        if (length == 0 || length >= sizeof name || used == 0 ||
            (text[read] != '\0' && text[read] != ','))
            return mtmi_fail(error, MTM_PARSE,
                             "--assume: found \"%.60s\", wanted is NAME=NUMBER, or several with "
                             "commas between",
                             text);
        memcpy(name, text, length);
        result = mtm_assumed_set(&assumed, name, value, error);
        text += read + (text[read] == ',' ? 1 : 0);
    }
    if (result == MTM_OK)
        mtm_readings_set_assumed(readings, &assumed);
    return result;
}

void trim_state_meter(const struct args *args, mtm_readings *readings)
{
    mtm_meter meter = *mtm_readings_meter(readings);

    meter.xy = args_number(args, "meter-xy", meter.xy);
    meter.output = args_number(args, "meter-output", meter.output);
    mtm_readings_set_meter(readings, &meter);
}

mtm_result trim_set_meter(const struct args *args, mtm_readings *readings, mtm_error *error)
{
    const char *match_path = args_text(args, "meter", NULL);
    mtm_meter_match match;

    if (match_path != NULL) {
        mtm_result result = mtm_meter_match_load(match_path, &match, error);
        if (result != MTM_OK)
            return result;
        mtm_readings_match(readings, &match);
    }
    trim_state_meter(args, readings);
    return set_assumed(args_text(args, "assume", ""), readings, error);
}

/* LINE is a number as the notes give it, or "all". */
static mtm_result keep_one(mtm_readings *readings, const char *text, mtm_error *error)
{
    char *end = NULL;

    if (strcmp(text, "all") == 0)
        return mtm_readings_vouch(readings, 0, error);
    unsigned long line = strtoul(text, &end, 10);
    if (strspn(text, "0123456789") == 0 || *end != '\0' || line == 0)
        return mtmi_fail(error, MTM_PARSE,
                         "--keep: found \"%.40s\", wanted is the number of a line, or all", text);
    mtm_result result = mtm_readings_vouch(readings, line, error);
    return result == MTM_INVALID
               ? mtmi_fail(error, MTM_PARSE, "--keep %lu: no reading that can be used stands there",
                           line)
               : result;
}

mtm_result trim_keep(const struct args *args, mtm_readings *readings, mtm_error *error)
{
    mtm_result result = MTM_OK;
    const char *text = NULL;

    for (size_t i = 0; (text = args_nth(args, "keep", i)) != NULL && result == MTM_OK; i++)
        result = keep_one(readings, text, error);
    return result;
}

static bool has_suffix(const char *path, const char *suffix)
{
    size_t length = strlen(path);
    size_t wanted = strlen(suffix);

    return length >= wanted && strcasecmp(path + length - wanted, suffix) == 0;
}

mtm_result trim_open_live(const char *path, const mtm_rig *rig, mtm_readings **readings,
                          mtm_error *error)
{
    if (has_suffix(path, ".csv"))
        return mtmi_fail(error, MTM_PARSE, "%s: --live writes JSON; give it a file of another name",
                         path);
    if (access(path, F_OK) != 0)
        return mtm_readings_create(rig, readings, error);
    mtm_result result = mtm_readings_load(path, rig, readings, error);
    if (result == MTM_OK && mtm_readings_note_count(*readings) > 0)
        return mtmi_fail(error, MTM_PARSE, "%s: %s; mend this first, or it would be lost", path,
                         mtm_readings_note(*readings, 0)->text);
    return result;
}
