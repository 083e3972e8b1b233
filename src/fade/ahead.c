/* SPDX-License-Identifier: MIT */
/* Codes ahead. Where each frame is chosen alone, changes of codes that are put off for a small step
 * now meet later in a large one. So the codes of some frames are chosen at once: of the sequences
 * that follow the transition one that is near to it all along, and whose steps are small. It is
 * found frame by frame; the best sequences to each frame are carried on to the next. */
#include "fade/ahead.h"

#include "base/number.h"
#include "fade/choose.h"
#include "fade/eye.h"

#include <string.h>

/* Sequences that are carried on from a frame. */
#define SEQUENCES_MAX 6
/* Most emitters that are tried both ways at a frame; those beyond go to the nearest code. */
#define FREE_MAX 8
/* What a step weighs, by the fourth power of its CIEDE2000, beside the square of that between what
 * is sent and what is wanted: many small steps are better than one that is seen. */
#define STEP_WEIGHT 3.0

/* A frame: of each emitter the code below its position and, where that is free, the one above. */
struct frame {
    const double *level, *last; /* what is wanted, and was a frame ago */
    uint32_t low[MTM_EMITTERS_MAX], high[MTM_EMITTERS_MAX], nearest[MTM_EMITTERS_MAX];
    double wanted[3]; /* to the eye */
    double base[3];   /* X, Y, Z of the lower codes */
    size_t free_count;
    size_t free[FREE_MAX];
    double more[FREE_MAX][3]; /* X, Y, Z that the upper code adds */
};

/* A combination of codes: which of the free emitters are up. */
struct light {
    bool known;
    double off; /* squared, from what is wanted */
    double seen[3];
};

/* A sequence of codes up to a frame. */
struct sequence {
    unsigned up;
    size_t from; /* which of the sequences to the frame before */
    double cost;
    double seen[3];
    uint32_t code[MTM_EMITTERS_MAX];
};

struct list {
    size_t count;
    struct sequence at[SEQUENCES_MAX];
};

static double squared_distance(const double *a, const double *b)
{
    return (a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1]) +
           (a[2] - b[2]) * (a[2] - b[2]);
}

/* Finds the codes about the position of an 8-bit emitter. */
static void find_range(const mtmi_kind *kind, const uint32_t *end, size_t i, struct frame *frame)
{
    uint32_t at = mtmi_codes_about(kind, i, frame->level[i], MTMI_SAME_LEVEL, &frame->low[i],
                                   &frame->high[i]);

    frame->nearest[i] = (uint32_t)((at + MTMI_HALF_CODE) >> 16);
    if (end != NULL)
        frame->nearest[i] = end[i];
    if (end != NULL || (frame->low[i] != frame->high[i] && frame->free_count == FREE_MAX))
        frame->low[i] = frame->high[i] = frame->nearest[i];
}

static void add_emitter(const mtmi_kind *kind, const uint32_t *end, size_t i, struct frame *frame)
{
    const double *light = kind->light[i];
    double level = frame->level[i]; /* 16 bits are as good as exact */

    if (light != NULL) {
        find_range(kind, end, i, frame);
        level = light[frame->low[i]];
    }
    for (size_t k = 0; k < 3; k++)
        frame->base[k] += level * kind->emitters.xyz[k][i];
    if (light == NULL || frame->low[i] == frame->high[i])
        return; /* of 16 bits low and high are one */
    for (size_t k = 0; k < 3; k++)
        frame->more[frame->free_count][k] =
            (light[frame->high[i]] - level) * kind->emitters.xyz[k][i];
    frame->free[frame->free_count++] = i;
}

static void add_light(const mtmi_kind *kind, size_t i, double level, double *xyz)
{
    for (size_t k = 0; k < 3; k++)
        xyz[k] += level * kind->emitters.xyz[k][i];
}

static void begin_frame(const mtmi_kind *kind, const mtmi_stretch_wish *wish, const mtmi_eye *eye,
                        size_t number, struct frame *frame)
{
    const uint32_t *end = number == wish->count ? wish->end : NULL;
    double xyz[3] = {0};

    memset(frame, 0, sizeof *frame);
    frame->level = wish->level[number];
    frame->last = wish->level[number - 1];
    for (size_t i = 0; i < kind->emitters.count; i++) {
        add_emitter(kind, end, i, frame);
        add_light(kind, i, frame->level[i], xyz);
    }
    mtmi_eye_see(eye, xyz, frame->wanted);
}

static const struct light *light_at(const struct frame *frame, const mtmi_eye *eye, unsigned up,
                                    struct light *lights)
{
    struct light *light = &lights[up];
    double xyz[3] = {frame->base[0], frame->base[1], frame->base[2]};

    /* advance has set known for every light that free emitters can make */
    if (light->known) // NOLINT(clang-analyzer-core.uninitialized.Branch)
        return light;
    for (size_t i = 0; i < frame->free_count; i++)
        for (size_t k = 0; k < 3 && (up >> i & 1) != 0; k++)
            xyz[k] += frame->more[i][k];
    mtmi_eye_see(eye, xyz, light->seen);
    light->off = squared_distance(light->seen, frame->wanted);
    light->known = true;
    return light;
}

/* Where a sequence goes in the list: in place of a dearer one to the same codes, or of the dearest
 * if there is no room; NULL if it is dearer itself. */
static struct sequence *entry_for(struct list *list, unsigned up, double cost)
{
    struct sequence *dearest = &list->at[0];

    for (size_t i = 0; i < list->count; i++) {
        struct sequence *other = &list->at[i];

        if (other->up == up)
            return mtmi_exceeds(other->cost, cost) ? other : NULL;
        if (mtmi_exceeds(other->cost, dearest->cost))
            dearest = other;
    }
    if (list->count < SEQUENCES_MAX)
        return &list->at[list->count++];
    return mtmi_exceeds(dearest->cost, cost) ? dearest : NULL;
}

/* What carrying a sequence on to the next frame needs. */
struct carry {
    const struct frame *frame;
    const mtmi_eye *eye;
    const struct list *before;
    size_t from;
    unsigned stay; /* the codes that it has, where they are still possible */
    struct light *lights;
    struct list *next;
};

static void try_codes(const struct carry *carry, unsigned up)
{
    const struct sequence *before = &carry->before->at[carry->from];
    const struct light *light = light_at(carry->frame, carry->eye, up, carry->lights);
    double step = squared_distance(light->seen, before->seen);
    double cost = before->cost + light->off + STEP_WEIGHT * step * step;
    struct sequence *entry = entry_for(carry->next, up, cost);

    if (entry == NULL)
        return;
    entry->up = up;
    entry->from = carry->from;
    entry->cost = cost;
    memcpy(entry->seen, light->seen, sizeof entry->seen);
}

/* Carries a sequence on: to all codes in which no more than two emitters change that could wait. */
static void carry_on(struct carry *carry)
{
    const struct frame *frame = carry->frame;
    unsigned turn[FREE_MAX];
    size_t turn_count = 0;

    carry->stay = 0;
    for (size_t i = 0; i < frame->free_count; i++) {
        size_t emitter = frame->free[i];
        uint32_t before = carry->before->at[carry->from].code[emitter];
        uint32_t low = frame->low[emitter];
        uint32_t high = frame->high[emitter];
        uint32_t stay = before == low || before == high ? before : frame->nearest[emitter];

        mtmi_limit_direction(frame->level[emitter] - frame->last[emitter], before, &low, &high);
        if (low < high)
            turn[turn_count++] = 1u << i;
        else
            stay = low;
        carry->stay |= stay > frame->low[emitter] ? 1u << i : 0;
    }
    try_codes(carry, carry->stay);
    for (size_t i = 0; i < turn_count; i++) {
        try_codes(carry, carry->stay ^ turn[i]);
        for (size_t k = 0; k < i; k++)
            try_codes(carry, carry->stay ^ turn[i] ^ turn[k]);
    }
}

/* Carries all sequences to a frame on to the next. */
static void advance(const struct frame *frame, const mtmi_eye *eye, size_t emitters,
                    const struct list *before, struct list *next)
{
    struct light lights[1 << FREE_MAX];
    struct carry carry = {
        .frame = frame, .eye = eye, .before = before, .lights = lights, .next = next};

    for (size_t i = 0; i < (size_t)1 << frame->free_count; i++)
        lights[i].known = false;
    next->count = 0;
    for (; carry.from < before->count; carry.from++)
        carry_on(&carry);
    for (size_t i = 0; i < next->count; i++) {
        struct sequence *sequence = &next->at[i];

        memcpy(sequence->code, frame->low, emitters * sizeof *sequence->code);
        for (size_t k = 0; k < frame->free_count; k++)
            if ((sequence->up >> k & 1) != 0)
                sequence->code[frame->free[k]] = frame->high[frame->free[k]];
    }
}

/* The eye for all that is wanted, and the light that was sent. */
static mtmi_eye begin_list(const mtmi_kind *kind, const mtmi_stretch_wish *wish, struct list *list)
{
    double mean[3] = {0};
    double sent[3] = {0};

    for (size_t i = 0; i < kind->emitters.count; i++) {
        const double *light = kind->light[i];

        for (size_t f = 0; f <= wish->count; f++)
            add_light(kind, i, wish->level[f][i] / (double)(wish->count + 1), mean);
        add_light(kind, i, light != NULL ? light[wish->before[i]] : wish->level[0][i], sent);
    }
    const mtmi_eye eye = mtmi_eye_at(mean);
    list->count = 1;
    list->at[0] = (struct sequence){.cost = 0};
    memcpy(list->at[0].code, wish->before, kind->emitters.count * sizeof *wish->before);
    mtmi_eye_see(&eye, sent, list->at[0].seen);
    return eye;
}

void mtmi_choose_ahead(const mtmi_kind *kind, const mtmi_stretch_wish *wish,
                       uint32_t (*code)[MTM_EMITTERS_MAX])
{
    const size_t emitters = kind->emitters.count;
    struct list lists[MTMI_AHEAD + 1];
    const mtmi_eye eye = begin_list(kind, wish, &lists[0]);
    size_t best = 0;

    for (size_t f = 1; f <= wish->count; f++) {
        struct frame frame;

        begin_frame(kind, wish, &eye, f, &frame);
        advance(&frame, &eye, emitters, &lists[f - 1], &lists[f]);
    }
    const struct list *last = &lists[wish->count];
    for (size_t i = 1; i < last->count; i++) // NOLINT(clang-analyzer-core.*): advance sets it
        if (mtmi_exceeds(last->at[best].cost, last->at[i].cost))
            best = i;
    for (size_t f = wish->count; f > 0; f--) {
        memcpy(code[f - 1], lists[f].at[best].code, emitters * sizeof **code);
        best = lists[f].at[best].from;
    }
}
