/* SPDX-License-Identifier: MIT */
/* Ink: the greys of the ground, one accent, and colours that tell several things apart. */
#ifndef METAMER_CANVAS_INK_H
#define METAMER_CANVAS_INK_H

/** What a picture is looked at on. */
typedef enum mtmi_theme {
    MTMI_THEME_LIGHT = 0, /**< a light screen */
    MTMI_THEME_DARK,      /**< a dark screen */
    MTMI_THEME_PRINT      /**< paper: black on white */
} mtmi_theme;

/** An sRGB colour, encoded, 0..1 each, and how much it covers. */
typedef struct mtmi_ink {
    double r, g, b, cover;
} mtmi_ink;

/** What an ink is for. Text to paper is at least 7:1, quiet text 4.5:1, lines 3:1. */
typedef enum mtmi_ink_role {
    MTMI_INK_PAPER = 0, /**< the ground */
    MTMI_INK_PANEL,     /**< a surface on it */
    MTMI_INK_RULE,      /**< lines that carry no meaning: grids */
    MTMI_INK_QUIET,     /**< quiet text, and lines that carry meaning */
    MTMI_INK_TEXT,      /**< text, marks */
    MTMI_INK_ACCENT     /**< the one accent */
} mtmi_ink_role;

mtmi_ink mtmi_ink_of(mtmi_theme theme, mtmi_ink_role role);

/** Number of inks for several things; the next of them is the first again. */
#define MTMI_INK_SERIES 6
/** One of them, for lines and filled marks. A shape or a dash tells the same (mtmi_shape,
 *  mtmi_dash): hue is never alone. They differ in lightness too, for a grey printer. */
mtmi_ink mtmi_ink_of_series(mtmi_theme theme, unsigned index);

/** The same ink covering this share, 0..1. */
mtmi_ink mtmi_ink_covering(mtmi_ink ink, double cover);

#endif
