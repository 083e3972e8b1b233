/* SPDX-License-Identifier: MIT */
/* Fuzz: E1.31 packets. Whatever is read can be written, in no more octets, and what is written
 * reads back and is written again octet for octet; whatever is refused carries a sentence and
 * leaves the packet untouched. */
#include "input.h"

#include <metamer/e131.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mtm_e131_packet packet = {.universe = 4711};
    mtm_e131_packet again;
    mtm_error error = {""};
    uint8_t first[MTM_E131_PACKET_MAX];
    uint8_t second[MTM_E131_PACKET_MAX];
    size_t length = 0;
    size_t other = 0;
    uint8_t *octets = exact_copy(data, size);

    mtm_result result = mtm_e131_decode(octets, size, &packet, &error);
    free(octets);
    if (result != MTM_OK) {
        hold(error.text[0] != '\0' && packet.universe == 4711);
        return 0;
    }
    hold(mtm_e131_encode(&packet, first, &length, &error) == MTM_OK && length <= size);
    hold(mtm_e131_decode(first, length, &again, &error) == MTM_OK);
    hold(mtm_e131_encode(&again, second, &other, &error) == MTM_OK && other == length);
    hold(memcmp(first, second, length) == 0);
    return 0;
}
