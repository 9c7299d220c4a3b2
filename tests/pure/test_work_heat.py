"""Heat: what must always hold of it; its printed tables are in tests/pure/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.climate.work_heat import (
    HeatError,
    Load,
    Sky,
    adjusted_f,
    heat_index_f,
    work_and_rest,
)


@given(st.floats(60, 125), st.sampled_from(list(Load)))
def test_an_hour_has_sixty_minutes_and_heat_or_load_never_adds_work(
    adjusted: float, load: Load
) -> None:
    here, hotter = work_and_rest(adjusted, load), work_and_rest(adjusted + 0.5, load)
    assert here.work_min + here.rest_min == 60
    assert hotter.work_min <= here.work_min
    heavy = work_and_rest(adjusted, Load.HEAVY)
    assert (
        heavy.work_min <= here.work_min <= work_and_rest(adjusted, Load.LIGHT).work_min
    )


def test_sun_and_damp_are_added_to_the_air() -> None:
    # NIOSH 2017-127 (from memory): 90 F, full sun, 50 % make 109 F.
    assert adjusted_f(90, 50, Sky.SUN) == 109
    assert adjusted_f(90, 30, Sky.SHADE) == 90
    assert adjusted_f(90, 10, Sky.CLOUD) == 89
    assert adjusted_f(90, 55, Sky.SHADE) == 97.5
    # Past the table it goes on by its last step.
    assert adjusted_f(90, 80, Sky.SHADE) == 105
    hour = work_and_rest(adjusted_f(90, 50, Sky.SUN), Load.LIGHT)
    assert (hour.work_min, hour.rest_min) == (30, 30)


@pytest.mark.parametrize(("temperature", "humidity"), [(140, 50), (90, 101), (90, -1)])
def test_readings_that_cannot_be_are_refused(
    temperature: float, humidity: float
) -> None:
    with pytest.raises(HeatError):
        heat_index_f(temperature, humidity)
