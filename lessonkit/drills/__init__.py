"""Flying by hand: what the learner moves, the steps in real time, traces, score, diagnosis.

Nothing is imported here; each name is taken from its module. The whole in twenty lines::

    from lessonkit.drills.inputs import Hands
    from lessonkit.drills.loop import RealTimeLoop

    def by_hand(airplane, scene):                       # a Scene with the items to be moved
        hands = Hands(("aileron", "rudder"))            # keys, sliders, pads; hands.view is shown
        flight = {"state": LateralState(0.0, 0.0, 0.0, 0.0, 0.0)}

        def step(t, now):                               # 50 times a second; now: HandsNow
            flight["state"] = flown(airplane, flight["state"], now.aileron, now.rudder)
            trace.add(time=t, rudder=now.rudder)        # t counts steps: it never runs late

        def draw():                                     # 24 times a second; one message
            with scene.batch():
                scene.put(**outside_items(..., flight["state"]))

        def over(stop):                                 # stop.key, stop.sentence, stop.error
            start.disabled = False                      # hands.view shows the sentence itself

        loop = RealTimeLoop(step, draw, name="rolls_by_hand", hands=hands, seconds=30.0)
        loop.on_stop(over)
        start, halt = ipywidgets.Button(description=...), ipywidgets.Button(description=...)
        start.on_click(lambda _: loop.start())          # moves the focus to the keys as well
        halt.on_click(lambda _: loop.stop())
        return ipywidgets.VBox([scene.view, hands.view, ipywidgets.HBox([start, halt])])

Build the loop in the cell (there it finds the notebook's event loop), start it from a button.
In tests and self-checks nothing waits: ``loop.run_for(30.0, each)`` flies thirty seconds at
once; ``each(t)`` may press keys by ``hands.press("rudder+")`` and ``hands.release("rudder+")``,
or ``hands.slide("rudder", 0.2)``. ``hands.fly("rudder")`` leaves the other controls to the kit and
``hands.show(aileron=0.3)`` shows where it holds them. Afterwards: ``hands.delay_s`` (measured
delay from a picture to the learner's answer, None without a page), ``loop.lateness``,
``loop.dropped_s``, and for the trace ``now.sources["rudder"]``: "keys", "sliders" or "pad".
A stopped loop goes on where it was with ``loop.resume()`` and begins anew with ``loop.start()``.
"""
