"""The pond file: one clear line a fault, nothing lost, nothing overwritten that cannot be read."""
from __future__ import annotations

import contextlib
import os
import re
import shutil
import stat
import tomllib

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pondwright.pond import file as pond_file
from pondwright.pond.file import (
    MY_POND,
    PondFileError,
    blank_text,
    demo_pond,
    demo_text,
    load_pond,
    my_pond,
    parse_pond,
    write_atomically,
)
from pondwright.pond.writing import write_down
from pondwright.units import Q

from .test_faults import CIRCLE, faults

# ---------------------------------------------------------------------------------------------------------------- whole files


def test_the_demo_is_a_good_file_and_says_that_it_is_invented():
    pond = demo_pond()
    assert pond.fish and pond.filter and pond.pump and pond.plumbing and pond.power and pond.readings
    assert "invented" in pond.name.lower() and "invented" in demo_text().splitlines()[0]


def test_the_blank_has_no_number_of_anyones_pond():
    (fault,) = faults(blank_text())
    assert fault.startswith("pond.shape: is missing and needed.")


def test_the_blank_filled_in_is_a_good_file():
    """Every key that the blank shows exists: take the comment marks off and put numbers in."""
    lines = [line.removeprefix("# ").split("  #")[0].rstrip() for line in blank_text().splitlines() if re.match(r"(# )?(\[|\w+ = )", line)]
    text = "\n".join(lines)
    slots = (('"0 L/min", head = "___ m"', '"0 L/min", head = "9 m"'), ("count = 0", "count = 3"), ('voc = "___', 'voc = "22'),
             ('container = "___', 'container = "99'), ("holes = 0", "holes = 3"), ('\nhole = "___', '\nhole = "3'),
             ('height = "___', 'height = "90'), ('mm"\nheight = "90', 'mm"\nheight = "7'),
             ('crest = "___', 'crest = "70'), ('climate = "___', 'climate = "boise'))
    for old, new in slots:
        assert old in text
        text = text.replace(old, new)
    pond = parse_pond(text.replace("___", "7"))
    assert [part for part in type(pond).model_fields if not getattr(pond, part)] == []


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path):
    path = tmp_path / MY_POND
    path.write_bytes(b"\xef\xbb\xbf" + CIRCLE.replace("\n", "\r\n").encode())
    assert load_pond(path).pond.shape.kind == "circle"


def test_a_name_with_html_and_shell_characters_is_text():
    pond = parse_pond('[pond]\nname = "<script>alert(1)</script> $(rm -rf /) `x` & \\"q\\""\n' + CIRCLE)
    assert pond.name == '<script>alert(1)</script> $(rm -rf /) `x` & "q"'


def read_faults(path):
    with pytest.raises(PondFileError) as caught:
        load_pond(path)
    (fault,) = caught.value.faults
    return fault


def test_no_file(tmp_path):
    assert read_faults(tmp_path / "lake.toml") == "lake.toml: there is no such file here; 'pondwright start' makes one."


def test_a_binary_file(tmp_path):
    (tmp_path / MY_POND).write_bytes(bytes(range(256)))
    assert read_faults(tmp_path / MY_POND) == "pond.toml: is not a text file (UTF-8)."


def test_a_folder_in_its_place(tmp_path):
    (tmp_path / MY_POND).mkdir()
    assert read_faults(tmp_path / MY_POND).startswith("pond.toml: cannot be read (")


def test_a_huge_file(tmp_path):
    (tmp_path / MY_POND).write_text("#" * 1_000_001)
    assert read_faults(tmp_path / MY_POND) == "pond.toml: is larger than a pond file can be (1,000,000 bytes)."


def test_deep_nesting_is_a_fault_and_no_crash():
    (fault,) = faults("a = " + "[" * 5000 + "]" * 5000)
    assert "cannot be read as TOML" in fault


MESSY = st.text(st.sampled_from('[]{}="\',.#\n abpond.shape=kind1 m-:\\\t'), max_size=80)


@settings(max_examples=300, deadline=None)
@given(text=st.one_of(st.text(max_size=80), MESSY, MESSY.map(lambda t: CIRCLE + t)))
def test_any_text_is_a_pond_or_a_list_of_lines(text):
    try:
        parse_pond(text)
    except PondFileError as error:
        assert error.faults and all(len(f.splitlines()) == 1 for f in error.faults)


KEYS = st.sampled_from(["kind", "length", "flow", "x"])
VALUES = st.recursive(st.one_of(st.integers(), st.floats(), st.booleans(), st.text(max_size=8), st.just("1 m")),
                      lambda v: st.one_of(st.lists(v, max_size=3), st.dictionaries(KEYS, v, max_size=3)), max_leaves=6)


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_any_value_at_any_key_is_a_pond_or_a_list_of_lines(data):
    document = tomllib.loads(demo_text())
    section = data.draw(st.sampled_from(sorted(document)))
    part = document[section] if isinstance(document[section], dict) else document[section][0]
    key = data.draw(st.sampled_from([*sorted(part), "new"]))
    part[key] = data.draw(VALUES)
    try:
        pond_file.validated(document, MY_POND)
    except PondFileError as error:
        assert all(len(f.splitlines()) == 1 and len(f) < 1500 for f in error.faults)


# ------------------------------------------------------------------------------------------------------------------- my_pond


def test_without_a_file_the_demo_is_used(tmp_path):
    assert my_pond(tmp_path) == demo_pond()


def test_while_the_file_has_no_shape_the_demo_is_used(tmp_path):
    (tmp_path / MY_POND).write_text(blank_text())
    assert my_pond(tmp_path) == demo_pond()


def test_a_file_with_a_shape_is_used(tmp_path):
    (tmp_path / MY_POND).write_text(CIRCLE)
    pond = my_pond(tmp_path)
    assert pond.pond.shape.kind == "circle" and pond.fish is None and pond.pump is None  # nothing comes from the demo


@pytest.mark.parametrize("text", ["pond = 3\n", "[pond.shape\n", "[pond]\nshape = 3\n", CIRCLE.replace("pond", "Pond"),
                                  "[pond]\n" + CIRCLE.replace("pond.shape", "pond.Shape"), "[Fish]\n"])
def test_a_bad_file_is_never_taken_for_a_blank_one(tmp_path, text):
    (tmp_path / MY_POND).write_text(text)
    with pytest.raises(PondFileError):
        my_pond(tmp_path)


# ---------------------------------------------------------------------------------------------------------------- write_down


@pytest.fixture
def folder(tmp_path):
    (tmp_path / MY_POND).write_text(demo_text(), encoding="utf-8")
    return tmp_path


def test_without_a_pond_file_nothing_changes(tmp_path):
    said = write_down("pond.shape.depth", [Q(1, "m"), Q(1.1, "m")], tmp_path)
    assert said == ("No pond.toml here ('pondwright start' makes one), so nothing was changed. "
                    'The line would be:  pond.shape.depth = ["1 m", "1.1 m"]')
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("with_file", [True, False])
def test_an_unanswered_cell_writes_nothing(tmp_path, with_file):
    if with_file:
        (tmp_path / MY_POND).write_text(demo_text())
    assert "Nothing written" in write_down("pond.name", None, tmp_path)
    assert not with_file or (tmp_path / MY_POND).read_text() == demo_text()


def test_one_value_changes_and_every_comment_stays(folder):
    assert write_down("plumbing.inside_diameter", Q(36, "mm"), folder) == 'Written in pond.toml:  plumbing.inside_diameter = "36 mm"'
    changed = [(a, b) for a, b in zip(demo_text().splitlines(), (folder / MY_POND).read_text().splitlines(), strict=True) if a != b]
    assert changed == [('inside_diameter = "28 mm"   # 32 mm metric PVC-U', 'inside_diameter = "36 mm"   # 32 mm metric PVC-U')]
    assert sorted(p.name for p in folder.iterdir()) == [MY_POND]  # no scratch file stays


# value as given -> as it stands in the file
CHANGED = {"kind": "circle", "diameter": "3 m", "depth": "1 m"}
WRITTEN = [
    ("pond.shape.depth", [Q(1, "m"), Q(95, "cm")], ["1 m", "95 cm"]),
    ("pond.shape.depth", Q(np.array([1, 1.25]), "m"), ["1 m", "1.25 m"]), ("pond.shape.length", Q(20, "ft"), "20 ft"),
    ("filter.container", Q(0.3, "m3"), "0.3 m3"), ("filter.media_volume", Q(50, "US gal"), "50 US gal"),
    ("filter.media_volume", Q(161.23456789, "L"), "161.235 L"), ("fish.diet_protein", Q(30, "%"), "30 %"),
    ("fish.feed", Q(12, "g/d"), "12 g/d"), ("power.battery.capacity", Q(90, "Ah"), "90 Ah"),
    ("fish.stop_feeding_below", Q(50, "degF"), "50 degF"), ("filter.solids_filter", False, False),
    ("filter.solids_filter", np.bool_(False), False), ("pond.name", "Ours <b>\"&\n$x", "Ours <b>\"&\n$x"),
    ("plumbing.fittings.elbow_90", np.int64(6), 6), ("power.panel.count", 4, 4),
    ("fish.groups", [{"count": 3, "length": Q(9, "cm")}], [{"count": 3, "length": "9 cm"}]), ("tap.alkalinity", Q(3, "dKH"), "3 dKH"),
    ("pond.shape", CHANGED, CHANGED),
]


@pytest.mark.parametrize("key, value, stands", WRITTEN, ids=[f"{k}-{n}" for n, (k, *_) in enumerate(WRITTEN)])
def test_values_are_written_as_a_student_would(folder, key, value, stands):
    said = write_down(key, value, folder)
    assert said.startswith(f"Written in pond.toml:  {key} = ") and "\n" not in said
    got, want = (tomllib.loads(t) for t in ((folder / MY_POND).read_text(), demo_text()))
    *sections, last = key.split(".")
    table = want
    for section in sections:
        table = table[section]
    table[last] = stands
    assert got == want
    load_pond(folder / MY_POND)


def test_a_blank_file_grows_key_by_key_and_keeps_its_remarks(tmp_path):
    path = tmp_path / MY_POND
    path.write_text(blank_text(), encoding="utf-8")
    write_down("fish", {"species": "koi", "groups": [{"count": 2, "length": "30 cm"}]}, tmp_path)
    write_down("power.voltage", Q(12, "V"), tmp_path)
    write_down("pond.shape", {"kind": "circle", "diameter": Q(3, "m"), "depth": [Q(1, "m")]}, tmp_path)
    write_down("power.autonomy", Q(2, "d"), tmp_path)
    pond = load_pond(path)
    assert (pond.fish.species, pond.pond.shape.kind, pond.power.autonomy) == ("koi", "circle", Q(2, "d"))
    remarks = re.findall(r"# [^=\n]+$", blank_text(), re.MULTILINE)
    gone = [r for r in remarks if r not in path.read_text()]
    assert len(remarks) > 30 and gone == ["# [pond.shape]", "# [fish]", "# [[fish.groups]]", "# [power]"]


def test_a_section_that_only_has_sub_sections_takes_a_key_of_its_own(tmp_path):
    (tmp_path / MY_POND).write_text(CIRCLE + '\n# the wire\n[power.cable]\nlength = "3 m"   # one way\n')
    write_down("power.voltage", "12 V", tmp_path)
    write_down("pond.name", "Ours", tmp_path)
    pond = load_pond(tmp_path / MY_POND)
    assert pond.power.voltage == Q(12, "V") and pond.power.cable.length == Q(3, "m") and pond.name == "Ours"
    text = (tmp_path / MY_POND).read_text()
    assert "# the wire" in text and "# one way" in text


REFUSED = {
    "a wrong unit": ("pond.shape.length", "5 kg", "pond.shape.length: '5 kg' is a mass"),
    "a bare number": ("pond.shape.length", 5, "pond.shape.length: '5' has no unit"),
    "an unknown key": ("pond.shape.deepness", "1 m", "pond.shape.deepness: is not a key of a pond file"),
    "an unknown section": ("pomp.power", "1 W", "pomp: is not a key of a pond file. Did you mean 'pump'?"),
    "a key under a value": ("pond.name.first", "x", "pond.toml: pond.name.first cannot be written, since name is not a section there."),
    "a key under a list": ("readings.ph", "7", "pond.toml: readings.ph cannot be written, since readings is not a section there."),
    "NaN": ("pond.shape.length", float("nan"), "pond.shape.length: 'nan' is not a finite number"),
    "a quantity that is not finite": ("pond.shape.length", Q(float("inf"), "m"), "not a finite number"),
    "an object": ("pond.name", {"a": object()}, "cannot be written into a pond file"),
}


STARTS = [(w, "demo") for w in REFUSED]
STARTS += [(w, "blank") for w, (key, *_) in REFUSED.items() if not key.startswith(("pond.shape", "readings"))]


@pytest.mark.parametrize("what, start", STARTS)
def test_a_value_that_will_not_do_changes_nothing(tmp_path, what, start):
    key, value, says = REFUSED[what]
    path = tmp_path / MY_POND
    path.write_text(demo_text() if start == "demo" else blank_text(), encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(ValueError, match=".") as caught:
        write_down(key, value, tmp_path)
    assert says in str(caught.value)
    assert path.read_bytes() == before and len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("content", [b"[pond.shape\n", bytes(range(256)), b'a = 1\na = 2\n', b"pond = 3\n", b"x = \x00"])
def test_a_file_that_cannot_be_read_is_never_overwritten(tmp_path, content):
    path = tmp_path / MY_POND
    path.write_bytes(content)
    with pytest.raises(PondFileError):
        write_down("pond.name", "x", tmp_path)
    assert path.read_bytes() == content


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(junk=MESSY)
def test_whatever_stands_in_the_file_writing_never_loses_a_value(tmp_path, junk):
    path = tmp_path / MY_POND
    path.write_text(CIRCLE + junk, encoding="utf-8")
    before = path.read_bytes()
    try:
        write_down("pond.name", "Ours", tmp_path)
    except PondFileError:
        assert path.read_bytes() == before
    else:
        got, old = tomllib.loads(path.read_text(encoding="utf-8")), tomllib.loads(before.decode())
        old["pond"]["name"] = "Ours"
        assert got == old


# -------------------------------------------------------------------------------------------------------------------- atomic


def test_a_write_that_breaks_leaves_the_old_file_whole(folder, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pond_file.os, "replace", full)
    with pytest.raises(PondFileError, match=r"pond.toml: cannot be written \(No space left on device\); nothing was changed\."):
        write_down("pond.name", "x", folder)
    assert (folder / MY_POND).read_text() == demo_text() and len(list(folder.iterdir())) == 1


def test_a_folder_that_does_not_exist(tmp_path):
    with pytest.raises(PondFileError, match="cannot be written"):
        write_atomically(tmp_path / "nowhere" / MY_POND, "x = 1\n")


@contextlib.contextmanager
def as_plain_user(folder):
    """Root may write anything: where this runs as root, stand in as a plain user who may look into the folder but not write there."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        mode = folder.stat().st_mode
        folder.chmod(0o555)
        yield
        folder.chmod(mode)
        return
    opened = [(p, p.stat().st_mode) for p in (folder, *folder.parents) if not p.stat().st_mode & stat.S_IXOTH]
    for p, mode in opened:
        p.chmod(mode | stat.S_IXOTH | stat.S_IROTH)
    os.setegid(65534)
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
        for p, mode in opened:
            p.chmod(mode)


def test_a_folder_that_cannot_be_written(folder):
    with as_plain_user(folder), pytest.raises(PondFileError, match="pond.toml: cannot be written"):
        write_down("pond.name", "x", folder)
    assert (folder / MY_POND).read_text() == demo_text() and len(list(folder.iterdir())) == 1


def test_a_folder_that_cannot_be_looked_into(folder):
    inner = folder / "closed"
    inner.mkdir()
    (inner / MY_POND).write_text(demo_text())
    inner.chmod(0)
    try:
        with as_plain_user(folder):
            for touch in (lambda: my_pond(inner), lambda: write_down("pond.name", "x", inner), lambda: load_pond(inner / MY_POND)):
                with pytest.raises(PondFileError, match="pond.toml: cannot be read"):
                    touch()
    finally:
        inner.chmod(0o755)


def test_a_read_only_file_stays_as_it_is(folder, monkeypatch):
    (folder / MY_POND).chmod(0o444)
    monkeypatch.setattr(pond_file.os, "access", lambda path, mode: False)  # what a plain user's access() says; root's says yes
    with pytest.raises(PondFileError, match="pond.toml: cannot be written"):
        write_down("pond.name", "x", folder)
    assert (folder / MY_POND).read_text() == demo_text() and len(list(folder.iterdir())) == 1


def test_the_mode_of_the_file_and_a_link_to_it_stay(folder):
    real = folder / "elsewhere" / "kept.toml"
    real.parent.mkdir()
    shutil.move(folder / MY_POND, real)
    (folder / MY_POND).symlink_to(real)
    real.chmod(0o640)
    write_down("pond.name", "Ours", folder)
    assert (folder / MY_POND).is_symlink() and stat.S_IMODE(real.stat().st_mode) == 0o640
    assert load_pond(real).name == "Ours"
