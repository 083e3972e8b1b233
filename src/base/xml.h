/* SPDX-License-Identifier: MIT */
/* XML: small documents read by libxml2, which is loaded only when one is read. */
#ifndef METAMER_BASE_XML_H
#define METAMER_BASE_XML_H

#include <metamer/base.h>

/** Most bytes of a document: its tree takes some thirty times as much. */
#define MTMI_XML_LIMIT ((size_t)4 * 1024 * 1024)

/** A document. */
typedef struct mtmi_xml mtmi_xml;
/** An element; lives as long as its document. */
typedef struct mtmi_xml_node mtmi_xml_node;

/**
 * Reads a document without touching network or files. A document type declaration is refused, and
 * with it every entity. file names the text in errors.
 * @return MTM_OK, MTM_PARSE, MTM_LIMIT, MTM_MEMORY; MTM_UNSUPPORTED where libxml2 is not in this
 * build or cannot be loaded
 */
MTM_CHECKED mtm_result mtmi_xml_parse(const char *text, size_t length, const char *file,
                                      mtmi_xml **out, mtm_error *error);
/** NULL is allowed. */
void mtmi_xml_free(mtmi_xml *xml);

/** The outermost element. */
const mtmi_xml_node *mtmi_xml_root(const mtmi_xml *xml);
/** The first element inside node; NULL if there is none. */
const mtmi_xml_node *mtmi_xml_first(const mtmi_xml_node *node);
/** The next element beside node; NULL if there is none. */
const mtmi_xml_node *mtmi_xml_next(const mtmi_xml_node *node);

/** Its name without the namespace. */
const char *mtmi_xml_name(const mtmi_xml_node *node);
/** The line it begins on. */
long mtmi_xml_line(const mtmi_xml_node *node);
/** The text directly inside, up to the first element or comment; "" if there is none. */
const char *mtmi_xml_text(const mtmi_xml_node *node);
/** An attribute's text, its namespace aside; NULL if there is no such attribute. */
const char *mtmi_xml_attribute(const mtmi_xml_node *node, const char *name);

#endif
