/* SPDX-License-Identifier: MIT */
/* Values: codes as people write them: by channel, by slot, or in per cent. */
#include <metamer/codes.h>

#include "base/error.h"
#include "base/number.h"
#include "fixture/slot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The channels of a mode in the order of its slots: the dimmer and the emitters. */
struct channel {
    const char *name;
    size_t channel;
    int bits;
    uint32_t *code;
};

static size_t list_channels(const mtm_fixture *fixture, const mtm_mode *mode, mtm_codes *codes,
                            struct channel list[MTM_EMITTERS_MAX + 1])
{
    size_t count = 0;

    for (size_t i = 0; i < mode->slot_count && count <= MTM_EMITTERS_MAX; i++) {
        struct mtmi_carried carried = mtmi_slot_carries(&mode->slots[i]);
        size_t channel = carried.channel;
        if (channel == MTMI_NO_CHANNEL || carried.byte > 0)
            continue;
        bool dims = channel == MTMI_DIMMER_CHANNEL;
        list[count++] = (struct channel){mtmi_channel_name(fixture, mode, channel), channel,
                                         mtmi_channel_bits(mode, channel),
                                         dims ? &codes->dimmer : &codes->emitter[channel]};
    }
    return count;
}

static int most_of(const struct channel *channel)
{
    return (int)mtmi_bits_most(channel->bits);
}

/* "dimmer 0-255, red 0-65535": what the channels take. */
static void name_channels(const struct channel *list, size_t count, char *text, size_t room)
{
    size_t used = 0;

    text[0] = '\0';
    for (size_t i = 0; i < count && used < room; i++) {
        int more = snprintf(text + used, room - used, "%s%.40s 0-%d", i > 0 ? ", " : "",
                            list[i].name, most_of(&list[i]));
        used += more > 0 ? (size_t)more : 0;
    }
}

/* True if channels of more than 8 bits have values, all of which 8 bits can hold. */
static bool seem_8_bit(const struct channel *list, const double *value, size_t count)
{
    bool lit = false;

    for (size_t i = 0; i < count; i++) {
        if (list[i].bits > 8 && value[i] > MTM_CODE_MAX_8)
            return false;
        lit = lit || (list[i].bits > 8 && value[i] > 0);
    }
    return lit;
}

static mtm_result question_8_bit(const struct channel *list, const double *value, size_t count,
                                 mtm_error *error)
{
    char percents[200] = "";
    size_t used = 0;

    for (size_t i = 0; i < count && used < sizeof percents; i++) {
        int more = snprintf(percents + used, sizeof percents - used, "%s%.4g%%", i > 0 ? "," : "",
                            100 * value[i] / MTM_CODE_MAX_8);
        used += more > 0 ? (size_t)more : 0;
    }
    size_t fine = 0;
    while (list[fine].bits <= 8)
        fine++;
    return mtmi_fail(error, MTM_RANGE,
                     "these look like 8-bit values, but \"%.40s\" takes 0-%d: state %s for them "
                     "as parts of 255, or the slots for %d-bit codes as low as these",
                     list[fine].name, most_of(&list[fine]), percents, list[fine].bits);
}

/* The range to be left alone in which a code stands; NULL for none. */
static const mtm_code_range *range_of(const mtm_mode *mode, const struct channel *channel,
                                      uint32_t code)
{
    for (size_t i = 0; i < mode->range_count; i++) {
        const mtm_code_range *range = &mode->ranges[i];
        if (mtmi_range_channel(range) == channel->channel && code >= range->first &&
            code <= range->last)
            return range;
    }
    return NULL;
}

/* Codes that the mode leaves alone are none; per cent that fall on one mean the code below, or
 * above where none is below. */
static mtm_result take_code(const mtm_mode *mode, const struct channel *channel,
                            mtm_value_type kind, double code, mtm_error *error)
{
    *channel->code = (uint32_t)floor(code + 0.5 + MTMI_NOISE); /* halves go up on every machine */
    const mtm_code_range *range = range_of(mode, channel, *channel->code);

    if (range == NULL)
        return MTM_OK;
    if (kind == MTM_VALUES_PERCENT) {
        *channel->code = range->first > 0 ? range->first - 1 : range->last + 1;
        return MTM_OK;
    }
    return mtmi_fail(
        error, MTM_RANGE,
        "code %lu of \"%.40s\" is one of %lu to %lu, which mode \"%.40s\" leaves alone",
        (unsigned long)*channel->code, channel->name, (unsigned long)range->first,
        (unsigned long)range->last, mode->name);
}

static mtm_result read_channels(const mtm_mode *mode, const struct channel *list, size_t channels,
                                mtm_value_type kind, const double *value, size_t count,
                                mtm_error *error)
{
    char takes[256];

    name_channels(list, channels, takes, sizeof takes);
    if (count != channels)
        return mtmi_fail(error, MTM_PARSE, "found %zu value%s; the mode takes %zu: %s", count,
                         count == 1 ? "" : "s", channels, takes);
    for (size_t i = 0; i < count; i++) {
        double most = kind == MTM_VALUES_PERCENT ? 100 : most_of(&list[i]);
        if (!(value[i] >= 0 && value[i] <= most))
            return mtmi_fail(error, MTM_RANGE,
                             "value %zu, of \"%.40s\", is %g; allowed is 0 to %.8g", i + 1,
                             list[i].name, value[i], most);
        if (kind == MTM_VALUES_CODES && value[i] != floor(value[i]))
            return mtmi_fail(error, MTM_PARSE,
                             "value %zu, of \"%.40s\", is %.10g; codes are integers from 0 to %.8g",
                             i + 1, list[i].name, value[i], most);
    }
    if (kind == MTM_VALUES_CODES && seem_8_bit(list, value, count))
        return question_8_bit(list, value, count, error);
    mtm_result result = MTM_OK;
    for (size_t i = 0; result == MTM_OK && i < count; i++) {
        double code = kind == MTM_VALUES_PERCENT ? value[i] * most_of(&list[i]) / 100 : value[i];
        result = take_code(mode, &list[i], kind, code, error);
    }
    return result;
}

static mtm_result read_slots(const mtm_mode *mode, const double *value, size_t count,
                             mtm_codes *codes, mtm_error *error)
{
    uint8_t slot[512];

    if (count != mode->slot_count || count > sizeof slot)
        return mtmi_fail(error, MTM_PARSE, "found %zu slot value%s; the mode has %zu slots", count,
                         count == 1 ? "" : "s", mode->slot_count);
    for (size_t i = 0; i < count; i++) {
        if (!(value[i] >= 0 && value[i] <= MTM_CODE_MAX_8) || value[i] != floor(value[i]))
            return mtmi_fail(error, MTM_RANGE,
                             "slot value %zu is %g; allowed are integers from 0 to 255", i + 1,
                             value[i]);
        slot[i] = (uint8_t)value[i];
    }
    mtm_codes_from_slots(mode, slot, codes);
    return MTM_OK;
}

mtm_result mtm_codes_from_values(const mtm_fixture *fixture, const mtm_mode *mode,
                                 mtm_value_type kind, const double *value, size_t count,
                                 mtm_codes *codes, mtm_error *error)
{
    struct channel list[MTM_EMITTERS_MAX + 1];
    mtm_codes read;

    if (fixture == NULL || mode == NULL || codes == NULL || (value == NULL && count > 0) ||
        (unsigned)kind > MTM_VALUES_PERCENT)
        return mtmi_fail(error, MTM_INVALID, "values need a fixture, a mode, a kind and codes");
    memset(&read, 0, sizeof read);
    size_t channels = list_channels(fixture, mode, &read, list);
    mtm_result result = kind == MTM_VALUES_SLOTS
                            ? read_slots(mode, value, count, &read, error)
                            : read_channels(mode, list, channels, kind, value, count, error);
    if (result == MTM_OK)
        *codes = read;
    return result;
}
