/* SPDX-License-Identifier: MIT */
/* Layout output: a layout as a table, as JSON or as CSV. */
#include "cli/layout/layout_out.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include <metamer/demand.h>

#include <math.h>
#include <string.h>

bool layout_readdressed(const struct layout_view *view, size_t unit)
{
    return view->was[unit].universe != view->place[unit].universe ||
           view->was[unit].address != view->place[unit].address;
}

bool layout_replugged(const struct layout_view *view, size_t unit)
{
    return view->was[unit].supply != view->place[unit].supply ||
           view->was[unit].port != view->place[unit].port;
}

bool layout_unchanged(const struct layout_view *view)
{
    if (mtm_rig_supply_count(view->rig) != view->supplies_was)
        return false;
    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++) {
        if (layout_readdressed(view, i) || layout_replugged(view, i))
            return false;
    }
    return true;
}

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

static void put_ports(const struct layout_view *view, FILE *out)
{
    const mtm_port_report *port = &view->report.port;

    if (!view->report.has_ports) {
        (void)fprintf(out, "Ports      the rig has no supplies\n");
        return;
    }
    (void)fprintf(out, "Ports      %zu of %zu supplies in use; ", port->supplies,
                  mtm_rig_supply_count(view->rig));
    if (port->supplies_proven)
        (void)fprintf(
            out, "no layout%s does with fewer\n",
            view->report.open_ports < mtm_rig_unit_count(view->rig) ? " with the given ports" : "");
    else
        (void)fprintf(out, "at least %zu are needed\n", port->supplies_least);
    (void)fprintf(out, "           the fullest port or supply is at %.1f %% of its rating; ",
                  port->peak * 100);
    if (port->peak_proven)
        (void)fprintf(out, "none is more even\n");
    else
        (void)fprintf(out, "%.1f %% is a bound\n", port->peak_least * 100);
}

/* Supplies that are of no use to this rig. */
static void put_weak_supplies(const struct layout_view *view, FILE *out)
{
    double lightest = INFINITY;

    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++)
        lightest = fmin(lightest, mtm_demand_full_w(mtm_rig_unit(view->rig, i)));
    for (size_t s = 0; s < mtm_rig_supply_count(view->rig); s++) {
        const mtm_supply *supply = mtm_rig_supply(view->rig, s);
        if (lightest > supply->port_w)
            (void)fprintf(out,
                          "           no unit fits a port of \"%.30s\": %.6g W, and the lightest "
                          "unit takes %.6g W\n",
                          supply->name, supply->port_w, lightest);
    }
}

/* Whether the file (or --move) states an address, so that not everything was open. */
static bool any_address_given(const struct layout_view *view)
{
    size_t own = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++)
        own += mtm_rig_unit(view->rig, i)->follows < 0;
    return view->report.open_addresses < own;
}

static void put_addresses(const struct layout_view *view, FILE *out)
{
    const mtm_address_report *address = &view->report.address;

    (void)fprintf(out, "Addresses  %zu slots in %zu universe%s; ", address->slots,
                  address->universes, plural(address->universes));
    if (address->universes_proven)
        (void)fprintf(out, "no layout%s does with fewer\n",
                      view->report.universes_renumbered < address->universes
                          ? " with the given addresses"
                          : "");
    else
        (void)fprintf(out, "at least %zu are needed\n", address->universes_least);
    if (view->report.universes_renumbered < address->universes)
        (void)fprintf(out, "           with every address open %zu would do: --renumber all\n",
                      view->report.universes_renumbered);
    if (address->gap_slots > 0)
        (void)fprintf(out, "           %zu free slot%s between units, beside fixed addresses\n",
                      address->gap_slots, plural(address->gap_slots));
    else
        (void)fprintf(out, "           no free slot between units\n");
    if (address->groups_split > 0)
        (void)fprintf(out,
                      "           %zu of %zu supplies stand in more universes than they "
                      "need\n%s",
                      address->groups_split, address->groups,
                      !address->splits_proven   ? ""
                      : any_address_given(view) ? "           no layout with the given addresses "
                                                  "avoids it\n"
                                                : "           no layout in as few universes "
                                                  "avoids it\n");
    else if (address->groups > 0)
        (void)fprintf(out, "           every supply's units are together\n");
}

static void slots_text(const mtm_rig *rig, const mtm_place *place, char *text, size_t room)
{
    (void)rig;
    if (place->address > 0)
        (void)snprintf(text, room, "%d/%d", place->universe, place->address);
    else
        (void)snprintf(text, room, "open");
}

static void port_text(const mtm_rig *rig, const mtm_place *place, char *text, size_t room)
{
    if (place->supply < 0)
        (void)snprintf(text, room, "open");
    else if (place->port > 0)
        (void)snprintf(text, room, "%s/%d", mtm_rig_supply(rig, (size_t)place->supply)->name,
                       place->port);
    else
        (void)snprintf(text, room, "%s/open", mtm_rig_supply(rig, (size_t)place->supply)->name);
}

/* What is to be changed by hand: which units, what it is called, and how a place and a unit's need
 * are told. */
struct by_hand {
    bool (*changed)(const struct layout_view *view, size_t unit);
    const char *verb, *need;
    int name_width, place_width;
    void (*place)(const mtm_rig *rig, const mtm_place *place, char *text, size_t room);
};

static void put_by_hand(const struct layout_view *view, const struct by_hand *work, FILE *out)
{
    size_t count = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++)
        count += work->changed(view, i);
    if (count == 0)
        return;
    (void)fprintf(out, "\n%zu unit%s to be %s by hand\n", count, plural(count), work->verb);
    (void)fprintf(out, "  %-*s  %-*s  %-*s  %s\n", work->name_width, "unit", work->place_width,
                  "was", work->place_width, "becomes", work->need);
    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(view->rig, i);
        const mtm_place *places[] = {&view->was[i], &view->place[i]};
        if (!work->changed(view, i))
            continue;
        (void)fputs("  ", out);
        text_put(unit->name, work->name_width, out);
        for (size_t k = 0; k < 2; k++) {
            char text[MTM_ADDRESS_MAX];
            work->place(view->rig, places[k], text, sizeof text);
            (void)fputs("  ", out);
            text_put(text, work->place_width, out);
        }
        if (work->changed == layout_readdressed)
            (void)fprintf(out, "  %d-%d\n", view->place[i].address,
                          view->place[i].address + (int)unit->mode->slot_count - 1);
        else
            (void)fprintf(out, "  %5.4g\n", mtm_demand_full_w(unit));
    }
}

static const struct by_hand readdressing = {layout_readdressed, "addressed", "slots", 36, 10,
                                            slots_text};
static const struct by_hand replugging = {layout_replugged, "plugged", "watts", 30, 16, port_text};

static void put_end(const struct layout_view *view, FILE *out)
{
    (void)fputc('\n', out);
    if (view->written != NULL)
        (void)fprintf(out, "written: %s\n", view->written);
    if (view->backup != NULL)
        (void)fprintf(out, "the file as it was is kept: %s\n", view->backup);
    if (layout_unchanged(view))
        (void)fprintf(out, "nothing is to be changed\n");
    else if (view->written == NULL)
        (void)fprintf(out,
                      "nothing is written yet; --write changes the rig file and keeps a copy\n");
    (void)fprintf(out, "caution: ratings on the equipment, the local electrical code and the "
                       "people licensed\nto apply it decide what may be plugged in; measure before "
                       "you trust a sum\n");
}

static void write_table(const void *data, FILE *out)
{
    const struct layout_view *view = data;
    size_t units = mtm_rig_unit_count(view->rig);
    size_t supplies = mtm_rig_supply_count(view->rig);

    (void)fputs("Layout of ", out);
    text_put_cut(mtm_rig_name(view->rig), 40, out);
    (void)fprintf(out, ": %zu unit%s, %zu suppl%s\n\n", units, plural(units), supplies,
                  supplies == 1 ? "y" : "ies");
    put_ports(view, out);
    put_weak_supplies(view, out);
    put_addresses(view, out);
    for (size_t s = view->supplies_was; s < supplies; s++) {
        const mtm_supply *supply = mtm_rig_supply(view->rig, s);
        (void)fprintf(out, "\nsupply \"%.50s\" is added: %d ports of %.6g W, %.6g W in all\n",
                      supply->name, supply->ports, supply->port_w, supply->total_w);
    }
    put_by_hand(view, &readdressing, out);
    put_by_hand(view, &replugging, out);
    put_end(view, out);
}

static void add_place(cJSON *object, const char *key, const mtm_rig *rig, const mtm_place *place)
{
    cJSON *at = json_add_object(object, key);

    if (place->universe > 0)
        json_add_number(at, "universe", place->universe, 0);
    if (place->address > 0)
        json_add_number(at, "address", place->address, 0);
    if (place->supply >= 0)
        json_add_text(at, "supply", mtm_rig_supply(rig, (size_t)place->supply)->name);
    if (place->port > 0)
        json_add_number(at, "port", place->port, 0);
}

static void add_report(cJSON *root, const mtm_layout_report *report)
{
    cJSON *address = json_add_object(root, "addresses");

    json_add_number(address, "slots", (double)report->address.slots, 0);
    json_add_number(address, "universes", (double)report->address.universes, 0);
    json_add_number(address, "universes_least", (double)report->address.universes_least, 0);
    json_add_bool(address, "universes_proven", report->address.universes_proven);
    json_add_number(address, "universes_renumbered", (double)report->universes_renumbered, 0);
    json_add_number(address, "supplies_split", (double)report->address.groups_split, 0);
    json_add_bool(address, "splits_proven", report->address.splits_proven);
    json_add_number(address, "gap_slots", (double)report->address.gap_slots, 0);
    if (!report->has_ports)
        return;
    cJSON *port = json_add_object(root, "ports");
    json_add_number(port, "supplies", (double)report->port.supplies, 0);
    json_add_number(port, "supplies_least", (double)report->port.supplies_least, 0);
    json_add_bool(port, "supplies_proven", report->port.supplies_proven);
    json_add_number(port, "peak", report->port.peak, 4);
    json_add_number(port, "peak_least", report->port.peak_least, 4);
    json_add_bool(port, "peak_proven", report->port.peak_proven);
}

static cJSON *write_json(const void *data)
{
    const struct layout_view *view = data;
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(view->rig));
    add_report(root, &view->report);
    cJSON *units = json_add_array(root, "units");
    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(view->rig, i);
        cJSON *object = json_append_object(units);
        json_add_text(object, "name", unit->name);
        json_add_number(object, "slots", (double)unit->mode->slot_count, 0);
        json_add_number(object, "watts", mtm_demand_full_w(unit), 3);
        add_place(object, "was", view->rig, &view->was[i]);
        add_place(object, "becomes", view->rig, &view->place[i]);
        json_add_bool(object, "readdress", layout_readdressed(view, i));
        json_add_bool(object, "replug", layout_replugged(view, i));
    }
    json_add_text(root, "written", view->written);
    json_add_text(root, "kept", view->backup);
    json_add_text(root, "caution", MTM_DEMAND_CAUTION);
    return root;
}

static void put_csv_place(const mtm_rig *rig, const mtm_place *place, FILE *out)
{
    if (place->universe > 0)
        (void)fprintf(out, "%d", place->universe);
    (void)fputc(',', out);
    if (place->address > 0)
        (void)fprintf(out, "%d", place->address);
    (void)fputc(',', out);
    if (place->supply >= 0)
        text_put_csv(mtm_rig_supply(rig, (size_t)place->supply)->name, out);
    (void)fputc(',', out);
    if (place->port > 0)
        (void)fprintf(out, "%d", place->port);
}

static void write_csv(const void *data, FILE *out)
{
    const struct layout_view *view = data;

    (void)fputs("unit,slots,watts,was_universe,was_address,was_supply,was_port,universe,address,"
                "supply,port,readdress,replug\n",
                out);
    for (size_t i = 0; i < mtm_rig_unit_count(view->rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(view->rig, i);
        text_put_csv(unit->name, out);
        (void)fprintf(out, ",%zu,%.6g,", unit->mode->slot_count, mtm_demand_full_w(unit));
        put_csv_place(view->rig, &view->was[i], out);
        (void)fputc(',', out);
        put_csv_place(view->rig, &view->place[i], out);
        (void)fprintf(out, ",%s,%s\n", layout_readdressed(view, i) ? "yes" : "no",
                      layout_replugged(view, i) ? "yes" : "no");
    }
}

const struct writer layout_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(write_json), WRITER_CSV(write_csv), {0}};
