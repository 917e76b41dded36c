"""The house keeps its shape: which floor may import which, how long a function may be, and what every formula says of itself."""

from __future__ import annotations

import ast
import functools
import inspect
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import pondwright
from pondwright.sources import GRADES, SOURCES
from pondwright.units import FORMULAS, QuantityError
from tests.grades import every_formula

ROOT = Path(__file__).resolve().parents[1]
SRC = ROOT / "src" / "pondwright"
MODULES = sorted(SRC.rglob("*.py"))
# the top floor first; an arrow may point down only, so a floor may import itself and what stands after it
FLOORS = ({"cli"}, {"labs"}, {"report"}, {"classroom"}, {"figures"}, {"pond"}, {"science"}, {"tables", "sources", "units"})
SAME_HEIGHT = {"labs", "report", "classroom"}  # neighbours: none imports another
HEAVY = ("numpy", "pint", "pandas", "matplotlib", "scipy", "pydantic", "ipywidgets")


def floor_of(name: str) -> int:
    return next(n for n, floor in enumerate(FLOORS) if name in floor)


def part_of(path: Path) -> str:
    """Name the part of the house a file belongs to: "pond", "units", "cli"; "" for the package's own __init__."""
    first = path.relative_to(SRC).parts[0].removesuffix(".py")
    return "" if first == "__init__" else first


@functools.cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imports(path: Path):
    """Yield (line, absolute dotted name) of every import in a file, inside functions too; `from . import x` gives x."""
    package = ["pondwright", *path.relative_to(SRC).parts[:-1]]
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield from ((node.lineno, f"{stem}.{alias.name}") for alias in node.names)


def functions(path: Path):
    return (n for n in ast.walk(tree(path)) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef))


def where(path: Path, line: int) -> str:
    return f"{path.relative_to(ROOT)}:{line}"


# ---------------------------------------------------------------------------------------------------------------------- arrows


def test_every_file_belongs_to_a_floor():
    assert {part_of(p) for p in MODULES} - {""} <= {part for floor in FLOORS for part in floor}


def test_arrows_point_down_only():
    wrong = []
    for path in MODULES:
        here = part_of(path)
        for line, name in imports(path):
            dotted = name.split(".")
            if dotted[0] != "pondwright" or not here:
                continue
            there = dotted[1]
            if there == "__version__":
                continue
            if there in pondwright.__all__:
                wrong.append(f"{where(path, line)} goes through the front door for {there}; import it from its own floor")
            elif here != there and (floor_of(there) < floor_of(here) or {here, there} <= SAME_HEIGHT):
                wrong.append(f"{where(path, line)} {here} imports {there}")
    assert not wrong, "\n".join(wrong)


def test_the_front_door_fetches_nothing_by_itself():
    assert [name for _, name in imports(SRC / "__init__.py") if name.split(".")[0] not in ("__future__", "importlib")] == []


def test_what_is_fetched_by_name_points_down_too():
    """importlib would slip past the arrow test: outside the front door it fetches from its own package, or by a full name from below."""
    for path in (p for p in MODULES if part_of(p)):
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) == "import_module":
                text = ast.unparse(node)
                named = re.search(r"pondwright\.(\w+)", text)
                if named:
                    assert floor_of(named[1]) >= floor_of(part_of(path)), where(path, node.lineno)
                else:
                    assert re.search("__package__|__name__", text) and "'.." not in text, where(path, node.lineno)


ROOMS = [("ipywidgets", {"labs", "classroom"}), ("matplotlib", {"figures"}), ("schemdraw", {"figures"})]


@pytest.mark.parametrize("library, allowed", ROOMS)
def test_where_a_library_may_be_used(library, allowed):
    elsewhere = [p for p in MODULES if part_of(p) not in allowed]
    found = [where(p, line) for p in elsewhere for line, name in imports(p) if name.split(".")[0] == library]
    assert not found, f"{library} outside {', '.join(sorted(allowed))}: {', '.join(found)}"


def test_science_reads_and_writes_nothing():
    worldly = {"os", "pathlib", "io", "sys", "subprocess", "socket", "urllib", "json"}
    for path in (p for p in MODULES if part_of(p) == "science"):
        outside = {name.split(".")[0] for _, name in imports(path)} & worldly
        assert not outside, f"{path.name} imports {outside}"
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id not in ("open", "print", "input", "exec", "eval"), where(path, node.lineno)


def test_only_units_hands_text_to_pint():
    for path in MODULES:
        if part_of(path) != "units":
            assert not [line for line, name in imports(path) if name.split(".")[0] == "pint"], path.name


# ---------------------------------------------------------------------------------------------------------------------- length


def body_lines(path: Path, node) -> int:
    """Count the lines of a function's body without its docstring, blank lines and comments."""
    body = node.body[1:] if ast.get_docstring(node) is not None else node.body
    if not body:
        return 0
    lines = path.read_text(encoding="utf-8").splitlines()[body[0].lineno - 1 : body[-1].end_lineno]
    return sum(1 for line in lines if line.strip() and not line.strip().startswith("#"))


def test_no_function_of_science_is_longer_than_25_lines():
    science = [(p, f) for p in MODULES if part_of(p) == "science" for f in functions(p)]
    long = [f"{where(p, f.lineno)} {f.name}: {n}" for p, f in science if (n := body_lines(p, f)) > 25]
    assert not long, "\n".join(long)


def test_no_file_is_longer_than_500_lines():
    files = [*MODULES, *sorted((ROOT / "tests").rglob("*.py"))]
    long = [f"{p.relative_to(ROOT)}: {n}" for p in files if (n := len(p.read_text(encoding="utf-8").splitlines())) > 500]
    assert not long, "\n".join(long)


# -------------------------------------------------------------------------------------------------------------------- formulas


NAMES = every_formula()


def section(name: str, title: str) -> str:
    """Return one section of a formula's docstring as its author wrote it."""
    doc = inspect.cleandoc(FORMULAS[name].plain.__doc__)
    found = re.search(rf"^{title}\n-{{3,}}\n(.*?)(?=^\w[\w ]*\n-{{3,}}\n|\Z)", doc, re.S | re.M)
    return found[1].strip("\n") if found else ""


def decorated(path: Path) -> int:
    return sum(1 for f in functions(path) for d in f.decorator_list if isinstance(d, ast.Call) and getattr(d.func, "id", "") == "formula")


def test_formulas_live_in_science_and_none_hides_another():
    assert {p.name for p in MODULES if part_of(p) != "science" and decorated(p)} == set()
    assert sum(decorated(p) for p in MODULES) == len(NAMES) > 0


@pytest.mark.parametrize("name", NAMES)
def test_a_formula_says_all_of_itself(name):
    f = FORMULAS[name]
    signature = list(inspect.signature(f.plain).parameters)
    doc = inspect.cleandoc(f.plain.__doc__)
    summary = doc.split("\n\n")[0]
    assert summary.rstrip().endswith((".", "?")) and len(summary) <= 200, "the summary is one sentence"
    # signature = decorator = docstring, each parameter on its own line with its meaning below
    assert list(f.arguments) == signature
    lines = section(name, "Parameters").splitlines()
    assert [line for line in lines if line and not line.startswith(" ")] == signature
    for key in signature:
        assert re.search(rf"^{key}\n    \S", section(name, "Parameters"), re.M), f"{key} has no meaning"
    assert section(name, "Notes").strip(), "Notes hold the equation and what is assumed"
    # unit, range and refusals stand in the decorator only, which adds these two sections
    assert not section(name, "Returns") and not section(name, "Raises")
    for title in ("Returns", "Raises"):
        assert f"{title}\n{'-' * len(title)}\n" in f.__doc__
    keys = re.findall(r"\[(\w+)\]_", section(name, "References"))
    assert keys and list(f.sources) == keys, "References name their sources as [Key]_"
    assert not (strange := [k for k in keys if k not in SOURCES]), f"not in sources.py: {strange}"
    assert not (strange := {a.by for a in f.arguments.values() if getattr(a, "by", "")} - set(keys)), f"sets a range unnamed: {strange}"
    assert ">>>" in section(name, "Examples"), "Examples hold a doctest"


@pytest.mark.parametrize("name", NAMES)
def test_a_default_lies_inside_the_formulas_own_ranges(name):
    f = FORMULAS[name]
    defaults = {k: p.default for k, p in inspect.signature(f.plain).parameters.items() if p.default not in (inspect.Parameter.empty, None)}
    assert f.check(**{k: v for k, v in defaults.items() if not isinstance(v, str)}) == ()
    for key, value in defaults.items():
        assert not isinstance(value, str) or value in f.arguments[key]


@pytest.mark.parametrize("name", NAMES)
def test_a_formula_refuses_what_is_not_a_quantity(name):
    f = FORMULAS[name]
    for junk in (True, "five", float("nan"), [], {}):
        with pytest.raises(QuantityError):
            f(**dict.fromkeys(f.arguments, junk))


def test_the_bibliography_is_whole():
    for key, source in SOURCES.items():
        assert re.fullmatch(r"\w+", key) and source.citation.strip() and source.read in GRADES, key


# ------------------------------------------------------------------------------------------------------------------- the package


def test_importing_the_package_is_light():
    code = f"import sys, pondwright; print([m for m in {HEAVY} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_everything_on_the_shelf_is_there():
    for name in pondwright.__all__:
        assert getattr(pondwright, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'lake'"):
        pondwright.lake  # noqa: B018


def tracked() -> list[str]:
    """Name every file that git keeps; a folder without git (an unpacked archive) has nothing to say here."""
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    names = [n for n in done.stdout.split("\0") if n and (ROOT / n).exists()]
    if done.returncode or not names:
        pytest.skip("not a git checkout")
    return names


def test_the_top_level_holds_only_what_it_should():
    top = {name.split("/")[0] for name in tracked()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "src", "notebooks", "tests", "exercises"}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_no_path_of_one_machine_and_no_unfinished_work():
    strange = re.compile(r"/(?:root|home)/\w|/work/|/tmp/\w|[A-Z]:\\Users|\b(?:TODO|FIXME|XXX)\b")
    texts = (".py", ".md", ".toml", ".csv", ".ipynb", ".html", ".j2", ".css", "")
    found = []
    for name in tracked():
        path = ROOT / name
        if path.suffix not in texts or path == Path(__file__).resolve():
            continue
        text = re.sub(r'"image/png": "[^"]*"', "", path.read_text(encoding="utf-8"))
        found += [f"{name}:{n} {m[0]}" for n, line in enumerate(text.splitlines(), 1) if (m := strange.search(line))]
    assert not found, "\n".join(found)


def test_the_wheel_holds_package_lessons_and_worksheets_but_nothing_for_teachers():
    wheel = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert set(wheel["only-include"]) == {"src/pondwright", "notebooks", "exercises"}
    assert "exercises/teacher" in wheel["exclude"]
    assert wheel["sources"] == {
        "src/pondwright": "pondwright",
        "notebooks": "pondwright/_workbook/notebooks",
        "exercises": "pondwright/_workbook/exercises",
    }


def test_the_lessons_are_found_and_the_teachers_page_stays_behind():
    from pondwright.classroom.workfolder import contents, workbook

    lessons, worksheets = workbook()
    assert list(lessons.glob("*.ipynb")) and list(worksheets.glob("*.ipynb"))
    assert not [name for name in contents() if "teacher" in name or "solution" in name]
