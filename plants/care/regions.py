"""The places whose months the catalogue's bloom times are written in."""

from functools import cache

from plants.climate import Climate

MID_ATLANTIC = "mid-atlantic"

# Monthly normals of Opal, Virginia, in F and inches, as printed by plantmaps.com.
_OPAL_LOW_F = (23.8, 25.6, 32.3, 42.5, 52.2, 61.0, 65.6, 63.8, 56.7, 44.4, 34.2, 27.6)
_OPAL_HIGH_F = (44.4, 47.4, 55.8, 67.2, 75.1, 83.3, 87.6, 85.8, 79.5, 68.5, 57.7, 48.0)
_OPAL_RAIN_IN = (3.08, 2.67, 3.88, 3.66, 4.57, 4.57, 4.47, 3.72, 4.76, 3.88, 3.22, 3.62)
_OPAL_LAT = 38.6

# The same page prints the mean last frost as 21-30 April and the first as 21-31
# October: the middles are taken. Ashland, Virginia, has 13 days between its 10, 50 and
# 90 % dates (State Climatology Office); that reach is used for both ends here.
_OPAL_SPRING = {10: (5, 8), 50: (4, 25), 90: (4, 12)}
_OPAL_AUTUMN = {10: (10, 13), 50: (10, 26), 90: (11, 8)}

# Zone 7a (2023) runs from 0 to 5 F: the middle.
_OPAL_LOWEST_F = 2.5


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) * 5 / 9


@cache
def mid_atlantic() -> Climate:
    """The Virginia Piedmont, the region of the shipped bloom months."""
    return Climate.from_months(
        tmin_c=[_celsius(value) for value in _OPAL_LOW_F],
        tmax_c=[_celsius(value) for value in _OPAL_HIGH_F],
        rain_mm=[value * 25.4 for value in _OPAL_RAIN_IN],
        lat=_OPAL_LAT,
        last_spring_frost=_OPAL_SPRING,
        first_autumn_frost=_OPAL_AUTUMN,
        lowest_c=_celsius(_OPAL_LOWEST_F),
        region=MID_ATLANTIC,
    )


REGIONS = {MID_ATLANTIC: mid_atlantic}
"""Reference climate by the region word of a group's bloom."""
