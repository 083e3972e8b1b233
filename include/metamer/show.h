/* SPDX-License-Identifier: MIT */
/* Show: named colours, groups of units, and cues that bring units to colours. */
#ifndef METAMER_SHOW_H
#define METAMER_SHOW_H

#include <metamer/base.h>
#include <metamer/codes.h>
#include <metamer/path.h>
#include <metamer/rig.h>
#include <metamer/solve.h>
#include <metamer/target.h>

MTM_BEGIN

#define MTM_SHOW_COLOURS_MAX 4096 /**< most named colours of a show */
#define MTM_SHOW_GROUPS_MAX 4096  /**< most groups of a show, with that of all units */
#define MTM_SHOW_CUES_MAX 10000   /**< most cues of a show */
/** Longest time of a cue, in seconds: a day. */
#define MTM_SHOW_SECONDS_MAX 86400.0

/** What one unit is to look like. Borrows its target from the show. A plain value. The goal goes
 *  with the colour: a setting that changes the output alone keeps it, and with it the mix. */
typedef struct mtm_look {
    const mtm_target *target; /**< NULL: dark, never given a colour */
    mtm_output output;        /**< how much light */
    mtm_goal goal;            /**< what its mix is chosen for */
    double leave_dark_uv; /**< it stays dark where it comes no nearer than this to its target, in
                           *   u', v'; 0: it does not. Goes with the colour as the goal does */
    mtm_dimming dimming;  /**< which codes carry its output. Goes with the colour too */
    mtm_path_type path;   /**< how it gets there */
    mtm_shape_type shape; /**< and how its light does */
} mtm_look;

/** One cue. Borrowed from its show. */
typedef struct mtm_cue {
    double number;    /**< 0.1..9999.9 in tenths; rising through the show */
    const char *text; /**< "" where there is none */
    double up_s;      /**< time of units whose light rises or stays */
    double down_s;    /**< time of units whose light falls */
    double delay_s;   /**< before anything moves */
    double follow_s;  /**< the next cue starts this long after this one did; -1: it does not */
} mtm_cue;

/** What a cue does to a group of units. A plain value. */
typedef struct mtm_setting {
    size_t group;             /**< index of a group of the show; 0 is "all" */
    const mtm_target *target; /**< one that mtm_show_colour gives; NULL: the colour stays */
    bool has_output;          /**< false: the output stays; the most where a colour is given */
    mtm_output output;        /**< how much light; only with has_output */
    bool has_goal;        /**< false: the goal stays; a colour takes its goal along all the same */
    mtm_goal goal;        /**< what the mix is chosen for */
    bool has_leave_dark;  /**< false: that distance stays; a colour takes its own along */
    double leave_dark_uv; /**< 0 to 1: mtm_look.leave_dark_uv */
    bool has_dimming;     /**< false: the dimming stays; a colour takes its own along */
    mtm_dimming dimming;  /**< mtm_look.dimming */
    mtm_path_type path;   /**< how the colour gets there */
    mtm_shape_type shape; /**< and how its light does */
} mtm_setting;

/** A show and its rig. May be shared by threads while nobody adds to it. */
typedef struct mtm_show mtm_show;

/** Reads a "show/1" file and the rig it names. The caller frees it. An "output" is 0 to 1, or text
 * as the command line takes it: "60%", "1200lm", "max"; "rgb" is three numbers from 0 to 1, or from
 * 0 to 255 where any is above 1. Results as of all that reads a file (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_show_load(const char *path, mtm_show **out, mtm_error *error);
/**
 * The same from text in memory.
 *
 * @param base_dir where relative paths start; may be NULL
 * @param rig      used as it is, in place of the rig and calibration that the text names; must
 *                 outlive the show; NULL: the named rig is loaded
 * @return MTM_OK, or as all that reads text (see mtm_result)
 */
MTM_API MTM_CHECKED mtm_result mtm_show_parse(const char *text, size_t length,
                                              const char *name_for_errors, const char *base_dir,
                                              const mtm_rig *rig, mtm_show **out, mtm_error *error);
/**
 * Makes a show without cues, for the functions mtm_show_add_...; its only groups are "all" and the
 * rig's. The
 * caller frees it. No other thread may use the show while something is added.
 *
 * @param name       not empty; copied
 * @param rig        with all its units; must outlive the show and stay unchanged
 * @param refresh_hz MTM_FRAME_RATE_MIN..MTM_FRAME_RATE_MAX; 0: 40
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_show_create(const char *name, const mtm_rig *rig,
                                               mtm_observer observer, double refresh_hz,
                                               mtm_show **out, mtm_error *error);
/**
 * Adds a named colour behind the others; copies both. What mtm_show_colour gave before stays valid.
 * @param target for the show's observer
 * @return MTM_OK; MTM_INVALID (a name in use, a show that was read); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_show_add_colour(mtm_show *show, const char *name,
                                                   const mtm_target *target, mtm_error *error);
/**
 * Adds a named group behind the others; copies all.
 * @param unit count indices of units of the rig, rising
 * @return MTM_OK; MTM_INVALID (a name in use, a show that was read); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_show_add_group(mtm_show *show, const char *name,
                                                  const size_t *unit, size_t count,
                                                  mtm_error *error);
/**
 * Adds a cue behind the others; copies all. Cues borrowed before are no longer valid.
 * @param cue     a number above that of the last; text may be NULL
 * @param setting count (1..100000) settings, each with a colour, an output or both; no unit is set
 *                by two of them
 * @return MTM_OK; MTM_INVALID (out of range, a show that was read); MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_show_add_cue(mtm_show *show, const mtm_cue *cue,
                                                const mtm_setting *setting, size_t count,
                                                mtm_error *error);
/** Frees a show; NULL is allowed. */
MTM_API void mtm_show_free(mtm_show *show);

/** The show's name; borrowed. */
MTM_API const char *mtm_show_name(const mtm_show *show);
/** Borrowed. */
MTM_API const mtm_rig *mtm_show_rig(const mtm_show *show);
/** The observer that its colours are meant for. */
MTM_API mtm_observer mtm_show_observer(const mtm_show *show);
/** Frames a second that the file asks for; 40 where it does not say. */
MTM_API double mtm_show_refresh_hz(const mtm_show *show);

/** Number of named colours. */
MTM_API size_t mtm_show_colour_count(const mtm_show *show);
/** Borrowed; index < count. */
MTM_API const char *mtm_show_colour_name(const mtm_show *show, size_t index);
/** Borrowed; index < count. */
MTM_API const mtm_target *mtm_show_colour(const mtm_show *show, size_t index);

/** Number of named groups: "all", those of the rig, and the show's own. */
MTM_API size_t mtm_show_group_count(const mtm_show *show);
/** Borrowed; index < count. */
MTM_API const char *mtm_show_group_name(const mtm_show *show, size_t index);
/** Units of a group, borrowed indices into the rig, rising; index < count. */
MTM_API const size_t *mtm_show_group(const mtm_show *show, size_t index, size_t *unit_count);
/** Chooses units as mtm_rig_select does, by the show's own groups too: MTM_OK; MTM_NOT_FOUND,
 *  MTM_PARSE and the rest as of that. */
MTM_API MTM_CHECKED mtm_result mtm_show_select(const mtm_show *show, const char *text, size_t *unit,
                                               size_t *unit_count, mtm_error *error);

/** Number of cues. */
MTM_API size_t mtm_show_cue_count(const mtm_show *show);
/** Borrowed; index < count. */
MTM_API const mtm_cue *mtm_show_cue(const mtm_show *show, size_t index);
/** Index of a cue by number; MTM_NOT_FOUND names the cues about it. */
MTM_API MTM_CHECKED mtm_result mtm_show_find_cue(const mtm_show *show, double number, size_t *index,
                                                 mtm_error *error);

/**
 * Applies one cue: units that it names get their new look, all others keep theirs.
 *
 * @param look  one a unit of the rig; zeroed (dark) before the first cue
 * @param moved one a unit of the rig, set to whether the cue names it; may be NULL
 */
MTM_API void mtm_show_apply(const mtm_show *show, size_t cue, mtm_look *look, bool *moved);

MTM_END
#endif
