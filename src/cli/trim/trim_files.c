/* SPDX-License-Identifier: MIT */
/* The files of "metamer trim": readings with the notes on them and the meter they were read with,
 * and what is written, never over what would be lost. */
#include "cli/trim/trim_files.h"

#include "cli/out/replace.h"

#include "base/error.h"
#include "base/file.h"
#include "base/number.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

/* Sentences about readings that are shown; the rest is counted. */
#define NOTES_SHOWN 30
/* Of --column: more than there are kinds of columns in two files. */
#define COLUMNS_MAX 40
#define NAME_ROOM 20

/* "x=CIE x" to a choice; name is room for what stands before the sign. */
static mtm_result read_column(const char *text, char name[NAME_ROOM], mtm_column_choice *choice,
                              mtm_error *error)
{
    size_t length = strcspn(text, "=");

    if (length == 0 || length >= NAME_ROOM || text[length] != '=' || text[length + 1] == '\0')
        return mtmi_fail(error, MTM_PARSE,
                         "--column: found \"%.60s\", wanted is NAME=HEADING, as in x=\"CIE x\"",
                         text);
    memcpy(name, text, length);
    name[length] = '\0';
    *choice = (mtm_column_choice){name, text + length + 1};
    return MTM_OK;
}

mtm_result trim_load(const struct args *args, const char *path, const mtm_rig *rig,
                     mtm_readings **readings, mtm_error *error)
{
    mtm_column_choice choice[COLUMNS_MAX];
    char name[COLUMNS_MAX][NAME_ROOM];
    size_t count = 0;
    const char *text = NULL;

    while ((text = args_nth(args, "column", count)) != NULL) {
        if (count == COLUMNS_MAX)
            return mtmi_fail(error, MTM_LIMIT, "--column: given more than %d times", COLUMNS_MAX);
        mtm_result result = read_column(text, name[count], &choice[count], error);
        if (result != MTM_OK)
            return result;
        count++;
    }
    mtm_result result = mtm_readings_load_columns(path, rig, choice, count, readings, error);
    if (result == MTM_NOT_FOUND && count > 0)
        mtmi_error_prefix(error, "--column");
    return result;
}

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
        doubt = doubt || mtm_readings_note(readings, i)->type != MTM_NOTE_REMARK;
    for (size_t i = 0; i < mtm_calibration_note_count(calibration); i++)
        doubt = doubt || mtm_calibration_note(calibration, i)->type != MTM_NOTE_REMARK;
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
static mtm_result vouch_for(mtm_readings *readings, const char *text, mtm_error *error)
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
        result = vouch_for(readings, text, error);
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

const char *trim_prior_path(const struct args *args)
{
    const char *path = args_text(args, "calibration", NULL);
    const char *write_path = args_text(args, "write", NULL);

    return path == NULL && args_has(args, "again") && write_path != NULL &&
                   replace_holds(write_path)
               ? write_path
               : path;
}

/* What would be gone, in words; a calibration of another rig cannot be counted. */
static void describe(const char *path, const mtm_rig *rig, char *text, size_t room)
{
    mtm_calibration *calibration = NULL;
    size_t units = 0;
    size_t emitters = 0;

    (void)snprintf(text, room, "a calibration");
    if (mtm_calibration_load(path, rig, &calibration, NULL) != MTM_OK)
        return;
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit_model *model = mtm_calibration_unit(calibration, i);
        units += model->calibrated ? 1 : 0;
        for (size_t k = 0; k < model->count && model->calibrated; k++)
            emitters += model->emitter[k].measured ? 1 : 0;
    }
    mtm_calibration_free(calibration);
    (void)snprintf(text, room, "a calibration of %zu unit%s with %zu measured emitter%s", units,
                   units == 1 ? "" : "s", emitters, emitters == 1 ? "" : "s");
}

mtm_result trim_write_check(const struct args *args, const mtm_rig *rig, mtm_error *error)
{
    const char *path = args_text(args, "write", NULL);
    const char *prior = trim_prior_path(args);
    bool match = args_has(args, "match-meters");
    char lost[160];

    if (path == NULL)
        return MTM_OK;
    mtm_result result = replace_check("write", path, match ? "meter/1" : "calibration/1", error);
    if (result != MTM_OK || args_has(args, "replace") || !replace_holds(path))
        return result;
    if (match)
        return mtmi_fail(error, MTM_PARSE,
                         "--write: %s holds a match of two meters; --replace puts the new one in "
                         "its place and keeps a copy",
                         path);
    if (prior != NULL && mtmi_file_same(prior, path))
        return MTM_OK;
    describe(path, rig, lost, sizeof lost);
    return mtmi_fail(error, MTM_PARSE,
                     "--write: %s holds %s, which this trim does not start from; --again goes on "
                     "from it, --replace puts the new one in its place and keeps a copy",
                     path, lost);
}

mtm_result trim_write(const struct args *args, const mtm_calibration *calibration, FILE *err,
                      mtm_error *error)
{
    const char *path = args_text(args, "write", NULL);

    if (path == NULL)
        return MTM_OK;
    mtm_result result = replace_keep(path, err, error);
    return result == MTM_OK ? mtm_calibration_write(calibration, path, error) : result;
}

mtm_result trim_write_match(const struct args *args, const mtm_meter_match *match, FILE *err,
                            mtm_error *error)
{
    const char *path = args_text(args, "write", "");
    mtm_result result = replace_keep(path, err, error);

    return result == MTM_OK ? mtm_meter_match_write(match, path, error) : result;
}
