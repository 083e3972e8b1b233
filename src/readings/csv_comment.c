/* SPDX-License-Identifier: MIT */
/* What a table of readings says in its comments: the meter, its uncertainty, what is assumed. */
#include "readings/readings.h"

#include "base/error.h"

#include <string.h>
#include <strings.h>

/* "# assumed droop: 0.05". */
static mtm_result read_assumed(mtm_readings *readings, const char *file, size_t line,
                               const char *text, mtm_error *error)
{
    char name[40];
    double value = 0;
    mtm_error why = {""};
    size_t length = strcspn(text, ":");

    if (text[length] != ':' || length >= sizeof name)
        return MTM_OK; /* a remark */
    memcpy(name, text, length);
    name[length] = '\0';
    text += length + 1;
    text += strspn(text, " \t");
    if (!mtmi_number_loose(text, &value))
        return mtmi_fail(error, MTM_PARSE, "%s: line %zu: \"%.40s\" is no number", file, line,
                         text);
    if (mtm_assumed_set(&readings->assumed, name, value, &why) != MTM_OK)
        return mtmi_fail(error, MTM_PARSE, "%s: line %zu: %.400s", file, line, why.text);
    return MTM_OK;
}

/* "# meter: name", "# certificate: number". */
static mtm_result read_words(char words[MTM_METER_NAME_MAX], const char *what, const char *file,
                             size_t line, const char *text, mtm_error *error)
{
    text += strspn(text, " \t");
    size_t length = strlen(text);
    if (length >= MTM_METER_NAME_MAX)
        return mtmi_fail(error, MTM_PARSE, "%s: line %zu: the meter's %s is longer than %d", file,
                         line, what, MTM_METER_NAME_MAX - 1);
    memcpy(words, text, length + 1);
    return MTM_OK;
}

/* "# uncertainty xy: 0.002", "# uncertainty output: 0.04". */
mtm_result mtmi_csv_comment(mtm_readings *readings, const char *file, size_t line, const char *text,
                            mtm_error *error)
{
    mtm_meter *meter = &readings->meter;
    const struct {
        const char *key;
        double most;
        double *value;
    } numbers[] = {{"uncertainty xy:", 0.1, &meter->xy},
                   {"uncertainty output:", 1, &meter->output},
                   {"repeat xy:", 0.1, &meter->repeat_xy},
                   {"repeat output:", 1, &meter->repeat_output}};

    text += strspn(text, "# \t");
    if (strncasecmp(text, "assumed ", 8) == 0)
        return read_assumed(readings, file, line, text + 8, error);
    if (strncasecmp(text, "meter:", 6) == 0)
        return read_words(meter->name, "name", file, line, text + 6, error);
    if (strncasecmp(text, "certificate:", 12) == 0)
        return read_words(meter->certificate, "certificate", file, line, text + 12, error);
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        size_t length = strlen(numbers[i].key);
        double value = 0;
        if (strncasecmp(text, numbers[i].key, length) != 0)
            continue;
        text += length + strspn(text + length, " \t");
        if (!mtmi_number_loose(text, &value) || !(value >= 0 && value <= numbers[i].most))
            return mtmi_fail(error, MTM_PARSE,
                             "%s: line %zu: \"%.40s\": allowed is a number from 0 to %.10g", file,
                             line, text, numbers[i].most);
        *numbers[i].value = value;
        return MTM_OK;
    }
    return MTM_OK;
}
