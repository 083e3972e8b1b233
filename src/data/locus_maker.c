/* SPDX-License-Identifier: MIT */
/* Makes the pieces of the Planckian locus from the observer tables; runs on the building machine.
 * Usage: locus_maker OUT.c
 * CIE 015:2018, 9.4: nearest point in CIE 1960 u, v; c2 = 1.4388e-2 m K, 360..830 nm by 1 nm. */
#include "data/locus.h"
#include "data/tables.h"

#include <math.h>
#include <stdio.h>

#define FIRST_NM 360
#define COUNT_NM 471
/* c2 = 1.4388e-2 m K, for a wavelength in nm and a reciprocal temperature in mired. */
#define C2_NM_PER_MIRED 14.388

/* A quantity with its first and second derivative by the mired. */
struct jet {
    double at, slope, bend;
};

struct point {
    struct jet u, v;
};

static struct jet jet_scaled_sum(const struct jet *xyz, double x, double y, double z)
{
    return (struct jet){(x * xyz[0].at) + (y * xyz[1].at) + (z * xyz[2].at),
                        (x * xyz[0].slope) + (y * xyz[1].slope) + (z * xyz[2].slope),
                        (x * xyz[0].bend) + (y * xyz[1].bend) + (z * xyz[2].bend)};
}

static struct jet jet_quotient(struct jet n, struct jet d)
{
    struct jet q = {.at = n.at / d.at};

    q.slope = (n.slope - (q.at * d.slope)) / d.at;
    q.bend = (n.bend - (2 * q.slope * d.slope) - (q.at * d.bend)) / d.at;
    return q;
}

/* Planck's law by the mired m: l^-5 / (exp(a m) - 1) with a = c2 / l, relative to 560 nm. */
static struct jet planck(double wavelength_nm, double mired)
{
    double a = C2_NM_PER_MIRED / wavelength_nm;
    double e = exp(a * mired);
    double rest = e - 1;
    double at = pow(560 / wavelength_nm, 5) / rest;

    return (struct jet){at, -at * a * e / rest, at * a * a * e * (e + 1) / (rest * rest)};
}

static struct point locus_point(const double observer[3][COUNT_NM], double mired)
{
    struct jet xyz[3] = {{0}};

    for (int i = 0; i < COUNT_NM; i++) {
        struct jet s = planck(FIRST_NM + i, mired);

        for (int k = 0; k < 3; k++) {
            xyz[k].at += s.at * observer[k][i];
            xyz[k].slope += s.slope * observer[k][i];
            xyz[k].bend += s.bend * observer[k][i];
        }
    }
    struct jet d = jet_scaled_sum(xyz, 1, 15, 3);
    return (struct point){jet_quotient(jet_scaled_sum(xyz, 4, 0, 0), d),
                          jet_quotient(jet_scaled_sum(xyz, 0, 6, 0), d)};
}

/* Quintic with the value, slope and curvature of both ends. */
static void quintic(struct jet a, struct jet b, double c[6])
{
    double h = MTMI_LOCUS_STEP_MIRED;
    double rise = b.at - a.at;
    double slope_a = a.slope * h;
    double slope_b = b.slope * h;
    double bend_a = a.bend * h * h;
    double bend_b = b.bend * h * h;

    c[0] = a.at;
    c[1] = slope_a;
    c[2] = 0.5 * bend_a;
    c[3] = (10 * rise) - (6 * slope_a) - (4 * slope_b) - (1.5 * bend_a) + (0.5 * bend_b);
    c[4] = (-15 * rise) + (8 * slope_a) + (7 * slope_b) + (1.5 * bend_a) - bend_b;
    c[5] = (6 * rise) - (3 * (slope_a + slope_b)) - (0.5 * bend_a) + (0.5 * bend_b);
}

/* From t = 0..1 over the step to s, the mired from the middle: t = 1/2 + s / step. */
static void centre(double c[6])
{
    for (int i = 0; i < 5; i++) /* synthetic division by (t - 1/2), again and again */
        for (int k = 4; k >= i; k--)
            c[k] += 0.5 * c[k + 1];
    for (int k = 0; k < 6; k++)
        c[k] /= pow(MTMI_LOCUS_STEP_MIRED, k);
}

static void write_pieces(FILE *file, const double observer[3][COUNT_NM])
{
    struct point a = locus_point(observer, MTMI_LOCUS_FIRST_MIRED);

    (void)fprintf(file, "{\n");
    for (int i = 0; i < MTMI_LOCUS_PIECES; i++) {
        struct point b =
            locus_point(observer, MTMI_LOCUS_FIRST_MIRED + (MTMI_LOCUS_STEP_MIRED * (i + 1)));
        double u[6];
        double v[6];

        quintic(a.u, b.u, u);
        quintic(a.v, b.v, v);
        centre(u);
        centre(v);
        (void)fprintf(file, "{{");
        for (int k = 0; k < 6; k++)
            (void)fprintf(file, "{%.17g, %.17g},\n", u[k], v[k]);
        (void)fprintf(file, "}},\n");
        a = b;
    }
    (void)fprintf(file, "},\n");
}

/* Nearest by plain search, half a mired fine, and one step of Newton's method. */
#define SEARCH_STEP_MIRED 0.5
#define SEARCH_COUNT ((MTMI_LOCUS_PIECES * 5) + 1)

static double nearest_mired(const struct point *points, double x, double y)
{
    double u = 4 * x / ((-2 * x) + (12 * y) + 3);
    double v = 6 * y / ((-2 * x) + (12 * y) + 3);
    int best = 0;
    double best_distance = INFINITY;

    for (int i = 0; i < SEARCH_COUNT; i++) {
        double distance = hypot(points[i].u.at - u, points[i].v.at - v);

        if (distance < best_distance) {
            best = i;
            best_distance = distance;
        }
    }
    /* (P - Q) . P' = 0; beyond the centre of curvature the step means nothing */
    const struct point *p = &points[best];
    double du = p->u.at - u;
    double dv = p->v.at - v;
    double f = (du * p->u.slope) + (dv * p->v.slope);
    double df =
        (p->u.slope * p->u.slope) + (p->v.slope * p->v.slope) + (du * p->u.bend) + (dv * p->v.bend);
    double step = df > 0 ? -f / df : 0;

    return MTMI_LOCUS_FIRST_MIRED + (SEARCH_STEP_MIRED * best) + fmin(0.5, fmax(-0.5, step));
}

static void write_start(FILE *file)
{
    static struct point points[SEARCH_COUNT];

    for (int i = 0; i < SEARCH_COUNT; i++)
        points[i] =
            locus_point(mtmi_table_observer_2, MTMI_LOCUS_FIRST_MIRED + (SEARCH_STEP_MIRED * i));
    for (int row = 0; row < MTMI_LOCUS_GRID_ROWS; row++) {
        (void)fprintf(file, "{\n");
        for (int column = 0; column < MTMI_LOCUS_GRID_COLUMNS; column++)
            (void)fprintf(file, "%.3ff,\n",
                          nearest_mired(points, MTMI_LOCUS_GRID_X + (MTMI_LOCUS_GRID_STEP * column),
                                        MTMI_LOCUS_GRID_Y + (MTMI_LOCUS_GRID_STEP * row)));
        (void)fprintf(file, "},\n");
    }
}

static void write_daylight(FILE *file, const double observer[3][COUNT_NM])
{
    (void)fprintf(file, "{\n");
    for (int component = 0; component < 3; component++) {
        double xyz[3] = {0};

        for (int i = 0; i < COUNT_NM; i++) {
            int row = (FIRST_NM - 300 + i) / 10; /* the components begin at 300 nm, by 10 */
            double part = 0.1 * ((FIRST_NM - 300 + i) % 10);
            const double *s = mtmi_table_daylight[component];
            double value = part > 0 ? s[row] + (part * (s[row + 1] - s[row])) : s[row];

            for (int k = 0; k < 3; k++)
                xyz[k] += value * observer[k][i];
        }
        (void)fprintf(file, "{%.17g, %.17g, %.17g},\n", xyz[0], xyz[1], xyz[2]);
    }
    (void)fprintf(file, "},\n");
}

int main(int argc, char **argv)
{
    FILE *file = argc == 2 ? fopen(argv[1], "w") : NULL;

    if (file == NULL) {
        (void)fprintf(stderr, "usage: locus_maker OUT.c (a file that can be written)\n");
        return 1;
    }
    (void)fprintf(file, "/* Made by locus_maker from the observer tables; do not edit. */\n"
                        "#include \"data/locus.h\"\n\n"
                        "const mtmi_locus_piece mtmi_locus[2][MTMI_LOCUS_PIECES] = {\n");
    write_pieces(file, mtmi_table_observer_2);
    write_pieces(file, mtmi_table_observer_10);
    (void)fprintf(file, "};\n\nconst float mtmi_locus_start[MTMI_LOCUS_GRID_ROWS]"
                        "[MTMI_LOCUS_GRID_COLUMNS] = {\n");
    write_start(file);
    (void)fprintf(file, "};\n\nconst double mtmi_daylight_xyz[2][3][3] = {\n");
    write_daylight(file, mtmi_table_observer_2);
    write_daylight(file, mtmi_table_observer_10);
    (void)fprintf(file, "};\n");
    return fclose(file) == 0 ? 0 : 1;
}
