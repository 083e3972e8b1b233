/* SPDX-License-Identifier: MIT */
/* Goal arguments: on what the freedom of many emitters is spent. */
#include "cli/args/goal.h"

#include "base/error.h"

#include <string.h>

static mtm_result read_goal(const struct args *args, mtm_goal *goal, mtm_error *error)
{
    const char *name = args_text(args, "goal", NULL);
    char list[160] = "";
    size_t used = 0;

    *goal = MTM_GOAL_LIGHT;
    if (name == NULL)
        return MTM_OK;
    for (size_t i = 0; i < mtm_goal_count(); i++) {
        const mtm_goal_info *info = mtm_goal_at(i);
        if (strcmp(info->name, name) == 0) {
            *goal = info->goal;
            return MTM_OK;
        }
        int count =
            snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "", info->name);
        if (count > 0 && (size_t)count < sizeof list - used)
            used += (size_t)count;
    }
    return mtmi_fail(error, MTM_PARSE, "--goal: found \"%.60s\", allowed are: %s", name, list);
}

mtm_result goal_from_args(const struct args *args, mtm_goal *goal, mtm_index *index,
                          mtm_error *error)
{
    const mtm_index_info *info = args_choice(args, "index");
    mtm_result result = read_goal(args, goal, error);

    *index = info->index;
    return result;
}

const void *index_row_at(size_t index)
{
    return mtm_index_at(index);
}
