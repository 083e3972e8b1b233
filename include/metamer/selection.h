/* SPDX-License-Identifier: MIT */
/* Selection: units chosen from a rig by name, group, pattern or kind. */
#ifndef METAMER_SELECTION_H
#define METAMER_SELECTION_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/**
 * Chooses units by terms that commas split:
 *   - the name of a unit, or of a group of the rig; "all": every unit;
 *   - a pattern of names of units, in which * stands for any characters (none, too), ? for one
 *     character, and 1..4 for a number from 1 to 4 ("wash-*", "bar-?-1..6"; leading zeros do not
 *     count; units with the first and with the last number must be there, between them some may
 *     be missing);
 *   - "kind:" and the name of a fixture, or a pattern of such names ("kind:five-colour wash");
 *   - "!" before any of these: all but these. Wherever it stands, it is applied last; where every
 *     term has it, it takes away from all units.
 * A name goes before a pattern of the same letters, and a text that is a name as a whole is not
 * split. Blanks about a term do not count. Units come in the order of the terms, those of a group
 * in its order, those of a pattern in the order of the rig, each where it is met first.
 *
 * @param text       NULL: every unit
 * @param unit       room for all units of the rig; indices, set on MTM_OK
 * @param unit_count set on MTM_OK, at least 1
 * @return MTM_OK; MTM_INVALID; MTM_NOT_FOUND (a term that nothing meets; the sentence names the
 *         nearest name); MTM_PARSE (a term that is empty or runs down, a unit that is named twice,
 *         no unit left); MTM_LIMIT (more patterns than can be looked through in about a second);
 *         MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_select(const mtm_rig *rig, const char *text, size_t *unit,
                                              size_t *unit_count, mtm_error *error);

/** Number of groups of the rig; "all" is none of them. */
MTM_API size_t mtm_rig_group_count(const mtm_rig *rig);
/** Borrowed; index < count. */
MTM_API const char *mtm_rig_group_name(const mtm_rig *rig, size_t index);
/** Units of a group in its order, borrowed indices; index < count. */
MTM_API const size_t *mtm_rig_group(const mtm_rig *rig, size_t index, size_t *unit_count);

/**
 * Adds a group behind the others; copies all. Units that are added later are not in it.
 * @param name of no unit and no group, not empty, not "all"
 * @param unit count indices, each once
 * @return MTM_OK; MTM_INVALID; MTM_LIMIT (256 groups, of 10000000 units together); MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_add_group(mtm_rig *rig, const char *name, const size_t *unit,
                                                 size_t count, mtm_error *error);

/**
 * Takes all other units out of a rig, in its order; supplies, circuits and fixtures stay. Where
 * the leader of some units goes, the first of those leads the others. Groups keep what is left of
 * them, named one by one, and those without a unit go. What was borrowed of units and groups, or
 * made of the rig, is no longer valid.
 * @param unit count indices (at least one), in any order
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_rig_restrict(mtm_rig *rig, const size_t *unit, size_t count,
                                                mtm_error *error);

MTM_END
#endif
