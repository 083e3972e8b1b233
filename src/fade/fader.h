/* SPDX-License-Identifier: MIT */
/* Fader inside: the units of a rig in transition, and the lanes that carry their channels. */
#ifndef METAMER_FADE_FADER_H
#define METAMER_FADE_FADER_H

#include "fade/fade.h"
#include "fade/lanes.h"
#include "unit/code_table.h"

#include <metamer/fade.h>

/** Frames of an 8-bit unit without a dimmer whose codes are chosen at once. */
#define MTMI_CHOSEN 8

/** Why a unit does other than its look asks. */
typedef struct mtmi_lapse {
    mtm_fallback fallback; /* why it does not go by the goal */
    double left_dark_uv;   /* 0, or how near it could have come where it stays dark */
} mtmi_lapse;

/** A unit being moved. */
typedef struct mtmi_runner {
    const mtmi_kind *kind;
    mtmi_transition transition; /* its end is where the unit is while it is still */
    bool moving;
    bool foreign;     /* it stands where other than a cue has put it */
    uint64_t frame;   /* frames since its cue began */
    uint64_t planned; /* up to which its lanes know the transition */
    uint64_t stride;  /* how far the next plan may go; 0: unknown */
    size_t lane[MTMI_CHANNELS_MAX];
    bool shuts;      /* it has slots that are open or dark */
    bool placed;     /* it has an address */
    mtm_codes mixed; /* what it is sent, where it mixes by itself */
    size_t start;    /* its first slot; where it has an address */
    size_t chosen;   /* frames from this one on whose codes are chosen */
    uint8_t ahead[MTMI_CHOSEN][MTM_EMITTERS_MAX]; /* they are the last of these: 8-bit codes */
    mtmi_lapse lapse;
    mtmi_transition next; /* made ready by a cue that is being started */
    mtmi_lapse next_lapse;
    struct mtmi_runner *leader; /* an earlier unit that does the very same, whose plans and codes it
                                 * takes; NULL: none */
    struct mtmi_runner *elder;  /* of a unit without a leader: the one of its kind before it */
} mtmi_runner;

/** The match of a look, kept for the next unit of the same kind. */
typedef struct mtmi_cached_match {
    bool valid;
    const mtm_target *target;
    mtm_output output;
    mtm_goal goal;
    double leave_dark_uv;
    mtm_dimming dimming;
    mtm_match match;
} mtmi_cached_match;

struct mtm_fader {
    const mtm_show *show;
    const mtm_rig *rig;
    bool *meant; /* by unit: it is played */
    mtm_matcher *matcher;
    mtmi_pool pool; /* of the lists */
    size_t unit_count;
    mtmi_runner *runners;
    size_t kind_count;
    mtmi_kind *kinds;
    struct mtmi_level_cache levels; /* that the kinds share, and code tables */
    struct mtmi_code_tables tables;
    mtmi_cached_match *cached; /* by kind */
    mtmi_runner **youngest; /* by kind: the last unit without a leader, while they are looked for */
    uint8_t *periods; /* by kind and channel, 256 each: how slowly dither may go; NULL without */
    mtm_look *looks;
    mtm_look *lit; /* of each unit, the last that was not dark */
    size_t
        applied; /* looks are those after so many cues, from the first on; SIZE_MAX: another way */
    bool *moved;
    mtm_look *looks_kept, *lit_kept; /* as they were before a cue that is being started */
    bool *moved_kept;
    bool colour_first; /* the cue that was started last has set colours in the dark */
    mtmi_lanes lanes;
    mtmi_advance advance;
    bool dither;
    const mtm_dimming_info *dimming; /* of all units; NULL: as the show says */
    mtm_frame_layout layout;
    mtm_frame_universe *universes;
    size_t *universe_start; /* first slot of each in lanes.slots */
    bool *owned;            /* by slot in lanes.slots: it is one of a unit */
    bool shuts;             /* a unit has slots that are open or dark */
    uint64_t frame;         /* frames made */
    uint64_t frames_left;
    /* as a source of frames */
    mtm_fader_play play;
    size_t cue;
    size_t first;       /* cue that the source begins with */
    uint64_t since_cue; /* frames since it began */
    bool jumped;        /* it began by hand, after the last frame */
    bool paused, held;
    uint64_t given; /* number of the last frame given */
};

/** Lays out kinds, universes and lanes for a rig, and checks that its universes allow the rate of
 *  frames (any_rate: whatever it is). */
MTM_CHECKED mtm_result mtmi_fader_lay_out(mtm_fader *fader, bool any_rate, mtm_error *error);

/** Fails where no unit has an address, and so no frame has a slot. */
MTM_CHECKED mtm_result mtmi_fader_has_slots(const mtm_fader *fader, mtm_error *error);

/** Plans the lanes of a moving unit from its frame on, as far as one cubic a channel goes. */
void mtmi_runner_plan(mtmi_runner *runner, mtmi_lanes *lanes);

/** Chooses the codes of a moving unit's 8-bit channels together, where that is done. */
void mtmi_runner_round(mtmi_runner *runner, mtmi_lanes *lanes);

/** Sends the emitters of a moving unit that would be below their lowest level other codes. */
void mtmi_runner_hold(mtm_fader *fader, mtmi_runner *runner);

/* Units that do the very same: of one kind, started together from the same end to the same end. One
 * leads, the others copy what it finds out. */

/** Lets the moving units that cues have just started (moved) follow those that do the same. */
void mtmi_fader_find_leaders(mtm_fader *fader);
/** Lets every unit go on by itself, from what its leader knows. */
void mtmi_fader_part(mtm_fader *fader);
/** Gives a unit the plan of its leader, which is at the same frame. */
void mtmi_runner_copy_plan(mtmi_runner *runner, mtmi_lanes *lanes);
/** Sends a unit what its leader is sent. */
void mtmi_runner_copy_codes(mtm_fader *fader, mtmi_runner *runner);

/** What a unit is sent now. */
void mtmi_runner_codes(const mtm_fader *fader, const mtmi_runner *runner, mtm_codes *codes);

/* Of units that mix by themselves. Of others the path stays, and but for mtmi_runner_mix nothing
 * happens. */

/** The path that it goes for one that is asked for: by light where others go by slots, since its
 *  codes are no light. */
mtm_path_type mtmi_runner_path(const mtmi_runner *runner, mtm_path_type path);
/** Sends it the codes for the levels of its lanes. */
void mtmi_runner_mix(mtm_fader *fader, mtmi_runner *runner);
/** Sends it these codes; where they are dark, the colour stays that it has. */
void mtmi_runner_send_mixed(mtm_fader *fader, mtmi_runner *runner, const mtm_codes *codes);
/** Out of the dark it is given the colour of an end first, while it is dark still. */
void mtmi_runner_colour_first(mtm_fader *fader, mtmi_runner *runner);

/** Sets the slots that are open while a unit is lit, and dark while it is out. */
void mtmi_fader_shut(mtm_fader *fader);

/** Frames that a time takes, rounded. */
uint64_t mtmi_frames_in(const mtm_fader *fader, double seconds);

/** Puts every moving unit at its end. */
void mtmi_fader_finish(mtm_fader *fader);

/** Puts a unit where its transition ends. */
void mtmi_fader_settle(mtm_fader *fader, mtmi_runner *runner);

/** Where a unit is now. */
void mtmi_runner_at(const mtmi_runner *runner, mtmi_transition_point *point);

#endif
