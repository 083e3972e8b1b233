/* SPDX-License-Identifier: MIT */
/* Fixture picture: what a kind of fixture can make. */
#ifndef METAMER_FIXTURE_PICTURE_H
#define METAMER_FIXTURE_PICTURE_H

#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/picture.h>

MTM_BEGIN

/**
 * Draws a fixture: its gamut in the chromaticity diagram with its emitters; the whites it makes,
 * colour temperature against Duv, shaded by the most light there; the spectra of its emitters at
 * full; and its dimming curves, light by code, also down to the first codes. Of a fixture without
 * emitters what its first mode spans takes their place.
 *
 * @param observer of gamut and whites
 * @param options  NULL for the usual
 * @param out      set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range; MTM_UNSUPPORTED where cairo or Pango
 * is not there, and for the 10 degree observer where an emitter has no spectrum; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_fixture(const mtm_fixture *fixture,
                                                      mtm_observer observer,
                                                      const mtm_picture_options *options,
                                                      mtm_picture **out, mtm_error *error);

MTM_END
#endif
