/* SPDX-License-Identifier: MIT */
/* metamer layout: gives the units of a rig supplies, ports, universes and addresses. */
#include "cli/args/args.h"
#include "cli/layout/layout_out.h"

#include "base/backup.h"
#include "base/error.h"
#include "base/file.h"
#include "base/number.h"

#include <metamer/layout.h>
#include <metamer/rig.h>

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* What a run holds and frees. */
struct work {
    mtm_rig *rig;
    mtm_place *was, *place;
    size_t supplies_was;
    char *backup;
    mtm_layout_report report;
};

/* A whole number from least to most at the end of "WHAT/NUMBER"; *length is that of WHAT. */
static bool split_place(const char *text, int least, int most, size_t *length, int *number)
{
    const char *slash = strrchr(text, '/');
    double value = 0;

    if (slash == NULL || slash == text || !mtmi_number_whole(slash + 1, &value) ||
        !(value >= least && value <= most) || value != (int)value)
        return false;
    *length = (size_t)(slash - text);
    *number = (int)value;
    return true;
}

static mtm_result read_to(const char *text, mtm_place *wanted, mtm_error *error)
{
    char universe[16] = "";
    double value = 0;
    size_t length = 0;

    if (split_place(text, 1, MTM_ADDRESS_MAX, &length, &wanted->address) &&
        length < sizeof universe) {
        memcpy(universe, text, length);
        if (mtmi_number_whole(universe, &value) && value >= 1 && value <= MTM_UNIVERSE_MAX &&
            value == (int)value) {
            wanted->universe = (int)value;
            return MTM_OK;
        }
    }
    return mtmi_fail(error, MTM_PARSE,
                     "--to: found \"%.60s\", allowed is UNIVERSE/ADDRESS, 1/1 to %d/%d", text,
                     MTM_UNIVERSE_MAX, MTM_ADDRESS_MAX);
}

/* "SUPPLY/PORT" or "SUPPLY" alone. */
static mtm_result read_port(const char *text, const mtm_rig *rig, mtm_place *wanted,
                            mtm_error *error)
{
    char name[MTM_ADDRESS_MAX];
    size_t length = strlen(text);
    size_t index = 0;

    mtm_result result = mtm_rig_find_supply(rig, text, &index, NULL);
    if (result != MTM_OK && split_place(text, 1, MTM_PORTS_MAX, &length, &wanted->port)) {
        length = length < sizeof name ? length : sizeof name - 1;
        memcpy(name, text, length);
        name[length] = '\0';
        result = mtm_rig_find_supply(rig, name, &index, error);
    } else if (result != MTM_OK) {
        result = mtm_rig_find_supply(rig, text, &index, error);
    }
    if (result != MTM_OK)
        mtmi_error_prefix(error, "--port");
    wanted->supply = (int)index;
    return result;
}

static mtm_result move(const struct args *args, struct work *work, mtm_error *error)
{
    const char *name = args_text(args, "move", NULL);
    const char *to = args_text(args, "to", NULL);
    const char *port = args_text(args, "port", NULL);
    mtm_place wanted = {.supply = -1};
    size_t unit = 0;

    if (name == NULL)
        return MTM_OK;
    mtm_result result = mtm_rig_find_unit(work->rig, name, &unit, error);
    if (result == MTM_OK && to != NULL)
        result = read_to(to, &wanted, error);
    if (result == MTM_OK && port != NULL)
        result = read_port(port, work->rig, &wanted, error);
    if (result == MTM_OK)
        result = mtm_layout_move(work->rig, work->place, unit, wanted, error);
    return result;
}

/* Opens addresses (or ports) of all units, of a supply's or of one unit. */
static mtm_result open_places(struct work *work, const char *option, const char *what,
                              mtm_error *error)
{
    size_t supply = 0;
    size_t unit = SIZE_MAX;
    bool all = strcmp(what, "all") == 0;
    bool by_supply = !all && mtm_rig_find_supply(work->rig, what, &supply, NULL) == MTM_OK;

    if (!all && !by_supply) {
        mtm_result result = mtm_rig_find_unit(work->rig, what, &unit, error);
        if (result != MTM_OK) {
            mtmi_error_prefix(error, option);
            return result;
        }
    }
    for (size_t i = 0; i < mtm_rig_unit_count(work->rig); i++) {
        mtm_place *place = &work->place[i];
        if (!all && i != unit && !(by_supply && work->was[i].supply == (int)supply))
            continue;
        if (strcmp(option, "--renumber") == 0) {
            place->universe = place->address = 0;
        } else {
            place->supply = -1;
            place->port = 0;
        }
    }
    return MTM_OK;
}

/* A number that stands behind the last colon of text, which it cuts off. */
static bool cut_number(char *text, double *value)
{
    char *colon = strrchr(text, ':');

    if (colon == NULL || !mtmi_number_whole(colon + 1, value))
        return false;
    *colon = '\0';
    return true;
}

/* "NAME:PORTS:PORT_W:TOTAL_W", or NAME alone for ratings like those of the last supply. */
static mtm_result add_supply(struct work *work, const char *text, mtm_error *error)
{
    char name[MTM_ADDRESS_MAX];
    double number[3];
    size_t count = mtm_rig_supply_count(work->rig);
    mtm_supply supply = {.circuit = -1};

    (void)snprintf(name, sizeof name, "%s", text);
    bool rated = cut_number(name, &number[2]) && cut_number(name, &number[1]) &&
                 cut_number(name, &number[0]) && number[0] >= 1 && number[0] <= MTM_PORTS_MAX;
    if (rated) {
        supply.ports = (int)number[0];
        supply.port_w = number[1];
        supply.total_w = number[2];
        rated = supply.ports == number[0];
    } else if (strchr(text, ':') == NULL && count > 0) {
        supply = *mtm_rig_supply(work->rig, count - 1);
        rated = true;
    }
    if (!rated)
        return mtmi_fail(error, MTM_PARSE,
                         "--add-supply: found \"%.60s\", allowed is NAME:PORTS:PORT_W:TOTAL_W as "
                         "in S3:12:60:600%s",
                         text, count > 0 ? ", or NAME alone for another like the last one" : "");
    supply.name = name;
    mtm_result result = mtm_rig_add_supply(work->rig, &supply, error);
    if (result != MTM_OK)
        mtmi_error_prefix(error, "--add-supply");
    return result;
}

static mtm_result prepare(const struct args *args, struct work *work, mtm_error *error)
{
    const char *text;
    mtm_result result = mtm_rig_load(args->words[0], &work->rig, error);

    if (result != MTM_OK)
        return result;
    size_t count = mtm_rig_unit_count(work->rig);
    work->was = calloc(count, sizeof *work->was);
    work->place = calloc(count, sizeof *work->place);
    if (work->was == NULL || work->place == NULL)
        return mtmi_fail_memory(error);
    mtm_layout_places(work->rig, work->was);
    mtm_layout_places(work->rig, work->place);
    work->supplies_was = mtm_rig_supply_count(work->rig);
    for (size_t i = 0; result == MTM_OK && (text = args_nth(args, "add-supply", i)) != NULL; i++)
        result = add_supply(work, text, error);
    for (size_t i = 0; result == MTM_OK && (text = args_nth(args, "renumber", i)) != NULL; i++)
        result = open_places(work, "--renumber", text, error);
    for (size_t i = 0; result == MTM_OK && (text = args_nth(args, "replug", i)) != NULL; i++)
        result = open_places(work, "--replug", text, error);
    if (result == MTM_OK)
        result = move(args, work, error);
    return result;
}

static struct layout_view view_of(const struct work *work)
{
    return (struct layout_view){.rig = work->rig,
                                .was = work->was,
                                .place = work->place,
                                .supplies_was = work->supplies_was,
                                .report = work->report};
}

/* Writes the rig beside or in place; in place only where something has changed. */
static mtm_result save(const struct args *args, struct work *work, struct layout_view *view,
                       mtm_error *error)
{
    const char *path = args_text(args, "out", NULL);
    bool in_place = path == NULL && args_has(args, "write") && !layout_unchanged(view);

    if (path == NULL && !in_place)
        return MTM_OK;
    if (!in_place && access(path, F_OK) == 0)
        return mtmi_fail(error, MTM_PARSE, "--out: %s is there already and is not overwritten",
                         path);
    mtm_result result = mtm_layout_apply(work->rig, work->place, error);
    if (result == MTM_OK && in_place)
        result = mtmi_file_back_up(args->words[0], &work->backup, error);
    if (result == MTM_OK)
        result = mtm_rig_save(work->rig, in_place ? args->words[0] : path, error);
    if (result == MTM_OK) {
        view->written = in_place ? args->words[0] : path;
        view->backup = work->backup;
    }
    return result;
}

static mtm_result lay_out(const struct args *args, struct work *work, struct outlet *to,
                          mtm_error *error)
{
    struct picture_request picture;
    mtm_layout_options options = {.first_universe = (int)args_number(args, "universe", 1),
                                  .supply_share = args_number(args, "rating", 100) / 100};
    mtm_result result = picture_from_args(args, &picture, error);

    if (result == MTM_OK)
        result = prepare(args, work, error);
    if (result == MTM_OK)
        result = mtm_layout_fill(work->rig, &options, work->place, &work->report, error);
    if (result != MTM_OK)
        return result;
    struct layout_view view = view_of(work);
    if (picture.wanted) /* first: where it cannot be drawn, nothing else is written either */
        result = layout_put_picture(args, &picture, &view, to, error);
    if (result == MTM_OK)
        result = save(args, work, &view, error);
    return result == MTM_OK && !picture.alone ? write_report(args, &view, to->out, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct work work = {0};
    mtm_result result = lay_out(args, &work, to, error);

    free(work.backup);
    free(work.place);
    free(work.was);
    mtm_rig_free(work.rig);
    return result;
}

static const struct option_spec change_options[] = {
    OPTION_TEXT("move", "UNIT", "move one unit", .with = "to port"),
    OPTION_TEXT("to", "UNIVERSE/ADDRESS",
                "where its slots begin; units in the way get other addresses", .with = "move"),
    OPTION_TEXT("port", "SUPPLY/PORT", "where it is plugged; SUPPLY alone leaves the port open",
                .with = "move"),
    OPTION_TEXT("renumber", "WHAT",
                "forget the addresses of all units (all), of a supply's or of one unit",
                .repeats = true),
    OPTION_TEXT("replug", "WHAT",
                "forget the ports of all units (all), of a supply's or of one unit",
                .repeats = true),
    OPTION_TEXT("add-supply", "NAME:PORTS:PORT_W:TOTAL_W",
                "add a supply; NAME alone adds another like the last one", .repeats = true),
    {0},
};

static const struct option_spec layout_options[] = {
    OPTION_WHOLE("universe", "N", 1, MTM_UNIVERSE_MAX,
                 "lowest universe to be taken into use; 1 by default"),
    OPTION_NUMBER("rating", "PERCENT", 1, 100,
                  "part of each port's and supply's rating to be used; 100 by default"),
    {0},
};

static const struct option_spec result_options[] = {
    OPTION_FLAG("write", "change RIG; the file as it was is kept as RIG.bak", .against = "out"),
    OPTION_TEXT("out", "FILE", "write the rig to another file; paths in it stay as they are"),
    OPTION_FORMAT(layout_writers, "how the layout is shown"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "Changes", .options = change_options},
    {.title = "The layout", .options = layout_options},
    {.title = "The result", .options = result_options},
    GROUP_PICTURE,
    {0},
};

static const char *const examples[] = {
    "metamer layout examples/foyer.json",
    "metamer layout examples/hall.json --renumber all",
    "metamer layout examples/foyer.json --picture foyer.svg",
    "metamer layout examples/hall.json --move apron-wash --to 2/101 --port hall/4",
    "metamer layout examples/hall.json --add-supply balcony:6:100:400 --format json",
    NULL,
};

const struct command cmd_layout = {
    .name = "layout",
    .summary = "give the units of a rig supplies, ports, universes and addresses",
    .usage = "RIG",
    .details =
        "Gives every unit a place whose place the rig file leaves open. Ports: no port and no "
        "supply over its rating, as few supplies as can be found, loads even. Addresses: no gap, "
        "no overlap, no unit over the end of a universe, as few universes as can be found, units "
        "of one supply together. What the file states stays as it is. A unit that \"follows\" "
        "another has that one's slots.\n\n"
        "For small rigs every way is tried and the answer is the best there is; for others the "
        "report says how far from a bound it is. Watts are those of all emitters full, within the "
        "fixture's limit.\n\n"
        "Nothing is written without --write or --out. The report lists what must be addressed "
        "and plugged by hand.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
