"""Each test of a lab starts on an empty page in metric units."""

import gc

import pytest
from ipywidgets import Widget

from pondwright.labs.base import UNITS


@pytest.fixture(autouse=True)
def empty_page():
    UNITS.system = "metric"
    yield
    Widget.close_all()  # ipywidgets keeps every widget: labs of earlier tests would follow the unit switch too, each drawing its picture
    gc.collect()
    UNITS.system = "metric"
