/* SPDX-License-Identifier: MIT */
/* Coverage: ±U of a trim holds the truth, and verdicts are right, over rigs that are not the model.
 *
 * Asked of each class are 95 % held, 97 % of verdicts right, and a width that is not bought: the
 * 95th percentile of the true error at least 0.5 U; the doubt benchmark runs the 1 000 rigs of each
 * kind that this needs (DEVELOPERS.md has the figures). Over few rigs a share scatters, and the two
 * units of a rig share a meter, as the three outputs do: so that only rigs count. What fails here
 * is beyond 3 standard deviations for one class and for the classes of one kind, and for all rigs
 * of one state it is what a binomial share goes beyond once in a thousand times. */
#include "support/coverage.h"

#define RIGS 16
#define SEED 20

/* 0.95 - 3 sqrt(0.95 0.05 / 16), and of all readings and outputs of a kind: / (16 3) */
#define HELD_MIN 0.786
#define HELD_TOGETHER 0.855
/* The 95th percentile of few is less sharp as well; of all rigs of a state it is what is asked. */
#define REACH_MIN 0.35
#define REACH_OF_STATE 0.5

/* Of 9 x 16 rigs: 1 - k / 144, where more than k of 144 fall outside once in a thousand times if
 * each does as often as was measured in 1 000 rigs of each kind (beside it). */
static const double held_of_state[COVERAGE_STATES] = {
    0.923, /* before: 2.5 %, k = 11 */
    0.944, /* predicted: 1.4 %, k = 8 */
    0.909, /* as read: 3.4 %, k = 13 */
    0.902, /* of the second round: 4.0 %, k = 14 */
};

/* Of all kinds together. */
static struct whole {
    size_t kinds;
    coverage_class at[COVERAGE_STATES];
} whole;

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
        for (size_t s = 0; s < COVERAGE_STATES; s++) {
            coverage_class *class = &found.at[o][s];
            double reach = 0;
            double width = 0;
            double share = coverage_share(class, &reach, &width);
            if (!(share >= HELD_MIN && reach >= REACH_MIN && class->unstated == 0))
                fail_msg("%s at %g %%, %s: held %.1f %%, 95th percentile %.2f U, %zu unstated",
                         row->name, 100 * coverage_outputs[o], coverage_states[s], 100 * share,
                         reach, class->unstated);
            together += share / (COVERAGE_OUTPUTS * COVERAGE_STATES);
            coverage_join(&whole.at[s], class);
            told += class->inside + class->outside;
            right += class->inside_right + class->outside_right;
        }
    }
    coverage_free(&found);
    whole.kinds++;
    if (!(together >= HELD_TOGETHER))
        fail_msg("%s: held %.1f %% of all", row->name, 100 * together);
    if (!((double)right >= 0.97 * (double)told))
        fail_msg("%s: %zu of %zu verdicts right", row->name, right, told);
}

/* Of all nine kinds, so after them. */
static void test_together(void **state)
{
    (void)state;
    assert_int_equal(whole.kinds, COUNT(kind_rows));
    for (size_t s = 0; s < COVERAGE_STATES; s++) {
        double reach = 0;
        double width = 0;
        double share = coverage_share(&whole.at[s], &reach, &width);
        printf("%s: held %.1f %% of %zu, 95th percentile %.2f U\n", coverage_states[s], 100 * share,
               whole.at[s].count, reach);
        if (!(share >= held_of_state[s] && reach >= REACH_OF_STATE))
            fail_msg("%s: held %.1f %% of %zu, 95th percentile %.2f U", coverage_states[s],
                     100 * share, whole.at[s].count, reach);
        free(whole.at[s].ratio);
        free(whole.at[s].width);
    }
}

int main(void)
{
    struct CMUnitTest kinds[COUNT(kind_rows)];
    const struct CMUnitTest together[] = {cmocka_unit_test(test_together)};

    ROW_TESTS(kinds, kind_rows, test_kind);
    return cmocka_run_group_tests_name("what is stated holds", kinds, NULL, NULL) +
           cmocka_run_group_tests_name("in each state", together, NULL, NULL);
}
