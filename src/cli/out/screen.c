/* SPDX-License-Identifier: MIT */
/* Screen: lines of text on a terminal that are redrawn in place, or plain ones in a pipe. */
#include "cli/out/screen.h"

#include "cli/out/text.h"

#include <limits.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define ESC "\033["
/* Another screen, so that what stood there comes back; no blinking cursor in the table. */
#define ENTER ESC "?1049h" ESC "?25l"

static bool shows_colours(void)
{
    const char *term = getenv("COLORTERM"); /* what terminals with 24-bit colours set */

    return term != NULL && (strcmp(term, "truecolor") == 0 || strcmp(term, "24bit") == 0) &&
           getenv("NO_COLOR") == NULL;
}

struct screen screen_open(FILE *out, bool live)
{
    struct screen screen = {.out = out, .width = INT_MAX, .height = INT_MAX};
    bool terminal = isatty(fileno(out)) == 1;

    screen.live = terminal && live;
    screen.colour = terminal && shows_colours();
    if (screen.live)
        (void)fputs(ENTER, out);
    return screen;
}

void screen_close(struct screen *screen)
{
    if (screen->live) {
        (void)fputs(SCREEN_LEAVE, screen->out);
        (void)fflush(screen->out);
    }
    screen->live = false;
    screen->width = INT_MAX;
    screen->height = INT_MAX;
}

void screen_begin(struct screen *screen)
{
    struct winsize size = {0};

    screen->line = 0;
    screen->column = 0;
    if (!screen->live)
        return;
    bool known = ioctl(fileno(screen->out), TIOCGWINSZ, &size) == 0 && size.ws_col > 0;
    screen->width = known ? size.ws_col : 80;
    screen->height = known ? size.ws_row : 24;
    (void)fputs(ESC "H", screen->out);
}

/* Lines below the last but one are counted, not drawn. */
static bool shown(const struct screen *screen)
{
    return screen->line < screen->height - 1;
}

/* One letter of UTF-8 at text; its octets. Control characters of either kind drive no terminal. */
static size_t put_letter(struct screen *screen, const char *text)
{
    const unsigned char *c = (const unsigned char *)text;
    size_t count = 1;

    while ((c[count] & 0xc0) == 0x80)
        count++;
    bool control = c[0] < 0x20 || c[0] == 0x7f || (c[0] == 0xc2 && count == 2 && c[1] < 0xa0);
    if (shown(screen) && screen->column < screen->width) {
        if (control)
            (void)fputc('?', screen->out);
        else
            (void)fwrite(text, 1, count, screen->out);
        screen->column++;
    }
    return count;
}

/* Letters up to the next blank. */
static int word_letters(const char *text)
{
    int letters = 0;

    for (; *text != '\0' && *text != ' '; text++)
        letters += ((unsigned char)*text & 0xc0) != 0x80;
    return letters;
}

/* A word that the line has no room for is left out whole, with all behind it: a number that is cut
 * is another number. */
static void put_text(struct screen *screen, const char *text, int letters)
{
    bool begins = true;

    while (*text != '\0' && letters-- > 0) {
        int word = begins ? word_letters(text) : 0;
        word = word > letters ? letters + 1 : word; /* of a cell that is cut, with its ellipsis */
        if (screen->column < screen->width && word > screen->width - screen->column) {
            if (shown(screen))
                (void)fputs("…", screen->out);
            screen->column = screen->width;
        }
        begins = *text == ' ';
        text += put_letter(screen, text);
    }
}

void screen_put(struct screen *screen, const char *format, ...)
{
    char text[1024];
    va_list arguments;

    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    put_text(screen, text, INT_MAX);
}

void screen_cell(struct screen *screen, const char *text, int width)
{
    int letters = text_width(text);

    put_text(screen, text, letters > width ? width - 1 : width);
    if (letters > width)
        put_text(screen, "…", 1);
    for (; letters < width; letters++)
        put_text(screen, " ", 1);
}

static int octet(double value)
{
    return (int)lround(255 * fmin(fmax(value, 0), 1));
}

void screen_swatch(struct screen *screen, mtm_rgb rgb)
{
    if (!screen->colour)
        return;
    if (shown(screen))
        (void)fprintf(screen->out, ESC "48;2;%d;%d;%dm", octet(rgb.r), octet(rgb.g), octet(rgb.b));
    put_text(screen, "    ", 4);
    if (shown(screen))
        (void)fputs(ESC "0m", screen->out);
}

void screen_end_line(struct screen *screen)
{
    if (shown(screen))
        (void)fputs(screen->live ? ESC "K\r\n" : "\n", screen->out);
    screen->line++;
    screen->column = 0;
}

void screen_end(struct screen *screen)
{
    int hidden = screen->line - (screen->height - 1);

    if (screen->live && hidden > 0)
        (void)fprintf(screen->out, "... %d more lines; a taller window shows them" ESC "K", hidden);
    if (screen->live)
        (void)fputs(ESC "J", screen->out);
    (void)fflush(screen->out);
}
