/* SPDX-License-Identifier: MIT */
/* E1.31: the identity of a sender and the name it shows. */
#include <metamer/e131.h>

#include "base/error.h"
#include "base/number.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static bool read_random(uint8_t *octets, size_t count)
{
    int descriptor = open("/dev/urandom", O_RDONLY | O_CLOEXEC);
    size_t got = 0;

    if (descriptor < 0)
        return false;
    while (got < count) {
        ssize_t now = read(descriptor, octets + got, count - got);
        if (now <= 0 && !(now < 0 && errno == EINTR))
            break;
        got += now > 0 ? (size_t)now : 0;
    }
    (void)close(descriptor);
    return got == count;
}

mtm_result mtm_cid_random(mtm_cid *cid, mtm_error *error)
{
    if (cid == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the CID is needed");
    mtm_cid made;

    if (!read_random(made.octet, sizeof made.octet))
        return mtmi_fail(error, MTM_IO, "the system gives no random octets for a sender's CID");
    /* RFC 4122, clause 4.4: version 4, variant 10 */
    made.octet[6] = (uint8_t)((made.octet[6] & 0x0f) | 0x40);
    made.octet[8] = (uint8_t)((made.octet[8] & 0x3f) | 0x80);
    *cid = made;
    return MTM_OK;
}

static bool dash_before(size_t octet)
{
    return octet == 4 || octet == 6 || octet == 8 || octet == 10;
}

mtm_result mtm_cid_parse(const char *text, mtm_cid *cid, mtm_error *error)
{
    if (text == NULL || cid == NULL)
        return mtmi_fail(error, MTM_INVALID, "a text and a place for the CID are needed");
    mtm_cid made = {{0}};
    const char *at = text;

    for (size_t i = 0; i < sizeof made.octet; i++) {
        bool good = !dash_before(i) || *at++ == '-';
        int high = good ? mtmi_hex_digit(at[0]) : -1;
        int low = high >= 0 ? mtmi_hex_digit(at[1]) : -1;
        if (low < 0)
            return mtmi_fail(error, MTM_PARSE,
                             "\"%.40s\" is not a CID; wanted is a UUID such as "
                             "6f1d3c52-b2a4-497e-9d0b-5a7c11223344",
                             text);
        made.octet[i] = (uint8_t)(high * 16 + low);
        at += 2;
    }
    if (*at != '\0')
        return mtmi_fail(error, MTM_PARSE, "\"%.60s\" has more than the 36 characters of a CID",
                         text);
    *cid = made;
    return MTM_OK;
}

void mtm_cid_print(mtm_cid cid, char text[MTM_CID_ROOM])
{
    if (text == NULL)
        return;
    static const char digits[] = "0123456789abcdef";
    char *at = text;

    for (size_t i = 0; i < sizeof cid.octet; i++) {
        if (dash_before(i))
            *at++ = '-';
        *at++ = digits[cid.octet[i] >> 4];
        *at++ = digits[cid.octet[i] & 15];
    }
    *at = '\0';
}

bool mtm_e131_set_name(char name[MTM_E131_NAME_ROOM], const char *text)
{
    if (name == NULL || text == NULL)
        return false;
    char made[MTM_E131_NAME_ROOM] = {0};
    size_t used = 0;
    bool full = false;

    for (const char *at = text; *at != '\0';) {
        size_t count = mtmi_utf8_length(at);
        if (count == 0)
            return false;
        full = full || used + count >= sizeof made;
        if (!full) {
            memcpy(made + used, at, count);
            used += count;
        }
        at += count;
    }
    if (used == 0)
        return false;
    memcpy(name, made, sizeof made);
    return true;
}
