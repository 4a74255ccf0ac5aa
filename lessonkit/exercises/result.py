"""What a check gives back."""

from dataclasses import dataclass

NOT_ATTEMPTED = "not_attempted"
INCORRECT = "incorrect"
CLOSE = "close"
CORRECT = "correct"
UNCHECKED = "unchecked"
STATUSES = (NOT_ATTEMPTED, INCORRECT, CLOSE, CORRECT, UNCHECKED)


@dataclass(frozen=True)
class Result:
    """Outcome of one answer.

    Parameters
    ----------
    status : str
        One of `STATUSES`; "unchecked" is an answer that could not be read.
    message : str
        What is so, and why. Plain text.
    next_step : str
        What to do now; never empty, never "try again" alone. Plain text.
    reply : str
        Which misconception or slip was recognised; empty when none was.
    answer : str
        The answer as the record keeps it.
    """

    status: str
    message: str
    next_step: str
    reply: str = ""
    answer: str = ""

    def __post_init__(self) -> None:
        """Refuse a status that nobody knows and an outcome that leads nowhere."""
        if self.status not in STATUSES:
            raise ValueError(f"no status {self.status}")
        if not self.message.strip() or not self.next_step.strip():
            raise ValueError("a result needs a message and a next step")
