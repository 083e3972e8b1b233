/* SPDX-License-Identifier: MIT */
/* The same questions put to an independent solver of linear programs (GLPK). */
#ifndef METAMER_TESTS_LP_PEER_H
#define METAMER_TESTS_LP_PEER_H

#include <glpk.h>
#include <math.h>

#include <metamer/colour.h>

/** A set of emitters. */
struct emitters {
    size_t count;
    mtm_xyz xyz[16];
    double watts[16];
    double limit_w;
};

/* The largest Y, so that its tolerances, which are absolute, mean the same for every fixture. */
static inline double lp_peer_unit(const struct emitters *set)
{
    double unit = 0;

    for (size_t k = 0; k < set->count; k++)
        unit = fmax(unit, set->xyz[k].y);
    return unit;
}

/* Columns 1..count are levels, column count + 1 is the output; rows X, Y, Z, watts. */
static inline glp_prob *lp_peer_create(const struct emitters *set)
{
    glp_prob *lp = glp_create_prob();
    int columns = (int)set->count + 1;
    double unit = lp_peer_unit(set);

    glp_term_out(GLP_OFF);
    glp_add_rows(lp, 4);
    glp_add_cols(lp, columns);
    for (int row = 1; row <= 3; row++)
        glp_set_row_bnds(lp, row, GLP_FX, 0, 0);
    if (isfinite(set->limit_w))
        glp_set_row_bnds(lp, 4, GLP_UP, 0, set->limit_w);
    else
        glp_set_row_bnds(lp, 4, GLP_FR, 0, 0);
    for (int k = 0; k < columns - 1; k++) {
        const int rows[] = {0, 1, 2, 3, 4};
        const double values[] = {0, set->xyz[k].x / unit, set->xyz[k].y / unit,
                                 set->xyz[k].z / unit, set->watts[k]};
        glp_set_col_bnds(lp, k + 1, GLP_DB, 0, 1);
        glp_set_mat_col(lp, k + 1, 4, rows, values);
    }
    return lp;
}

/** The most output at xy (most true), or the fewest watts at the output; NaN if there is none. */
static inline double lp_peer_solve(glp_prob *lp, const struct emitters *set, mtm_xy xy,
                                   double output, int most)
{
    const int rows[] = {0, 1, 2, 3};
    const double values[] = {0, -xy.x / xy.y, -1, -(1 - xy.x - xy.y) / xy.y};
    int column = (int)set->count + 1;
    double unit = lp_peer_unit(set);
    glp_smcp how;

    glp_set_mat_col(lp, column, 3, rows, values);
    if (most)
        glp_set_col_bnds(lp, column, GLP_LO, 0, 0);
    else
        glp_set_col_bnds(lp, column, GLP_FX, output / unit, output / unit);
    for (int k = 0; k < column - 1; k++)
        glp_set_obj_coef(lp, k + 1, most ? 0 : set->watts[k]);
    glp_set_obj_coef(lp, column, most ? 1 : 0);
    glp_set_obj_dir(lp, most ? GLP_MAX : GLP_MIN);

    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    how.it_lim = 1000;
    how.tol_bnd = how.tol_dj = 1e-11;
    if (glp_simplex(lp, &how) != 0 || glp_get_status(lp) != GLP_OPT) {
        /* it can turn in circles on degenerate problems; its own tolerances, from the start */
        glp_std_basis(lp);
        how.tol_bnd = how.tol_dj = 1e-9;
        if (glp_simplex(lp, &how) != 0 || glp_get_status(lp) != GLP_OPT)
            return NAN;
    }
    return glp_get_obj_val(lp) * (most ? unit : 1);
}

#endif
