/* SPDX-License-Identifier: MIT */
/* Show notes: what is said of a show's units that cannot do what a cue asks. */
#include "cli/show_notes.h"

#include <metamer/show_goals.h>

#include <math.h>
#include <string.h>

/* Lines that are written, and units named in each; the rest is counted. */
enum { LINES_MAX = 12, NAMES_MAX = 3 };

/* The units of one cue that lapse for one reason, while they are gathered. */
struct notes {
    const mtm_show *show;
    const bool *meant;
    const char *prefix;
    FILE *out;
    mtm_goal_lapse first; /* of the line */
    double nearest_uv;    /* of its units that stay dark */
    size_t count;         /* units of the line; 0: none yet */
    char names[256];
    size_t lines;
};

static void put_names(const struct notes *notes)
{
    (void)fputs(notes->names, notes->out);
    if (notes->count > NAMES_MAX)
        (void)fprintf(notes->out, " and %zu more", notes->count - NAMES_MAX);
}

static void put_line(const struct notes *notes)
{
    (void)fprintf(notes->out, "%scue %.6g", notes->prefix,
                  mtm_show_cue(notes->show, notes->first.cue)->number);
    if (notes->first.left_dark_uv > 0) {
        (void)fputs(": ", notes->out);
        put_names(notes);
        (void)fprintf(notes->out, " stay%s dark: no nearer to the colour than %.4f\n",
                      notes->count == 1 ? "s" : "", notes->nearest_uv);
        return;
    }
    (void)fprintf(notes->out, ", goal %s: ", mtm_goal_at(notes->first.goal)->name);
    put_names(notes);
    (void)fprintf(notes->out, " go%s by light: %s\n", notes->count == 1 ? "es" : "",
                  mtm_fallback_text(notes->first.why));
}

/* Whether a lapse stands in the line that is being gathered. */
static bool goes_on(const struct notes *notes, const mtm_goal_lapse *lapse)
{
    const mtm_goal_lapse *first = &notes->first;
    bool dark = lapse->left_dark_uv > 0;

    return notes->count > 0 && first->cue == lapse->cue && (first->left_dark_uv > 0) == dark &&
           (dark || (first->goal == lapse->goal && first->why == lapse->why));
}

static void end_line(struct notes *notes)
{
    if (notes->count == 0)
        return;
    if (notes->lines++ < LINES_MAX)
        put_line(notes);
    notes->count = 0;
    notes->names[0] = '\0';
}

static void gather(void *context, const mtm_goal_lapse *lapse)
{
    struct notes *notes = context;
    const char *name = mtm_rig_unit(mtm_show_rig(notes->show), lapse->unit)->name;
    size_t used = strlen(notes->names);

    if (notes->meant != NULL && !notes->meant[lapse->unit])
        return;
    if (!goes_on(notes, lapse)) {
        end_line(notes);
        used = 0;
        notes->first = *lapse;
        notes->nearest_uv = lapse->left_dark_uv;
    }
    notes->nearest_uv = fmin(notes->nearest_uv, lapse->left_dark_uv);
    if (notes->count < NAMES_MAX)
        (void)snprintf(notes->names + used, sizeof notes->names - used, "%s%.60s",
                       notes->count > 0 ? ", " : "", name);
    notes->count++;
}

mtm_result show_note_goals(const mtm_show *show, const bool *meant, const char *prefix, FILE *out,
                           mtm_error *error)
{
    struct notes notes = {.show = show, .meant = meant, .prefix = prefix, .out = out};
    mtm_result result = mtm_show_goal_lapses(show, gather, &notes, error);

    if (result != MTM_OK)
        return result;
    end_line(&notes);
    if (notes.lines > LINES_MAX)
        (void)fprintf(out, "%sand %zu more such lines\n", prefix, notes.lines - LINES_MAX);
    return MTM_OK;
}
