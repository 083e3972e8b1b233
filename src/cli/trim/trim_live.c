/* SPDX-License-Identifier: MIT */
/* Live readings: one unit at a time at the terminal, every reading saved as it is typed. */
#include "cli/trim/trim_live.h"

#include "cli/out/replace.h"

#include "base/error.h"
#include "base/number.h"
#include "unit/table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One line of what a person types; longer ones are cut. */
#define LINE_ROOM 256

/* One thing to be read: the codes of one unit. */
struct step {
    size_t unit;
    mtm_codes codes;
    const char *emitter; /* alone; NULL: all, or the trimmed codes */
    bool dark;           /* the first: the room without our light */
    bool done;           /* read before this session */
};

struct session {
    const struct live *live;
    FILE *in;
    FILE *out;
    struct step *steps;
    size_t count;
    size_t at;
    bool backed_up;         /* a copy of the file as it was before this session */
    mtm_calibration *known; /* what the readings so far tell; NULL at first */
};

/* What became of a line. */
enum turn { TURN_NEXT, TURN_BACK, TURN_AGAIN, TURN_LEAVE };

static mtm_codes full_codes(const mtm_unit *unit, size_t emitter, bool all)
{
    mtm_codes codes = {0};

    if (unit->mode->dimmer_bits > 0)
        codes.dimmer = (uint32_t)mtmi_code_max(unit->mode->dimmer_bits);
    for (size_t i = 0; i < mtm_fixture_emitter_count(unit->fixture); i++) {
        if (all || i == emitter)
            codes.emitter[i] = (uint32_t)mtmi_code_max(unit->mode->emitter_bits[i]);
    }
    return codes;
}

static size_t plan_singles(const mtm_rig *rig, struct step *steps)
{
    size_t count = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        size_t emitters = mtm_fixture_emitter_count(unit->fixture);
        if (unit->mode->mixing != NULL)
            continue; /* its emitters cannot be lit alone */
        for (size_t k = 0; k < emitters; k++)
            steps[count++] = (struct step){.unit = i,
                                           .codes = full_codes(unit, k, false),
                                           .emitter = mtm_fixture_emitter(unit->fixture, k)->name};
        steps[count++] = (struct step){.unit = i, .codes = full_codes(unit, 0, true)};
    }
    return count;
}

static size_t plan_trimmed(const struct trim_sets *sets, struct step *steps)
{
    size_t count = 0;

    for (size_t set = 0; set < sets->count; set++) {
        const mtm_trim *trim = sets->set[set].trim;

        for (size_t i = 0; i < mtm_trim_count(trim); i++)
            steps[count++] = (struct step){.unit = mtm_trim_at(trim, i)->unit,
                                           .codes = mtm_trim_at(trim, i)->codes};
    }
    return count;
}

static mtm_result plan(struct session *s, mtm_error *error)
{
    size_t room = 1;

    for (size_t i = 0; i < mtm_rig_unit_count(s->live->rig); i++)
        room += 1 + mtm_fixture_emitter_count(mtm_rig_unit(s->live->rig, i)->fixture);
    s->steps = calloc(room, sizeof *s->steps);
    if (s->steps == NULL)
        return mtmi_fail_memory(error);
    s->steps[0].dark = true;
    s->count = 1 + (s->live->sets.count > 0 ? plan_trimmed(&s->live->sets, s->steps + 1)
                                            : plan_singles(s->live->rig, s->steps + 1));
    return MTM_OK;
}

static mtm_reading reading_of(const struct session *s, const struct step *step)
{
    mtm_reading reading = {.unit = MTM_READING_ROOM, .dimmer = 1};

    if (step->dark)
        return reading;
    const mtm_unit *unit = mtm_rig_unit(s->live->rig, step->unit);
    reading.unit = step->unit;
    if (unit->mode->dimmer_bits > 0)
        reading.dimmer = step->codes.dimmer / mtmi_code_max(unit->mode->dimmer_bits);
    for (size_t i = 0; i < mtm_fixture_emitter_count(unit->fixture); i++)
        reading.code[i] = step->codes.emitter[i] / mtmi_code_max(unit->mode->emitter_bits[i]);
    return reading;
}

static bool same(const mtm_reading *a, const mtm_reading *b)
{
    if (a->unit != b->unit || fabs(a->dimmer - b->dimmer) > MTMI_NOISE)
        return false;
    for (size_t i = 0; i < MTM_EMITTERS_MAX; i++) {
        if (fabs(a->code[i] - b->code[i]) > MTMI_NOISE)
            return false;
    }
    return true;
}

static bool is_read(const struct session *s, const struct step *step)
{
    mtm_reading wanted = reading_of(s, step);

    for (size_t i = 0; i < mtm_readings_count(s->live->readings); i++) {
        if (same(mtm_readings_at(s->live->readings, i), &wanted))
            return true;
    }
    return false;
}

static void show_slots(const struct session *s, const struct step *step)
{
    const mtm_unit *unit = mtm_rig_unit(s->live->rig, step->unit);
    uint8_t slot[MTM_ADDRESS_MAX];

    mtm_codes_to_slots(unit->mode, &step->codes, slot);
    if (unit->address > 0)
        (void)fprintf(s->out, "  universe %d, address %d: set", unit->universe, unit->address);
    else
        (void)fprintf(s->out, "  set its slots to");
    for (size_t k = 0; k < unit->mode->slot_count; k++)
        (void)fprintf(s->out, " %d", slot[k]);
    (void)fprintf(s->out, ", all other units dark\n");
}

static void show_step(const struct session *s)
{
    const struct step *step = &s->steps[s->at];

    (void)fprintf(s->out, "\n[%zu of %zu] ", s->at + 1, s->count);
    if (step->dark) {
        (void)fprintf(s->out, "the room, all units dark (0 if the meter reads nothing)\n");
    } else {
        const char *name = mtm_rig_unit(s->live->rig, step->unit)->name;
        if (step->emitter != NULL)
            (void)fprintf(s->out, "%s: %s alone at full\n", name, step->emitter);
        else
            (void)fprintf(s->out, "%s: %s\n", name,
                          s->live->sets.count > 0 ? "the trimmed codes" : "all at full");
        show_slots(s, step);
    }
    (void)fprintf(s->out, "x y Y > ");
    (void)fflush(s->out);
}

/* A line without its end; false at the end of the input. What does not fit is read past. */
static bool read_line(FILE *in, char line[LINE_ROOM])
{
    size_t length = 0;
    int c = fgetc(in);

    if (c == EOF)
        return false;
    for (; c != EOF && c != '\n'; c = fgetc(in)) {
        if (length + 1 < LINE_ROOM)
            line[length++] = (char)c;
    }
    while (length > 0 && strchr(" \t\r", line[length - 1]) != NULL)
        length--;
    line[length] = '\0';
    return true;
}

static bool is_word(const char *line, const char *word)
{
    line += strspn(line, " \t");
    return strcmp(line, word) == 0 || (line[0] == word[0] && line[1] == '\0');
}

static void show_help(const struct session *s)
{
    (void)fprintf(s->out, "  x y Y   what the meter reads: 0.4339 0.4033 812 (decimal commas too)\n"
                          "  back    to the reading before, which is taken away\n"
                          "  skip    leave this one out\n"
                          "  quit    stop here; what was typed is saved, and the same command goes "
                          "on from it\n");
}

/* The readings so far, over those of before, of which a copy is kept once a session. */
static mtm_result save_once(struct session *s, mtm_error *error)
{
    mtm_result result = MTM_OK;

    if (!s->backed_up)
        result = replace_keep(s->live->path, s->out, error);
    if (result != MTM_OK)
        return result;
    s->backed_up = true;
    return mtm_readings_write(s->live->readings, s->live->path, error);
}

/* A disk that is full or away loses nothing: the readings are kept in hand until it takes them, or
 * until whoever types leaves. */
static mtm_result save(struct session *s, mtm_error *error)
{
    mtm_error why = {""};
    char line[LINE_ROOM];

    mtm_result result = save_once(s, &why);
    while (result == MTM_IO) {
        (void)fprintf(s->out,
                      "  %s\n  The reading is kept in hand and not yet in the file. Make room; "
                      "Enter tries again, quit leaves without it > ",
                      why.text);
        (void)fflush(s->out);
        bool more = read_line(s->in, line);
        result = save_once(s, &why);
        if (result == MTM_OK)
            (void)fprintf(s->out, "  Now it is in the file.\n");
        if (result == MTM_OK && more && line[0] != '\0' && !is_word(line, "quit"))
            (void)fprintf(s->out, "  \"%.60s\" was not taken as a reading: type it again.\n", line);
        if (result == MTM_OK || !more || is_word(line, "quit"))
            break;
    }
    if (result != MTM_OK)
        return mtmi_fail(error, result, "%s; the last reading is not in the file", why.text);
    return MTM_OK;
}

/* Takes back: the step before is asked again, its reading removed from list and file. */
static mtm_result step_back(struct session *s, mtm_error *error)
{
    if (s->at == 0) {
        (void)fprintf(s->out, "  This is the first.\n");
        return MTM_OK;
    }
    s->at--;
    mtm_reading wanted = reading_of(s, &s->steps[s->at]);
    size_t count = mtm_readings_count(s->live->readings);
    if (count == 0 || !same(mtm_readings_at(s->live->readings, count - 1), &wanted)) {
        (void)fprintf(s->out, "  The one before; a reading typed now is added to it.\n");
        return MTM_OK;
    }
    mtm_readings_remove_last(s->live->readings);
    s->steps[s->at].done = false; /* or stepping on would pass over it */
    return save(s, error);
}

/* True if the reading is to be taken: it is plausible, or the user vouches for it. */
static bool accept(struct session *s, mtm_reading *reading)
{
    const mtm_calibration *known = s->known != NULL ? s->known : s->live->prior;
    mtm_note note;
    char line[LINE_ROOM];

    if (known == NULL || mtm_reading_is_dark(reading) ||
        !mtm_calibration_question(known, reading, &note))
        return true;
    for (;;) {
        bool asks = note.text[strlen(note.text) - 1] == '?';
        (void)fprintf(s->out, "  This %s%s\n  Take it all the same? (yes/no) > ", note.text,
                      asks ? "" : ".");
        (void)fflush(s->out);
        if (!read_line(s->in, line))
            return false;
        if (is_word(line, "yes"))
            return reading->keep = true;
        if (is_word(line, "no"))
            return false;
    }
}

static void learn(struct session *s)
{
    mtm_calibration *known = NULL;

    /* nothing to learn from yet is no failure: questions are then asked of less */
    if (mtm_calibration_fit(s->live->readings, s->live->rig, s->live->prior, &known, NULL) !=
        MTM_OK)
        return;
    mtm_calibration_free(s->known);
    s->known = known;
}

static mtm_result take(struct session *s, const mtm_reading *reading, mtm_error *error)
{
    mtm_result result = mtm_readings_add(s->live->readings, reading, error);

    if (result == MTM_OK)
        result = save(s, error);
    if (result == MTM_OK)
        learn(s);
    return result;
}

static mtm_result type_in(const struct step *step, const char *line, mtm_xyz *xyz, mtm_error *why)
{
    if (step->dark && is_word(line, "0")) {
        *xyz = (mtm_xyz){0, 0, 0};
        return MTM_OK;
    }
    return mtm_reading_type_in(line, xyz, why);
}

static mtm_result answer(struct session *s, const char *line, enum turn *turn, mtm_error *error)
{
    mtm_reading reading = reading_of(s, &s->steps[s->at]);
    mtm_error why = {""};

    *turn = TURN_AGAIN;
    if (is_word(line, "quit"))
        *turn = TURN_LEAVE;
    else if (is_word(line, "skip"))
        *turn = TURN_NEXT;
    else if (is_word(line, "back"))
        *turn = TURN_BACK;
    else if (line[0] == '\0' || is_word(line, "?") || is_word(line, "help"))
        show_help(s);
    else if (type_in(&s->steps[s->at], line, &reading.xyz, &why) != MTM_OK)
        (void)fprintf(s->out, "  %s; ? for help\n", why.text);
    else if (accept(s, &reading)) {
        reading.line = mtm_readings_count(s->live->readings) + 1;
        *turn = TURN_NEXT;
        return take(s, &reading, error);
    }
    return MTM_OK;
}

static mtm_result ask(struct session *s, bool *left, mtm_error *error)
{
    mtm_result result = MTM_OK;

    while (s->at < s->count && result == MTM_OK) {
        char line[LINE_ROOM];
        enum turn turn = TURN_AGAIN;
        show_step(s);
        if (!read_line(s->in, line)) {
            *left = true;
            return MTM_OK;
        }
        result = answer(s, line, &turn, error);
        if (result != MTM_OK)
            return result;
        if (turn == TURN_LEAVE) {
            *left = true;
            return MTM_OK;
        }
        if (turn == TURN_BACK)
            result = step_back(s, error);
        if (turn == TURN_NEXT)
            s->at++;
        while (turn == TURN_NEXT && s->at < s->count && s->steps[s->at].done)
            s->at++;
    }
    return result;
}

/* Goes on where the file ends. */
static void resume(struct session *s)
{
    if (mtm_readings_count(s->live->readings) == 0)
        return;
    for (size_t i = 0; i < s->count; i++)
        s->steps[i].done = is_read(s, &s->steps[i]);
    while (s->at < s->count && s->steps[s->at].done)
        s->at++;
    size_t count = mtm_readings_count(s->live->readings);
    (void)fprintf(s->out, "%s holds %zu reading%s; going on from there.\n", s->live->path, count,
                  count == 1 ? "" : "s");
    learn(s);
}

mtm_result trim_live(const struct live *live, FILE *in, FILE *out, bool *all, mtm_error *error)
{
    struct session s = {.live = live, .in = in, .out = out};
    bool left = false;

    mtm_result result = plan(&s, error);
    if (result == MTM_OK) {
        resume(&s);
        result = ask(&s, &left, error);
    }
    if (result == MTM_OK) {
        size_t count = mtm_readings_count(live->readings);
        (void)fprintf(out, "\n%zu reading%s in %s.\n\n", count, count == 1 ? " is" : "s are",
                      live->path);
        *all = !left;
    }
    mtm_calibration_free(s.known);
    free(s.steps);
    return result;
}
