/* SPDX-License-Identifier: MIT */
/* The walk through pictures of layouts and trims. */
#include "walk.h"

#include <metamer/layout_picture.h>
#include <metamer/trim_picture.h>

#define BAD_TRIM(member, value)                                                                    \
    do {                                                                                           \
        mtm_trim_view bad_ = view;                                                                 \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_trim, &bad_, NULL, &picture);                                       \
    } while (0)

static void walk_trim_picture(void)
{
    const mtm_trim_request request = {.target = {0.4, 0.39}, .steps = 3};
    mtm_picture *picture = NULL;
    mtm_trim *trim = NULL;
    mtm_rig *empty = NULL;

    DONE(mtm_trim_run, world.calibration, world.rig, NULL, NULL, &request, &trim);
    DONE(mtm_rig_create, "no unit", &empty);
    const mtm_trim *const trims[] = {trim}, *const none[] = {NULL};
    const mtm_trim_view view = {.rig = world.rig, .trim = trims, .count = 1};
    REFUSED(mtm_picture_of_trim, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_trim, &view, NULL, NULL);
    BAD_TRIM(rig, NULL);
    BAD_TRIM(rig, empty);
    BAD_TRIM(trim, NULL);
    BAD_TRIM(trim, none);
    BAD_TRIM(count, 0);
    HOLDS(mtm_picture_of_trim, picture == NULL);
    mtm_rig_free(empty);
    mtm_trim_free(trim);
}

#define BAD_MOVED(member, value)                                                                   \
    do {                                                                                           \
        mtm_moved_view bad_ = view;                                                                \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_moved, &bad_, NULL, &picture);                                      \
    } while (0)

static void walk_moved_picture(void)
{
    mtm_moved moved = {.unit = 0};
    mtm_picture *picture = NULL;
    const mtm_moved_view view = {
        .rig = world.rig, .moved = &moved, .count = 1, .target = {0.4, 0.39}};

    REFUSED(mtm_picture_of_moved, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_moved, &view, NULL, NULL);
    BAD_MOVED(rig, NULL);
    BAD_MOVED(moved, NULL);
    BAD_MOVED(count, 0);
    BAD_MOVED(tolerance_uv, -1);
    EACH_XY(bad)
    BAD_MOVED(target, *bad);
    EACH_NUMBER(bad)
    {
        BAD_MOVED(tolerance_uv, *bad);
        moved.delta_uv = *bad;
        REFUSED(mtm_picture_of_moved, &view, NULL, &picture);
        moved.delta_uv = 0;
    }
    moved.unit = mtm_rig_unit_count(world.rig);
    REFUSED(mtm_picture_of_moved, &view, NULL, &picture);
    HOLDS(mtm_picture_of_moved, picture == NULL);
}

static void walk_layout_picture(void)
{
    const size_t units = mtm_rig_unit_count(world.rig);
    mtm_place *place = calloc(units, sizeof *place);
    mtm_picture *picture = NULL;
    mtm_layout_view view = {.rig = world.rig, .place = place};

    assert_non_null(place);
    mtm_layout_places(world.rig, place);
    const mtm_place good = place[0];
    const mtm_place bad[] = {{good.universe, MTM_ADDRESS_MAX, -1, 0},
                             {good.universe, -1, -1, 0},
                             {0, 1, -1, 0},
                             {MTM_UNIVERSE_MAX + 1, 1, -1, 0},
                             {1, 1, (int)mtm_rig_supply_count(world.rig), 1},
                             {1, 1, 0, mtm_rig_supply(world.rig, 0)->ports + 1},
                             {1, 1, 0, -1}};
    REFUSED(mtm_picture_of_layout, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_layout, &view, NULL, NULL);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        place[0] = bad[i];
        REFUSED(mtm_picture_of_layout, &view, NULL, &picture);
    }
    place[0] = good;
    view.place = NULL;
    REFUSED(mtm_picture_of_layout, &view, NULL, &picture);
    view.place = place;
    view.rig = NULL;
    REFUSED(mtm_picture_of_layout, &view, NULL, &picture);
    HOLDS(mtm_picture_of_layout, picture == NULL);
    free(place);
}

void walk_plan_pictures(void **state)
{
    (void)state;
    walk_layout_picture();
    walk_trim_picture();
    walk_moved_picture();
}
