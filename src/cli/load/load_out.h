/* SPDX-License-Identifier: MIT */
/* Load output: loads of a rig in several cases, as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_LOAD_LOAD_OUT_H
#define METAMER_CLI_LOAD_LOAD_OUT_H

#include "cli/args/picture.h"
#include "cli/out/writer.h"

#include <metamer/demand.h>

/** One case: all full, a white, a cue. */
struct load_case {
    char name[80];
    mtm_demand *demand;
};

/** Loads to be written. */
struct load_view {
    const mtm_rig *rig;
    mtm_demand_options options; /**< as asked for; zeros are defaults */
    const struct load_case *cases;
    size_t count;
    /** of them, those at the front that are worst cases; then the rig while dark; then cues */
    size_t worst;
    bool some;          /**< of the rig's units only */
    size_t unplugged;   /**< units on no supply */
    double unplugged_w; /**< what they take, all full */
};

/** Whether the amperes of a row are known. */
bool load_knows_amperes(const mtm_demand_row *row);
/** Whether what a row draws rests on an efficiency that nobody stated; rests_on_va: or on such a
 *  power factor. */
bool load_row_assumed(const struct load_view *view, const mtm_demand_row *row, bool rests_on_va);
/** The same of the whole rig. */
bool load_whole_assumed(const struct load_view *view, bool rests_on_va);
/** A value to as many digits as an assumption of two digits allows. */
double load_digits(double value);
/** The decimals that show these two digits. */
int load_decimals(double value);
/** A row's value in the digits that it has. */
double load_shown(const struct load_view *view, const mtm_demand_row *row, double value,
                  bool rests_on_va);
/** The same of the whole rig. */
double load_whole_digits(const struct load_view *view, double value, bool rests_on_va);

cJSON *load_write_json(const void *data);
void load_write_csv(const void *data, FILE *out);

/** Draws all full, the white, and the fullest of the cues, to where --picture says. */
MTM_CHECKED mtm_result load_put_picture(const struct args *args,
                                        const struct picture_request *request,
                                        const struct load_view *view, struct outlet *to,
                                        mtm_error *error);

/** table, json, csv; ends with a NULL name. */
extern const struct writer load_writers[];

#endif
