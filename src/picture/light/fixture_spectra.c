/* SPDX-License-Identifier: MIT */
/* The spectra of a fixture's emitters, each at full. */
#include "picture/light/fixture.h"

#include "base/error.h"
#include "base/text.h"
#include "picture/axes.h"
#include "picture/label.h"
#include "picture/light/stack.h"

#include <math.h>

#define COUNT (MTMI_STACK_LAST_NM - MTMI_STACK_FIRST_NM + 1)
#define FIRST (MTMI_STACK_FIRST_NM - MTM_SPECTRUM_FIRST_NM)
#define MW_PER_W 1000.0

static void draw_emitter(mtmi_canvas *c, const mtmi_plot *plot, const mtm_emitter *emitter,
                         mtmi_point point[COUNT])
{
    double bottom = plot->box.y + plot->box.height;

    for (int i = 0; i < COUNT; i++)
        point[i] = mtmi_plot_at(plot, MTMI_STACK_FIRST_NM + i,
                                MW_PER_W * emitter->spectrum->value[FIRST + i]);
    mtmi_lay_curve(c, point, COUNT, false);
    mtmi_line(c, point[COUNT - 1].x, bottom);
    mtmi_line(c, point[0].x, bottom);
    mtmi_close(c);
    mtmi_fill(c, mtmi_emitter_ink(emitter));
    mtmi_lay_curve(c, point, COUNT, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.8, MTMI_DASH_NONE});
}

static mtmi_point highest(const mtmi_point point[COUNT])
{
    mtmi_point top = point[0];

    for (int i = 1; i < COUNT; i++)
        top = point[i].y < top.y ? point[i] : top;
    return top;
}

/* Emitters that have no spectrum, in words; "" for none. */
static void list_unknown(const mtm_fixture *light, mtmi_text *text)
{
    size_t count = 0;

    if (mtm_fixture_mixes(light)) {
        mtmi_text_add(text, "No spectrum is known: the unit mixes by itself.");
        return;
    }
    for (size_t k = 0; k < mtm_fixture_emitter_count(light); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(light, k);
        if (emitter->spectrum == NULL)
            mtmi_text_add(text, "%s%s", count++ > 0 ? ", " : "No spectrum is known of ",
                          emitter->name);
    }
}

static double peak_of(const mtm_fixture *light)
{
    double peak = 0;

    for (size_t k = 0; k < mtm_fixture_emitter_count(light); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(light, k);
        if (emitter->spectrum != NULL)
            peak = fmax(peak, MW_PER_W * mtmi_stack_peak(emitter->spectrum));
    }
    return peak;
}

static void draw_all(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                     const mtm_fixture *light)
{
    const mtmi_type type = {.halo = true};
    mtmi_point point[COUNT], top[MTM_EMITTERS_MAX] = {{0}};

    for (size_t k = 0; k < mtm_fixture_emitter_count(light); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(light, k);
        if (emitter->spectrum == NULL)
            continue;
        draw_emitter(c, plot, emitter, point);
        mtmi_placer_avoid(placer, point, COUNT);
        top[k] = highest(point);
    }
    for (size_t k = 0; k < mtm_fixture_emitter_count(light); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(light, k);
        if (emitter->spectrum != NULL && emitter->flux_lm > 0)
            (void)mtmi_label_draw(c, placer, top[k], 1, &type, emitter->name);
    }
}

mtm_result mtmi_fixture_spectra_draw(mtmi_canvas *c, mtmi_box box, const mtmi_fixture_view *view,
                                     mtm_error *error)
{
    double peak = peak_of(view->light);
    const mtmi_axis x = {.from = MTMI_STACK_FIRST_NM,
                         .to = MTMI_STACK_LAST_NM,
                         .name = "Wavelength, nm",
                         .step = 100};
    const mtmi_axis y = {.from = 0, .to = peak > 0 ? mtmi_axis_top(peak) : 1, .name = "mW/nm"};
    mtmi_type quiet = {.ink = MTMI_INK_QUIET, .width = box.width, .lines = 3};
    mtmi_text unknown = {0};

    list_unknown(view->light, &unknown);
    if (unknown.failed)
        mtmi_canvas_lack_memory(c);
    if (unknown.data != NULL) {
        double height = mtmi_words_extent(c, &quiet, unknown.data).height;
        (void)mtmi_words(c, box.x, peak > 0 ? box.y + box.height - height : box.y, &quiet,
                         unknown.data);
        box.height = fmax(1, box.height - height - 4);
    }
    mtmi_text_free(&unknown);
    if (!(peak > 0))
        return MTM_OK;
    const mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_placer *placer = mtmi_placer_create(plot.box);
    if (placer == NULL)
        return mtmi_fail_memory(error);
    mtmi_plot_axes(c, &plot, &x, &y);
    draw_all(c, &plot, placer, view->light);
    mtmi_placer_free(placer);
    return MTM_OK;
}
