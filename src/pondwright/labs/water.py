"""Lab of lesson 09: on which day the same test reading is dangerous, and whether bicarbonate may go in."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.water import WaterPicture
from ..pond.model import Pond, Reading
from ..pond.plan import Plan, plan
from ..pond.readings import latest
from ..pond.water_words import in_short
from ..units import Quantity
from .base import Lab
from .own import moved, own_slider

_CALLED = {"tan": "total ammonia", "ph": "pH", "temperature": "temperature", "alkalinity": "alkalinity"}


@dataclass(frozen=True)
class WaterInputs:
    """What the sliders say: one set of readings (Quantities; pH a plain number)."""

    tan: Quantity
    ph: Quantity
    temperature: Quantity
    alkalinity: Quantity


class WaterLab(Lab):
    """Move total ammonia, pH, temperature and alkalinity; see the poison, its limits, the water changes and the dose."""

    title = "Reading the water"
    Inputs = WaterInputs
    Picture = WaterPicture

    def __init__(self, pond=None):
        self._done = self._start = None
        super().__init__(pond)

    def controls(self, pond):
        read = {name: getattr(latest(pond), name, None) for name in _CALLED}
        none, buffer = latest(pond) is None, read["alkalinity"]
        # without the first three nothing can be said; a set without alkalinity stays as it is until someone moves that slider
        self._lacks = frozenset(name for name, value in read.items() if value is None and (none or name != "alkalinity"))
        label = "Alkalinity, as CaCO3" if none or buffer is not None else "Alkalinity (not known)"
        return (
            own_slider("tan", "Total ammonia (TAN), as N", "mg/L", 0, 4, 0.05, read["tan"], 0.3),
            own_slider("ph", "pH", "-", 6, 10, 0.1, read["ph"], 7.6),
            own_slider("temperature", "Water temperature", "degC", 1, 32, 0.5, read["temperature"], 20),
            own_slider("alkalinity", label, "mg/L", 10, 250, 1, buffer, 60),
        )

    def compute(self, inputs: WaterInputs) -> Plan:
        self._start = self._start or inputs
        if self._done is None:  # the pond, its fish and its filter do not move with these sliders
            self._done = plan(self.pond, until="stocking").stages
        self._moved = moved(self._start, inputs)
        return plan(_pond(self.pond, inputs, self._moved | self._lacks), done=self._done)

    def sentence(self, result: Plan, system: str) -> str:
        return f"{self._whose()}{in_short(result.pond, result['water'].numbers)}"

    def _whose(self) -> str:
        """Name what is invented: what the newest set of readings does not hold and no slider says."""
        left = [words for name, words in _CALLED.items() if name in self._lacks - self._moved]
        if not left:
            return ""
        if latest(self.pond) is None:
            return f"Invented, since your pond file has no readings yet: {', '.join(left)}. "
        return f"Invented, since your newest readings have none: {', '.join(left)}. "


def _pond(pond: Pond, inputs: WaterInputs, changed: frozenset[str]) -> Pond:
    """Put what the moved sliders say into the newest set of readings; without one, into a set without a date."""
    said, read = {name: getattr(inputs, name) for name in changed}, latest(pond)
    reading = Reading.model_construct(when="the sliders", **said) if read is None else read.model_copy(update=said)
    return pond.model_copy(update={"readings": (*pond.readings[:-1], reading)})
