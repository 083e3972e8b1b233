/* SPDX-License-Identifier: MIT */
/* Fade output: what the fades of a show look like, as a table, JSON or CSV. */
#include "cli/fade/fade_out.h"

#include "base/number.h"
#include "cli/out/json.h"
#include "cli/out/text.h"
#include "fixture/slot.h"

#include <math.h>

#define CURE_ROOM 240
/* A stray below this is printed as 0.0000: it has no time worth telling. */
#define REMARK_COLUMN 21
#define WHY_COLUMN 67
#define CUE_COLUMNS 71 /* of a cue, up to its step */
#define STRAY_SHOWN 0.00005

const mtm_fade_finding *fade_finding(const struct fade_result *result, size_t row, size_t unit)
{
    return &result->finding[row * mtm_rig_unit_count(mtm_show_rig(result->show)) + unit];
}

bool fade_worst(const struct fade_result *result, size_t row, size_t *unit)
{
    bool found = false;

    for (size_t i = 0; i < mtm_rig_unit_count(mtm_show_rig(result->show)); i++) {
        const mtm_fade_finding *finding = fade_finding(result, row, i);

        if (finding->moves &&
            (!found || mtmi_exceeds(finding->step, fade_finding(result, row, *unit)->step))) {
            *unit = i;
            found = true;
        }
    }
    return found;
}

static const char *unit_name(const struct fade_result *result, size_t unit)
{
    return mtm_rig_unit(mtm_show_rig(result->show), unit)->name;
}

static const char *channel_name(const struct fade_result *result, size_t unit, size_t channel)
{
    const mtm_unit *of = mtm_rig_unit(mtm_show_rig(result->show), unit);

    return channel < mtmi_channel_count(of->fixture, of->mode)
               ? mtmi_channel_name(of->fixture, of->mode, channel)
               : "dimmer";
}

/* By mtm_fade_cause. */
static const struct {
    const char *name, *words;
} causes[] = {
    [MTM_FADE_STILL] = {"still", "nothing changes"},
    [MTM_FADE_PACE] = {"pace", "the fade's own time and curve"},
    [MTM_FADE_CODES] = {"codes", ""},
    [MTM_FADE_GAMUT] = {"gamut", "the edge of what its emitters can do"},
};

/* Why, in a few words. */
static void describe_cause(const struct fade_result *result, size_t unit,
                           const mtm_fade_finding *finding, char *text, size_t room)
{
    if (finding->cause == MTM_FADE_CODES)
        (void)snprintf(text, room, "%d bits: %s goes from %u to %u%s", finding->bits,
                       channel_name(result, unit, finding->channel), finding->code_from,
                       finding->code_to, finding->channels > 1 ? ", others with it" : "");
    else
        (void)snprintf(text, room, "%s", causes[finding->cause].words);
}

/* The goal of a cue; "several" where its units do not go by one. */
static const char *goal_of(const struct fade_result *result, size_t row)
{
    const mtm_fade_finding *first = NULL;

    for (size_t i = 0; i < mtm_rig_unit_count(mtm_show_rig(result->show)); i++) {
        const mtm_fade_finding *finding = fade_finding(result, row, i);

        if (first == NULL && finding->moves)
            first = finding;
        if (finding->moves && finding->goal != first->goal)
            return "several";
    }
    return first != NULL ? mtm_goal_at(first->goal)->name : "";
}

/* The goal that a unit goes by. */
static const char *goal_gone_by(const mtm_fade_finding *finding)
{
    return mtm_goal_at(finding->fallback == MTM_FALLBACK_NONE ? finding->goal : MTM_GOAL_LIGHT)
        ->name;
}

/* The dimming of a unit that has a dimmer beside its emitters; else NULL. */
static const char *dimming_of(const mtm_fade_finding *finding)
{
    return finding->has_dimming ? mtm_dimming_at(finding->dimming)->name : NULL;
}

/* A text from a column on, which goes on below itself. */
static void put_from(int column, const char *before, const char *text, FILE *out)
{
    int at = text_put_wrapped(before, column, column, text_line_columns(out), out);

    (void)text_put_wrapped(text, at, column, text_line_columns(out), out);
    (void)fputc('\n', out);
}

static void put_remark(const char *before, const char *text, FILE *out)
{
    (void)fprintf(out, "%*s", REMARK_COLUMN, "");
    put_from(REMARK_COLUMN, before, text, out);
}

static void print_unit(const struct fade_result *result, size_t row, size_t unit, FILE *out)
{
    const mtm_fade_finding *finding = fade_finding(result, row, unit);
    char text[CURE_ROOM];

    (void)fprintf(out, "  ");
    text_put_name(unit_name(result, unit), 2, 18, out);
    describe_cause(result, unit, finding, text, sizeof text);
    (void)fprintf(out, " %4d %7.2f %6.2f %7.2f  %8.4f ", finding->bits, finding->step,
                  finding->step_s, finding->step_lightness, finding->stray);
    if (finding->stray < STRAY_SHOWN)
        (void)fprintf(out, "%6s  ", "-");
    else
        (void)fprintf(out, "%6.2f  ", finding->stray_s);
    put_from(WHY_COLUMN, "", text, out);
    if (finding->stray > 0.003 && finding->stray_cause == MTM_FADE_GAMUT)
        put_remark("", "strays because the path leads beyond what its emitters can do", out);
    if (finding->left_dark_uv > 0) {
        (void)snprintf(text, sizeof text, "no nearer to the colour than %.4f",
                       finding->left_dark_uv);
        put_remark("stays dark:", text, out);
    } else if (finding->fallback != MTM_FALLBACK_NONE)
        put_remark("goal light:", mtm_fallback_text(finding->fallback), out);
    if (finding->has_dimming && finding->dimming != MTM_DIMMING_FINEST)
        put_remark("dimming:", mtm_dimming_at(finding->dimming)->description, out);
    mtm_fade_cure(result->show, unit, finding, result->visible, text, sizeof text);
    if (text[0] != '\0')
        put_remark("cure:", text, out);
}

static void print_cue(const struct fade_result *result, size_t row, FILE *out)
{
    const mtm_cue *cue = mtm_show_cue(result->show, result->cue[row]);

    (void)fprintf(out, "cue %g%s%s: up %g s, down %g s", cue->number,
                  cue->text[0] != '\0' ? ", " : "", cue->text, cue->up_s, cue->down_s);
    (void)fprintf(out, ", goal %s", goal_of(result, row));
    if (cue->delay_s > 0)
        (void)fprintf(out, ", after %g s", cue->delay_s);
    if (cue->follow_s >= 0)
        (void)fprintf(out, ", the next follows at %g s", cue->follow_s);
    (void)fprintf(out, "\n");
}

static void print_by_unit(const struct fade_result *result, FILE *out)
{
    for (size_t row = 0; row < result->cue_count; row++) {
        print_cue(result, row, out);
        (void)fprintf(out, "  %-18s %4s %7s %6s %7s  %8s %6s  %s\n", "unit", "bits", "step", "at s",
                      "L*", "stray", "at s", "why the step");
        for (size_t i = 0; i < mtm_rig_unit_count(mtm_show_rig(result->show)); i++) {
            if (fade_finding(result, row, i)->moves)
                print_unit(result, row, i, out);
        }
        (void)fprintf(out, "\n");
    }
    (void)fprintf(
        out,
        "step: the largest colour difference (CIEDE2000) between two frames in a row, %g "
        "frames a\nsecond, to an eye used to the unit's full light; L*: the largest in "
        "lightness. A step\nabove %g counts as visible. stray: the farthest from the path "
        "in u'v', where L* is 2\nor more; 0.003 is what a careful eye sees side by side.\n",
        result->rate_hz, result->visible);
}

/* The step, and the unit's name below it where the line has no room. */
static void put_worst(double step, const char *name, FILE *out)
{
    (void)fprintf(out, " %7.2f", step);
    if (CUE_COLUMNS + 2 + text_width(name) > text_line_columns(out))
        (void)fprintf(out, "\n%*s", CUE_COLUMNS / 2, "");
    (void)fprintf(out, "  %s", name);
}

static void print_by_cue(const struct fade_result *result, FILE *out)
{
    (void)fprintf(out, "%6s  %-30s %6s %6s  %-9s %7s  %s\n", "cue", "text", "up s", "down s",
                  "goal", "step", "of unit");
    for (size_t row = 0; row < result->cue_count; row++) {
        const mtm_cue *cue = mtm_show_cue(result->show, result->cue[row]);
        size_t unit = 0;

        (void)fprintf(out, "%6g  ", cue->number);
        text_put(cue->text, 30, out);
        (void)fprintf(out, " %6g %6g  %-9s", cue->up_s, cue->down_s, goal_of(result, row));
        if (fade_worst(result, row, &unit))
            put_worst(fade_finding(result, row, unit)->step, unit_name(result, unit), out);
        (void)fprintf(out, "\n");
    }
    (void)fprintf(out,
                  "\nstep: the largest colour difference (CIEDE2000) between two frames in a "
                  "row; --report tells\nwhere each unit steps, why, and what would cure it.\n");
}

static void write_table(const void *data, FILE *out)
{
    const struct fade_result *result = data;

    if (result->by_unit)
        print_by_unit(result, out);
    else
        print_by_cue(result, out);
}

static void write_csv(const void *data, FILE *out)
{
    const struct fade_result *result = data;

    (void)fprintf(
        out,
        "cue,unit,bits,step_de2000,step_s,step_lightness,level_change,pace_de2000,cause,channel,"
        "code_from,code_to,stray_uv,stray_s,stray_cause,goal,goal_reason,cure,left_dark_delta_"
        "uv,dimming\n");
    for (size_t row = 0; row < result->cue_count; row++) {
        for (size_t i = 0; i < mtm_rig_unit_count(mtm_show_rig(result->show)); i++) {
            const mtm_fade_finding *finding = fade_finding(result, row, i);
            char cure[CURE_ROOM];

            if (!finding->moves)
                continue;
            (void)fprintf(out, "%g,", mtm_show_cue(result->show, result->cue[row])->number);
            text_put_csv(unit_name(result, i), out);
            (void)fprintf(out, ",%d,%.4f,%.4f,%.4f,%.6f,%.4f,%s,", finding->bits, finding->step,
                          finding->step_s, finding->step_lightness, finding->level_change,
                          finding->pace, causes[finding->cause].name);
            text_put_csv(channel_name(result, i, finding->channel), out);
            (void)fprintf(out, ",%u,%u,%.6f,%.4f,%s,%s,", finding->code_from, finding->code_to,
                          finding->stray, finding->stray_s, causes[finding->stray_cause].name,
                          goal_gone_by(finding));
            text_put_csv(mtm_fallback_text(finding->fallback), out);
            (void)fputc(',', out);
            mtm_fade_cure(result->show, i, finding, result->visible, cure, sizeof cure);
            text_put_csv(cure, out);
            if (finding->left_dark_uv > 0)
                (void)fprintf(out, ",%.6f", finding->left_dark_uv);
            else
                (void)fputc(',', out);
            (void)fprintf(out, ",%s\n", dimming_of(finding) != NULL ? dimming_of(finding) : "");
        }
    }
}

static cJSON *unit_as_json(const struct fade_result *result, size_t row, size_t unit)
{
    const mtm_fade_finding *finding = fade_finding(result, row, unit);
    cJSON *object = cJSON_CreateObject();
    char cure[CURE_ROOM];

    mtm_fade_cure(result->show, unit, finding, result->visible, cure, sizeof cure);
    json_add_text(object, "unit", unit_name(result, unit));
    json_add_number(object, "bits", finding->bits, 0);
    json_add_number(object, "step_de2000", finding->step, 4);
    json_add_number(object, "step_s", finding->step_s, 4);
    json_add_number(object, "step_lightness", finding->step_lightness, 4);
    json_add_number(object, "level_change", finding->level_change, 6);
    json_add_number(object, "pace_de2000", finding->pace, 4);
    json_add_text(object, "cause", causes[finding->cause].name);
    json_add_text(object, "channel", channel_name(result, unit, finding->channel));
    json_add_number(object, "code_from", finding->code_from, 0);
    json_add_number(object, "code_to", finding->code_to, 0);
    json_add_number(object, "stray_uv", finding->stray, 6);
    json_add_number(object, "stray_s", finding->stray_s, 4);
    json_add_text(object, "stray_cause", causes[finding->stray_cause].name);
    json_add_text(object, "goal", goal_gone_by(finding));
    json_add_text(object, "goal_reason",
                  finding->fallback != MTM_FALLBACK_NONE ? mtm_fallback_text(finding->fallback)
                                                         : NULL);
    json_add_number(object, "left_dark_delta_uv",
                    finding->left_dark_uv > 0 ? finding->left_dark_uv : (double)NAN, 6);
    json_add_text(object, "dimming", dimming_of(finding));
    json_add_text(object, "cure", cure[0] != '\0' ? cure : NULL);
    return object;
}

static cJSON *write_json(const void *data)
{
    const struct fade_result *result = data;
    cJSON *root = cJSON_CreateObject();
    cJSON *cues = json_add_array(root, "cues");

    json_add_number(root, "refresh_hz", result->rate_hz, 3);
    json_add_number(root, "visible_de2000", result->visible, 3);
    for (size_t row = 0; row < result->cue_count; row++) {
        const mtm_cue *cue = mtm_show_cue(result->show, result->cue[row]);
        cJSON *object = json_append_object(cues);
        cJSON *units = NULL;

        json_add_number(object, "cue", cue->number, 1);
        json_add_text(object, "text", cue->text);
        units = json_add_array(object, "units");
        for (size_t i = 0; i < mtm_rig_unit_count(mtm_show_rig(result->show)); i++) {
            if (fade_finding(result, row, i)->moves)
                json_append(units, unit_as_json(result, row, i));
        }
    }
    return root;
}

const struct writer fade_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(write_json), WRITER_CSV(write_csv), {0}};
