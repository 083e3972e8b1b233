/* SPDX-License-Identifier: MIT */
/* The goals a user can name. */
#include <metamer/solve.h>

const mtm_goal_info mtm_goals[] = {
    {MTM_GOAL_LIGHT, "light", "the mix that gives the most light"},
    {MTM_GOAL_WATTS, "watts", "the fewest watts at the stated output"},
    {MTM_GOAL_RENDERING, "rendering", "the best rendering; needs spectra"},
    {MTM_GOAL_SPECTRUM, "spectrum",
     "the nearest to the target's spectrum, or to the usual reference of "
     "its temperature; needs spectra"},
    {MTM_GOAL_LIGHT, NULL, NULL},
};
