/* SPDX-License-Identifier: MIT */
/* The forms in which a colour can be stated: one table, whether it is spelled as a JSON object
 * ({ "cct_k": 3200, "duv": 0.001 }) or on a command line (--cct 3200 --duv 0.001). To add a form,
 * add its row; a key of a file and an option want their lines of help besides, which a test
 * proves. */
#ifndef METAMER_TARGET_FORM_H
#define METAMER_TARGET_FORM_H

#include "target/stated.h"

/** Every form; ends with a first member without a key. */
extern const struct mtmi_form mtmi_forms[];

/** How colours are spelled. */
struct mtmi_spelling {
    /** True if source has the member. */
    bool (*has)(const void *source, const struct mtmi_member *member);
    /** Puts member number index of stated->form into stated. Called also for a
     *  member that must be there: where source lacks it, this fails. */
    mtm_result (*read)(const void *source, size_t index, struct mtmi_stated *stated,
                       mtm_error *error);
    bool by_options; /**< --cct, not "cct_k" */
};

/** Reads the one form that source states; stated->place is set. MTM_PARSE for none and for two. */
MTM_CHECKED mtm_result mtmi_form_read(const struct mtmi_spelling *spelling, const void *source,
                                      struct mtmi_stated *stated, mtm_error *error);

#endif
