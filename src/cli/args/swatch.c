/* SPDX-License-Identifier: MIT */
/* Swatch arguments: the white beside which swatches stand, and swatches before the rows of a table,
 * on terminals that show true colour. */
#include "cli/args/swatch.h"

#include "base/error.h"

#include <metamer/swatch.h>

#include <stdlib.h>
#include <string.h>

#include <unistd.h>

/* The white, two columns of the colour, a blank. */
#define COLUMNS 4

enum when { NEVER, ON_SCREEN, ALWAYS };

static const struct when_choice {
    const char *name;
    enum when when;
} when_choices[] = {{"never", NEVER}, {"screen", ON_SCREEN}, {"always", ALWAYS}, {0}};

#define OPTION_SWATCHES                                                                            \
    OPTION_CHOICE(                                                                                 \
        "swatches", "WHEN", struct when_choice, when_choices,                                      \
        "before each row a swatch of its light, beside the white: screen, on a terminal "          \
        "that shows true colour (COLORTERM is truecolor or 24bit), and none elsewhere; "           \
        "always, into a pipe or file too; never (the default). None where NO_COLOR is "            \
        "set. What sRGB cannot show is less saturated, and a corner is cut")
#define OPTION_SWATCH_WHITE(with_)                                                                 \
    OPTION_TEXT("swatch-white", "X,Y",                                                             \
                "the white beside which swatches stand, as the eye is adapted to it; D65 if not "  \
                "said",                                                                            \
                .with = (with_))

const struct option_spec swatch_options[] = {OPTION_SWATCHES, OPTION_SWATCH_WHITE("swatches"), {0}};
const struct option_spec row_swatch_options[] = {OPTION_SWATCHES, {0}};
const struct option_spec swatch_white_options[] = {OPTION_SWATCH_WHITE("swatches targets"), {0}};

mtm_result swatch_white_from_args(const struct args *args, mtm_xy *white, mtm_error *error)
{
    const mtm_xy any = {0.31, 0.33};
    mtm_swatch unused;
    double v[2] = {0, 0};

    if (args_has(args, "swatch-white")) {
        mtm_result result = args_numbers(args, "swatch-white", v, 2, error);
        if (result != MTM_OK)
            return result;
        result = mtm_swatches_from_xy(&any, 1, (mtm_xy){v[0], v[1]}, &unused, error);
        if (result != MTM_OK) {
            mtmi_error_prefix(error, "--swatch-white");
            return result == MTM_INVALID ? MTM_PARSE : result;
        }
    }
    *white = (mtm_xy){v[0], v[1]};
    return MTM_OK;
}

/* Common practice, no source: set, and not empty. */
static bool colour_is_unwanted(void)
{
    const char *said = getenv("NO_COLOR");

    return said != NULL && said[0] != '\0';
}

static bool says_true_colour(void)
{
    const char *said = getenv("COLORTERM");

    return said != NULL && (strcmp(said, "truecolor") == 0 || strcmp(said, "24bit") == 0);
}

static bool is_screen(FILE *out)
{
    int descriptor = fileno(out);

    return descriptor >= 0 && isatty(descriptor) == 1;
}

mtm_result swatches_from_args(const struct args *args, FILE *out, struct swatches *swatches,
                              mtm_error *error)
{
    const struct when_choice *choice = args_choice(args, "swatches");

    *swatches = (struct swatches){.on = false};
    mtm_result result = swatch_white_from_args(args, &swatches->white, error);
    if (result != MTM_OK || choice->when == NEVER || colour_is_unwanted())
        return result;
    swatches->on = choice->when == ALWAYS || (is_screen(out) && says_true_colour());
    return MTM_OK;
}

int swatch_columns(const struct swatches *swatches)
{
    return swatches->on ? COLUMNS : 0;
}

void swatch_put_none(const struct swatches *swatches, FILE *out)
{
    (void)fprintf(out, "%*s", swatch_columns(swatches), "");
}

void swatch_put(const struct swatches *swatches, mtm_xy xy, FILE *out)
{
    mtm_swatch swatch;

    if (!swatches->on || !mtm_xy_valid(xy) ||
        mtm_swatches_from_xy(&xy, 1, swatches->white, &swatch, NULL) != MTM_OK) {
        swatch_put_none(swatches, out);
        return;
    }
    /* SGR of ISO/IEC 8613-6, 13.1.8: 48;2 the ground, 38;2 the letter, in RGB */
    (void)fprintf(out, "\033[48;2;255;255;255m \033[48;2;%d;%d;%dm ", swatch.r, swatch.g, swatch.b);
    if (swatch.shown)
        (void)fputs(" ", out);
    else /* a triangle at the lower left, on the terminal's own ground */
        (void)fprintf(out, "\033[0m\033[38;2;%d;%d;%dm\u25e3", swatch.r, swatch.g, swatch.b);
    (void)fputs("\033[0m ", out);
}
