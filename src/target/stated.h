/* SPDX-License-Identifier: MIT */
/* What a colour is stated with: the members of a form, and their values. */
#ifndef METAMER_TARGET_STATED_H
#define METAMER_TARGET_STATED_H

#include <metamer/filter.h>
#include <metamer/rig.h>
#include <metamer/target.h>

#define MTMI_MEMBERS_MAX 4
#define MTMI_UNIT_NAME_ROOM 200

/** What a member of a form holds. */
enum mtmi_member_type {
    MTMI_MEMBER_NUMBERS, /**< so many numbers; in JSON a list, where it is more than one */
    MTMI_MEMBER_TEXT,
    MTMI_MEMBER_FILE,  /**< name of a file */
    MTMI_MEMBER_VALUES /**< values of a unit's channels: the form wants one such member */
};

/** One member of a form: a key of an object, an option of a command line. */
struct mtmi_member {
    const char *key;    /**< NULL ends the members */
    const char *option; /**< without dashes; NULL: stands in the text of the first member */
    enum mtmi_member_type type;
    size_t count;       /**< of numbers */
    double least, most; /**< of each number in JSON */
    bool must;          /**< beside the first */
};

/** Where a colour is stated. */
struct mtmi_target_place {
    mtm_observer observer;
    const mtm_rig *rig;         /**< of units that are named; may be NULL */
    const char *base_dir;       /**< where files that are named are looked for first; may be NULL */
    const char *filters_folder; /**< NULL: the delivered filters */
    mtm_filters *filters; /**< NULL until a colour names a filter; freed by whoever owns the place
                           */
};

/** What a form was stated with, member by member. Texts are borrowed. */
struct mtmi_stated {
    struct mtmi_target_place *place;
    const struct mtmi_form *form;
    struct mtmi_stated_member {
        double number[3];
        const char *text; /**< NULL: not stated */
        const char *path; /**< of a file: where it is; of whoever spelled it */
    } member[MTMI_MEMBERS_MAX];
    const struct mtmi_member *values; /**< the member that stated them */
    double value[MTM_SLOTS_MAX];
    size_t value_count;
    char name[MTMI_UNIT_NAME_ROOM]; /**< room for a text that had to be cut out */
    const struct mtmi_member *at;   /**< after a failure: what it is about; NULL: the whole */
};

/** One form. The first member tells it from the others. */
struct mtmi_form {
    struct mtmi_member member[MTMI_MEMBERS_MAX + 1];
    /** The colour; sets stated->at where a failure is about one member. */
    mtm_result (*make)(struct mtmi_stated *stated, mtm_target *target, mtm_error *error);
    /** Y, a white having 100; NULL where the form states a chromaticity only. */
    double (*luminance)(const struct mtmi_stated *stated);
    /** Where the first option's text states all members: takes it apart. */
    mtm_result (*split)(const char *text, struct mtmi_stated *stated, mtm_error *error);
};

#endif
