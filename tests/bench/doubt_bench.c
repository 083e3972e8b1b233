/* SPDX-License-Identifier: MIT */
/* Doubt: how often ±U of a trim holds the truth, over 1 000 rigs of each kind. */
#include "support/coverage.h"

int main(int argc, char **argv)
{
    size_t rigs = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 1000;

    for (size_t emitters = 0; emitters < COUNT(coverage_rigs); emitters++) {
        for (size_t kind = 0; kind < COUNT(coverage_kinds); kind++) {
            coverage_table found = {0};
            coverage_of(emitters, kind, rigs, 1000 * emitters + kind + 1, &found);
            coverage_print(&found);
            coverage_free(&found);
        }
    }
    return 0;
}
