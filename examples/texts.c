/* SPDX-License-Identifier: MIT */
/* Texts: a rig, readings, a palette and a filter that come as text (from a database, say); the
 * calibration goes back as text. Build: cc texts.c $(pkg-config --cflags --libs metamer) Run:
 * ./a.out */
#include <metamer/calibration.h>
#include <metamer/filter.h>
#include <metamer/lab.h>
#include <metamer/meter.h>
#include <metamer/palette.h>
#include <metamer/readings.h>
#include <metamer/rgb.h>
#include <metamer/rig.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The fixture is looked for among the profiles. */
static const char rig_text[] =
    "{\"metamer\": \"rig/1\", \"name\": \"stairs\", \"units\": [{\"name\": \"lower\", \"fixture\": "
    "\"three-colour-strip.json\", \"mode\": \"8-bit\", \"universe\": 1, \"address\": 1}]}";
/* Invented. */
static const char readings_text[] = "# meter: stairs meter\n"
                                    "# uncertainty xy: 0.0020\n"
                                    "# uncertainty output: 0.04\n"
                                    "unit,emitter,x,y,lux\n"
                                    "lower,red,0.6900,0.3050,41.0\n"
                                    "lower,green,0.1700,0.7000,90.2\n"
                                    "lower,blue,0.1500,0.0400,15.8\n";
static const char filter_text[] = "{\"metamer\": \"filter/1\", \"name\": \"warmer\", "
                                  "\"mired_shift\": 60, \"reference\": \"D65\"}";

static const char palette_text[] =
    "{\"metamer\": \"colours/1\", \"name\": \"stairs\", \"colours\": "
    "{\"day\": {\"daylight_k\": 5600}, \"night\": {\"cct_k\": 2200}}}";

static mtm_error error;

/* What a reading is sure of, beside a target. */
static void judge(const mtm_readings *readings)
{
    const mtm_reading *reading = mtm_readings_at(readings, 0);
    const mtm_covariance covariance =
        mtm_meter_covariance(mtm_readings_meter(readings), reading->xyz, 1);
    const mtm_uv target = mtm_uv_from_xy((mtm_xy){0.69, 0.30});

    printf("red is known to ±%.4f in u'v' (k = 2)\n",
           mtm_delta_uncertainty(reading->xyz, &covariance, target));
}

static mtm_result calibrate(const mtm_rig *rig)
{
    mtm_readings *readings = NULL;
    mtm_calibration *fitted = NULL, *again = NULL;
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtm_readings_parse(readings_text, strlen(readings_text), "readings", rig,
                                           &readings, &error);

    if (result == MTM_OK) {
        judge(readings);
        result = mtm_readings_to_json(readings, &text, &length, &error);
    }
    if (result == MTM_OK) {
        printf("%zu octets of readings\n", length);
        free(text);
        text = NULL;
        result = mtm_calibration_fit(readings, rig, NULL, &fitted, &error);
    }
    if (result == MTM_OK)
        result = mtm_calibration_to_json(fitted, &text, &length, &error);
    if (result == MTM_OK)
        result = mtm_calibration_parse(text, length, "calibration", rig, &again, &error);
    if (result == MTM_OK)
        printf("%zu octets of calibration; lower's red gives %.1f lm\n", length,
               mtm_calibration_unit(again, 0)->emitter[0].xyz.y);
    free(text);
    mtm_calibration_free(again);
    mtm_calibration_free(fitted);
    mtm_readings_free(readings);
    return result;
}

/* A hue twice as strong in L*u*v*, as linear light of a screen. */
static mtm_result show_on_screen(void)
{
    const mtm_rgb_space *space = NULL;
    mtm_result result = mtm_rgb_space_find("srgb", &space, &error);

    if (result != MTM_OK)
        return result;
    const mtm_xyz white = mtm_xyz_from_xy(space->white, 1);
    mtm_luv luv = mtm_luv_from_xyz(mtm_rgb_to_xyz(space, (mtm_rgb){0.6, 0.5, 0.5}), white);
    luv.u *= 2;
    luv.v *= 2;
    const mtm_rgb rgb = mtm_rgb_from_xyz(space, mtm_luv_to_xyz(luv, white));
    const mtm_matrix matrix = mtm_rgb_matrix(space);
    printf("srgb %.3f %.3f %.3f; its red gives %.4f of the white's Y\n", rgb.r, rgb.g, rgb.b,
           matrix.m[1][0]);
    return MTM_OK;
}

/* The matrix between two meters, kept as text. */
static mtm_result keep_match(void)
{
    static const mtm_xyz ours[] = {{41, 21, 0.5}, {36, 72, 12}, {18, 7, 95}, {95, 100, 108}};
    static const mtm_xyz reference[] = {{42, 21, 0.5}, {36, 73, 12}, {18, 7, 96}, {96, 101, 109}};
    mtm_meter_match match, again;
    char *text = NULL;
    size_t length = 0;
    mtm_result result;

    memset(&match, 0, sizeof match);
    result = mtm_meter_match_four(ours, reference, &match, &error);
    if (result == MTM_OK)
        result = mtm_meter_match_to_json(&match, &text, &length, &error);
    if (result == MTM_OK)
        result = mtm_meter_match_parse(text, length, "match", &again, &error);
    if (result == MTM_OK)
        printf("a reading of Y 50 is %.2f\n",
               mtm_meter_match_apply(&again, (mtm_xyz){48, 50, 54}).y);
    free(text);
    return result;
}

static mtm_result list_colours(const mtm_rig *rig)
{
    mtm_palette *palette = NULL;
    mtm_result result = mtm_palette_parse(palette_text, strlen(palette_text), "palette", NULL, rig,
                                          MTM_OBSERVER_2, &palette, &error);

    for (size_t i = 0; i < mtm_palette_count(palette); i++)
        printf("%s: %s is %s\n", mtm_palette_name(palette), mtm_palette_colour_name(palette, i),
               mtm_palette_colour(palette, i)->description);
    mtm_palette_free(palette);
    return result;
}

int main(void)
{
    mtm_rig *rig = NULL;
    mtm_filter warmer, both;
    mtm_result result = mtm_rig_parse(rig_text, strlen(rig_text), "rig", NULL, &rig, &error);

    if (result == MTM_OK)
        result = calibrate(rig);
    if (result == MTM_OK)
        result = keep_match();
    if (result == MTM_OK)
        result = list_colours(rig);
    if (result == MTM_OK)
        result =
            mtm_filter_parse(filter_text, strlen(filter_text), "filter", NULL, &warmer, &error);
    if (result == MTM_OK) {
        both = mtm_filter_stack(&warmer, &warmer);
        printf("%s lets %.2f of 560 nm through\n", both.name,
               both.transmittance.value[560 - MTM_SPECTRUM_FIRST_NM]);
        result = show_on_screen();
    }
    if (result != MTM_OK)
        (void)fprintf(stderr, "%s\n", error.text);
    mtm_rig_free(rig);
    return result == MTM_OK ? 0 : 1;
}
