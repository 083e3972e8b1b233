/* SPDX-License-Identifier: MIT */
/* The picture of how a match renders: of each kind of unit the one that renders least truly. */
#include <metamer/rendering_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/light/rendering.h"
#include "picture/make.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A kind's range of Rf is told from here on. */
#define RANGE_TOLD 0.1

/* Units of one fixture, by its name: also those that were measured one by one. */
struct kind {
    const mtm_unit *unit; /* the first */
    size_t count;
    size_t drawn; /* match of the one that is */
    double least_rf, most_rf;
    mtm_quality quality;
    mtmi_text name, note;
};

struct kinds {
    struct kind *kind;
    mtm_light_view *light;
    size_t count;
};

static const mtm_unit *unit_of(const mtm_match_light_view *view, size_t match)
{
    return mtm_rig_unit(view->rig, view->match[match].unit);
}

static bool same_kind(const mtm_unit *a, const mtm_unit *b)
{
    bool mixes = a->mode->mixing != NULL || b->mode->mixing != NULL;

    return (a->fixture == b->fixture ||
            strcmp(mtm_fixture_name(a->fixture), mtm_fixture_name(b->fixture)) == 0) &&
           (!mixes || strcmp(a->mode->name, b->mode->name) == 0);
}

/* How much of a unit can be shown: with indices, with a spectrum, or nothing. */
static int shown(const mtm_judgement *judgement)
{
    return judgement->has_quality ? 2 : judgement->has_spectrum ? 1 : 0;
}

/* True if a match shows more than another, or renders less truly. */
static bool rather(const mtm_judgement *a, const mtm_judgement *b)
{
    if (shown(a) != shown(b))
        return shown(a) > shown(b);
    return a->has_quality && mtmi_exceeds(b->rf, a->rf);
}

static void put_in_kind(const mtm_match_light_view *view, struct kinds *kinds, size_t match)
{
    const mtm_unit *unit = unit_of(view, match);
    const mtm_judgement *judgement = &view->judgement[match];
    size_t at = 0;

    while (at < kinds->count && !same_kind(kinds->kind[at].unit, unit))
        at++;
    struct kind *kind = &kinds->kind[at];
    if (at == kinds->count) {
        *kind =
            (struct kind){.unit = unit, .drawn = match, .least_rf = INFINITY, .most_rf = -INFINITY};
        kinds->count++;
    } else if (rather(judgement, &view->judgement[kind->drawn])) {
        kind->drawn = match;
    }
    kind->count++;
    if (judgement->has_quality) {
        kind->least_rf = fmin(kind->least_rf, judgement->rf);
        kind->most_rf = fmax(kind->most_rf, judgement->rf);
    }
}

/* "3 × five-colour wash", and which of them is drawn. */
static void name_kind(const mtm_match_light_view *view, struct kind *kind)
{
    const char *drawn = unit_of(view, kind->drawn)->name;

    if (kind->count == 1) {
        mtmi_text_add(&kind->name, "%s", drawn);
        mtmi_text_add(&kind->note, "%s", mtm_fixture_name(kind->unit->fixture));
        return;
    }
    mtmi_text_add(&kind->name, "%zu × %s", kind->count, mtm_fixture_name(kind->unit->fixture));
    mtmi_text_add(&kind->note, "drawn: %s", drawn);
    if (kind->most_rf - kind->least_rf >= RANGE_TOLD)
        mtmi_text_add(&kind->note, ", all: Rf %.1f to %.1f", kind->least_rf, kind->most_rf);
}

static const char *why_missing(const mtm_match *match, const mtm_judgement *judgement)
{
    if (!(match->xyz.y > 0))
        return "it is dark";
    return judgement->has_spectrum ? "its colour has no colour temperature"
                                   : "its emitters are known by x, y only";
}

static mtm_result fill_light(const mtm_match_light_view *view, struct kind *kind,
                             mtm_light_view *light, mtm_error *error)
{
    const mtm_match *match = &view->match[kind->drawn];
    const mtm_judgement *judgement = &view->judgement[kind->drawn];
    mtm_result result = MTM_OK;

    name_kind(view, kind);
    if (kind->name.failed || kind->note.failed)
        return mtmi_fail_memory(error);
    *light = (mtm_light_view){.name = kind->name.data,
                              .note = kind->note.data,
                              .spectrum = judgement->has_spectrum ? &judgement->spectrum : NULL,
                              .fixture = unit_of(view, kind->drawn)->fixture,
                              .level = match->level,
                              .missing = why_missing(match, judgement),
                              .ideal_lines = judgement->ideal_lines};
    if (judgement->has_quality) {
        result = mtm_quality_from_spectrum(&judgement->spectrum, &kind->quality, error);
        light->quality = &kind->quality;
    }
    return result;
}

static mtm_result gather(const mtm_match_light_view *view, struct kinds *kinds, mtm_error *error)
{
    kinds->kind = calloc(view->count, sizeof *kinds->kind);
    if (kinds->kind == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < view->count; i++)
        put_in_kind(view, kinds, i);
    kinds->light = calloc(kinds->count, sizeof *kinds->light);
    if (kinds->light == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < kinds->count; i++) {
        mtm_result result = fill_light(view, &kinds->kind[i], &kinds->light[i], error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

static void kinds_free(struct kinds *kinds)
{
    for (size_t i = 0; i < kinds->count; i++) {
        mtmi_text_free(&kinds->kind[i].name);
        mtmi_text_free(&kinds->kind[i].note);
    }
    free(kinds->kind);
    free(kinds->light);
}

static mtm_result check(const mtm_match_light_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->target == NULL || view->match == NULL ||
        view->judgement == NULL || view->count == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of how a match renders needs its rig, target, and of each "
                         "match a judgement");
    for (size_t i = 0; i < view->count; i++) {
        if (view->match[i].unit >= mtm_rig_unit_count(view->rig))
            return mtmi_fail(error, MTM_INVALID, "the rig has no unit %zu", view->match[i].unit);
    }
    return MTM_OK;
}

mtm_result mtm_picture_of_match_rendering(const mtm_match_light_view *view,
                                          const mtm_picture_options *options, mtm_picture **out,
                                          mtm_error *error)
{
    struct kinds kinds = {.count = 0};
    mtmi_text title = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, error);
    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result != MTM_OK)
        return result;
    mtmi_text_add(&title, "%s: how %zu unit%s render%s, target %s", mtm_rig_name(view->rig),
                  view->count, view->count == 1 ? "" : "s", view->count == 1 ? "s" : "",
                  view->target->description);
    result = title.failed ? mtmi_fail_memory(error) : gather(view, &kinds, error);
    if (result == MTM_OK) {
        const mtmi_lights lights = {kinds.light, kinds.count};
        result = mtmi_rendering_make(&lights, title.data, options, out, error);
    }
    kinds_free(&kinds);
    mtmi_text_free(&title);
    return result;
}
