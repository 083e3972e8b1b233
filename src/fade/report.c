/* SPDX-License-Identifier: MIT */
/* Fade report: looking at every frame of a fade with the eye of CIEDE2000. */
#include <metamer/fade_report.h>

#include "base/error.h"
#include "base/number.h"
#include "fade/fader.h"

#include <metamer/lab.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Colours darker than this L* have no stray that matters. */
#define SEEN_LIGHTNESS 2.0
/* The fade itself is the cause where it does this part of the step without rounding. */
#define PACE_PART 0.6
#define FRAMES_BETWEEN_PROGRESS 64
/* A step of CIEDE2000 1, less what rounding may add to it in 16 bits. */
#define GENTLE 0.98
#define GENTLE_ROUNDS 8

/* What a unit looked like at a frame. */
struct seen {
    mtm_codes codes;
    mtm_xyz light; /* of the codes */
    mtm_lab sent;  /* the same */
    mtm_xyz unrounded;
    double level[MTM_EMITTERS_MAX];
};

/* The part of the change from start to goal that end has made. */
static double along(mtm_xyz start, mtm_xyz end, mtm_xyz goal)
{
    mtm_xyz whole = {goal.x - start.x, goal.y - start.y, goal.z - start.z};
    double length = whole.x * whole.x + whole.y * whole.y + whole.z * whole.z;
    double gone =
        (end.x - start.x) * whole.x + (end.y - start.y) * whole.y + (end.z - start.z) * whole.z;

    return length > 0 ? gone / length : 0;
}

/* The channel whose change of code leads farthest in the light's direction; others, that make up
 * for it, lead elsewhere. */
static void find_channel(const mtmi_kind *kind, const mtm_codes *before, const mtm_codes *after,
                         mtm_fade_finding *finding)
{
    mtm_xyz start = mtmi_codes_light(kind, before);
    mtm_xyz goal = mtmi_codes_light(kind, after);
    double most = -INFINITY;

    finding->channels = 0;
    for (size_t i = 0; i < kind->code_count; i++) {
        mtm_codes changed = *before;
        bool steps = mtmi_codes_channel(kind, before, i) != mtmi_codes_channel(kind, after, i);

        mtmi_codes_set_channel(kind, &changed, i, mtmi_codes_channel(kind, after, i));
        mtm_xyz end = mtmi_codes_light(kind, &changed);
        double part = along(start, end, goal);
        finding->channels += steps;
        if (!steps || !mtmi_exceeds(part, most))
            continue;
        most = part;
        finding->channel = i;
        finding->code_from = mtmi_codes_channel(kind, before, i);
        finding->code_to = mtmi_codes_channel(kind, after, i);
    }
}

static mtm_fade_cause cause_of(double step, double pace, bool held)
{
    if (step <= 0)
        return MTM_FADE_STILL;
    if (pace < PACE_PART * step)
        return MTM_FADE_CODES;
    return held ? MTM_FADE_GAMUT : MTM_FADE_PACE;
}

static void record_step(const mtmi_kind *kind, const struct seen *before, const struct seen *now,
                        bool held, double time_s, mtm_fade_finding *finding)
{
    double lightness = fabs(now->sent.l - before->sent.l);

    finding->step_lightness = fmax(finding->step_lightness, lightness);
    for (size_t i = 0; i < kind->emitters.count; i++)
        finding->level_change = fmax(finding->level_change, fabs(now->level[i] - before->level[i]));
    if (mtmi_ciede2000_bound(before->sent, now->sent) <= finding->step)
        return;
    double step = mtm_lab_ciede2000(before->sent, now->sent);
    if (!mtmi_exceeds(step, finding->step))
        return;
    finding->step = step;
    finding->step_s = time_s;
    finding->pace = mtm_lab_ciede2000(mtmi_kind_lab(kind, before->unrounded),
                                      mtmi_kind_lab(kind, now->unrounded));
    finding->cause = cause_of(step, finding->pace, held);
    find_channel(kind, &before->codes, &now->codes, finding);
}

static void record_stray(const mtmi_kind *kind, const mtm_fader_state *state, mtm_xyz sent,
                         double time_s, mtm_fade_finding *finding)
{
    mtm_uv wanted = mtm_uv_from_xyz(state->wanted);
    double stray = mtm_uv_distance(mtm_uv_from_xyz(sent), wanted);

    if (!(sent.y > 0) || !mtmi_exceeds(stray, finding->stray) ||
        mtmi_kind_lab(kind, state->wanted).l < SEEN_LIGHTNESS)
        return;
    finding->stray = stray;
    finding->stray_s = time_s;
    double meant =
        mtm_uv_distance(mtm_uv_from_xyz(mtmi_mix_xyz(&kind->emitters, state->level)), wanted);
    finding->stray_cause = meant > 0.5 * stray ? MTM_FADE_GAMUT : MTM_FADE_CODES;
}

static void record_seen(const mtmi_kind *kind, const mtm_fader_state *state, struct seen *seen)
{
    seen->codes = state->codes;
    seen->light = mtmi_codes_light(kind, &state->codes);
    seen->sent = mtmi_kind_lab(kind, seen->light);
    seen->unrounded = mtmi_mix_xyz(&kind->emitters, state->level);
    memcpy(seen->level, state->level, sizeof seen->level);
}

static int bits_of(const mtmi_kind *kind, mtmi_dimmer_role dimmer)
{
    int most = (int)mtmi_bits_most(24);

    size_t count = dimmer == MTMI_DIMMER_RESTS ? kind->emitters.count : kind->channel_count;

    const struct mtmi_channels *mixed = kind->mixed;
    for (size_t i = 0; mixed != NULL && i < mixed->mixer->channels; i++)
        most =
            (int)mixed->mixer->channel[i].most < most ? (int)mixed->mixer->channel[i].most : most;
    if (mixed != NULL && mixed->has_dimmer)
        most = (int)mixed->dimmer.most < most ? (int)mixed->dimmer.most : most;
    for (size_t i = 0; mixed == NULL && i < count; i++)
        most = kind->most[i] < most ? kind->most[i] : most;
    return most > MTM_CODE_MAX_16 ? 24 : most > MTM_CODE_MAX_8 ? 16 : 8;
}

/* What is known before the first frame. */
static mtm_fade_finding finding_of(const mtm_fader *fader, size_t unit)
{
    const mtmi_runner *runner = &fader->runners[unit];
    const mtm_look *look = &fader->looks[unit];

    return (mtm_fade_finding){.moves = fader->moved[unit],
                              .bits = bits_of(runner->kind, runner->transition.dimmer),
                              .goal = look->goal,
                              .fallback = runner->lapse.fallback,
                              .left_dark_uv = runner->lapse.left_dark_uv,
                              .has_dimming = runner->kind->has_dimmer,
                              .dimming = look->dimming};
}

static void begin(mtm_fader *fader, struct seen *seen, mtm_fade_finding *finding)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtm_fader_state state;

        mtm_fader_unit(fader, i, &state);
        finding[i] = finding_of(fader, i);
        record_seen(fader->runners[i].kind, &state, &seen[i]);
    }
}

static void record_frame(mtm_fader *fader, double time_s, struct seen *seen,
                         mtm_fade_finding *finding)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_kind *kind = fader->runners[i].kind;
        struct seen before = seen[i];
        mtm_fader_state state;

        if (!finding[i].moves || fader->runners[i].leader != NULL)
            continue;
        mtm_fader_unit(fader, i, &state);
        record_seen(kind, &state, &seen[i]);
        record_step(kind, &before, &seen[i], state.held_by_gamut, time_s, &finding[i]);
        record_stray(kind, &state, seen[i].light, time_s, &finding[i]);
    }
}

/* The largest step of a transition that takes so many frames, without rounding. */
static double worst_step(const mtmi_transition *transition, uint64_t frames)
{
    mtmi_transition_point point;
    double worst = 0;

    mtmi_transition_at(transition, 0, &point);
    mtm_lab before =
        mtmi_kind_lab(transition->kind, mtmi_mix_xyz(&transition->kind->emitters, point.level));
    for (uint64_t frame = 1; frame <= frames; frame++) {
        mtmi_transition_at(transition, (double)frame / (double)frames * (double)transition->frames,
                           &point);
        mtm_lab now =
            mtmi_kind_lab(transition->kind, mtmi_mix_xyz(&transition->kind->emitters, point.level));
        if (mtmi_ciede2000_bound(before, now) > worst)
            worst = fmax(worst, mtm_lab_ciede2000(before, now));
        before = now;
    }
    return worst;
}

/* How many frames make each step 1: the fade is tried, since large steps are not sums of small. */
static double gentle_frames(const mtmi_transition *transition, double pace)
{
    double frames = ceil((double)transition->frames * pace) + 1;

    for (int round = 0; round < GENTLE_ROUNDS; round++) {
        double worst = worst_step(transition, (uint64_t)frames);
        if (worst <= GENTLE)
            break;
        frames = ceil(frames * worst / GENTLE) + 1;
    }
    return frames;
}

/* Finds the time in which fades that go too fast would be gentle. */
static void find_gentle_times(const mtm_fader *fader, mtm_fade_finding *finding)
{
    const double rate_hz = fader->layout.rate_hz;

    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_transition *transition = &fader->runners[i].transition;

        if (!finding[i].moves || transition->frames <= 1 || fader->runners[i].leader != NULL)
            continue;
        finding[i].fade_s = (double)transition->frames / rate_hz;
        finding[i].gentle_s = finding[i].cause == MTM_FADE_PACE
                                  ? gentle_frames(transition, finding[i].pace) / rate_hz
                                  : finding[i].fade_s;
    }
}

/* What was found of a unit holds for those that do the same, but not what their looks say. */
static void share_findings(const mtm_fader *fader, mtm_fade_finding *finding)
{
    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_runner *leader = fader->runners[i].leader;
        const mtm_fade_finding own = finding[i];

        if (leader == NULL || !own.moves)
            continue;
        finding[i] = finding[leader - fader->runners];
        finding[i].goal = own.goal;
        finding[i].fallback = own.fallback;
        finding[i].left_dark_uv = own.left_dark_uv;
    }
}

static mtm_result run(mtm_fader *fader, struct seen *seen, mtm_fade_finding *finding,
                      mtm_fade_progress progress, void *context, mtm_error *error)
{
    uint64_t total = mtm_fader_frames_left(fader);
    double rate_hz = fader->layout.rate_hz;

    begin(fader, seen, finding);
    for (uint64_t frame = 1; frame <= total; frame++) {
        mtm_result result = mtm_fader_step(fader, error);
        if (result != MTM_OK)
            return result;
        record_frame(fader, (double)frame / rate_hz, seen, finding);
        if (progress != NULL && frame % FRAMES_BETWEEN_PROGRESS == 0 &&
            !progress(context, (double)frame / (double)total))
            return mtmi_fail(error, MTM_RANGE, "stopped");
    }
    find_gentle_times(fader, finding);
    share_findings(fader, finding);
    return MTM_OK;
}

/* Examines what a cue has just started. */
static mtm_result examine(mtm_fader *fader, mtm_fade_finding *finding, mtm_fade_progress progress,
                          void *context, mtm_error *error)
{
    mtm_result result = MTM_OK;
    struct seen *seen = calloc(fader->unit_count + 1, sizeof *seen);
    mtm_fade_finding *found = calloc(fader->unit_count + 1, sizeof *found);
    if (seen == NULL || found == NULL)
        result = mtmi_fail_memory(error);
    else
        result = run(fader, seen, found, progress, context, error);
    if (result == MTM_OK && found != NULL)
        memcpy(finding, found, fader->unit_count * sizeof *found);
    free(seen);
    free(found);
    return result;
}

mtm_result mtm_fade_examine(mtm_fader *fader, size_t cue, mtm_fade_finding *finding,
                            mtm_fade_progress progress, void *context, mtm_error *error)
{
    if (fader == NULL || finding == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader and a place for what is found are needed");
    mtm_result result = mtm_fader_set_before(fader, cue, error);
    if (result == MTM_OK)
        result = mtm_fader_go(fader, cue, error);
    return result == MTM_OK ? examine(fader, finding, progress, context, error) : result;
}

mtm_result mtm_fade_examine_from(mtm_fader *fader, size_t from, size_t cue,
                                 mtm_fade_finding *finding, mtm_fade_progress progress,
                                 void *context, mtm_error *error)
{
    if (fader == NULL || finding == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader and a place for what is found are needed");
    mtm_result result = mtm_fader_set(fader, from, error);
    if (result == MTM_OK)
        result = mtm_fader_go_to(fader, cue, error);
    return result == MTM_OK ? examine(fader, finding, progress, context, error) : result;
}

/* The name of a mode whose channels are all of 16 bits or more; NULL if there is none. */
static const char *fine_mode(const mtm_fixture *fixture)
{
    for (size_t i = 0; i < mtm_fixture_mode_count(fixture); i++) {
        const mtm_mode *mode = mtm_fixture_mode(fixture, i);
        bool fine = true;

        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
            fine = fine && mode->emitter_bits[k] >= 16;
        if (fine)
            return mode->name;
    }
    return NULL;
}

static void cure_codes(const mtm_unit *unit, const mtm_fade_finding *finding, char *text,
                       size_t room)
{
    const char *fine = fine_mode(unit->fixture);

    if (finding->has_dimming && finding->dimming != MTM_DIMMING_FINEST && finding->bits < 16)
        (void)snprintf(text, room, "the dimming \"finest\", which takes what steps least");
    else if (finding->bits >= 16)
        (void)snprintf(text, room, "nothing: the codes are as fine as DMX512 has them");
    else if (fine != NULL)
        (void)snprintf(text, room, "the mode \"%.40s\" of its fixture, which has 16 bits", fine);
    else if (finding->code_from <= 3 || finding->code_to <= 3)
        (void)snprintf(text, room,
                       "its fixture has no 16-bit mode: go quickly through the last codes before "
                       "dark, or stop above them");
    else
        (void)snprintf(text, room,
                       "its fixture has no 16-bit mode: a shorter fade hides the steps, and dither "
                       "at a faster refresh halves them");
}

/* More time makes the steps of the fade itself smaller, not those of the codes. */
static void cure_pace(const mtm_unit *unit, const mtm_fade_finding *finding, double visible,
                      char *text, size_t room)
{
    double longer_s = fmax(finding->gentle_s, finding->fade_s * finding->pace) / visible;

    if (finding->pace <= visible)
        cure_codes(unit, finding, text, room);
    else if (!(finding->fade_s > 0))
        (void)snprintf(text, room, "a longer time, if it is not meant to jump");
    else
        (void)snprintf(text, room,
                       "nothing if it is meant to be this quick; %.1f s would make every frame "
                       "less than a visible step%s",
                       floor(longer_s * 10) / 10 + 0.1,
                       finding->bits == 8 ? ", but for those of its 8 bits" : "");
}

void mtm_fade_cure(const mtm_show *show, size_t unit, const mtm_fade_finding *finding,
                   double visible, char *text, size_t room)
{
    const mtm_unit *of = mtm_rig_unit(mtm_show_rig(show), unit);

    if (of == NULL || finding == NULL || text == NULL || room == 0)
        return;
    text[0] = '\0';
    if (!(finding->step > visible))
        return;
    switch (finding->cause) {
    case MTM_FADE_STILL:
        break;
    case MTM_FADE_PACE:
        cure_pace(of, finding, visible, text, room);
        break;
    case MTM_FADE_CODES:
        cure_codes(of, finding, text, room);
        break;
    case MTM_FADE_GAMUT:
        (void)snprintf(text, room,
                       "the path \"light\", which never leaves what the emitters can do, or "
                       "colours farther inside");
        break;
    }
}
