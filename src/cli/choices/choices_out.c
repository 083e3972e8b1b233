/* SPDX-License-Identifier: MIT */
/* Choices output: the ways to make one colour, as a table, JSON or CSV. */
#include "cli/choices/choices_out.h"

#include "cli/match/match_quality.h"
#include "cli/out/json.h"
#include "cli/out/text.h"

#include <metamer/white.h>

#include <math.h>
#include <string.h>

static mtm_white white_of(const mtm_match *match)
{
    mtm_white white = {NAN, NAN};

    if (!(match->xyz.y > 0) || mtm_white_from_xy(match->xy, &white, NULL) != MTM_OK)
        white = (mtm_white){NAN, NAN};
    return white;
}

static double lm_per_w(const mtm_match *match)
{
    return match->watts > 0 ? match->flux_lm / match->watts : (double)NAN;
}

static void put_number(double value, int width, int decimals, FILE *out)
{
    if (isfinite(value))
        (void)fprintf(out, "%*.*f", width, decimals, value);
    else
        (void)fprintf(out, "%*s", width, "-");
}

static void put_way(const struct way *way, size_t number, double most, FILE *out)
{
    const mtm_match *match = &way->match;
    mtm_white white = white_of(match);

    (void)fprintf(out, "%-3zu", number);
    put_number(match->flux_lm, 7, 0, out);
    put_number(most > 0 ? 100 * match->flux_lm / most : (double)NAN, 7, 0, out);
    put_number(match->watts, 8, 1, out);
    put_number(lm_per_w(match), 7, 1, out);
    put_number(way->rf, 6, 1, out);
    put_number(way->ra, 6, 1, out);
    put_number(white.cct_k, 7, 0, out);
    put_number(text_clean(white.duv, 4), 9, 4, out);
    put_number(match->delta_uv, 8, 4, out);
    if (way->name != NULL)
        (void)fprintf(out, "  %s", way->name);
}

/* Why the ways are not chosen by rendering too. */
static void put_fallback(mtm_fallback fallback, FILE *out)
{
    if (fallback != MTM_FALLBACK_NONE)
        (void)fprintf(out, "; %s%s", fallback == MTM_FALLBACK_ONE_MIX ? "" : "no rendering: ",
                      mtm_fallback_text(fallback));
}

static void put_slots(const struct choices_report *report, FILE *out)
{
    const mtm_mode *mode = report->unit->mode;

    if (report->unit->address > 0)
        (void)fprintf(out, "\nSlot values in order, from universe %d, address %d\n",
                      report->unit->universe, report->unit->address);
    else
        (void)fprintf(out, "\nSlot values in order (the unit has no address yet)\n");
    for (size_t i = 0; i < report->count; i++) {
        uint8_t slot[MTM_ADDRESS_MAX];
        mtm_codes_to_slots(mode, &report->way[i].match.codes, slot);
        (void)fprintf(out, "%-3zu", i + 1);
        for (size_t k = 0; k < mode->slot_count; k++)
            (void)fprintf(out, " %3d", slot[k]);
        (void)fputc('\n', out);
    }
}

/* What Ra is measured against, and what spectra all of it rests on. */
static void put_basis(const struct choices_report *report, FILE *out)
{
    double least_k = (double)INFINITY;
    double most_k = 0;
    bool ideal_lines = false;

    for (size_t i = 0; i < report->count; i++) {
        double cct_k = white_of(&report->way[i].match).cct_k;
        if (isfinite(cct_k) && isfinite(report->way[i].ra)) {
            least_k = fmin(least_k, cct_k);
            most_k = fmax(most_k, cct_k);
        }
        ideal_lines = ideal_lines || report->way[i].ideal_lines;
    }
    if (most_k > 0)
        put_ra_reference(least_k, most_k, out);
    if (ideal_lines)
        (void)fprintf(out, "Some spectra are ideal lines, drawn from peak and width; Rf and Ra are "
                           "as good as these.\n");
}

static mtm_result write_table(const struct choices_report *report, FILE *out, mtm_error *error)
{
    (void)error;
    (void)fprintf(out, "%s, %s, mode %s: target %s\n\n", report->unit->name,
                  mtm_fixture_name(report->unit->fixture), report->unit->mode->name,
                  report->target->description);
    (void)fprintf(out, "No  Output  Share   Power   lm/W    Rf    Ra    CCT      Duv");
    text_put("   Δu'v'", 8, out);
    (void)fprintf(out, "\n        lm      %%       W                       K\n");
    for (size_t i = 0; i < report->count; i++) {
        put_way(&report->way[i], i + 1, report->way[0].match.flux_lm, out);
        if (i == 0)
            put_fallback(report->fallback, out);
        (void)fputc('\n', out);
    }
    put_slots(report, out);
    if (report->count > 1)
        (void)fprintf(out, "\nNone of these has at once as much light%s as another.\n",
                      report->fallback == MTM_FALLBACK_NONE ? ", as few watts and as good an Rf"
                                                            : " and as few watts");
    else
        (void)fprintf(out, "\nThere is no choice: one mixture is the best in all.\n");
    put_basis(report, out);
    return MTM_OK;
}

static cJSON *json_way(const struct choices_report *report, const struct way *way)
{
    cJSON *object = cJSON_CreateObject();
    const mtm_match *match = &way->match;
    const mtm_fixture *fixture = report->unit->fixture;
    mtm_white white = white_of(match);
    mtm_uv uv = mtm_uv_from_xyz(match->xyz);
    uint8_t slot[MTM_ADDRESS_MAX];

    json_add_text(object, "what", way->name);
    json_add_number(object, "flux_lm", match->flux_lm, 3);
    json_add_number(object, "watts", match->watts, 3);
    json_add_text(object, "rests_on", way->ideal_lines ? "ideal lines" : "spectra");
    json_add_number(object, "rf", way->rf, 2);
    json_add_number(object, "ra", way->ra, 2);
    json_add_xy(object, match->xy, 6);
    json_add_uv(object, uv, 6);
    json_add_number(object, "cct_k", white.cct_k, 2);
    json_add_number(object, "duv", white.duv, 6);
    json_add_number(object, "delta_uv", match->delta_uv, 6);
    cJSON *levels = json_add_object(object, "levels");
    cJSON *codes = json_add_object(object, "codes");
    if (report->unit->mode->dimmer_bits > 0)
        json_add_number(codes, "dimmer", match->codes.dimmer, 0);
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        const char *name = mtm_fixture_emitter(fixture, k)->name;
        json_add_number(levels, name, match->level[k], 6);
        json_add_number(codes, name, match->codes.emitter[k], 0);
    }
    cJSON *slots = json_add_array(object, "slots");
    mtm_codes_to_slots(report->unit->mode, &match->codes, slot);
    for (size_t k = 0; k < report->unit->mode->slot_count; k++)
        json_append_number(slots, slot[k], 0);
    return object;
}

static mtm_result write_json(const struct choices_report *report, FILE *out, mtm_error *error)
{
    cJSON *root = cJSON_CreateObject();
    bool placed = report->unit->address > 0;

    json_add_text(root, "unit", report->unit->name);
    json_add_number(root, "universe", placed ? report->unit->universe : (double)NAN, 0);
    json_add_number(root, "address", placed ? report->unit->address : (double)NAN, 0);
    json_add_text(root, "target", report->target->description);
    json_add_text(root, "goal_reason",
                  report->fallback != MTM_FALLBACK_NONE ? mtm_fallback_text(report->fallback)
                                                        : NULL);
    cJSON *choices = json_add_array(root, "choices");
    for (size_t i = 0; i < report->count; i++)
        json_append(choices, json_way(report, &report->way[i]));
    return json_print(root, out, error);
}

static mtm_result write_csv(const struct choices_report *report, FILE *out, mtm_error *error)
{
    (void)error;
    (void)fprintf(
        out, "what,flux_lm,watts,rf,ra,x,y,u_prime,v_prime,cct_k,duv,delta_uv,goal_reason,slots\n");
    for (size_t i = 0; i < report->count; i++) {
        const struct way *way = &report->way[i];
        mtm_uv uv = mtm_uv_from_xyz(way->match.xyz);
        const double cells[] = {way->match.flux_lm,
                                way->match.watts,
                                way->rf,
                                way->ra,
                                way->match.xy.x,
                                way->match.xy.y,
                                uv.u,
                                uv.v,
                                white_of(&way->match).cct_k,
                                white_of(&way->match).duv,
                                way->match.delta_uv};
        uint8_t slot[MTM_ADDRESS_MAX];
        text_put_csv(way->name != NULL ? way->name : "", out);
        for (size_t k = 0; k < sizeof cells / sizeof *cells; k++) {
            if (isfinite(cells[k]))
                (void)fprintf(out, ",%.6f", text_clean(cells[k], 6));
            else
                (void)fputc(',', out);
        }
        (void)fputc(',', out);
        text_put_csv(mtm_fallback_text(report->fallback), out);
        mtm_codes_to_slots(report->unit->mode, &way->match.codes, slot);
        for (size_t k = 0; k < report->unit->mode->slot_count; k++)
            (void)fprintf(out, "%c%d", k == 0 ? ',' : ' ', slot[k]);
        (void)fputc('\n', out);
    }
    return MTM_OK;
}

const struct choices_writer choices_writers[] = {
    {"table", write_table},
    {"json", write_json},
    {"csv", write_csv},
    {NULL, NULL},
};
