/* SPDX-License-Identifier: MIT */
/* Codes: the integers a mode sends, chosen together by the colour they give. */
#ifndef METAMER_CODES_H
#define METAMER_CODES_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>

MTM_BEGIN

/** The integers sent to one unit. 8-bit codes are 0..255, 16-bit codes 0..65535,
 *  24-bit codes 0..16777215. Plain. */
typedef struct mtm_codes {
    uint32_t dimmer;                    /**< 0 where the mode has no dimmer slot */
    uint32_t emitter[MTM_EMITTERS_MAX]; /**< by emitter, in the fixture's order */
} mtm_codes;

/** A fixture's mode made ready for rounding. Immutable: may be shared by threads. */
typedef struct mtm_coder mtm_coder;

/**
 * Prepares a coder; keeps no pointer to the fixture. mode is one of the fixture's.
 *
 * @return MTM_OK; MTM_INVALID; MTM_UNSUPPORTED for the 10 degree observer where an emitter has no
 *         spectrum; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_coder_create(const mtm_fixture *fixture, const mtm_mode *mode,
                                                mtm_observer observer, mtm_coder **out,
                                                mtm_error *error);
/** Frees a coder; NULL is allowed. */
MTM_API void mtm_coder_free(mtm_coder *coder);

/**
 * Chooses the codes for levels: the set whose light is nearest to that of the levels.
 *
 * The cost of a set is the square of its distance in u', v' (1 step = 0.0011) and the square of its
 * difference in output (1 step = 2 %: common practice, no source), added. A level within 1e-12 of
 * that of a code is that code's. Emitters wanted dark, or at their top, stay so. Of the others'
 * 8-bit codes these are looked at: the two about the level and so many beyond on either side, by
 * the number of these emitters: 8 for up to three, 3 for four or five, 1 for six to eight, none for
 * more (of codes below that give one level, only the lowest). Of 16-bit and 24-bit codes, the two
 * about the level. Codes that the mode leaves alone are none of these. Of all such sets the one
 * chosen is proven to cost least (branch and bound), but for costs that agree to 1e-9 of themselves
 * and of one squared step: there the set is taken that has the lower code of the first emitter in
 * which they differ. Sets that exceed the fixture's power limit are left out; where the levels
 * themselves do, each emitter gets the lower of its two codes.
 *
 * Of a fixture whose limits state a lowest level, the codes light no emitter below it, the dimmer
 * counted in: levels that would are first moved to the nearest that all emitters may have, by the
 * light's cost as above, and of those that give the same light to the nearest by the sum of squares
 * (of more than five emitters, those that are too low and others up to five are tried lit and
 * dark); codes below are then left out.
 *
 * With a dimmer that is proven for the emitters' codes at each dimmer code that is tried, and for
 * no other: the lowest that is enough for every level, the seven above it and the one below; and
 * for each of the four codes below the top of the emitter that needs most, the two between which
 * the dimmer would have to be for that code to give its level. Of these the dimmer code that costs
 * least is taken; of equals (as above) the first in this order. That no other is better is not
 * proven: of 1600 random mixtures at 0.3 to 30 % with an 8-bit dimmer none gained half a step from
 * trying all its codes, and 53 a tenth.
 * @param level MTM_EMITTERS_MAX or the fixture's count; clamped to what the codes can give; what is
 * no number counts as 0. Light that is 0 gives codes that are all 0, but for the colour of a unit
 * that mixes by itself and leaves its code 0 alone.
 */
MTM_API void mtm_coder_round(const mtm_coder *coder, const double *level, mtm_codes *codes);

/** Which codes carry the output of a unit that has a dimmer beside its emitters. */
typedef enum mtm_dimming {
    MTM_DIMMING_FINEST = 0, /**< dimmer and emitters, chosen together by what they cost */
    MTM_DIMMING_DIMMER,     /**< the dimmer: the emitters hold the colour at its most light */
    MTM_DIMMING_EMITTERS    /**< the emitters: the dimmer stays at full */
} mtm_dimming;

/** A dimming's name and meaning, for parsers and help. */
typedef struct mtm_dimming_info {
    mtm_dimming dimming;     /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_dimming_info;

/** Number of dimmings. */
MTM_API size_t mtm_dimming_count(void);
/** One of them; static storage. NULL past the last. In the order of mtm_dimming. */
MTM_API const mtm_dimming_info *mtm_dimming_at(size_t index);

/**
 * Chooses the codes with the output where it is wanted. What is no mtm_dimming counts as
 * MTM_DIMMING_FINEST, which is mtm_coder_round; so are all of them for a mode without a dimmer or
 * of a unit that mixes by itself (mtm_coder_chooses_dimming). Light that is 0 gives codes that are
 * all 0.
 *
 * MTM_DIMMING_DIMMER: the emitters' codes are those of the levels scaled up, their proportions
 * kept, until one is full or the power limit is met; so they are the same at every output. The
 * dimmer's is the one whose output is nearest to that of the levels, of two as near the lower; 0,
 * and no light, if that is nearest.
 * MTM_DIMMING_EMITTERS: the emitters' codes are those that cost least with the dimmer at full.
 * @param level as of mtm_coder_round
 */
MTM_API void mtm_coder_round_by(const mtm_coder *coder, mtm_dimming dimming, const double *level,
                                mtm_codes *codes);
/** True if the mode leaves a choice of dimming: it has a dimmer, and emitters of its own. */
MTM_API bool mtm_coder_chooses_dimming(const mtm_coder *coder);

/** The levels that codes give: curves and dimmer applied. level has MTM_EMITTERS_MAX places. */
MTM_API void mtm_coder_levels(const mtm_coder *coder, const mtm_codes *codes, double *level);

/** Writes the mode's slots, in order; slot has mode->slot_count places. */
MTM_API void mtm_codes_to_slots(const mtm_mode *mode, const mtm_codes *codes, uint8_t *slot);
/** Writes the slots of a mode in the dark: dimmer and emitters at 0, and those of a fixed value as
 *  stated, for a slot of another use may turn or open something; slot as above. */
MTM_API void mtm_black_to_slots(const mtm_mode *mode, uint8_t *slot);
/** Reads codes back from the mode's slots. */
MTM_API void mtm_codes_from_slots(const mtm_mode *mode, const uint8_t *slot, mtm_codes *codes);

/** What may keep a unit from giving what its codes say. */
typedef enum mtm_standing_type {
    MTM_STANDING_GOOD = 0,   /**< nothing */
    MTM_STANDING_OTHER_MODE, /**< a slot that is to hold a value has another: the mode may not hold
                              */
    MTM_STANDING_LEFT_ALONE, /**< a channel has one of the codes that are left alone */
    MTM_STANDING_BETWEEN,    /**< a shutter is neither open nor dark */
    MTM_STANDING_SHUT        /**< a shutter is dark while the codes say light */
} mtm_standing_type;

/** Where a slot stands that matters. A plain value. */
typedef struct mtm_standing {
    mtm_standing_type type; /**< how it stands */
    size_t slot;            /**< of the mode, from 0; of a channel, that of its coarse byte */
    uint32_t value;         /**< of the slot, or the channel's code */
} mtm_standing;

/** What keeps a unit from giving what its slots' codes say: of several, the first in the order of
 *  mtm_standing_type, then of the slots. slot has mode->slot_count places. */
MTM_API mtm_standing mtm_slots_standing(const mtm_mode *mode, const uint8_t *slot);
/** Says that in words, "" for MTM_STANDING_GOOD: room bytes of text at most, ended by 0. */
MTM_API void mtm_standing_text(const mtm_fixture *fixture, const mtm_mode *mode,
                               const mtm_standing *standing, char *text, size_t room);

/** How values state codes. */
typedef enum mtm_value_type {
    MTM_VALUES_CODES = 0, /**< one a channel, in the order of the mode's slots: 0..255, 0..65535
                           *   or 0..16777215, coarse, fine and ultra as one */
    MTM_VALUES_SLOTS,     /**< one a slot, 0..255; those that carry no channel do not count */
    MTM_VALUES_PERCENT /**< one a channel, 0..100 of its highest code; rounded, halves up, then past
                        * codes that are left alone */
} mtm_value_type;

/**
 * Codes from values as people write them. MTM_PARSE for a wrong number of values or one that is not
 * whole; MTM_RANGE for one out of range, and for MTM_VALUES_CODES of 16-bit or 24-bit channels that
 * are lit but all below 256: those are most likely meant as 8 bits (a code as low can be stated by
 * slots). Codes that the mode leaves alone are MTM_RANGE too.
 */
MTM_API MTM_CHECKED mtm_result mtm_codes_from_values(const mtm_fixture *fixture,
                                                     const mtm_mode *mode, mtm_value_type type,
                                                     const double *value, size_t count,
                                                     mtm_codes *codes, mtm_error *error);

MTM_END
#endif
