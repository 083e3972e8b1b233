/* SPDX-License-Identifier: MIT */
/* Lays observers and samples out for the quality indices; runs on the building machine.
 * Usage: quality_maker OUT.c */
#include "data/quality.h"
#include "data/tables.h"

#include <stdio.h>

#define GRID_FIRST_NM 360
#define GRID_COUNT 471
#define SAMPLE_STEP_NM 5
#define INDEX_FIRST_NM 380 /* range of both indices' sums */
#define INDEX_LAST_NM 780
#define NODE_OFFSET ((MTMI_NODE_FIRST_NM - GRID_FIRST_NM) / SAMPLE_STEP_NM)

/* Sprague's polynomial through p[0..5] = nodes -2..+3, at t = 0..1 between nodes 0 and 1, as the
 * weights of the nodes. CIE 167:2005. */
static void sprague(double t, double weight[6])
{
    static const double a[6][6] = {
        {0, 0, 24, 0, 0, 0},       {2, -16, 0, 16, -2, 0},        {-1, 16, -30, 16, -1, 0},
        {-9, 39, -70, 66, -33, 7}, {13, -64, 126, -124, 61, -12}, {-5, 25, -50, 50, -25, 5},
    };

    for (int tap = 0; tap < 6; tap++) {
        double sum = 0;

        for (int power = 5; power >= 0; power--)
            sum = (sum * t) + a[power][tap];
        weight[tap] = sum / 24;
    }
}

/* A sample's value at any nm of 380..780. */
static double sample_at(const double *row, int nm)
{
    double weight[6];
    double sum = 0;
    int node = (nm - GRID_FIRST_NM) / SAMPLE_STEP_NM;

    sprague((nm % SAMPLE_STEP_NM) / (double)SAMPLE_STEP_NM, weight);
    for (int tap = 0; tap < 6; tap++)
        sum += weight[tap] * row[node + tap - 2];
    return sum;
}

static double daylight_at(const double *component, int nm)
{
    int row = (nm - 300) / 10; /* the components begin at 300 nm, by 10, linear between */
    double part = 0.1 * ((nm - 300) % 10);

    return part > 0 ? component[row] + (part * (component[row + 1] - component[row]))
                    : component[row];
}

static const double (*observer_table(int observer))[GRID_COUNT]
{
    return observer == 0 ? mtmi_table_observer_2 : mtmi_table_observer_10;
}

static void write_observers(FILE *file)
{
    (void)fprintf(file, "const double mtmi_quality_observer[2][3][MTMI_PHASES]"
                        "[MTMI_NODES_PADDED] = {\n");
    for (int observer = 0; observer < 2; observer++) {
        (void)fprintf(file, "{");
        for (int k = 0; k < 3; k++) {
            (void)fprintf(file, "{");
            for (int phase = 0; phase < MTMI_PHASES; phase++) {
                (void)fprintf(file, "{");
                for (int node = 0; node < MTMI_NODES; node++) {
                    int nm = MTMI_NODE_FIRST_NM + (SAMPLE_STEP_NM * node) + phase;
                    int inside = nm >= INDEX_FIRST_NM && nm <= INDEX_LAST_NM;

                    (void)fprintf(file, "%.17g,\n",
                                  inside ? observer_table(observer)[k][nm - GRID_FIRST_NM] : 0.0);
                }
                (void)fprintf(file, "},\n");
            }
            (void)fprintf(file, "},\n");
        }
        (void)fprintf(file, "},\n");
    }
    (void)fprintf(file, "};\n\n");
}

static void write_sprague(FILE *file)
{
    (void)fprintf(file, "const double mtmi_quality_sprague[MTMI_PHASES][6] = {\n");
    for (int phase = 0; phase < MTMI_PHASES; phase++) {
        double w[6];

        sprague(phase / (double)MTMI_PHASES, w);
        (void)fprintf(file, "{%.17g, %.17g, %.17g, %.17g, %.17g, %.17g},\n", w[0], w[1], w[2], w[3],
                      w[4], w[5]);
    }
    (void)fprintf(file, "};\n\n");
}

/* A sample's published row, the perfect white after the last, NULL behind it. */
static const double *sample_row(const double (*rows)[95], int count, int sample)
{
    static double white[95];

    for (int i = 0; i < 95; i++)
        white[i] = 1;
    if (sample > count)
        return NULL;
    return sample == count ? white : rows[sample];
}

static void write_samples(FILE *file, const char *name, const double (*rows)[95], int count,
                          int blocks)
{
    (void)fprintf(file, "const double %s[%d][MTMI_NODES][MTMI_BLOCK] = {\n", name, blocks);
    for (int block = 0; block < blocks; block++) {
        (void)fprintf(file, "{");
        for (int node = 0; node < MTMI_NODES; node++) {
            (void)fprintf(file, "{");
            for (int i = 0; i < MTMI_BLOCK; i++) {
                const double *row = sample_row(rows, count, (block * MTMI_BLOCK) + i);

                (void)fprintf(file, "%.17g,", row == NULL ? 0.0 : row[node + NODE_OFFSET]);
            }
            (void)fprintf(file, "},\n");
        }
        (void)fprintf(file, "},\n");
    }
    (void)fprintf(file, "};\n\n");
}

/* X, Y, Z of samples under a light, by the plain double sum. */
static void write_sample_sums(FILE *file, const double *component, int observer,
                              const double (*rows)[95], int count, int padded)
{
    (void)fprintf(file, "{{");
    for (int k = 0; k < 3; k++) {
        (void)fprintf(file, "{");
        for (int sample = 0; sample < padded; sample++) {
            const double *row = sample_row(rows, count, sample);
            double sum = 0;

            for (int nm = INDEX_FIRST_NM; row != NULL && nm <= INDEX_LAST_NM; nm++)
                sum += daylight_at(component, nm) * sample_at(row, nm) *
                       observer_table(observer)[k][nm - GRID_FIRST_NM];
            (void)fprintf(file, "%.17g,\n", sum);
        }
        (void)fprintf(file, "},\n");
    }
    (void)fprintf(file, "}},\n");
}

static void write_daylight(FILE *file)
{
    (void)fprintf(file, "const mtmi_quality_light mtmi_quality_daylight[3] = {\n");
    for (int component = 0; component < 3; component++) {
        const double *s = mtmi_table_daylight[component];

        (void)fprintf(file, "{");
        write_sample_sums(file, s, 1, mtmi_table_evaluation_samples, MTMI_CES_WHITE,
                          MTMI_CES_PADDED);
        write_sample_sums(file, s, 0, mtmi_table_test_colours, MTMI_TCS_WHITE, MTMI_TCS_PADDED);
        (void)fprintf(file, "{");
        for (int bin = 0; bin < MTMI_SSI_BINS; bin++) {
            double sum = 0;

            for (int k = -5; k <= 5; k++)
                sum += (k == -5 || k == 5 ? 0.5 : 1) * daylight_at(s, 380 + (10 * bin) + k);
            (void)fprintf(file, "%.17g,\n", sum);
        }
        (void)fprintf(file, "},{");
        for (int k = 0; k < 3; k++) {
            double sum = 0;

            for (int i = 0; i < GRID_COUNT; i++)
                sum += daylight_at(s, GRID_FIRST_NM + i) * mtmi_table_observer_2[k][i];
            (void)fprintf(file, "%.17g,\n", sum);
        }
        (void)fprintf(file, "}},\n");
    }
    (void)fprintf(file, "};\n");
}

int main(int argc, char **argv)
{
    FILE *file = argc == 2 ? fopen(argv[1], "w") : NULL;

    if (file == NULL) {
        (void)fprintf(stderr, "usage: quality_maker OUT.c (a file that can be written)\n");
        return 1;
    }
    (void)fprintf(file, "/* Made by quality_maker from the published tables; do not edit. */\n"
                        "#include \"data/quality.h\"\n\n");
    write_observers(file);
    write_sprague(file);
    write_samples(file, "mtmi_quality_ces", mtmi_table_evaluation_samples, MTMI_CES_WHITE,
                  MTMI_CES_BLOCKS);
    write_samples(file, "mtmi_quality_tcs", mtmi_table_test_colours, MTMI_TCS_WHITE,
                  MTMI_TCS_BLOCKS);
    write_daylight(file);
    return fclose(file) == 0 ? 0 : 1;
}
