/* SPDX-License-Identifier: MIT */
/* Goal arguments: on what the freedom of many emitters is spent. */
#include "cli/args/goal.h"

void goal_from_args(const struct args *args, mtm_goal *goal, mtm_index *index)
{
    const mtm_goal_info *named = args_choice(args, "goal");
    const mtm_index_info *measured = args_choice(args, "index");

    *goal = named->goal;
    *index = measured->index;
}

const void *goal_row_at(size_t index)
{
    return mtm_goal_at(index);
}

const void *dimming_row_at(size_t index)
{
    return mtm_dimming_at(index);
}

const void *index_row_at(size_t index)
{
    return mtm_index_at(index);
}
