/* SPDX-License-Identifier: MIT */
/* Fade course: what units go through in a fade, at so many moments. */
#include <metamer/fade_course.h>

#include "base/error.h"
#include "base/pool.h"
#include "fade/fader.h"
#include "fade/pick.h"

#include <metamer/lab.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FRAMES_BETWEEN_PROGRESS 64

/* A unit that is recorded. */
struct recorded {
    size_t unit;  /* of the rig */
    size_t alike; /* units that do the same, itself included */
    mtm_lab last; /* of the frame before */
    mtm_fade_moment *moment;
};

struct mtm_fade_course {
    size_t units, moments;
    struct recorded *each;
    mtmi_pool pool;
};

/* A frame: its codes, their light, and the step to it. */
static void look(const mtm_fader *fader, struct recorded *recorded, mtm_fade_moment *moment)
{
    const mtmi_runner *runner = &fader->runners[recorded->unit];
    bool first = recorded->last.l < 0;
    mtm_codes codes;

    mtmi_runner_codes(fader, runner, &codes);
    if (!first && memcmp(&codes, &moment->codes, sizeof codes) == 0)
        return; /* nor does its light change */
    moment->codes = codes;
    moment->sent = mtmi_codes_light(runner->kind, &codes);
    mtm_lab now = mtmi_kind_lab(runner->kind, moment->sent);
    if (!first && mtmi_ciede2000_bound(recorded->last, now) > moment->step)
        moment->step = fmax(moment->step, mtm_lab_ciede2000(recorded->last, now));
    moment->lightness = now.l;
    recorded->last = now;
}

/* What only moments tell. */
static void complete(mtm_fader *fader, size_t unit, double time_s, mtm_fade_moment *moment)
{
    mtm_fader_state state;

    mtm_fader_unit(fader, unit, &state);
    moment->time_s = time_s;
    moment->wanted = state.wanted;
    memcpy(moment->level, state.level, sizeof moment->level);
}

/* The frame at which a moment stands. */
static uint64_t frame_of(const mtm_fade_course *course, size_t moment, uint64_t total)
{
    if (course->moments < 2)
        return 0;
    return (uint64_t)llround((double)moment / (double)(course->moments - 1) * (double)total);
}

static mtm_result record(mtm_fader *fader, const mtm_fade_course_request *request,
                         mtm_fade_course *course, uint64_t total, mtm_error *error)
{
    size_t at = 0; /* the moment that the next frames belong to */

    for (uint64_t frame = 0; frame <= total; frame++) {
        if (frame > 0) {
            mtm_result result = mtm_fader_step(fader, error);
            if (result != MTM_OK)
                return result;
        }
        bool ends = frame == frame_of(course, at, total);
        for (size_t i = 0; i < course->units; i++) {
            mtm_fade_moment *moment = &course->each[i].moment[at];
            look(fader, &course->each[i], moment);
            if (!ends)
                continue;
            complete(fader, course->each[i].unit, (double)frame / fader->layout.rate_hz, moment);
            if (at + 1 < course->moments) { /* goes on from there */
                moment[1] = moment[0];
                moment[1].step = 0;
            }
        }
        at += ends && at + 1 < course->moments;
        if (request->progress != NULL && frame % FRAMES_BETWEEN_PROGRESS == 0 &&
            !request->progress(request->context, (double)frame / fmax(1, (double)total)))
            return mtmi_fail(error, MTM_RANGE, "stopped");
    }
    return MTM_OK;
}

static mtm_result make(mtm_fader *fader, const mtm_fade_course_request *request,
                       const mtmi_pick *pick, size_t count, mtm_fade_course *course,
                       mtm_error *error)
{
    uint64_t total = mtm_fader_frames_left(fader);

    course->units = count;
    course->moments = total + 1 < request->moments ? (size_t)total + 1 : request->moments;
    course->each = mtmi_pool_take(&course->pool, count + 1, sizeof *course->each);
    for (size_t i = 0; i < count && course->each != NULL; i++) {
        course->each[i].unit = pick[i].unit;
        course->each[i].alike = pick[i].alike;
        course->each[i].last.l = -1;
        course->each[i].moment =
            mtmi_pool_take(&course->pool, course->moments, sizeof *course->each[i].moment);
    }
    if (course->each == NULL || course->pool.failed)
        return mtmi_fail_memory(error);
    return record(fader, request, course, total, error);
}

static mtm_result check(const mtm_fader *fader, const mtm_fade_course_request *request,
                        mtm_error *error)
{
    if (fader == NULL || request == NULL || request->finding == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader and what was found of its units are needed");
    if (request->units < 1 || request->units > MTM_FADE_COURSE_UNITS_MAX)
        return mtmi_fail(error, MTM_INVALID, "a course is of 1 to %d units, not %zu",
                         MTM_FADE_COURSE_UNITS_MAX, request->units);
    if (request->moments < MTM_FADE_COURSE_MOMENTS_MIN ||
        request->moments > MTM_FADE_COURSE_MOMENTS_MAX)
        return mtmi_fail(error, MTM_INVALID, "a course has %d to %d moments, not %zu",
                         MTM_FADE_COURSE_MOMENTS_MIN, MTM_FADE_COURSE_MOMENTS_MAX,
                         request->moments);
    return MTM_OK;
}

mtm_result mtm_fade_course_create(mtm_fader *fader, const mtm_fade_course_request *request,
                                  mtm_fade_course **out, mtm_error *error)
{
    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the course was given");
    mtm_result result = check(fader, request, error);
    if (result != MTM_OK)
        return result;
    mtm_fade_course *made = calloc(1, sizeof *made);
    mtmi_pick *pick = calloc(fader->unit_count + 1, sizeof *pick);
    size_t *by_leader = calloc(fader->unit_count + 1, sizeof *by_leader);
    if (made == NULL || pick == NULL || by_leader == NULL) {
        result = mtmi_fail_memory(error);
    } else {
        size_t count = mtmi_pick_gather(fader, request->meant, pick, by_leader);
        for (size_t i = 0; i < count; i++)
            pick[i].worth = request->finding[pick[i].unit].step;
        count = mtmi_pick_choose(fader->rig, pick, count, request->units);
        result = make(fader, request, pick, count, made, error);
    }
    free(pick);
    free(by_leader);
    if (result == MTM_OK)
        *out = made;
    else
        mtm_fade_course_free(made);
    return result;
}

void mtm_fade_course_free(mtm_fade_course *course)
{
    if (course == NULL)
        return;
    mtmi_pool_free(&course->pool);
    free(course);
}

size_t mtm_fade_course_units(const mtm_fade_course *course)
{
    return course != NULL ? course->units : 0;
}

size_t mtm_fade_course_unit(const mtm_fade_course *course, size_t index)
{
    return index < mtm_fade_course_units(course) ? course->each[index].unit : SIZE_MAX;
}

size_t mtm_fade_course_alike(const mtm_fade_course *course, size_t index)
{
    return index < mtm_fade_course_units(course) ? course->each[index].alike : 0;
}

size_t mtm_fade_course_moments(const mtm_fade_course *course)
{
    return course != NULL ? course->moments : 0;
}

const mtm_fade_moment *mtm_fade_course_of(const mtm_fade_course *course, size_t index)
{
    return index < mtm_fade_course_units(course) ? course->each[index].moment : NULL;
}
