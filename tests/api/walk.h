/* SPDX-License-Identifier: MIT */
/* The walk along the edge of the library: every public function is called with what its comment
 * does not allow. What is called is noted by its name, and the names are compared with the headers.
 */
#ifndef METAMER_TESTS_API_WALK_H
#define METAMER_TESTS_API_WALK_H

#include "support/check.h"

#include <metamer/calibration.h>
#include <metamer/colour.h>
#include <metamer/cue_text.h>
#include <metamer/fade.h>
#include <metamer/filter.h>
#include <metamer/match.h>
#include <metamer/show.h>
#include <metamer/spectrum.h>

/** What the calls start from: good ones of everything, so that one thing at a time is bad. */
struct walk_world {
    mtm_rig *rig; /* the example hall */
    mtm_readings *readings;
    mtm_calibration *calibration;
    mtm_show *show; /* the example evening, on a rig of its own */
    mtm_fixture *fixture;
    mtm_matcher *matcher;
    mtm_target target;
    mtm_spectrum light;       /* D65 */
    mtm_spectrum no_spectrum; /* one value is not a number */
    double *watts;            /* of the units of the rig */
};

extern struct walk_world world;

/** Finite in double, not allowed anywhere. */
#define NO_NUMBERS 3
extern const double no_number[NO_NUMBERS];
/** What is no chromaticity: not finite, outside, zeroed. */
#define NO_XYS 9
extern const mtm_xy no_xy[NO_XYS];
/** An observer, and as such any enumeration, that does not exist. */
#define NO_ENUM 77

/** Notes that a function of the library was called. */
void walk_note(const char *function);
/** Notes a call that was not answered as it must be; the walk goes on. */
void walk_complain(const char *file, int line, const char *call, const char *why);
/** Complains where a result is not the one wanted, or a failure has no sentence. */
void walk_result(const char *file, int line, const char *call, mtm_result got, mtm_result wanted,
                 const mtm_error *error);
/** True where a number is not finite, or all are 0: what formulas give for what is no number. */
bool walk_nothing(const void *numbers, size_t bytes);

#define GIVES_RESULT(wanted, function, ...)                                                        \
    do {                                                                                           \
        mtm_error error_ = {""};                                                                   \
        walk_note(#function);                                                                      \
        mtm_result got_ = function(__VA_ARGS__, &error_);                                          \
        walk_result(__FILE__, __LINE__, #function "(" #__VA_ARGS__ ")", got_, wanted, &error_);    \
    } while (0)

/** A good call. */
#define DONE(function, ...) GIVES_RESULT(MTM_OK, function, __VA_ARGS__)
/** A call that must be MTM_INVALID, with a sentence. */
#define REFUSED(function, ...) GIVES_RESULT(MTM_INVALID, function, __VA_ARGS__)
/** A call (or something seen after one) of a function without a result, that must hold. */
#define HOLDS(function, fact)                                                                      \
    do {                                                                                           \
        walk_note(#function);                                                                      \
        if (!(fact))                                                                               \
            walk_complain(__FILE__, __LINE__, #fact, "does not hold");                             \
    } while (0)
/** A formula of numbers that must give 0 or what is no number. */
#define NOTHING(type, function, ...)                                                               \
    do {                                                                                           \
        walk_note(#function);                                                                      \
        type made_ = function(__VA_ARGS__);                                                        \
        if (!walk_nothing(&made_, sizeof made_))                                                   \
            walk_complain(__FILE__, __LINE__, #function "(" #__VA_ARGS__ ")", "gives numbers");    \
    } while (0)
/** A function that returns nothing and must leave bytes of object alone. */
#define LEAVES(object, function, ...)                                                              \
    do {                                                                                           \
        unsigned char before_[sizeof(object)];                                                     \
        memcpy(before_, &(object), sizeof(object));                                                \
        walk_note(#function);                                                                      \
        function(__VA_ARGS__);                                                                     \
        if (memcmp(before_, &(object), sizeof(object)) != 0)                                       \
            walk_complain(__FILE__, __LINE__, #function "(" #__VA_ARGS__ ")", "changes " #object); \
    } while (0)

#define EACH_NUMBER(bad) for (const double *bad = no_number; bad < no_number + NO_NUMBERS; bad++)
#define EACH_XY(bad) for (const mtm_xy *bad = no_xy; bad < no_xy + NO_XYS; bad++)

/** The walks, room by room. */
void walk_colour(void **state);
void walk_spectra(void **state);
void walk_filters(void **state);
void walk_fixtures(void **state);
void walk_rigs(void **state);
void walk_meters(void **state);
void walk_calibrations(void **state);
void walk_solve(void **state);
void walk_match(void **state);
void walk_shows(void **state);
void walk_cue_sheets(void **state);
void walk_demand(void **state);
void walk_pictures(void **state);
void walk_plan_pictures(void **state);
void walk_reports(void **state);
void walk_frames(void **state);
void walk_stream(void **state);

#endif
