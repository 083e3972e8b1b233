/* SPDX-License-Identifier: MIT */
/* The colour of a unit at stated values: --like UNIT=VALUES. */
#include "cli/args/like.h"

#include "base/error.h"
#include "base/number.h"

#include <string.h>

/* Most values: one for each slot of the largest mode. */
#define VALUES_MAX MTM_SLOTS_MAX
#define SLOTS_MARK "slots:"

const struct option_spec like_options[] = {
    OPTION_TEXT(
        "like", "UNIT=VALUES",
        "the colour that a unit of the rig shows at these values: one code a channel in the "
        "order of its slots (spot=200,120; coarse and fine make one, 0 to 65535), per cent of "
        "each channel's codes (spot=50%,30%), or the value of every slot as tables print them "
        "(spot=slots:200,0,120,7)"),
    {0},
};

/* Numbers apart by commas or spaces, all or none with "%"; false if it is anything else. */
static bool read_values(const char *text, double *value, size_t *count, bool *percent)
{
    *count = 0;
    for (;;) {
        size_t used = *count < VALUES_MAX ? mtmi_number_read(text, &value[*count]) : 0;
        if (used == 0)
            return false;
        text += used;
        bool marked = *text == '%';
        if (*count > 0 && marked != *percent)
            return false;
        *percent = marked;
        text += marked;
        (*count)++;
        if (*text == '\0')
            return true;
        size_t gap = strspn(text, " ");
        text += gap;
        if (*text == ',')
            text++;
        else if (gap == 0)
            return false;
        text += strspn(text, " ");
    }
}

mtm_result like_read(const char *text, const mtm_rig *rig, size_t *unit, mtm_codes *codes,
                     mtm_error *error)
{
    const char *equals = strchr(text, '=');
    char name[200];
    size_t length = equals != NULL ? (size_t)(equals - text) : 0;
    double value[VALUES_MAX];
    size_t count = 0;
    bool percent = false;

    if (length == 0 || length >= sizeof name)
        return mtmi_fail(error, MTM_PARSE, "found \"%.60s\", wanted is UNIT=VALUES", text);
    memcpy(name, text, length);
    name[length] = '\0';
    mtm_result result = mtm_rig_find_unit(rig, name, unit, error);
    if (result != MTM_OK)
        return result;
    const char *values = equals + 1;
    bool slots = strncmp(values, SLOTS_MARK, strlen(SLOTS_MARK)) == 0;
    values += slots ? strlen(SLOTS_MARK) : 0;
    if (!read_values(values, value, &count, &percent) || (slots && percent))
        return mtmi_fail(error, MTM_PARSE,
                         "found \"%.60s\", wanted are codes (200,120), per cent (50%%,30%%) or "
                         "slots (slots:200,0,120,7)",
                         equals + 1);
    const mtm_unit *found = mtm_rig_unit(rig, *unit);
    mtm_value_kind kind = slots     ? MTM_VALUES_SLOTS
                          : percent ? MTM_VALUES_PERCENT
                                    : MTM_VALUES_CODES;
    result = mtm_codes_from_values(found->fixture, found->mode, kind, value, count, codes, error);
    if (result != MTM_OK)
        mtmi_error_prefix(error, name);
    return result;
}
