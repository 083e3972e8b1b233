/* SPDX-License-Identifier: MIT */
/* Show notes: what is said of a show's units that cannot do what the goal of a cue asks. */
#include "cli/show_notes.h"

#include <metamer/show_goals.h>

#include <string.h>

/* Lines that are written, and units named in each; the rest is counted. */
enum { LINES_MAX = 12, NAMES_MAX = 3 };

/* The units of one cue that lapse for one reason, while they are gathered. */
struct notes {
    const mtm_show *show;
    const char *prefix;
    FILE *out;
    mtm_goal_lapse first; /* of the line */
    size_t count;         /* units of the line; 0: none yet */
    char names[256];
    size_t lines;
};

static void end_line(struct notes *notes)
{
    if (notes->count == 0)
        return;
    if (notes->lines++ < LINES_MAX) {
        (void)fprintf(notes->out, "%scue %.6g, goal %s: %s", notes->prefix,
                      mtm_show_cue(notes->show, notes->first.cue)->number,
                      mtm_goal_at(notes->first.goal)->name, notes->names);
        if (notes->count > NAMES_MAX)
            (void)fprintf(notes->out, " and %zu more", notes->count - NAMES_MAX);
        (void)fprintf(notes->out, " go%s by light: %s\n", notes->count == 1 ? "es" : "",
                      mtm_fallback_text(notes->first.why));
    }
    notes->count = 0;
    notes->names[0] = '\0';
}

static void gather(void *context, const mtm_goal_lapse *lapse)
{
    struct notes *notes = context;
    const char *name = mtm_rig_unit(mtm_show_rig(notes->show), lapse->unit)->name;
    size_t used = strlen(notes->names);

    if (notes->count > 0 && (notes->first.cue != lapse->cue || notes->first.goal != lapse->goal ||
                             notes->first.why != lapse->why)) {
        end_line(notes);
        used = 0;
    }
    if (notes->count == 0)
        notes->first = *lapse;
    if (notes->count < NAMES_MAX)
        (void)snprintf(notes->names + used, sizeof notes->names - used, "%s%.60s",
                       notes->count > 0 ? ", " : "", name);
    notes->count++;
}

mtm_result show_note_goals(const mtm_show *show, const char *prefix, FILE *out, mtm_error *error)
{
    struct notes notes = {.show = show, .prefix = prefix, .out = out};
    mtm_result result = mtm_show_goal_lapses(show, gather, &notes, error);

    if (result != MTM_OK)
        return result;
    end_line(&notes);
    if (notes.lines > LINES_MAX)
        (void)fprintf(out, "%sand %zu more such lines\n", prefix, notes.lines - LINES_MAX);
    return MTM_OK;
}
