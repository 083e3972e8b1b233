/* SPDX-License-Identifier: MIT */
/* metamer filter: what filters make of a light, and which come nearest to a colour. */
#include "cli/args/filter.h"
#include "cli/args/picture.h"
#include "cli/args/target.h"
#include "cli/out/json.h"
#include "cli/out/text.h"
#include "cli/out/writer.h"

#include "base/error.h"

#include <metamer/filter_picture.h>

#include <math.h>
#include <stdlib.h>

#define USUAL_LIGHT "3200"
#define NEAR_MAX 50
#define NEAR_USUAL 5
#define NAME_WIDTH 30
#define CURVE_STEP_NM 10

/* One filter over the light. */
struct row {
    mtm_filter filter;
    mtm_filtered made;
    mtm_near_filter near[NEAR_MAX];
    size_t near_count;
};

/* All that a command line asks for. */
struct work {
    mtm_filters *filters;
    mtm_light light;
    mtm_observer observer;
    size_t near_most;
    struct row *rows; /* of the named filters, or of all */
    size_t row_count;
    bool is_list;    /* all of the library, without the nearest ones */
    bool is_nearest; /* what comes next is set */
    mtm_target target;
    mtm_near_filter single[NEAR_MAX], pair[NEAR_MAX];
    size_t single_count, pair_count;
};

static mtm_result fill_row(const struct work *work, const char *name, struct row *row,
                           mtm_error *error)
{
    mtm_result result = mtm_filters_find(work->filters, name, &row->filter, error);

    if (result != MTM_OK)
        return result;
    result =
        mtm_filter_over(&row->filter, &work->light.spectrum, work->observer, &row->made, error);
    if (result != MTM_OK)
        return result;
    if (work->is_list)
        return MTM_OK;
    row->near_count = mtm_filters_like(work->filters, &row->filter, &work->light.spectrum,
                                       work->observer, row->near, work->near_most);
    return MTM_OK;
}

static mtm_result fill_rows(const struct args *args, struct work *work, mtm_error *error)
{
    work->is_list = args->word_count == 0;
    if (work->is_list && args_has(args, "count"))
        return mtmi_fail(error, MTM_PARSE,
                         "--count goes with --nearest or a filter's name, and would do nothing "
                         "for the list of all");
    work->row_count = work->is_list ? mtm_filters_count(work->filters) : args->word_count;
    work->rows = calloc(work->row_count, sizeof *work->rows);
    if (work->rows == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < work->row_count; i++) {
        const char *name = work->is_list ? mtm_filters_at(work->filters, i)->name : args->words[i];
        mtm_result result = fill_row(work, name, &work->rows[i], error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

static mtm_result find_nearest(const struct args *args, struct work *work, mtm_error *error)
{
    if (args->word_count > 0)
        return mtmi_fail(error, MTM_PARSE,
                         "found the filter \"%.60s\" beside --nearest, which looks for filters",
                         args->words[0]);
    mtm_result result = target_from_args(args, NULL, &work->target, error);
    if (result != MTM_OK)
        return result;
    work->single_count = mtm_filters_nearest(work->filters, work->target.xy, &work->light.spectrum,
                                             work->observer, false, work->single, work->near_most);
    work->pair_count = mtm_filters_nearest(work->filters, work->target.xy, &work->light.spectrum,
                                           work->observer, true, work->pair, work->near_most);
    return MTM_OK;
}

static void stack_name(const struct work *work, const mtm_near_filter *near, char *name,
                       size_t room)
{
    const char *first = mtm_filters_at(work->filters, near->first)->name;

    if (near->second == SIZE_MAX)
        (void)snprintf(name, room, "%s", first);
    else
        (void)snprintf(name, room, "%s + %s", first,
                       mtm_filters_at(work->filters, near->second)->name);
}

static mtm_xy light_xy(const struct work *work)
{
    return mtm_xy_from_xyz(mtm_xyz_from_spectrum(&work->light.spectrum, work->observer));
}

static void write_row(const struct row *row, FILE *out)
{
    mtm_xy xy = mtm_xy_from_xyz(row->made.xyz);

    text_put(row->filter.name, NAME_WIDTH, out);
    (void)fprintf(out, "  %5.1f  %.4f  %.4f", 100 * row->made.transmittance_y, xy.x, xy.y);
    text_put_cell(row->made.has_shift ? row->made.after.cct_k : NAN, 8, 0, out);
    text_put_signed_cell(row->made.has_shift ? row->made.mired_shift : NAN, 9, 1, out);
    text_put_signed_cell(row->made.has_shift ? row->made.duv_shift : NAN, 9, 4, out);
    (void)fputc('\n', out);
}

static void write_like(const struct work *work, const struct row *row, FILE *out)
{
    (void)fprintf(out, "\nNearest to %s by CIEDE2000:", row->filter.name);
    for (size_t i = 0; i < row->near_count; i++)
        (void)fprintf(out, "%s %s %.1f", i > 0 ? "," : "",
                      mtm_filters_at(work->filters, row->near[i].first)->name,
                      row->near[i].distance);
    (void)fputc('\n', out);
}

/* A computed curve has its shift by definition and its brightness by assumption. */
static void write_assumption(const struct work *work, FILE *out)
{
    for (size_t i = 0; i < work->row_count; i++) {
        if (!work->rows[i].filter.computed)
            continue;
        (void)fprintf(out, "\nY of filters stated by their shift is that of a smooth model, %s.\n",
                      MTM_CORRECTION_ASSUMPTION);
        return;
    }
}

static void write_rows(const struct work *work, FILE *out)
{
    mtm_xy xy = light_xy(work);

    (void)fprintf(out, "Over %s (x %.4f, y %.4f), %s observer\n\n", work->light.name, xy.x, xy.y,
                  work->observer == MTM_OBSERVER_10 ? "10°" : "2°");
    text_put("Filter", NAME_WIDTH, out);
    (void)fprintf(out, "      Y       x       y     CCT    Shift      Duv\n");
    text_put("", NAME_WIDTH, out);
    (void)fprintf(out, "      %%                       K    mired    shift\n");
    for (size_t i = 0; i < work->row_count; i++)
        write_row(&work->rows[i], out);
    for (size_t i = 0; !work->is_list && i < work->row_count; i++)
        write_like(work, &work->rows[i], out);
    write_assumption(work, out);
}

static void write_found(const struct work *work, const char *title, const mtm_near_filter *near,
                        size_t count, FILE *out)
{
    (void)fprintf(out, "\n");
    text_put(title, 2 * NAME_WIDTH - 12, out);
    (void)fprintf(out, "   Δu'v'    Y %%\n");
    for (size_t i = 0; i < count; i++) {
        char name[2 * MTM_FILTER_NAME_MAX + 8];
        stack_name(work, &near[i], name, sizeof name);
        text_put(name, 2 * NAME_WIDTH - 12, out);
        (void)fprintf(out, "  %.4f  %5.1f\n", near[i].distance, 100 * near[i].transmittance_y);
    }
}

static void write_nearest(const struct work *work, FILE *out)
{
    (void)fprintf(out, "Nearest to %s over %s\n", work->target.description, work->light.name);
    write_found(work, "One filter", work->single, work->single_count, out);
    write_found(work, "Two filters", work->pair, work->pair_count, out);
}

static void json_add_curve(cJSON *object, const mtm_filter *filter)
{
    cJSON *curve = json_add_object(object, "transmittance");

    json_add_number(curve, "first_nm", MTM_SPECTRUM_FIRST_NM, 0);
    json_add_number(curve, "step_nm", CURVE_STEP_NM, 0);
    cJSON *values = json_add_array(curve, "values");
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i += CURVE_STEP_NM)
        json_append_number(values, filter->transmittance.value[i], 5);
}

static void json_add_found(cJSON *object, const char *key, const char *distance, int decimals,
                           const struct work *work, const mtm_near_filter *near, size_t count)
{
    cJSON *list = json_add_array(object, key);

    for (size_t i = 0; i < count; i++) {
        char name[2 * MTM_FILTER_NAME_MAX + 8];
        cJSON *one = json_append_object(list);
        stack_name(work, &near[i], name, sizeof name);
        json_add_text(one, "name", name);
        json_add_number(one, distance, near[i].distance, decimals);
        json_add_number(one, "transmittance_y", near[i].transmittance_y, 5);
    }
}

static void json_add_row(cJSON *list, const struct work *work, const struct row *row)
{
    const mtm_filtered *made = &row->made;
    mtm_xy xy = mtm_xy_from_xyz(made->xyz);
    mtm_uv uv = mtm_uv_from_xyz(made->xyz);
    cJSON *one = json_append_object(list);

    json_add_text(one, "name", row->filter.name);
    json_add_number(one, "transmittance_y", made->transmittance_y, 5);
    json_add_text(one, "transmittance_rests_on",
                  row->filter.computed ? MTM_CORRECTION_ASSUMPTION : "the curve of the file");
    json_add_xy(one, xy, 6);
    json_add_uv(one, uv, 6);
    json_add_number(one, "cct_k", made->has_shift ? made->after.cct_k : NAN, 2);
    json_add_number(one, "duv", made->has_shift ? made->after.duv : NAN, 6);
    json_add_number(one, "mired_shift", made->has_shift ? made->mired_shift : NAN, 3);
    json_add_number(one, "duv_shift", made->has_shift ? made->duv_shift : NAN, 6);
    cJSON *lab = json_add_array(one, "lab");
    json_append_number(lab, made->lab.l, 4);
    json_append_number(lab, made->lab.a, 4);
    json_append_number(lab, made->lab.b, 4);
    if (work->is_list)
        return;
    json_add_curve(one, &row->filter);
    json_add_found(one, "nearest", "ciede2000", 4, work, row->near, row->near_count);
}

static cJSON *write_json(const void *data)
{
    const struct work *work = data;
    cJSON *root = cJSON_CreateObject();
    cJSON *light = json_add_object(root, "light");
    mtm_xy xy = light_xy(work);

    json_add_text(light, "name", work->light.name);
    json_add_xy(light, xy, 6);
    json_add_number(root, "observer_deg", work->observer == MTM_OBSERVER_10 ? 10 : 2, 0);
    if (work->is_nearest) {
        cJSON *target = json_add_object(root, "target");
        json_add_text(target, "description", work->target.description);
        json_add_xy(target, work->target.xy, 6);
        json_add_found(root, "singles", "delta_uv", 6, work, work->single, work->single_count);
        json_add_found(root, "pairs", "delta_uv", 6, work, work->pair, work->pair_count);
        return root;
    }
    cJSON *list = json_add_array(root, "filters");
    for (size_t i = 0; i < work->row_count; i++)
        json_add_row(list, work, &work->rows[i]);
    return root;
}

static mtm_result compute(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = light_from_args(args, USUAL_LIGHT, &work->light, error);

    if (result == MTM_OK)
        result = filters_from_args(args, &work->filters, error);
    if (result != MTM_OK)
        return result;
    return work->is_nearest ? find_nearest(args, work, error) : fill_rows(args, work, error);
}

static void write_table(const void *data, FILE *out)
{
    const struct work *work = data;

    if (work->is_nearest)
        write_nearest(work, out);
    else
        write_rows(work, out);
}

static const struct writer writers[] = {WRITER_TABLE(write_table), WRITER_JSON(write_json), {0}};

/* What a picture shows: the rows, or the nearest. */
static mtm_result fill_shown(const struct work *work, const mtm_near_filter *near, size_t index,
                             mtm_filter *own, mtm_shown_filter *shown, mtm_error *error)
{
    char name[2 * MTM_FILTER_NAME_MAX + 8];

    if (near == NULL) {
        *shown = (mtm_shown_filter){&work->rows[index].filter, work->rows[index].made};
        return MTM_OK;
    }
    const mtm_filter *first = mtm_filters_at(work->filters, near->first);
    *own = near->second == SIZE_MAX
               ? *first
               : mtm_filter_stack(first, mtm_filters_at(work->filters, near->second));
    stack_name(work, near, name, sizeof name);
    (void)snprintf(own->name, sizeof own->name, "%.*s", MTM_FILTER_NAME_MAX, name);
    shown->filter = own;
    return mtm_filter_over(own, &work->light.spectrum, work->observer, &shown->made, error);
}

static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              const struct work *work, struct outlet *to, mtm_error *error)
{
    size_t count = work->is_nearest ? work->single_count + work->pair_count : work->row_count;
    mtm_shown_filter *shown = calloc(count + 1, sizeof *shown);
    mtm_filter *own = calloc(count + 1, sizeof *own);
    mtm_picture *picture = NULL;
    bool ready = shown != NULL && own != NULL;
    mtm_result result = ready ? MTM_OK : mtmi_fail_memory(error);

    for (size_t i = 0; ready && result == MTM_OK && i < count; i++) {
        const mtm_near_filter *near = !work->is_nearest ? NULL
                                      : i < work->single_count
                                          ? &work->single[i]
                                          : &work->pair[i - work->single_count];
        result = fill_shown(work, near, i, &own[i], &shown[i], error);
    }
    const mtm_filter_view view = {.light = &work->light,
                                  .observer = work->observer,
                                  .filter = shown,
                                  .count = count,
                                  .target = work->is_nearest ? &work->target : NULL};
    if (result == MTM_OK)
        result = mtm_picture_of_filters(&view, &request->options, &picture, error);
    free(shown);
    free(own);
    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct picture_request picture;
    mtm_result asked = picture_from_args(args, &picture, error);

    if (asked != MTM_OK)
        return asked;
    struct work *work = calloc(1, sizeof *work);
    if (work == NULL)
        return mtmi_fail_memory(error);
    work->observer = observer_from_args(args);
    work->near_most = (size_t)args_number(args, "count", NEAR_USUAL);
    work->is_nearest = args_has(args, "nearest");
    mtm_result result = compute(args, work, error);
    if (result == MTM_OK && picture.wanted)
        result = put_picture(args, &picture, work, to, error);
    if (result == MTM_OK && !picture.alone)
        result = write_report(args, work, to->out, error);
    free(work->rows);
    mtm_filters_free(work->filters);
    free(work);
    return result;
}

static const struct option_spec own_options[] = {
    OPTION_FLAG("nearest", "look for the filter, and the pair, nearest to the colour below"),
    OPTION_WHOLE("count", "N", 1, NEAR_MAX, "how many of the nearest, 5 if not said"),
    OPTION_FORMAT(writers, FORMAT_HELP),
    {0},
};

static const struct option_group groups[] = {
    {.title = "Options", .options = own_options},
    {.title = "", .options = observer_options},
    {.title = "The light and the library", .options = over_options},
    {.title = "The colour for --nearest", .options = target_options, .with = "nearest"},
    GROUP_PICTURE,
    GROUP_DIAGRAM,
    {0},
};

static const char *const examples[] = {
    "metamer filter half-cto amber --over 3200",
    "metamer filter half-ctb+quarter-plus-green --over A --format json",
    "metamer filter --nearest --cct 5600 --over 3200",
    "metamer filter half-cto amber --over 3200 --picture filters.svg",
    NULL,
};

const struct command cmd_filter = {
    .name = "filter",
    .summary = "show what colour filters make of a light, or find the nearest",
    .usage = "[NAME...]",
    .details =
        "For each filter over the light (3200 K if --over is not given): the share of the light it "
        "lets through (Y), the colour behind it, its shift in mired (positive: warmer) and in Duv "
        "(positive: greener), and the filters most like it by CIEDE2000 beside the bare light. "
        "Without a name, all of the library.\n\n"
        "A name is one of the library, case aside, \"-\" for a blank, or a file: a filter file "
        "(JSON) or a measured curve of transmittances from 0 to 1. \"A+B\" stacks filters. The "
        "delivered library is invented: correction filters by the trade's terms, others by plain "
        "colour words. With --nearest, the filters and pairs that bring the light nearest to a "
        "colour, by distance in CIE 1976 u'v'; of equals, the brighter.",
    .examples = examples,
    .words_least = 0,
    .words_most = 32,
    .groups = groups,
    .run = run,
};
