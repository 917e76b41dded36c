"""What the frame of a lab does with numbers: round ones to read, the whole range to move in, nothing lost on the way."""

from __future__ import annotations

import pytest

from pondwright.labs.base import UNITS, Slider, _round_down, _SliderRow

DEPTH = Slider("depth", "Depth", "m", 0.1, 3, 0.01, 1.0133333)


@pytest.fixture
def row():
    moved = []
    made = _SliderRow(DEPTH, lambda: moved.append(1))
    made.moves = moved
    return made


def test_a_box_shows_four_digits_and_the_value_keeps_them_all(row):
    assert row.box.value == 1.013 and row.value == 1.0133333
    row.show("us")
    assert row.box.value == 3.325 and row.value == 1.0133333  # 1.0133333 / 0.3048 = 3.32458


def test_other_units_have_their_own_steps(row):
    row.show("us")
    # 0.01 m is 0.0328 ft, so 0.02 ft; 0.1 m is 0.328 ft and 3 m 9.843 ft, taken in by 0.32 and 9.86
    assert (row.slider.min, row.slider.max, row.slider.step) == (0.32, 9.86, 0.02)
    row.show("metric")
    assert (row.slider.min, row.slider.max, row.slider.step) == (0.1, 3, 0.01)


def test_a_number_past_the_end_is_put_back_and_shown_as_taken(row):
    row.show("us")
    row.box.value = 9.86
    assert row.value == 3 and row.box.value == 9.843 and row.moves == [1]  # 3 / 0.3048 = 9.8425
    assert row.notice == "“Depth” goes from 0.3281 to 9.843 ft; 9.86 ft was typed, so 9.843 ft is shown."
    row.slider.value = 0.32  # the end of its way: nothing was typed
    assert row.value == 0.1 and row.box.value == 0.3281


@pytest.mark.parametrize("typed, words", [
    (99, "99 m was typed, so 3 m is shown."), (-1, "-1 m was typed, so 0.1 m is shown."),
    (123456789, "123456789 m was typed, so 3 m is shown."),
    (float("inf"), "inf m was typed, so 3 m is shown."), (float("nan"), "nan m was typed, so 1.013 m is shown."),
])
def test_what_could_not_be_taken_is_said(row, typed, words):
    row.box.value = typed
    assert row.notice == f"“Depth” goes from 0.1 to 3 m; {words}"
    row.box.value = 2.5
    assert row.value == 2.5 and row.notice == ""


def test_a_number_at_the_end_itself_is_taken_without_a_word(row):
    row.show("us")
    for typed in (9.843, 0.3281):  # 3 m is 9.8425 ft and 0.1 m 0.32808 ft
        row.box.value = typed
        assert row.notice == "" and row.box.value == typed


def test_a_large_number_is_written_out():
    price = _SliderRow(Slider("price", "Price of 100 W of panel", "-", 0, 5e4, 5, 0), lambda: None)
    assert price.box.tooltip == price.slider.tooltip == "Price of 100 W of panel, from 0 to 50000"


def test_what_is_typed_stays_as_it_was_typed(row):
    row.box.value = 1.23456
    assert row.value == 1.23456 and row.box.value == 1.23456 and row.slider.value == 1.23456


def test_a_sliders_echo_is_no_move(row):
    row.slider.value = 1.01  # the browser snaps 1.0133 to its steps
    assert row.value == 1.0133333 and row.moves == []
    row.slider.value = 1.02
    assert row.value == 1.02 and row.moves == [1] and row.box.value == 1.02


@pytest.mark.parametrize("step, rounder", [(1.0, 1), (0.3281, 0.2), (2.64, 2), (0.0353, 0.02), (9.99, 5), (100, 100), (0.05, 0.05)])
def test_steps_are_1_2_or_5(step, rounder):
    assert _round_down(step) == rounder


def test_a_pond_that_holds_brackets_is_named_without_more_of_them():
    from pondwright import labs
    from pondwright.pond.file import demo_pond

    UNITS.system = "metric"
    head = labs.OverviewLab(demo_pond()).view.children[0].children[0].value
    assert head.endswith("<strong>Your pond in three minutes</strong> Slipway basin (invented demo)")
