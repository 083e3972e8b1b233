/* SPDX-License-Identifier: MIT */
/* Doubt: how often ±U of a trim holds the truth, over 1 000 rigs of each kind.
 *
 *     doubt_bench [RIGS [SEED [EMITTERS [READINGS]]]]
 *
 * EMITTERS is two, three or five, READINGS is singles, mixtures or ladders; "all" is every one of
 * them, as is leaving them out. The seed that figures are given for must not be one that anything
 * was tuned with; those are below 10000. */
#include "support/coverage.h"

#define RIGS 1000
#define SEED 77001

static bool is_wanted(int argc, char **argv, int at, const char *name)
{
    return argc <= at || strcmp(argv[at], "all") == 0 || strcmp(argv[at], name) == 0;
}

int main(int argc, char **argv)
{
    size_t rigs = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : RIGS;
    uint64_t seed = argc > 2 ? (uint64_t)strtoull(argv[2], NULL, 10) : SEED;
    size_t run = 0;

    for (size_t emitters = 0; emitters < COUNT(coverage_rigs); emitters++) {
        for (size_t kind = 0; kind < COUNT(coverage_kinds); kind++) {
            coverage_table found = {0};
            if (!is_wanted(argc, argv, 3, coverage_rigs[emitters]) ||
                !is_wanted(argc, argv, 4, coverage_kinds[kind]))
                continue;
            coverage_of(emitters, kind, rigs, seed + 1000 * emitters + kind, &found);
            coverage_print(&found);
            coverage_free(&found);
            run++;
        }
    }
    if (run == 0)
        (void)fprintf(stderr, "doubt_bench: %s %s: no such kind\n", argc > 3 ? argv[3] : "",
                      argc > 4 ? argv[4] : "");
    return run > 0 ? 0 : 2;
}
