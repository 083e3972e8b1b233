/* SPDX-License-Identifier: MIT */
/* Fader as a source of frames: cues one after the other, alone or in a loop. */
#include "fade/fader.h"

#include "base/error.h"

#include <string.h>

static const mtm_cue *cue_now(const mtm_fader *fader)
{
    return mtm_show_cue(fader->show, fader->cue);
}

/* The cue that follows by itself; false if none does. */
static bool next_cue(const mtm_fader *fader, size_t *next)
{
    size_t count = mtm_show_cue_count(fader->show);

    if (fader->play == MTM_PLAY_ONE || fader->cue == MTM_FADER_DARK || cue_now(fader)->follow_s < 0)
        return false;
    *next = fader->cue + 1;
    if (*next < count)
        return true;
    *next = 0;
    return fader->play == MTM_PLAY_LOOP;
}

static mtm_result start(mtm_fader *fader, size_t cue, mtm_error *error)
{
    fader->cue = cue;
    fader->since_cue = 0;
    return mtm_fader_go(fader, cue, error);
}

/* One frame on; a cue whose time has come starts first, and if that sets colours in the dark, all
 * else waits for that one frame, the cue's time too. *end where nothing will move again. */
static mtm_result advance(mtm_fader *fader, bool *end, mtm_error *error)
{
    size_t next = 0;
    bool follows = next_cue(fader, &next) && !fader->held;
    bool waits = fader->jumped && fader->colour_first;

    if (fader->paused)
        return MTM_OK;
    fader->jumped = false;

    for (size_t i = 0; follows && i < mtm_show_cue_count(fader->show) &&
                       fader->since_cue >= mtmi_frames_in(fader, cue_now(fader)->follow_s);
         i++) {
        mtm_result result = start(fader, next, error);
        if (result != MTM_OK)
            return result;
        waits = waits || fader->colour_first;
        follows = next_cue(fader, &next);
    }
    if (!follows && fader->frames_left == 0 && fader->play != MTM_PLAY_BY_HAND) {
        *end = true;
        return MTM_OK;
    }
    if (waits)
        return MTM_OK;
    fader->since_cue++;
    return mtm_fader_step(fader, error);
}

static mtm_result fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error)
{
    mtm_fader *fader = context;

    *end = false;
    while (fader->given < number && !*end) {
        mtm_result result = advance(fader, end, error);
        if (result != MTM_OK)
            return result;
        fader->given += *end ? 0 : 1;
    }
    for (size_t i = 0; i < fader->layout.universe_count; i++)
        memcpy(slots[i], mtm_fader_slots(fader, i), fader->layout.universe[i].slot_count);
    return MTM_OK;
}

static mtm_result check_loop(const mtm_fader *fader, mtm_error *error)
{
    double total_s = 0;

    for (size_t i = 0; i < mtm_show_cue_count(fader->show); i++) {
        const mtm_cue *cue = mtm_show_cue(fader->show, i);

        if (cue->follow_s < 0)
            return mtmi_fail(
                error, MTM_RANGE,
                "cue %g has no \"follow_s\": in a loop each cue needs one, or the loop "
                "would stop there",
                cue->number);
        total_s += cue->follow_s;
    }
    if (mtmi_frames_in(fader, total_s) == 0)
        return mtmi_fail(error, MTM_RANGE,
                         "every \"follow_s\" is 0, so the loop would take no time at all");
    return MTM_OK;
}

mtm_result mtm_fader_check(mtm_fader *fader, mtm_error *error)
{
    if (fader == NULL)
        return mtmi_fail(error, MTM_INVALID, "a fader is needed");
    mtm_result result = mtm_fader_set(fader, MTM_FADER_DARK, error);
    for (size_t i = 0; i < mtm_show_cue_count(fader->show) && result == MTM_OK; i++) {
        result = mtm_fader_go(fader, i, error);
        mtmi_fader_finish(fader);
    }
    return result;
}

mtm_result mtm_fader_source(mtm_fader *fader, size_t from, size_t cue, mtm_fader_play play,
                            mtm_frame_source *source, mtm_error *error)
{
    if (fader == NULL || source == NULL || cue >= mtm_show_cue_count(fader->show) ||
        (from != MTM_FADER_DARK && from >= mtm_show_cue_count(fader->show)))
        return mtmi_fail(error, MTM_INVALID, "there is no such cue, or no place for the source");
    if ((unsigned)play > MTM_PLAY_BY_HAND)
        return mtmi_fail(error, MTM_INVALID, "there is no such way to play: %d", (int)play);
    mtm_result result = mtmi_fader_has_slots(fader, error);
    if (result == MTM_OK && play == MTM_PLAY_LOOP)
        result = check_loop(fader, error);
    if (result == MTM_OK)
        result = mtm_fader_check(fader, error);
    if (result == MTM_OK && play == MTM_PLAY_LOOP) /* round again, from the last to the first */
        result = mtm_fader_go(fader, 0, error);
    if (result == MTM_OK)
        result = mtm_fader_set(fader, from, error);
    if (result == MTM_OK && play != MTM_PLAY_BY_HAND)
        result = mtm_fader_go_to(fader, cue, error);
    fader->play = play;
    fader->given = 0;
    fader->first = cue;
    fader->cue = play != MTM_PLAY_BY_HAND ? cue : MTM_FADER_DARK;
    fader->since_cue = 0;
    fader->jumped = false;
    fader->paused = false;
    fader->held = false;
    if (result == MTM_OK)
        *source = (mtm_frame_source){.layout = fader->layout, .context = fader, .fill = fill};
    return result;
}

mtm_result mtm_fader_jump(mtm_fader *fader, size_t cue, mtm_error *error)
{
    mtm_result result = mtm_fader_go_to(fader, cue, error);

    if (result != MTM_OK)
        return result;
    fader->cue = cue;
    fader->since_cue = 0;
    fader->jumped = true;
    return MTM_OK;
}

void mtm_fader_pause(mtm_fader *fader, bool paused)
{
    if (fader != NULL)
        fader->paused = paused;
}

void mtm_fader_hold(mtm_fader *fader, bool held)
{
    if (fader != NULL)
        fader->held = held;
}

/* The cue behind the one that was started last. */
static size_t cue_after(const mtm_fader *fader)
{
    size_t next = fader->cue == MTM_FADER_DARK ? fader->first : fader->cue + 1;

    if (next < mtm_show_cue_count(fader->show))
        return next;
    return fader->play == MTM_PLAY_LOOP ? 0 : MTM_FADER_DARK;
}

mtm_fader_progress mtm_fader_progress_of(const mtm_fader *fader)
{
    mtm_fader_progress progress = {MTM_FADER_DARK, MTM_FADER_DARK, 0, -1, false, false};
    size_t next = 0;

    if (fader == NULL)
        return progress;
    progress.cue = fader->cue;
    progress.next = cue_after(fader);
    progress.left_s = (double)fader->frames_left / fader->layout.rate_hz;
    if (next_cue(fader, &next)) {
        uint64_t wanted = mtmi_frames_in(fader, cue_now(fader)->follow_s);
        uint64_t left = wanted > fader->since_cue ? wanted - fader->since_cue : 0;
        progress.follow_s = (double)left / fader->layout.rate_hz;
    }
    progress.paused = fader->paused;
    progress.held = fader->held;
    return progress;
}
