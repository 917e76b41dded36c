"""Lab of lesson 09: on which day the same test reading is dangerous, and whether bicarbonate may go in."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.water import WaterPicture
from ..pond.model import Reading
from ..pond.plan import Plan, plan
from ..pond.readings import latest
from ..pond.water_words import in_short
from ..units import Quantity
from .base import Lab, Slider, start_in


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

    def controls(self, pond):
        reading, self._done = latest(pond), None

        def start(name, low, unit_text, high, fallback):
            return start_in(low, getattr(reading, name, None), unit_text, high, fallback)

        return (
            Slider("tan", "Total ammonia (TAN), as N", "mg/L", 0, 4, 0.05, start("tan", 0, "mg/L", 4, 0.3)),
            Slider("ph", "pH", "-", 6, 10, 0.1, start("ph", 6, "-", 10, 7.6)),
            Slider("temperature", "Water temperature", "degC", 1, 32, 0.5, start("temperature", 1, "degC", 32, 20)),
            Slider("alkalinity", "Alkalinity, as CaCO3", "mg/L", 10, 250, 1, start("alkalinity", 10, "mg/L", 250, 60)),
        )

    def compute(self, inputs: WaterInputs) -> Plan:
        if self._done is None:  # the pond, its fish and its filter do not move with these sliders
            self._done = plan(self.pond, until="stocking").stages
        pond = self.pond.model_copy(update={"readings": (_reading(inputs, latest(self.pond)),)})
        return plan(pond, done=self._done)

    def sentence(self, result: Plan, system: str) -> str:
        return in_short(result.pond, result["water"].numbers)


def _reading(inputs: WaterInputs, read: Reading | None) -> Reading:
    """Make a set of readings without a date, as hard as the newest set; the sliders' own ranges are the check."""
    hard = {} if read is None else {"hardness": read.hardness, "calcium_hardness": read.calcium_hardness}
    return Reading.model_construct(when="the sliders", **vars(inputs), **hard)
