"""The panel of tools for error without a browser: each tool, its limits, its sentence."""

import re

import pytest

from lessonkit.airplane import (
    built_in_airfield,
    built_in_cards,
    card_from_tables,
    card_to_tables,
    fit_airplane,
)
from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.lessons.power_off_approach.tools import ASKED, OF_TOOL, tools_for_error
from lessonkit.lessons.power_off_approach.tools_flights import ToolBench
from lessonkit.lessons.power_off_approach.tools_story import sentence
from lessonkit.lessons.power_off_approach.tools_trials import HIGH, LOW, answer
from lessonkit.models.s_turn import lined_up_again_height
from lessonkit.panels import LessonContext
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt
from lessonkit.words import Preferences

CARDS = built_in_cards()
HIGH_WING = next(iter(CARDS.values()))


class Record:
    """A record that keeps what it is given."""

    def __init__(self):
        self.events = []

    def append(self, kind, data):
        self.events.append((kind, data))


def context_of(card=HIGH_WING, **changes):
    return LessonContext(
        lesson="07_power_off_approach",
        airplane=fit_airplane(card),
        airfield=built_in_airfield(),
        record=Record(),
        **changes,
    )


def card_with(card=HIGH_WING, **limits):
    tables = card_to_tables(card)
    tables["limits"] |= limits
    return card_from_tables(tables)


@pytest.fixture(scope="module")
def built():
    panel = tools_for_error(context_of())
    panel.skip_prediction()
    return panel


@pytest.fixture
def panel(built):
    """The panel as the lesson starts; building it once saves most of the time."""
    built.reset()
    return built


def plain(text):
    return text.replace("\u00a0", " ")


def use(panel, tool, error_ft=150.0, moment="abeam", **values):
    """Set the controls and return what the tool moves, in feet, and the sentence."""
    with panel.hold():
        panel.control("error").set(m_from_ft(error_ft))
        panel.control("moment").set(moment)
        panel.control("tool").set(tool)
        for key, value in values.items():
            panel.control(key).set(value)
    panel.settle()
    assert panel.last_error is None, panel.last_error
    return ft_from_m(panel.result.chosen.moved), plain(panel.sentence)


def feet_after(sentence, words):
    """Read the feet that a sentence gives before some words."""
    return float(re.search(rf"([\d,]+) ft {words}", sentence)[1].replace(",", ""))


@pytest.mark.parametrize("moment", ["abeam", "base", "final"])
def test_each_tool_for_too_high_shortens_and_says_by_how_much(panel, moment):
    for tool in ("slip", "flap", *(("later",) if moment == "abeam" else ())):
        moved, said = use(panel, tool, moment=moment)
        assert moved < -100.0
        assert feet_after(said, "shorter") == pytest.approx(-moved, abs=5.1)
        down = ft_from_m(panel.result.chosen.result.approach.touchdown.x - MARK)
        said = feet_after(said.split("; touchdown")[1], "beyond the mark")
        assert said == pytest.approx(down, abs=5.1)


def test_each_tool_for_too_low_lengthens(panel):
    for tool in ("earlier", "cut", "hold_flaps"):
        moved, said = use(panel, tool, error_ft=-80.0)
        assert moved > 50.0 and "farther" in said


def test_the_worth_is_the_touchdown_with_less_the_one_without(panel):
    moved, _ = use(panel, "slip")
    situation, result = panel.result.situation, panel.result.chosen.result
    without = situation.without.approach.touchdown.x
    assert moved == pytest.approx(ft_from_m(result.approach.touchdown.x - without), abs=1e-6)
    assert situation.start is None
    assert situation.plan.abeam_height == pytest.approx(m_from_ft(1150.0))


def test_higher_by_so_much_lands_longer_by_the_glide(panel):
    """150 ft at 7 to 8.5 : 1 with this airplane's flaps, wherever it is seen."""
    for moment in ("abeam", "base", "final"):
        use(panel, "slip", error_ft=150.0, moment=moment)
        long = ft_from_m(panel.result.situation.beyond)
        use(panel, "slip", error_ft=0.0, moment=moment)
        assert 7.0 < (long - ft_from_m(panel.result.situation.beyond)) / 150.0 < 8.6


@pytest.mark.parametrize(
    ("tool", "key", "less", "more"),
    [
        ("slip", "rudder", 0.5, 1.0),
        ("slip", "from_height", m_from_ft(300.0), m_from_ft(450.0)),
        ("later", "seconds", 2.0, 5.0),
        ("flap", "from_height", m_from_ft(200.0), m_from_ft(400.0)),
    ],
)
def test_more_of_a_tool_shortens_more(panel, tool, key, less, more):
    little, _ = use(panel, tool, **{key: less})
    much, _ = use(panel, tool, **{key: more})
    assert much < little - 50.0


def test_limits_are_looked_for_once_the_controls_rest(panel):
    use(panel, "slip")
    panel.control("error").slide(m_from_ft(140.0))
    assert not panel.result.whole and panel.result.trials["slip"].limit is None
    assert "Still too long." in panel.sentence
    panel.settle()
    assert panel.result.whole and panel.result.trials["slip"].limit is not None
    assert "Even at its limit" in panel.sentence


def test_no_tool_goes_beyond_its_limit(panel):
    use(panel, "slip")
    for key in ("slip", "flap", "later"):
        trial = panel.result.trials[key]
        assert trial.limit.moved <= trial.moved + 3.0
    assert panel.result.trials["later"].limit.lined_up_height >= m_from_ft(300.0)


def test_slip_out_later_is_worth_more(panel):
    high, _ = use(panel, "slip", to_height=m_from_ft(250.0))
    low, _ = use(panel, "slip", to_height=m_from_ft(60.0))
    assert low < high - 50.0


def test_s_turns_end_above_the_floor_or_are_refused(panel):
    moved, said = use(panel, "s_turn", error_ft=300.0, floor=m_from_ft(500.0))
    assert moved == 0.0 and "below your instructor's floor of 500 ft" in said
    moved, said = use(panel, "s_turn", error_ft=300.0, floor=m_from_ft(300.0))
    assert moved < -100.0
    ended = lined_up_again_height(panel.result.chosen.result.approach)
    assert m_from_ft(300.0) <= ended
    assert f"lined up again at {round(ft_from_m(ended), -1):.0f} ft" in said
    wider, _ = use(panel, "s_turn", error_ft=300.0, floor=m_from_ft(200.0), excursion=45.0)
    assert wider < moved - 50.0
    assert "Least margin above the stall" in plain(panel.sentence)


def test_s_turns_with_no_room_at_all_say_so(panel):
    moved, said = use(panel, "s_turn")
    assert moved == 0.0 and "no room for one" in said
    assert "no room above floor" in panel.scene.item(f"name_{HIGH.index('s_turn')}")["text"]


@pytest.mark.parametrize(
    ("rule", "refused_with"),
    [
        ("allowed", []),
        ("not with full flaps", [30.0]),
        ("not with flaps", [20.0, 30.0]),
        ("prohibited", [0.0, 20.0, 30.0]),
    ],
)
def test_the_cards_slip_limitation_is_kept(built, rule, refused_with):
    built.reset()
    context = context_of(card_with(slips=rule))
    bench = ToolBench(context)
    for flap in (0.0, 20.0, 30.0):
        result = answer(bench, {**built.values, "final_flap": flap}, "draft")
        said, refused = plain(sentence(result, context)), flap in refused_with
        assert (result.chosen.moved == 0.0) == refused
        assert ("The card says" in said) == refused
        assert refused or "wrong in a slip" in said


def test_a_card_that_says_nothing_about_slips(panel):
    tables = card_to_tables(HIGH_WING)
    del tables["limits"]["slips"]
    context = context_of(card_from_tables(tables))
    said = plain(sentence(answer(ToolBench(context), panel.values, "draft"), context))
    assert "does not say whether slips are allowed" in said
    assert "does not say" not in use(panel, "slip")[1]


def test_flaps_say_their_limit_and_stay_down(panel):
    _, said = use(panel, "flap")
    assert "below VFE of" in said and "never retracted" in said
    assert "the card allows no slip any more" in said
    _, said = use(panel, "flap", final_flap=30.0)
    assert "nothing is left to add" in said
    _, said = use(panel, "hold_flaps", error_ft=-80.0, moment="final")
    assert "never retracted" in said and "go around" in said


def test_flaps_above_vfe_are_refused(panel):
    tables = card_to_tables(HIGH_WING)
    tables["speeds"]["VFE"] = 64
    context = context_of(card_from_tables(tables))
    result = answer(ToolBench(context), {**panel.values, "tool": "flap"}, "draft")
    assert result.chosen.moved == 0.0
    assert "slow down first" in sentence(result, context)


def test_too_low_for_every_tool_says_power_and_go_around(panel):
    for tool in ("cut", "hold_flaps", "best_glide", "stretch", "earlier"):
        _, said = use(panel, tool, error_ft=-150.0, moment="final")
        assert "Too low for every tool: power now, and go around." in said
    _, said = use(panel, "earlier", error_ft=-80.0)
    assert "go around" not in said.replace("by 300 ft or go around", "")


def test_too_high_for_all_that_is_left_gives_up_the_mark(panel):
    _, said = use(panel, "slip", error_ft=300.0, moment="final")
    assert "give up the mark and go around" in said
    _, said = use(panel, "slip", error_ft=50.0, moment="final")
    assert "go around" not in said and "Inside the 0 to 200 ft" in said


def test_flaps_up_and_slow_says_that_the_glide_is_too_flat(panel):
    """Below 1.24 times the stall speed flaps up; at the planned speed it is not said."""
    with_speed = {"error_ft": -80.0, "final_flap": 0.0}
    _, said = use(panel, "stretch", speed_off=mps_from_kt(8.0), **with_speed)
    assert "glides worse than the kit reckons: it may be 850 ft shorter" in said
    assert "glides worse" not in use(panel, "cut", **with_speed)[1]


def test_too_much_lands_short_and_says_so(panel):
    _, said = use(panel, "later", error_ft=50.0, seconds=6.0)
    assert "land short of the mark" in said


def test_a_tool_for_the_other_error_is_told(panel):
    _, said = use(panel, "cut", error_ft=150.0)
    assert "takes you still farther" in said
    assert panel.result.shown == (*HIGH, "cut")
    _, said = use(panel, "slip", error_ft=-50.0)
    assert "still shorter" in said and panel.result.shown == (*LOW, "slip")
    assert "no slip helps" in said and "nose attitude" not in said
    for tool in ("earlier", "cut"):
        _, said = use(panel, tool, error_ft=0.0, cut=4.0)
        assert "nothing was wrong" in said and "too high" not in said


def test_raising_the_nose_is_no_tool(panel):
    moved, said = use(panel, "stretch", error_ft=-80.0, speed_off=mps_from_kt(5.0))
    assert abs(moved) < 60.0 and "Never stretch a glide" in said
    calm = panel.result.chosen.result.margin
    _, said = use(panel, "stretch", error_ft=-80.0, speed_off=mps_from_kt(12.0))
    assert panel.result.chosen.result.margin < calm - mps_from_kt(5.0)
    assert "stall" in said


def test_turns_that_are_flown_are_no_tools_any_more(panel):
    for tool, error in (("later", 100.0), ("earlier", -80.0)):
        _, said = use(panel, tool, error_ft=error, moment="base")
        assert "That turn is behind you" in said


def test_an_error_below_the_ground_is_one_sentence(panel, monkeypatch):
    monkeypatch.delenv("LESSONKIT_STRICT", raising=False)
    with panel.hold():
        panel.control("moment").set("final")
        panel.control("final_flap").set(30.0)
        panel.control("error").set(m_from_ft(-300.0))
    wrong = panel.error
    panel.reset()
    assert panel.error == ""
    assert wrong == "" or ("below the ground" in wrong and wrong.count(". ") == 0)


def test_only_the_controls_of_the_picked_tool_are_shown(panel):
    for tool, own in OF_TOOL.items():
        panel.control("tool").set(tool)
        shown = {
            key
            for keys in OF_TOOL.values()
            for key in keys
            if panel.control(key).widget.layout.display != "none"
        }
        assert shown == set(own)


def test_nothing_of_the_answer_is_shown_before_the_prediction():
    panel = tools_for_error(context_of())
    assert "shorter" not in panel.sentence
    assert not [name for name in panel.scene.names() if name.startswith(("bar_", "limit_"))]
    assert "shorter" not in panel.scene.item("name_0")["text"]
    panel.predict("slip")
    panel.settle()
    assert "shorter" in panel.sentence and panel.scene.item("bar_0")
    best = min(ASKED, key=lambda key: panel.result.trials[key].moved)
    assert best == "later"
    assert "Turn base later" in plain(panel.prediction.text)
    kind, data = panel.context.record.events[0]
    assert kind == "prediction" and data["answer"] == "slip"
    panel.control("error").slide(m_from_ft(100.0))
    assert "Turn base later" not in plain(panel.prediction.text)  # another question by now


def test_bars_reach_from_the_touchdown_without_to_the_one_with(panel):
    use(panel, "slip")
    row = HIGH.index("slip")
    bar, trial = panel.scene.item(f"bar_{row}"), panel.result.chosen
    start = panel.result.situation.beyond
    assert sorted(set(bar["x"])) == pytest.approx(sorted([start + trial.moved, start]), abs=1.0)
    limit = panel.scene.item(f"limit_end_{row}")
    assert limit["x"] == [pytest.approx(start + trial.limit.moved, abs=1.0)]
    text = plain(panel.scene.item(f"name_{row}")["text"])
    assert feet_after(text, "shorter") == pytest.approx(-ft_from_m(trial.moved), abs=5.1)


def test_what_can_be_grabbed_moves_its_control(panel):
    use(panel, "slip")
    item = panel.scene.item("to")
    panel.scene.grab("to_height", item["x"][0], m_from_ft(198.0), "end")
    assert panel.values["to_height"] == pytest.approx(m_from_ft(200.0), abs=1.0)
    use(panel, "s_turn", error_ft=300.0)
    panel.scene.grab("floor", 0.0, m_from_ft(300.0), "end")
    assert panel.values["floor"] == pytest.approx(m_from_ft(300.0), abs=1.0)
    assert "floor 300 ft" in plain(panel.scene.item("floor_text")["text"])


@pytest.mark.parametrize("key", list(CARDS))
def test_every_invented_airplane_has_worths_of_a_believable_size(panel, key):
    bench = ToolBench(context_of(CARDS[key]))
    values = {**panel.values, "final_flap": bench.first_flap}
    result = answer(bench, values, "draft")
    moved = {name: -ft_from_m(trial.moved) for name, trial in result.trials.items()}
    # A final of some 350 ft of height at about 8 : 1 is 2,800 ft: a quarter more sink takes 500.
    assert 300.0 < moved["slip"] < 700.0
    assert 150.0 < moved["flap"] < 500.0
    # Three seconds are some 330 ft out, and as much back.
    assert 500.0 < moved["later"] < 750.0
    assert result.band == pytest.approx(m_from_ft(400.0))


def test_units_of_the_learner(panel):
    metric = Preferences(speed_unit="mph", decimal_mark=",")
    other = tools_for_error(context_of(preferences=metric))
    other.skip_prediction()
    _, said = use(other, "stretch", error_ft=-80.0)
    assert "mph" in said and "kt" not in said
    assert "1.270 ft beyond" in use(other, "slip")[1] or "1.26" in plain(other.sentence)
