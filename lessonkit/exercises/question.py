"""A question is data: what is asked, how it is answered by the models, what goes wrong.

Texts belong to it by key. For a question `glide_distance` of the lesson `power_off_approach`
they stand in ``words/<language>/power_off_approach.toml`` under ``[exercise.glide_distance]``:
``prompt``, ``hint.<name>``, ``reply.<misconception>``, ``next``, ``solution``, ``source``, and
for a choice or an order ``option.<key>``. They may use the names of the variables, of the facts,
``{answer}``, ``{tolerance}`` and ``{airplane}``.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from lessonkit.words import texts

# Levels of learning, Aviation Instructor's Handbook FAA-H-8083-9 (names from memory).
LEVELS = ("rote", "understanding", "application", "correlation")

Values = Mapping[str, float]


@dataclass(frozen=True)
class Variable:
    """A number of the prompt that each seed draws anew.

    Parameters
    ----------
    name : str
        As in the texts.
    kind : str
        Kind of quantity of the number formatter.
    low, high : float
        Range, both ends included. [SI, degrees for angles]
    step : float
        Distance of the values that may be drawn. [as `low`]
    """

    name: str
    kind: str
    low: float
    high: float
    step: float

    def values(self) -> list[float]:
        """Return all values that may be drawn, ascending."""
        count = int((self.high - self.low) / self.step + 1e-9)
        return [self.low + self.step * index for index in range(count + 1)]


@dataclass(frozen=True)
class Fact:
    """A number that a text names.

    Parameters
    ----------
    value : float
        [SI, degrees for angles]
    kind : str
        Kind of quantity of the number formatter.
    digits : int, optional
        Decimals; the kind's own number without it.
    suffix : str
        What stands behind the unit, such as "IAS".
    also : Fact, optional
        The same thing in another way, in brackets behind it where it reads otherwise: a wind in
        knots for a learner in miles per hour, "45 kt IAS (51 kt CAS)".
    """

    value: float
    kind: str
    digits: int | None = None
    suffix: str = ""
    also: "Fact | None" = None


@dataclass(frozen=True)
class Tolerance:
    """How far from the model's answer a number may lie, in the quantity itself.

    Parameters
    ----------
    within : float
        Up to here it is correct. [SI]
    close : float
        Up to here it is close. [SI]
    """

    within: float
    close: float


@dataclass(frozen=True)
class Misconception:
    """A way of going wrong that gets a reply of its own.

    Parameters
    ----------
    key : str
        Its reply is the text ``reply.<key>``.
    wrong : callable, str or pair of str
        How it is recognised. Number: a function of airplane and values that gives the number a
        learner with this idea comes to. Choice: the option it leads to. Order: two steps that
        it puts in this order, and that belong in the other.
    """

    key: str
    wrong: Callable[[object, Values], float] | str | tuple[str, str]


@dataclass(frozen=True)
class Question:
    """One question with everything that is needed to ask, check and explain it.

    Parameters
    ----------
    key : str
        Unique in its lesson.
    lesson : str
        Name of the lesson's folder, and of its text file.
    kind : str
        "number", "choice" or "order": a name in `lessonkit.exercises.KINDS`.
    level : str
        One of `LEVELS`.
    answer : callable
        Function of airplane and values; calls the models. Gives a number in SI, the key of an
        option, or the keys of the steps in the right order.
    variables : tuple of Variable
        What the seed draws.
    facts : callable
        Function of airplane and values that gives the numbers of the texts by name: those of
        the prompt, and those of the worked solution.
    hints : tuple of str
        From nudge to method; texts ``hint.<name>``.
    misconceptions : tuple of Misconception
        At least two for a number or a choice.
    quantity : str
        Number: kind of quantity of the answer.
    tolerance : Tolerance, optional
        Number: needed.
    airspeeds : callable, optional
        Number: the same speed as another airspeed, by name ("ias", "tas", "ground speed").
    options : tuple of str
        Choice: keys of the options.
    digits : int, optional
        Number: decimals of the answer as shown.
    usable : callable
        Function of airplane and values: False for numbers that make no sense together; others
        are drawn then.
    """

    key: str
    lesson: str
    kind: str
    level: str
    answer: Callable[[object, Values], object]
    variables: tuple[Variable, ...] = ()
    facts: Callable[[object, Values], Mapping[str, Fact]] = lambda airplane, values: {}
    hints: tuple[str, ...] = ("nudge", "idea", "method")
    misconceptions: tuple[Misconception, ...] = ()
    quantity: str = ""
    tolerance: Tolerance | None = None
    airspeeds: Callable[[object, Values], Mapping[str, float]] | None = None
    options: tuple[str, ...] = ()
    digits: int | None = None
    usable: Callable[[object, Values], bool] = lambda airplane, values: True

    @property
    def record_key(self) -> str:
        """Key in the learner's record: lesson and key, the same on every machine."""
        return f"{self.lesson}.{self.key}"

    @property
    def text_key(self) -> str:
        """Where the texts begin: "power_off_approach.exercise.glide_distance"."""
        return f"{self.lesson}.exercise.{self.key}"

    @property
    def source(self) -> str:
        """Where the question's rule or formula comes from."""
        return texts(self.lesson)[f"{self.text_key}.source"]
