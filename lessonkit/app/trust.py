"""Which notebooks may run when they are opened: those whose code is the packaged code.

The list is a file of the package: for each lesson its path below the lessons folder and the
SHA-256 of its code cells. The page compares it with what it is about to run (the same sum is
worked out in ``extension/labextensions/lessonkit/static/trust.js``). Whoever changes a lesson
renews the list with ``python -m lessonkit.app.trust``; a test fails until that is done.
"""

import hashlib
import json
import sys
from collections.abc import Iterable
from pathlib import Path

from lessonkit.app.places import FOLDER, notebooks_folder

LIST_FILE = FOLDER / "trusted_lessons.json"


def code_hash(sources: Iterable[str]) -> str:
    """Return the SHA-256 of code cells, in their order.

    Parameters
    ----------
    sources : iterable of str
        The text of each code cell.

    Returns
    -------
    str
        64 hexadecimal digits.

    Notes
    -----
    The cells are joined as a compact JSON array in UTF-8, so that moving a line from one cell to
    the next changes the sum.

    Examples
    --------
    >>> code_hash(["a", "b"]) == code_hash(["ab"])
    False
    """
    joined = json.dumps(list(sources), ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(joined.encode("utf-8")).hexdigest()


def notebook_hash(path: Path) -> str:
    """Return the sum over the code cells of a notebook file.

    Parameters
    ----------
    path : Path
        A notebook of format 4.

    Returns
    -------
    str
        64 hexadecimal digits.

    Raises
    ------
    ValueError, KeyError, OSError
        When the file is no notebook or cannot be read.
    """
    notebook = json.loads(path.read_text(encoding="utf-8"))
    sources = [
        cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])
        for cell in notebook["cells"]
        if cell["cell_type"] == "code"
    ]
    return code_hash(sources)


def trusted_lessons() -> dict[str, str]:
    """Return the packaged list: path below the lessons folder to the sum of its code cells.

    Examples
    --------
    >>> all(len(digits) == 64 for digits in trusted_lessons().values())
    True
    """
    return json.loads(LIST_FILE.read_text(encoding="utf-8"))


def current_lessons(folder: Path) -> dict[str, str]:
    """Return the list as it should be for the notebooks that lie in a folder."""
    return {path.name: notebook_hash(path) for path in sorted(folder.glob("[0-9][0-9]_*.ipynb"))}


def renew() -> None:
    """Write the list anew from the notebooks of this checkout."""
    text = json.dumps(current_lessons(notebooks_folder()), indent=1) + "\n"
    LIST_FILE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    renew()
    sys.stdout.write(LIST_FILE.read_text(encoding="utf-8"))
