/* SPDX-License-Identifier: MIT */
/* A report as PDF pages. */
#include "report/model.h"

#include "base/error.h"
#include "picture/make.h"
#include "report/page.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Points. */
#define TITLE_ABOVE 40.0
#define SPACE 8.0
#define SPACE_HEADING 20.0
/* What a heading keeps with it of what follows. */
#define KEPT 60.0
/* A picture that would take the rest of a page but for this takes that too. */
#define PICTURE_REST 90.0
/* What pictures leave around themselves, and a page has already (picture/sheet.c). */
#define PICTURE_MARGIN 16.0
#define SIGNATURE_HEIGHT 64.0
#define CAUTION_INDENT 12.0

static void put_title(struct mtmi_pages *pages)
{
    const mtmi_type type = {.size = MTMI_TYPE_COVER, .bold = true};

    pages->y += TITLE_ABOVE;
    mtmi_pages_words(pages, "H1", &type, 0, pages->report->title);
    pages->y += SPACE;
}

/* Height of a picture: its share of a page; a whole one takes what is left below a heading. */
static double picture_height(const struct mtmi_pages *pages, const struct mtmi_block *block)
{
    return block->share * pages->in.height - (block->share > 0.95 ? KEPT : 0);
}

/* A table of at most this share of a page is not broken, and its heading stays with it. */
#define WHOLE_SHARE 0.45

/* What is to stand on one page from a block on: a picture, a short table with the sentences before
 * it, or else some lines. */
static mtm_result kept_height(struct mtmi_pages *pages, size_t index, double *height,
                              mtm_error *error)
{
    const mtm_report *report = pages->report;
    const mtmi_type body = {.size = MTMI_TYPE_BODY, .whole = true, .width = pages->in.width};
    double above = 0, table = 0;

    *height = KEPT;
    while (index < report->count && report->block[index].type == MTMI_BLOCK_TEXT)
        above +=
            SPACE + mtmi_words_extent(pages->canvas, &body, report->block[index++].words).height;
    if (index < report->count && report->block[index].type == MTMI_BLOCK_PICTURE)
        *height = picture_height(pages, &report->block[index]);
    if (index == report->count || report->block[index].type != MTMI_BLOCK_TABLE)
        return MTM_OK;
    mtm_result result =
        mtmi_table_height(pages, report->block[index].table, &pages->laid[index], &table, error);
    if (result == MTM_OK && above + table <= WHOLE_SHARE * pages->in.height)
        *height = fmax(KEPT, above + table + KEPT / 2);
    return result;
}

static mtm_result put_heading(struct mtmi_pages *pages, size_t index, mtm_error *error)
{
    const struct mtmi_block *block = &pages->report->block[index];
    const mtmi_type type = {.size = block->level == 1 ? MTMI_TYPE_TITLE : MTMI_TYPE_HEAD,
                            .bold = true};
    const struct mtmi_block *next = block + 1;
    bool picture = index + 1 < pages->report->count && next->type == MTMI_BLOCK_PICTURE;
    double height = 0;
    mtm_result result = kept_height(pages, index + 1, &height, error);

    if (pages->y > pages->in.y)
        pages->y += block->level == 1 ? SPACE_HEADING : SPACE_HEADING / 2;
    mtmi_pages_need(pages, height);
    pages->page_of[index] = pages->page;
    if (!pages->dry && block->level == 1)
        (void)mtmi_bookmark(pages->canvas, 0, block->words);
    if (picture) /* which has a title of its own */
        return result;
    mtmi_pages_words(pages, block->level == 1 || pages->page == 1 ? "H2" : "H3", &type, 0,
                     block->words);
    pages->y += SPACE / 2;
    return result;
}

static void put_text(struct mtmi_pages *pages, const char *words)
{
    const mtmi_type type = {.size = MTMI_TYPE_BODY};

    mtmi_pages_words(pages, "P", &type, 0, words);
    pages->y += SPACE;
}

/* A bar at its left sets a caution apart. */
static void put_caution(struct mtmi_pages *pages, const char *words)
{
    const mtmi_type type = {.size = MTMI_TYPE_BODY, .bold = true};
    mtmi_canvas *c = pages->canvas;

    mtmi_pages_words(pages, "P", &type, CAUTION_INDENT, words);
    if (!pages->dry) {
        mtmi_type set = type;
        set.whole = true;
        set.width = pages->in.width - CAUTION_INDENT;
        double height = fmin(mtmi_words_extent(c, &set, words).height, pages->in.height);
        mtmi_rectangle(c, (mtmi_box){pages->in.x, pages->y - height, 3, height});
        mtmi_fill(c, mtmi_canvas_ink(c, MTMI_INK_TEXT));
    }
    pages->y += SPACE;
}

static void put_contents(struct mtmi_pages *pages)
{
    const mtm_report *report = pages->report;
    mtmi_canvas *c = pages->canvas;
    const mtmi_type head = {.size = MTMI_TYPE_HEAD, .bold = true};
    mtmi_type words = {.size = MTMI_TYPE_BODY};
    mtmi_type number = {.size = MTMI_TYPE_BODY, .align = MTMI_ALIGN_RIGHT};
    const double line = mtmi_line_height(c, MTMI_TYPE_BODY) + 2 * MTMI_ROW_PAD;

    words.width = pages->in.width - 40;
    pages->y += SPACE_HEADING / 2;
    mtmi_pages_words(pages, "H2", &head, 0, "Contents");
    pages->y += SPACE / 2;
    for (size_t i = 0; i < report->count; i++) {
        char text[24];
        if (report->block[i].type != MTMI_BLOCK_HEADING || report->block[i].level != 1)
            continue;
        mtmi_pages_need(pages, line);
        if (!pages->dry) {
            (void)snprintf(text, sizeof text, "%d", pages->page_of[i]);
            mtmi_tag_begin(c, "P");
            (void)mtmi_words(c, pages->in.x, pages->y, &words, report->block[i].words);
            (void)mtmi_words(c, pages->in.x + pages->in.width, pages->y, &number, text);
            mtmi_tag_end(c, "P");
        }
        pages->y += line;
    }
    pages->y += SPACE;
}

static mtm_result put_picture(struct mtmi_pages *pages, const struct mtmi_block *block,
                              mtm_error *error)
{
    mtm_result result = MTM_OK;
    double height = picture_height(pages, block);

    mtmi_pages_need(pages, height);
    if (height + PICTURE_REST > mtmi_pages_left(pages))
        height = mtmi_pages_left(pages);
    if (!pages->dry) {
        const mtm_picture_place place = {
            pages->canvas,
            {pages->in.x - PICTURE_MARGIN, pages->y - PICTURE_MARGIN / 2,
             pages->in.width + 2 * PICTURE_MARGIN, height + PICTURE_MARGIN}};
        const mtm_picture_options options = {.form = MTM_PICTURE_PDF, .place = &place};
        mtm_picture *none = NULL;
        mtmi_tag_begin(pages->canvas, "Sect");
        result = block->draw(block->subject, &options, &none, error);
        mtmi_tag_end(pages->canvas, "Sect");
        mtm_picture_free(none);
    }
    pages->y += height + SPACE;
    return result;
}

static void put_signature(struct mtmi_pages *pages, const struct mtmi_block *block)
{
    mtmi_canvas *c = pages->canvas;
    const mtmi_box *in = &pages->in;
    const mtmi_pen pen = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.9, MTMI_DASH_NONE};
    mtmi_type type = {.size = MTMI_TYPE_SMALL, .width = in->width * 0.55};
    const double second = in->x + in->width * 0.62;

    mtmi_pages_need(pages, SIGNATURE_HEIGHT);
    if (!pages->dry) {
        double y = pages->y + SIGNATURE_HEIGHT - 22;
        mtmi_rule(c, in->x, y, in->x + type.width, y, pen);
        mtmi_rule(c, second, y, in->x + in->width, y, pen);
        mtmi_tag_begin(c, "P");
        (void)mtmi_words(c, in->x, y + 3, &type, block->words);
        if (block->name != NULL)
            (void)mtmi_words(c, in->x, y + 12, &type, block->name);
        (void)mtmi_words(c, second, y + 3, &type, "place, date");
        mtmi_tag_end(c, "P");
    }
    pages->y += SIGNATURE_HEIGHT;
}

static mtm_result put_block(struct mtmi_pages *pages, size_t index, mtm_error *error)
{
    const struct mtmi_block *block = &pages->report->block[index];
    mtm_result result = MTM_OK;

    switch (block->type) {
    case MTMI_BLOCK_HEADING:
        result = put_heading(pages, index, error);
        break;
    case MTMI_BLOCK_TEXT:
        put_text(pages, block->words);
        break;
    case MTMI_BLOCK_CAUTION:
        put_caution(pages, block->words);
        break;
    case MTMI_BLOCK_CONTENTS:
        put_contents(pages);
        break;
    case MTMI_BLOCK_PAGE:
        mtmi_pages_need(pages, INFINITY);
        break;
    case MTMI_BLOCK_TABLE:
        result = mtmi_pages_table(pages, block->table, &pages->laid[index], error);
        pages->y += SPACE;
        break;
    case MTMI_BLOCK_PICTURE:
        result = put_picture(pages, block, error);
        break;
    case MTMI_BLOCK_SIGNATURE:
        put_signature(pages, block);
        break;
    }
    return result;
}

static mtm_result put_all(struct mtmi_pages *pages, bool dry, mtm_error *error)
{
    mtm_result result = MTM_OK;

    pages->dry = dry;
    mtmi_pages_begin(pages);
    put_title(pages);
    for (size_t i = 0; result == MTM_OK && i < pages->report->count; i++)
        result = put_block(pages, i, error);
    pages->count = pages->page;
    return result;
}

static mtm_result draw(struct mtmi_pages *pages, mtm_error *error)
{
    const size_t count = pages->report->count;

    pages->page_of = calloc(count + 1, sizeof *pages->page_of);
    pages->laid = calloc(count + 1, sizeof *pages->laid);
    mtm_result result =
        pages->page_of != NULL && pages->laid != NULL ? MTM_OK : mtmi_fail_memory(error);
    if (result == MTM_OK)
        result = put_all(pages, true, error);
    if (result == MTM_OK)
        result = put_all(pages, false, error);
    for (size_t i = 0; pages->laid != NULL && i < count; i++) {
        free(pages->laid[i].natural);
        free(pages->laid[i].width);
    }
    free(pages->laid);
    free(pages->page_of);
    return result;
}

mtm_result mtmi_report_as_pdf(const mtm_report *report, const mtm_report_options *options,
                              mtmi_text *bytes, mtm_error *error)
{
    const mtm_paper_info *paper = mtm_paper_at(options->paper);
    const mtmi_canvas_request request = {
        .form = MTMI_CANVAS_PDF,
        .width = paper->width_pt,
        .height = paper->height_pt,
        .title = report->title,
        .author = options->author,
        .date = mtmi_picture_date(options->date),
    };
    struct mtmi_pages pages = {.report = report};
    mtm_result result = mtmi_canvas_create(&request, &pages.canvas, error);

    if (result == MTM_OK)
        result = draw(&pages, error);
    if (result == MTM_OK)
        result = mtmi_canvas_finish(pages.canvas, bytes, error);
    mtmi_canvas_free(pages.canvas);
    return result;
}
