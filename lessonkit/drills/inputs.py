"""Hands: what the learner does with keys, sliders, pedals and stick, as controls of an airplane.

>>> from lessonkit.drills.clock import VirtualClock
>>> hands = Hands(("aileron", "rudder"), clock=VirtualClock())
>>> hands.press("rudder+")
>>> now = hands.read(0.0), hands.read(0.1)
>>> now[1].rudder, now[1].aileron, now[1].source
(0.25, 0.0, 'keys')
"""

import contextlib
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from lessonkit.drills.controls import CONTROLS, KEYS, PAD, SLIDERS, KeyFeel
from lessonkit.drills.hand_places import HandPlaces, HandsNow
from lessonkit.drills.hand_texts import desk_texts, place_text, setup_texts
from lessonkit.drills.hands_view import HandsView
from lessonkit.drills.pads import Pads, names_of, number_of, places_of
from lessonkit.drills.picture_delay import PictureDelay
from lessonkit.words import NumberError, Preferences, read_number, say
from lessonkit.words.preferences import STANDARD

__all__ = ["Hands", "HandsNow", "HandsView", "KeyFeel"]

PAD_TAKES_OVER = 0.1  # share of travel: a pad at rest trembles, and must not take a control
WAYS = {"-": -1, "+": 1}


class Hands:
    """Keys, sliders and pads of one area in the page; ``hands.view`` is its widget.

    Parameters
    ----------
    controls : sequence of str
        Which of aileron, elevator, rudder, throttle the area has, in the order shown.
    feel : mapping, optional
        A ``KeyFeel`` for controls whose keys shall move them in another way.
    preferences : Preferences
        Language and decimal mark.
    clock : callable
        Time as the real-time loop counts it. [s]

    Attributes
    ----------
    focused, hidden, closed : bool
        The area has the keyboard; its page cannot be seen; it is shown nowhere any more.
    lost : str or None
        Name of a device that was unplugged while it moved a control in this run.
    touches : int
        How often anything was moved.
    pads : Pads
        Devices and assignments.
    delay : PictureDelay
        Pictures sent and acknowledged.
    """

    def __init__(
        self,
        controls: Sequence[str] = ("aileron", "rudder"),
        *,
        feel: Mapping[str, KeyFeel] | None = None,
        preferences: Preferences = STANDARD,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        if not controls or set(controls) - set(CONTROLS) or len(set(controls)) != len(controls):
            raise ValueError(f"hands move some of {', '.join(CONTROLS)}, each once")
        self.controls = tuple(controls)
        self.preferences, self.clock = preferences, clock
        self.pads, self.delay = Pads(), PictureDelay()
        self.focused = self.hidden = self.closed = self._left = False
        self.lost: str | None = None
        self.touches, self.last_touch = 0, clock()
        self._places = HandPlaces({name: (feel or {}).get(name, KeyFeel()) for name in controls})
        self._keys: list[str] = []  # as the page named them
        self._shown: dict[str, float] = {}
        self._pad_was: dict[str, float] = {}
        self._lock = threading.RLock()
        self.view = HandsView(
            setup=setup_texts(self.controls, preferences), flown=list(self.controls)
        )
        self._show_desk()
        self.view.on_msg(lambda _view, message, _buffers: self.receive(message))
        self.view.observe(lambda change: self._on_slid(change["old"], change["new"]), "slid")
        self.view.observe(lambda change: self._on_axes(change["new"]), "axes_now")

    # ------------------------------------------------------------------ reading

    def read(self, now: float | None = None) -> HandsNow:
        """Move what the keys move on to a time [s] and return what the hands do then."""
        with self._lock:
            places = self._places
            places.move_on(self.clock() if now is None else now)
            return HandsNow(
                **places.value,
                sources=dict(places.sources),
                source=places.source,
                focused=self.focused,
                hidden=self.hidden,
                last_touch=self.last_touch,
            )

    @property
    def delay_s(self) -> float | None:
        """Median time from a picture to the answer to it, None where no page measured it [s]."""
        return self.delay.median

    @property
    def flown(self) -> tuple[str, ...]:
        """The controls that the learner moves."""
        return tuple(self.view.flown)

    @property
    def astray(self) -> bool:
        """The learner flies by keys, and in this run they have left the area."""
        keys = {self._places.source, *(self._places.sources[name] for name in self.flown)} == {KEYS}
        return self._left and keys

    # ------------------------------------------------------------------ the run

    def fly(self, *controls: str) -> None:
        """Give the learner these controls; the others stay with the kit, at neutral here."""
        if set(controls) - set(self.controls):
            raise ValueError(f"these hands move only {', '.join(self.controls)}")
        with self._lock:
            self.view.flown = [name for name in self.controls if name in controls]
            self._shown = {n: v for n, v in self._shown.items() if n not in controls}
            self.neutral()

    def begin(self, take_focus: bool = True) -> None:
        """Begin a run: everything neutral, the keyboard to the area, old trouble forgotten."""
        with self._lock:
            self.neutral()
            self.lost, self._left, self.view.running = None, False, True
            self._places.start_clock()
            self.delay.forget()
            self.tell("")
            self._touch()
            for name in self.view.flown:
                self._by_pad(name)  # feet may rest on the pedals already
            if take_focus:
                self.view.send({"do": "focus"})

    def end(self, sentence: str = "", alarm: bool = False) -> None:
        """End a run: keys let go, controls neutral, a sentence shown."""
        with self._lock:
            self.view.running = False
            self.neutral()
            self.tell(sentence, alarm)

    def neutral(self) -> None:
        """Let go of all keys and put every control with a centre to it."""
        with self._lock:
            self._let_go()
            self._places.neutral()
            self.view.send({"do": "release"})
            self._send_places()

    def set(self, control: str, value: float) -> None:
        """Put a control to a share of its travel, such as the power at the start of a run."""
        with self._lock:
            self._places.take(control, value, self._places.sources[control])
            self._send_places()

    def show(self, **places: float) -> None:
        """Show where the kit holds the controls that the learner does not move."""
        self._shown.update(places)

    def tell(self, sentence: str, alarm: bool = False) -> None:
        """Show a sentence under the controls, marked as trouble or not; "" takes it away."""
        self.view.alarm, self.view.note = alarm, sentence

    def picture(self, now: float) -> None:
        """Take note of a picture sent; now and then ask the page when it has been shown."""
        number = self.delay.sent(now)
        if number is not None:
            self._send_places(number)

    @contextlib.contextmanager
    def on_clock(self, clock: Callable[[], float]) -> Iterator[None]:
        """Count time by another clock inside."""
        before, self.clock = self.clock, clock
        self._places.start_clock()
        try:
            yield
        finally:
            self.clock = before
            self._places.start_clock()

    # ------------------------------------------------------------------ as the page does

    def press(self, key: str) -> None:
        """Press a key as the page would: "rudder+", "aileron-"."""
        self.receive({"event": "held", "held": [*self._keys, key]})

    def release(self, *keys: str) -> None:
        """Let go of keys as the page would; without names, of all."""
        left = [key for key in self._keys if keys and key not in keys]
        self.receive({"event": "held", "held": left})

    def slide(self, control: str, value: float) -> None:
        """Move a slider as the page would [share of full travel]."""
        n = self.view.slid.get(control, {}).get("n", 0) + 1
        self.view.slid = {**self.view.slid, control: {"value": value, "n": n}}

    def plug(self, **devices: Sequence[float]) -> None:
        """Plug in these devices with their axes as the page would; unplug all others."""
        named = list(devices.items())
        present = {str(index): name for index, (name, _) in enumerate(named)}
        self.receive({"event": "pads", "present": present})
        places = {str(i): {"name": n, "axes": list(axes)} for i, (n, axes) in enumerate(named)}
        self.view.axes_now = {"n": self.view.axes_now.get("n", 0) + 1, "devices": places}

    def receive(self, message: Any) -> None:
        """Take a message of the page; what is none is passed over."""
        if not isinstance(message, dict):
            return
        with self._lock:
            handler = self._HANDLERS.get(message.get("event"))
            if handler is not None:
                handler(self, message)

    # ------------------------------------------------------------------ events

    def _on_held(self, message: dict[str, Any]) -> None:
        names = message.get("held")
        self._keys = sorted({str(name) for name in names}) if isinstance(names, list) else []
        held: dict[str, int] = {}
        for key in self._keys:
            name, way = key[:-1], WAYS.get(key[-1:])
            if name in self.view.flown and way is not None:
                held[name] = held.get(name, 0) + way
        self._places.hold(held)
        if message.get("touched", True):
            self._touch()

    def _on_focus(self, message: dict[str, Any]) -> None:
        self.focused = message.get("on") is True
        # On one of the area's sliders, or where a device is assigned, the learner still flies.
        self._left = not self.focused and message.get("near") is not True
        if not self.focused:
            self._let_go()

    def _on_hidden(self, message: dict[str, Any]) -> None:
        self.hidden = message.get("on") is True
        self._let_go()

    def _on_shown_or_gone(self, message: dict[str, Any]) -> None:
        self.closed = message["event"] == "closed"
        self.focused = False
        self._let_go()
        self.delay.forget()
        if not self.closed:
            self.hidden = message.get("hidden") is True
            self._send_places()

    def _on_picture(self, message: dict[str, Any]) -> None:
        number = message.get("n")
        if isinstance(number, int):
            self.delay.shown(number, self.clock())

    def _on_typed(self, message: dict[str, Any]) -> None:
        name = message.get("control")
        if name not in self.view.flown:
            return
        try:
            value = read_number(
                str(message.get("text")),
                "percent",
                self.preferences,
                low=CONTROLS[name].low,
                high=1.0,
                name=say(f"drill_inputs.{name}.name", preferences=self.preferences),
            )
        except NumberError as error:
            self.tell(str(error), alarm=True)
            return
        self.tell("")
        self._by_slider(name, value)
        self._send_places()

    def _on_centre(self, _message: dict[str, Any]) -> None:
        self.neutral()
        self._touch()

    def _on_slid(self, old: dict[str, Any], new: dict[str, Any]) -> None:
        with self._lock:
            for name, moved in new.items():
                value = number_of(moved.get("value")) if isinstance(moved, dict) else None
                if name in self.view.flown and value is not None and moved != old.get(name):
                    self._by_slider(name, value)

    # ------------------------------------------------------------------ pads

    def _on_pads(self, message: dict[str, Any]) -> None:
        present = names_of(message.get("present"))
        for name, device in self.pads.plugged(present).items():
            self._pad_was.pop(name, None)
            if self._places.sources[name] == PAD:
                self._places.neutral(name)
                self.lost = device if self.view.running else None
                lost = say("drill_inputs.pad.lost", preferences=self.preferences, device=device)
                self.tell(lost, alarm=True)
        self._show_desk()
        self._send_places()

    def _on_axes(self, sent: dict[str, Any]) -> None:
        with self._lock:
            found = self.pads.moved(places_of(sent.get("devices")))
            if found is not None:
                self._pad_was[found] = 0.0  # moved to be assigned: it has the control at once
            for name in self.view.flown:
                self._by_pad(name)
            if found is not None:
                self._changed_pads(found)
            elif not self.view.running:
                self._send_places()  # a run sends them with its pictures

    def _by_pad(self, name: str) -> None:
        raw = self.pads.raw(name)
        if raw is None:
            return
        axis = self.pads.assigned[name]
        value = axis.share(raw) if CONTROLS[name].centred else axis.lever(raw)
        moved = abs(value - self._pad_was.setdefault(name, value)) > PAD_TAKES_OVER
        if moved:
            self._touch()
            self._pad_was[name] = value
        if moved or self._places.sources[name] == PAD:
            self._places.take(name, value, PAD)

    def _on_pad(self, message: dict[str, Any]) -> None:
        name, do = message.get("control"), message.get("do")
        if name not in self.controls:
            return
        if do == "assign":
            self.pads.assign(name)
        elif do == "reverse":
            self.pads.reverse(name)
        elif do == "centre":
            self.pads.centre(name)
        elif do == "dead_band" and (share := number_of(message.get("share"))) is not None:
            self.pads.set_dead_band(name, share)
        elif do == "forget":
            self.pads.forget(name)
            self._places.neutral(name)
        self._changed_pads(name)

    def _on_stored(self, message: dict[str, Any]) -> None:
        self.pads.restore(message.get("kept"), self.controls, message.get("newer") is True)
        self._changed_pads(*self.controls)

    def _changed_pads(self, *names: str) -> None:
        self.view.kept = self.pads.stored()
        for name in names:
            if name in self.view.flown:
                self._by_pad(name)
        self._show_desk()
        self._send_places()

    def _show_desk(self) -> None:
        self.view.listen = self.pads.wanted()
        self.view.desk = desk_texts(self.pads, self.controls, self.preferences)

    # ------------------------------------------------------------------ inside

    _HANDLERS = {
        "held": _on_held,
        "focus": _on_focus,
        "hidden": _on_hidden,
        "opened": _on_shown_or_gone,
        "closed": _on_shown_or_gone,
        "shown": _on_picture,
        "typed": _on_typed,
        "centre": _on_centre,
        "pads": _on_pads,
        "pad": _on_pad,
        "stored": _on_stored,
    }

    def _by_slider(self, name: str, value: float) -> None:
        self._places.take(name, value, SLIDERS)
        self._touch()

    def _let_go(self) -> None:
        self._keys = []
        self._places.held.clear()

    def _touch(self) -> None:
        self.touches += 1
        self.last_touch = self.clock()

    def _send_places(self, picture: int | None = None) -> None:
        value = self._places.value
        places = {name: self._shown.get(name, value[name]) for name in self.controls}
        message = {"do": "places", "at": {n: round(v, 3) for n, v in places.items()}}
        message["text"] = {n: place_text(v, self.preferences) for n, v in places.items()}
        self.view.send(message if picture is None else {**message, "n": picture})
