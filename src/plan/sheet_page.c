/* SPDX-License-Identifier: MIT */
/* Sheets: pages with their heads, and what stands on each. */
#include "plan/sheet.h"

#include "base/grow.h"

#include <metamer/demand.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Lines at the foot of a page: a blank one and what stands on it. */
enum { FOOT_LINES = 2, TITLE_MOST = 60, STATED_MOST = 30 };

void mtmi_sheet_count(mtmi_sum *sum, const mtm_unit *unit)
{
    double watts = mtm_demand_full_w(unit);

    sum->units++;
    sum->unknown += isnan(watts) ? 1 : 0;
    sum->watts += isnan(watts) ? 0 : watts;
}

void mtmi_sheet_put_sum(const mtmi_sum *sum, mtmi_text *text)
{
    mtmi_text_add(text, "%zu unit%s, %.6g W%s\n", sum->units, sum->units == 1 ? "" : "s",
                  sum->watts, sum->unknown > 0 ? ", and what is not known" : "");
}

void mtmi_sheet_end(mtmi_sheet *sheet, bool head, const mtm_unit *unit)
{
    mtmi_piece *grown =
        mtmi_grown(sheet->piece, sheet->piece_count, &sheet->piece_room, sizeof *grown);

    if (grown == NULL) {
        sheet->body.failed = true;
        return;
    }
    sheet->piece = grown;
    grown[sheet->piece_count++] =
        (mtmi_piece){.end = sheet->body.length, .head = head, .unit = unit};
}

/* Bytes of the text that fit into so many letters: up to a blank, or where there is none, all of
 * them. */
static size_t fitting(const char *text, int most)
{
    size_t bytes = 0;
    size_t blank = 0;

    for (int letters = 0; text[bytes] != '\0'; letters++) {
        if (letters == most)
            return blank > 0 ? blank : bytes;
        if (text[bytes] == ' ')
            blank = bytes;
        bytes++;
        while (((unsigned char)text[bytes] & 0xc0) == 0x80)
            bytes++;
    }
    return bytes;
}

void mtmi_sheet_wrap(const char *text, int indent, mtmi_text *to)
{
    text += strspn(text, " ");
    while (*text != '\0') {
        size_t bytes = fitting(text, MTMI_SHEET_WIDTH - indent);
        size_t shown = bytes;
        while (shown > 0 && text[shown - 1] == ' ')
            shown--;
        mtmi_text_add(to, "%*s", indent, "");
        for (size_t i = 0; i < shown; i++)
            mtmi_text_add(to, "%c", (unsigned char)text[i] < ' ' ? ' ' : text[i]);
        mtmi_text_add(to, "\n");
        text += bytes;
        text += strspn(text, " ");
    }
}

/* Letters cut at most, without blanks behind them. */
static void add_cut(mtmi_text *text, const char *letters, int most)
{
    int length = mtmi_text_letters(letters);

    mtmi_text_add_column(text, letters, length < most ? length : most);
}

/* What is laid out: pages are counted first and then written. */
struct pages {
    const mtmi_sheet *sheet;
    const char *title;
    size_t of; /* how many there are; 0 while they are counted */
    size_t page;
    int lines;   /* of this page so far */
    size_t head; /* piece that stands above the rows; SIZE_MAX: none */
    mtmi_sum sum;
    mtmi_text *text;
};

static int lines_of(const mtmi_sheet *sheet, size_t piece)
{
    int lines = 0;

    for (size_t i = piece > 0 ? sheet->piece[piece - 1].end : 0; i < sheet->piece[piece].end; i++)
        lines += sheet->body.data[i] == '\n';
    return lines;
}

static void put_piece(struct pages *p, size_t piece)
{
    const mtmi_sheet *sheet = p->sheet;
    size_t from = piece > 0 ? sheet->piece[piece - 1].end : 0;

    mtmi_text_add_bytes(p->text, sheet->body.data + from, sheet->piece[piece].end - from);
    p->lines += lines_of(sheet, piece);
    if (sheet->piece[piece].unit != NULL)
        mtmi_sheet_count(&p->sum, sheet->piece[piece].unit);
}

static void put_title(struct pages *p)
{
    const mtm_sheet_request *request = p->sheet->request;
    const char *revision =
        request->revision != NULL ? request->revision : mtm_rig_revision(p->sheet->rig);
    const char *date = request->date != NULL ? request->date : mtm_rig_date(p->sheet->rig);

    p->page++;
    p->lines = 0;
    p->sum = (mtmi_sum){0};
    if (p->title == NULL)
        return;
    size_t start = p->text->length;
    mtmi_text_add(p->text, "%s: ", p->title);
    add_cut(p->text, mtm_rig_name(p->sheet->rig), TITLE_MOST - (int)strlen(p->title));
    p->lines++;
    if (p->of > 1 && !p->text->failed) {
        int taken = mtmi_text_letters(p->text->data + start);
        char page[48];
        int letters = snprintf(page, sizeof page, "page %zu of %zu", p->page, p->of);
        mtmi_text_add(p->text, "%*s%s",
                      taken + letters < MTMI_SHEET_WIDTH ? MTMI_SHEET_WIDTH - taken - letters : 1,
                      "", page);
    }
    mtmi_text_add(p->text, "\n");
    if (revision == NULL && date == NULL)
        return;
    if (revision != NULL) {
        mtmi_text_add(p->text, "revision ");
        add_cut(p->text, revision, STATED_MOST);
    }
    if (date != NULL) {
        mtmi_text_add(p->text, revision != NULL ? ", " : "");
        add_cut(p->text, date, STATED_MOST);
    }
    mtmi_text_add(p->text, "\n");
    p->lines++;
}

/* What stands on the page, where there is more than one. */
static void put_foot(struct pages *p)
{
    if (p->title == NULL || p->of <= 1 || p->sum.units == 0)
        return;
    mtmi_text_add(p->text, "\non this page: ");
    mtmi_sheet_put_sum(&p->sum, p->text);
}

static bool page_is_full(const struct pages *p, size_t piece)
{
    const mtmi_sheet *sheet = p->sheet;
    int wanted = p->lines + lines_of(sheet, piece);

    if (sheet->request->page_lines == 0)
        return false;
    if (sheet->piece[piece].head && piece + 1 < sheet->piece_count) /* no head alone at the foot */
        wanted += lines_of(sheet, piece + 1);
    return wanted > sheet->request->page_lines - (p->title != NULL ? FOOT_LINES : 0);
}

/* A new page; the head that rows stand under comes again. */
static void turn_page(struct pages *p, bool in_rows)
{
    put_foot(p);
    mtmi_text_add(p->text, "\f");
    put_title(p);
    if (in_rows && p->head != SIZE_MAX)
        put_piece(p, p->head);
}

static size_t lay_out(const mtmi_sheet *sheet, const char *title, size_t of, mtmi_text *text)
{
    struct pages p = {.sheet = sheet, .title = title, .of = of, .head = SIZE_MAX, .text = text};
    bool fresh = true; /* nothing but heads stands on the page */

    put_title(&p);
    for (size_t i = 0; i < sheet->piece_count && !text->failed; i++) {
        if (!fresh && page_is_full(&p, i)) {
            turn_page(&p, !sheet->piece[i].head);
            fresh = true;
        }
        if (sheet->piece[i].head)
            p.head = i;
        put_piece(&p, i);
        fresh = fresh && sheet->piece[i].head;
    }
    put_foot(&p);
    return p.page;
}

void mtmi_sheet_pages(const mtmi_sheet *sheet, const char *title, mtmi_text *text)
{
    mtmi_text counted = {0};

    if (sheet->body.failed) {
        text->failed = true;
        return;
    }
    size_t pages = lay_out(sheet, title, 0, &counted);
    text->failed = text->failed || counted.failed;
    mtmi_text_free(&counted);
    (void)lay_out(sheet, title, pages, text);
}
