/* SPDX-License-Identifier: MIT */
/* Cue export: a show as a console can read it, a sheet of cue text. */
#ifndef METAMER_CUE_EXPORT_H
#define METAMER_CUE_EXPORT_H

#include <metamer/base.h>
#include <metamer/cue_text.h>
#include <metamer/fade.h>
#include <metamer/linked.h>
#include <metamer/show.h>

MTM_BEGIN

/** How a show becomes a sheet. A zeroed one is the usual. */
typedef struct mtm_cue_export_options {
    bool no_parts; /**< one time up and one down for each cue, whatever a unit's colour then does
                        on the way, for consoles that do not read parts */
    /** CIEDE2000; above 0, each cue becomes the fewest that follow each other such that a console's
     *  straight fades between them keep to the way of the cue: see linked.h. They are numbered in
     *  tenths from the cue's number on. A cue for which there is no such chain, or no room, is
     *  written as without this, and remark is told why. */
    double linked_tolerance;
    /** One a unit of the rig, whether it is written; NULL: all are. Channels keep the numbers that
     *  they have with all units, and a chain of linked cues is that of all. */
    const bool *meant;
    mtm_fade_progress progress; /**< may be NULL */
    void *progress_context;     /**< handed to progress */
    /** Told of each cue that could not be linked: a sentence that names it. May be NULL. */
    void (*remark)(void *context, const char *sentence);
    void *remark_context; /**< handed to remark */
    /** Told of each cue that is linked, by its index: the chain that stands for it, and the fader
     *  that made it, for mtm_linked_course_create. What it fails with ends the export. May be NULL.
     */
    mtm_result (*linked)(void *context, size_t cue, const mtm_linked *linked, mtm_fader *fader,
                         mtm_error *error);
    void *linked_context; /**< handed to linked */
} mtm_cue_export_options;

/**
 * Makes a sheet of a show: each cue with the levels that stand when it has run, every channel in
 * every cue.
 *
 * Channels are counted from 1, unit after unit in the order of the rig, past those of units that
 * state their first one; of a unit first its dimmer,
 * then its emitters, then slots of a fixed value. A 16-bit parameter is two channels, coarse and
 * fine, and is told to the sheet as a pair. Each channel is patched to its own slot at full scale.
 *
 * Where a cue's times up and down differ, a console would fade the rising and the falling emitters
 * of one unit in different times, and its colour would stray; so units whose light rises (or stays)
 * become a part and units whose light falls another, each with one time both ways. A unit on the
 * path "slots" is meant to fade so and is in no part. The way between two cues is a console's own:
 * straight in slots.
 *
 * @return MTM_OK; MTM_RANGE for a slot beyond 65535 (universe 128, slot 511), more channels than
 *         that, channels that two units state, no unit
 *         that is meant and has an address; MTM_LIMIT where progress ended it; what solving a
 * cue fails with
 */
MTM_API MTM_CHECKED mtm_result mtm_cue_sheet_from_show(const mtm_show *show,
                                                       const mtm_cue_export_options *options,
                                                       mtm_cue_sheet **out, mtm_error *error);

MTM_END
#endif
