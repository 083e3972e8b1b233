/* SPDX-License-Identifier: MIT */
/* Fuzzing the reader of shows and what runs them. A show that is read has cues that rise and are
 * found again by number, and every look has a chromaticity or none; a fader runs its first cues in
 * as many frames as it says, and then sends what it would send if put there at once. A text that is
 * refused leaves nothing behind and says where it stands. */
#include "small_rig.h"

#include <metamer/fade.h>

#define CUES_RUN 3
#define FRAMES_RUN 200

static const mtm_rig *placed_rig(void)
{
    static mtm_rig *rig;

    if (rig == NULL) {
        rig = small_rig();
        hold(mtm_rig_set_place(rig, 0, (mtm_place){1, 1, -1, 0}, NULL) == MTM_OK);
        hold(mtm_rig_set_place(rig, 1, (mtm_place){1, 5, -1, 0}, NULL) == MTM_OK);
    }
    return rig;
}

static void check_cues(const mtm_show *show)
{
    mtm_look look[2] = {{0}};
    double before = 0;

    for (size_t i = 0; i < mtm_show_cue_count(show); i++) {
        const mtm_cue *cue = mtm_show_cue(show, i);
        size_t found = 0;

        hold(cue->number > before && cue->up_s >= 0 && cue->down_s >= 0 && cue->delay_s >= 0);
        hold(mtm_show_find_cue(show, cue->number, &found, NULL) == MTM_OK && found == i);
        before = cue->number;
        mtm_show_apply(show, i, look, NULL);
        for (size_t k = 0; k < 2; k++)
            hold(look[k].target == NULL || mtm_xy_valid(look[k].target->xy));
    }
}

/* Runs one cue if it is short; true if it could be started. */
static bool run_cue(mtm_fader *fader, size_t cue)
{
    uint8_t sent[512];
    size_t slots = mtm_fader_layout(fader).universe[0].slot_count;

    if (mtm_fader_set_before(fader, cue, NULL) != MTM_OK ||
        mtm_fader_go(fader, cue, NULL) != MTM_OK)
        return false;
    uint64_t frames = mtm_fader_frames_left(fader);
    for (uint64_t i = 0; i < frames && i < FRAMES_RUN; i++) {
        hold(mtm_fader_step(fader, NULL) == MTM_OK);
        hold(mtm_fader_frames_left(fader) == frames - i - 1);
    }
    if (frames > FRAMES_RUN)
        return true;
    memcpy(sent, mtm_fader_slots(fader, 0), slots);
    hold(mtm_fader_set(fader, cue, NULL) == MTM_OK);
    hold(memcmp(sent, mtm_fader_slots(fader, 0), slots) == 0);
    return true;
}

static void check_fader(const mtm_show *show)
{
    const mtm_fader_options options = {.any_rate = true};
    mtm_fader *fader = NULL;

    hold(mtm_fader_create(show, &options, &fader, NULL) == MTM_OK);
    for (size_t i = 0; i < mtm_show_cue_count(show) && i < CUES_RUN; i++) {
        if (!run_cue(fader, i))
            break;
    }
    mtm_fader_free(fader);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_show *show = NULL;
    mtm_error error = {""};

    mtm_result result = mtm_show_parse(text, size, "input", NULL, placed_rig(), &show, &error);
    if (result == MTM_OK) {
        check_cues(show);
        check_fader(show);
    } else {
        hold(show == NULL && strncmp(error.text, "input: ", 7) == 0);
    }
    mtm_show_free(show);
    free(text);
    return 0;
}
