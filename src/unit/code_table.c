/* SPDX-License-Identifier: MIT */
/* Code tables: made from look-up tables, once for all that are alike. */
#include "unit/code_table.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>

void mtmi_code_tables_free(struct mtmi_code_tables *tables)
{
    for (size_t i = 0; i < tables->count; i++)
        free(tables->made[i].step);
    free(tables->made);
    *tables = (struct mtmi_code_tables){0};
}

/* The level of a step: how far it is from its end is the upper bits of a double. */
static double level_at(size_t step)
{
    size_t up = step % MTMI_HALF_TABLE;
    size_t whole = up >> MTMI_STEP_BITS;
    size_t part = up & ((1u << MTMI_STEP_BITS) - 1);
    double from_end =
        ldexp(1 + (double)part / (1 << MTMI_STEP_BITS), (int)whole - MTMI_OCTAVES - 1);

    if (up == 0)
        from_end = 0;
    return step < MTMI_HALF_TABLE ? from_end : 1 - from_end;
}

static void fill(const struct mtmi_table *from, struct mtmi_code_step *step)
{
    /* 24 bits as 16, so that they have room: whoever needs more asks the table itself */
    const double scale = from->most > 65535 ? 65536 * (65535.0 / from->most) : 65536;

    step[0].code = 0;
    for (size_t i = 1; i < MTMI_CODE_STEPS; i++)
        step[i].code = (uint32_t)llround(scale * mtmi_table_code_at(from, level_at(i)));
    for (size_t i = 0; i + 1 < MTMI_CODE_STEPS; i++) {
        uint32_t low = step[i].code, high = step[i + 1].code;
        if (i >= MTMI_HALF_TABLE) {
            low = step[i + 1].code;
            high = step[i].code;
        }
        step[i].rise = high > low ? high - low : 0;
    }
    step[MTMI_HALF_TABLE - 1].rise = 0;
    step[MTMI_CODE_STEPS - 1].rise = 0;
}

static mtm_result grow(struct mtmi_code_tables *tables, mtm_error *error)
{
    if (tables->count < tables->room)
        return MTM_OK;
    size_t room = 2 * tables->room + 8;
    struct mtmi_code_table *grown = realloc(tables->made, room * sizeof *grown);
    if (grown == NULL)
        return mtmi_fail_memory(error);
    tables->made = grown;
    tables->room = room;
    return MTM_OK;
}

mtm_result mtmi_code_tables_get(struct mtmi_code_tables *tables, const struct mtmi_table *from,
                                const struct mtmi_code_step **step, mtm_error *error)
{
    for (size_t i = 0; i < tables->count; i++) {
        if (mtmi_table_equal(tables->made[i].from, from)) {
            *step = tables->made[i].step;
            return MTM_OK;
        }
    }
    mtm_result result = grow(tables, error);
    if (result != MTM_OK)
        return result;
    struct mtmi_code_table made = {from, calloc(MTMI_CODE_STEPS, sizeof *made.step)};
    if (made.step == NULL)
        return mtmi_fail_memory(error);
    fill(from, made.step);
    tables->made[tables->count++] = made;
    *step = made.step;
    return MTM_OK;
}
