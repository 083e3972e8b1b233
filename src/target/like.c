/* SPDX-License-Identifier: MIT */
/* The colour of a unit at stated values. */
#include "target/like.h"

#include "base/error.h"
#include "base/number.h"

#include <metamer/codes.h>

#include <stdio.h>
#include <string.h>

#define SLOTS_MARK "slots:"

/* Numbers apart by commas or spaces, all or none with "%"; false if it is anything else. */
static bool read_values(const char *text, struct mtmi_stated *stated, bool *percent)
{
    size_t count = 0;

    for (;;) {
        size_t used = count < MTM_SLOTS_MAX ? mtmi_number_read(text, &stated->value[count]) : 0;
        if (used == 0)
            return false;
        text += used;
        bool marked = *text == '%';
        if (count > 0 && marked != *percent)
            return false;
        *percent = marked;
        text += marked;
        stated->value_count = ++count;
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

mtm_result mtmi_like_split(const char *text, struct mtmi_stated *stated, mtm_error *error)
{
    const char *equals = strchr(text, '=');
    size_t length = equals != NULL ? (size_t)(equals - text) : 0;
    bool percent = false;

    if (length == 0 || length >= sizeof stated->name)
        return mtmi_fail(error, MTM_PARSE, "found \"%.60s\", wanted is UNIT=VALUES", text);
    (void)snprintf(stated->name, sizeof stated->name, "%.*s", (int)length, text);
    stated->member[0].text = stated->name;
    const char *values = equals + 1;
    bool slots = strncmp(values, SLOTS_MARK, strlen(SLOTS_MARK)) == 0;
    values += slots ? strlen(SLOTS_MARK) : 0;
    if (!read_values(values, stated, &percent) || (slots && percent))
        return mtmi_fail(error, MTM_PARSE,
                         "found \"%.60s\", wanted are codes (200,120), per cent (50%%,30%%) or "
                         "slots (slots:200,0,120,7)",
                         equals + 1);
    mtm_value_type type = slots     ? MTM_VALUES_SLOTS
                          : percent ? MTM_VALUES_PERCENT
                                    : MTM_VALUES_CODES;
    stated->values = &stated->form->member[1 + type];
    return MTM_OK;
}

mtm_result mtmi_like_make(struct mtmi_stated *stated, mtm_target *target, mtm_error *error)
{
    const struct mtmi_member *member = stated->form->member;
    mtm_codes codes = {0};
    size_t index = 0;

    stated->at = &member[0];
    if (stated->place->rig == NULL)
        return mtmi_fail(error, MTM_PARSE, "there is no rig here that could hold such a unit");
    if (stated->values == NULL)
        return mtmi_fail(error, MTM_PARSE,
                         "\"like\" goes with \"codes\", \"slots\" or \"percent\"");
    mtm_result result =
        mtm_rig_find_unit(stated->place->rig, stated->member[0].text, &index, error);
    if (result != MTM_OK)
        return result;
    const mtm_unit *unit = mtm_rig_unit(stated->place->rig, index);
    stated->at = stated->values;
    result = mtm_codes_from_values(unit->fixture, unit->mode,
                                   (mtm_value_type)(stated->values - &member[1]), stated->value,
                                   stated->value_count, &codes, error);
    if (result != MTM_OK)
        return result;
    stated->at = &member[0];
    return mtm_target_from_unit(unit, &codes, stated->place->observer, target, error);
}
