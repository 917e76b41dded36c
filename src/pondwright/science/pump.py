"""What a pump gives: its curve, where it meets the line, its power, and what changes with its speed."""
from __future__ import annotations

import numpy as np

from ..units import Arg, QuantityError, formula
from .pipes import GRAVITY, line_head, runs_head

_FLOW = Arg("L/min", possible=(0, 1e9))
_FLOWING = Arg("L/min", possible=(1e-6, 1e9))
_HEAD = Arg("m", possible=(0, 10_000))
_POWER = Arg("W", possible=(0, 1e12))
_RATIO = Arg("-", possible=(0, 10))


@formula(flow=_FLOW, curve_flow=_FLOW, curve_head=_HEAD, returns=_HEAD)
def pump_head(flow, curve_flow, curve_head):
    """Head that a pump gives at a flow, read off its curve with straight lines from point to point.

    Parameters
    ----------
    flow
        Volume that passes in a time; one number or an array.
    curve_flow
        Flows of the curve's points, from small to large; shape (n,).
    curve_head
        Heads of these points, never rising; shape (n,).

    Notes
    -----
    Linear interpolation. Below the first flow the first head is taken (a pump gives at least that), beyond the last flow the last head.
    The real curve of a centrifugal pump bulges upward between the points, so straight lines are a little on the safe side.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(pump_head(Q(15, "L/min"), Q([0, 10, 20], "L/min"), Q([3.6, 3.2, 2.5], "m")), "m")
    '2.85 m'
    """
    head = np.interp(flow, curve_flow, curve_head)
    return head if np.ndim(flow) else float(head)


@formula(flow=_FLOW, max_flow=_FLOWING, max_head=_HEAD, returns=_HEAD)
def rated_head(flow, max_flow, max_head):
    """Head that a pump gives at a flow where only its largest flow and its largest head are known.

    Parameters
    ----------
    flow
        Volume that passes in a time, up to `max_flow`; one number or an array.
    max_flow
        Flow without any lift or resistance, by the label.
    max_head
        Height at which the flow ends, by the label.

    Notes
    -----
    H = Hmax (1 - (Q/Qmax)²): a parabola through both points, flat where nothing flows. It is an assumption. Labels are often kinder than
    the pump, and small pumps often fall more straightly, so a bucket and a watch at the real height beat it.

    References
    ----------
    [PumpParabola]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(rated_head(Q(20, "L/min"), Q(40, "L/min"), Q(3, "m")), "m")
    '2.25 m'
    """
    head = max_head * (1 - np.minimum(flow / max_flow, 1.0) ** 2)
    return head if np.ndim(flow) else float(head)


@formula(curve_flow=_FLOW, curve_head=_HEAD, inside_diameter=Arg("mm", possible=(1, 2000)), length=Arg("m", possible=(0, 10_000)),
         lift=Arg("m", possible=(0, 1000)), k=Arg("-", possible=(0, 1e15)), roughness=Arg("mm", possible=(0, 20)),
         viscosity=Arg("mm2/s", possible=(0.1, 1e6)), returns=_FLOWING)
def operating_flow(curve_flow, curve_head, inside_diameter, length, lift, k, roughness=0.03, viscosity=1.1386):
    """Flow at which the pump gives just the head that the line needs.

    Parameters
    ----------
    curve_flow
        Flows of the pump curve's points, from small to large; shape (n,).
    curve_head
        Heads of these points, never rising; shape (n,).
    inside_diameter
        Bore of the pipe; one number, or an array run by run.
    length
        Of the pipe; one number, or an array run by run.
    lift
        From the pond's water level up to the outlet.
    k
        Sum of the loss coefficients of all fittings; one number, or an array run by run.
    roughness
        Height of the wall's bumps; 0.03 mm is plastic pipe with cemented joints.
    viscosity
        Kinematic viscosity; 1.1386 mm²/s is water at 15 °C.

    Notes
    -----
    The root of H_pump(Q) - H_line(Q), between no flow and the end of the curve (bracketing root finder of the library fluids). Where
    the curve ends before it meets the line, its last flow is returned: the pump gives at least that. A pump that cannot lift the
    water to the outlet is refused.

    References
    ----------
    [MunsonFluid]_ section 12.4.4; [Colebrook1939]_, [FluidsLibrary]_; roughness [WallingfordTables]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> curve = Q([0, 10, 20, 30, 36], "L/min"), Q([3.6, 3.2, 2.5, 1.3, 0], "m")
    >>> show(operating_flow(*curve, Q(28, "mm"), Q(7.5, "m"), Q(1.4, "m"), 5.2), "L/min")
    '26.4 L/min'
    """
    from fluids.numerics import brenth

    highest, last = float(curve_head[0]), float(curve_flow[-1])
    if lift >= highest:
        raise QuantityError(f"the pump lifts water {highest:.3g} m at most, and the outlet stands {lift:.3g} m above the pond: nothing "
                            "flows. Lower the outlet or take a pump with more head.")

    needs = runs_head.plain if np.ndim(inside_diameter) else line_head.plain

    def spare(flow):
        return pump_head.plain(flow, curve_flow, curve_head) - needs(flow, inside_diameter, length, lift, k, roughness, viscosity)

    return last if spare(last) >= 0 else brenth(spare, 0.0, last, xtol=1e-9 * last)


@formula(flow=_FLOW, head=_HEAD, density=Arg("kg/m3", possible=(500, 2000)), returns=_POWER)
def hydraulic_power(flow, head, density=999.1):
    """Power that goes into the water: what lifting and pushing it takes.

    Parameters
    ----------
    flow
        Volume that passes in a time.
    head
        Total head that the pump gives.
    density
        Of the water; 999.1 kg/m³ is fresh water at 15 °C.

    Notes
    -----
    P = rho g Q H

    References
    ----------
    [CengelFluid]_ example 14-2; density [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hydraulic_power(Q(26, "L/min"), Q(1.75, "m")), "W")
    '7.43 W'
    """
    return density * GRAVITY * flow / 60_000 * head


@formula(hydraulic=_POWER, electrical=Arg("W", possible=(1e-3, 1e12)), returns=Arg("%", possible=(0, 100)))
def wire_to_water_efficiency(hydraulic, electrical):
    """Share of the electrical power that reaches the water.

    Parameters
    ----------
    hydraulic
        Power in the water.
    electrical
        Power that the pump draws.

    Notes
    -----
    eta = P_water / P_electrical, motor and pump together.

    References
    ----------
    [CengelFluid]_ section 5-3

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(wire_to_water_efficiency(Q(7.4, "W"), Q(20, "W")), "%")
    '37 %'
    """
    return 100 * hydraulic / electrical


@formula(hydraulic=_POWER, efficiency=Arg("%", possible=(0.1, 100)), returns=_POWER)
def electrical_power(hydraulic, efficiency):
    """Power that a pump draws to put a power into the water.

    Parameters
    ----------
    hydraulic
        Power in the water.
    efficiency
        Wire to water.

    Notes
    -----
    P_electrical = P_water / eta

    References
    ----------
    [CengelFluid]_ section 5-3

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(electrical_power(Q(7.4, "W"), Q(37, "%")), "W")
    '20 W'
    """
    return hydraulic / (efficiency / 100)


@formula(power=_POWER, flow=_FLOWING, returns=Arg("Wh/m3", possible=(0, 1e12)))
def energy_per_volume(power, flow):
    """Electrical energy that a pump spends on each cubic metre of water.

    Parameters
    ----------
    power
        Power that the pump draws.
    flow
        Volume that passes in a time; more than nothing.

    Notes
    -----
    e = P / Q

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(energy_per_volume(Q(20, "W"), Q(26, "L/min")), "Wh/m3")
    '12.8 Wh/m³'
    """
    return power / (flow * 0.06)


@formula(flow=_FLOW, speed_ratio=_RATIO, returns=_FLOW)
def affinity_flow(flow, speed_ratio):
    """Flow of the same pump at another speed, on the matching point of its curve.

    Parameters
    ----------
    flow
        At the old speed.
    speed_ratio
        New speed over old; for a small direct-current pump about new voltage over old.

    Notes
    -----
    Q2 = Q1 n

    References
    ----------
    [Affinity]_; direct-current motors [Suehrcke1997]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(affinity_flow(Q(30, "L/min"), 0.8), "L/min")
    '24 L/min'
    """
    return flow * speed_ratio


@formula(head=_HEAD, speed_ratio=_RATIO, returns=_HEAD)
def affinity_head(head, speed_ratio):
    """Head of the same pump at another speed, on the matching point of its curve.

    Parameters
    ----------
    head
        At the old speed.
    speed_ratio
        New speed over old; for a small direct-current pump about new voltage over old.

    Notes
    -----
    H2 = H1 n²

    References
    ----------
    [Affinity]_; direct-current motors [Suehrcke1997]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(affinity_head(Q(3.6, "m"), 0.8), "m")
    '2.3 m'
    """
    return head * speed_ratio**2


@formula(power=_POWER, speed_ratio=_RATIO, returns=_POWER)
def affinity_power(power, speed_ratio):
    """Power of the same pump at another speed, on the matching point of its curve.

    Parameters
    ----------
    power
        At the old speed.
    speed_ratio
        New speed over old; for a small direct-current pump about new voltage over old.

    Notes
    -----
    P2 = P1 n³; a real motor loses a little more.

    References
    ----------
    [Affinity]_; direct-current motors [Suehrcke1997]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(affinity_power(Q(20, "W"), 0.8), "W")
    '10.2 W'
    """
    return power * speed_ratio**3


@formula(share=Arg("-", possible=(0, 1e6)), exponent=Arg("-", possible=(1, 4)), returns=Arg("-", possible=(0, 1e6)))
def affinity_speed(share, exponent=3.0):
    """Speed of a pump, over its full speed, that gets only a share of the power or of the current that it draws there.

    Parameters
    ----------
    share
        What it gets over what it draws at full speed; a number or an array. Above 1 it would turn faster than its label says.
    exponent
        3 for a share of its power; 2 for a share of its current.

    Notes
    -----
    n = share^(1/exponent). Power goes as n³. A plain direct-current motor turns as its voltage, so its current, power over voltage, goes
    as n²: so does a pump that hangs straight on a panel, whose amperes follow the light. Friction of the motor is left out, and so is
    what it needs to start.

    References
    ----------
    [Affinity]_; direct-current motors [Suehrcke1997]_

    Examples
    --------
    >>> from pondwright import show
    >>> show(affinity_speed(0.5), "-", digits=2), show(affinity_speed(0.5, 2), "-", digits=2)
    ('0.79', '0.71')
    """
    return share ** (1 / exponent)


@formula(speed_ratio=_RATIO, curve_flow=_FLOW, curve_head=_HEAD, lift=Arg("m", possible=(0, 1000)), full_flow=_FLOWING, returns=_FLOW)
def flow_at_speed(speed_ratio, curve_flow, curve_head, lift, full_flow):
    """Flow that a pump gives through its line at a lower speed: nothing until it can lift the water at all.

    Parameters
    ----------
    speed_ratio
        Speed over full speed; a number or an array. Above 1 the flow at full speed is returned.
    curve_flow
        Flows of the curve's points at full speed, from small to large; shape (n,).
    curve_head
        Heads of these points, never rising; shape (n,).
    lift
        From the pond's water level up to the outlet, less than the first head.
    full_flow
        Through the line at full speed: see operating_flow.

    Notes
    -----
    At a speed n the curve is n² H(Q/n), and the line needs h + c Q² with c = (H(Q1) - h)/Q1², so that both meet at Q1 at full speed.
    With x = Q/n: n = sqrt(h/(H(x) - c x²)) and Q = n x, for x from 0 to Q1. Below n = sqrt(h/H(0)) nothing flows. That friction goes as
    Q² is a little too kind: slow water loses rather more.

    References
    ----------
    [Affinity]_; [MunsonFluid]_ section 12.4.4

    Examples
    --------
    >>> from pondwright import Q, show
    >>> curve = Q([0, 10, 20, 30, 36], "L/min"), Q([3.6, 3.2, 2.5, 1.3, 0], "m")
    >>> [show(flow_at_speed(n, *curve, Q(1.4, "m"), Q(26.4, "L/min")), "L/min") for n in (0.6, 0.8, 1.0)]
    ['0 L/min', '16.7 L/min', '26.4 L/min']
    """
    x = np.linspace(0, full_flow, 101)
    head = np.interp(x, curve_flow, curve_head)
    spare = np.maximum(head - max(head[-1] - lift, 0) * (x / full_flow) ** 2, lift)
    speed = np.sqrt(np.divide(lift, spare, out=np.ones(x.shape), where=spare > 0))
    flow = np.interp(speed_ratio, speed, speed * x, left=0.0)
    return flow if np.ndim(speed_ratio) else float(flow)
