"""A model call that several parts of a question share is made once."""

import functools
from collections import OrderedDict
from collections.abc import Callable, Mapping
from typing import TypeVar

Found = TypeVar("Found")


def remembered(function: Callable[..., Found], most: int = 12) -> Callable[..., Found]:
    """Return the function with its last results kept.

    Parameters
    ----------
    function : callable
        Function of airplane, values and perhaps settings that depends on nothing else.
    most : int
        How many results are kept.

    Returns
    -------
    callable
        Same call, same results.

    Examples
    --------
    >>> calls = []
    >>> fly = remembered(lambda airplane, values: calls.append(1) or values["height"])
    >>> airplane = object()
    >>> fly(airplane, {"height": 3.0}), fly(airplane, {"height": 3.0}), len(calls)
    (3.0, 3.0, 1)
    """
    kept: OrderedDict[tuple, tuple[object, Found]] = OrderedDict()

    @functools.wraps(function)
    def call(airplane: object, *numbers: Mapping[str, float]) -> Found:
        key = (id(airplane), *(tuple(sorted(one.items())) for one in numbers))
        # The airplane is kept with the result: its id stays its own for as long.
        if key in kept and kept[key][0] is airplane:
            kept.move_to_end(key)
        else:
            kept[key] = airplane, function(airplane, *numbers)
            while len(kept) > most:
                kept.popitem(last=False)
        return kept[key][1]

    return call
