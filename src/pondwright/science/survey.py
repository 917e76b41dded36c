"""How much water where no tape will do: a bag of salt, a bucket and a watch; and the spread of repeated readings."""

from __future__ import annotations

import math

import numpy as np

from ..units import Arg, formula


@formula(
    salt=Arg("g", possible=(0, 1e6)),
    before=Arg("uS/cm", possible=(0, 1e5)),
    after=Arg("uS/cm", possible=(0, 1e5)),
    per_salt=Arg("-", possible=(0.5, 4), calibrated=(1.85, 2.2)),
    returns=Arg("m3", possible=(0, 1e6)),
)
def salt_tracer_volume(salt, before, after, per_salt=2.03):
    """Volume of the water from a weighed dose of salt, mixed well, and the rise in conductivity (read at 25 °C).

    Parameters
    ----------
    salt
        Mass of plain sodium chloride.
    before
        Conductivity of the pond before the dose: the background.
    after
        Conductivity when it no longer changes.
    per_salt
        Rise in µS/cm for each mg/L of sodium chloride, a plain number.

    Notes
    -----
    V = m / (rise / per_salt). `per_salt` falls from 2.16 at no salt to about 2.0 at 0.6 g/L (molar conductivity of NaCl / 58.44).

    References
    ----------
    [PHREEQC]_ specific conductance; [NaClConductivity]_; mass balance [SRAC103]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(salt_tracer_volume(Q(1000, "g"), Q(200, "uS/cm"), Q(1215, "uS/cm")), "L")
    '2000 L'
    """
    return salt / ((after - before) / per_salt)  # g / (g/m3) = m3


@formula(
    bucket=Arg("L", possible=(0, 1e5)),
    bucket_time=Arg("s", possible=(0.1, 1e5)),
    fill_time=Arg("s", possible=(0, 1e8)),
    returns=Arg("L", possible=(0, 1e9)),
)
def timed_fill_volume(bucket, bucket_time, fill_time):
    """Volume of a pond from the time it takes to fill at a flow measured with a bucket and a watch.

    Parameters
    ----------
    bucket
        Volume of the bucket.
    bucket_time
        Time to fill the bucket.
    fill_time
        Time to fill the pond.

    Notes
    -----
    V = V_bucket t_fill / t_bucket; the flow must not change meanwhile.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(timed_fill_volume(Q(12, "L"), Q(40, "s"), Q(5, "h")), "L")
    '5400 L'
    """
    return bucket * fill_time / bucket_time


@formula(readings=Arg("m", possible=(-1000, 1000)), returns=Arg("m", possible=(0, 1000)))
def mean_spread(readings):
    """Half the width of the 95 % interval of a mean of repeated readings.

    Parameters
    ----------
    readings
        At least two readings of the same thing; shape (n,).

    Notes
    -----
    t(0.975, n - 1) s / sqrt(n), with s the standard deviation of the readings and t Student's factor: 12.7 for two readings,
    2.8 for five.

    References
    ----------
    [GUM]_ sections 4.2, G.3

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(mean_spread(Q([0.95, 1.00, 1.05, 0.98, 1.02], "m")), "m", digits=2)
    '0.047 m'
    """
    from scipy.special import stdtrit

    return float(stdtrit(len(readings) - 1, 0.975) * np.std(readings, ddof=1) / math.sqrt(len(readings)))
