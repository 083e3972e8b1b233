/* SPDX-License-Identifier: MIT */
/* Show notes: what is said of a show's units that cannot do what a cue asks. */
#ifndef METAMER_CLI_SHOW_NOTES_H
#define METAMER_CLI_SHOW_NOTES_H

#include <metamer/show.h>

#include <stdio.h>

/** One line a cue and reason, each behind prefix; nothing where all units that are meant (NULL: of
 *  the rig) do as asked. */
MTM_CHECKED mtm_result show_note_goals(const mtm_show *show, const bool *meant, const char *prefix,
                                       FILE *out, mtm_error *error);

#endif
