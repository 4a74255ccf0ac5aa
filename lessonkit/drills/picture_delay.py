"""How long a picture takes to be seen and an answer to come back, measured picture by picture."""

import statistics
from collections import deque

KEPT = 120  # round trips: about five seconds of pictures
EVERY = 2  # pictures of which one is acknowledged: each answer costs page and kernel a message
MOST_WAITING = 2  # answers on their way; a slower page gets fewer pictures, never older ones


class PictureDelay:
    """Counts pictures sent and acknowledged; one in ``EVERY`` is asked about.

    The time from sending a picture until its acknowledgement is back is what the learner's answer
    to it takes on the way: the page draws it, and a key pressed at that moment would arrive when
    the acknowledgement does. The screen's own delay is not in it.

    Attributes
    ----------
    acknowledged : int
        Answers that came.
    """

    def __init__(self) -> None:
        self._sent: dict[int, float] = {}
        self._trips: deque[float] = deque(maxlen=KEPT)
        self._serial = 0
        self.acknowledged = 0

    def sent(self, now: float) -> int | None:
        """Take note of a picture sent now [s]; return its number if the page shall answer."""
        self._serial += 1
        if self._serial % EVERY:
            return None
        self._sent[self._serial] = now
        return self._serial

    @property
    def asked(self) -> int | None:
        """Number of the newest picture whose answer is awaited."""
        return max(self._sent, default=None)

    def shown(self, number: int, now: float) -> None:
        """Take note that a picture's acknowledgement came back now [s]; earlier ones are done."""
        if number in self._sent:
            self._trips.append(now - self._sent[number])
            self.acknowledged += 1
            self._sent = {n: sent for n, sent in self._sent.items() if n > number}

    @property
    def crowded(self) -> bool:
        """Whether the page is so far behind that the next picture has to wait."""
        return len(self._sent) >= MOST_WAITING

    def forget(self) -> None:
        """Give up what is on its way: its page is gone."""
        self._sent.clear()

    @property
    def trips(self) -> list[float]:
        """The last round trips [s]."""
        return list(self._trips)

    @property
    def median(self) -> float | None:
        """Median round trip of the last pictures, None before the first [s]."""
        return statistics.median(self._trips) if self._trips else None
