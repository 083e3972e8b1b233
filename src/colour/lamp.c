/* SPDX-License-Identifier: MIT */
/* Lamp: how a tungsten lamp's light and colour follow its voltage. */
#include <metamer/lamp.h>

#include <math.h>

/* Powers of the voltage: see the header for their source. */
#define CCT_POWER 0.42
#define WATTS_POWER 1.6

double mtm_lamp_dimmed_cct_k(mtm_lamp lamp)
{
    if (!(lamp.light_share >= 0 && lamp.light_share <= 1 && lamp.cct_k > 0 && isfinite(lamp.cct_k)))
        return 0;
    return lamp.cct_k * pow(lamp.light_share, CCT_POWER / MTM_LAMP_LIGHT_POWER);
}

double mtm_lamp_share_at(double full_cct_k, double cct_k)
{
    if (!(full_cct_k > 0 && cct_k > 0))
        return NAN;
    return cct_k < full_cct_k ? pow(cct_k / full_cct_k, MTM_LAMP_LIGHT_POWER / CCT_POWER) : 1;
}

static double power_of_share(double share, double power)
{
    return share >= 0 && share <= 1 ? pow(share, power) : NAN;
}

double mtm_lamp_watts_share(double light_share)
{
    return power_of_share(light_share, WATTS_POWER / MTM_LAMP_LIGHT_POWER);
}

double mtm_lamp_light_at_watts(double watts_share)
{
    return power_of_share(watts_share, MTM_LAMP_LIGHT_POWER / WATTS_POWER);
}
