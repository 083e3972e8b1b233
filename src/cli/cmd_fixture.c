/* SPDX-License-Identifier: MIT */
/* metamer fixture: describes and checks one fixture file. */
#include "cli/args/picture.h"
#include "cli/args/target.h"
#include "cli/fixture_mixing.h"
#include "cli/out/caution.h"
#include "cli/out/curve_view.h"
#include "cli/out/json.h"
#include "cli/out/slot_view.h"
#include "cli/out/text.h"
#include "cli/out/writer.h"

#include "base/error.h"
#include "fixture/slot.h"

#include <metamer/fixture.h>
#include <metamer/fixture_picture.h>
#include <metamer/solve.h>
#include <metamer/whites.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Temperatures that people ask for; what each answer shows. */
static const double white_cct_k[] = {2200, 2700, 3000, 3200, 3500, 4000,
                                     4500, 5000, 5600, 6500, 8000};

/* Lists go on in a new line behind this column. */
#define LINE_WIDTH 100
#define WHITE_COUNT (sizeof white_cct_k / sizeof white_cct_k[0])

/* All that is said of a fixture. */
struct description {
    const mtm_fixture *fixture;
    mtm_observer observer;
    bool curve; /**< tell the curves in figures */
    mtm_xy corner[MTM_EMITTERS_MAX];
    size_t corner_count;
    double full_lm, full_w; /**< all emitters at full */
    mtm_white_range range;
    mtm_fixture_white white[WHITE_COUNT]; /**< at each of white_cct_k */
};

static mtm_result describe(struct description *d, mtm_error *error)
{
    mtm_solver *solver = NULL;
    if (mtm_fixture_emitter_count(d->fixture) == 0)
        return MTM_OK; /* its modes tell what they make */
    mtm_result result = mtm_solver_create_for(d->fixture, d->observer, &solver, error);

    if (result != MTM_OK)
        return result;
    d->corner_count = mtm_solver_gamut(solver, d->corner);
    for (size_t i = 0; i < mtm_fixture_emitter_count(d->fixture); i++) {
        d->full_lm += mtm_fixture_emitter(d->fixture, i)->flux_lm;
        d->full_w += mtm_fixture_emitter(d->fixture, i)->watts;
    }
    mtm_solver_free(solver);
    return mtm_fixture_whites(d->fixture, d->observer, white_cct_k, WHITE_COUNT, d->white,
                              &d->range, error);
}

static double per_watt(double lm, double w)
{
    return w > 0 ? lm / w : NAN;
}

/* Decimals that the faintest emitter needs. */
static int decimals_for_lm(const struct description *d)
{
    double least = INFINITY;

    for (size_t i = 0; i < mtm_fixture_emitter_count(d->fixture); i++) {
        double flux_lm = mtm_fixture_emitter(d->fixture, i)->flux_lm;
        least = flux_lm > 0 ? fmin(least, flux_lm) : least;
    }
    return text_decimals(least, 0);
}

/* What an emitter's colour is known by. */
enum knowledge { BY_SPECTRUM, BY_LINE, BY_CHROMATICITY };

static const struct {
    const char *table, *json;
} knowledge_names[] = {
    [BY_SPECTRUM] = {"spectrum", "spectrum"},
    [BY_LINE] = {"peak and width: an ideal line", "peak and width"},
    [BY_CHROMATICITY] = {"x, y", "xy"},
};

static enum knowledge knowledge_of(const mtm_emitter *emitter)
{
    if (emitter->spectrum == NULL)
        return BY_CHROMATICITY;
    return emitter->ideal_line ? BY_LINE : BY_SPECTRUM;
}

static void write_emitters(const struct description *d, FILE *out)
{
    int lm_decimals = decimals_for_lm(d);

    (void)fprintf(out,
                  "%-14s       x       y   Output    Power      lm/W  Colour known by\n"
                  "%-14s                       lm        W\n",
                  "Emitter", "");
    for (size_t i = 0; i < mtm_fixture_emitter_count(d->fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(d->fixture, i);
        mtm_xy xy = mtm_xy_from_xyz(emitter->xyz[d->observer]);
        text_put(emitter->name, 14, out);
        text_put_cell(emitter->flux_lm > 0 ? xy.x : NAN, 8, 4, out);
        text_put_cell(emitter->flux_lm > 0 ? xy.y : NAN, 8, 4, out);
        (void)fprintf(out, "  %7.*f  %7.1f  ", emitter->flux_lm > 0 ? lm_decimals : 0,
                      emitter->flux_lm, emitter->watts);
        text_put_cell(per_watt(emitter->flux_lm, emitter->watts), 8, 1, out);
        (void)fprintf(out, "  %s\n", knowledge_names[knowledge_of(emitter)].table);
    }
    text_put("all at full", 14, out);
    (void)fprintf(out, "  %6s  %6s  %7.*f  %7.1f  ", "", "", lm_decimals, d->full_lm, d->full_w);
    text_put_cell(per_watt(d->full_lm, d->full_w), 8, 1, out);
    (void)fputc('\n', out);
}

/* "red fine", or "red.fine" as in the file. */
static void name_slot(const struct description *d, const mtm_mode *mode, const mtm_slot *slot,
                      char between, char *text, size_t room)
{
    slot_name(d->fixture, mode, slot, between, text, room);
    if (slot_has_channel(slot))
        return;
    if (slot->role == MTM_SLOT_OPEN)
        (void)snprintf(text, room, "open %d, dark %d", slot->fixed, slot->dark);
    else
        (void)snprintf(text, room, "%s %d", mtmi_slot_key(slot->role), slot->fixed);
}

/* One more of a list, with its comma or the like, on a new line where the old one is full. */
static void put_listed(const char *text, const char *behind, int indent, int *column, FILE *out)
{
    int width = text_width(text) + text_width(behind);

    if (*column > indent && *column + 1 + width > LINE_WIDTH) {
        (void)fprintf(out, "\n%*s", indent - 1, "");
        *column = indent - 1;
    }
    (void)fprintf(out, " %s%s", text, behind);
    *column += 1 + width;
}

static void write_modes(const struct description *d, FILE *out)
{
    (void)fprintf(out, "\nModes\n");
    for (size_t i = 0; i < mtm_fixture_mode_count(d->fixture); i++) {
        const mtm_mode *mode = mtm_fixture_mode(d->fixture, i);
        int column = text_width(mode->name) + 2;
        (void)fprintf(out, "  %s", mode->name);
        column += fprintf(out, ", %zu slot%s:", mode->slot_count, mode->slot_count == 1 ? "" : "s");
        for (size_t k = 0; k < mode->slot_count; k++) {
            char name[SLOT_NAME_ROOM];
            name_slot(d, mode, &mode->slots[k], ' ', name, sizeof name);
            put_listed(name, k + 1 < mode->slot_count ? "," : "", 4, &column, out);
        }
        (void)fputc('\n', out);
        if (mode->mixing != NULL)
            put_mixing(mode->mixing, out);
    }
}

static void write_whites(const struct description *d, FILE *out)
{
    if (mtm_fixture_emitter_count(d->fixture) == 1)
        (void)fprintf(out, "\nOne emitter has one colour: only its light can be matched.\n\n");
    else if (d->range.warmest_k > 0)
        (void)fprintf(out, "\nWhites from %.0f K to %.0f K, within Δu'v' %.4f of the locus.\n\n",
                      d->range.warmest_k, d->range.coolest_k, d->range.farthest_uv);
    else
        (void)fprintf(out, "\nNo white from 1000 K to 25000 K lies within Δu'v' %.3f.\n\n",
                      MTM_WHITE_NEAR_UV);
    (void)fprintf(out, "   White    Made      Duv   Output    Power      lm/W   Δu'v'\n"
                       "       K       K                lm        W\n");
    for (size_t i = 0; i < WHITE_COUNT; i++) {
        const mtm_answer *answer = &d->white[i].answer;
        if (answer->delta_uv > 0.02)
            continue; /* not a white any more: nothing to choose a fixture by */
        (void)fprintf(out, "  %6.0f", white_cct_k[i]);
        text_put_cell(d->white[i].made.cct_k, 8, 0, out);
        text_put_signed_cell(d->white[i].made.duv, 9, 4, out);
        (void)fprintf(out, "  %7.0f  %7.1f  ", d->white[i].flux_lm, answer->watts);
        text_put_cell(per_watt(d->white[i].flux_lm, answer->watts), 8, 1, out);
        (void)fprintf(out, "  %.4f%s\n", answer->delta_uv,
                      (answer->shortfall & MTM_SHORT_POWER) != 0 ? "  power limit" : "");
    }
}

static void write_cautions(const struct description *d, FILE *out)
{
    for (size_t i = 0; i < mtm_fixture_emitter_count(d->fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(d->fixture, i);
        if (emitter->spectrum != NULL && emitter->flux_lm > 0)
            put_light_caution(emitter->name, emitter->spectrum, out);
    }
}

static void write_table(const void *data, FILE *out)
{
    const struct description *d = data;
    double limit_w = mtm_fixture_power_limit_w(d->fixture);
    size_t count = mtm_fixture_emitter_count(d->fixture);

    (void)fprintf(out, "%s: %zu emitter%s", mtm_fixture_name(d->fixture), count,
                  count == 1 ? "" : "s");
    if (isfinite(limit_w))
        (void)fprintf(out, ", power limit %.1f W", limit_w);
    (void)fprintf(out, ", %s observer\n\n", d->observer == MTM_OBSERVER_10 ? "10°" : "2°");
    if (count == 0) {
        (void)fprintf(out, "It has no emitters that are known: its modes tell what they make.\n");
        write_modes(d, out);
        return;
    }
    write_emitters(d, out);
    int column = fprintf(out, "\nGamut corners (x, y):") - 1;
    for (size_t i = 0; i < d->corner_count; i++) {
        char corner[32];
        (void)snprintf(corner, sizeof corner, "%.4f, %.4f", d->corner[i].x, d->corner[i].y);
        put_listed(corner, i + 1 < d->corner_count ? ";" : "", 4, &column, out);
    }
    (void)fputc('\n', out);
    put_curves(d->fixture, out);
    if (d->curve)
        put_curve_table(d->fixture, out);
    write_whites(d, out);
    write_modes(d, out);
    write_cautions(d, out);
}

static void json_add_emitters(cJSON *root, const struct description *d)
{
    cJSON *list = json_add_array(root, "emitters");

    for (size_t i = 0; i < mtm_fixture_emitter_count(d->fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(d->fixture, i);
        mtm_xy xy = mtm_xy_from_xyz(emitter->xyz[d->observer]);
        cJSON *one = json_append_object(list);
        json_add_text(one, "name", emitter->name);
        bool lit = emitter->flux_lm > 0;
        json_add_xy(one, lit ? xy : (mtm_xy){NAN, NAN}, 6);
        json_add_number(one, "flux_lm", emitter->flux_lm, 3);
        json_add_number(one, "watts", emitter->watts, 3);
        json_add_number(one, "lm_per_w", per_watt(emitter->flux_lm, emitter->watts), 2);
        json_add_bool(one, "has_spectrum", emitter->spectrum != NULL);
        json_add_text(one, "known_by", knowledge_names[knowledge_of(emitter)].json);
        json_add_curve(one, "curve", emitter->curve);
    }
}

static void json_add_whites(cJSON *root, const struct description *d)
{
    cJSON *list = json_add_array(root, "whites");

    json_add_pair(root, "white_range_k", d->range.warmest_k > 0 ? d->range.warmest_k : NAN,
                  d->range.warmest_k > 0 ? d->range.coolest_k : NAN, 0);
    json_add_number(root, "white_range_delta_uv",
                    d->range.warmest_k > 0 ? d->range.farthest_uv : NAN, 6);
    for (size_t i = 0; i < WHITE_COUNT; i++) {
        cJSON *one = json_append_object(list);
        json_add_number(one, "cct_k", white_cct_k[i], 0);
        json_add_number(one, "made_cct_k", d->white[i].made.cct_k, 2);
        json_add_number(one, "made_duv", d->white[i].made.duv, 6);
        json_add_number(one, "flux_lm", d->white[i].flux_lm, 3);
        json_add_number(one, "watts", d->white[i].answer.watts, 3);
        json_add_number(one, "delta_uv", d->white[i].answer.delta_uv, 6);
    }
}

/* A slot as the file writes it. */
static void json_append_slot(cJSON *list, const struct description *d, const mtm_mode *mode,
                             const mtm_slot *slot)
{
    char name[SLOT_NAME_ROOM];

    if (mtmi_slot_carries(slot).channel == MTMI_NO_CHANNEL) {
        cJSON *object = cJSON_CreateObject();
        json_add_number(object, mtmi_slot_key(slot->role), slot->fixed, 0);
        if (slot->role == MTM_SLOT_OPEN)
            json_add_number(object, "dark", slot->dark, 0);
        json_append(list, object);
        return;
    }
    name_slot(d, mode, slot, '.', name, sizeof name);
    json_append_text(list, name);
}

static void json_add_modes(cJSON *root, const struct description *d)
{
    cJSON *list = json_add_array(root, "modes");

    for (size_t i = 0; i < mtm_fixture_mode_count(d->fixture); i++) {
        const mtm_mode *mode = mtm_fixture_mode(d->fixture, i);
        cJSON *one = json_append_object(list);
        json_add_text(one, "name", mode->name);
        json_add_number(one, "slots", (double)mode->slot_count, 0);
        json_add_number(one, "dimmer_bits", mode->dimmer_bits, 0);
        json_add_mixing(one, "mixing", mode->mixing);
        cJSON *order = json_add_array(one, "order");
        for (size_t k = 0; k < mode->slot_count; k++) {
            json_append_slot(order, d, mode, &mode->slots[k]);
        }
    }
}

static cJSON *write_json(const void *data)
{
    const struct description *d = data;
    cJSON *root = cJSON_CreateObject();
    cJSON *gamut;

    json_add_text(root, "name", mtm_fixture_name(d->fixture));
    json_add_number(root, "observer_deg", d->observer == MTM_OBSERVER_10 ? 10 : 2, 0);
    json_add_number(root, "power_limit_w", mtm_fixture_power_limit_w(d->fixture), 3);
    json_add_emitters(root, d);
    json_add_curve(root, "dimmer_curve", mtm_fixture_dimmer_curve(d->fixture));
    gamut = json_add_array(root, "gamut");
    for (size_t i = 0; i < d->corner_count; i++) {
        cJSON *corner = cJSON_CreateArray();
        json_append_number(corner, d->corner[i].x, 6);
        json_append_number(corner, d->corner[i].y, 6);
        json_append(gamut, corner);
    }
    if (mtm_fixture_emitter_count(d->fixture) > 0)
        json_add_whites(root, d);
    json_add_modes(root, d);
    return root;
}

static const struct writer writers[] = {WRITER_TABLE(write_table), WRITER_JSON(write_json), {0}};

/* The picture first: where it cannot be drawn, nothing else is written either. */
static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              const struct description *d, struct outlet *to, mtm_error *error)
{
    mtm_picture *picture = NULL;
    mtm_result result =
        mtm_picture_of_fixture(d->fixture, d->observer, &request->options, &picture, error);

    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    mtm_fixture *fixture = NULL;
    struct description description = {.observer = observer_from_args(args),
                                      .curve = args_has(args, "curve")};
    struct picture_request picture;
    mtm_result result = picture_from_args(args, &picture, error);

    if (result == MTM_OK)
        result = mtm_fixture_load(args->words[0], &fixture, error);
    description.fixture = fixture;
    if (result == MTM_OK)
        result = describe(&description, error);
    if (result == MTM_OK && picture.wanted)
        result = put_picture(args, &picture, &description, to, error);
    if (result == MTM_OK && !picture.alone)
        result = write_report(args, &description, to->out, error);
    mtm_fixture_free(fixture);
    return result;
}

static const struct option_spec options[] = {
    OPTION_FLAG("curve", "a table of light by code, for each dimming curve",
                .against = "format=json"),
    OPTION_FORMAT(writers, FORMAT_HELP),
    {0},
};

static const struct option_group groups[] = {{.title = "Options", .options = observer_options},
                                             {.title = "", .options = options},
                                             GROUP_PICTURE,
                                             GROUP_DIAGRAM,
                                             {0}};

static const char *const examples[] = {
    "metamer fixture profiles/five-colour-wash.json",
    "metamer fixture profiles/five-colour-batten.json --curve",
    "metamer fixture profiles/five-colour-wash.json --picture wash.svg",
    NULL,
};

const struct command cmd_fixture = {
    .name = "fixture",
    .summary = "describe and check one kind of fixture",
    .usage = "FILE",
    .details = "Reads a fixture file and tells what the fixture can do: its emitters, the corners "
               "of its gamut, its dimming curves, the whites it reaches with output and efficacy "
               "at the most it gives, "
               "and its control modes slot by slot. A file that is wrong gets one sentence that "
               "says where.\n\n"
               "--picture draws its gamut, the whites it makes shaded by the most light there, "
               "the spectra of its emitters at full, and its dimming curves down to the first "
               "codes.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
