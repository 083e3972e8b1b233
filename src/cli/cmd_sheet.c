/* SPDX-License-Identifier: MIT */
/* metamer sheet: the patch of a rig to take up the ladder, labels for its units, and forms for
 * readings. */
#include "cli/args/rig.h"

#include "base/error.h"
#include "base/number.h"

#include <metamer/rig.h>
#include <metamer/sheet.h>

#include <stdlib.h>
#include <string.h>

static const struct order {
    const char *name;
    mtm_sheet_type type;
} orders[] = {{"supply", MTM_SHEET_SUPPLY},     {"address", MTM_SHEET_ADDRESS},
              {"position", MTM_SHEET_POSITION}, {"label", MTM_SHEET_LABELS},
              {"reading", MTM_SHEET_READINGS},  {0}};

static const struct sheet_form {
    const char *name;
    mtm_sheet_format format;
} sheet_forms[] = {{"text", MTM_SHEET_TEXT}, {"csv", MTM_SHEET_CSV}, {0}};

/* "50,10": per cent of full, as shares. */
static mtm_result read_levels(const struct args *args, double *share, size_t *count,
                              mtm_error *error)
{
    const char *text = args_text(args, "codes", "");

    *count = 0;
    while (*text != '\0') {
        double percent = 0;
        size_t used = mtmi_number_read(text, &percent);
        const char *end = text + used;
        if (used == 0 || (*end != ',' && *end != '\0') || !(percent > 0 && percent < 100))
            return mtmi_fail(error, MTM_PARSE,
                             "--codes \"%.40s\": allowed are per cent above 0 and below 100, "
                             "separated by commas",
                             text);
        if (*count == MTM_SHEET_SHARES_MAX)
            return mtmi_fail(error, MTM_PARSE, "--codes: at most %d may stand there",
                             MTM_SHEET_SHARES_MAX);
        share[(*count)++] = percent / 100;
        text = *end == ',' ? end + 1 : end;
    }
    return MTM_OK;
}

static mtm_result check(const mtm_sheet_request *request, mtm_error *error)
{
    if (request->format == MTM_SHEET_CSV && request->type == MTM_SHEET_LABELS)
        return mtmi_fail(error, MTM_PARSE,
                         "--by label is text to be cut out; CSV goes by supply or address");
    if (request->page_lines != 0 && request->page_lines < MTM_SHEET_PAGE_LEAST)
        return mtmi_fail(error, MTM_PARSE, "--page %d: allowed is 0, or %d to %d lines",
                         request->page_lines, MTM_SHEET_PAGE_LEAST, MTM_SHEET_PAGE_MOST);
    return MTM_OK;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    double share[MTM_SHEET_SHARES_MAX];
    size_t *unit = NULL;
    mtm_sheet_request request = {
        .type = ((const struct order *)args_choice(args, "by"))->type,
        .format = ((const struct sheet_form *)args_choice(args, "format"))->format,
        .page_lines = (int)args_number(args, "page", MTM_SHEET_PAGE_LINES),
        .revision = args_text(args, "revision", NULL),
        .date = args_text(args, "date", NULL),
        .share = share,
    };
    mtm_rig *rig = NULL;
    char *text = NULL;
    size_t length = 0;

    mtm_result result = check(&request, error);
    if (result == MTM_OK)
        result = read_levels(args, share, &request.share_count, error);
    if (result == MTM_OK)
        result = mtm_rig_load(args->words[0], &rig, error);
    if (result == MTM_OK && args_has(args, "units"))
        result = units_from_args(args, rig, NULL, &unit, &request.unit_count, error);
    request.unit = unit;
    if (result == MTM_OK)
        result = mtm_sheet_write(rig, &request, &text, &length, error);
    if (result == MTM_OK)
        (void)fwrite(text, 1, length, to->out);
    free(text);
    free(unit);
    mtm_rig_free(rig);
    return result;
}

static const struct option_spec options[] = {
    OPTION_SOME_UNITS,
    OPTION_CHOICE("by", "ORDER", struct order, orders,
                  "supply and port (the default), universe and address, position, a label for each "
                  "unit, or a form for readings"),
    OPTION_TEXT("codes", "PERCENT,...",
                "with --by reading: codes below full at which each emitter is read too, as 50,10",
                .with = "by=reading"),
    OPTION_CHOICE("format", "NAME", struct sheet_form, sheet_forms,
                  "text of at most 80 columns, or CSV with one row for each unit or reading"),
    OPTION_WHOLE("page", "LINES", 0, MTM_SHEET_PAGE_MOST,
                 "lines of a page, from 20 on, or 0 for one page without an end; 60 by default",
                 .against = "format=csv"),
    OPTION_TEXT("revision", "TEXT", "in the heads; that of the rig's file without",
                .against = "format=csv"),
    OPTION_TEXT("date", "TEXT", "in the heads; that of the rig's file without",
                .against = "format=csv"),
    {0},
};

static const struct option_group groups[] = {{.title = "The sheet", .options = options}, {0}};

static const char *const examples[] = {
    "metamer sheet examples/hall.json",
    "metamer sheet examples/hall.json --by address --date \"4 May\"",
    "metamer sheet examples/hall.json --by label --units stage",
    "metamer sheet examples/hall.json --by reading --units stage --codes 50,10",
    "metamer sheet examples/hall.json --format csv",
    NULL,
};

const struct command cmd_sheet = {
    .name = "sheet",
    .summary = "print the patch, labels for the units, or a form for readings",
    .usage = "RIG",
    .details =
        "Prints what a technician takes up the ladder: for each unit a box to tick, its port, "
        "universe, start and end address, mode, bits and watts, its position and the remark on "
        "it; for each supply its circuit and breaker; and what all of it comes to. What has no "
        "place yet is shown as open; \"metamer layout\" gives it one.\n\n"
        "Pages end with a form feed, as printers take it, and each begins with the heads.\n\n"
        "A form for readings (--by reading) begins with the room's own light, then has all "
        "emitters "
        "of each unit together at full, and each alone: with these, colour and light of any mix "
        "at full are known. Readings at the lower codes of --codes, which teach curves, come "
        "last; what is to be lit far below full stays in doubt until they are taken. On paper it "
        "says which slots are sent, with a dimmer at full in all of them; as CSV it is what "
        "\"metamer trim\" reads "
        "once it is filled in, and rows that stay empty are passed over.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
