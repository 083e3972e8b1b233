/* SPDX-License-Identifier: MIT */
/* Solves a second, one at a time, against two peers in the same run: GLPK's simplex, warm from the
 * last target, and LittleCMS interpolating a 33 x 33 x 33 table with as many outputs as there are
 * emitters, one pixel a call. Every row of the output is a ratio of rates, ours to the peer's. */
#include "solve/lp_peer.h"
#include "support/random.h"
#include "support/timing.h"

#include <metamer/codes.h>
#include <metamer/solve.h>

#include <lcms2.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TARGETS 1024
#define GRID 33
#define ROUNDS 15

/* Synthetic emitters of a made-up fixture. */
static const struct {
    const char *name;
    double x, y, flux_lm, watts;
} parts[] = {
    {"red", 0.6870, 0.3046, 188.5, 7.55},        {"green", 0.1754, 0.7139, 320.6, 4.24},
    {"blue", 0.1590, 0.0354, 33.7, 5.27},        {"warm white", 0.4333, 0.4010, 822.9, 10.16},
    {"cool white", 0.3060, 0.3265, 466.4, 7.52}, {"amber", 0.5657, 0.4300, 286.6, 5.41},
    {"lime", 0.4114, 0.5437, 269.0, 7.65},       {"indigo", 0.1640, 0.0174, 12.2, 4.78},
    {"cyan", 0.0867, 0.3662, 142.8, 6.11},       {"mint", 0.3822, 0.4658, 451.6, 10.22},
    {"deep red", 0.7100, 0.2880, 60.0, 8.10},    {"turquoise", 0.1300, 0.5800, 240.0, 6.40},
};

static void need(int condition, const char *what)
{
    if (condition)
        return;
    (void)fprintf(stderr, "solve_bench: %s\n", what);
    exit(1);
}

/* One fixture, its peers, and the targets that all are asked for. */
struct bench {
    struct emitters set;
    mtm_fixture *fixture;
    mtm_solver *solver;
    mtm_coder *coder;
    glp_prob *lp;
    cmsHTRANSFORM table[2]; /* 16 bits in and out; float in and out */
    mtm_xy target[TARGETS];
    uint16_t pixel[TARGETS][3];
    float float_pixel[TARGETS][3];
    mtm_uv low, high; /* what the table spans */
    mtm_request request;
};

static void make_fixture(struct bench *bench)
{
    char text[8192], slots[1024] = "";
    size_t used = 0, slots_used = 0;

    used = (size_t)snprintf(text, sizeof text,
                            "{ \"metamer\": \"fixture/1\", \"name\": \"bench\", \"emitters\": [");
    for (size_t k = 0; k < bench->set.count; k++) {
        used += (size_t)snprintf(text + used, sizeof text - used,
                                 "%s{ \"name\": \"%s\", \"x\": %g, \"y\": %g, \"flux_lm\": %g, "
                                 "\"watts\": %g, \"curve\": \"square\" }",
                                 k > 0 ? ", " : "", parts[k].name, fmin(parts[k].x, 0.69),
                                 parts[k].y, parts[k].flux_lm, parts[k].watts);
        slots_used += (size_t)snprintf(slots + slots_used, sizeof slots - slots_used, "%s\"%s\"",
                                       k > 0 ? ", " : "", parts[k].name);
    }
    (void)snprintf(text + used, sizeof text - used,
                   "], \"modes\": [ { \"name\": \"8-bit\", \"slots\": [%s] } ] }", slots);
    mtm_error error;
    if (mtm_fixture_parse(text, strlen(text), "bench", NULL, &bench->fixture, &error) != MTM_OK)
        need(0, error.text);
    need(mtm_coder_create(bench->fixture, mtm_fixture_mode(bench->fixture, 0), MTM_OBSERVER_2,
                          &bench->coder, NULL) == MTM_OK,
         "no coder");
}

/* Colours that the emitters can make, from dull to saturated. */
static void make_targets(struct bench *bench)
{
    struct random random = {7};

    for (size_t i = 0; i < TARGETS; i++) {
        mtm_xyz sum = {0, 0, 0};
        for (size_t k = 0; k < bench->set.count; k++) {
            double level = random_between(&random, 0, 1);
            level *= level;
            sum.x += level * bench->set.xyz[k].x;
            sum.y += level * bench->set.xyz[k].y;
            sum.z += level * bench->set.xyz[k].z;
        }
        bench->target[i] = mtm_xy_from_xyz(sum);
    }
}

/* A node of the table: u', v' within the box around the gamut, and the share of the most. */
static cmsInt32Number fill_node(const cmsUInt16Number in[], cmsUInt16Number out[], void *cargo)
{
    struct bench *bench = cargo;
    mtm_uv uv = {bench->low.u + in[0] / 65535.0 * (bench->high.u - bench->low.u),
                 bench->low.v + in[1] / 65535.0 * (bench->high.v - bench->low.v)};
    mtm_request request = {.xy = mtm_xy_from_uv(uv)};
    mtm_answer answer;

    while (!mtm_xy_valid(request.xy)) { /* a node beyond all colours: those within are its own */
        request.xy.x += 0.1 * (1.0 / 3 - request.xy.x);
        request.xy.y += 0.1 * (1.0 / 3 - request.xy.y);
    }
    need(mtm_solver_solve(bench->solver, &request, &answer, NULL) == MTM_OK, "no node");
    for (size_t k = 0; k < bench->set.count; k++)
        out[k] = (cmsUInt16Number)lround(answer.level[k] * in[2]);
    return TRUE;
}

static void make_table(struct bench *bench)
{
    mtm_xy corner[MTM_EMITTERS_MAX];
    size_t corners = mtm_solver_gamut(bench->solver, corner);
    cmsUInt32Number outputs = (cmsUInt32Number)bench->set.count;

    bench->low = (mtm_uv){1, 1};
    bench->high = (mtm_uv){0, 0};
    for (size_t i = 0; i < corners; i++) {
        mtm_uv uv = mtm_uv_from_xy(corner[i]);
        bench->low = (mtm_uv){fmin(bench->low.u, uv.u), fmin(bench->low.v, uv.v)};
        bench->high = (mtm_uv){fmax(bench->high.u, uv.u), fmax(bench->high.v, uv.v)};
    }
    cmsPipeline *pipeline = cmsPipelineAlloc(NULL, 3, outputs);
    cmsStage *stage = cmsStageAllocCLut16bit(NULL, GRID, 3, outputs, NULL);
    need(pipeline != NULL && stage != NULL, "no table");
    need(cmsStageSampleCLut16bit(stage, fill_node, bench, 0), "no nodes");
    need(cmsPipelineInsertStage(pipeline, cmsAT_END, stage), "no stage");
    cmsHPROFILE link = cmsCreateProfilePlaceholder(NULL);
    cmsSetDeviceClass(link, cmsSigLinkClass);
    cmsSetColorSpace(link, cmsSigRgbData);
    cmsSetPCS(link, outputs == 5 ? cmsSig5colorData : cmsSig3colorData);
    need(cmsWriteTag(link, cmsSigAToB0Tag, pipeline), "no tag");
    cmsUInt32Number in = COLORSPACE_SH((cmsUInt32Number)PT_RGB) | CHANNELS_SH(3);
    cmsUInt32Number out =
        COLORSPACE_SH((cmsUInt32Number)(outputs == 5 ? PT_MCH5 : PT_MCH3)) | CHANNELS_SH(outputs);
    const cmsUInt32Number sample[2] = {BYTES_SH(2), FLOAT_SH(1) | BYTES_SH(4)};
    for (int i = 0; i < 2; i++) {
        bench->table[i] = cmsCreateTransform(link, in | sample[i], NULL, out | sample[i],
                                             INTENT_PERCEPTUAL, cmsFLAGS_NOCACHE);
        need(bench->table[i] != NULL, "no transform");
    }
    cmsCloseProfile(link);
    cmsPipelineFree(pipeline);
    for (size_t i = 0; i < TARGETS; i++) {
        mtm_uv uv = mtm_uv_from_xy(bench->target[i]);
        bench->pixel[i][0] =
            (uint16_t)lround(65535 * (uv.u - bench->low.u) / (bench->high.u - bench->low.u));
        bench->pixel[i][1] =
            (uint16_t)lround(65535 * (uv.v - bench->low.v) / (bench->high.v - bench->low.v));
        bench->pixel[i][2] = 65535;
        for (size_t j = 0; j < 3; j++)
            bench->float_pixel[i][j] = (float)(bench->pixel[i][j] / 65535.0);
    }
}

static void open_bench(struct bench *bench, size_t count, double limit_w, mtm_request request)
{
    memset(bench, 0, sizeof *bench);
    bench->set = (struct emitters){.count = count, .limit_w = limit_w};
    bench->request = request;
    for (size_t k = 0; k < count; k++) {
        bench->set.xyz[k] =
            mtm_xyz_from_xy((mtm_xy){fmin(parts[k].x, 0.69), parts[k].y}, parts[k].flux_lm);
        bench->set.watts[k] = parts[k].watts;
    }
    need(mtm_solver_create(bench->set.xyz, bench->set.watts, count, limit_w, &bench->solver,
                           NULL) == MTM_OK,
         "no solver");
    make_fixture(bench);
    make_targets(bench);
    bench->lp = lp_peer_create(&bench->set);
    if (count == 3 || count == 5)
        make_table(bench);
}

static void close_bench(struct bench *bench)
{
    for (int i = 0; i < 2; i++) {
        if (bench->table[i] != NULL)
            cmsDeleteTransform(bench->table[i]);
    }
    glp_delete_prob(bench->lp);
    mtm_coder_free(bench->coder);
    mtm_fixture_free(bench->fixture);
    mtm_solver_free(bench->solver);
}

/* Each runs through the targets and returns seconds a solve; *check sums what came out. */
static double time_ours(const struct bench *bench, int repeats, double *check)
{
    double start = timing_cpu_s(), sum = 0;

    for (int r = 0; r < repeats; r++) {
        for (size_t i = 0; i < TARGETS; i++) {
            mtm_request request = bench->request;
            mtm_answer answer;
            request.xy = bench->target[i];
            if (mtm_solver_solve(bench->solver, &request, &answer, NULL) != MTM_OK)
                need(0, "no answer");
            sum += answer.xyz.y + answer.watts;
        }
    }
    *check = sum / repeats;
    return (timing_cpu_s() - start) / (repeats * TARGETS);
}

static double time_rounded(const struct bench *bench, int repeats, double *check)
{
    double start = timing_cpu_s(), sum = 0;

    for (int r = 0; r < repeats; r++) {
        for (size_t i = 0; i < TARGETS; i++) {
            mtm_request request = bench->request;
            mtm_answer answer;
            mtm_codes codes;
            request.xy = bench->target[i];
            if (mtm_solver_solve(bench->solver, &request, &answer, NULL) != MTM_OK)
                need(0, "no answer");
            mtm_coder_round(bench->coder, answer.level, &codes);
            sum += codes.emitter[i % 3];
        }
    }
    *check = sum / repeats;
    return (timing_cpu_s() - start) / (repeats * TARGETS);
}

static double time_table(const struct bench *bench, int repeats, double *check)
{
    double start = timing_cpu_s(), sum = 0;

    for (int r = 0; r < repeats; r++) {
        for (size_t i = 0; i < TARGETS; i++) {
            uint16_t out[MTM_EMITTERS_MAX];
            cmsDoTransform(bench->table[0], bench->pixel[i], out, 1);
            sum += out[i % 3];
        }
    }
    *check = sum / repeats;
    return (timing_cpu_s() - start) / (repeats * TARGETS);
}

static double time_float_table(const struct bench *bench, int repeats, double *check)
{
    double start = timing_cpu_s(), sum = 0;

    for (int r = 0; r < repeats; r++) {
        for (size_t i = 0; i < TARGETS; i++) {
            float out[MTM_EMITTERS_MAX];
            cmsDoTransform(bench->table[1], bench->float_pixel[i], out, 1);
            sum += (double)out[i % 3];
        }
    }
    *check = sum / repeats;
    return (timing_cpu_s() - start) / (repeats * TARGETS);
}

/* The answers are compared while they are timed. */
/* What GLPK finds for every eighth target must be what we found. */
static double time_glpk(const struct bench *bench, int repeats, double *check)
{
    static double ours[TARGETS], output[TARGETS], peer[TARGETS];
    int most = bench->request.output.type == MTM_OUTPUT_MAX;

    for (size_t i = 0; i < TARGETS; i += 8) {
        mtm_request request = bench->request;
        mtm_answer answer;
        request.xy = bench->target[i];
        need(mtm_solver_solve(bench->solver, &request, &answer, NULL) == MTM_OK, "no answer");
        output[i] = answer.xyz.y;
        ours[i] = most ? answer.xyz.y : answer.watts;
    }
    double start = timing_cpu_s();
    for (size_t i = 0; i < TARGETS; i += 8)
        peer[i] = lp_peer_solve(bench->lp, &bench->set, bench->target[i], output[i], most);
    double spent = timing_cpu_s() - start;
    for (size_t i = 0; i < TARGETS; i += 8)
        need(fabs(peer[i] - ours[i]) <= 1e-8 * ours[i], "GLPK gives another optimum");
    *check = peer[0] * repeats;
    return spent / (TARGETS / 8.0);
}

static void report(const char *what, double *ratio, double wanted)
{
    qsort(ratio, ROUNDS, sizeof *ratio, timing_by_value);
    (void)printf("%-58s %7.2f  (%.2f to %.2f; wanted %g)\n", what, ratio[ROUNDS / 2], ratio[0],
                 ratio[ROUNDS - 1], wanted);
}

typedef double timed(const struct bench *bench, int repeats, double *check);

/* Ours and the peer in turns; the first two rounds warm up. */
static void compare(const char *what, const struct bench *bench, timed *ours, timed *peer,
                    double wanted)
{
    double ratio[ROUNDS], check = 0;

    for (int i = -2; i < ROUNDS; i++) {
        double our_time = ours(bench, 20, &check);
        need(check > 0, "nothing came out");
        double peer_time = peer(bench, 20, &check);
        need(check > 0, "nothing came out");
        if (i >= 0)
            ratio[i] = peer_time / our_time;
    }
    report(what, ratio, wanted);
}

/* The share of targets at which the table's levels show another colour. */
static void table_error(const struct bench *bench)
{
    int off = 0;

    for (size_t i = 0; i < TARGETS; i++) {
        uint16_t out[MTM_EMITTERS_MAX];
        double level[MTM_EMITTERS_MAX];
        cmsDoTransform(bench->table[0], bench->pixel[i], out, 1);
        for (size_t k = 0; k < bench->set.count; k++)
            level[k] = out[k] / 65535.0;
        mtm_uv uv = mtm_uv_from_xyz(mtm_solver_xyz(bench->solver, level));
        off += mtm_uv_distance(uv, mtm_uv_from_xy(bench->target[i])) > 0.002;
    }
    (void)printf("the table is off by more than 0.002 in u', v' for %.1f %% of the colours\n",
                 100.0 * off / TARGETS);
}

int main(void)
{
    struct bench *bench = malloc(sizeof *bench);
    const mtm_request light = {.goal = MTM_GOAL_LIGHT};
    const mtm_request watts = {.goal = MTM_GOAL_WATTS, .output = {MTM_OUTPUT_SHARE, 0.5}};

    need(bench != NULL, "out of memory");
    (void)printf("rates, ours to the peer's: median (least to most of %d rounds)\n", ROUNDS);
    open_bench(bench, 5, INFINITY, light);
    compare("light, 5 emitters, to a 16-bit table", bench, time_ours, time_table, 2);
    compare("light, 5 emitters, to a float table", bench, time_ours, time_float_table, 2);
    compare("and 8-bit codes, to a 16-bit table", bench, time_rounded, time_table, 0.4);
    compare("and 8-bit codes, to a float table", bench, time_rounded, time_float_table, 0.5);
    table_error(bench);
    compare("light, 5 emitters, to GLPK", bench, time_ours, time_glpk, 150);
    close_bench(bench);
    open_bench(bench, 5, INFINITY, watts);
    compare("watts, 5 emitters, to GLPK", bench, time_ours, time_glpk, 150);
    close_bench(bench);
    open_bench(bench, 5, 15, light);
    compare("light under a power limit, 5 emitters, to GLPK", bench, time_ours, time_glpk, 10);
    close_bench(bench);
    open_bench(bench, 3, INFINITY, light);
    compare("light, 3 emitters, to a 16-bit table", bench, time_ours, time_table, 2);
    compare("light, 3 emitters, to a float table", bench, time_ours, time_float_table, 2);
    compare("light, 3 emitters, to GLPK", bench, time_ours, time_glpk, 150);
    close_bench(bench);
    open_bench(bench, 12, INFINITY, light);
    compare("light, 12 emitters, to GLPK", bench, time_ours, time_glpk, 10);
    close_bench(bench);
    open_bench(bench, 12, INFINITY, watts);
    compare("watts, 12 emitters, to GLPK", bench, time_ours, time_glpk, 10);
    close_bench(bench);
    open_bench(bench, 12, 30, light);
    compare("light under a power limit, 12 emitters, to GLPK", bench, time_ours, time_glpk, 10);
    close_bench(bench);
    free(bench);
    return 0;
}
