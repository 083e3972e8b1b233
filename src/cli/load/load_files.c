/* SPDX-License-Identifier: MIT */
/* Load output for programs: JSON and CSV. */
#include "cli/load/load_out.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include <math.h>

static const char *const type_names[] = {"port", "supply", "circuit"};

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
            json_add_number(at, "drawn_w", load_shown(view, row, row->drawn_w, false), 3);
            json_add_number(at, "drawn_va", load_shown(view, row, row->drawn_va, true), 3);
            json_add_number(
                at, "amperes",
                load_knows_amperes(row) ? load_shown(view, row, row->amperes, true) : NAN, 4);
        }
        json_add_number(at, circuit ? "rated_a" : "rated_w", row->rated, 3);
        json_add_number(at, "share", row->share, 4);
        json_add_number(at, "part", circuit && !load_knows_amperes(row) ? NAN : row->part, 4);
        json_add_bool(at, "over", row->over);
    }
}

cJSON *load_write_json(const void *data)
{
    const struct load_view *view = data;
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(view->rig));
    cJSON *cases = json_add_array(root, "cases");
    for (size_t c = 0; c < view->count; c++) {
        cJSON *at = json_append_object(cases);
        json_add_text(at, "case", view->cases[c].name);
        const mtm_demand_total total = mtm_demand_whole(view->cases[c].demand);
        json_add_number(at, "watts", total.watts, 3);
        json_add_number(at, "drawn_w", load_whole_digits(view, total.drawn_w, false), 3);
        json_add_number(at, "drawn_va", load_whole_digits(view, total.drawn_va, true), 3);
        json_add_number(at, "over", (double)mtm_demand_over_count(view->cases[c].demand), 0);
        add_rows(at, view, view->cases[c].demand);
    }
    json_add_text(root, "caution", MTM_DEMAND_CAUTION);
    return root;
}

void load_write_csv(const void *data, FILE *out)
{
    const struct load_view *view = data;

    (void)fputs("case,kind,name,port,units,watts,drawn_w,drawn_va,amperes,rated,share,part,over\n",
                out);
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
                (void)fprintf(out, "%.3f,%.3f", load_shown(view, row, row->drawn_w, false),
                              load_shown(view, row, row->drawn_va, true));
            else
                (void)fputc(',', out);
            (void)fputc(',', out);
            if (row->type != MTM_DEMAND_PORT && load_knows_amperes(row))
                (void)fprintf(out, "%.4f", load_shown(view, row, row->amperes, true));
            (void)fprintf(out, ",%.6g,%.4g,%.4f,%s\n", row->rated, row->share, row->part,
                          row->over ? "yes" : "no");
        }
        const mtm_demand_total total = mtm_demand_whole(demand);
        text_put_csv(view->cases[c].name, out);
        (void)fputs(",rig,", out);
        text_put_csv(mtm_rig_name(view->rig), out);
        (void)fprintf(out, ",,%zu,%.3f,%.3f,%.3f,,,,,\n", mtm_rig_unit_count(view->rig),
                      total.watts, load_whole_digits(view, total.drawn_w, false),
                      load_whole_digits(view, total.drawn_va, true));
    }
}
