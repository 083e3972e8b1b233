/* SPDX-License-Identifier: MIT */
/* Fixtures at random, made through the reader as a user's would be. */
#ifndef METAMER_TESTS_RANDOM_FIXTURE_H
#define METAMER_TESTS_RANDOM_FIXTURE_H

#include "support/check.h"
#include "support/random.h"

#include <metamer/fixture.h>

/** One mode "m" of emitters with the given bits, a dimmer of dimmer_bits (0: none) last. */
static inline mtm_fixture *random_fixture(struct random *random, size_t count, int bits,
                                          int dimmer_bits)
{
    static const char *const curves[] = {
        "\"linear\"",         "\"square\"",
        "\"lightness\"",      "\"s\"",
        "{ \"power\": 2.4 }", "{ \"table\": [[0, 0], [0.1, 0], [0.5, 0.3], [1, 1]] }"};
    char text[4096], slots[1024] = "";
    size_t used = 0, slots_used = 0;
    mtm_fixture *fixture = NULL;
    mtm_error error;

    used += (size_t)snprintf(text, sizeof text,
                             "{ \"metamer\": \"fixture/1\", \"name\": \"random\", \"emitters\": [");
    for (size_t k = 0; k < count; k++) {
        double x = random_between(random, 0.15, 0.65), y = random_between(random, 0.05, 0.34);
        /* one after the other: compilers differ in which argument they work out first */
        const char *curve = curves[random_index(random, COUNT(curves))];
        double watts = random_between(random, 2, 12), flux_lm = random_between(random, 20, 900);
        used += (size_t)snprintf(
            text + used, sizeof text - used,
            "%s{ \"name\": \"e%zu\", \"x\": %.4f, \"y\": %.4f, \"flux_lm\": %.1f, \"watts\": %.2f, "
            "\"curve\": %s }",
            k > 0 ? ", " : "", k, x, y, flux_lm, watts, curve);
        slots_used +=
            (size_t)snprintf(slots + slots_used, sizeof slots - slots_used,
                             bits == 16 ? "\"e%zu.fine\", \"e%zu\", " : "\"e%zu\", ", k, k);
    }
    (void)snprintf(text + used, sizeof text - used,
                   "], \"modes\": [ { \"name\": \"m\", \"slots\": [%s%s{ \"fixed\": 7 }] } ] }",
                   slots,
                   dimmer_bits == 16  ? "\"dimmer.fine\", \"dimmer\", "
                   : dimmer_bits == 8 ? "\"dimmer\", "
                                      : "");
    if (mtm_fixture_parse(text, strlen(text), "random", NULL, &fixture, &error) != MTM_OK)
        fail_msg("%s in %s", error.text, text);
    return fixture;
}

#endif
