/* SPDX-License-Identifier: MIT */
/* What every fuzz target shares: the input as an exact heap copy, and what must hold. */
#ifndef METAMER_TESTS_FUZZ_INPUT_H
#define METAMER_TESTS_FUZZ_INPUT_H

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/** Stops the program where a fact does not hold. */
static inline void hold(bool fact)
{
    if (!fact)
        abort();
}

/** The input in a block of its own size with nothing behind it, so that the address sanitizer sees
 *  any read past the end; the caller frees it. */
static inline void *exact_copy(const uint8_t *data, size_t size)
{
    void *copy = malloc(size);

    hold(copy != NULL || size == 0);
    if (size > 0)
        memcpy(copy, data, size);
    return copy;
}

#endif
