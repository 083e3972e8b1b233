/* SPDX-License-Identifier: MIT */
/* How finely a unit fades, beside the finest that its codes allow. That is found by another way: of
 * all sequences of codes that keep the colour and the light of the path, one whose largest step is
 * least; a search through every frame and every code of the dimmer finds whether there is any with
 * steps below a bound. */
#include "support/trial.h"

#include "fade/fader.h"

#include <metamer/fade.h>
#include <metamer/lab.h>

#include <unistd.h>

enum { COLOUR_TRANSITIONS = 4 }; /* from this one on they lead to another colour */
enum { FRAMES_MAX = 500, STATES_MAX = 4096, EMITTERS = 3 };

/* What is kept: a stray that nobody sees where L* is 2 or more, and light within this of L*; or, at
 * a frame where the fader itself does no better, as much as it does. */
static const double STRAY = 0.003;
static const double SEEN_LIGHTNESS = 2;
static const double OFF_LIGHTNESS = 0.1;
/* The largest step may be so much more than the finest; or it is below what nobody sees. One step
 * of CIEDE2000 counts as visible (common practice, no source). Units without a dimmer are held to
 * it down to a fifth of that, which leaves out those of 16 bits only: their fader carries rounding
 * along and does not choose. With a dimmer codes are chosen frame by frame, and some of their steps
 * between 0.6 and 0.87 could be finer by a quarter or more. */
static const double PART_MORE = 1.2;
static const double FINE_ENOUGH = 0.9;
static const double FINE_ENOUGH_ALONE = 0.2;

static char path[] = "/tmp/metamer-finest-XXXXXX";

static int set_up(void **state)
{
    int descriptor = mkstemp(path);

    (void)state;
    return descriptor >= 0 ? close(descriptor) : -1;
}

static int tear_down(void **state)
{
    (void)state;
    return unlink(path);
}

static const struct kind_row {
    const char *name; /* curve of the dimmer, "" for none, and bits; of the emitters likewise */
    const char *dimmer;
    int dimmer_bits;
    const char *emitters;
    int emitter_bits;
} kind_rows[] = {
    {"8-bit linear", "", 0, "linear", 8},
    {"8-bit square", "", 0, "square", 8},
    {"8-bit lightness", "", 0, "lightness", 8},
    {"16-bit linear", "", 0, "linear", 16},
    {"linear dimmer, linear", "linear", 8, "linear", 8},
    {"linear dimmer, square", "linear", 8, "square", 8},
    {"linear dimmer, lightness", "linear", 8, "lightness", 8},
    {"square dimmer, linear", "square", 8, "linear", 8},
    {"square dimmer, square", "square", 8, "square", 8},
    {"lightness dimmer, linear", "lightness", 8, "linear", 8},
    {"lightness dimmer, lightness", "lightness", 8, "lightness", 8},
    {"fine dimmer, square", "linear", 16, "square", 8},
    {"dimmer before fine emitters", "linear", 8, "linear", 16},
};

static const struct transition_row {
    const char *from, *to;
} transitions[] = {
    {"'output': 0", "'colour': {'xy': [0.40, 0.38]}, 'output': 1"},
    {"'output': 0", "'output': 0.02"},
    {"'colour': {'xy': [0.30, 0.30]}, 'output': 0.6", "'output': 0"},
    {"'output': 0.1", "'output': 0.6"},
    {"'output': 0.02", "'colour': {'xy': [0.31, 0.33]}, 'output': 0.3"},
    {"'output': 0.3", "'colour': {'xy': [0.31, 0.33]}, 'output': 0.3"},
};

static void put_slot(char *text, size_t room, const char *name, int bits)
{
    size_t used = strlen(text);

    (void)snprintf(text + used, room - used, "%s'%s'", used > 0 ? ", " : "", name);
    used = strlen(text);
    if (bits == 16)
        (void)snprintf(text + used, room - used, ", '%s.fine'", name);
}

/* A rig of one unit of the kind. */
static mtm_rig *make_rig(const struct kind_row *row)
{
    char slots[200] = "";
    struct trial_text text = {.length = 0};
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    if (row->dimmer_bits > 0)
        put_slot(slots, sizeof slots, "dimmer", row->dimmer_bits);
    put_slot(slots, sizeof slots, "red", row->emitter_bits);
    put_slot(slots, sizeof slots, "green", row->emitter_bits);
    put_slot(slots, sizeof slots, "blue", row->emitter_bits);
    trial_add(
        &text,
        "{'metamer': 'fixture/1', 'name': 'f', 'dimmer_curve': '%s', 'emitters': ["
        "{'name': 'red', 'x': 0.69, 'y': 0.305, 'flux_lm': 400, 'watts': 10, 'curve': '%s'}, "
        "{'name': 'green', 'x': 0.20, 'y': 0.70, 'flux_lm': 800, 'watts': 10, 'curve': '%s'}, "
        "{'name': 'blue', 'x': 0.14, 'y': 0.05, 'flux_lm': 120, 'watts': 10, 'curve': '%s'}], "
        "'modes': [{'name': 'm', 'slots': [%s]}]}",
        row->dimmer_bits > 0 ? row->dimmer : "linear", row->emitters, row->emitters, row->emitters,
        slots);
    assert_int_equal(fwrite(text.data, 1, text.length, file), text.length);
    assert_int_equal(fclose(file), 0);
    return trial_rig(&(struct trial_unit){"u", path, "m", 1, 1}, 1);
}

/* One state that a unit can be in, as the eye sees it. */
struct state {
    mtm_lab lab;
    uint32_t dimmer;
    uint32_t code[EMITTERS]; /* 0 of 16 bits */
    bool reached;
};

/* A frame of the fader's own. */
struct frame {
    mtm_fader_state state;
    mtm_lab lab;
    double stray, off; /* in u', v' and in L* */
};

struct fade {
    const mtmi_kind *kind;
    size_t count;
    struct frame frame[FRAMES_MAX];
    double step;   /* the largest */
    int direction; /* of the dimmer: 1 up, -1 down, 0 stays */
};

static mtm_lab lab_of(const mtmi_kind *kind, mtm_xyz xyz)
{
    const double y = kind->emitters.full_y;

    return mtm_lab_from_xyz(xyz, (mtm_xyz){0.95047 * y, y, 1.08883 * y}); /* D65 */
}

static mtm_xyz light_of(const mtmi_kind *kind, const mtm_codes *codes)
{
    const size_t count = kind->emitters.count;
    double level[MTM_EMITTERS_MAX];

    for (size_t i = 0; i < count; i++) {
        level[i] = mtmi_level_of(kind, i, codes->emitter[i]);
        level[i] *= kind->has_dimmer ? mtmi_level_of(kind, count, codes->dimmer) : 1;
    }
    return mtmi_mix_xyz(&kind->emitters, level);
}

static double stray_of(mtm_xyz xyz, mtm_xyz wanted)
{
    return xyz.y > 0 && wanted.y > 0
               ? mtm_uv_distance(mtm_uv_from_xyz(xyz), mtm_uv_from_xyz(wanted))
               : 0;
}

static void take_frame(mtm_fader *fader, struct fade *fade)
{
    struct frame *frame = &fade->frame[fade->count++];

    assert_true(fade->count <= FRAMES_MAX);
    mtm_fader_unit(fader, 0, &frame->state);
    mtm_xyz xyz = light_of(fade->kind, &frame->state.codes);
    frame->lab = lab_of(fade->kind, xyz);
    frame->off = fabs(frame->lab.l - lab_of(fade->kind, frame->state.wanted).l);
    frame->stray = stray_of(xyz, frame->state.wanted);
    if (fade->count > 1)
        fade->step = fmax(fade->step, mtm_lab_ciede2000(frame[-1].lab, frame->lab));
}

/* The fade borrows from the fader, which the caller frees. */
static mtm_fader *run_fade(const mtm_show *show, struct fade *fade)
{
    mtm_fader *fader = NULL;

    assert_int_equal(mtm_fader_create(show, NULL, &fader, NULL), MTM_OK);
    assert_int_equal(mtm_fader_set(fader, 1, NULL), MTM_OK);
    assert_int_equal(mtm_fader_go(fader, 2, NULL), MTM_OK);
    *fade = (struct fade){.kind = &fader->kinds[0]};
    take_frame(fader, fade);
    while (mtm_fader_frames_left(fader) > 0) {
        assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
        take_frame(fader, fade);
    }
    uint32_t from = fade->frame[0].state.codes.dimmer;
    uint32_t to = fade->frame[fade->count - 1].state.codes.dimmer;
    fade->direction = (to > from) - (to < from);
    return fader;
}

/* All combinations of the emitters' codes about their places behind a dimmer of this level. */
static size_t add_states(const struct fade *fade, const struct frame *frame, double dimmer,
                         uint32_t code, struct state *states, size_t count)
{
    const mtmi_kind *kind = fade->kind;
    const size_t emitters = kind->emitters.count;
    double level[2][MTM_EMITTERS_MAX] = {{0}};
    uint32_t about[2][EMITTERS] = {{0}};

    for (size_t i = 0; i < emitters; i++) {
        double wanted = frame->state.level[i] / dimmer;

        if (wanted > 1 + 1e-9)
            return count;
        double exact = mtmi_code_for(kind, i, wanted);
        level[0][i] = level[1][i] = wanted;
        for (int k = 0; k < 2 && kind->most[i] == 255; k++) {
            about[k][i] = (uint32_t)(k == 0 ? floor(exact) : fmin(255, ceil(exact)));
            level[k][i] = mtmi_level_of(kind, i, about[k][i]);
        }
    }
    for (unsigned up = 0; up < 1u << emitters; up++) {
        double mix[MTM_EMITTERS_MAX] = {0};

        for (size_t i = 0; i < emitters; i++)
            mix[i] = dimmer * level[up >> i & 1][i];
        mtm_xyz xyz = mtmi_mix_xyz(&kind->emitters, mix);
        mtm_lab lab = lab_of(kind, xyz);
        mtm_lab wanted = lab_of(kind, frame->state.wanted);
        if (fabs(lab.l - wanted.l) > fmax(OFF_LIGHTNESS, frame->off) + 1e-9 ||
            (wanted.l >= SEEN_LIGHTNESS &&
             stray_of(xyz, frame->state.wanted) > fmax(STRAY, frame->stray) + 1e-9))
            continue;
        assert_true(count < STATES_MAX);
        states[count] = (struct state){.lab = lab, .dimmer = code};
        for (size_t i = 0; i < emitters; i++)
            states[count].code[i] = about[up >> i & 1][i];
        count++;
    }
    return count;
}

static size_t list_states(const struct fade *fade, const struct frame *frame, struct state *states)
{
    const mtmi_kind *kind = fade->kind;
    const size_t at = kind->emitters.count;
    size_t count = 0;

    if (!mtmi_dimmer_keeps_colour(mtmi_dimmer_role_of(kind, MTM_DIMMING_FINEST)))
        return add_states(fade, frame, 1, 0, states, 0);
    if (kind->most[at] > 255)
        return add_states(fade, frame, mtmi_level_of(kind, at, frame->state.codes.dimmer),
                          frame->state.codes.dimmer, states, 0);
    for (uint32_t code = 1; code <= 255; code++) {
        double level = mtmi_level_of(kind, at, code);
        count = level > 0 ? add_states(fade, frame, level, code, states, count) : count;
    }
    return count;
}

static struct state state_of(const struct fade *fade, size_t f)
{
    const mtm_codes *codes = &fade->frame[f].state.codes;
    struct state state = {.lab = fade->frame[f].lab, .dimmer = codes->dimmer};

    for (size_t i = 0; i < EMITTERS; i++)
        state.code[i] = fade->kind->most[i] == 255 ? codes->emitter[i] : 0;
    return state;
}

/* Whether codes go in the direction of the fade: a dimmer all along, emitters where the dimmer
 * stays. */
static bool goes_on(const struct fade *fade, size_t f, const struct state *before,
                    const struct state *now)
{
    const mtm_fader_state *last = &fade->frame[f - 1].state;
    const mtm_fader_state *next = &fade->frame[f].state;
    int direction = fade->direction;

    if (before->dimmer != now->dimmer)
        return direction * ((int)now->dimmer - (int)before->dimmer) > 0;
    for (size_t i = 0; i < EMITTERS; i++)
        if ((next->level[i] - last->level[i]) * ((int)now->code[i] - (int)before->code[i]) < 0)
            return false;
    return true;
}

/* Whether a state of frame f can be had from one of the frame before, by a step within the bound.
 */
static bool can_reach(const struct fade *fade, size_t f, const struct state *before, size_t count,
                      const struct state *state, double bound)
{
    for (size_t i = 0; i < count; i++) {
        if (before[i].reached && goes_on(fade, f, &before[i], state) &&
            fabs(before[i].lab.l - state->lab.l) < 2 * bound &&
            mtm_lab_ciede2000(before[i].lab, state->lab) <= bound)
            return true;
    }
    return false;
}

/* Whether any sequence has all its steps within the bound. */
static bool exists(const struct fade *fade, double bound)
{
    static struct state states[2][STATES_MAX];
    size_t count = 1;
    struct state end = state_of(fade, fade->count - 1);

    states[0][0] = state_of(fade, 0);
    states[0][0].reached = true;
    for (size_t f = 1; f + 1 < fade->count; f++) {
        struct state *now = states[f % 2];
        size_t found = list_states(fade, &fade->frame[f], now);
        now[found++] = state_of(fade, f); /* what the fader sent is one of the sequences */
        bool any = false;

        for (size_t i = 0; i < found; i++) {
            now[i].reached = can_reach(fade, f, states[(f + 1) % 2], count, &now[i], bound);
            any = any || now[i].reached;
        }
        if (!any)
            return false;
        count = found;
    }
    return can_reach(fade, fade->count - 1, states[(fade->count - 2) % 2], count, &end, bound);
}

static void check_transition(const mtm_rig *rig, const struct kind_row *row,
                             const struct transition_row *transition, const char *path_name,
                             const char *shape)
{
    static struct fade fade;
    mtm_show *show =
        trial_show(rig,
                   "'cues': [{'number': 1, 'up_s': 0, 'set': [{'group': 'all', "
                   "'colour': {'xy': [0.40, 0.38]}, 'output': 0}]}, "
                   "{'number': 2, 'up_s': 0, 'set': [{'group': 'all', %s}]}, "
                   "{'number': 3, 'up_s': 10, 'down_s': 10, 'path': '%s', 'curve': '%s', "
                   "'set': [{'group': 'all', %s}]}]",
                   transition->from, path_name, shape, transition->to);
    mtm_fader *fader = run_fade(show, &fade);
    double bound = fade.step / PART_MORE;
    double enough = row->dimmer_bits > 0 ? FINE_ENOUGH : FINE_ENOUGH_ALONE;
    if (fade.step > enough && exists(&fade, bound))
        fail_msg("path %s, %s, transition %zu: a step of %.3f, and there are codes for one of %.3f",
                 path_name, shape, (size_t)(transition - transitions), fade.step, bound);
    for (size_t f = 0; f < fade.count && row->dimmer_bits > 0; f++)
        if (lab_of(fade.kind, fade.frame[f].state.wanted).l >= SEEN_LIGHTNESS)
            assert_true(fade.frame[f].stray <= STRAY);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* Every path on the two transitions that change the colour, every shape on those that do not. */
static void test_kind(void **state)
{
    const struct kind_row *row = *state;
    mtm_rig *rig = make_rig(row);

    for (const mtm_path_info *info = mtm_path_type_at(0); info != NULL;
         info = mtm_path_type_at(info->type + 1))
        for (size_t w = COLOUR_TRANSITIONS; w < COUNT(transitions) && info->type != MTM_PATH_SLOTS;
             w++)
            check_transition(rig, row, &transitions[w], info->name, "lightness");
    for (const mtm_shape_info *info = mtm_shape_type_at(0); info != NULL;
         info = mtm_shape_type_at(info->type + 1))
        for (size_t w = 0; w < COLOUR_TRANSITIONS; w++)
            check_transition(rig, row, &transitions[w], "light", info->name);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(kind_rows)];

    ROW_TESTS(tests, kind_rows, test_kind);
    return cmocka_run_group_tests_name("the finest fades", tests, set_up, tear_down);
}
