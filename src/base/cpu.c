/* SPDX-License-Identifier: MIT */
/* CPU: what this processor can do. The compiler's __builtin_cpu_supports brings a start-up routine
 * that asks the processor anew with a dozen CPUID instructions, each of which stops a virtual
 * machine: a tenth of the run time of a short command. The C library's loader has asked already. */
#include "base/cpu.h"

#if defined(__x86_64__) && defined(__has_include)
#if __has_include(<sys/platform/x86.h>)
#include <sys/platform/x86.h>
#define FROM_LOADER 1
#endif
#endif

#if defined(FROM_LOADER)

bool mtmi_cpu_has_avx2(void)
{
    return CPU_FEATURE_ACTIVE(AVX2);
}

bool mtmi_cpu_has_avx512(void)
{
    return CPU_FEATURE_ACTIVE(AVX512F);
}

#elif defined(__x86_64__)

bool mtmi_cpu_has_avx2(void)
{
    return __builtin_cpu_supports("avx2");
}

bool mtmi_cpu_has_avx512(void)
{
    return __builtin_cpu_supports("avx512f");
}

#else

bool mtmi_cpu_has_avx2(void)
{
    return false;
}

bool mtmi_cpu_has_avx512(void)
{
    return false;
}

#endif
