/* SPDX-License-Identifier: MIT */
/* Palette: a file of named colours. */
#ifndef METAMER_PALETTE_H
#define METAMER_PALETTE_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/rig.h>
#include <metamer/target.h>

MTM_BEGIN

#define MTM_PALETTE_COLOURS_MAX 4096 /**< most colours of a palette */

/** Named colours. Immutable once made; may be shared by threads. */
typedef struct mtm_palette mtm_palette;

/**
 * Reads a "colours/1" file: "metamer": "colours/1"; "name"; "colours", an object of 1..4096 colours
 * by name, each in any form that a show takes; perhaps "note". Files that it names are looked for
 * beside it first. The caller frees it.
 *
 * @param rig      where a colour "like" a unit finds that unit; may be NULL; not kept
 * @param observer for whom the colours are meant
 * @return MTM_OK, or as all that reads a file (see mtm_result)
 */
MTM_API MTM_CHECKED mtm_result mtm_palette_load(const char *path, const mtm_rig *rig,
                                                mtm_observer observer, mtm_palette **out,
                                                mtm_error *error);
/** The same from text in memory; base_dir (may be NULL) is where relative paths start. Results as
 *  of all that reads text (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_palette_parse(const char *text, size_t length,
                                                 const char *name_for_errors, const char *base_dir,
                                                 const mtm_rig *rig, mtm_observer observer,
                                                 mtm_palette **out, mtm_error *error);
/** Frees a palette; NULL is allowed. */
MTM_API void mtm_palette_free(mtm_palette *palette);

/** Its name; borrowed. */
MTM_API const char *mtm_palette_name(const mtm_palette *palette);
/** Number of colours. */
MTM_API size_t mtm_palette_count(const mtm_palette *palette);
/** Name of a colour; borrowed; NULL for index >= count. */
MTM_API const char *mtm_palette_colour_name(const mtm_palette *palette, size_t index);
/** A colour; borrowed; NULL for index >= count. */
MTM_API const mtm_target *mtm_palette_colour(const mtm_palette *palette, size_t index);

MTM_END
#endif
