/* SPDX-License-Identifier: MIT */
/* metamer load: watts and amperes of a rig's ports, supplies and circuits. */
#include "cli/args/rig.h"
#include "cli/load/load_out.h"
#include "cli/show_notes.h"

#include "base/error.h"
#include "base/file.h"

#include <metamer/cue_demand.h>
#include <metamer/demand.h>
#include <metamer/show.h>
#include <metamer/white.h>

#include <stdlib.h>
#include <string.h>

/* What a run holds and frees. */
struct work {
    struct opened opened;
    mtm_show *show;
    mtm_cue_demand *cue_demand;
    mtm_demand_options options;
    double *watts;
    struct load_case *cases;
    size_t count;
    size_t worst;
};

static void work_free(struct work *work)
{
    for (size_t c = 0; c < work->count; c++)
        mtm_demand_free(work->cases[c].demand);
    free(work->cases);
    free(work->watts);
    mtm_cue_demand_free(work->cue_demand);
    mtm_show_free(work->show);
    opened_close(&work->opened);
}

static mtm_result add_case(struct work *work, const char *name, mtm_error *error)
{
    struct load_case *made = &work->cases[work->count];
    mtm_result result =
        mtm_demand_create(work->opened.rig, work->watts, &work->options, &made->demand, error);

    if (result != MTM_OK)
        return result;
    (void)snprintf(made->name, sizeof made->name, "%s", name);
    work->count++;
    return MTM_OK;
}

static mtm_result add_full(struct work *work, mtm_error *error)
{
    for (size_t i = 0; i < mtm_rig_unit_count(work->opened.rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(work->opened.rig, i);
        work->watts[i] = mtm_demand_full_w(unit) - mtm_fixture_standby_w(unit->fixture);
    }
    return add_case(work, "all full", error);
}

/* What fixtures and supplies take without light. */
static mtm_result add_dark(struct work *work, mtm_error *error)
{
    for (size_t i = 0; i < mtm_rig_unit_count(work->opened.rig); i++)
        work->watts[i] = 0;
    return add_case(work, "dark", error);
}

static mtm_result add_white(struct work *work, double cct_k, mtm_error *error)
{
    char name[32];
    mtm_xy white;
    mtm_result result = mtm_white_to_xy((mtm_white){cct_k, 0}, &white, error);

    if (result == MTM_OK)
        result = mtm_demand_white_w(work->opened.rig, white, work->watts, error);
    (void)snprintf(name, sizeof name, "white %.0f K", cct_k);
    return result == MTM_OK ? add_case(work, name, error) : result;
}

static mtm_result read_show(const char *path, struct work *work, mtm_error *error)
{
    char *text = NULL;
    char *folder = NULL;
    size_t length = 0;
    mtm_result result = mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, error);

    if (result == MTM_OK) {
        folder = mtmi_path_directory(path);
        result = folder == NULL ? mtmi_fail_memory(error)
                                : mtm_show_parse(text, length, path, folder, work->opened.rig,
                                                 &work->show, error);
    }
    free(folder);
    free(text);
    return result;
}

static mtm_result add_cue(struct work *work, size_t cue, mtm_error *error)
{
    const mtm_cue *of = mtm_show_cue(work->show, cue);
    struct load_case *made = &work->cases[work->count];
    double total_w = 0;
    mtm_result result =
        mtm_cue_demand_run(work->cue_demand, cue, false, &made->demand, &total_w, error);

    if (result != MTM_OK)
        return result;
    (void)snprintf(made->name, sizeof made->name, "%.6g %.60s", of->number, of->text);
    work->count++;
    return result;
}

static mtm_result add_cues(struct work *work, mtm_error *error)
{
    mtm_result result =
        mtm_cue_demand_create(work->show, NULL, &work->options, &work->cue_demand, error);

    for (size_t c = 0; result == MTM_OK && c < mtm_show_cue_count(work->show); c++)
        result = add_cue(work, c, error);
    return result;
}

static mtm_demand_options read_options(const struct args *args)
{
    return (mtm_demand_options){
        .voltage_v = args_number(args, "voltage", 0),
        .power_factor = args_number(args, "power-factor", 0),
        .efficiency = args_number(args, "efficiency", 0) / 100,
        .circuit_share = args_number(args, "reserve", 0) / 100,
        .supply_share = args_number(args, "rating", 0) / 100,
    };
}

static mtm_result compute(const struct args *args, struct work *work, mtm_error *error)
{
    const char *show = args_text(args, "show", NULL);
    mtm_result result = opened_from_args(args, &work->opened, error);

    if (result == MTM_OK)
        result = rig_restrict_from_args(args, work->opened.rig, error);
    if (result == MTM_OK && show != NULL)
        result = read_show(show, work, error);
    if (result != MTM_OK)
        return result;
    size_t cues = work->show != NULL ? mtm_show_cue_count(work->show) : 0;
    work->options = read_options(args);
    work->watts = calloc(mtm_rig_unit_count(work->opened.rig), sizeof *work->watts);
    work->cases = calloc(cues + 3, sizeof *work->cases);
    if (work->watts == NULL || work->cases == NULL)
        return mtmi_fail_memory(error);
    result = add_full(work, error);
    if (result == MTM_OK)
        result = add_white(work, args_number(args, "white", 4000), error);
    work->worst = work->count;
    if (result == MTM_OK)
        result = add_dark(work, error);
    if (result == MTM_OK && work->show != NULL)
        result = add_cues(work, error);
    return result;
}

static mtm_result render(const struct args *args, const struct work *work,
                         const struct picture_request *picture, struct outlet *to, mtm_error *error)
{
    mtm_result result = MTM_OK;
    struct load_view view = {.rig = work->opened.rig,
                             .some = args_has(args, "units"),
                             .options = work->options,
                             .cases = work->cases,
                             .count = work->count,
                             .worst = work->worst};

    for (size_t i = 0; i < mtm_rig_unit_count(work->opened.rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(work->opened.rig, i);
        view.unplugged += unit->supply < 0;
        view.unplugged_w += unit->supply < 0 ? mtm_demand_full_w(unit) : 0;
    }
    for (size_t c = 0; c < work->count; c++) {
        if (mtm_demand_over_count(work->cases[c].demand) > 0)
            to->status = EXIT_MISSED;
    }
    if (picture->wanted)
        result = load_put_picture(args, picture, &view, to, error);
    return result == MTM_OK && !picture->alone ? write_report(args, &view, to->out, error) : result;
}

/* What every supply and circuit states itself, or nothing has, no option changes. */
static void say_idle(const struct args *args, const mtm_rig *rig, FILE *err)
{
    struct {
        const char *option, *why;
        bool used;
    } rows[] = {
        {.option = "voltage", .why = "circuit states its own, and feeds every supply"},
        {.option = "power-factor", .why = "supply states its own"},
        {.option = "efficiency", .why = "supply states its own"},
    };
    size_t supplies = mtm_rig_supply_count(rig);
    size_t circuits = mtm_rig_circuit_count(rig);

    for (size_t i = 0; i < supplies; i++) {
        const mtm_supply *supply = mtm_rig_supply(rig, i);
        rows[0].used = rows[0].used || supply->circuit < 0;
        rows[1].used = rows[1].used || !(supply->power_factor > 0);
        rows[2].used = rows[2].used || !(supply->efficiency > 0);
    }
    for (size_t i = 0; i < circuits; i++)
        rows[0].used = rows[0].used || !(mtm_rig_circuit(rig, i)->voltage_v > 0);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (args_has(args, rows[i].option) && !rows[i].used)
            (void)fprintf(err, "metamer load: --%s changes nothing: %s%s\n", rows[i].option,
                          supplies > 0 ? "each " : "the rig has no supply",
                          supplies > 0 ? rows[i].why : "");
    }
    if (args_has(args, "rating") && supplies == 0)
        (void)fprintf(err, "metamer load: --rating changes nothing: the rig has no supply\n");
    if (args_has(args, "reserve") && circuits == 0)
        (void)fprintf(err, "metamer load: --reserve changes nothing: the rig has no circuit\n");
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct work work = {0};
    struct picture_request picture;
    mtm_result result = picture_from_args(args, &picture, error);

    if (result == MTM_OK)
        result = compute(args, &work, error);

    if (result == MTM_OK)
        say_idle(args, work.opened.rig, to->err);
    if (result == MTM_OK)
        result = render(args, &work, &picture, to, error);
    if (result == MTM_OK && work.show != NULL)
        result = show_note_goals(work.show, NULL, "metamer load: ", to->err, error);
    work_free(&work);
    return result;
}

static const struct option_spec case_options[] = {
    OPTION_UNITS_OF(", as if no other were lit", .against = "show"),
    OPTION_TEXT("show", "SHOW", "a show file whose cues are judged too"),
    OPTION_CALIBRATION("; it takes the place of one that the show names"),
    OPTION_NUMBER("white", "KELVIN", 1000, 25000,
                  "the white of the second worst case; 4000 by default"),
    {0},
};

static const struct option_spec rating_options[] = {
    OPTION_NUMBER("voltage", "VOLTS", 1, 1000, "of circuits that state none"),
    OPTION_NUMBER("power-factor", "PF", 0.1, 1, "of supplies that state none; 0.9 by default"),
    OPTION_NUMBER("efficiency", "PERCENT", 10, 100, "of supplies that state none; 85 by default"),
    OPTION_NUMBER(
        "reserve", "PERCENT", 1, 100,
        "part of a circuit's rating that may be used; 80 by default, which is common practice "
        "for loads that stay on"),
    OPTION_NUMBER("rating", "PERCENT", 1, 100,
                  "part of a port's and a supply's rating that may be used; 100 by default"),
    OPTION_FORMAT(load_writers, "how the loads are written"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The cases", .options = case_options},
    {.title = "How they are judged and written", .options = rating_options},
    GROUP_PICTURE,
    {0},
};

static const char *const examples[] = {
    "metamer load examples/hall.json",
    "metamer load examples/hall.json --voltage 230 --power-factor 0.95",
    "metamer load examples/hall.json --show examples/evening.json",
    "metamer load examples/hall.json --show examples/evening.json --picture load.svg",
    "metamer load examples/hall.json --white 3000 --rating 80 --format csv",
    NULL,
};

const struct command cmd_load = {
    .name = "load",
    .summary = "sum watts of ports, supplies, circuits and the rig; name overloads",
    .usage = "RIG",
    .details =
        "Sums watts over ports, supplies and circuits for the worst cases: every emitter full, "
        "and every unit at its most light on a white of a stated temperature, both within the "
        "fixtures' "
        "limits; with --show for each cue at its fullest, on its way or when it has run; and for "
        "the rig while it is dark. What a supply draws from the mains is what it gives divided by "
        "its efficiency, and its standby_w; VA are that divided by its power factor, amperes the "
        "VA divided by the voltage. The standby_w of a fixture counts in every case. Units on no "
        "supply count in the whole rig, as if a supply that states nothing fed them.\n\n"
        "Exits with 1 if a port, a supply or a circuit carries more than it may.\n\n"
        "These are sums of what the files state. The ratings on the equipment, the local "
        "electrical code and the people licensed to apply it decide what may be plugged in.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
