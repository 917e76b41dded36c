"""What every lab promises, tried on each one: controls that move, words with a number, units that switch, pictures that follow."""

from __future__ import annotations

import re

import pytest

from pondwright import labs
from pondwright.labs.base import UNITS, Slider
from pondwright.pond.file import demo_pond
from pondwright.units import SYSTEMS, QuantityError

LABS = [name for name in labs.__all__]


@pytest.fixture(params=LABS)
def lab(request):
    return getattr(labs, request.param)(demo_pond())


def sliders(lab):
    return [row for row in lab._rows.values() if isinstance(row.spec, Slider)]


def test_it_says_a_number_and_its_picture_has_words(lab):
    assert re.search(r"\d", lab.words)
    assert len(lab.picture.alt(lab.result)) > 40
    assert re.search(r"\d", lab.picture.alt(lab.result))
    assert '<img alt="' in lab._image.value


def test_every_slider_moves_the_inputs_over_its_whole_range(lab):
    for row in sliders(lab):
        start = row.value
        for target in (row.spec.low, row.spec.high, start):
            row.slider.value = target
            assert row.box.value == pytest.approx(target, abs=row.spec.step)
            assert getattr(lab.inputs, row.spec.name).m_as(row.given.units) == pytest.approx(target, rel=1e-3, abs=row.spec.step)
            assert re.search(r"\d", lab.words) and "nan" not in lab.words and "inf " not in lab.words


def test_every_word_can_be_chosen(lab):
    for name, row in lab._rows.items():
        if isinstance(row.spec, Slider):
            continue
        options = getattr(row.spec, "options", (True, False))
        chosen = options[:: max(1, len(options) // 6)]  # of a long list of places a few
        for option in (o[1] if isinstance(o, tuple) else o for o in chosen):
            lab.set(**{name: option})
            assert getattr(lab.inputs, name) == option
            assert re.search(r"\d", lab.words)


def test_a_number_box_moves_the_slider(lab):
    row = sliders(lab)[0]
    row.box.value = row.spec.low + row.spec.step
    assert row.slider.value == pytest.approx(row.spec.low + row.spec.step)


def test_the_unit_switch_changes_what_is_shown_and_not_what_is_meant(lab):
    before = {row.spec.name: row.value for row in sliders(lab)}
    for system in ("us", "imperial", "metric"):
        UNITS.system = system
        assert {row.spec.name: row.value for row in sliders(lab)} == pytest.approx(before)
        assert lab._switch.value == system


def test_every_control_says_what_it_is(lab):
    for row in lab._rows.values():
        control = row.box if isinstance(row.spec, Slider) else row.control
        assert control.description == row.spec.label and control.tooltip
    assert all(row.spec.label in row.slider.tooltip for row in sliders(lab))


@pytest.mark.parametrize("system", ["us", "imperial"])
def test_other_units_have_round_numbers_of_their_own(lab, system):
    UNITS.system = system
    for row in sliders(lab):
        places = [f"{row.slider.min:.12g}", f"{row.slider.max:.12g}", f"{row.slider.step:.12g}", f"{row.box.value:.12g}"]
        assert max(len(p.lstrip("-0.").replace(".", "")) for p in places) <= 5, (row.spec.label, places)
        assert row.slider.min <= row._out(row.spec.low) + 1e-4 and row.slider.max >= row._out(row.spec.high) - 1e-4
        assert row.slider.step <= (row._out(row.spec.low + row.spec.step) - row._out(row.spec.low)) * 1.0001


def test_the_kept_picture_equals_a_new_one(lab):
    row = sliders(lab)[0]
    for step in range(4):
        row.slider.value = row.spec.low + (row.spec.high - row.spec.low) * step / 3
    for system in ("us", "metric"):
        UNITS.system = system
    fresh = type(lab.picture)()
    fresh.update(lab.result, "metric")
    assert lab.picture.png() == fresh.png()


def test_a_wrong_value_is_refused_in_words(lab):
    row = sliders(lab)[0]
    with pytest.raises(QuantityError, match=re.escape(row.spec.label)):
        lab.set(**{row.spec.name: f"{row.spec.high * 10 + 1:g} {row.spec.unit}".removesuffix(" -")})
    with pytest.raises(QuantityError, match="not a control of this lab"):
        lab.set(no_such_control="1 m")


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_number_that_cannot_be_is_put_back_with_a_sentence(lab, system):
    UNITS.system = system
    for row in sliders(lab):
        for end, typed in ((row.spec.high, 1e6), (row.spec.low, -1e6)):
            row.box.value = typed
            shown = row.box.value
            assert shown == pytest.approx(row._out(end), rel=1e-3, abs=1e-9) and row.value == end
            sentence, _, rest = lab.words.partition(" is shown. ")
            unit = row.unit.value.strip()
            assert sentence.startswith(f"“{row.spec.label}” goes from ") and rest
            assert f"; {typed:.12g} {unit}".rstrip() + " was typed, so " in sentence
            assert sentence.endswith(f"so {shown:.12g} {unit}".rstrip())
            said = lab._words.value
            row.box.value = typed  # again: the browser's box shows it, so it must be put back and said again
            assert row.box.value == shown and lab._words.value == said
        row.box.value = row._out((row.spec.low + row.spec.high) / 2)
        assert "was typed" not in lab.words


def test_an_error_in_a_callback_is_said_and_raised(lab, monkeypatch):
    def broken(inputs):
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(lab, "compute", broken)
    row = sliders(lab)[0]
    with pytest.raises(ZeroDivisionError):
        row.slider.value = row.spec.high if row.value != row.spec.high else row.spec.low
    assert "by nothing" in lab.words
