/* SPDX-License-Identifier: MIT */
/* Load: factors that bring ports and supplies within their ratings. */
#include <metamer/demand.h>

#include "base/error.h"
#include "base/pool.h"

#include <math.h>
#include <stdlib.h>

/* A port (or what hangs on a supply without a port) and what it carries. */
typedef struct branch {
    double watts;
    double most; /* its own factor: rating over watts, at most 1 */
} branch;

static int by_most(const void *a, const void *b)
{
    const branch *p = a;
    const branch *q = b;

    return p->most < q->most ? -1 : p->most > q->most;
}

/* The largest c so that the sum of watts times min(c, most) is within the rating. Branches with a
 * smaller factor of their own take nothing from the others: water filling. Sorts the branches. */
static double common_factor(branch *branches, size_t count, double rated)
{
    double rest = 0;
    double spent = 0;

    qsort(branches, count, sizeof *branches, by_most);
    for (size_t i = 0; i < count; i++)
        rest += branches[i].watts;
    for (size_t i = 0; i < count; i++) {
        double c = rest > 0 ? (rated - spent) / rest : 1;
        if (c <= branches[i].most)
            return fmin(1, c);
        spent += branches[i].watts * branches[i].most;
        rest -= branches[i].watts;
    }
    return 1;
}

/* One supply's units: first[port] is the sum of the port, 0 that of units without one. */
typedef struct factors {
    const mtm_rig *rig;
    double share;
    size_t *base;  /* supply s, port p: base[s] + p */
    double *watts; /* by port, of light */
    double *other; /* by port, beside light: no factor lowers it */
    double *most;  /* by port: its final factor */
    mtmi_pool pool;
} factors;

static bool factors_create(factors *f)
{
    size_t supplies = mtm_rig_supply_count(f->rig);

    f->base = mtmi_pool_take(&f->pool, supplies + 1, sizeof *f->base);
    if (f->base == NULL)
        return false;
    for (size_t s = 0; s < supplies; s++)
        f->base[s + 1] = f->base[s] + (size_t)mtm_rig_supply(f->rig, s)->ports + 1;
    f->watts = mtmi_pool_take(&f->pool, f->base[supplies], sizeof *f->watts);
    f->other = mtmi_pool_take(&f->pool, f->base[supplies], sizeof *f->other);
    f->most = mtmi_pool_take(&f->pool, f->base[supplies], sizeof *f->most);
    return !f->pool.failed;
}

static size_t port_of(const factors *f, const mtm_unit *unit)
{
    return f->base[unit->supply] + (size_t)unit->port;
}

static void limit_supply(factors *f, size_t index, branch *branches)
{
    const mtm_supply *supply = mtm_rig_supply(f->rig, index);
    size_t count = (size_t)supply->ports + 1;
    const double *watts = &f->watts[f->base[index]];
    const double *other = &f->other[f->base[index]];
    double *most = &f->most[f->base[index]];
    double rest_w = supply->total_w * f->share;

    for (size_t p = 0; p < count; p++) {
        double rated = p > 0 ? fmax(0, supply->port_w * f->share - other[p]) : INFINITY;
        most[p] = watts[p] > rated ? rated / watts[p] : 1;
        branches[p] = (branch){watts[p], most[p]};
        rest_w -= other[p];
    }
    double c = common_factor(branches, count, fmax(0, rest_w));
    for (size_t p = 0; p < count; p++)
        most[p] = fmin(most[p], c);
}

mtm_result mtm_demand_factors(const mtm_rig *rig, const double *watts,
                              const mtm_demand_options *options, double *factor, mtm_error *error)
{
    factors f = {.rig = rig, .share = 1};
    branch branches[MTM_PORTS_MAX + 1];
    mtm_result result = MTM_OK;

    if (rig == NULL || watts == NULL || factor == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and the watts of its units are needed");
    if (options != NULL && options->supply_share != 0)
        f.share = options->supply_share;
    if (!(f.share > 0 && f.share <= 1))
        return mtmi_fail(error, MTM_INVALID, "the part of a rating is %g; allowed is 0 to 1",
                         f.share);
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        if (!(watts[i] >= 0 && isfinite(watts[i])))
            return mtmi_fail(error, MTM_INVALID, "unit \"%.60s\" takes %g W; allowed is 0 or more",
                             mtm_rig_unit(rig, i)->name, watts[i]);
    }
    if (!factors_create(&f)) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        if (unit->supply < 0)
            continue;
        f.watts[port_of(&f, unit)] += watts[i];
        f.other[port_of(&f, unit)] += mtm_fixture_standby_w(unit->fixture);
    }
    for (size_t s = 0; s < mtm_rig_supply_count(rig); s++)
        limit_supply(&f, s, branches);
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        factor[i] = unit->supply >= 0 ? f.most[port_of(&f, unit)] : 1;
    }
done:
    mtmi_pool_free(&f.pool);
    return result;
}

void mtm_demand_join_factors(const bool *together, size_t count, double *factor)
{
    if (together == NULL || factor == NULL)
        return;
    double least = 1;

    for (size_t i = 0; i < count; i++) {
        if (together[i])
            least = fmin(least, factor[i]);
    }
    for (size_t i = 0; i < count; i++) {
        if (together[i])
            factor[i] = least;
    }
}
