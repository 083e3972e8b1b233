/* SPDX-License-Identifier: MIT */
/* The picture of a layout: universes slot by slot, and the riser. */
#include <metamer/layout_picture.h>

#include "base/error.h"
#include "picture/make.h"
#include "picture/plan/layout_plan.h"

#include <math.h>

/* Between the parts. */
#define APART 18.0

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtmi_layout_plan *plan = subject;
    mtmi_box universes = box, riser = box;

    (void)options;
    (void)error;
    if (box.height > box.width) {
        universes.height = fmax(1, 0.5 * (box.height - APART));
        riser.y += universes.height + APART;
        riser.height = fmax(1, box.height - universes.height - APART);
    } else {
        universes.width = fmax(1, 0.6 * (box.width - APART));
        riser.x += universes.width + APART;
        riser.width = fmax(1, box.width - universes.width - APART);
    }
    mtmi_universes_draw(c, universes, plan);
    mtmi_riser_draw(c, riser, plan);
    return MTM_OK;
}

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

static void say(const mtmi_layout_plan *plan, mtmi_text *text)
{
    size_t slots = 0, open = plan->units;

    for (size_t i = 0; i < plan->universe_count; i++) {
        slots += plan->universe[i].slots;
        open -= plan->universe[i].count;
    }
    mtmi_text_add(text, "%zu slots in %zu universe%s", slots, plan->universe_count,
                  plural(plan->universe_count));
    if (open > 0)
        mtmi_text_add(text, "; %zu unit%s without an address", open, plural(open));
    if (plan->of->was == NULL)
        mtmi_text_add(text, ".");
    else if (plan->readdressed == 0 && plan->replugged == 0)
        mtmi_text_add(text, "; nothing is to be changed.");
    else
        mtmi_text_add(text, "; %zu unit%s to be addressed and %zu to be plugged by hand.",
                      plan->readdressed, plural(plan->readdressed), plan->replugged);
}

static mtm_result check(const mtm_layout_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->place == NULL ||
        mtm_rig_unit_count(view->rig) == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of a layout needs a rig with units, and their places");
    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++) {
        const mtm_place *place = &view->place[i];
        const mtm_unit *unit = mtm_rig_unit(view->rig, i);
        bool slots = place->address == 0 ||
                     (place->universe >= MTM_UNIVERSE_MIN && place->universe <= MTM_UNIVERSE_MAX &&
                      place->address > 0 &&
                      place->address + (int)unit->mode->slot_count - 1 <= MTM_ADDRESS_MAX);
        bool port = place->supply < 0 ||
                    ((size_t)place->supply < mtm_rig_supply_count(view->rig) && place->port >= 0 &&
                     place->port <= mtm_rig_supply(view->rig, (size_t)place->supply)->ports);
        if (!slots || !port)
            return mtmi_fail(error, MTM_INVALID, "unit %zu has a place that the rig has not", i);
    }
    return MTM_OK;
}

mtm_result mtm_picture_of_layout(const mtm_layout_view *view, const mtm_picture_options *options,
                                 mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.75, 1.6};
    mtmi_text title = {0}, subtitle = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, error);
    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result != MTM_OK)
        return result;
    mtmi_layout_plan plan;
    result = mtmi_layout_plan_gather(view, &plan, error);
    if (result == MTM_OK) {
        mtmi_text_add(&title, "Layout of %s: %zu unit%s", mtm_rig_name(view->rig), plan.units,
                      plural(plan.units));
        say(&plan, &subtitle);
        const mtmi_captions captions = {
            title.data, subtitle.data,
            "Units are numbered in the order of the rig; a bold outline is to be addressed by "
            "hand. "
            "Watts are those of all emitters full. The ratings on the equipment, the local "
            "electrical code and the people licensed to apply it decide what may be plugged in."};
        result = title.failed || subtitle.failed
                     ? mtmi_fail_memory(error)
                     : mtmi_picture_make(&kind, &plan, &captions, options, out, error);
    }
    mtmi_layout_plan_free(&plan);
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    return result;
}
