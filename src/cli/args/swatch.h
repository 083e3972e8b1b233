/* SPDX-License-Identifier: MIT */
/* Swatch arguments: the white beside which swatches stand, and swatches before the rows of a table,
 * on terminals that show true colour. */
#ifndef METAMER_CLI_ARGS_SWATCH_H
#define METAMER_CLI_ARGS_SWATCH_H

#include "cli/args/args.h"

#include <metamer/colour.h>

/** --swatches and --swatch-white, for tables of lights. */
extern const struct option_spec swatch_options[];
/** Each by itself, where a picture takes the second too. */
extern const struct option_spec row_swatch_options[];
extern const struct option_spec swatch_white_options[];

/** The white of --swatch-white; 0, 0 where it is not said. */
MTM_CHECKED mtm_result swatch_white_from_args(const struct args *args, mtm_xy *white,
                                              mtm_error *error);

/** Swatches before the rows of a table; zeroed for none. */
struct swatches {
    bool on;
    mtm_xy white;
};

/** What --swatches says, of a table that goes to out. */
MTM_CHECKED mtm_result swatches_from_args(const struct args *args, FILE *out,
                                          struct swatches *swatches, mtm_error *error);

/** Columns that a swatch takes, with the blank behind it; 0 where there are none. */
int swatch_columns(const struct swatches *swatches);
/** Prints the swatch of a light: the white, the colour, and a blank; its upper right corner is cut
 *  where sRGB cannot show the colour. Blanks for what is no light (y of 0, or NAN). Nothing where
 *  there are no swatches. */
void swatch_put(const struct swatches *swatches, mtm_xy xy, FILE *out);
/** The blanks in its place. */
void swatch_put_none(const struct swatches *swatches, FILE *out);

#endif
