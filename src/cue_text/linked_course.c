/* SPDX-License-Identifier: MIT */
/* Linked course: the way of a fade beside the straight fades of the cues that stand for it. */
#include <metamer/linked_course.h>

#include "base/error.h"
#include "cue_text/linked.h"
#include "fade/pick.h"

#include <math.h>
#include <stdlib.h>

/* A unit that is looked at. */
struct looked {
    size_t unit, alike;
    mtm_linked_moment *moment;
};

struct mtm_linked_course {
    size_t cues, units, moments;
    double *end_s;
    struct looked *each;
    mtmi_pool pool;
};

/* What the work holds besides the course. */
struct work {
    mtmi_links links;
    size_t *stand; /* by cue of the chain and one before: the moment of links at which it stands */
    mtmi_pick *pick;
    size_t *scratch; /* by unit of the rig; at last its number in links */
};

/* The moments at which the cues of a chain stand; false where they are not those of this fade. */
static bool find_stands(const mtmi_links *links, const mtm_linked *linked, size_t *stand)
{
    double time_s = 0;
    size_t moment = 0;

    stand[0] = 0;
    for (size_t i = 0; i < mtm_linked_count(linked); i++) {
        time_s += mtm_linked_time_s(linked, i);
        while (moment + 1 < links->moments &&
               mtmi_links_time(links, moment) < time_s - links->step_s * 1e-3)
            moment++;
        stand[i + 1] = moment;
    }
    return moment + 1 == links->moments &&
           fabs(mtmi_links_time(links, moment) - time_s) < links->step_s * 1e-3;
}

/* Moving units in the order of links. */
static void number_units(const mtm_fader *fader, size_t *number)
{
    size_t next = 0;

    for (size_t i = 0; i < fader->unit_count; i++) {
        number[i] = next;
        next += fader->moved[i];
    }
}

/* The largest error of a unit. */
static double worst_of(const mtmi_links *links, size_t number, const size_t *stand, size_t cues)
{
    double worst = 0;

    for (size_t i = 0; i < cues; i++) {
        for (size_t k = 2 * stand[i] + 1; k <= 2 * stand[i + 1]; k++)
            worst = fmax(worst, mtmi_links_error(links, number, stand[i], stand[i + 1], k));
    }
    return worst;
}

static void look(const mtmi_links *links, size_t number, const size_t *stand,
                 mtm_linked_moment *moment)
{
    const mtmi_transition *transition = links->transition[number];
    size_t cue = 0;

    for (size_t k = 0; k < links->samples; k++) {
        mtmi_transition_point point;

        while (k > 2 * stand[cue + 1])
            cue++;
        mtmi_transition_at(transition, mtmi_links_frame(links, number, k), &point);
        moment[k] = (mtm_linked_moment){
            .time_s = mtmi_links_sample_time(links, k),
            .way = mtmi_mix_xyz(&transition->kind->emitters, point.level),
            .straight = mtmi_links_straight(links, number, stand[cue], stand[cue + 1], k),
            .lightness = links->lab[number * links->samples + k].l,
            .error = mtmi_links_error(links, number, stand[cue], stand[cue + 1], k)};
    }
}

static mtm_result fill(const mtm_fader *fader, const mtm_linked *linked, const bool *meant,
                       size_t units, struct work *work, mtm_linked_course *course, mtm_error *error)
{
    size_t cues = mtm_linked_count(linked);
    size_t count = mtmi_pick_gather(fader, meant, work->pick, work->scratch);

    number_units(fader, work->scratch);
    for (size_t i = 0; i < count; i++)
        work->pick[i].worth =
            worst_of(&work->links, work->scratch[work->pick[i].unit], work->stand, cues);
    count = mtmi_pick_choose(fader->rig, work->pick, count, units);
    course->cues = cues;
    course->units = count;
    course->moments = count > 0 ? work->links.samples : 0;
    course->end_s = mtmi_pool_take(&course->pool, cues, sizeof *course->end_s);
    course->each = mtmi_pool_take(&course->pool, count, sizeof *course->each);
    for (size_t i = 0; i < cues && course->end_s != NULL; i++)
        course->end_s[i] = mtmi_links_time(&work->links, work->stand[i + 1]);
    for (size_t i = 0; i < count && course->each != NULL; i++) {
        mtm_linked_moment *moment = mtmi_pool_take(&course->pool, course->moments, sizeof *moment);
        course->each[i] = (struct looked){work->pick[i].unit, work->pick[i].alike, moment};
        if (moment != NULL)
            look(&work->links, work->scratch[work->pick[i].unit], work->stand, moment);
    }
    return course->pool.failed ? mtmi_fail_memory(error) : MTM_OK;
}

static mtm_result make(const mtm_fader *fader, const mtm_linked *linked, const bool *meant,
                       size_t units, mtm_linked_course *course, mtm_error *error)
{
    struct work work = {.stand = calloc(mtm_linked_count(linked) + 1, sizeof *work.stand),
                        .pick = calloc(fader->unit_count + 1, sizeof *work.pick),
                        .scratch = calloc(fader->unit_count + 1, sizeof *work.scratch)};
    mtm_result result = MTM_OK;

    if (work.stand == NULL || work.pick == NULL || work.scratch == NULL) {
        result = mtmi_fail_memory(error);
    } else {
        result = mtmi_links_create(fader, INFINITY, &work.links, error);
        if (result == MTM_OK && !find_stands(&work.links, linked, work.stand))
            result = mtmi_fail(error, MTM_INVALID, "the chain of cues is that of another fade");
        if (result == MTM_OK)
            result = fill(fader, linked, meant, units, &work, course, error);
    }
    mtmi_links_free(&work.links);
    free(work.stand);
    free(work.pick);
    free(work.scratch);
    return result;
}

mtm_result mtm_linked_course_create(mtm_fader *fader, size_t cue, const mtm_linked *linked,
                                    const bool *meant, size_t units, mtm_linked_course **out,
                                    mtm_error *error)
{
    mtm_error ignored = {""};

    if (fader == NULL || linked == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader, a chain and a place for it are needed");
    if (units < 1 || units > MTM_LINKED_COURSE_UNITS_MAX)
        return mtmi_fail(error, MTM_INVALID, "a course is of 1 to %d units, not %zu",
                         MTM_LINKED_COURSE_UNITS_MAX, units);
    mtm_linked_course *made = calloc(1, sizeof *made);
    if (made == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = mtm_fader_set_before(fader, cue, error);
    if (result == MTM_OK) {
        result = mtm_fader_go(fader, cue, error);
        if (result == MTM_OK)
            result = make(fader, linked, meant, units, made, error);
        mtm_result back = mtm_fader_set_before(fader, cue, &ignored); /* it worked a moment ago */
        result = result == MTM_OK ? back : result;
    }
    if (result == MTM_OK)
        *out = made;
    else
        mtm_linked_course_free(made);
    return result;
}

void mtm_linked_course_free(mtm_linked_course *course)
{
    if (course == NULL)
        return;
    mtmi_pool_free(&course->pool);
    free(course);
}

size_t mtm_linked_course_cues(const mtm_linked_course *course)
{
    return course != NULL ? course->cues : 0;
}

double mtm_linked_course_end_s(const mtm_linked_course *course, size_t index)
{
    return index < mtm_linked_course_cues(course) ? course->end_s[index] : NAN;
}

size_t mtm_linked_course_units(const mtm_linked_course *course)
{
    return course != NULL ? course->units : 0;
}

size_t mtm_linked_course_unit(const mtm_linked_course *course, size_t index)
{
    return index < mtm_linked_course_units(course) ? course->each[index].unit : SIZE_MAX;
}

size_t mtm_linked_course_alike(const mtm_linked_course *course, size_t index)
{
    return index < mtm_linked_course_units(course) ? course->each[index].alike : 0;
}

size_t mtm_linked_course_moments(const mtm_linked_course *course)
{
    return course != NULL ? course->moments : 0;
}

const mtm_linked_moment *mtm_linked_course_of(const mtm_linked_course *course, size_t index)
{
    return index < mtm_linked_course_units(course) ? course->each[index].moment : NULL;
}
