/* SPDX-License-Identifier: MIT */
/* Labels: words beside what they name, none over another. */
#include "picture/label.h"

#include "base/grow.h"

#include <math.h>
#include <stdlib.h>

/* Px of a cell of the grid in which what is taken is looked up. */
#define CELL 24.0
#define CELLS_MAX 512
/* Between a mark and its words. */
#define GAP 3.0
/* Lines are taken as boxes of this size at most. */
#define LINE_PIECE 6.0
/* Rings on which leader lines end, and directions on each. */
#define RINGS 7
#define RING_APART 14.0
#define DIRECTIONS 16

/* Something taken; the next of its cell, or -1. */
struct taken {
    mtmi_box box;
    bool soft; /* a line, which words may cross if they must */
    int next;
};

struct mtmi_placer {
    mtmi_box bounds;
    int columns, rows;
    int *first; /* by cell */
    struct taken *taken;
    size_t count, room;
    bool failed;
};

mtmi_placer *mtmi_placer_create(mtmi_box bounds)
{
    mtmi_placer *p = calloc(1, sizeof *p);

    if (p == NULL)
        return NULL;
    p->bounds = bounds;
    p->columns = (int)fmin(CELLS_MAX, fmax(1, ceil(bounds.width / CELL)));
    p->rows = (int)fmin(CELLS_MAX, fmax(1, ceil(bounds.height / CELL)));
    size_t cells = (size_t)p->columns * (size_t)p->rows;
    p->first = malloc(cells * sizeof *p->first);
    if (p->first == NULL) {
        free(p);
        return NULL;
    }
    for (size_t i = 0; i < cells; i++)
        p->first[i] = -1;
    return p;
}

void mtmi_placer_free(mtmi_placer *p)
{
    if (p == NULL)
        return;
    free(p->first);
    free(p->taken);
    free(p);
}

bool mtmi_placer_failed(const mtmi_placer *p)
{
    return p->failed;
}

struct cells {
    int left, right, top, bottom;
};

static int cell_at(double place, double start, int count)
{
    double cell = floor((place - start) / CELL);

    return (int)fmin(count - 1, fmax(0, cell));
}

static struct cells cells_of(const mtmi_placer *p, const mtmi_box *box)
{
    return (struct cells){cell_at(box->x, p->bounds.x, p->columns),
                          cell_at(box->x + box->width, p->bounds.x, p->columns),
                          cell_at(box->y, p->bounds.y, p->rows),
                          cell_at(box->y + box->height, p->bounds.y, p->rows)};
}

static bool overlap(const mtmi_box *a, const mtmi_box *b)
{
    return a->x < b->x + b->width && b->x < a->x + a->width && a->y < b->y + b->height &&
           b->y < a->y + a->height;
}

static void take(mtmi_placer *p, mtmi_box box, bool soft)
{
    struct cells cells = cells_of(p, &box);

    for (int row = cells.top; row <= cells.bottom; row++) {
        for (int column = cells.left; column <= cells.right; column++) {
            struct taken *grown = mtmi_grown(p->taken, p->count, &p->room, sizeof *p->taken);
            if (grown == NULL) {
                p->failed = true;
                return;
            }
            int *first = &p->first[row * p->columns + column];
            p->taken = grown;
            p->taken[p->count] = (struct taken){box, soft, *first};
            *first = (int)p->count++;
        }
    }
}

static bool is_free(const mtmi_placer *p, const mtmi_box *box, bool over_lines)
{
    struct cells cells = cells_of(p, box);

    for (int row = cells.top; row <= cells.bottom; row++) {
        for (int column = cells.left; column <= cells.right; column++) {
            for (int i = p->first[row * p->columns + column]; i >= 0; i = p->taken[i].next) {
                if (!(p->taken[i].soft && over_lines) && overlap(box, &p->taken[i].box))
                    return false;
            }
        }
    }
    return true;
}

static bool is_inside(const mtmi_placer *p, const mtmi_box *box)
{
    return box->x >= p->bounds.x && box->y >= p->bounds.y &&
           box->x + box->width <= p->bounds.x + p->bounds.width &&
           box->y + box->height <= p->bounds.y + p->bounds.height;
}

void mtmi_placer_block(mtmi_placer *p, mtmi_box box)
{
    take(p, box, false);
}

/* Boxes along a line; stops at once where each must hold and one does not. */
typedef bool (*at_piece)(mtmi_placer *p, mtmi_box piece);

static bool along(mtmi_placer *p, mtmi_point a, mtmi_point b, double half, at_piece each)
{
    double length = hypot(b.x - a.x, b.y - a.y);
    int pieces = (int)fmin(4096, fmax(1, ceil(length / LINE_PIECE)));

    for (int i = 0; i < pieces; i++) {
        double s = (double)i / pieces;
        double t = (double)(i + 1) / pieces;
        double x0 = a.x + s * (b.x - a.x), x1 = a.x + t * (b.x - a.x);
        double y0 = a.y + s * (b.y - a.y), y1 = a.y + t * (b.y - a.y);
        mtmi_box piece = {fmin(x0, x1) - half, fmin(y0, y1) - half, fabs(x1 - x0) + 2 * half,
                          fabs(y1 - y0) + 2 * half};
        if (!each(p, piece))
            return false;
    }
    return true;
}

static bool take_softly(mtmi_placer *p, mtmi_box piece)
{
    if (overlap(&piece, &p->bounds))
        take(p, piece, true);
    return true;
}

static bool crosses_no_words(mtmi_placer *p, mtmi_box piece)
{
    return is_free(p, &piece, true);
}

void mtmi_placer_avoid(mtmi_placer *p, const mtmi_point *point, size_t count)
{
    for (size_t i = 1; i < count; i++)
        (void)along(p, point[i - 1], point[i], 0.5, take_softly);
}

/* Which way words lie from their thing: right, left, above and below, and between. */
static const struct side {
    int x, y;
} sides[] = {{1, 0}, {1, -1}, {1, 1}, {-1, 0}, {-1, -1}, {-1, 1}, {0, -1}, {0, 1}};

/* Words that lie that way from a point, at a distance. */
static mtmi_box beside(const mtmi_label *label, mtmi_point at, struct side side, double distance)
{
    double away = side.x != 0 && side.y != 0 ? distance * 0.85 : distance;

    return (mtmi_box){at.x + side.x * away + (side.x - 1) * label->width / 2,
                      at.y + side.y * away + (side.y - 1) * label->height / 2, label->width,
                      label->height};
}

static bool try_sides(const mtmi_placer *p, mtmi_label *label, bool over_lines)
{
    for (size_t i = 0; i < sizeof sides / sizeof sides[0]; i++) {
        mtmi_box box = beside(label, label->at, sides[i], label->reach + GAP);
        if (!is_inside(p, &box) || !is_free(p, &box, over_lines))
            continue;
        label->box = box;
        label->leader = false;
        return true;
    }
    return false;
}

/* Where the leader line of words that lie in direction angle begins: outside the mark. */
static mtmi_point leader_start(const mtmi_label *label, double angle)
{
    double away = 1.42 * label->reach + 1.5; /* outside the square that a mark takes */

    return (mtmi_point){label->at.x + away * cos(angle), label->at.y + away * sin(angle)};
}

static bool try_leader(mtmi_placer *p, mtmi_label *label, double angle, double distance,
                       bool over_lines)
{
    double x = cos(angle), y = sin(angle);
    mtmi_point end = {label->at.x + distance * x, label->at.y + distance * y};
    struct side side = {x > 0.3 ? 1 : x < -0.3 ? -1 : 0, fabs(x) > 0.3 ? 0 : y > 0 ? 1 : -1};
    mtmi_box box = beside(label, end, side, 1);

    if (!is_inside(p, &box) || !is_free(p, &box, over_lines) ||
        !along(p, leader_start(label, angle), end, 0.5, crosses_no_words))
        return false;
    label->box = box;
    label->leader = true;
    (void)along(p, leader_start(label, angle), end, 0.5, take_softly);
    return true;
}

static bool try_leaders(mtmi_placer *p, mtmi_label *label, bool over_lines)
{
    for (int ring = 1; ring <= RINGS; ring++) {
        for (int i = 0; i < DIRECTIONS; i++) {
            double angle = 2 * 3.14159265358979323846 * (i + 0.5 * (ring % 2)) / DIRECTIONS;
            double distance = 1.42 * label->reach + GAP + ring * RING_APART;
            if (try_leader(p, label, angle, distance, over_lines))
                return true;
        }
    }
    return false;
}

/* Words in one line keep a blank between them. */
static void take_words(mtmi_placer *p, mtmi_box box)
{
    take(p, (mtmi_box){box.x - GAP, box.y, box.width + 2 * GAP, box.height}, false);
}

bool mtmi_placer_place(mtmi_placer *p, mtmi_label *label)
{
    bool leads = !label->sides_only;

    label->placed = try_sides(p, label, false) ||
                    (label->over_lines && try_sides(p, label, true)) ||
                    (leads && try_leaders(p, label, false)) || try_sides(p, label, true) ||
                    (leads && try_leaders(p, label, true));
    if (label->placed)
        take_words(p, label->box);
    return label->placed;
}

bool mtmi_placer_take(mtmi_placer *p, mtmi_box box, bool over_lines)
{
    if (!is_inside(p, &box) || !is_free(p, &box, over_lines))
        return false;
    take_words(p, box);
    return true;
}

static bool fits_in(mtmi_placer *p, mtmi_box piece)
{
    return is_inside(p, &piece) && is_free(p, &piece, true);
}

static bool take_firmly(mtmi_placer *p, mtmi_box piece)
{
    take(p, piece, false);
    return true;
}

bool mtmi_placer_take_along(mtmi_placer *p, mtmi_point from, mtmi_point to, double height)
{
    /* half of the words' height about their middle line: that line lies beside another */
    return along(p, from, to, height * 0.4, fits_in) &&
           along(p, from, to, height * 0.5, take_firmly);
}

/* From the mark to the nearest place of the words. */
static void draw_leader(mtmi_canvas *c, const mtmi_label *label)
{
    const mtmi_box *box = &label->box;
    double x = fmin(fmax(label->at.x, box->x), box->x + box->width);
    double y = label->at.y < box->y                 ? box->y
               : label->at.y > box->y + box->height ? box->y + box->height
                                                    : box->y + box->height / 2;
    double length = hypot(x - label->at.x, y - label->at.y);
    double from = length > 0 ? (label->reach + 1.5) / length : 0;

    mtmi_rule(c, label->at.x + from * (x - label->at.x), label->at.y + from * (y - label->at.y), x,
              y, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.75, MTMI_DASH_NONE});
}

static bool draw_label(mtmi_canvas *c, mtmi_placer *p, mtmi_label label, const mtmi_type *type,
                       const char *words)
{
    mtmi_extent extent = mtmi_words_extent(c, type, words);
    mtmi_type set = *type;

    label.width = extent.width;
    label.height = extent.height;
    bool placed = mtmi_placer_place(p, &label);
    if (mtmi_placer_failed(p))
        mtmi_canvas_lack_memory(c);
    if (!placed)
        return false;
    set.align = MTMI_ALIGN_LEFT;
    if (label.leader)
        draw_leader(c, &label);
    (void)mtmi_words(c, label.box.x, label.box.y, &set, words);
    return true;
}

bool mtmi_label_draw(mtmi_canvas *c, mtmi_placer *p, mtmi_point at, double reach,
                     const mtmi_type *type, const char *words)
{
    return draw_label(c, p, (mtmi_label){.at = at, .reach = reach}, type, words);
}

bool mtmi_label_draw_close(mtmi_canvas *c, mtmi_placer *p, mtmi_point at, double reach,
                           const mtmi_type *type, const char *words)
{
    return draw_label(c, p, (mtmi_label){.at = at, .reach = reach, .over_lines = true}, type,
                      words);
}

bool mtmi_label_draw_at(mtmi_canvas *c, mtmi_placer *p, mtmi_point middle, bool over_lines,
                        const mtmi_type *type, const char *words)
{
    mtmi_extent extent = mtmi_words_extent(c, type, words);
    mtmi_box box = {middle.x - extent.width / 2, middle.y - extent.height / 2, extent.width,
                    extent.height};
    mtmi_type set = *type;

    bool taken = mtmi_placer_take(p, box, over_lines);
    if (mtmi_placer_failed(p))
        mtmi_canvas_lack_memory(c);
    if (!taken)
        return false;
    set.align = MTMI_ALIGN_LEFT;
    (void)mtmi_words(c, box.x, box.y, &set, words);
    return true;
}
