/* SPDX-License-Identifier: MIT */
/* Fade inside: the transition of one unit from one light to another, exactly, at any frame. */
#ifndef METAMER_FADE_FADE_H
#define METAMER_FADE_FADE_H

#include "fade/lanes.h"
#include "fade/mix.h"

#include "unit/channels.h"

#include <metamer/codes.h>
#include <metamer/lab.h>
#include <metamer/match.h>
#include <metamer/path.h>
#include <metamer/show.h>

/** Emitters, and the dimmer after them. */
#define MTMI_CHANNELS_MAX (MTM_EMITTERS_MAX + 1)

/** What units of one fixture and mode share. */
typedef struct mtmi_kind {
    const mtm_fixture *fixture;
    const mtm_mode *mode;
    mtmi_mix_basis emitters;
    size_t channel_count; /* emitters, then the dimmer if there is one */
    struct mtmi_table table[MTMI_CHANNELS_MAX];
    int most[MTMI_CHANNELS_MAX];     /* highest code of its bits: 255, 65535 or 16777215 */
    bool careful[MTMI_CHANNELS_MAX]; /* it has 24 bits, or codes that are left alone */
    const mtm_curve *own;            /* what MTM_SHAPE_OWN follows; NULL: straight */
    const struct mtmi_code_step *codes[MTMI_CHANNELS_MAX];    /* by level; set by the fader */
    const struct mtmi_code_step *straight[MTMI_CHANNELS_MAX]; /* by code over the highest; too */
    const double *light[MTMI_CHANNELS_MAX]; /* level by code, of 8-bit channels; else NULL */
    struct mtmi_channels *mixed; /* where the unit mixes by itself: its codes; else NULL. Its lanes
                                  * then carry the levels of what it spans, and send nothing */
    size_t code_count;           /* channels of its codes, the dimmer last; of most units those
                                  * that its lanes carry */
    bool together;               /* it has channels of 8 bits that move: rounded together */
    bool has_dimmer;
    double dimmer_full;     /* its highest level; 1 without one */
    double dimmer_exponent; /* of its curve, about, at the bottom; of 8 bits only */
    double dimmer_least;    /* level of its lowest code that gives light; too */
} mtmi_kind;

/** What a dimmer does while a unit's light changes. */
typedef enum mtmi_dimmer_role {
    MTMI_DIMMER_NONE = 0, /* there is none, or the unit mixes by itself */
    MTMI_DIMMER_RESTS,    /* it is full while there is light: the emitters do the work */
    MTMI_DIMMER_GUIDED,   /* of 8 bits: it shares the work with the emitters, which make up for
                           * its steps; all codes are chosen together */
    MTMI_DIMMER_LEADS     /* it goes with the light, the emitters with the colour behind it */
} mtmi_dimmer_role;

/** One end of a transition. */
typedef struct mtmi_end {
    double level[MTM_EMITTERS_MAX]; /* light by emitter, not rounded */
    double dimmer;                  /* level of the dimmer; 1 without one */
    mtm_xyz xyz;
    double code[MTMI_CHANNELS_MAX]; /* by channel; not whole numbers where a fade was cut short */
    mtm_codes codes;
} mtmi_end;

/** A unit's transition. Times are frames since its cue began. */
typedef struct mtmi_transition {
    const mtmi_kind *kind;
    mtm_solver *solver;
    mtmi_end from, to;
    uint64_t delay;    /* frames before it moves */
    uint64_t frames;   /* frames that it moves for, at least 1 */
    uint64_t up, down; /* of single channels, on MTM_PATH_SLOTS */
    double bend;       /* frame at which the shape bends; negative: it does not */
    mtm_path_type path_type;
    double lamp_light[2]; /* Y at both ends of the path, where it is MTM_PATH_LAMP */
    mtm_path path;        /* not for MTM_PATH_LIGHT and MTM_PATH_SLOTS */
    mtm_shape_type shape;
    mtm_dimming dimming;
    mtmi_dimmer_role dimmer; /* set where it begins */
    double held_y; /* light behind a full dimmer where the emitters hold the codes of the lit end
                    * all along; 0: they move */
} mtmi_transition;

/** Where a unit is in its transition, before rounding. */
typedef struct mtmi_transition_point {
    double level[MTM_EMITTERS_MAX];
    double dimmer;
    mtm_xyz wanted;  /* what the path asks for */
    bool held;       /* the emitters cannot do that */
    uint64_t bounds; /* what holds the levels: where it changes, the transition has a bend */
} mtmi_transition_point;

/** What a fixture and mode are to a fade; MTM_RANGE if all emitters are dark. The cache outlives
 *  it. */
MTM_CHECKED mtm_result mtmi_kind_from(const mtm_fixture *fixture, const mtm_mode *mode,
                                      mtm_observer observer, struct mtmi_level_cache *cache,
                                      mtmi_kind *kind, mtm_error *error);
void mtmi_kind_free(mtmi_kind *kind);
/** Gives a kind the code tables of its channels; from then on it stays where it is. */
MTM_CHECKED mtm_result mtmi_kind_share_tables(struct mtmi_code_tables *tables, mtmi_kind *kind,
                                              mtm_error *error);

/** Moves the codes of emitters below the lowest level to one that they may have; false where none
 *  is. */
bool mtmi_kind_hold(const mtmi_kind *kind, mtm_codes *codes);

/** The end that a unit is at when its match is sent. */
mtmi_end mtmi_end_from_match(const mtmi_kind *kind, const mtm_match *match);
/** The end that a unit is at when these codes are sent. */
mtmi_end mtmi_end_from_codes(const mtmi_kind *kind, const mtm_codes *codes);
/** Whether the colour goes with the output. */
bool mtmi_kind_dims(const mtmi_kind *kind);
/** What the dimmer of a kind does by a show's dimming: by MTM_DIMMING_FINEST it rests where it is
 *  coarser than all emitters, is guided where it and some of them have 8 bits, else leads. */
mtmi_dimmer_role mtmi_dimmer_role_of(const mtmi_kind *kind, mtm_dimming dimming);
/** Whether units can be dark and have their emitters at a colour: their dimmer does the work. */
bool mtmi_dimmer_keeps_colour(mtmi_dimmer_role role);
/** How far the emitters are down behind an 8-bit dimmer that is shut, so that its first code is no
 *  step: the level of the highest. per_level is the light of the colour (1: all emitters full) for
 *  each level of its highest emitter. */
double mtmi_first_step(const mtmi_kind *kind, double per_level);
/** What an emitter is to send, as a level, behind a dimmer that is shut before or after a lit end.
 */
double mtmi_dark_share(const mtmi_kind *kind, mtmi_dimmer_role role, const mtmi_end *lit,
                       size_t emitter);
/** Gives the emitters of a dark end the colour of a lit one. */
void mtmi_end_take_colour(const mtmi_kind *kind, mtmi_dimmer_role role, mtmi_end *dark,
                          const mtmi_end *lit);
/** The end of a unit that is dark. */
mtmi_end mtmi_end_dark(const mtmi_kind *kind);

/**
 * Makes a transition ready: kind, solver, ends, delay, path_type, shape and dimming are given; up
 * and down frames are those of the cue. Ends whose dimmer stands elsewhere than the dimming has it
 * are gone to and left without a jump.
 * @return MTM_OK; MTM_RANGE where the path has no colours between these ends
 */
MTM_CHECKED mtm_result mtmi_transition_begin(mtmi_transition *transition, mtm_error *error);

/** The point at a frame (0 where the transition begins, after the delay), 0..frames. */
void mtmi_transition_at(const mtmi_transition *transition, double frame,
                        mtmi_transition_point *point);
/** The point of a light where the colour goes with it; its bounds are not told. */
void mtmi_mixed_dims_point(const mtmi_kind *kind, double light, mtmi_transition_point *point);
/** Whether a channel goes by its code, and not by its light. */
bool mtmi_transition_by_code(const mtmi_transition *transition, size_t channel);
/** Whether the unit's codes are chosen together at each frame. */
bool mtmi_transition_together(const mtmi_transition *transition);
/** The level that each channel is to send at a frame (its code over the highest, where it goes by
 *  that); level has room for MTMI_CHANNELS_MAX. Returns the bounds of the point. */
uint64_t mtmi_transition_channels(const mtmi_transition *transition, double frame, double *level);
/** The same as codes, not whole. */
void mtmi_transition_codes(const mtmi_transition *transition, double frame, double *code);

/** mtmi_table_code_at and mtmi_table_level_at of a channel. */
double mtmi_code_for(const mtmi_kind *kind, size_t channel, double level);
double mtmi_level_of(const mtmi_kind *kind, size_t channel, double code);

/** Light as the eye sees it that knows all emitters at full, as D65, for white. */
mtm_lab mtmi_kind_lab(const mtmi_kind *kind, mtm_xyz xyz);
/** The most that CIEDE2000 can be, 2.2 times the CIELAB difference (ISO/CIE 11664-6: a* is
 * stretched by 1.5 at most, S_L, S_C and S_H are 1 or more, and R_T, within 2, at most doubles
 * both): most frames need not be compared by it to know that their step is not the largest. */
double mtmi_ciede2000_bound(mtm_lab a, mtm_lab b);
/** The light of codes. */
mtm_xyz mtmi_codes_light(const mtmi_kind *kind, const mtm_codes *codes);
/** The whole code nearest to one that is not, of those that may be sent. */
uint32_t mtmi_code_near(const mtmi_kind *kind, size_t channel, double code);
/** One channel of codes. */
uint32_t mtmi_codes_channel(const mtmi_kind *kind, const mtm_codes *codes, size_t channel);
void mtmi_codes_set_channel(const mtmi_kind *kind, mtm_codes *codes, size_t channel, uint32_t code);

#endif
