/* SPDX-License-Identifier: MIT */
/* Tables: the published data, made from the CSV files of this folder at build time. */
#ifndef METAMER_DATA_TABLES_H
#define METAMER_DATA_TABLES_H

/** CIE standard observers, 360..830 nm by 1 nm: [column][row], columns x, y, z bar. */
extern const double mtmi_table_observer_2[3][471];
extern const double mtmi_table_observer_10[3][471];

/** The same, [observer][function][row], for kernels: each function begins on a cache line of 64
 * bytes and ends in a zero. Made by weights_maker. */
#define MTMI_WEIGHTS_COUNT 472
extern const double mtmi_weights[2][3][MTMI_WEIGHTS_COUNT];

/** CIE daylight components, 300..830 nm by 10 nm: [column][row], columns S0, S1, S2. */
extern const double mtmi_table_daylight[3][54];

/** CIE 13.3 test-colour samples 1..14, 360..830 nm by 5 nm: [sample][row], radiance factors. */
extern const double mtmi_table_test_colours[14][95];

/** CIE 224 colour evaluation samples 1..99, 360..830 nm by 5 nm: [sample][row], reflectance. */
extern const double mtmi_table_evaluation_samples[99][95];

#endif
