/* SPDX-License-Identifier: MIT */
/* XML in a build without libxml2: the same names, and a sentence. */
#include "base/xml.h"

#include "base/error.h"

mtm_result mtmi_xml_parse(const char *text, size_t length, const char *file, mtmi_xml **out,
                          mtm_error *error)
{
    (void)text;
    (void)length;
    (void)out;
    return mtmi_fail(error, MTM_UNSUPPORTED,
                     "%s: XML cannot be read: this build was made without libxml2", file);
}

void mtmi_xml_free(mtmi_xml *xml)
{
    (void)xml;
}

const mtmi_xml_node *mtmi_xml_root(const mtmi_xml *xml)
{
    (void)xml;
    return NULL;
}

const mtmi_xml_node *mtmi_xml_first(const mtmi_xml_node *node)
{
    (void)node;
    return NULL;
}

const mtmi_xml_node *mtmi_xml_next(const mtmi_xml_node *node)
{
    (void)node;
    return NULL;
}

const char *mtmi_xml_name(const mtmi_xml_node *node)
{
    (void)node;
    return "";
}

long mtmi_xml_line(const mtmi_xml_node *node)
{
    (void)node;
    return 0;
}

const char *mtmi_xml_text(const mtmi_xml_node *node)
{
    (void)node;
    return "";
}

const char *mtmi_xml_attribute(const mtmi_xml_node *node, const char *name)
{
    (void)node;
    (void)name;
    return NULL;
}
