/* SPDX-License-Identifier: MIT */
/* Rig output: a survey of a rig, as a table or as JSON. */
#include "cli/rig/rig_out.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include "base/number.h"

#include <metamer/demand.h>
#include <metamer/selection.h>
#include <metamer/white.h>

#include <math.h>

#define NAME_MOST 22 /* columns of a name in a table */

static const char *name_of(const struct rig_view *view, size_t unit)
{
    const mtm_unit *of = mtm_rig_unit(view->rig, unit);

    return of != NULL ? of->name : "";
}

/* ", 3 of them measured" and the like, where there are any. */
static void put_count(const char *before, size_t count, const char *behind, FILE *out)
{
    if (count > 0)
        (void)fprintf(out, "%s%zu%s", before, count, behind);
}

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

static void put_sums(const struct rig_view *view, FILE *out)
{
    mtm_survey_sums sums = mtm_survey_sums_of(view->survey);
    char text[200];

    (void)snprintf(text, sizeof text, "%.100s:", mtm_rig_name(view->rig));
    (void)fprintf(out, "%s %zu unit%s in %zu universe%s, %zu slots; ", text, sums.units,
                  plural(sums.units), sums.universes, plural(sums.universes), sums.slots);
    (void)fprintf(out, "%.1f W all full, on %zu suppl%s\n", sums.full_w, sums.supplies,
                  sums.supplies == 1 ? "y" : "ies");
    put_count("", sums.measured, " measured\n", out);
    put_count("", sums.followers, " sharing the slots of another\n", out);
    put_count("", sums.unaddressed, " without an address\n", out);
    put_count("", sums.unsupplied, " on no supply\n", out);
}

static void put_range_cells(const mtm_survey_kind *kind, FILE *out)
{
    text_put_cell(kind->warmest_k > 0 ? kind->warmest_k : NAN, 8, 0, out);
    text_put_cell(kind->warmest_k > 0 ? kind->coolest_k : NAN, 8, 0, out);
}

/* "  limits: lime up to 30 %", below the kind's line; nothing for one without. */
static void put_limits(const mtm_fixture *fixture, FILE *out)
{
    char text[TEXT_LIMITS_ROOM];

    text_limits(fixture, text, sizeof text);
    if (text[0] == '\0')
        return;
    int at = fprintf(out, "  limits:");
    (void)text_put_wrapped(text, at, 4, text_line_columns(out), out);
    (void)fputc('\n', out);
}

static void put_kinds(const struct rig_view *view, FILE *out)
{
    int kind_width = 4;
    int mode_width = 4;

    for (size_t i = 0; i < mtm_survey_kind_count(view->survey); i++) {
        const mtm_survey_kind *kind = mtm_survey_kind_at(view->survey, i);
        kind_width = text_widest(kind_width, kind->fixture);
        mode_width = text_widest(mode_width, kind->mode);
    }
    kind_width = kind_width < 34 ? kind_width : 34;
    mode_width = mode_width < 16 ? mode_width : 16;
    (void)fprintf(out, "\n%-*s  %-*s  Units  Slots  Full each  Whites from      to\n", kind_width,
                  "Kind", mode_width, "Mode");
    (void)fprintf(out, "%-*s  %-*s                       W            K       K\n", kind_width, "",
                  mode_width, "");
    for (size_t i = 0; i < mtm_survey_kind_count(view->survey); i++) {
        const mtm_survey_kind *kind = mtm_survey_kind_at(view->survey, i);
        text_put(kind->fixture, kind_width, out);
        (void)fputs("  ", out);
        text_put(kind->mode, mode_width, out);
        (void)fprintf(out, "  %5zu  %5zu  %9.1f     ", kind->unit_count, kind->slot_count,
                      kind->full_w);
        put_range_cells(kind, out);
        (void)fputc('\n', out);
        put_limits(mtm_rig_unit(view->rig, kind->first)->fixture, out);
    }
}

/* Units of a group that are looked at. */
static size_t meant_of(const struct rig_view *view, size_t group)
{
    size_t count = 0;
    size_t meant = 0;
    const size_t *unit = mtm_rig_group(view->rig, group, &count);

    for (size_t i = 0; i < count; i++)
        meant += view->meant[unit[i]];
    return meant;
}

static void put_groups(const struct rig_view *view, FILE *out)
{
    size_t last = mtm_rig_group_count(view->rig);
    int at = 0;

    while (last > 0 && meant_of(view, last - 1) == 0)
        last--;
    for (size_t i = 0; i < last; i++) {
        char text[480];
        size_t meant = meant_of(view, i);
        if (meant == 0)
            continue;
        (void)snprintf(text, sizeof text, "%s%s (%zu)%s", at == 0 ? "Groups: " : "",
                       mtm_rig_group_name(view->rig, i), meant, i + 1 < last ? "," : "");
        if (at == 0)
            (void)fputc('\n', out);
        at = text_put_wrapped(text, at, at == 0 ? 0 : 8, text_line_columns(out), out);
    }
    if (at > 0)
        (void)fputc('\n', out);
}

/* What ends a range, where something does. */
static void put_ends(const struct rig_view *view, const mtm_survey_range *range, FILE *out)
{
    size_t none = mtm_rig_unit_count(view->rig);
    bool same = range->ends_warm == range->ends_cool;

    if (range->ends_warm < none)
        (void)fprintf(out, "; warmer%s is out of reach for %s", same ? " or cooler" : "",
                      name_of(view, range->ends_warm));
    if (range->ends_cool < none && !same)
        (void)fprintf(out, "%s for %s",
                      range->ends_warm < none ? ", cooler" : "; cooler is out of reach",
                      name_of(view, range->ends_cool));
}

static void say_ranges(const void *of, FILE *out)
{
    const struct rig_view *view = of;
    const mtm_survey_sums sums = mtm_survey_sums_of(view->survey);

    if (sums.dims == sums.units)
        (void)fprintf(out, "\nThe colour of each goes with its output: they share no white.\n");
    else if (mtm_survey_range_count(view->survey) == 0)
        (void)fprintf(out, "\nThere is no white that all of them reach within Δu'v' %.4f.\n",
                      view->within_uv);
    else
        (void)fprintf(out, "\nWhites that all of them reach within Δu'v' %.4f:\n", view->within_uv);
    for (size_t i = 0; i < mtm_survey_range_count(view->survey); i++) {
        const mtm_survey_range *range = mtm_survey_range_at(view->survey, i);
        (void)fprintf(out, "  %.0f K to %.0f K", range->warmest_k, range->coolest_k);
        put_ends(view, range, out);
        (void)fputc('\n', out);
    }
    if (sums.dims > 0 && sums.dims < sums.units)
        (void)fprintf(out, "%zu unit%s left out here and below: %s colour goes with the output.\n",
                      sums.dims, sums.dims == 1 ? " is" : "s are",
                      sums.dims == 1 ? "its" : "their");
}

static int names_width(const struct rig_view *view)
{
    int width = 10;

    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, i);
        if (!white->exists)
            continue;
        width = text_widest(width, name_of(view, white->ends_output));
        width = white->judged > 0 ? text_widest(width, name_of(view, white->rf_unit)) : width;
    }
    return width < NAME_MOST ? width : NAME_MOST;
}

static void put_white(const struct rig_view *view, const mtm_survey_white *white, int width,
                      FILE *out)
{
    mtm_xy xy = {0, 0};

    if (white->exists && mtm_planck_xy(white->cct_k, MTM_OBSERVER_2, &xy, NULL) != MTM_OK)
        xy = (mtm_xy){0, 0};
    swatch_put(&view->swatches, xy, out);
    (void)fprintf(out, "%8.0f", white->cct_k);
    if (!white->exists) {
        (void)fprintf(out, "  no colour is common to %s and %s\n", name_of(view, white->apart[0]),
                      name_of(view, white->apart[1]));
        return;
    }
    (void)fprintf(out, "  %6.4f  %6.0f  ", white->delta_uv, white->flux_lm);
    text_put(name_of(view, white->ends_output), width, out);
    (void)fputs("  ", out);
    text_put_cell(white->watts, 8, 1, out);
    if (white->judged > 0) {
        (void)fprintf(out, "  %c%3.0f  ", white->ideal_lines ? '~' : ' ', white->rf);
        text_put(name_of(view, white->rf_unit), width, out);
    } else {
        (void)fprintf(out, "     -  %-*s", width, "");
    }
    (void)fprintf(out, "  %5zu\n", white->pair_count);
}

/* The pair that is farthest apart for the other eye, of all whites. */
static const mtm_survey_white *worst_pair(const struct rig_view *view)
{
    const mtm_survey_white *worst = NULL;

    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, i);
        if (white->pair_count > 0 &&
            (worst == NULL || mtmi_exceeds(white->pair.metamerism.delta_uv[MTM_OBSERVER_10],
                                           worst->pair.metamerism.delta_uv[MTM_OBSERVER_10])))
            worst = white;
    }
    return worst;
}

static void put_rf_basis(const struct rig_view *view, FILE *out)
{
    const mtm_survey_sums sums = mtm_survey_sums_of(view->survey);
    size_t least_judged = sums.units - sums.dims;
    size_t units = least_judged;
    bool lines = false;
    bool watts = true;

    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(view->survey, i);
        watts = watts && (!white->exists || isfinite(white->watts));
        lines = lines || (white->exists && white->judged > 0 && white->ideal_lines);
        if (white->exists && white->judged < least_judged)
            least_judged = white->judged;
    }
    (void)fprintf(out, "Rf (CIE 224, TM-30): the worst, and whose%s.\n",
                  lines ? "; ~ rests on ideal lines, drawn from peak and width" : "");
    if (least_judged < units)
        (void)fprintf(out, "Of some units it is not known: no spectrum, or no white.\n");
    if (!watts)
        (void)fprintf(out, "The watts are not known where units mix by themselves.\n");
}

static void put_pair_basis(const struct rig_view *view, FILE *out)
{
    const mtm_survey_white *worst = worst_pair(view);
    char text[480];

    if (worst == NULL) {
        text_put_sentence(
            "Pairs: none that agrees for the 2° eye is apart for the 10° one, as far as "
            "spectra are known.",
            out);
        return;
    }
    (void)snprintf(text, sizeof text,
                   "Pairs: alike to the 2° eye, beyond Δu'v' 0.0033 for the 10° one. At %.0f K "
                   "%.80s and %.80s are %.4f apart for the one and %.4f for the other.",
                   worst->cct_k, name_of(view, worst->pair.first),
                   name_of(view, worst->pair.second),
                   worst->pair.metamerism.delta_uv[MTM_OBSERVER_2],
                   worst->pair.metamerism.delta_uv[MTM_OBSERVER_10]);
    text_put_sentence(text, out);
}

static void put_whites(const struct rig_view *view, FILE *out)
{
    int width = names_width(view);

    (void)fputc('\n', out);
    swatch_put_none(&view->swatches, out);
    (void)fprintf(out, "   White   Δu'v'  Output  %-*s     Power    Rf  %-*s  Pairs\n", width,
                  "limited by", width, "of");
    swatch_put_none(&view->swatches, out);
    (void)fprintf(out, "       K         lm each  %-*s     W all\n", width, "");
    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++)
        put_white(view, mtm_survey_white_at(view->survey, i), width, out);
    (void)fputc('\n', out);
    text_put_sentence(
        "All of them at one colour, as near to the white as all can come (Δu'v'), at one "
        "output, which the unit beside it limits; goal light.",
        out);
    put_rf_basis(view, out);
    put_pair_basis(view, out);
}

static void put_table(const void *data, FILE *out)
{
    const struct rig_view *view = data;

    put_sums(view, out);
    put_kinds(view, out);
    put_groups(view, out);
    text_put_said(say_ranges, view, out);
    if (mtm_survey_white_count(view->survey) > 0)
        put_whites(view, out);
    text_put_sentence(MTM_DEMAND_CAUTION, out);
}

static void add_count(cJSON *object, const char *key, size_t count)
{
    json_add_number(object, key, (double)count, 0);
}

static void add_sums(const struct rig_view *view, cJSON *root)
{
    mtm_survey_sums sums = mtm_survey_sums_of(view->survey);

    add_count(root, "units", sums.units);
    add_count(root, "measured", sums.measured);
    add_count(root, "colour_goes_with_output", sums.dims);
    add_count(root, "followers", sums.followers);
    add_count(root, "unaddressed", sums.unaddressed);
    add_count(root, "unsupplied", sums.unsupplied);
    add_count(root, "universes", sums.universes);
    add_count(root, "slots", sums.slots);
    add_count(root, "supplies", sums.supplies);
    json_add_number(root, "full_w", sums.full_w, 2);
}

/* The temperature, or null where there is none. */
static void add_cct(cJSON *object, const char *key, double cct_k)
{
    json_add_number(object, key, cct_k > 0 ? cct_k : NAN, 1);
}

static void add_kinds(const struct rig_view *view, cJSON *root)
{
    cJSON *list = json_add_array(root, "kinds");

    for (size_t i = 0; i < mtm_survey_kind_count(view->survey); i++) {
        const mtm_survey_kind *kind = mtm_survey_kind_at(view->survey, i);
        cJSON *object = json_append_object(list);
        json_add_text(object, "fixture", kind->fixture);
        json_add_text(object, "mode", kind->mode);
        add_count(object, "units", kind->unit_count);
        char limits[TEXT_LIMITS_ROOM];
        text_limits(mtm_rig_unit(view->rig, kind->first)->fixture, limits, sizeof limits);
        json_add_text(object, "limits", limits[0] != '\0' ? limits : NULL);
        add_count(object, "measured", kind->measured);
        add_count(object, "slots", kind->slot_count);
        json_add_number(object, "full_w", kind->full_w, 2);
        add_cct(object, "warmest_k", kind->warmest_k);
        add_cct(object, "coolest_k", kind->coolest_k);
    }
}

static void add_groups(const struct rig_view *view, cJSON *root)
{
    cJSON *object = json_add_object(root, "groups");

    for (size_t i = 0; i < mtm_rig_group_count(view->rig); i++) {
        size_t count = 0;
        const size_t *unit = mtm_rig_group(view->rig, i, &count);
        cJSON *list = json_add_array(object, mtm_rig_group_name(view->rig, i));
        for (size_t k = 0; k < count; k++) {
            if (view->meant[unit[k]])
                json_append_text(list, name_of(view, unit[k]));
        }
    }
}

static void add_unit(const struct rig_view *view, cJSON *object, const char *key, size_t unit)
{
    const mtm_unit *of = mtm_rig_unit(view->rig, unit);

    json_add_text(object, key, of != NULL ? of->name : NULL);
}

static void add_ranges(const struct rig_view *view, cJSON *root)
{
    cJSON *list = json_add_array(root, "whites_of_all");

    for (size_t i = 0; i < mtm_survey_range_count(view->survey); i++) {
        const mtm_survey_range *range = mtm_survey_range_at(view->survey, i);
        cJSON *object = json_append_object(list);
        add_cct(object, "warmest_k", range->warmest_k);
        add_cct(object, "coolest_k", range->coolest_k);
        add_unit(view, object, "no_warmer", range->ends_warm);
        add_unit(view, object, "no_cooler", range->ends_cool);
    }
}

static void add_pair(const struct rig_view *view, cJSON *object, const mtm_metameric_pair *pair)
{
    add_unit(view, object, "first", pair->first);
    add_unit(view, object, "second", pair->second);
    json_add_number(object, "delta_uv_2deg", pair->metamerism.delta_uv[MTM_OBSERVER_2], 6);
    json_add_number(object, "delta_uv_10deg", pair->metamerism.delta_uv[MTM_OBSERVER_10], 6);
}

static void add_white(const struct rig_view *view, cJSON *list, const mtm_survey_white *white)
{
    cJSON *object = json_append_object(list);

    add_cct(object, "cct_k", white->cct_k);
    json_add_bool(object, "common", white->exists);
    if (!white->exists) {
        cJSON *apart = json_add_array(object, "apart");
        json_append_text(apart, name_of(view, white->apart[0]));
        json_append_text(apart, name_of(view, white->apart[1]));
        return;
    }
    json_add_number(object, "delta_uv", white->delta_uv, 6);
    json_add_number(object, "flux_lm", white->flux_lm, 2);
    add_unit(view, object, "limits_output", white->ends_output);
    json_add_number(object, "power_w", white->watts, 2);
    add_count(object, "judged", white->judged);
    json_add_number(object, "rf", white->judged > 0 ? white->rf : NAN, 1);
    json_add_text(object, "rf_unit", white->judged > 0 ? name_of(view, white->rf_unit) : NULL);
    json_add_bool(object, "rf_ideal_lines", white->ideal_lines);
    add_count(object, "pairs", white->pair_count);
    if (white->pair_count > 0)
        add_pair(view, json_add_object(object, "worst_pair"), &white->pair);
}

static cJSON *put_json(const void *data)
{
    const struct rig_view *view = data;
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(view->rig));
    add_sums(view, root);
    add_kinds(view, root);
    add_groups(view, root);
    json_add_number(root, "within_uv", view->within_uv, 6);
    add_ranges(view, root);
    cJSON *whites = json_add_array(root, "whites");
    for (size_t i = 0; i < mtm_survey_white_count(view->survey); i++)
        add_white(view, whites, mtm_survey_white_at(view->survey, i));
    json_add_text(root, "caution", MTM_DEMAND_CAUTION);
    return root;
}

const struct writer rig_writers[] = {WRITER_TABLE(put_table), WRITER_JSON(put_json), {0}};
