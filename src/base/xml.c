/* SPDX-License-Identifier: MIT */
/* XML by libxml2, loaded when the first document is read: a command that reads none pays nothing.
 */
#include "base/xml.h"

#include "base/error.h"

#include <libxml/parser.h>
#include <libxml/tree.h>

#include <dlfcn.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#if LIBXML_VERSION >= 21400
#define LIBRARY "libxml2.so.16"
#else
#define LIBRARY "libxml2.so.2"
#endif

/* What is called of libxml2. */
struct functions {
    xmlParserCtxtPtr (*new_context)(void);
    xmlDocPtr (*read)(xmlParserCtxtPtr context, const char *text, int length, const char *url,
                      const char *encoding, int options);
    void (*stop)(xmlParserCtxtPtr context);
    void (*begin)(void);
    void (*free_context)(xmlParserCtxtPtr context);
    void (*free_document)(xmlDocPtr document);
    xmlNodePtr (*root)(const xmlDoc *document);
};

struct mtmi_xml {
    xmlDocPtr document;
    void (*free_document)(xmlDocPtr document);
    xmlNodePtr root;
};

/* What must be known of a parse, beside its outcome. */
struct watch {
    void (*stop)(xmlParserCtxtPtr context);
    bool document_type;
    bool out_of_memory;
};

#if LIBXML_VERSION >= 21200
typedef const xmlError xml_error;
#else
typedef xmlError xml_error;
#endif

/* dlsym gives an object pointer; C has no cast from that to a function. */
static bool find(void *library, const char *name, void *function)
{
    void *symbol = dlsym(library, name);

    memcpy(function, &symbol, sizeof symbol);
    return symbol != NULL;
}

/* False if the library or one of the functions is missing. It is never closed: it would not survive
 * being loaded twice. */
static bool load(struct functions *f)
{
    void *library = dlopen(LIBRARY, RTLD_NOW | RTLD_LOCAL);

    return library != NULL && find(library, "xmlInitParser", &f->begin) &&
           find(library, "xmlNewParserCtxt", &f->new_context) &&
           find(library, "xmlCtxtReadMemory", &f->read) &&
           find(library, "xmlStopParser", &f->stop) &&
           find(library, "xmlFreeParserCtxt", &f->free_context) &&
           find(library, "xmlFreeDoc", &f->free_document) &&
           find(library, "xmlDocGetRootElement", &f->root);
}

/* libxml2 makes itself ready at its first call, and is not guarded there itself: two threads that
 * read their first document at once must not both do it. */
static bool load_guarded(struct functions *f)
{
    static pthread_mutex_t guard = PTHREAD_MUTEX_INITIALIZER;

    (void)pthread_mutex_lock(&guard);
    bool loaded = load(f);
    if (loaded)
        f->begin();
    (void)pthread_mutex_unlock(&guard);
    return loaded;
}

/* Called where a document type begins, before any entity is declared. */
static void refuse_document_type(void *context, const xmlChar *name, const xmlChar *external,
                                 const xmlChar *system)
{
    xmlParserCtxtPtr parser = context;
    struct watch *watch = parser->_private;

    (void)name;
    (void)external;
    (void)system;
    watch->document_type = true;
    watch->stop(parser);
}

/* Each error comes by here, since a later one hides that memory ran out before. */
static void note_error(void *context, xml_error *found)
{
    xmlParserCtxtPtr parser = context;
    struct watch *watch = parser->_private;

    watch->out_of_memory |= found->code == XML_ERR_NO_MEMORY;
}

static mtm_result fail_at(const xmlParserCtxtPtr parser, const struct watch *watch,
                          const char *file, mtm_error *error)
{
    const xmlError *last = &parser->lastError;

    if (watch->document_type)
        return mtmi_fail(error, MTM_PARSE,
                         "%s: has a document type declaration, which is not allowed", file);
    if (watch->out_of_memory || last->message == NULL) /* none to tell that either */
        return mtmi_fail_memory(error);
    return mtmi_fail(error, MTM_PARSE, "%s: line %d: %.*s", file, last->line,
                     (int)strcspn(last->message, "\r\n"), last->message);
}

static mtm_result parse(const struct functions *f, const char *text, size_t length,
                        const char *file, mtmi_xml *xml, mtm_error *error)
{
    xmlParserCtxtPtr parser = f->new_context();
    struct watch watch = {.stop = f->stop};
    mtm_result result = MTM_OK;

    if (parser == NULL)
        return mtmi_fail_memory(error);
    parser->_private = &watch;
    parser->sax->internalSubset = refuse_document_type;
    parser->sax->serror = note_error;
    xml->document = f->read(parser, text, (int)length, NULL, NULL,
                            XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING |
                                XML_PARSE_NOCDATA | XML_PARSE_COMPACT);
    xml->free_document = f->free_document;
    xml->root = xml->document == NULL ? NULL : f->root(xml->document);
    if (xml->root == NULL || watch.document_type || watch.out_of_memory)
        result = fail_at(parser, &watch, file, error);
    f->free_context(parser);
    return result;
}

mtm_result mtmi_xml_parse(const char *text, size_t length, const char *file, mtmi_xml **out,
                          mtm_error *error)
{
    struct functions f;

    if (length > MTMI_XML_LIMIT)
        return mtmi_fail(error, MTM_LIMIT, "%s: %zu bytes of XML; at most %zu are read: split it",
                         file, length, MTMI_XML_LIMIT);
    if (!load_guarded(&f))
        return mtmi_fail(error, MTM_UNSUPPORTED,
                         "%s: XML cannot be read: " LIBRARY " cannot be loaded", file);
    mtmi_xml *xml = calloc(1, sizeof *xml);
    if (xml == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = parse(&f, text, length, file, xml, error);
    if (result != MTM_OK) {
        mtmi_xml_free(xml);
        return result;
    }
    *out = xml;
    return MTM_OK;
}

void mtmi_xml_free(mtmi_xml *xml)
{
    if (xml == NULL)
        return;
    if (xml->document != NULL)
        xml->free_document(xml->document);
    free(xml);
}

static const mtmi_xml_node *element_from(const xmlNode *node)
{
    while (node != NULL && node->type != XML_ELEMENT_NODE)
        node = node->next;
    return (const mtmi_xml_node *)node;
}

static const xmlNode *inside(const mtmi_xml_node *node)
{
    return (const xmlNode *)node;
}

const mtmi_xml_node *mtmi_xml_root(const mtmi_xml *xml)
{
    return (const mtmi_xml_node *)xml->root;
}

const mtmi_xml_node *mtmi_xml_first(const mtmi_xml_node *node)
{
    return element_from(inside(node)->children);
}

const mtmi_xml_node *mtmi_xml_next(const mtmi_xml_node *node)
{
    return element_from(inside(node)->next);
}

const char *mtmi_xml_name(const mtmi_xml_node *node)
{
    return (const char *)inside(node)->name;
}

long mtmi_xml_line(const mtmi_xml_node *node)
{
    return inside(node)->line;
}

static const char *text_of(const xmlNode *child)
{
    bool is_text = child != NULL && child->type == XML_TEXT_NODE && child->content != NULL;

    return is_text ? (const char *)child->content : "";
}

const char *mtmi_xml_text(const mtmi_xml_node *node)
{
    return text_of(inside(node)->children);
}

const char *mtmi_xml_attribute(const mtmi_xml_node *node, const char *name)
{
    for (const xmlAttr *a = inside(node)->properties; a != NULL; a = a->next) {
        if (strcmp((const char *)a->name, name) == 0)
            return text_of(a->children);
    }
    return NULL;
}
