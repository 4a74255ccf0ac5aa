"""Reads files of check values; one clear sentence for what cannot be read."""

import csv
import json
import math
from dataclasses import dataclass, replace
from pathlib import Path

from lessonkit.models.quantities import QUANTITIES

COLUMNS = ["id", "quantity", "inputs", "expected", "tolerance", "unit", "source", "provenance"]
PROVENANCES = {"read", "derived", "memory"}


@dataclass(frozen=True)
class Check:
    """One check value; `problem` is the sentence that makes it fail before it is compared."""

    id: str
    quantity: str = ""
    inputs: dict | None = None
    expected: float = math.nan
    tolerance: float = math.nan
    unit: str = ""
    source: str = ""
    provenance: str = ""
    problem: str = ""


def read_checks(path):
    """Read all rows of a file; what cannot be read becomes a check with a problem."""
    path = Path(path)
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file, restkey="extra", strict=True)
            missing = [name for name in COLUMNS if name not in (reader.fieldnames or [])]
            if missing:
                return [_problem(path.name, f"{path.name} has no column {', '.join(missing)}.")]
            rows = [_check(row, path.name, reader.line_num) for row in reader]
    except OSError as error:
        return [_problem(path.name, f"{path} cannot be opened: {error.strerror}.")]
    except (UnicodeDecodeError, csv.Error) as error:
        return [_problem(path.name, f"{path.name} is not a CSV file in UTF-8: {error}.")]
    return rows or [_problem(path.name, f"{path.name} has no rows.")]


def merge(files):
    """Join the checks of several files; the same row twice runs once, a changed one twice.

    Test names need ids that differ: the second row of an id carries its file and place.
    """
    merged, seen = [], set()
    for file, checks in files:
        for place, check in enumerate(checks, start=1):
            if check in merged:
                continue
            name = check.id if check.id not in seen else f"{check.id}@{file}:{place}"
            seen.add(check.id)
            merged.append(replace(check, id=name))
    return merged


def _check(row, file, line):
    name = row["id"] or f"{file}-line-{line}"
    where = f"Row {name} of {file}"
    if row.get("extra") or any(row[column] is None for column in COLUMNS):
        return _problem(name, f"{where} does not have one value per column.")
    try:
        inputs = json.loads(row["inputs"])
    except ValueError:
        return _problem(name, f"{where}: the inputs are not a JSON object: {row['inputs']}.")
    if not isinstance(inputs, dict):
        return _problem(name, f"{where}: the inputs are not a JSON object: {row['inputs']}.")
    try:
        expected, tolerance = float(row["expected"]), float(row["tolerance"])
    except ValueError:
        return _problem(
            name,
            f"{where}: expected and tolerance are not both numbers: "
            f"{row['expected']} and {row['tolerance']}.",
        )
    if not (math.isfinite(expected) and math.isfinite(tolerance) and tolerance >= 0.0):
        return _problem(name, f"{where}: expected and tolerance must be finite, tolerance >= 0.")
    if row["provenance"] not in PROVENANCES:
        return _problem(
            name, f"{where}: the provenance {row['provenance']!r} is not read, derived or memory."
        )
    return Check(
        name,
        row["quantity"],
        inputs,
        expected,
        tolerance,
        row["unit"],
        row["source"],
        row["provenance"],
    )


def fault(check):
    """Compare one check value with the model; return a sentence where they differ, else None."""
    if check.problem:
        return check.problem
    quantity = QUANTITIES.get(check.quantity)
    if quantity is None:
        return f"{check.id}: the kit has no quantity {check.quantity}."
    if check.unit != quantity.unit:
        return f"{check.id}: {check.quantity} is in {quantity.unit!r}, the row in {check.unit!r}."
    try:
        value = float(quantity.compute(**check.inputs))
    except (ValueError, TypeError) as error:
        return f"{check.id}: {error}"
    # NaN compares false, so a model that answers NaN is a fault too
    if abs(value - check.expected) <= check.tolerance:
        return None
    return (
        f"{check.id}: {check.quantity} is {value:.7g} {check.unit}, expected "
        f"{check.expected:.7g} within {check.tolerance:.3g} ({check.source}, {check.provenance})."
    )


def _problem(name, sentence):
    return Check(name, problem=sentence)
