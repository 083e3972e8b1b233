/* SPDX-License-Identifier: MIT */
/* Load output: loads of a rig in several cases, as a table, as JSON or as CSV. */
#include "cli/load/load_out.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include <math.h>
#include <string.h>

/* "circuit C1", "stage in all", "stage/1": before, name and after. */
struct row_name {
    const char *before, *name;
    char after[16];
};

static struct row_name name_of(const mtm_rig *rig, const mtm_demand_row *row)
{
    struct row_name made = {.before = ""};

    if (row->type == MTM_DEMAND_CIRCUIT) {
        made.before = "circuit ";
        made.name = mtm_rig_circuit(rig, row->index)->name;
        return made;
    }
    made.name = mtm_rig_supply(rig, row->index)->name;
    if (row->type == MTM_DEMAND_SUPPLY)
        (void)snprintf(made.after, sizeof made.after, " in all");
    else
        (void)snprintf(made.after, sizeof made.after, "/%d", row->port);
    return made;
}

/* At most width columns, padded to them where that is asked for; a long name is cut, never the
 * port behind it. */
static void put_name(const mtm_rig *rig, const mtm_demand_row *row, int width, bool padded,
                     FILE *out)
{
    struct row_name made = name_of(rig, row);
    int room = width - text_width(made.before) - text_width(made.after);
    int taken = text_width(made.name) < room ? text_width(made.name) : room;

    (void)fputs(made.before, out);
    text_put(made.name, taken, out);
    (void)fprintf(out, "%s%*s", made.after, padded ? room - taken : 0, "");
}

/* One case's cell, "   90.0 W   75 % OVER"; the last one of a line ends with its last letter. */
static void put_cell(const struct load_view *view, const mtm_demand_row *row, bool last, FILE *out)
{
    const char *mark = row->over ? " OVER" : last ? "" : "     ";

    if (row->type != MTM_DEMAND_CIRCUIT)
        (void)fprintf(out, " %7.1f W %4.0f %%%s", row->watts, row->part * 100, mark);
    else if (load_knows_amperes(row))
        (void)fprintf(out, " %7.*f A %4.0f %%%s",
                      load_row_assumed(view, row, true) ? load_decimals(row->amperes) : 2,
                      load_shown(view, row, row->amperes, true), row->part * 100, mark);
    else
        (void)fprintf(out, " %7.1f W    ? %%%s", row->watts, mark);
}

/* One case's cell of what is drawn, "     840 W    930 VA". */
static void put_mains(double watts, bool watts_assumed, double va, bool va_assumed, bool last,
                      FILE *out)
{
    (void)fprintf(out, " %7.*f W %6.*f VA%s", watts_assumed ? load_decimals(watts) : 1,
                  watts_assumed ? load_digits(watts) : watts, va_assumed ? load_decimals(va) : 1,
                  va_assumed ? load_digits(va) : va, last ? "" : "  ");
}

static void put_drawn(const struct load_view *view, size_t row, FILE *out)
{
    (void)fprintf(out, "  %-36s", "  draws from the mains");
    for (size_t c = 0; c < view->worst; c++) {
        const mtm_demand_row *at = mtm_demand_row_at(view->cases[c].demand, row);
        put_mains(at->drawn_w, load_row_assumed(view, at, false), at->drawn_va,
                  load_row_assumed(view, at, true), c + 1 == view->worst, out);
    }
    (void)fputc('\n', out);
}

/* Amperes of a supply; those of a circuit stand beside its rating. */
static void put_amperes(const struct load_view *view, size_t row, FILE *out)
{
    if (mtm_demand_row_at(view->cases[0].demand, row)->amperes == 0)
        return;
    (void)fprintf(out, "  %-36s", "  that is");
    for (size_t c = 0; c < view->worst; c++) {
        const mtm_demand_row *at = mtm_demand_row_at(view->cases[c].demand, row);
        (void)fprintf(
            out, " %7.*f A%s", load_row_assumed(view, at, true) ? load_decimals(at->amperes) : 2,
            load_shown(view, at, at->amperes, true), c + 1 == view->worst ? "\n" : "            ");
    }
}

/* What the reserve leaves of a circuit's rating, where it acts. */
static void put_reserve(const struct load_view *view, const mtm_demand_row *row, FILE *out)
{
    const mtm_circuit *circuit = mtm_rig_circuit(view->rig, row->index);

    (void)fprintf(out, "    may carry %.4g A, %.4g %% of its %.5g A", row->rated * row->share,
                  row->share * 100, row->rated);
    if (circuit->breaker != NULL) {
        (void)fputs("; breaker ", out);
        text_put_cut(circuit->breaker, 30, out);
    }
    (void)fputc('\n', out);
}

static void put_whole(const struct load_view *view, FILE *out)
{
    const bool watts = load_whole_assumed(view, false);
    const bool va = load_whole_assumed(view, true);
    const mtm_demand_total dark = mtm_demand_whole(view->cases[view->worst].demand);

    (void)fprintf(out, "  %-36s", view->some ? "these units in all" : "the whole rig");
    for (size_t c = 0; c < view->worst; c++)
        (void)fprintf(out, " %7.1f W%s", mtm_demand_whole(view->cases[c].demand).watts,
                      c + 1 < view->worst ? "            " : "");
    (void)fprintf(out, "\n  %-36s", "  draws from the mains");
    for (size_t c = 0; c < view->worst; c++) {
        const mtm_demand_total total = mtm_demand_whole(view->cases[c].demand);
        put_mains(total.drawn_w, watts, total.drawn_va, va, c + 1 == view->worst, out);
    }
    (void)fprintf(out, "\n  %-36s", "  and while it is dark (standby)");
    if (dark.drawn_w > 0)
        put_mains(dark.drawn_w, watts, dark.drawn_va, va, true, out);
    else
        (void)fputs(" not stated: no file has standby_w", out);
    (void)fputc('\n', out);
}

static void put_worst(const struct load_view *view, FILE *out)
{
    (void)fprintf(out, "  %-25s %10s", "", "rated");
    for (size_t c = 0; c < view->worst; c++)
        (void)fprintf(out, " %16s%s", view->cases[c].name, c + 1 < view->worst ? "    " : "");
    (void)fputc('\n', out);
    for (size_t r = 0; r < mtm_demand_row_count(view->cases[0].demand); r++) {
        const mtm_demand_row *row = mtm_demand_row_at(view->cases[0].demand, r);
        (void)fputs("  ", out);
        put_name(view->rig, row, 25, true, out);
        (void)fprintf(out, " %8.5g %c", row->rated, row->type == MTM_DEMAND_CIRCUIT ? 'A' : 'W');
        for (size_t c = 0; c < view->worst; c++)
            put_cell(view, mtm_demand_row_at(view->cases[c].demand, r), c + 1 == view->worst, out);
        (void)fputc('\n', out);
        if (row->type != MTM_DEMAND_PORT)
            put_drawn(view, r, out);
        if (row->type == MTM_DEMAND_SUPPLY)
            put_amperes(view, r, out);
        if (row->type == MTM_DEMAND_CIRCUIT)
            put_reserve(view, row, out);
    }
    put_whole(view, out);
}

/* The row of a case that is fullest, an overloaded one before all others; SIZE_MAX for none. */
static size_t fullest(const mtm_demand *demand)
{
    size_t best = SIZE_MAX;

    for (size_t r = 0; r < mtm_demand_row_count(demand); r++) {
        const mtm_demand_row *row = mtm_demand_row_at(demand, r);
        const mtm_demand_row *other = best != SIZE_MAX ? mtm_demand_row_at(demand, best) : row;
        if (best == SIZE_MAX || row->over > other->over ||
            (row->over == other->over && row->part > other->part))
            best = r;
    }
    return best;
}

static void put_cues(const struct load_view *view, FILE *out)
{
    if (view->count > view->worst + 1)
        (void)fprintf(out, "\n  %-36s %9s  fullest\n", "cue, at its fullest", "watts");
    for (size_t c = view->worst + 1; c < view->count; c++) {
        const struct load_case *at = &view->cases[c];
        size_t r = fullest(at->demand);
        (void)fputs("  ", out);
        text_put(at->name, 36, out);
        (void)fprintf(out, " %7.1f W  ", mtm_demand_whole(at->demand).watts);
        if (r != SIZE_MAX) {
            const mtm_demand_row *row = mtm_demand_row_at(at->demand, r);
            (void)fprintf(out, "%3.0f %% %s", row->part * 100, row->over ? "OVER " : "");
            put_name(view->rig, row, 18, false, out);
        } else {
            (void)fputc('-', out);
        }
        (void)fputc('\n', out);
    }
}

/* Each overload in words, so that nobody has to search for it. */
static void put_overloads(const struct load_view *view, FILE *out)
{
    size_t count = 0;

    for (size_t c = 0; c < view->count; c++) {
        const mtm_demand *demand = view->cases[c].demand;
        for (size_t r = 0; r < mtm_demand_row_count(demand); r++) {
            const mtm_demand_row *row = mtm_demand_row_at(demand, r);
            bool in_a = row->type == MTM_DEMAND_CIRCUIT;
            if (!row->over)
                continue;
            if (count++ == 0)
                (void)fputs("\nOverloaded\n", out);
            if (count > 100)
                continue;
            (void)fputs("  ", out);
            text_put_cut(view->cases[c].name, 26, out);
            (void)fputs(": ", out);
            put_name(view->rig, row, 18, false, out);
            (void)fprintf(out, " carries %.*f %s, may carry %.6g %s\n",
                          !in_a                               ? 1
                          : load_row_assumed(view, row, true) ? load_decimals(row->amperes)
                                                              : 2,
                          in_a ? load_shown(view, row, row->amperes, true) : row->watts,
                          in_a ? "A" : "W", row->rated * row->share, in_a ? "A" : "W");
        }
    }
    if (count > 100)
        (void)fprintf(out, "  and %zu more\n", count - 100);
}

static bool any_unstated(const struct load_view *view, bool efficiency)
{
    for (size_t s = 0; s < mtm_rig_supply_count(view->rig); s++) {
        const mtm_supply *supply = mtm_rig_supply(view->rig, s);
        if ((efficiency ? supply->efficiency : supply->power_factor) == 0)
            return true;
    }
    return false;
}

static bool any_voltage_missing(const struct load_view *view)
{
    bool missing = mtm_rig_circuit_count(view->rig) == 0;

    for (size_t i = 0; i < mtm_rig_circuit_count(view->rig); i++)
        missing = missing || mtm_rig_circuit(view->rig, i)->voltage_v == 0;
    return missing && view->options.voltage_v == 0;
}

static void put_notes(const struct load_view *view, FILE *out)
{
    const mtm_demand_options *options = &view->options;

    (void)fputc('\n', out);
    if (view->unplugged > 0)
        (void)fprintf(out, "%zu unit%s on no supply, up to %.6g W, counted in the %s only\n",
                      view->unplugged, view->unplugged == 1 ? " is" : "s are", view->unplugged_w,
                      view->some ? "last line" : "whole rig");
    if (any_unstated(view, true) && options->efficiency == 0)
        (void)fprintf(
            out,
            "efficiency of supplies that state none: %.0f %% assumed, so what is drawn is "
            "rounded to two digits\n",
            MTM_DEMAND_EFFICIENCY * 100);
    if (any_unstated(view, false) && options->power_factor == 0)
        (void)fprintf(out, "power factor of supplies that state none: %.2g assumed\n",
                      MTM_DEMAND_POWER_FACTOR);
    if (options->voltage_v > 0)
        (void)fprintf(out, "amperes at %.6g V where the rig states no voltage\n",
                      options->voltage_v);
    if (any_voltage_missing(view))
        (void)fprintf(out, "no voltage is stated: --voltage gives amperes\n");
    if (mtm_rig_circuit_count(view->rig) > 0)
        (void)fprintf(out, "the reserve on circuits is for loads that stay on; 80 %% of a rating "
                           "is common practice\n");
    (void)fprintf(out, "caution: these are sums of what the files state; the ratings on the "
                       "equipment, the\nlocal electrical code and the people licensed to apply it "
                       "decide\n");
}

static void put_stated(const char *before, const char *text, FILE *out)
{
    if (text == NULL)
        return;
    (void)fputs(before, out);
    text_put_cut(text, 20, out);
}

static void write_table(const void *data, FILE *out)
{
    const struct load_view *view = data;

    (void)fputs("Load of ", out);
    text_put_cut(mtm_rig_name(view->rig), 60, out);
    put_stated(", revision ", mtm_rig_revision(view->rig), out);
    put_stated(", ", mtm_rig_date(view->rig), out);
    (void)fputs("\n\n", out);
    put_worst(view, out);
    put_cues(view, out);
    put_overloads(view, out);
    put_notes(view, out);
}

const struct writer load_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(load_write_json), WRITER_CSV(load_write_csv), {0}};
