/* SPDX-License-Identifier: MIT */
/* Curve view: the dimming curves of a fixture, each once, with what they are of. */
#include "cli/out/curve_view.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include <string.h>

#define CURVES_MAX (MTM_EMITTERS_MAX + 1) /* of emitters, and the dimmer's */
#define CODES 65535                       /* in which a dark beginning is looked for */
#define HEAD_ROOM 80

/* The curves of a fixture, each once. */
struct curves {
    const mtm_fixture *fixture;
    const mtm_curve *curve[CURVES_MAX];
    const char *first[CURVES_MAX]; /* what it is of, first */
    size_t count;
};

static bool has_dimmer(const mtm_fixture *fixture)
{
    for (size_t i = 0; i < mtm_fixture_mode_count(fixture); i++) {
        if (mtm_fixture_mode(fixture, i)->dimmer_bits > 0)
            return true;
    }
    return false;
}

/* Emitters in their order, then the dimmer where a mode has one; NULL past the last. */
static const mtm_curve *curve_at(const mtm_fixture *fixture, size_t index, const char **of)
{
    size_t emitters = mtm_fixture_emitter_count(fixture);

    if (index < emitters) {
        *of = mtm_fixture_emitter(fixture, index)->name;
        return mtm_fixture_emitter(fixture, index)->curve;
    }
    *of = "dimmer";
    return index == emitters && has_dimmer(fixture) ? mtm_fixture_dimmer_curve(fixture) : NULL;
}

static struct curves list_curves(const mtm_fixture *fixture)
{
    struct curves curves = {.fixture = fixture};
    const mtm_curve *curve = NULL;
    const char *of = "";

    for (size_t i = 0; (curve = curve_at(fixture, i, &of)) != NULL; i++) {
        size_t k = 0;
        while (k < curves.count && !mtm_curve_equal(curves.curve[k], curve))
            k++;
        if (k < curves.count)
            continue;
        curves.first[curves.count] = of;
        curves.curve[curves.count++] = curve;
    }
    return curves;
}

/* "power 2.2", "table (red)". */
static void name_curve(const struct curves *curves, size_t index, char text[HEAD_ROOM])
{
    const char *type = mtm_curve_type_name(curves->curve[index]);

    if (strcmp(type, "power") == 0)
        (void)snprintf(text, HEAD_ROOM, "power %.4g", mtm_curve_exponent(curves->curve[index]));
    else if (strcmp(type, "table") == 0)
        (void)snprintf(text, HEAD_ROOM, "table (%.60s)", curves->first[index]);
    else
        (void)snprintf(text, HEAD_ROOM, "%s", type);
}

void put_curves(const mtm_fixture *fixture, FILE *out)
{
    const struct curves curves = list_curves(fixture);
    int width = text_line_columns(out);
    int at = text_put_wrapped("Curves, light by code:", 0, 0, width, out);

    for (size_t i = 0; i < curves.count; i++) {
        const mtm_curve *curve = NULL;
        const char *of = "";
        char name[HEAD_ROOM];
        bool begun = false;

        name_curve(&curves, i, name);
        at = text_put_wrapped(name, at, 2, width, out);
        at = text_put_wrapped("of", at, 2, width, out);
        for (size_t k = 0; (curve = curve_at(fixture, k, &of)) != NULL; k++) {
            if (!mtm_curve_equal(curve, curves.curve[i]))
                continue;
            at += begun ? (int)fprintf(out, ",") : 0;
            at = text_put_wrapped(of, at, 2, width, out);
            begun = true;
        }
        at += i + 1 < curves.count ? (int)fprintf(out, ";") : 0;
    }
    (void)fputc('\n', out);
}

/* The last of the codes from 0 on that give no light; 0 where each but that gives some. */
static double dark_up_to(const mtm_curve *curve)
{
    int low = 0;
    int high = CODES;

    while (low < high) {
        int middle = low + (high - low + 1) / 2;
        if (mtm_curve_level(curve, (double)middle / CODES) > 0)
            high = middle - 1;
        else
            low = middle;
    }
    return (double)low / CODES;
}

void put_curve_table(const mtm_fixture *fixture, FILE *out)
{
    static const double percent[] = {0.5, 1, 2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100};
    const struct curves curves = list_curves(fixture);
    char name[HEAD_ROOM];

    (void)fprintf(out, "\n    Code  Light, %% of full\n       %%");
    for (size_t i = 0; i < curves.count; i++) {
        name_curve(&curves, i, name);
        (void)fprintf(out, "  %*s%s", text_widest(8, name) - text_width(name), "", name);
    }
    (void)fputc('\n', out);
    for (size_t p = 0; p < sizeof percent / sizeof percent[0]; p++) {
        (void)fprintf(out, "%8.1f", percent[p]);
        for (size_t i = 0; i < curves.count; i++) {
            name_curve(&curves, i, name);
            (void)fprintf(out, "  %*.3f", text_widest(8, name),
                          100 * mtm_curve_level(curves.curve[i], percent[p] / 100));
        }
        (void)fputc('\n', out);
    }
    for (size_t i = 0; i < curves.count; i++) {
        double dark = dark_up_to(curves.curve[i]);
        name_curve(&curves, i, name);
        if (dark > 0)
            (void)fprintf(out, "%s: no light up to %.2f %% of the code.\n", name, 100 * dark);
    }
}

void json_add_curve(cJSON *object, const char *key, const mtm_curve *curve)
{
    cJSON *one = json_add_object(object, key);
    const double *code = NULL;
    const double *level = NULL;
    size_t count = mtm_curve_points(curve, &code, &level);

    json_add_text(one, "type", mtm_curve_type_name(curve));
    if (mtm_curve_exponent(curve) > 0)
        json_add_number(one, "exponent", mtm_curve_exponent(curve), 6);
    cJSON *points = count > 0 ? json_add_array(one, "points") : NULL;
    for (size_t i = 0; i < count; i++) {
        cJSON *point = cJSON_CreateArray();
        json_append_number(point, code[i], 6);
        json_append_number(point, level[i], 6);
        json_append(points, point);
    }
}
