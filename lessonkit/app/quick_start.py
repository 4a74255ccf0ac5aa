"""Loaded before Jupyter: its start then takes three seconds less.

jsonschema, which Jupyter loads, works out the whole grammar of internationalised web addresses
as soon as the package rfc3987-syntax is there, and no schema of Jupyter asks for one. Without that
package jsonschema leaves this one check out, as it does wherever the package is not installed.
pytest loads this module first too (`pyproject.toml`), since each of its processes loads nbformat.
"""

import sys

# None makes the import fail as if it were not installed; what is loaded already stays.
sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
