/* SPDX-License-Identifier: MIT */
/* CPU: what this processor can do, asked once by the system, not again by us. */
#ifndef METAMER_BASE_CPU_H
#define METAMER_BASE_CPU_H

#include <stdbool.h>

/** True if AVX2 and FMA may be used. Always false where the processor is no x86. */
bool mtmi_cpu_has_avx2(void);

/** True if AVX-512 F may be used. */
bool mtmi_cpu_has_avx512(void);

#endif
