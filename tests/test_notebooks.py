"""The lessons and worksheets as files: their outline, their size, what is stored in them and what is not."""

from __future__ import annotations

import ast
import builtins
import re
import statistics
from pathlib import Path

import nbformat
import pytest

from pondwright.classroom import bank

ROOT = Path(__file__).resolve().parents[1]
LESSONS = sorted((ROOT / "notebooks").glob("*.ipynb"))
WORKSHEETS = sorted((ROOT / "exercises").glob("*.ipynb"))
SOLUTIONS = sorted((ROOT / "exercises" / "teacher").glob("*.ipynb"))
# the outline of a lesson, in order
OUTLINE = (
    "Goals", "A common mistake", "Predict", "Lab", "The numbers", "Check", "Try it yourself", "Cautions", "At the pond", "Write it down",
    "What we learned", "Sources",
)  # fmt: skip
CHECK, IGNORE, RAISES = "nbval-check-output", "nbval-ignore-output", "raises-exception"
NETWORK = re.compile(r"https?://|\burllib\b|\brequests\b|\bsocket\b|\bpip\b|\bconda\b|\bwget\b|\bcurl\b|^\s*[!%]", re.M)
LOCAL = re.compile(r"/(?:home|root|tmp|work|Users|usr|opt)/|[A-Z]:\\|site-packages|ipykernel_\d+|0x[0-9a-f]{8,}")

lessons = pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
worksheets = pytest.mark.parametrize("path", WORKSHEETS, ids=lambda p: p.stem)
everything = pytest.mark.parametrize("path", [*LESSONS, *WORKSHEETS, *SOLUTIONS], ids=lambda p: f"{p.parent.name}-{p.stem}")


def read(path: Path):
    return nbformat.read(path, as_version=4)


def code(path: Path) -> list:
    return [c for c in read(path).cells if c.cell_type == "code"]


def tags(cell) -> list:
    return cell.metadata.get("tags", [])


def headings(path: Path) -> list[str]:
    found = [re.match(r"## (.+)", line) for c in read(path).cells if c.cell_type == "markdown" for line in c.source.splitlines()]
    return [m[1].strip() for m in found if m]


def under(path: Path, heading: str) -> list:
    """Return the cells from one heading to the next."""
    cells, inside = [], False
    for cell in read(path).cells:
        if cell.cell_type == "markdown" and (m := re.search(r"^## (.+)", cell.source, re.M)):
            inside = m[1].strip() == heading
        if inside:
            cells.append(cell)
    return cells


def test_there_are_lessons_each_with_its_worksheet():
    numbers = [p.stem[:2] for p in LESSONS]
    assert numbers and numbers == sorted(set(numbers))
    assert {p.stem[:2] for p in WORKSHEETS} == set(bank.lessons())
    assert {p.name for p in SOLUTIONS} == {f"solutions-{p.name}" for p in WORKSHEETS}
    assert {p.name for p in WORKSHEETS} <= {p.name for p in LESSONS}, "a worksheet is named after its lesson"


# ---------------------------------------------------------------------------------------------------- every notebook


@everything
def test_a_notebook_is_valid_and_opens_without_a_question(path):
    notebook = read(path)
    nbformat.validate(notebook)
    assert (notebook.nbformat, notebook.nbformat_minor) == (4, 5)
    assert notebook.metadata["kernelspec"]["name"] == "python3"  # without it JupyterLab asks which kernel to take
    ids = [c.id for c in notebook.cells]
    assert len(ids) == len(set(ids))
    assert not [c for c in notebook.cells if not c.source.strip()], "an empty cell"


@everything
def test_code_is_short_and_plain(path):
    cells = code(path)
    lines = [len([line for line in c.source.splitlines() if line.strip()]) for c in cells]
    assert max(lines) <= 8 and (path in SOLUTIONS or statistics.median(lines) <= 2), lines
    for cell in cells:
        for node in ast.walk(ast.parse(cell.source)):
            if isinstance(node, ast.ImportFrom):
                assert "*" not in [a.name for a in node.names], "a star import"
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                assert node.end_lineno - node.lineno + 1 <= 5, f"def {node.name} is longer than five lines"
        assert not (m := NETWORK.search(cell.source)), f"no network and no installing in a cell: {m and m[0]}"


@everything
def test_nothing_of_one_machine_is_stored(path):
    for cell in code(path):
        assert not [o for o in cell.outputs if o.output_type == "error"], "a stored error"
        assert not [o for o in cell.outputs if o.get("name") == "stderr"], "stored stderr"
        text = "\n".join([cell.source, *(str(o.get("text", o.get("data", ""))) for o in cell.outputs)])
        assert not (m := LOCAL.search(text)), m and m[0]
        assert "execution" not in cell.metadata, "stored times"


@everything
def test_a_cell_can_be_run_again(path):
    """Each name is made in its own cell or an earlier one, and no cell changes what an earlier one made."""
    known = set(dir(builtins))
    for cell in code(path):
        tree = ast.parse(cell.source)
        made = {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
        made |= {(a.asname or a.name).split(".")[0] for n in ast.walk(tree) if isinstance(n, ast.Import | ast.ImportFrom) for a in n.names}
        made |= {n.name for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)}
        made |= {a.arg for n in ast.walk(tree) if isinstance(n, ast.arguments) for a in [*n.args, *n.kwonlyargs]}
        used = {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Load)}
        assert used <= known | made, f"{sorted(used - known - made)} comes from nowhere"
        assert not [n for n in ast.walk(tree) if isinstance(n, ast.AugAssign | ast.Delete)], "running this again would change something"
        known |= made


# ------------------------------------------------------------------------------------------------------------- lessons


@lessons
def test_a_lesson_follows_the_outline(path):
    assert [h for h in headings(path) if h in OUTLINE] == list(OUTLINE)


@lessons
def test_a_lesson_opens_with_its_number_and_one_question(path):
    first = read(path).cells[0]
    assert re.match(rf"# {path.stem[:2]} · .+", first.source)
    assert len(re.findall(r"\*\*[^*]+\?\*\*", first.source)) == 1, "one question in bold under the title"
    goals = under(path, "Goals")[0].source
    assert len(re.findall(r"^- \*\*\w+", goals, re.M)) >= 2, "goals begin with a verb in bold"
    assert re.search(r"\d+ minutes", goals) and "need" in goals.lower()


@lessons
def test_the_prediction_comes_before_one_lab_in_one_line(path):
    predict = "\n".join(c.source for c in under(path, "Predict"))
    assert "?" in predict and not [c for c in under(path, "Predict") if c.cell_type == "code"]
    (lab,) = [c for c in code(path) if IGNORE in tags(c)]
    assert lab in under(path, "Lab")
    assert re.fullmatch(r"from pondwright\.labs import (\w+)\n\1\(\)", lab.source.strip())


@lessons
def test_check_cells_have_stored_what_nbval_compares(path):
    checks = [c for c in code(path) if CHECK in tags(c)]
    assert checks and all(c in under(path, "Check") for c in checks)
    for cell in checks:
        assert cell.outputs and cell.execution_count is not None
        printed = "".join(o.get("text", "") or o.get("data", {}).get("text/plain", "") for o in cell.outputs)
        assert re.search(r"\d", printed), "a check shows a number"
        assert "my_pond" not in cell.source, "a check never depends on anyone's own pond file"
        assert "plan(" not in cell.source or "demo_pond" in cell.source
    for cell in code(path):
        if CHECK not in tags(cell):
            assert not cell.outputs and cell.execution_count is None, "only Check cells keep what they printed"
        assert set(tags(cell)) <= {CHECK, IGNORE, RAISES}


@lessons
def test_three_questions_with_instant_feedback(path):
    asked = [m for c in under(path, "Try it yourself") if c.cell_type == "code" for m in re.findall(r'check\("([\w-]+)", None\)', c.source)]
    assert len(asked) == 3 and len(set(asked)) == 3
    for key in asked:
        assert bank.question(key)


@lessons
def test_the_decision_is_written_down_in_one_line(path):
    cells = [c for c in under(path, "Write it down") if c.cell_type == "code"]
    assert any("write_down(" in c.source for c in cells)


@lessons
def test_a_lesson_names_its_sources_and_what_its_numbers_are(path):
    text = "\n".join(c.source for c in under(path, "Sources"))
    assert "estimate" in text and "invented" in text


@lessons
def test_where_the_work_can_hurt_someone_a_lesson_warns(path):
    if (text := "\n".join(c.source for c in under(path, "At the pond"))) and "water" in text.lower():
        assert "adult" in "\n".join(c.source for c in read(path).cells).lower()


# ---------------------------------------------------------------------------------------------------------- worksheets


@worksheets
def test_a_worksheet_is_unanswered_and_stores_nothing(path):
    cells = code(path)
    assert not [c for c in cells if c.outputs or c.execution_count is not None]
    asked = [c for c in cells if "answer" in c.source]
    assert 4 <= len(asked) <= 6
    for cell in asked:
        assert re.fullmatch(r'answer = None\ncheck\("[\w-]+", answer\)', cell.source)
    assert "Solution" not in "\n".join(c.source for c in read(path).cells)


@worksheets
def test_worksheet_and_solutions_are_what_the_bank_builds(path):
    from pondwright.classroom.worksheets import file_name, solutions, worksheet

    lesson = path.stem[:2]
    assert path.name == file_name(lesson)
    teacher = path.parent / "teacher" / f"solutions-{path.name}"
    for build, file in ((worksheet, path), (solutions, teacher)):
        built = nbformat.from_dict(build(lesson))
        assert [(c.cell_type, c.id, c.source) for c in read(file).cells] == [(c.cell_type, c.id, c.source) for c in built.cells], (
            "the file differs from the question bank: run python -m pondwright.classroom.worksheets exercises")
