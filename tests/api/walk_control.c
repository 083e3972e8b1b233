/* SPDX-License-Identifier: MIT */
/* The walk through the control room. */
#include "walk.h"

#include <metamer/cue_export.h>
#include <metamer/fade_picture.h>
#include <metamer/fade_report.h>
#include <metamer/linked_picture.h>
#include <metamer/path.h>
#include <metamer/show_goals.h>

static void walk_show(void)
{
    static const char text[] = "{}";
    const mtm_show *show = world.show;
    mtm_show *none = NULL;
    size_t count = 0;
    size_t cues = mtm_show_cue_count(show);
    mtm_look *look = calloc(mtm_rig_unit_count(mtm_show_rig(show)), sizeof *look);

    assert_non_null(look);
    mtm_show *new_show = NULL;
    const size_t unit = 0;
    const mtm_cue cue = {.number = 1, .follow_s = -1};
    const mtm_setting setting = {.has_output = true};
    REFUSED(mtm_show_create, NULL, world.rig, MTM_OBSERVER_2, 40, &new_show);
    REFUSED(mtm_show_create, "", world.rig, MTM_OBSERVER_2, 40, &new_show);
    REFUSED(mtm_show_create, "s", NULL, MTM_OBSERVER_2, 40, &new_show);
    REFUSED(mtm_show_create, "s", world.rig, (mtm_observer)NO_ENUM, 40, &new_show);
    REFUSED(mtm_show_create, "s", world.rig, MTM_OBSERVER_2, 40, NULL);
    EACH_NUMBER(n)
    {
        REFUSED(mtm_show_create, "s", world.rig, MTM_OBSERVER_2, *n, &new_show);
    }
    DONE(mtm_show_create, "s", world.rig, MTM_OBSERVER_2, 0, &new_show);
    REFUSED(mtm_show_add_colour, NULL, "c", &world.target);
    REFUSED(mtm_show_add_colour, new_show, NULL, &world.target);
    REFUSED(mtm_show_add_colour, new_show, "c", NULL);
    EACH_XY(bad)
    {
        mtm_target odd = world.target;
        odd.xy = *bad;
        REFUSED(mtm_show_add_colour, new_show, "c", &odd);
    }
    REFUSED(mtm_show_add_group, NULL, "g", &unit, 1);
    REFUSED(mtm_show_add_group, new_show, NULL, &unit, 1);
    REFUSED(mtm_show_add_group, new_show, "g", NULL, 1);
    REFUSED(mtm_show_add_group, new_show, "g", &unit, 0);
    REFUSED(mtm_show_add_cue, NULL, &cue, &setting, 1);
    REFUSED(mtm_show_add_cue, new_show, NULL, &setting, 1);
    REFUSED(mtm_show_add_cue, new_show, &cue, NULL, 1);
    REFUSED(mtm_show_add_cue, world.show, &cue, &setting, 1);
    EACH_NUMBER(n)
    {
        const mtm_cue odd[] = {{*n, NULL, 1, 1, 0, -1},
                               {1, NULL, *n, 1, 0, -1},
                               {1, NULL, 1, *n, 0, -1},
                               {1, NULL, 1, 1, *n, -1},
                               {1, NULL, 1, 1, 0, *n}};
        const mtm_setting output = {.has_output = true, .output = {MTM_OUTPUT_LM, *n}};
        for (size_t i = 0; i < COUNT(odd); i++)
            REFUSED(mtm_show_add_cue, new_show, &odd[i], &setting, 1);
        REFUSED(mtm_show_add_cue, new_show, &cue, &output, 1);
        const mtm_setting dark = {.has_output = true, .leave_dark_uv = *n};
        REFUSED(mtm_show_add_cue, new_show, &cue, &dark, 1);
    }
    const mtm_setting odd[] = {{.has_output = true, .goal = (mtm_goal)NO_ENUM},
                               {.has_output = true, .path = (mtm_path_type)NO_ENUM},
                               {.has_output = true, .shape = (mtm_shape_type)NO_ENUM},
                               {.has_output = true, .dimming = (mtm_dimming)NO_ENUM},
                               {.has_output = true, .output = {(mtm_output_type)NO_ENUM, 0}}};
    for (size_t i = 0; i < COUNT(odd); i++)
        REFUSED(mtm_show_add_cue, new_show, &cue, &odd[i], 1);
    mtm_show_free(new_show);
    REFUSED(mtm_show_load, NULL, &none);
    REFUSED(mtm_show_load, "examples/evening.json", NULL);
    REFUSED(mtm_show_parse, NULL, 0, "t", NULL, NULL, &none);
    REFUSED(mtm_show_parse, text, 2, NULL, NULL, NULL, &none);
    REFUSED(mtm_show_parse, text, 2, "t", NULL, NULL, NULL);
    assert_null(none);
    HOLDS(mtm_show_name, mtm_show_name(NULL) == NULL);
    HOLDS(mtm_show_rig, mtm_show_rig(NULL) == NULL);
    HOLDS(mtm_show_observer, mtm_show_observer(NULL) == MTM_OBSERVER_2);
    HOLDS(mtm_show_refresh_hz, isnan(mtm_show_refresh_hz(NULL)));
    HOLDS(mtm_show_colour_count, mtm_show_colour_count(NULL) == 0);
    HOLDS(mtm_show_colour_name, mtm_show_colour_name(NULL, 0) == NULL);
    HOLDS(mtm_show_colour_name, mtm_show_colour_name(show, mtm_show_colour_count(show)) == NULL);
    HOLDS(mtm_show_colour, mtm_show_colour(NULL, 0) == NULL);
    HOLDS(mtm_show_colour, mtm_show_colour(show, mtm_show_colour_count(show)) == NULL);
    HOLDS(mtm_show_group_count, mtm_show_group_count(NULL) == 0);
    HOLDS(mtm_show_group_name, mtm_show_group_name(NULL, 0) == NULL);
    HOLDS(mtm_show_group_name, mtm_show_group_name(show, mtm_show_group_count(show)) == NULL);
    HOLDS(mtm_show_group, mtm_show_group(NULL, 0, &count) == NULL);
    size_t chosen[64];
    REFUSED(mtm_show_select, NULL, "all", chosen, &count);
    REFUSED(mtm_show_select, show, "all", NULL, &count);
    REFUSED(mtm_show_select, show, "all", chosen, NULL);
    HOLDS(mtm_show_group, mtm_show_group(show, 0, NULL) == NULL);
    HOLDS(mtm_show_group, mtm_show_group(show, mtm_show_group_count(show), &count) == NULL);
    HOLDS(mtm_show_cue_count, mtm_show_cue_count(NULL) == 0);
    HOLDS(mtm_show_cue, mtm_show_cue(NULL, 0) == NULL && mtm_show_cue(show, cues) == NULL);
    REFUSED(mtm_show_find_cue, NULL, 1, &count);
    REFUSED(mtm_show_find_cue, show, 1, NULL);
    EACH_NUMBER(n)
    REFUSED(mtm_show_find_cue, show, *n, &count);
    LEAVES(look[0], mtm_show_apply, NULL, 0, look, NULL);
    LEAVES(look[0], mtm_show_apply, show, cues, look, NULL);
    LEAVES(look[0], mtm_show_apply, show, 0, NULL, NULL);
    LEAVES(count, mtm_show_free, NULL);
    free(look);
}

static void walk_paths(void)
{
    const mtm_xy xy = {0.35, 0.36};
    mtm_path path = {.type = MTM_PATH_LIGHT};

    EACH_XY(bad)
    {
        REFUSED(mtm_path_create, MTM_PATH_LIGHT, *bad, xy, &path);
        REFUSED(mtm_path_create, MTM_PATH_CAM16, xy, *bad, &path);
    }
    REFUSED(mtm_path_create, MTM_PATH_SLOTS, xy, xy, &path);
    REFUSED(mtm_path_create, (mtm_path_type)NO_ENUM, xy, xy, &path);
    REFUSED(mtm_path_create, MTM_PATH_LIGHT, xy, xy, NULL);
    NOTHING(mtm_xy, mtm_path_at, NULL, 0.5);
    NOTHING(mtm_xy, mtm_path_at, &path, 0.5);
    path.type = (mtm_path_type)NO_ENUM;
    NOTHING(mtm_xy, mtm_path_at, &path, 0.5);
    DONE(mtm_path_create, MTM_PATH_LIGHT, xy, ((mtm_xy){0.4, 0.4}), &path);
    NOTHING(mtm_xy, mtm_path_at, &path, NAN);
    HOLDS(mtm_path_at, mtm_path_at(&path, INFINITY).x == 0.4);
    HOLDS(mtm_path_at, mtm_path_at(&path, -INFINITY).x == xy.x);
    for (int type = 0; type < (int)mtm_shape_type_count(); type++) {
        NOTHING(double, mtm_shape_at, (mtm_shape_type)type, NULL, 0.2, 0.8, NAN);
        EACH_NUMBER(n)
        {
            NOTHING(double, mtm_shape_at, (mtm_shape_type)type, NULL, *n, 0.8, 0.5);
            NOTHING(double, mtm_shape_at, (mtm_shape_type)type, NULL, 0.2, *n, 0.5);
        }
        HOLDS(mtm_shape_at, mtm_shape_at((mtm_shape_type)type, NULL, 0.2, 0.8, INFINITY) == 0.8);
    }
    NOTHING(double, mtm_shape_at, (mtm_shape_type)NO_ENUM, NULL, 0.2, 0.8, 0.5);
}

static void tell_nobody(void *context, const mtm_goal_lapse *lapse)
{
    (void)context;
    (void)lapse;
}

#define BAD_COURSE(member, value)                                                                  \
    do {                                                                                           \
        mtm_fade_course_request bad_ = request;                                                    \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_fade_course_create, fader, &bad_, &course);                                    \
    } while (0)

#define BAD_FADE_VIEW(member, value)                                                               \
    do {                                                                                           \
        mtm_fade_view bad_ = view;                                                                 \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_fade, &bad_, NULL, &picture);                                       \
    } while (0)

static void walk_fade_picture(const mtm_fade_finding *finding, const mtm_fade_course *course)
{
    const mtm_fade_view view = {
        .show = world.show, .finding = finding, .course = course, .visible = 1};
    const mtm_picture_options small = {.width = 239};
    mtm_picture *picture = NULL;

    HOLDS(mtm_picture_moments, mtm_picture_moments(NULL) == 500);
    REFUSED(mtm_picture_of_fade, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_fade, &view, NULL, NULL);
    REFUSED(mtm_picture_of_fade, &view, &small, &picture);
    BAD_FADE_VIEW(show, NULL);
    BAD_FADE_VIEW(finding, NULL);
    BAD_FADE_VIEW(course, NULL);
    BAD_FADE_VIEW(cue, mtm_show_cue_count(world.show));
    BAD_FADE_VIEW(visible, 0);
    EACH_NUMBER(n)
    BAD_FADE_VIEW(visible, *n);
    HOLDS(mtm_picture_of_fade, picture == NULL);
}

/* finding: of the first cue, or none. */
static void walk_course(mtm_fader *fader, const mtm_fade_finding *finding)
{
    const mtm_fade_course_request request = {.finding = finding, .units = 1, .moments = 2};
    mtm_fade_course *course = NULL;

    REFUSED(mtm_fade_course_create, NULL, &request, &course);
    REFUSED(mtm_fade_course_create, fader, NULL, &course);
    REFUSED(mtm_fade_course_create, fader, &request, NULL);
    BAD_COURSE(finding, NULL);
    BAD_COURSE(units, 0);
    BAD_COURSE(units, MTM_FADE_COURSE_UNITS_MAX + 1);
    BAD_COURSE(moments, MTM_FADE_COURSE_MOMENTS_MIN - 1);
    BAD_COURSE(moments, MTM_FADE_COURSE_MOMENTS_MAX + 1);
    assert_null(course);
    DONE(mtm_fader_set_before, fader, 0);
    DONE(mtm_fader_go, fader, 0);
    DONE(mtm_fade_course_create, fader, &request, &course);
    size_t units = mtm_fade_course_units(course);
    HOLDS(mtm_fade_course_units, mtm_fade_course_units(NULL) == 0 && units == 1);
    HOLDS(mtm_fade_course_unit, mtm_fade_course_unit(course, units) == SIZE_MAX);
    HOLDS(mtm_fade_course_unit, mtm_fade_course_unit(NULL, 0) == SIZE_MAX);
    HOLDS(mtm_fade_course_alike, mtm_fade_course_alike(course, units) == 0);
    HOLDS(mtm_fade_course_alike, mtm_fade_course_alike(NULL, 0) == 0);
    HOLDS(mtm_fade_course_moments, mtm_fade_course_moments(NULL) == 0);
    HOLDS(mtm_fade_course_of, mtm_fade_course_of(course, units) == NULL);
    HOLDS(mtm_fade_course_of, mtm_fade_course_of(NULL, 0) == NULL);
    walk_fade_picture(finding, course);
    mtm_fade_course_free(course);
    mtm_fade_course_free(NULL);
    walk_note("mtm_fade_course_free");
}

#define BAD_LINKED_VIEW(member, value)                                                             \
    do {                                                                                           \
        mtm_linked_view bad_ = view;                                                               \
        bad_.member = (value);                                                                     \
        REFUSED(mtm_picture_of_linked, &bad_, NULL, &picture);                                     \
    } while (0)

/* linked: of the first cue. */
static void walk_linked_course(mtm_fader *fader, const mtm_linked *linked)
{
    mtm_linked_course *course = NULL;
    mtm_picture *picture = NULL;

    REFUSED(mtm_linked_course_create, NULL, 0, linked, NULL, 1, &course);
    REFUSED(mtm_linked_course_create, fader, 0, NULL, NULL, 1, &course);
    REFUSED(mtm_linked_course_create, fader, 0, linked, NULL, 1, NULL);
    REFUSED(mtm_linked_course_create, fader, 0, linked, NULL, 0, &course);
    REFUSED(mtm_linked_course_create, fader, mtm_show_cue_count(world.show), linked, NULL, 1,
            &course);
    REFUSED(mtm_linked_course_create, fader, 0, linked, NULL, MTM_LINKED_COURSE_UNITS_MAX + 1,
            &course);
    assert_null(course);
    DONE(mtm_linked_course_create, fader, 0, linked, NULL, 1, &course);
    size_t cues = mtm_linked_course_cues(course), units = mtm_linked_course_units(course);
    HOLDS(mtm_linked_course_cues, mtm_linked_course_cues(NULL) == 0);
    HOLDS(mtm_linked_course_end_s, isnan(mtm_linked_course_end_s(course, cues)));
    HOLDS(mtm_linked_course_end_s, isnan(mtm_linked_course_end_s(NULL, 0)));
    HOLDS(mtm_linked_course_units, mtm_linked_course_units(NULL) == 0 && units == 1);
    HOLDS(mtm_linked_course_unit, mtm_linked_course_unit(course, units) == SIZE_MAX);
    HOLDS(mtm_linked_course_alike, mtm_linked_course_alike(course, units) == 0);
    HOLDS(mtm_linked_course_moments, mtm_linked_course_moments(NULL) == 0);
    HOLDS(mtm_linked_course_of, mtm_linked_course_of(course, units) == NULL);
    const mtm_linked_view view = {.show = world.show, .course = course, .tolerance = 10};
    REFUSED(mtm_picture_of_linked, NULL, NULL, &picture);
    REFUSED(mtm_picture_of_linked, &view, NULL, NULL);
    BAD_LINKED_VIEW(show, NULL);
    BAD_LINKED_VIEW(course, NULL);
    BAD_LINKED_VIEW(cue, mtm_show_cue_count(world.show));
    BAD_LINKED_VIEW(tolerance, 0);
    EACH_NUMBER(n)
    BAD_LINKED_VIEW(tolerance, *n);
    assert_null(picture);
    mtm_linked_course_free(course);
    mtm_linked_course_free(NULL);
    walk_note("mtm_linked_course_free");
}

static void walk_fader(void)
{
    mtm_fader_options options = {.any_rate = true};
    mtm_fader *none = NULL;
    mtm_fader *fader = NULL;
    mtm_fader_state state = {.moving = true};
    const uint8_t *no_slots[1] = {NULL};
    mtm_frame_source source;
    size_t cues = mtm_show_cue_count(world.show);
    size_t units = mtm_rig_unit_count(mtm_show_rig(world.show));
    mtm_fade_finding *finding = calloc(units, sizeof *finding);
    mtm_linked *linked = NULL;
    char sentence[8] = "kept";

    assert_non_null(finding);
    REFUSED(mtm_fader_create, NULL, &options, &none);
    REFUSED(mtm_fader_create, world.show, &options, NULL);
    EACH_NUMBER(n)
    {
        options.refresh_hz = *n;
        REFUSED(mtm_fader_create, world.show, &options, &none);
    }
    options.refresh_hz = -1;
    REFUSED(mtm_fader_create, world.show, &options, &none);
    const mtm_fader_options odd = {.has_dimming = true, .dimming = (mtm_dimming)NO_ENUM};
    REFUSED(mtm_fader_create, world.show, &odd, &none);
    assert_null(none);
    DONE(mtm_fader_create, world.show, NULL, &fader);
    HOLDS(mtm_fader_layout, mtm_fader_layout(NULL).universe_count == 0);
    REFUSED(mtm_fader_set, NULL, 0);
    REFUSED(mtm_fader_set, fader, cues);
    REFUSED(mtm_fader_set_before, NULL, 0);
    REFUSED(mtm_fader_set_before, fader, cues);
    REFUSED(mtm_fader_go, NULL, 0);
    REFUSED(mtm_fader_go, fader, cues);
    REFUSED(mtm_fader_check, NULL);
    REFUSED(mtm_fader_step, NULL);
    HOLDS(mtm_fader_frames_left, mtm_fader_frames_left(NULL) == 0);
    HOLDS(mtm_fader_slots, mtm_fader_slots(NULL, 0) == NULL);
    HOLDS(mtm_fader_slots, mtm_fader_slots(fader, mtm_fader_layout(fader).universe_count) == NULL);
    LEAVES(state, mtm_fader_unit, NULL, 0, &state);
    LEAVES(state, mtm_fader_unit, fader, units, &state);
    LEAVES(state, mtm_fader_unit, fader, 0, NULL);
    REFUSED(mtm_fader_source, NULL, 0, 0, MTM_PLAY_ONE, &source);
    REFUSED(mtm_fader_source, fader, cues, 0, MTM_PLAY_ONE, &source);
    REFUSED(mtm_fader_source, fader, MTM_FADER_DARK, cues, MTM_PLAY_ONE, &source);
    REFUSED(mtm_fader_source, fader, MTM_FADER_DARK, 0, (mtm_fader_play)NO_ENUM, &source);
    REFUSED(mtm_fader_source, fader, MTM_FADER_DARK, 0, MTM_PLAY_ONE, NULL);
    REFUSED(mtm_fader_stand, NULL, no_slots);
    REFUSED(mtm_fader_stand, fader, NULL);
    REFUSED(mtm_fader_jump, NULL, 0);
    REFUSED(mtm_fader_jump, fader, cues);
    HOLDS(mtm_fader_pause, (mtm_fader_pause(NULL, true), true));
    HOLDS(mtm_fader_hold, (mtm_fader_hold(NULL, true), true));
    HOLDS(mtm_fader_progress_of, mtm_fader_progress_of(NULL).cue == MTM_FADER_DARK);
    REFUSED(mtm_fader_go_to, NULL, 0);
    REFUSED(mtm_fader_go_to, fader, cues);
    REFUSED(mtm_fade_examine, NULL, 0, finding, NULL, NULL);
    REFUSED(mtm_fade_examine, fader, cues, finding, NULL, NULL);
    REFUSED(mtm_fade_examine, fader, 0, NULL, NULL, NULL);
    REFUSED(mtm_fade_examine_from, NULL, 0, 0, finding, NULL, NULL);
    REFUSED(mtm_fade_examine_from, fader, cues, 0, finding, NULL, NULL);
    REFUSED(mtm_fade_examine_from, fader, 0, cues, finding, NULL, NULL);
    REFUSED(mtm_fade_examine_from, fader, 0, 0, NULL, NULL, NULL);
    REFUSED(mtm_show_goal_lapses, NULL, tell_nobody, NULL);
    REFUSED(mtm_show_goal_lapses, world.show, NULL, NULL);
    LEAVES(sentence, mtm_fade_cure, NULL, 0, finding, 1, sentence, sizeof sentence);
    LEAVES(sentence, mtm_fade_cure, world.show, units, finding, 1, sentence, sizeof sentence);
    LEAVES(sentence, mtm_fade_cure, world.show, 0, NULL, 1, sentence, sizeof sentence);
    LEAVES(sentence, mtm_fade_cure, world.show, 0, finding, 1, NULL, 8);
    LEAVES(sentence, mtm_fade_cure, world.show, 0, finding, 1, sentence, 0);
    walk_course(fader, finding);
    REFUSED(mtm_linked_create, NULL, 0, 1, NULL, NULL, &linked);
    REFUSED(mtm_linked_create, fader, cues, 1, NULL, NULL, &linked);
    REFUSED(mtm_linked_create, fader, 0, 0, NULL, NULL, &linked);
    REFUSED(mtm_linked_create, fader, 0, 1, NULL, NULL, NULL);
    EACH_NUMBER(n)
    REFUSED(mtm_linked_create, fader, 0, *n, NULL, NULL, &linked);
    assert_null(linked);
    DONE(mtm_linked_create, fader, 0, 10, NULL, NULL, &linked);
    HOLDS(mtm_linked_count, mtm_linked_count(NULL) == 0);
    HOLDS(mtm_linked_time_s, isnan(mtm_linked_time_s(NULL, 0)));
    HOLDS(mtm_linked_time_s, isnan(mtm_linked_time_s(linked, mtm_linked_count(linked))));
    HOLDS(mtm_linked_codes, mtm_linked_codes(NULL, 0, 0).emitter[0] == 0);
    HOLDS(mtm_linked_codes, mtm_linked_codes(linked, mtm_linked_count(linked), 0).emitter[0] == 0);
    HOLDS(mtm_linked_codes, mtm_linked_codes(linked, 0, units).emitter[0] == 0);
    HOLDS(mtm_linked_error, isnan(mtm_linked_error(NULL)));
    walk_linked_course(fader, linked);
    mtm_linked_free(linked);
    LEAVES(state, mtm_linked_free, NULL);
    mtm_fader_free(fader);
    LEAVES(state, mtm_fader_free, NULL);
    free(finding);
}

void walk_shows(void **state)
{
    (void)state;
    walk_show();
    walk_paths();
    walk_fader();
}

#define BAD_CUE(member, value)                                                                     \
    do {                                                                                           \
        cue = good;                                                                                \
        cue.member = (value);                                                                      \
        REFUSED(mtm_cue_sheet_add, sheet, &cue);                                                   \
    } while (0)
#define BAD_PART(member, value)                                                                    \
    do {                                                                                           \
        part = good_part;                                                                          \
        part.member = (value);                                                                     \
        cue = good;                                                                                \
        cue.part = &part;                                                                          \
        REFUSED(mtm_cue_sheet_add, sheet, &cue);                                                   \
    } while (0)

static void walk_cues(mtm_cue_sheet *sheet)
{
    const mtm_cue_level fall[] = {{2, 10}, {1, 10}};
    const mtm_cue_level nothing[] = {{0, 10}};
    const mtm_cue_part good_part = {.text = "a", .up_s = 1};
    const mtm_cue_entry good = {.number_tenths = 10, .part_count = 1, .part = &good_part};
    mtm_cue_part part;
    mtm_cue_entry cue = {.type = MTM_CUE_CUE};

    DONE(mtm_cue_sheet_add, sheet, &good);
    REFUSED(mtm_cue_sheet_add, NULL, &good);
    REFUSED(mtm_cue_sheet_add, sheet, NULL);
    REFUSED(mtm_cue_sheet_add, sheet, &cue); /* zeroed */
    BAD_CUE(type, (mtm_cue_type)NO_ENUM);
    BAD_CUE(type, (mtm_cue_type)-1);
    BAD_CUE(number_tenths, 0);
    BAD_CUE(number_tenths, 100000);
    BAD_CUE(link_tenths, 100000);
    BAD_CUE(part_count, 0);
    BAD_CUE(part, NULL);
    BAD_PART(number, 1);
    BAD_PART(level_count, 1); /* that is not there */
    part = good_part;
    part.level_count = 2;
    part.level = fall;
    cue = good;
    cue.part = &part;
    REFUSED(mtm_cue_sheet_add, sheet, &cue);
    part.level_count = 1;
    part.level = nothing;
    REFUSED(mtm_cue_sheet_add, sheet, &cue);
    EACH_NUMBER(n)
    {
        BAD_PART(up_s, *n);
        BAD_PART(up_wait_s, *n);
        BAD_PART(down_s, *n);
        BAD_PART(down_wait_s, *n);
        cue = good;
        cue.has_follow = true;
        cue.follow_s = *n;
        REFUSED(mtm_cue_sheet_add, sheet, &cue);
        REFUSED(mtm_cue_sheet_set_defaults, sheet, *n, 1);
        REFUSED(mtm_cue_sheet_set_defaults, sheet, 1, *n);
    }
    BAD_PART(up_s, -1);
    REFUSED(mtm_cue_sheet_set_defaults, NULL, 1, 1);
}

static void walk_cue_values(mtm_cue_sheet *sheet)
{
    static uint8_t level[MTM_CUE_CHANNEL_MAX + 1];
    uint8_t slot[512] = {1};
    mtm_cue_level pair[2] = {{7, 7}, {8, 8}};

    REFUSED(mtm_cue_sheet_levels, NULL, 0, MTM_CUE_ZERO, level);
    REFUSED(mtm_cue_sheet_levels, sheet, 99, MTM_CUE_ZERO, level);
    REFUSED(mtm_cue_sheet_levels, sheet, 0, (mtm_cue_missing)NO_ENUM, level);
    REFUSED(mtm_cue_sheet_levels, sheet, 0, MTM_CUE_ZERO, NULL);
    LEAVES(slot, mtm_cue_sheet_slots, NULL, level, 1, slot);
    LEAVES(slot, mtm_cue_sheet_slots, sheet, NULL, 1, slot);
    LEAVES(slot, mtm_cue_sheet_slots, sheet, level, 0, slot);
    LEAVES(slot, mtm_cue_sheet_slots, sheet, level, 129, slot);
    LEAVES(slot, mtm_cue_sheet_slots, sheet, level, 1, NULL);
    LEAVES(pair, mtm_cue_level_pair, 0, 1000, pair);
    LEAVES(pair, mtm_cue_level_pair, 65535, 1000, pair);
    LEAVES(pair, mtm_cue_level_pair, 1, 1000, NULL);
    HOLDS(mtm_cue_pair_value, mtm_cue_pair_value(NULL, 1) == 0);
    HOLDS(mtm_cue_pair_value, mtm_cue_pair_value(level, 0) == 0);
    HOLDS(mtm_cue_pair_value, mtm_cue_pair_value(level, 65535) == 0);
    HOLDS(mtm_cue_severity_name, mtm_cue_severity_name((mtm_cue_severity)NO_ENUM) == NULL);
    HOLDS(mtm_cue_sheet_count, mtm_cue_sheet_count(NULL) == 0);
    HOLDS(mtm_cue_sheet_at, mtm_cue_sheet_at(NULL, 0) == NULL);
    HOLDS(mtm_cue_sheet_at, mtm_cue_sheet_at(sheet, mtm_cue_sheet_count(sheet)) == NULL);
    HOLDS(mtm_cue_sheet_patch_count, mtm_cue_sheet_patch_count(NULL) == 0);
    HOLDS(mtm_cue_sheet_patch_of, mtm_cue_sheet_patch_of(NULL, 1).channel == 0);
    HOLDS(mtm_cue_sheet_patch_of, mtm_cue_sheet_patch_of(sheet, 0).channel == 0);
    HOLDS(mtm_cue_sheet_manufacturer, mtm_cue_sheet_manufacturer(NULL) == NULL);
    HOLDS(mtm_cue_sheet_console, mtm_cue_sheet_console(NULL) == NULL);
    HOLDS(mtm_cue_sheet_remark_count, mtm_cue_sheet_remark_count(NULL) == 0);
    HOLDS(mtm_cue_sheet_remark, mtm_cue_sheet_remark(NULL, 0).code == NULL);
    HOLDS(mtm_cue_sheet_remark, mtm_cue_sheet_remark(sheet, 99).code == NULL);
    HOLDS(mtm_cue_sheet_remarks_of, mtm_cue_sheet_remarks_of(NULL, MTM_CUE_WARN) == 0);
    HOLDS(mtm_cue_sheet_remarks_of,
          mtm_cue_sheet_remarks_of(sheet, (mtm_cue_severity)NO_ENUM) == 0);
}

void walk_cue_sheets(void **state)
{
    const mtm_cue_write_options plain = {0};
    const mtm_cue_write_options no_rule = {.missing = (mtm_cue_missing)NO_ENUM};
    const mtm_cue_export_options all = {0};
    const uint16_t zero = 0;
    const mtm_cue_read_options no_list = {.pair_count = 1};
    const mtm_cue_read_options no_pair = {.pair = &zero, .pair_count = 1};
    mtm_cue_sheet *sheet = NULL;
    mtm_cue_sheet *none = NULL;
    char *text = NULL;
    size_t length = 0;

    (void)state;
    REFUSED(mtm_cue_sheet_create, NULL);
    DONE(mtm_cue_sheet_create, &sheet);
    walk_cues(sheet);
    walk_cue_values(sheet);
    REFUSED(mtm_cue_sheet_patch, NULL, ((mtm_cue_patch){1, 1, 255}));
    REFUSED(mtm_cue_sheet_patch, sheet, ((mtm_cue_patch){0, 1, 255}));
    REFUSED(mtm_cue_sheet_patch, sheet, ((mtm_cue_patch){1, 0, 255}));
    REFUSED(mtm_cue_sheet_pair, NULL, 1);
    REFUSED(mtm_cue_sheet_pair, sheet, 0);
    REFUSED(mtm_cue_sheet_pair, sheet, 65535);
    REFUSED(mtm_cue_sheet_set_maker, NULL, "a", "b");
    REFUSED(mtm_cue_sheet_set_maker, sheet, "", "b");
    REFUSED(mtm_cue_sheet_set_maker, sheet, "a", "12345678901");
    REFUSED(mtm_cue_text_write, NULL, &plain, &text, &length, NULL);
    REFUSED(mtm_cue_text_write, sheet, NULL, &text, &length, NULL);
    REFUSED(mtm_cue_text_write, sheet, &no_rule, &text, &length, NULL);
    REFUSED(mtm_cue_text_write, sheet, &plain, NULL, &length, NULL);
    REFUSED(mtm_cue_text_write, sheet, &plain, &text, NULL, NULL);
    assert_null(text);
    REFUSED(mtm_cue_text_read, NULL, 0, NULL, &none);
    REFUSED(mtm_cue_text_read, "", 0, &no_list, &none);
    REFUSED(mtm_cue_text_read, "", 0, &no_pair, &none);
    REFUSED(mtm_cue_text_read, "", 0, NULL, NULL);
    REFUSED(mtm_cue_sheet_from_show, NULL, &all, &none);
    REFUSED(mtm_cue_sheet_from_show, world.show, NULL, &none);
    REFUSED(mtm_cue_sheet_from_show, world.show, &all, NULL);
    EACH_NUMBER(n)
    {
        const mtm_cue_export_options odd = {.linked_tolerance = *n};
        REFUSED(mtm_cue_sheet_from_show, world.show, &odd, &none);
    }
    assert_null(none);
    mtm_cue_sheet_free(sheet);
    LEAVES(length, mtm_cue_sheet_free, NULL);
}
