/* SPDX-License-Identifier: MIT */
/* Choosing units by any text. A refusal is a sentence and leaves the output alone; what is chosen
 * are units of the rig, none twice; with ! before it, a single term leaves just the others. */
#include "input.h"

#include <metamer/selection.h>

#define UNITS 6

static mtm_rig *some_rig(void)
{
    static mtm_rig *rig;
    static const char text[] =
        "{\"metamer\": \"rig/1\", \"name\": \"r\", \"groups\": {\"g\": [\"a-*\"], \"a-9\": [\"b "
        "1\", "
        "\"g\"]}, \"units\": ["
        "{\"name\": \"a-1\", \"fixture\": \"tunable-white.json\", \"mode\": \"8-bit\"},"
        "{\"name\": \"a-2\", \"fixture\": \"tunable-white.json\", \"mode\": \"8-bit\"},"
        "{\"name\": \"a-12\", \"fixture\": \"tunable-white.json\", \"mode\": \"8-bit\"},"
        "{\"name\": \"b 1\", \"fixture\": \"three-colour-strip.json\", \"mode\": \"8-bit\"},"
        "{\"name\": \"b,2\", \"fixture\": \"three-colour-strip.json\", \"mode\": \"8-bit\"},"
        "{\"name\": \"*\", \"fixture\": \"three-colour-strip.json\", \"mode\": \"8-bit\"}]}";

    if (rig == NULL)
        hold(mtm_rig_parse(text, sizeof text - 1, "rig", NULL, &rig, NULL) == MTM_OK);
    return rig;
}

static void check_others(const char *text, const bool *chosen, size_t count)
{
    char *others = malloc(strlen(text) + 2);
    size_t unit[UNITS];
    size_t other = 0;

    hold(others != NULL);
    others[0] = '!';
    memcpy(others + 1, text, strlen(text) + 1);
    mtm_result result = mtm_rig_select(some_rig(), others, unit, &other, NULL);
    if (count == UNITS || text[0] == '!')
        hold(result != MTM_OK || text[0] == '!');
    else
        hold(result == MTM_OK && other == UNITS - count);
    for (size_t i = 0; result == MTM_OK && text[0] != '!' && i < other; i++)
        hold(!chosen[unit[i]]);
    free(others);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    size_t unit[UNITS];
    size_t count = 99;
    bool chosen[UNITS] = {false};
    mtm_error error = {""};

    hold(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    if (mtm_rig_select(some_rig(), text, unit, &count, &error) == MTM_OK) {
        hold(count >= 1 && count <= UNITS);
        for (size_t i = 0; i < count; i++) {
            hold(unit[i] < UNITS && !chosen[unit[i]]);
            chosen[unit[i]] = true;
        }
        if (strchr(text, ',') == NULL && text[0] != ' ')
            check_others(text, chosen, count);
    } else {
        hold(count == 99 && error.text[0] != '\0');
    }
    free(text);
    return 0;
}
