/* SPDX-License-Identifier: MIT */
/* Rows and sentences of a report. */
#include "cli/report/report_out.h"

#include "cli/out/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

void report_put(struct report_row *row, const char *cell)
{
    if (row->count < MTM_REPORT_COLUMNS_MAX)
        row->cell[row->count++] = cell;
}

void report_put_text(struct report_row *row, const char *format, ...)
{
    char *at = row->text + row->used;
    const size_t room = sizeof row->text - row->used;
    va_list list;

    va_start(list, format);
    int length = vsnprintf(at, room, format, list);
    va_end(list);
    report_put(row, at);
    if (length >= 0 && (size_t)length + 1 < room)
        row->used += (size_t)length + 1;
}

void report_put_number(struct report_row *row, double value, int decimals)
{
    if (isfinite(value))
        report_put_text(row, "%.*f", decimals, text_clean(value, decimals));
    else
        report_put(row, "-");
}

void report_put_signed(struct report_row *row, double value, int decimals)
{
    if (isfinite(value))
        report_put_text(row, "%+.*f", decimals, text_clean(value, decimals));
    else
        report_put(row, "-");
}

void report_end_row(mtm_report *report, struct report_row *row)
{
    mtm_report_add_row(report, row->cell);
    memset((void *)row->cell, 0, row->count * sizeof row->cell[0]);
    row->count = 0;
    row->used = 0;
}

/* A sentence a paragraph: lines end where their sentences do. */
void report_add_said(mtm_report *report, void (*say)(const void *of, FILE *out), const void *of)
{
    report_add_said_as(report, mtm_report_add_text, say, of);
}

void report_add_said_as(mtm_report *report, void (*add)(mtm_report *report, const char *words),
                        void (*say)(const void *of, FILE *out), const void *of)
{
    char *text = NULL;
    size_t size = 0;
    FILE *said = open_memstream(&text, &size);

    if (said == NULL)
        return;
    say(of, said);
    if (fclose(said) == 0) {
        while (size > 0 && text[size - 1] == '\n')
            text[--size] = '\0';
        const char *start = text + strspn(text, "\n");
        if (start[0] != '\0')
            add(report, start);
    }
    free(text);
}

const char *report_stated(const struct args *args, const char *option, const char *of_rig)
{
    return args_text(args, option, of_rig);
}
