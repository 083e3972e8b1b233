/* SPDX-License-Identifier: MIT */
/* UTF-16: text that begins with its mark, as spreadsheets save it, made UTF-8. */
#include "base/utf16.h"

#include "base/error.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* A unit of two octets becomes three at most, a pair of units four. */
#define MOST_PER_UNIT 3

/* Two octets at a place, as one number. */
static unsigned unit_at(const unsigned char *octet, bool big)
{
    return big ? (unsigned)octet[0] << 8 | octet[1] : (unsigned)octet[1] << 8 | octet[0];
}

static bool is_first(unsigned unit)
{
    return (unit & 0xfc00u) == 0xd800u;
}

static bool is_second(unsigned unit)
{
    return (unit & 0xfc00u) == 0xdc00u;
}

/* The octets of one character (RFC 3629, clause 3). */
static size_t put(uint32_t c, char *out)
{
    unsigned char *o = (unsigned char *)out;

    if (c < 0x80) {
        o[0] = (unsigned char)c;
        return 1;
    }
    size_t count = c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
    for (size_t i = count - 1; i > 0; i--, c >>= 6)
        o[i] = (unsigned char)(0x80u | (c & 0x3fu));
    o[0] = (unsigned char)((0xf00u >> count & 0xf0u) | c);
    return count;
}

/* Returns the octets written; SIZE_MAX, with *place, for half a character. */
static size_t convert(const unsigned char *in, size_t length, bool big, char *out, size_t *place)
{
    size_t used = 0;

    for (size_t i = 0; i < length; i += 2) {
        *place = i;
        uint32_t c = i + 1 < length ? unit_at(in + i, big) : 0xdc00u;
        if (is_first(c) && i + 3 < length && is_second(unit_at(in + i + 2, big))) {
            c = 0x10000u + ((c & 0x3ffu) << 10 | (unit_at(in + i + 2, big) & 0x3ffu));
            i += 2;
        } else if (is_first(c) || is_second(c)) {
            return SIZE_MAX;
        }
        used += put(c, out + used);
    }
    return used;
}

mtm_result mtmi_utf16_convert(const char **text, size_t *length, const char *file, char **converted,
                              mtm_error *error)
{
    bool big = *length >= 2 && memcmp(*text, "\xfe\xff", 2) == 0;
    bool little = *length >= 2 && memcmp(*text, "\xff\xfe", 2) == 0;
    size_t place = 0;

    *converted = NULL;
    if (!big && !little)
        return MTM_OK;
    size_t units = (*length - 2 + 1) / 2;
    char *out = malloc(units * MOST_PER_UNIT + 1);
    if (out == NULL)
        return mtmi_fail_memory(error);
    size_t used = convert((const unsigned char *)*text + 2, *length - 2, big, out, &place);
    if (used == SIZE_MAX) {
        free(out);
        return mtmi_fail(error, MTM_PARSE, "%s: UTF-16 text with half a character at byte %zu",
                         file, place + 2);
    }
    out[used] = '\0';
    *text = *converted = out;
    *length = used;
    return MTM_OK;
}
