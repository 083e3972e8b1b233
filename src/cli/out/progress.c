/* SPDX-License-Identifier: MIT */
/* Progress: a line that is written over, on a terminal only, for what takes more than a second. */
#include "cli/out/progress.h"

#include <metamer/stream.h>

#include <unistd.h>

#define FIRST_NS UINT64_C(1000000000)
#define AGAIN_NS UINT64_C(200000000)

struct progress progress_begin(FILE *err)
{
    struct progress progress = {.began_ns = mtm_stream_now_ns()};

    progress.err = isatty(fileno(err)) == 1 ? err : NULL;
    return progress;
}

void progress_show(struct progress *progress, const char *what, double part)
{
    uint64_t now_ns = progress->err != NULL ? mtm_stream_now_ns() : 0;

    if (progress->err == NULL || now_ns - progress->began_ns < FIRST_NS ||
        now_ns - progress->told_ns < AGAIN_NS)
        return;
    progress->told_ns = now_ns;
    (void)fprintf(progress->err, "\r%s: %.0f %%\033[K", what, 100 * part);
    (void)fflush(progress->err);
}

void progress_end(const struct progress *progress)
{
    if (progress->err != NULL && progress->told_ns > 0)
        (void)fprintf(progress->err, "\r\033[K");
}
