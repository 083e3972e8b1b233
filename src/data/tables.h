/* SPDX-License-Identifier: MIT */
/* Tables: the published data, made from the CSV files of this folder at build time. */
#ifndef METAMER_DATA_TABLES_H
#define METAMER_DATA_TABLES_H

/** CIE standard observers, 360..830 nm by 1 nm: [column][row], columns x, y, z bar. */
extern const double mtmi_table_observer_2[3][471];
extern const double mtmi_table_observer_10[3][471];

/** CIE daylight components, 300..830 nm by 10 nm: [column][row], columns S0, S1, S2. */
extern const double mtmi_table_daylight[3][54];

#endif
