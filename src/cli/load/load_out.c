/* SPDX-License-Identifier: MIT */
/* Load output: loads of a rig in several cases, as a table, as JSON or as CSV. */
#include "cli/load/load_out.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include <math.h>
#include <string.h>

static const char *const type_names[] = {"port", "supply", "circuit"};

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

static bool knows_amperes(const mtm_demand_row *row)
{
    return row->amperes > 0 || row->watts == 0;
}

/* Whether what is drawn from the mains rests on an efficiency that nobody stated, or amperes on
 * such a power factor as well. */
static bool is_assumed(const struct load_view *view, const mtm_supply *supply, bool amperes)
{
    return (supply->efficiency == 0 && view->options.efficiency == 0) ||
           (amperes && supply->power_factor == 0 && view->options.power_factor == 0);
}

static bool row_is_assumed(const struct load_view *view, const mtm_demand_row *row, bool amperes)
{
    if (row->type == MTM_DEMAND_SUPPLY)
        return is_assumed(view, mtm_rig_supply(view->rig, row->index), amperes);
    for (size_t s = 0; row->type == MTM_DEMAND_CIRCUIT && s < mtm_rig_supply_count(view->rig);
         s++) {
        const mtm_supply *supply = mtm_rig_supply(view->rig, s);
        if (supply->circuit == (int)row->index && is_assumed(view, supply, amperes))
            return true;
    }
    return false;
}

/* A value to as many digits as an assumption of two digits allows. */
static double assumed_digits(double value)
{
    double step = value > 0 ? pow(10, floor(log10(value)) - 1) : 1;

    return round(value / step) * step;
}

/* The decimals that show these two digits. */
static int assumed_decimals(double value)
{
    return value > 0 ? (int)fmax(0, 1 - floor(log10(value))) : 0;
}

static double drawn_w(const struct load_view *view, const mtm_demand_row *row)
{
    return row_is_assumed(view, row, false) ? assumed_digits(row->drawn_w) : row->drawn_w;
}

static double amperes(const struct load_view *view, const mtm_demand_row *row)
{
    return row_is_assumed(view, row, true) ? assumed_digits(row->amperes) : row->amperes;
}

/* One case's cell, "   90.0 W   75 % OVER"; the last one of a line ends with its last letter. */
static void put_cell(const struct load_view *view, const mtm_demand_row *row, bool last, FILE *out)
{
    const char *mark = row->over ? " OVER" : last ? "" : "     ";

    if (row->type != MTM_DEMAND_CIRCUIT)
        (void)fprintf(out, " %7.1f W %4.0f %%%s", row->watts, row->part * 100, mark);
    else if (knows_amperes(row))
        (void)fprintf(out, " %7.*f A %4.0f %%%s",
                      row_is_assumed(view, row, true) ? assumed_decimals(row->amperes) : 2,
                      amperes(view, row), row->part * 100, mark);
    else
        (void)fprintf(out, " %7.1f W    ? %%%s", row->watts, mark);
}

static void put_drawn(const struct load_view *view, size_t row, FILE *out)
{
    (void)fprintf(out, "  %-36s", "  draws from the mains");
    for (size_t c = 0; c < view->worst; c++) {
        const mtm_demand_row *at = mtm_demand_row_at(view->cases[c].demand, row);
        bool last = c + 1 == view->worst;
        (void)fprintf(out, " %7.*f W",
                      row_is_assumed(view, at, false) ? assumed_decimals(at->drawn_w) : 1,
                      drawn_w(view, at));
        if (at->amperes > 0)
            (void)fprintf(out, " %6.*f A%s",
                          row_is_assumed(view, at, true) ? assumed_decimals(at->amperes) : 2,
                          amperes(view, at), last ? "" : "   ");
        else if (!last)
            (void)fprintf(out, "%11s", "");
    }
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
        if (row->type == MTM_DEMAND_SUPPLY)
            put_drawn(view, r, out);
    }
    (void)fprintf(out, "  %-36s", view->some ? "these units in all" : "the whole rig");
    for (size_t c = 0; c < view->worst; c++)
        (void)fprintf(out, " %7.1f W%s", view->cases[c].total_w,
                      c + 1 < view->worst ? "           " : "");
    (void)fputc('\n', out);
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
    if (view->count > view->worst)
        (void)fprintf(out, "\n  %-36s %9s  fullest\n", "cue, at its fullest", "watts");
    for (size_t c = view->worst; c < view->count; c++) {
        const struct load_case *at = &view->cases[c];
        size_t r = fullest(at->demand);
        (void)fputs("  ", out);
        text_put(at->name, 36, out);
        (void)fprintf(out, " %7.1f W  ", at->total_w);
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
    size_t shown = 0;

    for (size_t c = 0; c < view->count; c++) {
        const mtm_demand *demand = view->cases[c].demand;
        for (size_t r = 0; r < mtm_demand_row_count(demand); r++) {
            const mtm_demand_row *row = mtm_demand_row_at(demand, r);
            bool in_a = row->type == MTM_DEMAND_CIRCUIT;
            if (!row->over)
                continue;
            if (shown++ == 0)
                (void)fputs("\nOverloaded\n", out);
            if (shown > 100)
                continue;
            (void)fputs("  ", out);
            text_put_cut(view->cases[c].name, 26, out);
            (void)fputs(": ", out);
            put_name(view->rig, row, 18, false, out);
            (void)fprintf(out, " carries %.*f %s, may carry %.6g %s\n",
                          !in_a                             ? 1
                          : row_is_assumed(view, row, true) ? assumed_decimals(row->amperes)
                                                            : 2,
                          in_a ? amperes(view, row) : row->watts, in_a ? "A" : "W",
                          row->rated * row->share, in_a ? "A" : "W");
        }
    }
    if (shown > 100)
        (void)fprintf(out, "  and %zu more\n", shown - 100);
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
    double share = options->circuit_share > 0 ? options->circuit_share : MTM_DEMAND_CIRCUIT_SHARE;

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
        (void)fprintf(out,
                      "a circuit may carry %.4g %% of its rating (for loads that stay on; "
                      "80 %% is common\npractice)\n",
                      share * 100);
    (void)fprintf(out, "caution: these are sums of what the files state; the ratings on the "
                       "equipment, the\nlocal electrical code and the people licensed to apply it "
                       "decide\n");
}

static void write_table(const void *data, FILE *out)
{
    const struct load_view *view = data;

    (void)fputs("Load of ", out);
    text_put_cut(mtm_rig_name(view->rig), 60, out);
    (void)fputs("\n\n", out);
    put_worst(view, out);
    put_cues(view, out);
    put_overloads(view, out);
    put_notes(view, out);
}

static void add_rows(cJSON *object, const struct load_view *view, const mtm_demand *demand)
{
    cJSON *rows = json_add_array(object, "loads");

    for (size_t r = 0; r < mtm_demand_row_count(demand); r++) {
        const mtm_demand_row *row = mtm_demand_row_at(demand, r);
        bool circuit = row->type == MTM_DEMAND_CIRCUIT;
        cJSON *at = json_append_object(rows);
        json_add_text(at, "kind", type_names[row->type]);
        json_add_text(at, circuit ? "circuit" : "supply",
                      circuit ? mtm_rig_circuit(view->rig, row->index)->name
                              : mtm_rig_supply(view->rig, row->index)->name);
        if (row->type == MTM_DEMAND_PORT)
            json_add_number(at, "port", row->port, 0);
        json_add_number(at, "units", (double)row->units, 0);
        json_add_number(at, "watts", row->watts, 3);
        if (row->type != MTM_DEMAND_PORT) {
            json_add_number(at, "drawn_w", drawn_w(view, row), 3);
            json_add_number(at, "amperes", knows_amperes(row) ? amperes(view, row) : NAN, 4);
        }
        json_add_number(at, circuit ? "rated_a" : "rated_w", row->rated, 3);
        json_add_number(at, "share", row->share, 4);
        json_add_number(at, "part", circuit && !knows_amperes(row) ? NAN : row->part, 4);
        json_add_bool(at, "over", row->over);
    }
}

static cJSON *write_json(const void *data)
{
    const struct load_view *view = data;
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(view->rig));
    cJSON *cases = json_add_array(root, "cases");
    for (size_t c = 0; c < view->count; c++) {
        cJSON *at = json_append_object(cases);
        json_add_text(at, "case", view->cases[c].name);
        json_add_number(at, "watts", view->cases[c].total_w, 3);
        json_add_number(at, "over", (double)mtm_demand_over_count(view->cases[c].demand), 0);
        add_rows(at, view, view->cases[c].demand);
    }
    json_add_text(root, "caution", MTM_DEMAND_CAUTION);
    return root;
}

static void write_csv(const void *data, FILE *out)
{
    const struct load_view *view = data;

    (void)fputs("case,kind,name,port,units,watts,drawn_w,amperes,rated,share,part,over\n", out);
    for (size_t c = 0; c < view->count; c++) {
        const mtm_demand *demand = view->cases[c].demand;
        for (size_t r = 0; r < mtm_demand_row_count(demand); r++) {
            const mtm_demand_row *row = mtm_demand_row_at(demand, r);
            text_put_csv(view->cases[c].name, out);
            (void)fprintf(out, ",%s,", type_names[row->type]);
            text_put_csv(row->type == MTM_DEMAND_CIRCUIT
                             ? mtm_rig_circuit(view->rig, row->index)->name
                             : mtm_rig_supply(view->rig, row->index)->name,
                         out);
            (void)fputc(',', out);
            if (row->type == MTM_DEMAND_PORT)
                (void)fprintf(out, "%d", row->port);
            (void)fprintf(out, ",%zu,%.3f,", row->units, row->watts);
            if (row->type != MTM_DEMAND_PORT)
                (void)fprintf(out, "%.3f", drawn_w(view, row));
            (void)fputc(',', out);
            if (row->type != MTM_DEMAND_PORT && knows_amperes(row))
                (void)fprintf(out, "%.4f", amperes(view, row));
            (void)fprintf(out, ",%.6g,%.4g,%.4f,%s\n", row->rated, row->share, row->part,
                          row->over ? "yes" : "no");
        }
    }
}

const struct writer load_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(write_json), WRITER_CSV(write_csv), {0}};
