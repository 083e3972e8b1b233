/* SPDX-License-Identifier: MIT */
/* The picture of how lights render: a block each, on one scale. */
#include <metamer/rendering_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/light/light.h"
#include "picture/light/rendering.h"
#include "picture/make.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Lines of small type that a block needs at least, beside each other and upright; and what a line
 * of type is wide enough for four panels. */
#define LINES_SIDE 13.0
#define LINES_UPRIGHT 21.0
#define LINES_WIDE 56.0
#define APART 14.0
/* Of the height where none is said: words about the blocks, and blocks, as shares of 1000 px of a
 * wide picture and of 600 px of a narrow one. */
#define AROUND_WIDE 0.16
#define BLOCK_WIDE 0.25
#define AROUND_NARROW 0.34
#define BLOCK_NARROW 0.62
#define SINGLE_WIDE 0.78
#define SINGLE_NARROW 1.2
/* Most blocks of a picture whose height is not said. */
#define BLOCKS_MOST 10

static bool drawable(const mtm_light_view *light)
{
    return light->spectrum != NULL && mtmi_light_lumens(light->spectrum) > 0;
}

/* The lights that are drawn, in the order given. */
struct chosen {
    mtmi_light_pick *pick;
    size_t count;
    size_t left_out; /* for want of room */
    double left_rf;  /* the lowest of these; NAN: none has one */
    size_t unknown;  /* without a spectrum, or dark */
};

static double rf_of(const mtm_light_view *light)
{
    return light->quality != NULL ? light->quality->fidelity.rf : (double)INFINITY;
}

static int by_rf(const void *a, const void *b)
{
    const mtm_light_view *x = ((const mtmi_light_pick *)a)->light;
    const mtm_light_view *y = ((const mtmi_light_pick *)b)->light;

    if (mtmi_exceeds(rf_of(x), rf_of(y)))
        return 1;
    return mtmi_exceeds(rf_of(y), rf_of(x)) ? -1 : x < y ? -1 : x > y;
}

static int by_order(const void *a, const void *b)
{
    const mtm_light_view *x = ((const mtmi_light_pick *)a)->light;
    const mtm_light_view *y = ((const mtmi_light_pick *)b)->light;

    return x < y ? -1 : x > y;
}

static void choose(const mtmi_lights *lights, size_t room, struct chosen *chosen)
{
    for (size_t i = 0; i < lights->count; i++) {
        if (drawable(&lights->light[i]))
            chosen->pick[chosen->count++].light = &lights->light[i];
        else
            chosen->unknown++;
    }
    chosen->left_rf = (double)NAN;
    if (chosen->count <= room)
        return;
    qsort(chosen->pick, chosen->count, sizeof *chosen->pick, by_rf);
    chosen->left_out = chosen->count - room;
    if (chosen->pick[room].light->quality != NULL)
        chosen->left_rf = rf_of(chosen->pick[room].light);
    chosen->count = room;
    qsort(chosen->pick, chosen->count, sizeof *chosen->pick, by_order);
}

/* What is not drawn, in words. */
static void say_left_out(const mtmi_lights *lights, const struct chosen *chosen, bool own_scales,
                         mtmi_text *text)
{
    size_t named = 0;

    if (own_scales)
        mtmi_text_add(text, "Each spectrum has a scale of its own. ");
    if (chosen->left_out > 0) {
        mtmi_text_add(text, "%zu more %s not drawn", chosen->left_out,
                      chosen->left_out == 1 ? "is" : "are");
        if (isfinite(chosen->left_rf))
            mtmi_text_add(text, ", of Rf %.0f or better", chosen->left_rf);
        mtmi_text_add(text, ". ");
    }
    if (chosen->unknown == 0)
        return;
    mtmi_text_add(text, "Not drawn, for no spectrum with light is known: ");
    for (size_t i = 0; i < lights->count && named < 8; i++) {
        if (!drawable(&lights->light[i]))
            mtmi_text_add(text, "%s%s", named++ > 0 ? ", " : "", lights->light[i].name);
    }
    if (named < chosen->unknown)
        mtmi_text_add(text, " and %zu more", chosen->unknown - named);
    mtmi_text_add(text, ".");
}

static mtm_result draw_chosen(mtmi_canvas *c, mtmi_box box, const mtmi_lights *lights,
                              const struct chosen *chosen, bool side_by_side, mtm_error *error)
{
    const mtmi_light_scales scales = mtmi_light_scales_of(chosen->pick, chosen->count);
    mtmi_type quiet = {.ink = MTMI_INK_QUIET, .width = box.width, .lines = 2};
    mtmi_text text = {0};
    mtm_result result = MTM_OK;

    say_left_out(lights, chosen, chosen->count > 0 && scales.power == 0, &text);
    if (text.data != NULL) {
        double height = mtmi_words_extent(c, &quiet, text.data).height;
        (void)mtmi_words(c, box.x, box.y + box.height - height, &quiet, text.data);
        box.height -= height + APART / 2;
    }
    if (text.failed)
        mtmi_canvas_lack_memory(c);
    mtmi_text_free(&text);
    box.y += APART / 2;
    box.height -= APART / 2;
    double count = (double)chosen->count;
    double height = fmax(1, (box.height - (count - 1) * APART) / fmax(1, count));
    for (size_t i = 0; result == MTM_OK && i < chosen->count; i++)
        result = mtmi_light_draw(
            c, (mtmi_box){box.x, box.y + (double)i * (height + APART), box.width, height},
            side_by_side, chosen->pick[i].light, &scales, error);
    return result;
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtmi_lights *lights = subject;
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    bool wide = box.width >= LINES_WIDE * line && lights->count > 1;
    double least = (wide ? LINES_SIDE : LINES_UPRIGHT) * line;
    double room = fmax(1, floor((box.height - 3 * line) / least));
    struct chosen chosen = {.pick = calloc(lights->count, sizeof *chosen.pick)};

    (void)options;
    if (chosen.pick == NULL)
        return mtmi_fail_memory(error);
    choose(lights, room < (double)lights->count ? (size_t)room : lights->count, &chosen);
    mtm_result result =
        draw_chosen(c, box, lights, &chosen, wide && chosen.count + chosen.left_out > 1, error);
    free(chosen.pick);
    return result;
}

static bool finite_numbers(const double *value, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(value[i]))
            return false;
    }
    return true;
}

/* Indices without white, or that are no numbers, cannot be drawn. */
static bool quality_holds(const mtm_quality *q)
{
    return isfinite(q->white.cct_k) && q->white.cct_k > 0 && isfinite(q->white.duv) &&
           isfinite(q->fidelity.rf) && isfinite(q->fidelity.rg) && isfinite(q->cri.ra) &&
           finite_numbers(q->cri.r, MTM_TCS_COUNT) &&
           finite_numbers(q->fidelity.bin_rf, MTM_HUE_BINS) &&
           finite_numbers(q->fidelity.chroma_shift, MTM_HUE_BINS) &&
           finite_numbers(q->fidelity.hue_shift, MTM_HUE_BINS);
}

static mtm_result check(const mtm_light_view *light, mtm_error *error)
{
    if (light->name == NULL)
        return mtmi_fail(error, MTM_INVALID, "a light has no name");
    if (light->spectrum != NULL && !finite_numbers(light->spectrum->value, MTM_SPECTRUM_COUNT))
        return mtmi_fail(error, MTM_INVALID, "%.200s: its spectrum holds what is no finite number",
                         light->name);
    if (light->quality != NULL && !quality_holds(light->quality))
        return mtmi_fail(error, MTM_INVALID, "%.200s: its indices hold what is no finite number",
                         light->name);
    if (light->fixture != NULL &&
        (light->level == NULL ||
         !finite_numbers(light->level, mtm_fixture_emitter_count(light->fixture))))
        return mtmi_fail(error, MTM_INVALID, "%.200s: its emitters have no finite levels",
                         light->name);
    return MTM_OK;
}

/* Who renders least and most truly, and how many have indices at all. */
struct range {
    const mtm_light_view *least, *most;
    size_t judged;
};

static struct range range_of(const mtmi_lights *lights)
{
    struct range range = {.judged = 0};

    for (size_t i = 0; i < lights->count; i++) {
        const mtm_light_view *light = &lights->light[i];
        if (light->quality == NULL || !drawable(light))
            continue;
        range.judged++;
        if (range.least == NULL || mtmi_exceeds(rf_of(range.least), rf_of(light)))
            range.least = light;
        if (range.most == NULL || mtmi_exceeds(rf_of(light), rf_of(range.most)))
            range.most = light;
    }
    return range;
}

static void say(const mtmi_lights *lights, mtmi_text *text)
{
    const struct range range = range_of(lights);

    if (range.judged == 0) {
        mtmi_text_add(text, lights->count == 1 ? "It has no rendering index."
                                               : "None of these has a rendering index.");
        return;
    }
    double least = rf_of(range.least), ra = range.least->quality->cri.ra;
    char figure[MTMI_FIGURE_ROOM];
    (void)mtmi_figure(figure, ra, 0, NULL);
    if (range.judged == 1 && lights->count > 1)
        mtmi_text_add(text, "%s has Rf %.0f and Ra %s", range.least->name, least, figure);
    else if (range.judged == 1)
        mtmi_text_add(text, "Rf %.0f and Ra %s beside the reference of its colour temperature",
                      least, figure);
    else if (mtmi_exceeds(rf_of(range.most), least))
        mtmi_text_add(text,
                      "%s renders least truly, with Rf %.0f and Ra %s; %s most truly, with Rf "
                      "%.0f",
                      range.least->name, least, figure, range.most->name, rf_of(range.most));
    else
        mtmi_text_add(text, "All of these render alike: Rf %.0f", least);
    if (range.judged < lights->count)
        mtmi_text_add(text, "; %zu of %zu have no rendering index", lights->count - range.judged,
                      lights->count);
    mtmi_text_add(text, ".");
}

static mtmi_picture_kind kind_for(size_t count)
{
    double blocks = fmin(BLOCKS_MOST, (double)count);

    if (count == 1)
        return (mtmi_picture_kind){draw, SINGLE_WIDE, SINGLE_NARROW};
    return (mtmi_picture_kind){draw, AROUND_WIDE + blocks * BLOCK_WIDE,
                               AROUND_NARROW + blocks * BLOCK_NARROW};
}

mtm_result mtmi_rendering_make(const mtmi_lights *lights, const char *title,
                               const mtm_picture_options *options, mtm_picture **out,
                               mtm_error *error)
{
    static const char sources[] =
        "Spectra at equal lumens, fills hint at the emitters' colours; dashed: the reference "
        "illuminant of Rf. Rf, Rg and shifts by the 16 hue bins: CIE 224:2017, ANSI/IES TM-30-20; "
        "a "
        "line runs from the chroma and hue under the reference to those under the light. Ra, R1 "
        "to R14: CIE 13.3-1995.";
    static const char lines[] = " ~ rests on ideal lines, drawn from peak and width.";
    const mtmi_picture_kind kind = kind_for(lights->count);
    mtmi_text subtitle = {0}, all_sources = {0};
    bool ideal = false;
    mtm_result result = MTM_OK;

    for (size_t i = 0; i < lights->count; i++)
        ideal = ideal || (lights->light[i].ideal_lines && lights->light[i].quality != NULL);
    say(lights, &subtitle);
    mtmi_text_add(&all_sources, "%s%s", sources, ideal ? lines : "");
    if (subtitle.failed || all_sources.failed) {
        result = mtmi_fail_memory(error);
    } else {
        mtmi_captions captions = {title, subtitle.data, all_sources.data};
        result = mtmi_picture_make(&kind, lights, &captions, options, out, error);
    }
    mtmi_text_free(&subtitle);
    mtmi_text_free(&all_sources);
    return result;
}

mtm_result mtm_picture_of_rendering(const mtm_light_view *light, size_t count,
                                    const mtm_picture_options *options, mtm_picture **out,
                                    mtm_error *error)
{
    mtm_result result = mtmi_picture_check(options, error);
    mtmi_text title = {0};

    if (light == NULL || count == 0 || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no light, or no place for the picture, was given");
    for (size_t i = 0; result == MTM_OK && i < count; i++)
        result = check(&light[i], error);
    if (result != MTM_OK)
        return result;
    if (count == 1)
        mtmi_text_add(&title, "How %s renders", light->name);
    else
        mtmi_text_add(&title, "How %zu lights render", count);
    const mtmi_lights lights = {light, count};
    result = title.failed ? mtmi_fail_memory(error)
                          : mtmi_rendering_make(&lights, title.data, options, out, error);
    mtmi_text_free(&title);
    return result;
}
