/* SPDX-License-Identifier: MIT */
/* Oklab, with the matrices of its publication (B. Ottosson, 2020). */
#include <metamer/lab.h>

#include "colour/matrix.h"

#include <math.h>

static const mtm_matrix cone_from_xyz = {{
    {0.8189330101, 0.3618667424, -0.1288597137},
    {0.0329845436, 0.9293118715, 0.0361456387},
    {0.0482003018, 0.2643662691, 0.6338517070},
}};
static const mtm_matrix lab_from_root = {{
    {0.2104542553, 0.7936177850, -0.0040720468},
    {1.9779984951, -2.4285922050, 0.4505937099},
    {0.0259040371, 0.7827717662, -0.8086757660},
}};

mtm_oklab mtm_oklab_from_xyz(mtm_xyz xyz)
{
    mtm_xyz cone = mtm_matrix_apply(&cone_from_xyz, xyz);
    mtm_xyz root = {cbrt(cone.x), cbrt(cone.y), cbrt(cone.z)};
    mtm_xyz lab = mtm_matrix_apply(&lab_from_root, root);

    return (mtm_oklab){lab.x, lab.y, lab.z};
}

mtm_xyz mtm_oklab_to_xyz(mtm_oklab oklab)
{
    mtm_matrix root_from_lab = {{{0}}};
    mtm_matrix xyz_from_cone = {{{0}}};

    (void)mtmi_matrix_invert(&lab_from_root, &root_from_lab); /* constant matrices: it exists */
    (void)mtmi_matrix_invert(&cone_from_xyz, &xyz_from_cone);
    mtm_xyz root = mtm_matrix_apply(&root_from_lab, (mtm_xyz){oklab.l, oklab.a, oklab.b});
    mtm_xyz cone = {root.x * root.x * root.x, root.y * root.y * root.y, root.z * root.z * root.z};
    return mtm_matrix_apply(&xyz_from_cone, cone);
}
