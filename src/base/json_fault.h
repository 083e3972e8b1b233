/* SPDX-License-Identifier: MIT */
/* JSON: where a text ceases to be what cJSON takes. */
#ifndef METAMER_BASE_JSON_FAULT_H
#define METAMER_BASE_JSON_FAULT_H

#include <stddef.h>

/**
 * The first letter that JSON cannot have at its place; the end of the text where it is cut short.
 * NULL where all of it is JSON: a parser that failed then ran out of memory. cJSON has no word for
 * that, and its hooks for allocation are global. text holds no zero byte. Source: RFC 8259, with
 * what cJSON allows beyond (any letter in strings, numbers of strtod) and its limits (nesting,
 * letters of a number).
 */
const char *mtmi_json_fault(const char *text, size_t length);

#endif
