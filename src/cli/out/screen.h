/* SPDX-License-Identifier: MIT */
/* Screen: lines of text on a terminal that are redrawn in place, or plain ones in a pipe. */
#ifndef METAMER_CLI_OUT_SCREEN_H
#define METAMER_CLI_OUT_SCREEN_H

#include <metamer/rgb.h>

#include <stdbool.h>
#include <stdio.h>

/** What a terminal is sent to show again what stood there: as screen_close does. */
#define SCREEN_LEAVE "\033[?25h\033[?1049l"

/** A place to draw. Made by screen_open. */
struct screen {
    FILE *out;
    bool live;   /**< a terminal, redrawn in place */
    bool colour; /**< it shows true colours */
    int width;   /**< columns of a line */
    int height;  /**< lines */
    int line;    /**< being drawn, from 0 */
    int column;
};

/** Plain where out is no terminal, or live is not wanted. */
struct screen screen_open(FILE *out, bool live);
/** Puts the terminal back as it was. */
void screen_close(struct screen *screen);

/** Begins a picture: at the top of a terminal, below what stands in a pipe. */
void screen_begin(struct screen *screen);
/** Text, cut at the width; control characters become '?'. */
void screen_put(struct screen *screen, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/** Text padded or cut to width letters. */
void screen_cell(struct screen *screen, const char *text, int width);
/** Four columns of a colour; nothing where colours cannot be shown. */
void screen_swatch(struct screen *screen, mtm_rgb rgb);
void screen_end_line(struct screen *screen);
/** Ends the picture; tells how many lines did not fit. */
void screen_end(struct screen *screen);

#endif
