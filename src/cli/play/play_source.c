/* SPDX-License-Identifier: MIT */
/* Play source: where the frames of a command come from: a show, a file of frames, standard input.
 */
#include "cli/play/play_source.h"

#include "base/error.h"
#include "cli/args/rig.h"
#include "cli/out/text.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* E1.11: 44.1 for 512 slots; the usual advice is 44 at most. */
#define RATE_OF_WHOLE_HZ 44

static mtm_result open_frames(const struct args *args, struct play_source *play, mtm_error *error)
{
    static const char *const of_shows[] = {"units",  "cue",         "from",         "refresh",
                                           "dither", "within-load", "from-network", NULL};
    const char *path = args->words[0];

    for (const char *const *option = of_shows; *option != NULL; option++) {
        if (args_has(args, *option))
            return mtmi_fail(error, MTM_PARSE, "--%s is for shows, and %s holds frames", *option,
                             strcmp(path, "-") == 0 ? "standard input" : path);
    }
    mtm_result result =
        mtm_frame_reader_create(mtm_frame_input_stream(play->stream), &play->reader, error);
    if (result != MTM_OK) {
        mtmi_error_prefix(error, strcmp(path, "-") == 0 ? "standard input" : path);
        return result;
    }
    play->source = mtm_frame_reader_source(play->reader, args_has(args, "loop"));
    return MTM_OK;
}

/* Puts a limiter behind the show's frames. */
static mtm_result limit_load(struct play_source *play, mtm_error *error)
{
    play->unlimited = play->source;
    mtm_result result =
        mtm_limiter_create(mtm_show_rig(play->show), NULL, &play->unlimited, &play->limiter, error);

    if (result == MTM_OK)
        play->source = mtm_limiter_source(play->limiter);
    return result;
}

mtm_result play_source_cues(const struct args *args, const mtm_show *show, size_t *from,
                            size_t *cue, mtm_error *error)
{
    double number = args_number(args, "from", 0);
    mtm_result result = MTM_OK;

    *from = MTM_FADER_DARK;
    *cue = 0;
    if (args_has(args, "cue"))
        result = mtm_show_find_cue(show, args_number(args, "cue", 0), cue, error);
    if (result == MTM_OK && number > 0)
        result = mtm_show_find_cue(show, number, from, error);
    return result;
}

static mtm_result open_show(const struct args *args, bool by_hand, struct play_source *play,
                            mtm_error *error)
{
    mtm_fader_options options = {.refresh_hz = args_number(args, "refresh", 0),
                                 .dither = args_has(args, "dither"),
                                 .any_rate = args_has(args, "any-rate")};
    size_t from = MTM_FADER_DARK;
    size_t cue = 0;

    play->by_hand = by_hand;
    mtm_result result = mtm_show_load(args->words[0], &play->show, error);
    if (result == MTM_OK && args_has(args, "units"))
        result = marks_from_args(args, mtm_show_rig(play->show), play->show, &play->meant, error);
    options.meant = play->meant;
    if (result == MTM_OK)
        result = play_source_cues(args, play->show, &from, &cue, error);
    if (result == MTM_OK)
        result = mtm_fader_create(play->show, &options, &play->fader, error);
    if (result == MTM_OK)
        result = mtm_fader_source(play->fader, from, cue,
                                  play->by_hand            ? MTM_PLAY_BY_HAND
                                  : args_has(args, "loop") ? MTM_PLAY_LOOP
                                                           : MTM_PLAY_FOLLOW,
                                  &play->source, error);
    if (result == MTM_OK && args_has(args, "within-load"))
        result = limit_load(play, error);
    return result;
}

/* Sends all 512 slots of each universe: those that the source does not have stay 0. */
static mtm_result widen(struct play_source *play, mtm_error *error)
{
    mtm_frame_layout *layout = &play->source.layout;

    play->whole = calloc(layout->universe_count + 1, sizeof *play->whole);
    if (play->whole == NULL)
        return mtmi_fail_memory(error);
    for (size_t u = 0; u < layout->universe_count; u++)
        play->whole[u] =
            (mtm_frame_universe){layout->universe[u].universe, (uint16_t)MTM_ADDRESS_MAX};
    layout->universe = play->whole;
    return MTM_OK;
}

/* What both kinds of source go through. A file of frames that is only written as text goes to no
 * line, and is as fast as it is. */
static mtm_result finish(const struct args *args, struct play_source *play, mtm_error *error)
{
    bool written = play->show == NULL && strcmp(args->command->name, "frames") == 0;
    mtm_result result = args_has(args, "whole-universes") ? widen(play, error) : MTM_OK;

    if (written && args_has(args, "any-rate"))
        return mtmi_fail(error, MTM_PARSE,
                         "--any-rate is for shows: frames that are there already keep their rate");
    if (result == MTM_OK && !written && !args_has(args, "any-rate"))
        result = mtm_e111_check(&play->source.layout, error);
    return result;
}

/* JSON begins with a brace, perhaps after blanks; frames never do. */
static bool holds_json(FILE *stream)
{
    int first = fgetc(stream);

    (void)ungetc(first, stream);
    return first == '{' || first == ' ' || first == '\t' || first == '\n' || first == '\r';
}

mtm_result play_source_open(const struct args *args, bool by_hand, struct play_source *play,
                            mtm_error *error)
{
    const char *path = args->words[0];

    *play = (struct play_source){0};
    if (strcmp(path, "-") == 0) {
        play->stream = stdin;
        if (args_has(args, "loop"))
            return mtmi_fail(error, MTM_PARSE,
                             "--loop: what comes through standard input cannot be repeated");
        mtm_result result = open_frames(args, play, error);
        return result == MTM_OK ? finish(args, play, error) : result;
    }
    play->stream = fopen(path, "rb");
    if (play->stream == NULL)
        return mtmi_fail(error, errno == ENOENT ? MTM_NOT_FOUND : MTM_IO,
                         "%s: cannot be opened: %s", path, strerror(errno));
    mtm_result result = holds_json(play->stream) ? open_show(args, by_hand, play, error)
                                                 : open_frames(args, play, error);
    return result == MTM_OK ? finish(args, play, error) : result;
}

static bool has_narrow_emitter(const mtm_rig *rig, const bool *meant)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        if (unit->mode->mixing != NULL || (meant != NULL && !meant[i]))
            continue;
        for (size_t k = 0; k < mtm_fixture_emitter_count(unit->fixture); k++) {
            if (unit->mode->emitter_bits[k] == 8)
                return true;
        }
    }
    return false;
}

void play_say(const char *command, const char *sentence, FILE *err)
{
    char text[512];

    (void)snprintf(text, sizeof text, "metamer %s: %s", command, sentence);
    text_put_sentence(text, err);
}

void play_say_dither(const struct args *args, const mtm_show *show, const bool *meant, FILE *err)
{
    if (!args_has(args, "dither") || show == NULL)
        return;
    play_say(args->command->name,
             has_narrow_emitter(mtm_show_rig(show), meant) ? MTM_FLASH_CAUTION
             : args_has(args, "units")
                 ? "--dither changes nothing: no emitter of the chosen units has an 8-bit channel"
                 : "--dither changes nothing: no emitter of the rig has an 8-bit channel",
             err);
}

/* Whether slots are sent that belong to a unit which is not played. */
static bool sends_of(const mtm_frame_layout *layout, const mtm_unit *unit)
{
    for (size_t u = 0; unit->address > 0 && u < layout->universe_count; u++)
        if (layout->universe[u].universe == unit->universe &&
            layout->universe[u].slot_count >= unit->address)
            return true;
    return false;
}

/* A universe goes out as a whole: who sends a part of it takes the rest from other sources. */
static void say_others(const struct args *args, const struct play_source *play, FILE *err)
{
    const mtm_rig *rig = play->show != NULL ? mtm_show_rig(play->show) : NULL;
    char text[320];
    size_t count = 0;
    size_t first = 0;

    for (size_t i = 0; play->meant != NULL && i < mtm_rig_unit_count(rig); i++) {
        if (play->meant[i] || !sends_of(&play->source.layout, mtm_rig_unit(rig, i)))
            continue;
        first = count++ == 0 ? i : first;
    }
    if (count == 0)
        return;
    const char *name = mtm_rig_unit(rig, first)->name;
    const char *then = args_has(args, "from-network") ? "stay as they were heard" : "are dark";
    if (count == 1)
        (void)snprintf(text, sizeof text,
                       "%.60s is not chosen and shares a universe with units that are; a universe "
                       "is sent as a whole: its slots %s",
                       name, then);
    else
        (void)snprintf(text, sizeof text,
                       "%zu units, the first of them %.60s, are not chosen and share a universe "
                       "with units that are; a universe is sent as a whole: their slots %s",
                       count, name, then);
    play_say(args->command->name, text, err);
}

void play_say_cautions(const struct args *args, const struct play_source *play, FILE *err)
{
    double rate_hz = play->source.layout.rate_hz;
    char text[320];

    play_say_dither(args, play->show, play->meant, err);
    say_others(args, play, err);
    if (!(rate_hz > RATE_OF_WHOLE_HZ))
        return;
    (void)snprintf(text, sizeof text,
                   "caution: %g frames a second are more than the %d that a DMX512 line of 512 "
                   "slots carries (ANSI E1.11); gateways that send whole universes leave frames "
                   "out, and fades may step",
                   rate_hz, RATE_OF_WHOLE_HZ);
    play_say(args->command->name, text, err);
}

const struct option_spec play_slot_options[] = {
    OPTION_FLAG("whole-universes",
                "512 slots in each universe, for receivers that take no fewer; those behind the "
                "last unit are 0"),
    OPTION_FLAG("any-rate",
                "faster than ANSI E1.11 allows for the slots of a universe: only where no receiver "
                "feeds DMX512"),
    {0},
};

const struct option_spec play_show_options[] = {
    OPTION_SOME_UNITS,
    OPTION_NUMBER(
        "cue", "N", 0.1, 9999.9,
        "begin with this cue; the usual is the first. Cues that follow by themselves do so"),
    OPTION_NUMBER(
        "from", "N", 0, 9999.9,
        "begin where the look of cue N stands; the usual is 0, the dark. All units go from "
        "there to where the first cue leaves them, in its times"),
    OPTION_NUMBER("refresh", "HZ", MTM_FRAME_RATE_MIN, MTM_FRAME_RATE_MAX,
                  "frames a second; the usual is what the show says"),
    OPTION_FLAG(
        "within-load",
        "lower units where their port or supply would be over its rating; their colours stay"),
    OPTION_FLAG("dither", "let 8-bit channels alternate between codes where that is not seen"),
    {0},
};

void play_source_close(struct play_source *play)
{
    mtm_frame_reader_free(play->reader);
    mtm_limiter_free(play->limiter);
    mtm_fader_free(play->fader);
    mtm_show_free(play->show);
    mtm_rig_free(play->rig);
    free(play->whole);
    free(play->meant);
    if (play->stream != NULL && play->stream != stdin)
        (void)fclose(play->stream);
    *play = (struct play_source){0};
}
