/* SPDX-License-Identifier: MIT */
/* Match output: a computed match as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_MATCH_MATCH_OUT_H
#define METAMER_CLI_MATCH_MATCH_OUT_H

#include "cli/args/picture.h"
#include "cli/args/swatch.h"
#include "cli/out/slot_rows.h"
#include "cli/out/writer.h"

#include <metamer/agreement.h>
#include <metamer/demand.h>
#include <metamer/diagram.h>
#include <metamer/match.h>
#include <metamer/palette.h>
#include <metamer/white.h>

/** Room for a reason. */
#define MATCH_REASON_ROOM 256

/** Pairs that are told of at most. */
#define MATCH_PAIRS_MAX 64

/** All that was computed. Borrows everything. */
struct match_report {
    const mtm_rig *rig;
    const mtm_target *target;
    const mtm_match *match;
    size_t count;
    mtm_goal goal;
    mtm_index index; /* of MTM_GOAL_RENDERING */
    const mtm_matcher *matcher;
    mtm_dimming dimming;
    bool together;
    mtm_common common;
    mtm_output asked; /* the output asked for */
    bool has_tolerance;
    double tolerance;                     /* u', v' */
    double spread_uv;                     /* the largest distance between any two lit units */
    const mtm_demand *demand;             /* what the match asks of ports and supplies */
    const bool *held;                     /* by match: output lowered for a rating; NULL: none */
    const mtm_judgement *judgement;       /* one a match */
    bool quality;                         /* a second look: Ra, pairs */
    const struct palette_report *palette; /* NULL: one colour */
    const struct slot_source *slots;
    const struct slot_kinds *kinds;
    struct swatches swatches;                 /* before the rows of the table */
    mtm_pair_limits limits;                   /* of pairs that agree for one observer only */
    mtm_metameric_pair pair[MATCH_PAIRS_MAX]; /* the worst first */
    size_t pair_count;
};

/** table, json, csv; ends with a NULL name. */
extern const struct writer match_writers[];

/** Matches of many colours. Borrows everything. */
struct palette_report {
    const mtm_palette *palette;
    const struct match_report *colour; /* one each, of the same units */
    bool by_kind;                      /* a row for all units of a kind */
    bool values;                       /* with slot blocks */
};

void match_write_table(const void *data, FILE *out);
cJSON *match_write_json(const void *data);
void match_write_csv(const void *data, FILE *out);

void palette_write_table(const struct match_report *report, FILE *out);
cJSON *palette_write_json(const struct match_report *report);
void palette_write_csv(const struct match_report *report, FILE *out);

/** How well the units make the colours of a palette, in sentences. */
void palette_put_sentences(const struct match_report *report, FILE *out);

/** Draws the matches of a palette, colours by units, and writes the picture to where --picture
 *  says. */
MTM_CHECKED mtm_result palette_put_picture(const struct args *args,
                                           const struct picture_request *request,
                                           const struct match_report *report,
                                           const mtm_match *match, struct outlet *to,
                                           mtm_error *error);

/** The match that stands for a row of a table by kinds: the farthest of the kind. */
const mtm_match *palette_farthest(const struct match_report *colour, size_t kind);

/** Heads and a row of a match in CSV, without the line's end. */
void match_put_csv_heads(const struct match_report *report, FILE *out);
void match_put_csv_row(const struct match_report *report, const mtm_match *match, FILE *out);
/** One unit's match in JSON. */
cJSON *match_json_unit(const struct match_report *report, const mtm_match *match);

/** A common match in JSON. */
void match_json_common(cJSON *root, const struct match_report *report);
/** The same in sentences. */
void match_put_together(const struct match_report *report, FILE *out);

/** Whether the codes hold the intensity: "with", or "apart" where the dimmer is the console's. */
const char *match_intensity_name(const struct match_report *report);
/** What carries the output of a match's unit; NULL where there is no choice, or none was made. */
const char *match_dimming_name(const struct match_report *report, const mtm_match *match);

/** Which units were left dark, and who has the dimmer, in sentences; of a palette's too. */
void match_put_kept_back(const struct match_report *report, size_t left_dark, FILE *out);

/** How well the rig agrees and what limits it, in sentences. */
void match_put_sentences(const struct match_report *report, FILE *out);
/** What such a function says, in one line; free() it. NULL without memory. */
char *match_said_in_line(void (*put)(const struct match_report *report, FILE *out),
                         const struct match_report *report);

/** What a picture of a match borrows. Zeroed holds nothing. */
struct match_drawn {
    mtm_match_view view;
    char *sentences;                 /**< what is said below the table, in one line */
    char (*text)[MATCH_REASON_ROOM]; /**< why each comes no closer */
    const char **reason;
};

/** Freed by match_drawn_free, also after a failure; the report must outlive it. */
MTM_CHECKED mtm_result match_drawn_make(const struct match_report *report, mtm_matcher *matcher,
                                        struct match_drawn *drawn, mtm_error *error);
void match_drawn_free(struct match_drawn *drawn);

/** Draws the match, or how it renders (report->quality, without --diagram), and writes the picture
 * to where --picture says. */
MTM_CHECKED mtm_result match_put_picture(const struct args *args,
                                         const struct picture_request *request,
                                         const struct match_report *report, mtm_matcher *matcher,
                                         struct outlet *to, mtm_error *error);

/** The pairs that agree here and not there, in sentences; for report->quality. */
void match_put_pairs(const struct match_report *report, FILE *out);

/** "2°" or "10°". */
const char *match_observer_name(mtm_observer observer);

/** Where outputs are told: where a common match is equal; else where light arrives, if every unit
 *  states that, or at the lens. */
mtm_light_at match_light_at(const struct match_report *report);
/** What arrives there of a lumen of a match's unit. */
double match_arriving(const struct match_report *report, const mtm_match *match);
/** "lm", "lm×gain" or "lx", or the Y of the 10 degree observer. */
const char *match_output_unit(const struct match_report *report);
/** The same as a key of JSON: "flux_lm", "flux_lm_times_gain", "lux" or "y_10". */
const char *match_output_key(const struct match_report *report);

/** The unit of a match. */
const mtm_unit *match_unit_of(const struct match_report *report, const mtm_match *match);

/** Its white; NAN where it has none: temperature belongs to the 2 degree observer (CIE 015:2018,
 *  9.4), and to light. */
mtm_white match_white(const mtm_match *match, mtm_observer observer);

/** True if a match and the one behind it are of units that follow each other by name, and say the
 *  same. */
bool match_goes_on(const struct match_report *report, const mtm_match *match);

/** The last of the run that begins with a match: units that follow each other by name and say the
 *  same, so that one line tells all. */
const mtm_match *match_run_end(const struct match_report *report, const mtm_match *match);
/** Its name, of RUN_NAME_ROOM. */
void match_name_run(const struct match_report *report, const mtm_match *first, char *text,
                    size_t room);

/** True if a match misses the report's tolerance, or is dark against what was asked. */
bool match_misses(const struct match_report *report, const mtm_match *match);

/** True if the output was lowered for the rating of a port or supply. */
bool match_was_held(const struct match_report *report, const mtm_match *match);

/** The name of a goal. */
const char *match_goal_name(mtm_goal goal);

/** The name of what the goal rendering goes by; NULL for other goals. */
const char *match_index_name(const struct match_report *report);

/** Why a colour lies beyond what a fixture makes. */
const char *match_gamut_cause(const mtm_fixture *fixture);

/** What bounds the output of a unit by itself: " (power limit)", " (limit of red: 80 %)", or "". */
void match_name_bound(const struct match_report *report, const mtm_match *match, char *text,
                      size_t room);

/** Adds the causes of a colour that is off (mtm_colour_misses); where there are two, with the share
 *  of each in u', v': "outside its gamut 0.0049, steps of its codes 0.0110". */
void match_add_colour_causes(unsigned misses, const char *gamut, double gamut_uv, const char *codes,
                             double codes_uv, char *text, size_t room);

/** Why a match came no closer: "" where it is as asked. */
void match_reason(const struct match_report *report, const mtm_match *match, char *text,
                  size_t room);

/** Says what Ra stands beside, for whites from least_cct_k to most_cct_k; nothing for NAN. */
void put_ra_reference(double least_cct_k, double most_cct_k, FILE *out);

/** The same for a report, what Rf rests on, and which kinds' figures rest on ideal lines. */
void match_put_basis(const struct match_report *report, FILE *out);

/** "spectra", "ideal lines" (drawn from peak and width), or NULL where none is known. */
const char *match_rests_on(const mtm_judgement *judgement);

#endif
