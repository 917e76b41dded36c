"""Days of a typical year: against pvlib, and against the hours of typical-year files that pvlib carries (NSRDB, TMY3)."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.science import sun
from pondwright.science import typical_day as t
from pondwright.units import Q
from tests.grades import hand_worked, independent
from tests.weather_files import GREENSBORO, read

KT = np.linspace(0.02, 0.98, 48)  # none of them stands on a joint of the fit


@independent(t.hourly_diffuse_share, "pvlib.irradiance.erbs")
def test_the_sky_share_of_an_hour():
    from pvlib.irradiance import erbs, get_extra_radiation

    outside = get_extra_radiation(100)  # erbs works out its own clearness from the light outside the air
    sky = erbs(KT * outside, np.zeros(48), np.full(48, 100))["dhi"] / (KT * outside)
    assert t.hourly_diffuse_share(Q(KT, "-")).m_as("dimensionless") == pytest.approx(sky, abs=2e-4)


@hand_worked(t.hourly_diffuse_share)
def test_the_sky_share_by_hand():
    """0.9511 - 0.0802 + 1.0970 - 2.07975 + 0.7710 = 0.65915 at a clearness of a half."""
    assert t.hourly_diffuse_share(0.5).m_as("dimensionless") == pytest.approx(0.65915, abs=1e-5)


@pytest.mark.parametrize("mean", [0.3, 0.4, 0.5, 0.6, 0.7])
def test_the_days_of_a_month_have_its_mean(mean):
    """A property of the fit, no outside value: its exponent was chosen so that the mean of many days is the month's, to 0.005."""
    days = t.daily_clearness(mean, Q((np.arange(1000) + 0.5) / 1000, "-")).m_as("dimensionless")
    assert days.mean() == pytest.approx(mean, abs=0.005) and (np.diff(days) > 0).all()


@hand_worked(t.daily_clearness)
def test_the_dullest_day_is_the_published_one():
    """At share 0 the logarithm undoes the exponential: K = Kmin = 0.05."""
    assert t.daily_clearness(0.45, 0.0).m_as("dimensionless") == pytest.approx(0.05, abs=1e-9)


@hand_worked(t.daily_clearness)
def test_the_middle_day_by_hand():
    """Mean 0.5, half of the days duller.

    0.25^8 = 1.526e-5, so Kmax = 0.6313 + 0.1335 - 0.00018 = 0.76462; x = 0.71462/0.26462 = 2.70056; e^(-1.5 x) = 0.017408;
    g = -1.498 + (3.19747 - 0.47317)/0.71462 = 2.31423; the mean of e^(0.05 g) = 1.12267 and e^(Kmax g) = 5.86793 is 3.49530;
    K = ln 3.49530/2.31423 = 1.25142/2.31423 = 0.54075.
    """
    assert t.daily_clearness(0.5, 0.5).m_as("dimensionless") == pytest.approx(0.54075, abs=2e-5)


def test_the_order_of_days_has_the_persistence_that_is_printed_for_it():
    """Each of 31 days once; the lag-1 correlation of real days is about 0.3 (Duffie & Beckman, section 2.9, from memory: 0.29)."""
    away = t.ORDER - t.ORDER.mean()
    assert sorted(t.ORDER) == list(range(1, 32))
    assert 0.2 < (away[1:] * away[:-1]).sum() / (away**2).sum() < 0.4


@pytest.mark.parametrize("sunset", [40, 60, 80, 100, 120])
def test_the_hours_of_a_day_make_the_day(sunset):
    """A property of the fit, no outside value: fine slices add up to one day, to the 2.5 % that its rounded constants allow."""
    slices, ends = Q(np.linspace(-180, 180, 2881), "deg"), Q(np.full(2881, float(sunset)), "deg")
    assert t.hour_share(slices, ends).m_as("dimensionless").sum() / 120 == pytest.approx(1, abs=0.025)  # 120 slices an hour


@hand_worked(t.hour_share)
def test_noon_at_the_equinox_by_hand():
    """ws = 90 deg: a = 0.409 + 0.2508, b = 0.6609 - 0.23835; pi/24 (a + b) (1 - 0)/(1 - 0) = 0.1309 x 1.08235 = 0.1417."""
    assert t.hour_share(Q(0, "deg"), Q(90, "deg")).m_as("dimensionless") == pytest.approx(0.1417, abs=5e-5)


@independent(t.hour_share, "hours of a typical year at Greensboro, NSRDB TMY3 file that pvlib carries")
@pytest.mark.parametrize("month", range(12))
def test_the_hours_of_real_days(month):
    """A month's mean hour, spread from the days' own sums, is within 1.5 % of the day of what was recorded in that hour."""
    from pondwright.pond.weather import DAY_OF_YEAR, MONTH_OF_HOUR

    weather = read(GREENSBORO)
    sunset = sun.sunset_hour_angle.plain(weather.latitude, sun.declination.plain(DAY_OF_YEAR))
    days = np.repeat(weather.flat.reshape(365, 24).sum(axis=1), 24)
    ours = days * t.hour_share(Q(weather.hour_angle, "deg"), Q(sunset, "deg")).m_as("dimensionless")
    inside = MONTH_OF_HOUR == month
    made, real = (values[inside].reshape(-1, 24).mean(axis=0) for values in (ours, weather.flat))
    assert made / real.sum() == pytest.approx(real / real.sum(), abs=0.015)
