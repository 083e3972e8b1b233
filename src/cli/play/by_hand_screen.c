/* SPDX-License-Identifier: MIT */
/* By hand: the picture of a show that is being played: its cues, what stands, what runs. */
#include "cli/play/by_hand.h"

#include <stdio.h>
#include <string.h>

/* Lines that are no cues: heads, what runs, the counts, a sentence, the keys, blanks. */
#define OTHER_LINES 12

static const char *what_it_does(const mtm_fader_progress *progress, size_t cue)
{
    if (cue == progress->cue)
        return progress->left_s > 0 ? "runs" : "stands";
    return cue == progress->next ? "next" : "";
}

static void put_seconds(struct screen *screen, double seconds)
{
    char text[32];

    (void)snprintf(text, sizeof text, "%.6g s", seconds);
    screen_cell(screen, text, 9);
}

static void draw_cue(struct by_hand *hand, const mtm_fader_progress *progress, size_t index)
{
    const mtm_cue *cue = mtm_show_cue(hand->show, index);
    struct screen *screen = &hand->screen;
    char text[32];

    screen_cell(screen, what_it_does(progress, index), 8);
    (void)snprintf(text, sizeof text, "%.6g", cue->number);
    screen_cell(screen, text, 8);
    put_seconds(screen, cue->up_s);
    put_seconds(screen, cue->down_s);
    put_seconds(screen, cue->delay_s);
    if (cue->follow_s < 0)
        screen_cell(screen, "by hand", 12);
    else
        (void)snprintf(text, sizeof text, "after %.6g s", cue->follow_s),
            screen_cell(screen, text, 12);
    screen_put(screen, " %s", cue->text);
    screen_end_line(screen);
}

/* As many cues as there is room for, with two of those before. */
static void draw_cues(struct by_hand *hand, const mtm_fader_progress *progress, size_t lines)
{
    size_t count = mtm_show_cue_count(hand->show);
    size_t at = progress->cue != MTM_FADER_DARK ? progress->cue : progress->next;
    size_t first = at > 2 ? at - 2 : 0;

    if (count <= lines || first + lines > count)
        first = count > lines ? count - lines : 0;
    screen_put(&hand->screen, "%-8s%-8s%-9s%-9s%-9s%-12s %s", "", "cue", "up", "down", "delay",
               "next", "text");
    screen_end_line(&hand->screen);
    for (size_t i = first; i < count && i < first + lines; i++)
        draw_cue(hand, progress, i);
    if (count > lines) {
        screen_put(&hand->screen, "%zu of %zu cues", lines, count);
        screen_end_line(&hand->screen);
    }
    screen_end_line(&hand->screen);
}

static void draw_present(struct by_hand *hand, const mtm_fader_progress *progress)
{
    struct screen *screen = &hand->screen;
    const mtm_cue *now = mtm_show_cue(hand->show, progress->cue);
    const mtm_cue *next = mtm_show_cue(hand->show, progress->next);

    if (now == NULL)
        screen_put(screen, "no cue has run yet");
    else if (progress->left_s > 0)
        screen_put(screen, "cue %.6g runs, %.1f s left", now->number, progress->left_s);
    else
        screen_put(screen, "cue %.6g stands", now->number);
    if (next == NULL)
        screen_put(screen, "; it is the last");
    else if (progress->follow_s >= 0)
        screen_put(screen, "; cue %.6g follows in %.1f s", next->number, progress->follow_s);
    else
        screen_put(screen, "; cue %.6g is next", next->number);
    screen_end_line(screen);
}

static void draw_what_holds(struct by_hand *hand, const struct by_hand_state *state)
{
    const struct row {
        bool holds;
        const char *text;
    } rows[] = {
        {state->released,
         "RELEASED: nothing is sent, nothing moves; g or r begins again from here"},
        {state->progress.paused, "PAUSED: nothing moves, no time passes; g or p goes on"},
        {state->progress.held, "HELD: no cue follows by itself; h lets them"},
        {state->quit_asked, "q once more ends it"},
        {state->sentence[0] != '\0', state->sentence},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (!rows[i].holds)
            continue;
        screen_put(&hand->screen, "%s", rows[i].text);
        screen_end_line(&hand->screen);
    }
}

static void draw_counts(struct by_hand *hand, const struct by_hand_state *state)
{
    const mtm_player_report *report = &state->report;

    screen_put(&hand->screen, "%llu frames sent, %llu dropped, %llu refused by the network",
               (unsigned long long)report->sent, (unsigned long long)report->dropped,
               (unsigned long long)report->refused);
    screen_end_line(&hand->screen);
    if (report->refused > 0) {
        screen_put(&hand->screen, "%s", report->network_note);
        screen_end_line(&hand->screen);
    }
}

static void draw_notes(struct by_hand *hand)
{
    for (const char *at = hand->notes; at != NULL && *at != '\0';) {
        size_t length = strcspn(at, "\n");
        screen_put(&hand->screen, "%.*s", (int)length, at);
        screen_end_line(&hand->screen);
        at += length + (at[length] == '\n');
    }
}

void by_hand_draw(struct by_hand *hand, const struct by_hand_state *state)
{
    struct screen *screen = &hand->screen;

    screen_begin(screen);
    size_t lines = screen->height > OTHER_LINES + 3 ? (size_t)screen->height - OTHER_LINES : 3;
    screen_put(screen, "%s, to %s, %g frames a second, %.0f s", mtm_show_name(hand->show), hand->to,
               hand->inner->layout.rate_hz, state->seconds);
    screen_end_line(screen);
    screen_end_line(screen);
    draw_cues(hand, &state->progress, lines);
    draw_present(hand, &state->progress);
    screen_put(screen, "g or space: go   b: back   p: pause   h: hold   r: release   q: quit");
    screen_end_line(screen);
    draw_what_holds(hand, state);
    screen_end_line(screen);
    draw_counts(hand, state);
    draw_notes(hand);
    screen_end(screen);
}
