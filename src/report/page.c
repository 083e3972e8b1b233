/* SPDX-License-Identifier: MIT */
/* Page: pages of a report, each with its head and its number, and words that go down them. */
#include "report/page.h"

#include <math.h>
#include <stdio.h>

/* Points: left and right; above and below what a page holds; where head and foot are. */
#define MARGIN_SIDE 51.0
#define MARGIN_TOP 58.0
#define MARGIN_BOTTOM 54.0
#define HEAD_Y 34.0
#define FOOT_Y 36.0
#define HAIRLINE 0.8

static void draw_head(struct mtmi_pages *pages)
{
    mtmi_canvas *c = pages->canvas;
    const mtmi_box paper = mtmi_canvas_page(c);
    const mtmi_box *in = &pages->in;
    const mtmi_pen rule = {mtmi_canvas_ink(c, MTMI_INK_RULE), HAIRLINE, MTMI_DASH_NONE};
    mtmi_type type = {.size = MTMI_TYPE_SMALL, .ink = MTMI_INK_QUIET, .width = in->width};
    char number[64];

    mtmi_tag_begin(c, "P");
    if (pages->page > 1) {
        mtmi_rule(c, in->x, HEAD_Y + 12, in->x + in->width, HEAD_Y + 12, rule);
        (void)mtmi_words(c, in->x, HEAD_Y, &type, pages->report->title);
    }
    type.width = 0;
    type.align = MTMI_ALIGN_RIGHT;
    (void)snprintf(number, sizeof number, "page %d of %d", pages->page, pages->count);
    (void)mtmi_words(c, in->x + in->width, paper.height - FOOT_Y, &type, number);
    type.align = MTMI_ALIGN_LEFT;
    (void)snprintf(number, sizeof number, "metamer %s", mtm_version());
    (void)mtmi_words(c, in->x, paper.height - FOOT_Y, &type, number);
    mtmi_tag_end(c, "P");
}

void mtmi_pages_begin(struct mtmi_pages *pages)
{
    const mtmi_box paper = mtmi_canvas_page(pages->canvas);

    pages->in = (mtmi_box){MARGIN_SIDE, MARGIN_TOP, paper.width - 2 * MARGIN_SIDE,
                           paper.height - MARGIN_TOP - MARGIN_BOTTOM};
    pages->page = 1;
    pages->y = pages->in.y;
    if (!pages->dry)
        draw_head(pages);
}

void mtmi_pages_next(struct mtmi_pages *pages)
{
    pages->page++;
    pages->y = pages->in.y;
    if (pages->dry)
        return;
    mtmi_canvas_next_page(pages->canvas);
    draw_head(pages);
}

double mtmi_pages_left(const struct mtmi_pages *pages)
{
    return pages->in.y + pages->in.height - pages->y;
}

void mtmi_pages_need(struct mtmi_pages *pages, double height)
{
    if (pages->y > pages->in.y && height > mtmi_pages_left(pages))
        mtmi_pages_next(pages);
}

void mtmi_pages_words(struct mtmi_pages *pages, const char *tag, const mtmi_type *type,
                      double indent, const char *words)
{
    mtmi_type set = *type;
    mtmi_canvas *c = pages->canvas;

    set.whole = true;
    set.width = pages->in.width - indent;
    double height = mtmi_words_extent(c, &set, words).height;
    if (height > pages->in.height) { /* no page holds it: what one does not is left out */
        set.whole = false;
        set.lines = (int)floor(pages->in.height / mtmi_line_height(c, type->size)) - 1;
        height = mtmi_words_extent(c, &set, words).height;
    }
    mtmi_pages_need(pages, height);
    if (!pages->dry) {
        mtmi_tag_begin(c, tag);
        (void)mtmi_words(c, pages->in.x + indent, pages->y, &set, words);
        mtmi_tag_end(c, tag);
    }
    pages->y += height;
}
