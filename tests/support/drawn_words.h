/* SPDX-License-Identifier: MIT */
/* The words that an SVG shows, read back: each piece of writing as the box of its letters. */
#ifndef METAMER_TESTS_DRAWN_WORDS_H
#define METAMER_TESTS_DRAWN_WORDS_H

#include "support/drawn.h"

/** The outline of one letter, about the place where it is written. */
struct drawn_letter {
    const char *id; /**< borrowed of the XML */
    double left, top, right, bottom;
};

/** All letters, and all words. */
struct drawn_words {
    struct drawn_letter *letter;
    size_t letters, letter_room;
    struct drawn *box;
    size_t count, room;
};

static inline void *drawn_more(void *list, size_t count, size_t *room, size_t size)
{
    if (count < *room)
        return list;
    *room = 2 * *room + 256;
    list = realloc(list, *room * size);
    assert_non_null(list);
    return list;
}

/** The symbols, each of one path. */
static inline void drawn_letters(const mtmi_xml_node *node, struct drawn_words *words)
{
    for (; node != NULL; node = mtmi_xml_next(node)) {
        if (strcmp(mtmi_xml_name(node), "symbol") != 0) {
            drawn_letters(mtmi_xml_first(node), words);
            continue;
        }
        struct drawing outline = {.path = NULL};
        const mtmi_xml_node *path = mtmi_xml_first(node);
        const char *data = path != NULL ? mtmi_xml_attribute(path, "d") : NULL;
        drawn_add(&outline, "", data != NULL ? data : "");
        words->letter =
            drawn_more(words->letter, words->letters, &words->letter_room, sizeof *words->letter);
        words->letter[words->letters++] =
            (struct drawn_letter){mtmi_xml_attribute(node, "id"), outline.path->left,
                                  outline.path->top, outline.path->right, outline.path->bottom};
        free(outline.path);
    }
}

/** A group that uses letters is a piece of writing. */
static inline void drawn_groups(const mtmi_xml_node *node, struct drawn_words *words)
{
    struct drawn box = {.left = INFINITY, .top = INFINITY, .right = -INFINITY, .bottom = -INFINITY};

    for (; node != NULL; node = mtmi_xml_next(node)) {
        const char *id = mtmi_xml_attribute(node, "xlink:href");
        if (id == NULL)
            id = mtmi_xml_attribute(node, "href");
        if (strcmp(mtmi_xml_name(node), "defs") == 0)
            continue;
        if (strcmp(mtmi_xml_name(node), "use") != 0 || id == NULL) {
            drawn_groups(mtmi_xml_first(node), words);
            continue;
        }
        double x = strtod(mtmi_xml_attribute(node, "x"), NULL);
        double y = strtod(mtmi_xml_attribute(node, "y"), NULL);
        for (size_t i = 0; i < words->letters; i++) {
            const struct drawn_letter *letter = &words->letter[i];
            if (strcmp(letter->id, id + 1) != 0)
                continue;
            box.left = fmin(box.left, x + letter->left);
            box.right = fmax(box.right, x + letter->right);
            box.top = fmin(box.top, y + letter->top);
            box.bottom = fmax(box.bottom, y + letter->bottom);
        }
    }
    if (!(box.right > box.left))
        return;
    words->box = drawn_more(words->box, words->count, &words->room, sizeof *words->box);
    words->box[words->count++] = box;
}

/** Fails where words lie over each other or leave the page; returns how many there are. */
static inline size_t drawn_check_words(const mtm_picture *picture, double width)
{
    const double touch = 0.3; /* px that letters of neighbours may share */
    struct drawn_words words = {.letter = NULL};
    mtm_error error = {""};
    mtmi_xml *xml = NULL;
    size_t bytes = 0;
    const char *text = mtm_picture_bytes(picture, &bytes);

    if (mtmi_xml_parse(text, bytes, "picture", &xml, &error) != MTM_OK)
        fail_msg("%s", error.text);
    drawn_letters(mtmi_xml_root(xml), &words);
    drawn_groups(mtmi_xml_root(xml), &words);
    for (size_t i = 0; i < words.count; i++) {
        const struct drawn *a = &words.box[i];
        if (!(a->left >= -touch && a->right <= width + touch && a->top >= -touch))
            fail_msg("words leave the page at %.1f, %.1f", a->left, a->top);
        for (size_t k = 0; k < i; k++) {
            const struct drawn *b = &words.box[k];
            if (a->left < b->right - touch && b->left < a->right - touch &&
                a->top < b->bottom - touch && b->top < a->bottom - touch)
                fail_msg("words lie over each other at %.1f, %.1f and %.1f, %.1f", a->left, a->top,
                         b->left, b->top);
        }
    }
    free(words.letter);
    free(words.box);
    mtmi_xml_free(xml);
    return words.count;
}

#endif
