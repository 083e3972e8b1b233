/* SPDX-License-Identifier: MIT */
/* Play source: where the frames of a command come from: a file of frames, or standard input. */
#include "cli/play_source.h"

#include "base/error.h"

#include <errno.h>
#include <string.h>

static mtm_result open_frames(const struct args *args, struct play_source *play, mtm_error *error)
{
    const char *path = args->words[0];

    mtm_result result =
        mtm_frame_reader_create(mtm_frame_input_stream(play->stream), &play->reader, error);
    if (result != MTM_OK) {
        mtmi_error_prefix(error, strcmp(path, "-") == 0 ? "standard input" : path);
        return result;
    }
    play->source = mtm_frame_reader_source(play->reader, args_has(args, "loop"));
    return MTM_OK;
}

mtm_result play_source_open(const struct args *args, struct play_source *play, mtm_error *error)
{
    const char *path = args->words[0];

    *play = (struct play_source){0};
    if (strcmp(path, "-") == 0) {
        play->stream = stdin;
        if (args_has(args, "loop"))
            return mtmi_fail(error, MTM_PARSE,
                             "--loop: what comes through standard input cannot be repeated");
        return open_frames(args, play, error);
    }
    play->stream = fopen(path, "rb");
    if (play->stream == NULL)
        return mtmi_fail(error, errno == ENOENT ? MTM_NOT_FOUND : MTM_IO,
                         "%s: cannot be opened: %s", path, strerror(errno));
    return open_frames(args, play, error);
}

void play_source_close(struct play_source *play)
{
    mtm_frame_reader_free(play->reader);
    if (play->stream != NULL && play->stream != stdin)
        (void)fclose(play->stream);
    *play = (struct play_source){0};
}
