"""Every lesson notebook: its form, and that its cells run alone and twice, in any order."""

import ast
import json
import re
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from lessonkit.words import texts

FOLDER = Path(__file__).parents[2] / "notebooks"
PATHS = sorted(FOLDER.glob("*.ipynb"))
CHECK_TAGS = {"nbval-check-output", "keep_output"}


@pytest.fixture(params=PATHS, ids=lambda path: path.stem, scope="module")
def path(request):
    return request.param


@pytest.fixture(scope="module")
def notebook(path):
    return nbformat.read(path, as_version=4)


def code_cells(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def tags(cell):
    return set(cell.metadata.get("tags", []))


def is_check(cell):
    return "nbval-check-output" in tags(cell)


def test_the_first_lessons_are_there():
    keys = {path.stem for path in PATHS}
    assert {"00_start_here", "01_airplane_card", "07_power_off_approach"} <= keys
    assert all(re.fullmatch(r"\d\d_[a-z_]+", key) for key in keys)


def test_notebook_is_valid(notebook):
    nbformat.validate(notebook)
    ids = [cell.id for cell in notebook.cells]
    assert len(set(ids)) == len(ids)


def test_lesson_has_its_folder_and_texts(path):
    name = path.stem[3:]
    folder = FOLDER.parent / "lessonkit" / "lessons" / name
    assert (folder / "panels.py").is_file()
    for part in ("title", "minutes", "objective"):
        assert f"{name}.lesson.{part}" in texts(name)


def test_code_is_short_hidden_and_begins_with_a_comment(notebook):
    for cell in code_cells(notebook):
        lines = cell.source.splitlines()
        calls = [line for line in lines if line.strip() and not line.startswith("#")]
        assert 1 <= len(calls) <= 3, cell.source
        assert re.match(r"# [A-Z]", lines[0]), cell.source
        assert cell.metadata.get("jupyter", {}).get("source_hidden") is True, cell.source
        # Calls only: no definitions, loops or magic commands.
        allowed = (ast.Import, ast.ImportFrom, ast.Assign, ast.Expr, ast.Assert)
        assert all(isinstance(step, allowed) for step in ast.parse(cell.source).body), cell.source


def test_the_first_code_cell_opens_this_lesson(path, notebook):
    first = code_cells(notebook)[0].source
    assert "from lessonkit.app import open_lesson" in first
    assert f'lesson = open_lesson("{path.stem}")' in first


def test_exactly_the_last_code_cell_is_the_check(notebook):
    cells = code_cells(notebook)
    assert [is_check(cell) for cell in cells] == [False] * (len(cells) - 1) + [True]
    assert tags(cells[-1]) == CHECK_TAGS
    assert "keep_output" not in {tag for cell in cells[:-1] for tag in tags(cell)}


def test_nothing_but_the_check_is_stored(notebook):
    assert "widgets" not in notebook.metadata
    for cell in code_cells(notebook):
        # nbval refuses a stored output in a cell that carries no count: the check says 1.
        assert cell.execution_count == (1 if is_check(cell) else None)
        if is_check(cell):
            assert cell.outputs, "the check cell has no stored output to compare with"
            for output in cell.outputs:
                assert output.output_type == "stream" and output.name == "stdout"
                assert output.text.strip()
        else:
            assert cell.outputs == []


def test_nobody_is_left_in_the_metadata(path, notebook):
    assert set(notebook.metadata) <= {"kernelspec", "language_info", "lessonkit"}
    for cell in notebook.cells:
        assert set(cell.metadata) <= {"jupyter", "tags", "lessonkit"}
        assert not cell.get("attachments")
    text = path.read_text(encoding="utf-8")
    assert text == json.dumps(json.loads(text), indent=1, ensure_ascii=False) + "\n"


def errors_in(cells, state):
    """Errors among the outputs of cells, and inside the widgets that hold outputs."""
    found = []
    for cell in cells:
        for output in cell.get("outputs", []):
            if output.output_type == "error":
                found.append(f"{output.ename}: {output.evalue}")
            # A control survives its callback's error and only logs it.
            if output.output_type == "stream" and re.search("Exception in|Traceback", output.text):
                found.append(output.text)
    for model in state.values():
        kept = model.get("state", model)
        for output in kept.get("outputs") or []:
            if output.get("output_type") == "error" or "Exception in" in output.get("text", ""):
                found.append(str(output.get("evalue") or output.get("text")))
    return found


def run_alone_and_twice(notebook):
    """Run each cell right after the first one only, then all cells twice; return the errors."""
    client = NotebookClient(notebook, timeout=60, kernel_name="python3", allow_errors=True)
    index = {cell.id: number for number, cell in enumerate(notebook.cells)}
    cells = code_cells(notebook)
    ran = []

    def run(cell):
        client.execute_cell(cell, index[cell.id])
        ran.append(nbformat.from_dict(cell))
        cell.outputs = []

    forget = nbformat.v4.new_code_cell("get_ipython().reset(new_session=False)")
    notebook.cells.append(forget)
    index[forget.id] = len(notebook.cells) - 1
    with client.setup_kernel():
        for cell in cells[1:]:
            run(cells[0])
            run(cell)
            run(forget)
        for cell in cells + cells:
            run(cell)
        state = client.widget_state
    return errors_in(ran, state)


@pytest.mark.long
def test_cells_run_alone_and_twice(path, tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path))
    monkeypatch.chdir(path.parent)
    assert run_alone_and_twice(nbformat.read(path, as_version=4)) == []


def test_hidden_errors_are_found(tmp_path, monkeypatch):
    """The run above sees what a control, a cell out of order and a plain cell do wrong."""
    monkeypatch.chdir(tmp_path)
    sources = [
        "import ipywidgets as w; out = w.Output(); b = w.Button(); s = w.IntSlider(value=1)",
        "b.on_click(lambda _: never_defined_1); b.click()",
        "with out: raise ValueError('inside an output')",
        "x = w.interactive(lambda v: 1 / v, v=s); s.value = 0",
        "later = 1",
        "later + 1",
    ]
    cells = [nbformat.v4.new_code_cell(source) for source in sources]
    found = "\n".join(run_alone_and_twice(nbformat.v4.new_notebook(cells=cells)))
    for part in ("never_defined_1", "inside an output", "division by zero", "'later' is not"):
        assert part in found, part
