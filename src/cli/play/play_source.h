/* SPDX-License-Identifier: MIT */
/* Play source: where the frames of a command come from: a show, a file of frames, standard input.
 */
#ifndef METAMER_CLI_PLAY_PLAY_SOURCE_H
#define METAMER_CLI_PLAY_PLAY_SOURCE_H

#include "cli/args/args.h"

#include <metamer/fade.h>
#include <metamer/frames.h>
#include <metamer/limiter.h>
#include <metamer/show.h>

/** --units, --cue, --refresh, --dither, --within-load; --loop is the command's own. */
extern const struct option_spec play_show_options[];
/** Of shows and frames: --any-rate, --whole-universes. */
extern const struct option_spec play_slot_options[];

/** What has been opened. Zeroed holds nothing. */
struct play_source {
    bool by_hand; /* the cues of a show are started by hand */
    FILE *stream; /* not ours where it is standard input */
    mtm_frame_reader *reader;
    mtm_show *show;
    bool *meant;  /* of its units, those that are played; NULL: all */
    mtm_rig *rig; /* of frames, where it was named */
    mtm_fader *fader;
    mtm_frame_source unlimited; /* the show's own frames, with --within-load */
    mtm_limiter *limiter;
    mtm_frame_source source;
    mtm_frame_universe *whole; /* its universes, with --whole-universes */
};

/** Opens what the first word names, by its first character a show (JSON) or frames; "-" is frames
 *  from standard input. by_hand: if it is a show, its cues are. Closed by play_source_close, also
 *  after a failure. */
MTM_CHECKED mtm_result play_source_open(const struct args *args, bool by_hand,
                                        struct play_source *play, mtm_error *error);
/** The cue to begin with (--cue, or the first), and what stands before (--from, or the dark). */
MTM_CHECKED mtm_result play_source_cues(const struct args *args, const mtm_show *show, size_t *from,
                                        size_t *cue, mtm_error *error);
/** Where --dither is given: its caution, or that it changes nothing, for want of 8-bit channels of
 *  the units that are meant (NULL: all). */
void play_say_dither(const struct args *args, const mtm_show *show, const bool *meant, FILE *err);
/** Prints a sentence of a command: "metamer frames: ...", in lines as text_put_sentence. */
void play_say(const char *command, const char *sentence, FILE *err);
/** That caution, that of frames faster than lines of 512 slots carry, and what becomes of units
 * that are not played and share a universe with some that are. */
void play_say_cautions(const struct args *args, const struct play_source *play, FILE *err);
void play_source_close(struct play_source *play);

/** Names on err what ports, supplies and circuits would carry beyond their ratings in the cues that
 *  are to be played. Nothing is said of frames from a file, and with --within-load. */
MTM_CHECKED mtm_result play_name_overloads(const struct args *args, const struct play_source *play,
                                           const char *command, FILE *err, mtm_error *error);

#endif
