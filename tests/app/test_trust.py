"""The packaged list of lessons, and what it counts as the same code."""

import hashlib
import json

import pytest

from lessonkit.app.places import notebooks_folder
from lessonkit.app.trust import code_hash, current_lessons, notebook_hash, trusted_lessons


def test_list_fits_the_notebooks():
    assert trusted_lessons() == current_lessons(notebooks_folder()), (
        "a lesson's code changed: renew the list with python -m lessonkit.app.trust"
    )


def test_sum_is_sha256_of_the_compact_json_list():
    # The two bytes of an empty list; a list of one cell written by hand.
    assert code_hash([]) == hashlib.sha256(b"[]").hexdigest()
    assert code_hash(['x = "ä"\n']) == hashlib.sha256('["x = \\"ä\\"\\n"]'.encode()).hexdigest()


@pytest.mark.parametrize(
    "one, other",
    [
        (["a", "b"], ["b", "a"]),
        (["a", "b"], ["ab"]),
        (["a\nb"], ["a", "b"]),
        (["a"], ["a", ""]),
        (["a"], ["a "]),
        (['a","b'], ["a", "b"]),
    ],
)
def test_every_change_of_code_changes_the_sum(one, other):
    assert code_hash(one) != code_hash(other)


def notebook(tmp_path, cells):
    path = tmp_path / "lesson.ipynb"
    path.write_text(json.dumps({"cells": cells, "metadata": {}, "nbformat": 4}), encoding="utf-8")
    return path


def cell(source, kind="code", **more):
    return {"cell_type": kind, "source": source, "metadata": {}} | more


def test_text_and_outputs_do_not_count_but_code_in_lines_does(tmp_path):
    plain = notebook_hash(notebook(tmp_path, [cell("a = 1\nb = 2")]))

    assert plain == code_hash(["a = 1\nb = 2"])
    in_lines = [cell("# Title", "markdown"), cell(["a = 1\n", "b = 2"], outputs=[{"text": "x"}])]
    assert notebook_hash(notebook(tmp_path, in_lines)) == plain
    assert notebook_hash(notebook(tmp_path, [cell("a = 1\nb = 3")])) != plain


def test_only_numbered_notebooks_are_lessons(tmp_path):
    for name in ("00_start.ipynb", "notes.ipynb", "01_card.txt"):
        notebook(tmp_path, []).rename(tmp_path / name)

    assert list(current_lessons(tmp_path)) == ["00_start.ipynb"]
