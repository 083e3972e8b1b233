/* SPDX-License-Identifier: MIT */
/* The point of a convex set that is nearest to a given one: a quadratic program whose matrix is 1.
 */
#ifndef METAMER_NUMERIC_DUAL_QP_H
#define METAMER_NUMERIC_DUAL_QP_H

#include <stdbool.h>
#include <stddef.h>

#define MTMI_DUAL_QP_VARIABLES_MAX 16
#define MTMI_DUAL_QP_CONSTRAINTS_MAX 36

/** normal' x = wanted for the equalities, >= wanted for the others; normals have length 1. */
struct mtmi_dual_qp_constraint {
    double normal[MTMI_DUAL_QP_VARIABLES_MAX];
    double wanted;
};

/** The set; its equalities stand first. */
struct mtmi_dual_qp {
    size_t variables, equalities, count; /* count of all constraints */
    struct mtmi_dual_qp_constraint constraint[MTMI_DUAL_QP_CONSTRAINTS_MAX];
};

/** Adds a constraint, scaled to a normal of length 1: an equality normal' x = wanted (with factor
 *  1), or the inequality factor * normal' x >= wanted. There must be a place left. */
void mtmi_dual_qp_add(struct mtmi_dual_qp *qp, const double *normal, double factor, double wanted);

/**
 * Moves x to the nearest point of the set, by the dual method of Goldfarb and Idnani.
 *
 * @return false where the set is empty; x is then near what could be met
 */
bool mtmi_dual_qp_nearest(const struct mtmi_dual_qp *qp, double *x);

#endif
