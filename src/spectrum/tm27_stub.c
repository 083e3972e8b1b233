/* SPDX-License-Identifier: MIT */
/* ANSI/IES TM-27 in a build without libxml2: a sentence. */
#include "spectrum/set.h"

#include "base/error.h"

mtm_result mtmi_spectrum_read_tm27(const mtmi_source *source, mtm_spectrum_set *set,
                                   mtm_error *error)
{
    (void)set;
    return mtmi_fail(error, MTM_UNSUPPORTED,
                     "%s: XML cannot be read: this build was made without libxml2", source->file);
}
