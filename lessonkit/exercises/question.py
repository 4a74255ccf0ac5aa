"""A question is data: what is asked, how it is answered by the models, what goes wrong.

Texts belong to it by key. For a question `glide_distance` of the lesson `power_off_approach`
they stand in ``words/<language>/power_off_approach.toml`` under ``[exercise.glide_distance]``:
``title`` (two to five words), ``prompt``, ``hint.<name>``, ``reply.<misconception>``, ``next``,
``solution`` and ``source``. They may use the names of the variables, of the facts, ``{tolerance}``
and ``{airplane}``; the solution has ``{answer}`` too. What else a kind needs:

==========  ======================================================================================
"number"    a reply may use ``{typed}``.
"choice"    ``option.<key>``, ``reply.correct``.
"order"     ``option.<key>`` of each step, ``reply.correct``.
"mark"      ``picture.<key>`` for axes, labels and ``alt``, ``reply.correct``. A reply may use
            ``{typed}``, the place that was marked; the solution ``{answer_x}`` and ``{answer_y}``
            instead of ``{answer}``.
"set"       ``setting.<name>`` for each setting, ``reply.correct``. Replies may use ``{outcome}``,
            what the learner's settings lead to; the solution ``{reference}``, settings that do
            it, and ``{reference_<name>}``, one of them. With a picture: ``picture.<key>``.
"judge"     ``aspect.<key>``, ``option.<key>``, ``why.<aspect>`` (what the picture shows of it, with
            numbers), ``picture.<key>``, ``reply.correct``.
==========  ======================================================================================

A small question of each of the last three stands in ``tests/exercises/sample_questions.py``.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from lessonkit.exercises.picture import Picture
from lessonkit.words import texts

# Levels of learning, Aviation Instructor's Handbook FAA-H-8083-9 (names from memory).
LEVELS = ("rote", "understanding", "application", "correlation")

Values = Mapping[str, float]
Point = tuple[float, float]


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
class Phrase:
    """Some words that a text names, with numbers of their own: "calm air", "50 ft short of it".

    Parameters
    ----------
    key : str
        Key of the text in the words files, whole.
    facts : mapping of str to Fact
        The numbers that it names, beside those of the question.
    """

    key: str
    facts: Mapping[str, Fact] = field(default_factory=dict)


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
        How it is recognised.
        Number: function of airplane and values; the number a learner with this idea comes to.
        Choice: the option it leads to.
        Order: two steps that it puts in this order, and that belong in the other.
        Mark: function of airplane and values; the place (x, y) it leads to.
        Set: function of airplane, values and settings; True where the settings show this idea.
        Judge: an aspect and the option it leads to.
    example : callable, optional
        Set: needed; function of airplane and values that gives settings with this idea.
    despite : bool
        Set: recognised even where the outcome is right: the right end by the wrong means.
    """

    key: str
    wrong: Callable[..., object] | str | tuple[str, str]
    example: Callable[[object, Values], Values] | None = None
    despite: bool = False


@dataclass(frozen=True)
class Mark:
    """How a place is marked in the picture of a question of the kind "mark".

    Parameters
    ----------
    start : callable
        Function of airplane and values: where the cross stands at first, (x, y). Not near the
        answer. [SI]
    along : {"both", "x", "y"}
        Directions in which it is moved and judged; with "x" or "y" the other one stays at the
        start's.
    axes : str
        Name of the picture's axes; the first ones without it.
    y_weight : float
        How many times an error along y counts: 5 in a side view in which 30 m of height weigh as
        much as 150 m of distance.
    """

    start: Callable[[object, Values], Point]
    along: str = "both"
    axes: str = ""
    y_weight: float = 1.0


@dataclass(frozen=True)
class Setting:
    """A control of a question of the kind "set"; its name is the text ``setting.<name>``.

    Parameters
    ----------
    name : str
        As in the texts.
    kind : str
        Kind of quantity of the number formatter.
    low, high, step : float
        Range and step. [SI, degrees for angles]
    start : float
        Where it stands at first. [as `low`]
    digits : int, optional
        Decimals shown; as many as the step needs without it.
    """

    name: str
    kind: str
    low: float
    high: float
    step: float
    start: float
    digits: int | None = None


@dataclass(frozen=True)
class Aspect:
    """One thing to judge of a flight; texts ``aspect.<key>``, ``option.<option>``, ``why.<key>``.

    Parameters
    ----------
    key : str
        Such as "abeam_height".
    options : tuple of str
        Two to five, in the order shown, such as ("low", "as_planned", "high"); aspects may share
        them.
    """

    key: str
    options: tuple[str, ...]


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
        "number", "choice", "order", "mark", "set" or "judge": a name in
        `lessonkit.exercises.KINDS`.
    level : str
        One of `LEVELS`.
    answer : callable
        Function of airplane and values; calls the models. Number: the number in SI. Choice: the
        key of an option. Order: the keys of the steps in the right order. Mark: the place (x, y)
        in SI. Set: the outcome that is wanted, in SI. Judge: for each aspect the option that the
        flight shown deserves.
    variables : tuple of Variable
        What the seed draws.
    facts : callable
        Function of airplane and values that gives the numbers of the texts by name: those of
        the prompt, and those of the worked solution.
    hints : tuple of str
        From nudge to method; texts ``hint.<name>``.
    misconceptions : tuple of Misconception
        At least two for a number, choice, mark, set or judge.
    quantity : str
        Number: kind of quantity of the answer. Mark: kind of quantity of a distance in the
        picture, for "within 300 ft". Set: kind of quantity of the outcome.
    tolerance : Tolerance, optional
        Number, mark, set: needed. Mark: distance from the right place.
    airspeeds : callable, optional
        Number: the same speed as another airspeed, by name ("ias", "cas", "tas", "ground_speed").
    options : tuple of str
        Choice: keys of the options.
    digits : int, optional
        Number, set: decimals of the answer as shown.
    reads : callable, optional
        Mark in one direction, set: function of the place or outcome [SI] that gives the Phrase
        in which it is said, "530 ft before the threshold" for a number below zero.
    usable : callable
        Function of airplane and values: False for numbers that make no sense together; others
        are drawn then.
    picture : callable, optional
        Mark, judge: needed; function of airplane and values. Set: optional; function of
        airplane, values and settings: it follows the controls, and must not show the outcome.
    mark : Mark, optional
        Mark: needed.
    settings : tuple of Setting, or callable
        Set: needed; or a function of airplane and values that gives the tuple, where ranges
        depend on them.
    outcome : callable, optional
        Set: needed; function of airplane, values and settings (by name, SI) that calls the
        models. NaN where the settings lead to none.
    reference : callable, optional
        Set: needed; function of airplane and values: settings that reach the answer within the
        tolerance, for the solution and the key.
    aspects : tuple of Aspect
        Judge: two or more.

    Notes
    -----
    Facts, answer, picture and outcome are called one after the other: a flight that they share is
    flown once with `lessonkit.exercises.remembered`.
    """

    key: str
    lesson: str
    kind: str
    level: str
    answer: Callable[[object, Values], object]
    variables: tuple[Variable, ...] = ()
    facts: Callable[[object, Values], Mapping[str, Fact | Phrase]] = lambda airplane, values: {}
    hints: tuple[str, ...] = ("nudge", "idea", "method")
    misconceptions: tuple[Misconception, ...] = ()
    quantity: str = ""
    tolerance: Tolerance | None = None
    airspeeds: Callable[[object, Values], Mapping[str, float]] | None = None
    options: tuple[str, ...] = ()
    digits: int | None = None
    reads: Callable[[float], Phrase] | None = None
    usable: Callable[[object, Values], bool] = lambda airplane, values: True
    picture: Callable[..., Picture] | None = None
    mark: Mark | None = None
    settings: tuple[Setting, ...] | Callable[[object, Values], tuple[Setting, ...]] = ()
    outcome: Callable[[object, Values, Values], float] | None = None
    reference: Callable[[object, Values], Values] | None = None
    aspects: tuple[Aspect, ...] = ()

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
