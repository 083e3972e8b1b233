/* SPDX-License-Identifier: MIT */
#include "cli/fixture_mixing.h"

#include "cli/out/curve_view.h"
#include "cli/out/json.h"

#include <metamer/lamp.h>

#include <math.h>

/* A lamp's temperature at a share of its light, kelvin. */
static double dimmed_k(const mtm_mixing *m, double share)
{
    return mtm_lamp_dimmed_cct_k((mtm_lamp){m->lamp_k, share});
}

/* How the colour of a mode goes with its output. */
static void put_dims(const mtm_mixing *m, FILE *out)
{
    const mtm_dims_point *last = &m->dims[m->dims_count > 0 ? m->dims_count - 1 : 0];

    (void)fprintf(out, "    its colour goes with its output, %.0f lm at full", m->flux_lm);
    if (m->watts > 0)
        (void)fprintf(out, ", %.0f W", m->watts);
    (void)fprintf(out, ":\n    ");
    if (m->lamp_k > 0)
        (void)fprintf(out, "a lamp of %.0f K, %.0f K at 10 %% of its light, %.0f K at 1 %%%s\n",
                      m->lamp_k, dimmed_k(m, 0.1), dimmed_k(m, 0.01),
                      m->by_voltage ? "; the curve is that of its voltage" : "");
    else
        (void)fprintf(out, "%.0f K, %.0f K at %g %% and below\n", last->cct_k, m->dims[0].cct_k,
                      100 * m->dims[0].output);
}

void put_mixing(const mtm_mixing *m, FILE *out)
{
    const mtm_mixing_point *last = &m->temperature[0] + m->temperature_count;
    const mtm_mixing_point *end = &m->tint[0] + m->tint_count;

    if (m->type == MTM_MIXING_DIMS) {
        put_dims(m, out);
        return;
    }
    (void)fprintf(out, "    mixes by itself, %.0f lm%s: ", m->flux_lm,
                  m->type == MTM_MIXING_RGB || m->type == MTM_MIXING_HSI ? " of white" : "");
    if (m->type == MTM_MIXING_WHITE) {
        (void)fprintf(out, "whites of %.0f to %.0f K",
                      fmin(m->temperature[0].value, last[-1].value),
                      fmax(m->temperature[0].value, last[-1].value));
        if (m->tint_count > 0)
            (void)fprintf(out, ", Duv %+.4f to %+.4f", fmin(m->tint[0].value, end[-1].value),
                          fmax(m->tint[0].value, end[-1].value));
        (void)fputc('\n', out);
        return;
    }
    if (m->type == MTM_MIXING_XY)
        (void)fprintf(out, "x %.4f to %.4f, y %.4f to %.4f, within its gamut\n", m->x[0], m->x[1],
                      m->y[0], m->y[1]);
    else
        (void)fprintf(out, "red %.4f, %.4f; green %.4f, %.4f; blue %.4f, %.4f; white %.4f, %.4f\n",
                      m->red.x, m->red.y, m->green.x, m->green.y, m->blue.x, m->blue.y, m->white.x,
                      m->white.y);
}

static void json_append_row(cJSON *list, const double *value, size_t count, int decimals)
{
    cJSON *row = cJSON_CreateArray();

    for (size_t i = 0; i < count; i++)
        json_append_number(row, value[i], decimals);
    json_append(list, row);
}

/* [code, value] by row; null where there is no table. */
static void json_add_table(cJSON *object, const char *key, const mtm_mixing_point *point,
                           size_t count)
{
    if (count == 0) {
        json_add_text(object, key, NULL);
        return;
    }
    cJSON *list = json_add_array(object, key);
    for (size_t i = 0; i < count; i++)
        json_append_row(list, (const double[]){point[i].code, point[i].value}, 2, 6);
}

static void json_add_place(cJSON *object, const char *key, mtm_xy xy)
{
    json_add_pair(object, key, xy.x, xy.y, 6);
}

static void json_add_rgb(cJSON *object, const mtm_mixing *m)
{
    json_add_place(object, "red", m->red);
    json_add_place(object, "green", m->green);
    json_add_place(object, "blue", m->blue);
    json_add_place(object, "white", m->white);
    if (m->transfer != NULL)
        json_add_curve(object, "transfer", m->transfer);
    else
        json_add_text(object, "transfer", NULL);
}

/* The gamut is empty where it is that of the emitters. */
static void json_add_xy_slots(cJSON *object, const mtm_mixing *m)
{
    json_add_pair(object, "x", m->x[0], m->x[1], 6);
    json_add_pair(object, "y", m->y[0], m->y[1], 6);
    cJSON *list = json_add_array(object, "gamut");
    for (size_t i = 0; i < m->gamut_count; i++)
        json_append_row(list, (const double[]){m->gamut[i].x, m->gamut[i].y}, 2, 6);
}

/* A lamp, or points of output, kelvin and Duv. */
static void json_add_dims(cJSON *object, const mtm_mixing *m)
{
    const bool lamp = m->lamp_k > 0;

    json_add_number(object, "lamp_k", lamp ? m->lamp_k : (double)NAN, 2);
    json_add_number(object, "lamp_k_at_10_percent", lamp ? dimmed_k(m, 0.1) : (double)NAN, 2);
    json_add_number(object, "lamp_k_at_1_percent", lamp ? dimmed_k(m, 0.01) : (double)NAN, 2);
    json_add_bool(object, "by_voltage", m->by_voltage);
    if (lamp) {
        json_add_text(object, "points", NULL);
        return;
    }
    cJSON *list = json_add_array(object, "points");
    for (size_t i = 0; i < m->dims_count; i++) {
        const mtm_dims_point *at = &m->dims[i];
        json_append_row(list, (const double[]){at->output, at->cct_k, at->duv}, 3, 6);
    }
}

void json_add_mixing(cJSON *object, const char *key, const mtm_mixing *m)
{
    static const char *const types[] = {[MTM_MIXING_WHITE] = "white",
                                        [MTM_MIXING_RGB] = "rgb",
                                        [MTM_MIXING_HSI] = "hsi",
                                        [MTM_MIXING_XY] = "xy",
                                        [MTM_MIXING_DIMS] = "dims"};

    if (m == NULL) {
        json_add_text(object, key, NULL);
        return;
    }
    cJSON *made = json_add_object(object, key);
    json_add_text(made, "type", types[m->type]);
    json_add_number(made, "flux_lm", m->flux_lm, 3);
    json_add_number(made, "watts", m->watts > 0 ? m->watts : (double)NAN, 3);
    switch (m->type) {
    case MTM_MIXING_WHITE:
        json_add_table(made, "temperature", m->temperature, m->temperature_count);
        json_add_table(made, "tint", m->tint, m->tint_count);
        break;
    case MTM_MIXING_RGB:
    case MTM_MIXING_HSI:
        json_add_rgb(made, m);
        break;
    case MTM_MIXING_XY:
        json_add_xy_slots(made, m);
        break;
    case MTM_MIXING_DIMS:
        json_add_dims(made, m);
        break;
    }
}
