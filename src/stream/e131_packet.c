/* SPDX-License-Identifier: MIT */
/* E1.31: packets to octets and back. Octet numbers are those of tables 4-1 to 4-3. */
#include <metamer/e131.h>

#include "base/error.h"

#include <string.h>

enum {
    ROOT_VECTOR_DATA = 4,
    ROOT_VECTOR_EXTENDED = 8,
    FRAMING_VECTOR_DATA = 2,
    FRAMING_VECTOR_SYNC = 1,
    FRAMING_VECTOR_DISCOVERY = 2,
    DISCOVERY_VECTOR_LIST = 1,
    DMP_VECTOR_SET_PROPERTY = 2,
    DMP_TYPE = 0xa1,

    ROOT_AT = 16,
    FRAMING_AT = 38,
    DMP_AT = 115,
    DISCOVERY_AT = 112,

    DATA_HEAD = 126,
    SYNC_SIZE = 49,
    DISCOVERY_HEAD = 120,

    OPTION_PREVIEW = 0x80,
    OPTION_TERMINATED = 0x40,
    OPTION_FORCE_SYNC = 0x20
};

/* Preamble size, post-amble size, packet identifier. */
static const uint8_t preamble[16] = {0x00, 0x10, 0x00, 0x00, 'A', 'S', 'C', '-',
                                     'E',  '1',  '.',  '1',  '7', 0,   0,   0};

static void put16(uint8_t *at, unsigned value)
{
    at[0] = (uint8_t)(value >> 8 & 255);
    at[1] = (uint8_t)(value & 255);
}

static void put32(uint8_t *at, uint32_t value)
{
    put16(at, value >> 16);
    put16(at + 2, value & 0xffff);
}

static unsigned get16(const uint8_t *at)
{
    return (unsigned)at[0] << 8 | at[1];
}

static uint32_t get32(const uint8_t *at)
{
    return (uint32_t)get16(at) << 16 | get16(at + 2);
}

/* Flags 0x7 and the length from here to the end of the packet. */
static void put_length(uint8_t *octets, size_t at, size_t total)
{
    put16(octets + at, 0x7000u | (unsigned)(total - at));
}

static bool universe_allowed(unsigned universe)
{
    return universe >= MTM_UNIVERSE_MIN && universe <= MTM_UNIVERSE_MAX;
}

static void put_root(uint8_t *octets, const mtm_e131_packet *packet, uint32_t vector, size_t total)
{
    memcpy(octets, preamble, sizeof preamble);
    put_length(octets, ROOT_AT, total);
    put32(octets + 18, vector);
    memcpy(octets + 22, packet->cid.octet, sizeof packet->cid.octet);
    put_length(octets, FRAMING_AT, total);
}

static mtm_result check_name(const mtm_e131_packet *packet, mtm_error *error)
{
    char again[MTM_E131_NAME_ROOM];

    if (memchr(packet->source_name, '\0', sizeof packet->source_name) == NULL)
        return mtmi_fail(error, MTM_INVALID, "the source name is longer than 63 octets");
    if (packet->source_name[0] != '\0' && !mtm_e131_set_name(again, packet->source_name))
        return mtmi_fail(error, MTM_INVALID, "the source name is not UTF-8");
    return MTM_OK;
}

static mtm_result encode_data(const mtm_e131_packet *packet, uint8_t *octets, size_t *length,
                              mtm_error *error)
{
    if (!universe_allowed(packet->universe))
        return mtmi_fail(error, MTM_INVALID, "universe %u; allowed are 1 to %d",
                         (unsigned)packet->universe, MTM_UNIVERSE_MAX);
    if (packet->priority > MTM_E131_PRIORITY_MAX)
        return mtmi_fail(error, MTM_INVALID, "priority %u; allowed are 0 to 200",
                         (unsigned)packet->priority);
    if (packet->sync_universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "synchronization universe %u; allowed are 0 to %d",
                         (unsigned)packet->sync_universe, MTM_UNIVERSE_MAX);
    if (packet->slot_count > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_INVALID, "%u slots; a universe has at most %d",
                         (unsigned)packet->slot_count, MTM_ADDRESS_MAX);
    mtm_result result = check_name(packet, error);
    if (result != MTM_OK)
        return result;

    size_t total = DATA_HEAD + (size_t)packet->slot_count;
    put_root(octets, packet, ROOT_VECTOR_DATA, total);
    put32(octets + 40, FRAMING_VECTOR_DATA);
    memset(octets + 44, 0, MTM_E131_NAME_ROOM);
    memcpy(octets + 44, packet->source_name, strlen(packet->source_name));
    octets[108] = packet->priority;
    put16(octets + 109, packet->sync_universe);
    octets[111] = packet->sequence;
    octets[112] = (uint8_t)((packet->preview ? OPTION_PREVIEW : 0) |
                            (packet->terminated ? OPTION_TERMINATED : 0) |
                            (packet->force_sync ? OPTION_FORCE_SYNC : 0));
    put16(octets + 113, packet->universe);
    put_length(octets, DMP_AT, total);
    octets[117] = DMP_VECTOR_SET_PROPERTY;
    octets[118] = DMP_TYPE;
    put16(octets + 119, 0);
    put16(octets + 121, 1);
    put16(octets + 123, 1u + packet->slot_count);
    octets[125] = packet->start_code;
    memcpy(octets + DATA_HEAD, packet->slot, packet->slot_count);
    *length = total;
    return MTM_OK;
}

static mtm_result encode_sync(const mtm_e131_packet *packet, uint8_t *octets, size_t *length,
                              mtm_error *error)
{
    if (!universe_allowed(packet->sync_universe))
        return mtmi_fail(error, MTM_INVALID, "synchronization universe %u; allowed are 1 to %d",
                         (unsigned)packet->sync_universe, MTM_UNIVERSE_MAX);
    put_root(octets, packet, ROOT_VECTOR_EXTENDED, SYNC_SIZE);
    put32(octets + 40, FRAMING_VECTOR_SYNC);
    octets[44] = packet->sequence;
    put16(octets + 45, packet->sync_universe);
    put16(octets + 47, 0);
    *length = SYNC_SIZE;
    return MTM_OK;
}

static bool ascending(const mtm_e131_packet *packet)
{
    for (size_t i = 0; i < packet->listed_count; i++) {
        if (!universe_allowed(packet->listed[i]) ||
            (i > 0 && packet->listed[i] <= packet->listed[i - 1]))
            return false;
    }
    return true;
}

static mtm_result encode_discovery(const mtm_e131_packet *packet, uint8_t *octets, size_t *length,
                                   mtm_error *error)
{
    if (packet->listed_count > MTM_E131_DISCOVERY_MAX)
        return mtmi_fail(error, MTM_INVALID, "%u universes in one discovery packet; at most %d",
                         (unsigned)packet->listed_count, MTM_E131_DISCOVERY_MAX);
    if (!ascending(packet))
        return mtmi_fail(error, MTM_INVALID,
                         "the universes of a discovery packet must rise, from 1 to %d",
                         MTM_UNIVERSE_MAX);
    if (packet->page > packet->last_page)
        return mtmi_fail(error, MTM_INVALID, "page %u of a discovery list whose last is %u",
                         (unsigned)packet->page, (unsigned)packet->last_page);
    mtm_result result = check_name(packet, error);
    if (result != MTM_OK)
        return result;

    size_t total = DISCOVERY_HEAD + 2 * (size_t)packet->listed_count;
    put_root(octets, packet, ROOT_VECTOR_EXTENDED, total);
    put32(octets + 40, FRAMING_VECTOR_DISCOVERY);
    memset(octets + 44, 0, MTM_E131_NAME_ROOM + 4); /* and the four reserved octets */
    memcpy(octets + 44, packet->source_name, strlen(packet->source_name));
    put_length(octets, DISCOVERY_AT, total);
    put32(octets + 114, DISCOVERY_VECTOR_LIST);
    octets[118] = packet->page;
    octets[119] = packet->last_page;
    for (size_t i = 0; i < packet->listed_count; i++)
        put16(octets + DISCOVERY_HEAD + 2 * i, packet->listed[i]);
    *length = total;
    return MTM_OK;
}

mtm_result mtm_e131_encode(const mtm_e131_packet *packet, uint8_t *octets, size_t *length,
                           mtm_error *error)
{
    if (packet == NULL || octets == NULL || length == NULL)
        return mtmi_fail(error, MTM_INVALID, "a packet and a place for its octets are needed");
    switch (packet->type) {
    case MTM_E131_DATA:
        return encode_data(packet, octets, length, error);
    case MTM_E131_SYNC:
        return encode_sync(packet, octets, length, error);
    case MTM_E131_DISCOVERY:
        return encode_discovery(packet, octets, length, error);
    }
    return mtmi_fail(error, MTM_INVALID, "no such kind of packet: %d", (int)packet->type);
}

/* A PDU's length, counted from its flags: it must reach exactly as far as the one around it. */
static mtm_result check_length(const uint8_t *octets, size_t at, size_t total, const char *layer,
                               mtm_error *error)
{
    unsigned found = get16(octets + at);

    if (found >> 12 != 7)
        return mtmi_fail(error, MTM_PARSE, "%s layer: flags 0x%x; 0x7 is allowed", layer,
                         found >> 12);
    if ((found & 0xfff) != total - at)
        return mtmi_fail(error, MTM_PARSE, "%s layer: length %u where the packet leaves %zu", layer,
                         found & 0xfff, total - at);
    return MTM_OK;
}

/* The source's name: cut where the sender forgot the NUL, '?' where it is not UTF-8. */
static void get_name(const uint8_t *octets, char name[MTM_E131_NAME_ROOM])
{
    char text[MTM_E131_NAME_ROOM];

    memcpy(text, octets, sizeof text);
    text[sizeof text - 1] = '\0';
    memset(name, 0, MTM_E131_NAME_ROOM);
    if (text[0] == '\0' || mtm_e131_set_name(name, text))
        return;
    for (size_t i = 0; text[i] != '\0'; i++)
        name[i] = (unsigned char)text[i] < 0x80 ? text[i] : '?';
}

static mtm_result check_dmp(const uint8_t *octets, size_t total, mtm_error *error)
{
    unsigned count = get16(octets + 123);

    if (octets[117] != DMP_VECTOR_SET_PROPERTY || octets[118] != DMP_TYPE)
        return mtmi_fail(error, MTM_PARSE, "DMP vector 0x%02x, type 0x%02x; allowed are 0x02, 0xa1",
                         octets[117], octets[118]);
    if (get16(octets + 119) != 0 || get16(octets + 121) != 1)
        return mtmi_fail(error, MTM_PARSE, "first property %u, increment %u; allowed are 0 and 1",
                         get16(octets + 119), get16(octets + 121));
    if (count < 1 || count > 1 + MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_PARSE, "property count %u; allowed are 1 to 513", count);
    if (count - 1 > total - DATA_HEAD)
        return mtmi_fail(error, MTM_PARSE, "%u slots stated, %zu there", count - 1,
                         total - DATA_HEAD);
    return MTM_OK;
}

static mtm_result decode_data(const uint8_t *octets, size_t total, mtm_e131_packet *packet,
                              mtm_error *error)
{
    if (total < DATA_HEAD)
        return mtmi_fail(error, MTM_PARSE, "a data packet of %zu octets; the least is %d", total,
                         DATA_HEAD);
    if (get32(octets + 40) != FRAMING_VECTOR_DATA)
        return mtmi_fail(error, MTM_UNSUPPORTED, "framing vector %u of a data packet; 2 is known",
                         (unsigned)get32(octets + 40));
    mtm_result result = check_length(octets, DMP_AT, total, "DMP", error);
    if (result != MTM_OK)
        return result;
    result = check_dmp(octets, total, error);
    if (result != MTM_OK)
        return result;
    if (octets[108] > MTM_E131_PRIORITY_MAX)
        return mtmi_fail(error, MTM_PARSE, "priority %u; allowed are 0 to 200", octets[108]);
    if (get16(octets + 109) > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_PARSE, "synchronization universe %u; allowed are 0 to %d",
                         get16(octets + 109), MTM_UNIVERSE_MAX);
    if (!universe_allowed(get16(octets + 113)))
        return mtmi_fail(error, MTM_PARSE, "universe %u; allowed are 1 to %d", get16(octets + 113),
                         MTM_UNIVERSE_MAX);

    packet->type = MTM_E131_DATA;
    get_name(octets + 44, packet->source_name);
    packet->priority = octets[108];
    packet->sync_universe = (uint16_t)get16(octets + 109);
    packet->sequence = octets[111];
    packet->preview = (octets[112] & OPTION_PREVIEW) != 0;
    packet->terminated = (octets[112] & OPTION_TERMINATED) != 0;
    packet->force_sync = (octets[112] & OPTION_FORCE_SYNC) != 0;
    packet->universe = (uint16_t)get16(octets + 113);
    packet->start_code = octets[125];
    packet->slot_count = (uint16_t)(get16(octets + 123) - 1);
    memcpy(packet->slot, octets + DATA_HEAD, packet->slot_count);
    return MTM_OK;
}

static mtm_result decode_sync(const uint8_t *octets, size_t total, mtm_e131_packet *packet,
                              mtm_error *error)
{
    if (total < SYNC_SIZE)
        return mtmi_fail(error, MTM_PARSE,
                         "a synchronization packet of %zu octets; the least is %d", total,
                         SYNC_SIZE);
    if (!universe_allowed(get16(octets + 45)))
        return mtmi_fail(error, MTM_PARSE, "synchronization universe %u; allowed are 1 to %d",
                         get16(octets + 45), MTM_UNIVERSE_MAX);
    packet->type = MTM_E131_SYNC;
    packet->sequence = octets[44];
    packet->sync_universe = (uint16_t)get16(octets + 45);
    return MTM_OK;
}

static mtm_result decode_discovery(const uint8_t *octets, size_t total, mtm_e131_packet *packet,
                                   mtm_error *error)
{
    if (total < DISCOVERY_HEAD)
        return mtmi_fail(error, MTM_PARSE, "a discovery packet of %zu octets; the least is %d",
                         total, DISCOVERY_HEAD);
    mtm_result result = check_length(octets, DISCOVERY_AT, total, "discovery", error);
    if (result != MTM_OK)
        return result;
    if (get32(octets + 114) != DISCOVERY_VECTOR_LIST)
        return mtmi_fail(error, MTM_UNSUPPORTED, "discovery vector %u; 1 is known",
                         (unsigned)get32(octets + 114));
    size_t count = (total - DISCOVERY_HEAD) / 2;
    if ((total - DISCOVERY_HEAD) % 2 != 0 || count > MTM_E131_DISCOVERY_MAX)
        return mtmi_fail(error, MTM_PARSE,
                         "a discovery list of %zu octets; allowed are 0 to 1024, even",
                         total - DISCOVERY_HEAD);
    if (octets[118] > octets[119])
        return mtmi_fail(error, MTM_PARSE, "page %u of a discovery list whose last is %u",
                         octets[118], octets[119]);

    packet->type = MTM_E131_DISCOVERY;
    get_name(octets + 44, packet->source_name);
    packet->page = octets[118];
    packet->last_page = octets[119];
    packet->listed_count = (uint16_t)count;
    for (size_t i = 0; i < count; i++)
        packet->listed[i] = (uint16_t)get16(octets + DISCOVERY_HEAD + 2 * i);
    if (!ascending(packet))
        return mtmi_fail(error, MTM_PARSE,
                         "the universes of a discovery list do not rise from 1 to %d",
                         MTM_UNIVERSE_MAX);
    return MTM_OK;
}

static mtm_result check_root(const uint8_t *octets, size_t length, size_t *total, mtm_error *error)
{
    if (length < SYNC_SIZE)
        return mtmi_fail(error, MTM_PARSE, "a packet of %zu octets; the least is %d", length,
                         SYNC_SIZE);
    if (memcmp(octets, preamble, sizeof preamble) != 0)
        return mtmi_fail(error, MTM_PARSE, "no ACN preamble and packet identifier");
    size_t stated = ROOT_AT + (get16(octets + ROOT_AT) & 0xfffu);
    if (get16(octets + ROOT_AT) >> 12 != 7 || stated > length || stated < SYNC_SIZE)
        return mtmi_fail(error, MTM_PARSE,
                         "root layer: flags and length 0x%04x do not fit a packet of %zu octets",
                         get16(octets + ROOT_AT), length);
    mtm_result result = check_length(octets, FRAMING_AT, stated, "framing", error);
    if (result != MTM_OK)
        return result;
    *total = stated;
    return MTM_OK;
}

mtm_result mtm_e131_decode(const uint8_t *octets, size_t length, mtm_e131_packet *packet,
                           mtm_error *error)
{
    if (octets == NULL || packet == NULL)
        return mtmi_fail(error, MTM_INVALID, "octets and a place for the packet are needed");
    mtm_e131_packet read = {0};
    size_t total = 0;
    mtm_result result = check_root(octets, length, &total, error);

    if (result != MTM_OK)
        return result;
    memcpy(read.cid.octet, octets + 22, sizeof read.cid.octet);
    uint32_t root = get32(octets + 18);
    uint32_t framing = get32(octets + 40);
    if (root == ROOT_VECTOR_DATA)
        result = decode_data(octets, total, &read, error);
    else if (root == ROOT_VECTOR_EXTENDED && framing == FRAMING_VECTOR_SYNC)
        result = decode_sync(octets, total, &read, error);
    else if (root == ROOT_VECTOR_EXTENDED && framing == FRAMING_VECTOR_DISCOVERY)
        result = decode_discovery(octets, total, &read, error);
    else
        return mtmi_fail(error, MTM_UNSUPPORTED,
                         "root vector %u with framing vector %u is not known", (unsigned)root,
                         (unsigned)framing);
    if (result == MTM_OK)
        *packet = read;
    return result;
}

void mtm_e131_group(uint16_t universe, uint8_t address[4])
{
    if (address == NULL)
        return;
    address[0] = 239;
    address[1] = 255;
    address[2] = (uint8_t)(universe >> 8);
    address[3] = (uint8_t)(universe & 255);
}

void mtm_e131_group6(uint16_t universe, uint8_t address[16])
{
    if (address == NULL)
        return;
    memset(address, 0, 16);
    address[0] = 0xff;
    address[1] = 0x18;
    address[12] = 0x83;
    address[14] = (uint8_t)(universe >> 8);
    address[15] = (uint8_t)(universe & 255);
}

bool mtm_e131_in_order(uint8_t last, uint8_t sequence)
{
    int8_t ahead = (int8_t)(uint8_t)(sequence - last);

    return ahead > 0 || ahead <= -20;
}
