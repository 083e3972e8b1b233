/* SPDX-License-Identifier: MIT */
/* metamer sheet: the patch of a rig to take up the ladder, and labels for its units. */
#include "cli/args/rig.h"

#include "base/error.h"

#include <metamer/rig.h>
#include <metamer/sheet.h>

#include <stdlib.h>
#include <string.h>

static const struct order {
    const char *name;
    mtm_sheet_type type;
} orders[] = {
    {"supply", MTM_SHEET_SUPPLY}, {"address", MTM_SHEET_ADDRESS}, {"label", MTM_SHEET_LABELS}, {0}};

static const struct sheet_form {
    const char *name;
    mtm_sheet_format format;
} sheet_forms[] = {{"text", MTM_SHEET_TEXT}, {"csv", MTM_SHEET_CSV}, {0}};

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    const struct order *order = args_choice(args, "by");
    const struct sheet_form *form = args_choice(args, "format");
    mtm_rig *rig = NULL;
    char *text = NULL;
    size_t length = 0;
    mtm_result result = MTM_OK;

    if (form->format == MTM_SHEET_CSV && order->type == MTM_SHEET_LABELS)
        result = mtmi_fail(error, MTM_PARSE,
                           "--by label is text to be cut out; CSV goes by supply or address");
    if (result == MTM_OK)
        result = mtm_rig_load(args->words[0], &rig, error);
    if (result == MTM_OK)
        result = rig_restrict_from_args(args, rig, error);
    if (result == MTM_OK)
        result = mtm_sheet_write(rig, order->type, form->format, &text, &length, error);
    if (result == MTM_OK)
        (void)fwrite(text, 1, length, to->out);
    free(text);
    mtm_rig_free(rig);
    return result;
}

static const struct option_spec options[] = {
    OPTION_SOME_UNITS,
    OPTION_CHOICE("by", "ORDER", struct order, orders,
                  "supply and port (the default), universe and address, or a label for each unit"),
    OPTION_CHOICE("format", "NAME", struct sheet_form, sheet_forms,
                  "text of at most 80 columns, or CSV with one row for each unit"),
    {0},
};

static const struct option_group groups[] = {{.title = "The sheet", .options = options}, {0}};

static const char *const examples[] = {
    "metamer sheet examples/hall.json",
    "metamer sheet examples/hall.json --by address",
    "metamer sheet examples/hall.json --by label",
    "metamer sheet examples/hall.json --format csv",
    NULL,
};

const struct command cmd_sheet = {
    .name = "sheet",
    .summary = "print the patch by supply or address, or labels for the units",
    .usage = "RIG",
    .details =
        "Prints what a technician takes up the ladder: for each unit a box to tick, its port, "
        "universe, start and end address, mode, bits and watts. What has no place yet is shown as "
        "open; \"metamer layout\" gives it one.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
