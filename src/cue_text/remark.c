/* SPDX-License-Identifier: MIT */
/* Cue text: what the reader has to say of a text (the standard's "condition reporting"). */
#include "cue_text/cue_text.h"

#include "base/grow.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const mtm_cue_code codes[] = {
    {"line-too-long", MTM_CUE_WARN, "a line of more than 80 characters, read all the same"},
    {"non-ascii", MTM_CUE_WARN, "characters that the format does not have"},
    {"ident-missing", MTM_CUE_WARN, "no IDENT; version 3:0 is assumed"},
    {"ident-late", MTM_CUE_WARN, "IDENT is not the first instruction"},
    {"ident-version", MTM_CUE_WARN, "a version other than 3"},
    {"clear-late", MTM_CUE_WARN, "CLEAR after the data that it erases"},
    {"unknown-keyword", MTM_CUE_ERROR, "no keyword of the standard; the line is dropped"},
    {"unknown-value", MTM_CUE_NOTE, "a CLEAR or SET of something unknown"},
    {"secondary-outside-block", MTM_CUE_ERROR,
     "belongs to a cue, group or submaster, but is in none"},
    {"secondary-not-allowed", MTM_CUE_ERROR, "does not belong into this kind of block"},
    {"bad-number", MTM_CUE_ERROR, "not a number, or out of its range"},
    {"bad-identifier", MTM_CUE_ERROR, "not 1 to 10 letters and digits"},
    {"bad-level", MTM_CUE_ERROR, "not a level"},
    {"bad-time", MTM_CUE_ERROR, "not a time"},
    {"odd-parameters", MTM_CUE_ERROR, "too few or too many parameters"},
    {"repeat", MTM_CUE_WARN, "given before; the last one counts"},
    {"too-many", MTM_CUE_ERROR, "more cues than are kept"},
    {"no-enddata", MTM_CUE_WARN, "no ENDDATA: possibly cut short"},
    {"after-enddata", MTM_CUE_NOTE, "what follows ENDDATA is not read"},
    {"level-wide-hex", MTM_CUE_WARN, "more than two hex digits, taken as 16 bits"},
    {"level-word", MTM_CUE_WARN, "FL, taken as full"},
    {"default-time-used", MTM_CUE_NOTE, "a cue without a time"},
    {"partial-cue", MTM_CUE_WARN,
     "cues that leave out channels: they look different to different "
     "receivers"},
    {"manufacturer-skipped", MTM_CUE_NOTE, "lines that only one maker's receivers know"},
    {"pair-incomplete", MTM_CUE_WARN, "one half of a 16-bit value without the other"},
};

size_t mtm_cue_code_count(void)
{
    return sizeof codes / sizeof codes[0];
}

const mtm_cue_code *mtm_cue_code_at(size_t index)
{
    return index < mtm_cue_code_count() ? &codes[index] : NULL;
}

const char *mtm_cue_severity_name(mtm_cue_severity severity)
{
    static const char *const names[] = {"note", "warn", "error"};

    return (unsigned)severity <= MTM_CUE_ERROR ? names[severity] : NULL;
}

/* Of a name that is known. */
static const mtm_cue_code *find_code(const char *name)
{
    const mtm_cue_code *code = codes;

    while (strcmp(code->name, name) != 0)
        code++;
    return code;
}

static bool reserve(mtm_cue_sheet *sheet)
{
    mtmi_cue_remark *remark =
        mtmi_grown(sheet->remark, sheet->remark_count, &sheet->remark_capacity, sizeof *remark);

    if (remark == NULL)
        return false;
    sheet->remark = remark;
    return true;
}

bool mtmi_cue_remark_add(mtm_cue_sheet *sheet, size_t line, const char *code, const char *format,
                         ...)
{
    const mtm_cue_code *known = find_code(code);

    sheet->severities[known->severity]++;
    if (sheet->remark_count == MTM_CUE_REMARKS_MAX)
        return true;
    if (!reserve(sheet))
        return false;
    mtmi_cue_remark *remark = &sheet->remark[sheet->remark_count++];
    va_list arguments;

    *remark = (mtmi_cue_remark){.line = line, .serial = sheet->remark_count, .code = known};
    va_start(arguments, format);
    (void)vsnprintf(remark->text, sizeof remark->text, format, arguments);
    va_end(arguments);
    return true;
}

static int by_line(const void *left, const void *right)
{
    const mtmi_cue_remark *a = left;
    const mtmi_cue_remark *b = right;

    if (a->line != b->line)
        return a->line < b->line ? -1 : 1;
    return a->serial < b->serial ? -1 : 1;
}

void mtmi_cue_remark_sort(mtm_cue_sheet *sheet)
{
    if (sheet->remark_count > 0)
        qsort(sheet->remark, sheet->remark_count, sizeof *sheet->remark, by_line);
}

size_t mtm_cue_sheet_remark_count(const mtm_cue_sheet *sheet)
{
    return sheet != NULL ? sheet->remark_count : 0;
}

mtm_cue_remark mtm_cue_sheet_remark(const mtm_cue_sheet *sheet, size_t index)
{
    if (sheet == NULL || index >= sheet->remark_count)
        return (mtm_cue_remark){0};
    const mtmi_cue_remark *remark = &sheet->remark[index];

    return (mtm_cue_remark){remark->line, remark->code->severity, remark->code->name, remark->text};
}

size_t mtm_cue_sheet_remarks_of(const mtm_cue_sheet *sheet, mtm_cue_severity severity)
{
    if (sheet == NULL || (unsigned)severity > MTM_CUE_ERROR)
        return 0;
    return sheet->severities[severity];
}
