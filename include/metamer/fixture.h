/* SPDX-License-Identifier: MIT */
/* Fixture: what its units share: emitters, power limit, control modes. */
#ifndef METAMER_FIXTURE_H
#define METAMER_FIXTURE_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/curve.h>
#include <metamer/spectrum.h>

MTM_BEGIN

#define MTM_EMITTERS_MIN 1  /**< fewest emitters of a fixture */
#define MTM_EMITTERS_MAX 16 /**< most emitters of a fixture */

/** Most control modes of a fixture. */
#define MTM_MODES_MAX 64
/** Most slots of a mode. */
#define MTM_SLOTS_MAX 512
#define MTM_CODE_MAX_24 16777215 /**< highest code of 24 bits, and of all */
#define MTM_CODE_MAX_16 65535    /**< highest code of 16 bits */
#define MTM_CODE_MAX_8 255       /**< highest code of 8 bits, and value of a slot */
/** Most ranges of codes to be left alone in a mode. */
#define MTM_RANGES_MAX 64
/** Most of them in one channel. */
#define MTM_CHANNEL_RANGES_MAX 8

/** One emitter at full level. Borrowed from its fixture. */
typedef struct mtm_emitter {
    const char *name; /**< as the file has it; no other emitter of the fixture has it */
    /** W/nm at full, so that Y is flux_lm; NULL if only x, y are known */
    const mtm_spectrum *spectrum;
    /** the spectrum is drawn from a peak and a width: an ideal line, not a measurement, and what is
     *  computed from it is as good as that; false without a spectrum */
    bool ideal_line;
    /** at full, by observer; Y of the 2 degree one is flux_lm. The 10 degree one is 0, 0, 0 where
     *  there is no spectrum */
    mtm_xyz xyz[MTM_OBSERVER_COUNT];
    double flux_lm;         /**< at full, >= 0 */
    double watts;           /**< electrical, at full, >= 0 */
    const mtm_curve *curve; /**< from its code to its level */
} mtm_emitter;

/** What one slot of a mode carries. */
typedef enum mtm_slot_role {
    MTM_SLOT_FIXED = 0,     /**< a constant value */
    MTM_SLOT_DIMMER,        /**< master dimmer: 8-bit code or coarse byte */
    MTM_SLOT_DIMMER_FINE,   /**< master dimmer, fine byte */
    MTM_SLOT_EMITTER,       /**< an emitter: 8-bit code or coarse byte */
    MTM_SLOT_EMITTER_FINE,  /**< an emitter, fine byte */
    MTM_SLOT_DIMMER_ULTRA,  /**< master dimmer, third byte of 24 bits */
    MTM_SLOT_EMITTER_ULTRA, /**< an emitter, third byte of 24 bits */
    MTM_SLOT_DEFAULT,       /**< a value that is sent, and may as well be another */
    MTM_SLOT_HOLD,          /**< a value that must stand for the mode to hold */
    MTM_SLOT_OPEN           /**< one value while the unit is lit, another while it is out */
} mtm_slot_role;

/** One slot of a mode. */
typedef struct mtm_slot {
    mtm_slot_role role; /**< what it carries */
    uint8_t fixed;   /**< value where role is MTM_SLOT_FIXED, _DEFAULT or _HOLD; of _OPEN, the one
                      *   while the unit is lit */
    uint8_t emitter; /**< index where role is MTM_SLOT_EMITTER, _FINE or _ULTRA */
    uint8_t dark;    /**< value while the unit is out, where role is MTM_SLOT_OPEN */
} mtm_slot;

/** Codes of a channel that must be left alone, since they do something else. */
typedef struct mtm_code_range {
    mtm_slot_role role; /**< MTM_SLOT_DIMMER or MTM_SLOT_EMITTER: whose codes */
    uint8_t emitter;    /**< index where role is MTM_SLOT_EMITTER */
    uint32_t first;     /**< lowest of them; >= 1 where 0 is dark: dimmers and emitters */
    uint32_t last;      /**< highest of them, at most the channel's highest code */
} mtm_code_range;

/** Most points of a table of codes. */
#define MTM_MIXING_POINTS_MAX 64

/** How a unit mixes by itself: which channels its mode has instead of emitters. */
typedef enum mtm_mixing_type {
    MTM_MIXING_WHITE = 1, /**< colour temperature, perhaps tint */
    MTM_MIXING_RGB,       /**< red, green, blue */
    MTM_MIXING_HSI,       /**< hue, saturation, intensity */
    MTM_MIXING_XY,        /**< CIE 1931 x and y */
    MTM_MIXING_DIMS       /**< none but the dimmer: the colour goes with the output */
} mtm_mixing_type;

/** What a channel says at a code; straight between points, and the end values go on outside. */
typedef struct mtm_mixing_point {
    uint32_t code; /**< of the channel */
    double value;  /**< kelvin, or Duv */
} mtm_mixing_point;

/** The colour of a unit at an output, where the one goes with the other. */
typedef struct mtm_dims_point {
    double output; /**< share of its light at full, above 0 to 1 */
    double cct_k;  /**< colour temperature there, kelvin */
    double duv;    /**< Duv there */
} mtm_dims_point;

/** Coolest tungsten lamp at full, kelvin: below the melting point of tungsten, 3695 K. */
#define MTM_LAMP_MAX_K 3600
/** Warmest lamp at full, kelvin. */
#define MTM_LAMP_MIN_K 1500

/** What a mode makes in which the unit mixes by itself. A plain value but for the curve, which is
 *  copied where a mode is. What its emitters do for a colour, and so spectrum and watts, are not
 *  known. Light is what the dimmer leaves of flux_lm. */
typedef struct mtm_mixing {
    mtm_mixing_type type; /**< which of the following hold */
    double flux_lm; /**< at full: of white for RGB and HSI, of any colour for the others; > 0 */
    double watts;   /**< the most that it takes; 0: not known */
    mtm_mixing_point temperature[MTM_MIXING_POINTS_MAX]; /**< WHITE: kelvin, 1000..25000 */
    size_t temperature_count; /**< 2 or more; codes rise, kelvin rise or fall throughout */
    mtm_mixing_point tint[MTM_MIXING_POINTS_MAX]; /**< WHITE: Duv, -0.05..0.05 */
    size_t tint_count;              /**< the same; 0: no tint, always on the Planckian locus */
    mtm_xy red;                     /**< RGB, HSI: primary */
    mtm_xy green;                   /**< the same */
    mtm_xy blue;                    /**< the same */
    mtm_xy white;                   /**< what all three make together */
    const mtm_curve *transfer;      /**< RGB, HSI: light of each by its value; NULL: linear */
    double x[2];                    /**< XY: x at code 0 and at the highest */
    double y[2];                    /**< XY: y likewise */
    mtm_xy gamut[MTM_EMITTERS_MAX]; /**< XY: corners of what it can make, in any order */
    size_t gamut_count;             /**< 3 or more; 0: that of its emitters */
    /** DIMS: a tungsten lamp of this temperature at full (MTM_LAMP_MIN_K..MTM_LAMP_MAX_K), taken as
     *  a Planckian radiator that goes by lamp.h, at 1000 K and above; 0: it goes by the table */
    double lamp_k;
    bool by_voltage; /**< DIMS, of a lamp: the dimmer's curve gives its voltage, not its light */
    /** DIMS: outputs rise to 1, kelvin (1000..25000) rise or fall throughout. Between points kelvin
     *  go as a power of the output, Duv straight with its logarithm; below the first the colour
     *  rests */
    mtm_dims_point dims[MTM_MIXING_POINTS_MAX];
    size_t dims_count; /**< 2 or more; 0 for a lamp */
} mtm_mixing;

/** A control mode. Every emitter has a slot, or the unit mixes by itself. Borrowed from its
 * fixture. */
typedef struct mtm_mode {
    const char *name;                       /**< as the file has it */
    const mtm_slot *slots;                  /**< in the order in which they are sent */
    size_t slot_count;                      /**< 1..512 */
    int dimmer_bits;                        /**< 0: no dimmer; 8; 16; 24 */
    uint8_t emitter_bits[MTM_EMITTERS_MAX]; /**< 8, 16 or 24, by emitter */
    const mtm_code_range *ranges;           /**< codes to be left alone; NULL if range_count is 0 */
    size_t range_count;                     /**< 0..MTM_RANGES_MAX */
    /** how the unit mixes by itself; NULL: its slots carry emitters. Otherwise MTM_SLOT_EMITTER
     *  carries a channel of the mixing, emitter_bits and codes go by these, and emitter is 0 and on
     *  for temperature, tint; red, green, blue; hue, saturation, intensity; x, y */
    const mtm_mixing *mixing;
} mtm_mode;

/** What is asked of light beyond what emitters can: kept by solvers, codes, fades and trims. A
 * plain value; zeroed means none. */
typedef struct mtm_limits {
    double headroom; /**< share that is kept of each emitter and of the power limit: 0..0.9 */
    double most_level[MTM_EMITTERS_MAX]; /**< of an emitter, above 0 to 1; 0: not limited */
    bool left_out[MTM_EMITTERS_MAX];     /**< emitters that stay dark */
    double lowest_level; /**< share of full light below which no emitter is lit, its dimmer counted
                          *   in; 0..1, 0: not limited */
    double most_purity;  /**< excitation purity (dominant.h) of a colour asked for, at most; above 0
                          *   to 1, 0: not limited */
    mtm_xy purity_white; /**< of that purity; { 0, 0 } means the equal-energy white */
    bool no_ultraviolet; /**< emitters that give at least half their power below 400 nm stay dark */
} mtm_limits;

/** A fixture. Immutable once made; may be shared by threads. */
typedef struct mtm_fixture mtm_fixture;

/**
 * Reads a "fixture/1" file (JSON). The caller frees it. Errors name file and place.
 *
 * Keys: "metamer": "fixture/1"; "name"; "emitters", 1..16 of: "name", the colour in exactly one of
 * three ways ("spectrum", a file or [[nm, value], ...]; "peak_nm" with "fwhm_nm"; "x" with "y"),
 * "flux_lm" and "watts" at full, perhaps "ideal_line": true beside a "spectrum" that was drawn and
 * not measured, and perhaps "curve" (linear if missing): a name of
 * mtm_curve_type_at, { "power": g } or { "table": [[code, level], ...] } that ends at level
 * 1; perhaps "power_limit_w", "standby_w", "dimmer_curve" and "limits" (the keys "most_level",
 * "lowest_level", "headroom", "most_purity", "purity_white" and "ultraviolet" of mtm_limits);
 * "modes", 1..64 of: "name", and "slots", 1..512 of the name of an emitter or "dimmer" (an 8-bit
 * code, or the coarse byte where a fine one stands anywhere in the mode), the same with ".fine" or
 * ".ultra" behind (second and third byte), or an object: { "fixed": 0..255 }, { "default": 0..255
 * }, { "hold": 0..255 } or { "open": 0..255, "dark": 0..255 }. Every emitter has a slot.
 * "leave_alone" of a mode holds lists of [first, last] codes by channel: they are never sent, and
 * where they reach the top, the code below them is full. "note" may stand in the whole, an emitter
 * or a mode. Other keys are errors. Files are looked for beside this one, then among the profiles
 * (METAMER_PROFILES of the environment, or the installed folder).
 * @return MTM_OK, or as all that reads a file (see mtm_result)
 */
MTM_API MTM_CHECKED mtm_result mtm_fixture_load(const char *path, mtm_fixture **out,
                                                mtm_error *error);
/** The same from text in memory; base_dir (may be NULL) is where relative spectrum paths start.
 *  Results as of all that reads text (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_fixture_parse(const char *text, size_t length,
                                                 const char *name_for_errors, const char *base_dir,
                                                 mtm_fixture **out, mtm_error *error);
/**
 * Makes a fixture from its parts. Copies all of them.
 *
 * @param name          not empty
 * @param emitter       emitter_count (1..16) emitters with names of their own, none "dimmer" and
 * none that ends in ".fine" or ".ultra". xyz holds (finite, >= 0, one of them not dark), and where
 * there is a spectrum it must give them, for both observers, to a millionth of X + Y + Z; flux_lm
 * is taken from Y of the 2 degree observer; a NULL curve means linear
 * @param mode          mode_count (1..64) modes; slots are read, the bits are worked out anew
 * @param power_limit_w > 0, INFINITY for none
 * @param standby_w     watts beside its emitters, dark or lit, 0..1e6
 * @param dimmer_curve  of the master dimmer; NULL means linear
 * @return MTM_OK, MTM_INVALID, MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fixture_create(const char *name, const mtm_emitter *emitter,
                                                  size_t emitter_count, const mtm_mode *mode,
                                                  size_t mode_count, double power_limit_w,
                                                  double standby_w, const mtm_curve *dimmer_curve,
                                                  mtm_fixture **out, mtm_error *error);
/**
 * A copy of a fixture with other emitters, as a meter found them: as many as base has, in its
 * order. Take mtm_fixture_emitter's, change what was measured (spectrum and xyz together, watts,
 * curve) and hand them in. Everything is copied; modes, names and limits stay those of base.
 * @return MTM_OK; MTM_INVALID as mtm_fixture_create; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fixture_with_emitters(const mtm_fixture *base,
                                                         const mtm_emitter *emitter,
                                                         mtm_fixture **out, mtm_error *error);
/**
 * A copy of a fixture under other limits; everything else stays that of base.
 * @return MTM_OK; MTM_INVALID for limits out of range, that leave no light, or that need a spectrum
 *         which an emitter lacks; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fixture_with_limits(const mtm_fixture *base,
                                                       const mtm_limits *limits, mtm_fixture **out,
                                                       mtm_error *error);
/** The limits of a fixture; borrowed. NULL without one. */
MTM_API const mtm_limits *mtm_fixture_limits(const mtm_fixture *fixture);
/** The highest level that the limits leave an emitter, 0..1; 0 for one that is not there. */
MTM_API double mtm_fixture_most_level(const mtm_fixture *fixture, size_t index);
/** Writes a fixture as "fixture/1" text, spectra inside. The caller frees *text with free().
 *  MTM_OK or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_fixture_to_json(const mtm_fixture *fixture, char **text,
                                                   size_t *length, mtm_error *error);
/** Frees a fixture; NULL is allowed. */
MTM_API void mtm_fixture_free(mtm_fixture *fixture);

/** The fixture's name; borrowed. */
MTM_API const char *mtm_fixture_name(const mtm_fixture *fixture);
/** Number of emitters, 1..MTM_EMITTERS_MAX. */
MTM_API size_t mtm_fixture_emitter_count(const mtm_fixture *fixture);
/** Borrowed; index < count. */
MTM_API const mtm_emitter *mtm_fixture_emitter(const mtm_fixture *fixture, size_t index);
/** Number of modes, 1..MTM_MODES_MAX. */
MTM_API size_t mtm_fixture_mode_count(const mtm_fixture *fixture);
/** Borrowed; index < count. */
MTM_API const mtm_mode *mtm_fixture_mode(const mtm_fixture *fixture, size_t index);
/** Borrowed; NULL if there is no such mode. */
MTM_API const mtm_mode *mtm_fixture_find_mode(const mtm_fixture *fixture, const char *name);
/** Watts of all emitters together that the fixture allows; INFINITY if the file states none. */
MTM_API double mtm_fixture_power_limit_w(const mtm_fixture *fixture);
/** What units of a mode are to everything that asks for emitters. Of a mode that mixes by itself:
 *  a fixture of that mode alone whose emitters are what its slots span, its primaries or corners,
 *  and no LEDs; else the fixture itself. Borrowed; NULL for a mode that is none of its. */
MTM_API const mtm_fixture *mtm_fixture_of_mode(const mtm_fixture *fixture, const mtm_mode *mode);
/** True if this is what mtm_fixture_of_mode gives for a mode that mixes by itself. Then neither
 *  spectra nor watts of a mix are known, and its emitters' watts mean nothing. */
MTM_API bool mtm_fixture_mixes(const mtm_fixture *fixture);
/** True if this is what mtm_fixture_of_mode gives for a mode whose colour goes with its output: a
 *  tungsten lamp, or a unit that dims to warm. mtm_fixture_mixes is true for it too; but of a lamp
 *  the spectrum is known, and its watts, if the file states them. */
MTM_API bool mtm_fixture_dims(const mtm_fixture *fixture);
/** Watts at levels, one an emitter. Of what mtm_fixture_mixes: 0 when dark, that of a dimmed lamp
 *  as mtm_lamp_watts_share has it, else NAN: what it takes for a colour is not known. NAN for NULL.
 */
MTM_API double mtm_fixture_watts_at(const mtm_fixture *fixture, const double *level);
/** The most watts that a unit takes: of all emitters together within the limit; of a mode that
 *  mixes by itself what the file says of it, or of its emitters; NAN if it says nothing. */
MTM_API double mtm_fixture_most_watts(const mtm_fixture *fixture);
/** Watts that the fixture takes beside its emitters, dark or lit; 0 if the file states none. */
MTM_API double mtm_fixture_standby_w(const mtm_fixture *fixture);
/** The curve of the master dimmer (linear unless the file says otherwise). Borrowed. */
MTM_API const mtm_curve *mtm_fixture_dimmer_curve(const mtm_fixture *fixture);
/** True if every emitter has a spectrum. */
MTM_API bool mtm_fixture_has_spectra(const mtm_fixture *fixture);

MTM_END
#endif
