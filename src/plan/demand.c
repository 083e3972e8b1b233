/* SPDX-License-Identifier: MIT */
/* Load: watts and amperes of ports, supplies and circuits. */
#include <metamer/demand.h>
#include <metamer/lamp.h>
#include <metamer/solve.h>

#include "base/error.h"
#include "base/number.h"
#include "base/pool.h"
#include "plan/demand.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct mtm_demand {
    mtm_demand_row *rows;
    size_t count;
    size_t over;
    mtm_demand_total whole;
};

double mtm_demand_full_w(const mtm_unit *unit)
{
    if (unit == NULL)
        return NAN;
    return mtm_fixture_most_watts(unit->fixture) + mtm_fixture_standby_w(unit->fixture);
}

double mtm_demand_level_w(const mtm_unit *unit, const double *level)
{
    if (unit == NULL || level == NULL)
        return NAN;
    double watts = mtm_fixture_watts_at(unit->fixture, level);

    /* where it is not known, its most is counted */
    return isnan(watts) && mtm_fixture_mixes(unit->fixture) ? mtm_fixture_most_watts(unit->fixture)
                                                            : watts;
}

double mtmi_demand_light_factor(const mtm_unit *unit, double factor)
{
    const bool power = mtm_fixture_dims(unit->fixture) && unit->mode->mixing->lamp_k > 0;

    return power ? mtm_lamp_light_at_watts(factor) : factor;
}

static mtm_result white_of(const mtm_fixture *fixture, mtm_xy white, double *watts,
                           mtm_error *error)
{
    mtm_request request = {.xy = white, .goal = MTM_GOAL_LIGHT};
    mtm_solver *solver = NULL;
    mtm_answer answer;

    mtm_result result = mtm_solver_create_for(fixture, MTM_OBSERVER_2, &solver, error);
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, &request, &answer, error);
    if (result == MTM_OK)
        *watts = mtm_fixture_mixes(fixture) ? mtm_fixture_most_watts(fixture) : answer.watts;
    mtm_solver_free(solver);
    return result;
}

mtm_result mtm_demand_white_w(const mtm_rig *rig, mtm_xy white, double *watts, mtm_error *error)
{
    if (rig == NULL || watts == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and room for its watts are needed");
    const size_t count = mtm_rig_unit_count(rig);
    double *found = calloc(count + 1, sizeof *found);
    mtm_result result = MTM_OK;

    if (found == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; result == MTM_OK && i < count; i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, i)->fixture;
        if (i > 0 && fixture == mtm_rig_unit(rig, i - 1)->fixture)
            found[i] = found[i - 1];
        else
            result = white_of(fixture, white, &found[i], error);
    }
    if (result == MTM_OK)
        memcpy(watts, found, count * sizeof *watts);
    free(found);
    return result;
}

static bool is_share(double value)
{
    return value >= 0 && value <= 1;
}

static mtm_result check_options(const mtm_demand_options *options, mtm_error *error)
{
    if (!is_share(options->power_factor) || !is_share(options->efficiency) ||
        !is_share(options->circuit_share) || !is_share(options->supply_share))
        return mtmi_fail(error, MTM_INVALID,
                         "power factor %g, efficiency %g, part of a circuit's rating %g, of a "
                         "supply's %g: each is allowed to be 0 to 1",
                         options->power_factor, options->efficiency, options->circuit_share,
                         options->supply_share);
    if (!(options->voltage_v >= 0 && options->voltage_v <= 1000))
        return mtmi_fail(error, MTM_INVALID, "the voltage is %g V; allowed is 0 to 1000",
                         options->voltage_v);
    return MTM_OK;
}

static mtm_result check_watts(const mtm_rig *rig, const double *watts, mtm_error *error)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        if (isnan(watts[i]) && mtm_fixture_mixes(mtm_rig_unit(rig, i)->fixture))
            return mtmi_fail(error, MTM_INVALID,
                             "unit \"%.60s\" mixes by itself, and what it takes is not known; "
                             "\"watts\" beside its \"flux_lm\" would tell",
                             mtm_rig_unit(rig, i)->name);
        if (!(watts[i] >= 0 && isfinite(watts[i])))
            return mtmi_fail(error, MTM_INVALID, "unit \"%.60s\" takes %g W; allowed is 0 or more",
                             mtm_rig_unit(rig, i)->name, watts[i]);
    }
    return MTM_OK;
}

/* The options with every default filled in. */
static mtm_demand_options filled(const mtm_demand_options *options)
{
    mtm_demand_options full = options != NULL ? *options : (mtm_demand_options){0};

    if (full.power_factor == 0)
        full.power_factor = MTM_DEMAND_POWER_FACTOR;
    if (full.efficiency == 0)
        full.efficiency = MTM_DEMAND_EFFICIENCY;
    if (full.circuit_share == 0)
        full.circuit_share = MTM_DEMAND_CIRCUIT_SHARE;
    if (full.supply_share == 0)
        full.supply_share = 1;
    return full;
}

/* Sums over units, before they become rows. Port p of supply s is number base[s] + p - 1. */
typedef struct sums {
    size_t *base;
    double *port_w;
    size_t *port_units;
    double *supply_w;
    size_t *supply_units;
    double *circuit_w; /* drawn from the mains */
    double *circuit_va;
    size_t *circuit_units;
    double whole_w, unplugged_w; /* of all units, and of those on no supply */
    mtmi_pool pool;
} sums;

static bool sums_create(const mtm_rig *rig, sums *s)
{
    size_t supplies = mtm_rig_supply_count(rig);
    size_t circuits = mtm_rig_circuit_count(rig);

    *s = (sums){0};
    s->base = mtmi_pool_take(&s->pool, supplies + 1, sizeof *s->base);
    if (s->base == NULL)
        return false;
    for (size_t i = 0; i < supplies; i++)
        s->base[i + 1] = s->base[i] + (size_t)mtm_rig_supply(rig, i)->ports;
    s->port_w = mtmi_pool_take(&s->pool, s->base[supplies], sizeof *s->port_w);
    s->port_units = mtmi_pool_take(&s->pool, s->base[supplies], sizeof *s->port_units);
    s->supply_w = mtmi_pool_take(&s->pool, supplies, sizeof *s->supply_w);
    s->supply_units = mtmi_pool_take(&s->pool, supplies, sizeof *s->supply_units);
    s->circuit_w = mtmi_pool_take(&s->pool, circuits, sizeof *s->circuit_w);
    s->circuit_va = mtmi_pool_take(&s->pool, circuits, sizeof *s->circuit_va);
    s->circuit_units = mtmi_pool_take(&s->pool, circuits, sizeof *s->circuit_units);
    return !s->pool.failed;
}

static void add_units(const mtm_rig *rig, const double *watts, sums *s)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        const double taken = watts[i] + mtm_fixture_standby_w(unit->fixture);
        s->whole_w += taken;
        if (unit->supply < 0) {
            s->unplugged_w += taken;
            continue;
        }
        s->supply_w[unit->supply] += taken;
        s->supply_units[unit->supply]++;
        if (unit->port == 0)
            continue;
        size_t port = s->base[unit->supply] + (size_t)unit->port - 1;
        s->port_w[port] += taken;
        s->port_units[port]++;
    }
}

static double drawn_by(const mtm_supply *supply, double watts, const mtm_demand_options *options)
{
    return watts / (supply->efficiency > 0 ? supply->efficiency : options->efficiency) +
           supply->standby_w;
}

static double power_factor_of(const mtm_supply *supply, const mtm_demand_options *options)
{
    return supply->power_factor > 0 ? supply->power_factor : options->power_factor;
}

static double voltage_of(const mtm_rig *rig, int circuit, const mtm_demand_options *options)
{
    double stated = circuit >= 0 ? mtm_rig_circuit(rig, (size_t)circuit)->voltage_v : 0;

    return stated > 0 ? stated : options->voltage_v;
}

static void add_row(mtm_demand *demand, mtm_demand_row row)
{
    double used = row.type == MTM_DEMAND_CIRCUIT ? row.amperes : row.watts;

    row.part = used / row.rated;
    row.over = mtmi_exceeds(used, row.rated * row.share);
    demand->over += row.over;
    demand->rows[demand->count++] = row;
}

static void add_supply(const mtm_rig *rig, size_t index, const mtm_demand_options *options, sums *s,
                       mtm_demand *demand)
{
    const mtm_supply *supply = mtm_rig_supply(rig, index);

    for (int port = 1; port <= supply->ports; port++) {
        size_t at = s->base[index] + (size_t)port - 1;
        if (s->port_units[at] > 0)
            add_row(demand, (mtm_demand_row){.type = MTM_DEMAND_PORT,
                                             .index = index,
                                             .port = port,
                                             .units = s->port_units[at],
                                             .watts = s->port_w[at],
                                             .rated = supply->port_w,
                                             .share = options->supply_share});
    }
    if (s->supply_units[index] == 0)
        return;
    double drawn = drawn_by(supply, s->supply_w[index], options);
    double va = drawn / power_factor_of(supply, options);
    double voltage = voltage_of(rig, supply->circuit, options);
    add_row(demand, (mtm_demand_row){.type = MTM_DEMAND_SUPPLY,
                                     .index = index,
                                     .units = s->supply_units[index],
                                     .watts = s->supply_w[index],
                                     .drawn_w = drawn,
                                     .drawn_va = va,
                                     .amperes = voltage > 0 ? va / voltage : 0,
                                     .rated = supply->total_w,
                                     .share = options->supply_share});
    demand->whole.drawn_w += drawn;
    demand->whole.drawn_va += va;
    if (supply->circuit < 0)
        return;
    s->circuit_w[supply->circuit] += drawn;
    s->circuit_va[supply->circuit] += va;
    s->circuit_units[supply->circuit] += s->supply_units[index];
}

static void add_circuit(const mtm_rig *rig, size_t index, const mtm_demand_options *options,
                        const sums *s, mtm_demand *demand)
{
    double voltage = voltage_of(rig, (int)index, options);

    add_row(demand, (mtm_demand_row){.type = MTM_DEMAND_CIRCUIT,
                                     .index = index,
                                     .units = s->circuit_units[index],
                                     .watts = s->circuit_w[index],
                                     .drawn_w = s->circuit_w[index],
                                     .drawn_va = s->circuit_va[index],
                                     .amperes = voltage > 0 ? s->circuit_va[index] / voltage : 0,
                                     .rated = mtm_rig_circuit(rig, index)->rated_a,
                                     .share = options->circuit_share});
}

static mtm_result make_rows(const mtm_rig *rig, const double *watts,
                            const mtm_demand_options *options, mtm_demand *demand, mtm_error *error)
{
    sums s;
    mtm_result result = MTM_OK;

    if (!sums_create(rig, &s)) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    add_units(rig, watts, &s);
    size_t supplies = mtm_rig_supply_count(rig);
    size_t rows = s.base[supplies] + supplies + mtm_rig_circuit_count(rig);
    demand->rows = calloc(rows + 1, sizeof *demand->rows);
    if (demand->rows == NULL) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    const double unplugged_w = s.unplugged_w / options->efficiency;
    demand->whole = (mtm_demand_total){s.whole_w, unplugged_w, unplugged_w / options->power_factor};
    for (size_t i = 0; i < supplies; i++)
        add_supply(rig, i, options, &s, demand);
    for (size_t i = 0; i < mtm_rig_circuit_count(rig); i++)
        add_circuit(rig, i, options, &s, demand);
done:
    mtmi_pool_free(&s.pool);
    return result;
}

mtm_result mtm_demand_create(const mtm_rig *rig, const double *watts,
                             const mtm_demand_options *options, mtm_demand **out, mtm_error *error)
{
    if (rig == NULL || watts == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and the watts of its units are needed");
    mtm_demand_options full = filled(options);
    mtm_result result = check_options(&full, error);
    if (result == MTM_OK)
        result = check_watts(rig, watts, error);
    if (result != MTM_OK)
        return result;
    mtm_demand *demand = calloc(1, sizeof *demand);
    if (demand == NULL)
        return mtmi_fail_memory(error);
    result = make_rows(rig, watts, &full, demand, error);
    if (result != MTM_OK) {
        mtm_demand_free(demand);
        return result;
    }
    *out = demand;
    return MTM_OK;
}

void mtm_demand_take_fuller(mtm_demand *demand, const mtm_demand *other)
{
    if (demand == NULL || other == NULL)
        return;
    if (mtmi_exceeds(other->whole.watts, demand->whole.watts))
        demand->whole = other->whole;
    for (size_t i = 0; i < demand->count && i < other->count; i++) {
        if (!mtmi_exceeds(other->rows[i].watts, demand->rows[i].watts))
            continue;
        demand->over += other->rows[i].over;
        demand->over -= demand->rows[i].over;
        demand->rows[i] = other->rows[i];
    }
}

void mtm_demand_free(mtm_demand *demand)
{
    if (demand == NULL)
        return;
    free(demand->rows);
    free(demand);
}

mtm_demand_total mtm_demand_whole(const mtm_demand *demand)
{
    return demand != NULL ? demand->whole : (mtm_demand_total){0};
}

size_t mtm_demand_row_count(const mtm_demand *demand)
{
    return demand != NULL ? demand->count : 0;
}

const mtm_demand_row *mtm_demand_row_at(const mtm_demand *demand, size_t index)
{
    return demand != NULL && index < demand->count ? &demand->rows[index] : NULL;
}

size_t mtm_demand_over_count(const mtm_demand *demand)
{
    return demand != NULL ? demand->over : 0;
}
