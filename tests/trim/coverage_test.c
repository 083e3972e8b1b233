/* SPDX-License-Identifier: MIT */
/* Coverage: ±U of a trim holds the truth, and verdicts are right, over rigs that are not the model.
 *
 * Asked of each class are 95 % held, 97 % of verdicts right, and a width that is not bought: the
 * 95th percentile of the true error at least 0.5 U; the doubt benchmark runs the 1 000 rigs of each
 * kind that this needs. Over few rigs a share scatters: what fails here is beyond 3 standard
 * deviations of a binomial share of 95 %, for one class and for all nine classes of a kind (the two
 * units of a rig share a meter, so that only rigs count). */
#include "support/coverage.h"

#define RIGS 16
#define SEED 20

/* 0.95 - 3 sqrt(0.95 0.05 / 16), and of all readings and outputs of a kind: / (16 3) */
#define HELD_LEAST 0.786
#define HELD_TOGETHER 0.855
/* The 95th percentile of few is less sharp as well. */
#define REACH_LEAST 0.35

static const struct kind_row {
    const char *name;
    size_t emitters, kind;
} kind_rows[] = {
    {"two emitters, singles", 0, 0},    {"two emitters, mixtures", 0, 1},
    {"two emitters, ladders", 0, 2},    {"three emitters, singles", 1, 0},
    {"three emitters, mixtures", 1, 1}, {"three emitters, ladders", 1, 2},
    {"five emitters, singles", 2, 0},   {"five emitters, mixtures", 2, 1},
    {"five emitters, ladders", 2, 2},
};

static void test_kind(void **state)
{
    const struct kind_row *row = *state;
    coverage_table found = {0};
    size_t told = 0;
    size_t right = 0;
    double together = 0;

    printf("seed %d\n", SEED);
    coverage_of(row->emitters, row->kind, RIGS, SEED, &found);
    for (size_t o = 0; o < COVERAGE_OUTPUTS; o++) {
        for (size_t s = 0; s <= COVERAGE_READ; s++) {
            coverage_class *class = &found.at[o][s];
            double reach = 0;
            double width = 0;
            double share = coverage_share(class, &reach, &width);
            if (!(share >= HELD_LEAST && reach >= REACH_LEAST && class->unstated == 0))
                fail_msg("%s at %g %%, %s: held %.1f %%, 95th percentile %.2f U, %zu unstated",
                         row->name, 100 * coverage_outputs[o], coverage_states[s], 100 * share,
                         reach, class->unstated);
            together += share / (COVERAGE_OUTPUTS * (COVERAGE_READ + 1));
            told += class->inside + class->outside;
            right += class->inside_right + class->outside_right;
        }
    }
    coverage_free(&found);
    if (!(together >= HELD_TOGETHER))
        fail_msg("%s: held %.1f %% of all", row->name, 100 * together);
    if (!((double)right >= 0.97 * (double)told))
        fail_msg("%s: %zu of %zu verdicts right", row->name, right, told);
}

int main(void)
{
    struct CMUnitTest kinds[COUNT(kind_rows)];

    ROW_TESTS(kinds, kind_rows, test_kind);
    return cmocka_run_group_tests_name("what is stated holds", kinds, NULL, NULL);
}
