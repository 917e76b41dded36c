"""A siphon outlet: when it starts, and the flow it needs for that. Once it runs it is a full pipe (:func:`.outlets.full_pipe_flow`)."""
from __future__ import annotations

from ..units import Arg, formula
from .outlets import orifice_flow

_BORE = Arg("mm", possible=(1, 2000))
_SHARE = Arg("-", possible=(0.01, 1))


@formula(inside_diameter=_BORE, cd_lip=_SHARE, cd=_SHARE, returns=Arg("cm", possible=(0, 10_000)))
def drowning_head(inside_diameter, cd_lip=0.62, cd=0.61):
    """Height of water over an upright pipe's lip at which the lip drowns: no air gets in from there on.

    Parameters
    ----------
    inside_diameter
        Of the pipe.
    cd_lip
        Discharge coefficient of the lip as a weir.
    cd
        Discharge coefficient of the drowned mouth.

    Notes
    -----
    The weir (2/3) cd_lip sqrt(2 g) pi D h^1.5 and the mouth cd (pi D²/4) sqrt(2 g h) carry the same at h = (3/8) D cd / cd_lip.

    References
    ----------
    [SharpWeir]_; [Unwin1911]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(drowning_head(Q(25, "mm")), "cm")
    '0.922 cm'
    """
    return 3 / 8 * inside_diameter / 10 * cd / cd_lip


@formula(inside_diameter=_BORE, cd_lip=_SHARE, cd=_SHARE, returns=Arg("L/min", possible=(0, 1e9)))
def priming_flow(inside_diameter, cd_lip=0.62, cd=0.61):
    """Flow that a siphon's standpipe must be given before its mouth drowns and it runs full.

    Parameters
    ----------
    inside_diameter
        Of the standpipe.
    cd_lip
        Discharge coefficient of the lip as a weir.
    cd
        Discharge coefficient of the drowned mouth.

    Notes
    -----
    The flow over the lip at its :func:`drowning_head`. With less, the water runs down the pipe's wall beside the air, and the siphon
    dribbles for ever. It grows with D^2.5. A rough guide: a tight bend or a dip at the pipe's end makes a siphon start earlier, a
    smooth straight fall later. No measured standard was found.

    References
    ----------
    [SiphonPriming]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(priming_flow(Q(25, "mm")), "L/min")
    '7.64 L/min'
    """
    return orifice_flow.plain(inside_diameter, drowning_head.plain(inside_diameter, cd_lip, cd), cd)
