/* SPDX-License-Identifier: MIT */
/* Spectrum output: a block of lines for each spectrum, an object, or a row. */
#include "cli/spectrum/spectrum_out.h"

#include "cli/out/json.h"
#include "cli/out/text.h"

#include <math.h>

/* Below and above, the eye is a poor judge of how much radiation there is. */
#define DIM_BLUE_NM 450
#define DIM_RED_NM 700
/* CIE 015:2018, 7.1: sums over 5 nm do for most purposes. */
#define FINE_NM (5 + 1e-6)
#define NO_LIGHT "outside the spectrum locus: no light has this colour, so a value below 0 is in it"

static const char *quantity_note(mtm_quantity quantity)
{
    switch (quantity) {
    case MTM_QUANTITY_TRANSMITTANCE:
        return "the file holds transmittances; they are taken as a light, as behind equal energy";
    case MTM_QUANTITY_REFLECTANCE:
        return "the file holds reflectances; they are taken as a light, as under equal energy";
    case MTM_QUANTITY_UNSTATED:
    case MTM_QUANTITY_LIGHT:
        break;
    }
    return NULL;
}

/* An emitter of deep blue, violet or deep red; whites that have a line there are none. */
static bool deep_colour(const mtm_spectrum_facts *f)
{
    return !isfinite(f->white.cct_k) &&
           (f->peak.wavelength_nm < DIM_BLUE_NM || f->peak.wavelength_nm > DIM_RED_NM);
}

/* A white so near to the change of reference that a meter could not say on which side it is. */
static bool near_jump(const mtm_spectrum_facts *f)
{
    return f->has_quality && mtm_ra_jumps(f->white.cct_k, f->white.cct_k);
}

/* The notes that go with a spectrum, one at a time; NULL where number index does not apply. */
static const char *note(const mtm_spectrum_facts *f, size_t index)
{
    switch (index) {
    case 0:
        return quantity_note(f->quantity);
    case 1:
        return f->first_nm > MTM_SPECTRUM_FIRST_NM + 20 || f->last_nm < 780
                   ? "not measured over all of 380 to 780 nm; what is missing counts as nothing"
                   : NULL;
    case 2:
        return f->has_quality && f->quality.cri.far ? "the white lies farther than 0.0054 in u, v "
                                                      "from its reference, where CIE 13.3 "
                                                      "calls the rendering indices not valid"
                                                    : NULL;
    case 3:
        return f->spacing_nm > FINE_NM ? "samples lie more than 5 nm apart; CIE 015, 13.3 and 224 "
                                         "want 5 nm or less, so narrow lines may be missed or "
                                         "misplaced"
                                       : NULL;
    case 4:
        return near_jump(f) ? "within 50 K of 5000 K, where the reference of Ra changes from "
                              "Planckian to daylight (CIE 13.3): Ra and R1 to R14 jump there"
                            : NULL;
    case 5:
        return mtm_dominant_imaginary(f->dominant) ? NO_LIGHT : NULL;
    case 6:
        return deep_colour(f) ? "peak below 450 or above 700 nm: how bright it looks says nothing "
                                "about exposure; follow the maker's safety sheet and local rules"
                              : NULL;
    default:
        return NULL;
    }
}

#define NOTE_COUNT 7

/* Nominal temperature of a class; NAN for none. */
static double nominal_k(const mtm_white_class *white_class)
{
    return white_class != NULL ? (double)white_class->nominal_k : NAN;
}

static double width_nm(const mtm_spectrum_facts *f)
{
    return f->peak.has_fwhm ? f->peak.fwhm_nm : NAN;
}

static void put_number(double value, int decimals, const char *unit, FILE *out)
{
    if (isfinite(value))
        (void)fprintf(out, "%.*f%s", decimals, text_clean(value, decimals), unit);
    else
        (void)fputc('-', out);
}

/* Where values begin, behind their label. */
#define LABEL_COLUMNS 14

static void write_white(const mtm_spectrum_facts *f, FILE *out)
{
    const int columns = text_line_columns(out);
    char text[sizeof f->missing + 8];
    int at = fprintf(out, "  CCT, Duv    ");

    if (!isfinite(f->white.cct_k)) {
        (void)snprintf(text, sizeof text, "none: %s", f->missing);
        (void)text_put_wrapped(text, LABEL_COLUMNS, LABEL_COLUMNS, columns, out);
    } else {
        at += fprintf(out, "%.0f K  %+.4f  ", f->white.cct_k, text_clean(f->white.duv, 4));
        if (f->has_tolerance) {
            (void)snprintf(text, sizeof text, "%.1f steps (MacAdam %.1f) from nominal %d K, %s",
                           f->tolerance.steps, f->tolerance.macadam_steps,
                           f->tolerance.nearest->nominal_k,
                           f->tolerance.within != NULL ? "within a quadrangle of C78.377"
                                                       : "outside all quadrangles of C78.377");
            (void)text_put_wrapped(text, at, LABEL_COLUMNS, columns, out);
        }
    }
    (void)fputc('\n', out);
}

static const char *reference_of(const mtm_spectrum_facts *f)
{
    if (mtm_ra_reference(f->white.cct_k) == MTM_REFERENCE_DAYLIGHT)
        return "daylight (Ra and Rf)";
    return mtm_rf_reference(f->white.cct_k) == MTM_REFERENCE_PLANCK
               ? "a Planckian radiator (Ra and Rf)"
               : "a Planckian radiator (Ra), a mixture of it and daylight (Rf),";
}

static void write_quality(const mtm_spectrum_facts *f, FILE *out)
{
    if (!f->has_quality) {
        if (isfinite(f->white.cct_k))
            (void)fprintf(out, "  Rendering   none: %s\n", f->missing);
    } else {
        const mtm_quality *q = &f->quality;

        (void)fprintf(out, "  Rendering   Ra %.1f   R9 %.1f   Rf %.1f   Rg %.1f\n",
                      text_clean(q->cri.ra, 1), text_clean(q->cri.r[8], 1), q->fidelity.rf,
                      q->fidelity.rg);
        (void)fprintf(out, "  R1..R14    ");
        for (size_t i = 0; i < MTM_TCS_COUNT; i++)
            (void)fprintf(out, " %.0f", text_clean(q->cri.r[i], 0));
        (void)fprintf(out, "\n  beside      %s of %.0f K\n", reference_of(f), f->white.cct_k);
    }
    if (isfinite(f->ssi))
        (void)fprintf(out, "  Similarity  SSI[%s] %.0f\n", f->ssi_reference, text_clean(f->ssi, 0));
}

static void write_shape(const mtm_spectrum_facts *f, const char *white_name, FILE *out)
{
    (void)fprintf(out, "  Peak        ");
    put_number(f->peak.wavelength_nm, 1, " nm", out);
    (void)fprintf(out, ", width at half ");
    put_number(width_nm(f), 1, " nm", out);
    if (!isfinite(f->dominant.wavelength_nm))
        (void)fprintf(out, "\n  Dominant    none: it is the white itself\n");
    else
        (void)fprintf(out, "\n  %-11s %.1f nm, purity %.3f, beside %s\n",
                      f->dominant.wavelength_nm < 0 ? "Complement" : "Dominant",
                      fabs(f->dominant.wavelength_nm), f->dominant.purity, white_name);
    (void)fprintf(out, "  Efficacy    %.1f lm per watt of radiation from %.0f to %.0f nm\n",
                  f->ler_lm_per_w, fmax(f->first_nm, MTM_SPECTRUM_FIRST_NM),
                  fmin(f->last_nm, MTM_SPECTRUM_LAST_NM));
}

static void write_table(const void *data, FILE *out)
{
    const struct spectrum_report *report = data;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_spectrum_facts *f = &report->facts[i];

        (void)fprintf(out, "%s%s\n", i > 0 ? "\n" : "", f->name);
        (void)fprintf(out, "  x, y        %.4f  %.4f   u', v' %.4f  %.4f%s\n", f->xy.x, f->xy.y,
                      f->uv.u, f->uv.v,
                      report->observer == MTM_OBSERVER_10 ? "   (10° observer)" : "");
        write_white(f, out);
        write_quality(f, out);
        write_shape(f, report->white_name, out);
        for (size_t k = 0; k < NOTE_COUNT; k++)
            if (note(f, k) != NULL)
                (void)fprintf(out, "  Note: %s.\n", note(f, k));
    }
}

static void json_add_numbers(cJSON *object, const char *key, const double *value, size_t count,
                             int decimals)
{
    cJSON *array = json_add_array(object, key);

    for (size_t i = 0; i < count; i++)
        json_append_number(array, value[i], decimals);
}

/* R1..R15; the last stays null, for CIE 13.3 has no data of its sample. */
static void json_add_cri(cJSON *object, const mtm_spectrum_facts *f)
{
    cJSON *array = NULL;
    bool has = f->has_quality;

    json_add_number(object, "ra", has ? f->quality.cri.ra : NAN, 3);
    json_add_number(object, "r9", has ? f->quality.cri.r[8] : NAN, 3);
    array = json_add_array(object, "r");
    for (size_t i = 0; i <= MTM_TCS_COUNT; i++)
        json_append_number(array, has && i < MTM_TCS_COUNT ? f->quality.cri.r[i] : NAN, 3);
    json_add_number(object, "cri_distance", has ? f->quality.cri.distance : NAN, 6);
    if (has)
        json_add_bool(object, "cri_valid", !f->quality.cri.far);
    else
        json_add_text(object, "cri_valid", NULL);
}

static void json_add_fidelity(cJSON *object, const mtm_spectrum_facts *f)
{
    const mtm_fidelity *fidelity = &f->quality.fidelity;

    json_add_number(object, "rf", f->has_quality ? fidelity->rf : NAN, 3);
    json_add_number(object, "rg", f->has_quality ? fidelity->rg : NAN, 3);
    if (!f->has_quality)
        return;
    json_add_numbers(object, "rf_bins", fidelity->bin_rf, MTM_HUE_BINS, 3);
    json_add_numbers(object, "chroma_shift_percent", fidelity->chroma_shift, MTM_HUE_BINS, 3);
    json_add_numbers(object, "hue_shift_rad", fidelity->hue_shift, MTM_HUE_BINS, 5);
}

static void json_add_tolerance(cJSON *object, const mtm_spectrum_facts *f)
{
    cJSON *tolerance = NULL;

    if (!f->has_tolerance) {
        json_add_text(object, "tolerance", NULL);
        return;
    }
    tolerance = json_add_object(object, "tolerance");
    json_add_number(tolerance, "nearest_k", f->tolerance.nearest->nominal_k, 0);
    json_add_number(tolerance, "steps", f->tolerance.steps, 3);
    json_add_number(tolerance, "macadam_steps", f->tolerance.macadam_steps, 3);
    json_add_number(tolerance, "within_k", nominal_k(f->tolerance.within), 0);
}

static cJSON *json_of(const mtm_spectrum_facts *f, const struct spectrum_report *report)
{
    cJSON *object = cJSON_CreateObject();
    cJSON *notes = NULL;

    json_add_text(object, "name", f->name);
    json_add_text(object, "file", report->file[f - report->facts]);
    json_add_number(object, "observer_deg", report->observer == MTM_OBSERVER_10 ? 10 : 2, 0);
    json_add_number(object, "spacing_nm", f->spacing_nm, 3);
    json_add_xy(object, f->xy, 7);
    json_add_uv(object, f->uv, 7);
    json_add_number(object, "cct_k", f->white.cct_k, 3);
    json_add_number(object, "duv", f->white.duv, 7);
    json_add_tolerance(object, f);
    json_add_cri(object, f);
    json_add_fidelity(object, f);
    json_add_number(object, "ssi", f->ssi, 3);
    json_add_text(object, "ssi_reference", isfinite(f->ssi) ? f->ssi_reference : NULL);
    json_add_number(object, "peak_nm", f->peak.wavelength_nm, 2);
    json_add_number(object, "fwhm_nm", width_nm(f), 2);
    json_add_number(object, "dominant_nm", f->dominant.wavelength_nm, 2);
    json_add_number(object, "purity", f->dominant.purity, 5);
    json_add_text(object, "dominant_white", report->white_name);
    json_add_number(object, "ler_lm_per_w", f->ler_lm_per_w, 3);
    json_add_text(object, "missing", f->missing[0] != '\0' ? f->missing : NULL);
    notes = json_add_array(object, "notes");
    for (size_t k = 0; k < NOTE_COUNT; k++)
        if (note(f, k) != NULL)
            json_append_text(notes, note(f, k));
    return object;
}

static cJSON *write_json(const void *data)
{
    const struct spectrum_report *report = data;
    cJSON *root = cJSON_CreateArray();

    for (size_t i = 0; i < report->count; i++)
        json_append(root, json_of(&report->facts[i], report));
    return root;
}

static void write_csv(const void *data, FILE *out)
{
    const struct spectrum_report *report = data;

    (void)fprintf(out, "name,x,y,u_prime,v_prime,cct_k,duv,ra,r9,rf,rg,ssi,peak_nm,fwhm_nm,"
                       "dominant_nm,purity,ler_lm_per_w,steps,nearest_k,within_k\n");
    for (size_t i = 0; i < report->count; i++) {
        const mtm_spectrum_facts *f = &report->facts[i];
        const mtm_quality *q = &f->quality;
        bool has = f->has_quality;

        text_put_csv(f->name, out);
        text_put_csv_number(f->xy.x, 6, out);
        text_put_csv_number(f->xy.y, 6, out);
        text_put_csv_number(f->uv.u, 6, out);
        text_put_csv_number(f->uv.v, 6, out);
        text_put_csv_number(f->white.cct_k, 1, out);
        text_put_csv_number(f->white.duv, 5, out);
        text_put_csv_number(has ? q->cri.ra : NAN, 2, out);
        text_put_csv_number(has ? q->cri.r[8] : NAN, 2, out);
        text_put_csv_number(has ? q->fidelity.rf : NAN, 2, out);
        text_put_csv_number(has ? q->fidelity.rg : NAN, 2, out);
        text_put_csv_number(f->ssi, 2, out);
        text_put_csv_number(f->peak.wavelength_nm, 1, out);
        text_put_csv_number(width_nm(f), 1, out);
        text_put_csv_number(f->dominant.wavelength_nm, 2, out);
        text_put_csv_number(f->dominant.purity, 4, out);
        text_put_csv_number(f->ler_lm_per_w, 2, out);
        text_put_csv_number(f->has_tolerance ? f->tolerance.steps : NAN, 2, out);
        text_put_csv_number(nominal_k(f->tolerance.nearest), 0, out);
        text_put_csv_number(nominal_k(f->tolerance.within), 0, out);
        (void)fputc('\n', out);
    }
}

const struct writer spectrum_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(write_json), WRITER_CSV(write_csv), {0}};
