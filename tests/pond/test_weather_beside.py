"""A weather file beside the pond file: it is found from anywhere, read at once, and a bad one is one fault line."""

from __future__ import annotations

import pytest

from pondwright.pond.climate import of_place
from pondwright.pond.faults import PondFileError
from pondwright.pond.file import MY_POND, load_pond, my_pond
from pondwright.pond.writing import write_down
from tests.weather_files import GREENSBORO, as_epw, read

TEXT = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n[place]\nweather = "{}"\n'


@pytest.fixture(scope="module")
def epw():
    return as_epw(read(GREENSBORO))


@pytest.fixture
def folder(tmp_path, epw):
    (tmp_path / "year.epw").write_text(epw)
    (tmp_path / MY_POND).write_text(TEXT.format("year.epw"))
    return tmp_path


def faults(read, *given):
    with pytest.raises(PondFileError) as caught:
        read(*given)
    return caught.value.faults


def test_its_name_is_relative_to_the_pond_file(folder, monkeypatch, tmp_path_factory):
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    for pond in (load_pond(folder / MY_POND), my_pond(folder)):
        assert "EPW" in of_place(pond.place).name
    monkeypatch.chdir(folder)
    pond = load_pond(MY_POND)
    monkeypatch.chdir(folder.parent)  # a notebook may move after it has read its pond
    assert of_place(pond.place).latitude.m_as("deg") == pytest.approx(36.1, abs=0.1)


@pytest.mark.parametrize("how, says", [
    (lambda epw: None, "cannot be read"),
    (lambda epw: "nothing", "none of EPW"),
    (lambda epw: epw[: len(epw) // 2], "'year.epw'"),
    (lambda epw: "", "none of EPW"),
])
def test_a_bad_one_is_one_line_that_names_the_key(folder, epw, how, says):
    text = how(epw)
    if text is None:
        (folder / "year.epw").unlink()
    else:
        (folder / "year.epw").write_text(text)
    for read_it, given in ((load_pond, folder / MY_POND), (my_pond, folder)):
        (fault,) = faults(read_it, given)
        assert fault.startswith("place.weather: the weather file 'year.epw'") and says in fault


def test_a_file_without_a_shape_is_told_of_its_weather_file_too(folder):
    (folder / MY_POND).write_text('[place]\nweather = "gone.epw"\n')
    assert faults(my_pond, folder)[0].startswith("place.weather")


def test_a_bad_one_is_not_written_down(folder):
    before = (folder / MY_POND).read_text()
    assert faults(write_down, "place", {"weather": "gone.epw"}, folder)[0].startswith("place.weather")
    assert (folder / MY_POND).read_text() == before
    write_down("place", {"weather": "year.epw", "elevation": "270 m"}, folder)
    assert '"year.epw"' in (folder / MY_POND).read_text()
    (folder / "year.epw").unlink()
    write_down("pond.name", "Ours", folder)  # what has nothing to do with it may still be written
