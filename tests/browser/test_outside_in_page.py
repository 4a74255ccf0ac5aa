"""The view outside by its pixels: a picture's y grows downward, a horizon must not turn with it."""

import io
import json

import pytest

from lessonkit.scenes import OutsideView, Scene, outside_axes, theme
from lessonkit.scenes.view import SceneView, style_sheet

pytestmark = pytest.mark.browser

# The view's own script with a model that only answers what it is asked.
PAGE = """<!doctype html><meta charset="utf-8"><style>{css} body {{ margin: 0; }}</style>
<body data-jp-theme-light="true"><div id="here" style="width:700px"></div>
<script type="module">{script}
const state = {state};
const nothing = () => {{}};
const model = {{ get: (key) => state[key], set: nothing, save_changes: nothing }};
Object.assign(model, {{ on: nothing, off: nothing, send: nothing }});
const view = make_view(); view.initialize({{ model }});
view.render({{ model, el: document.getElementById("here") }});
document.body.dataset.drawn = "yes";
</script>"""


def picture(page, **at):
    """Draw a view and return what colour the page has at a place given in degrees."""
    from PIL import Image  # missing where these tests are not run

    scene = Scene([outside_axes(nose_cutoff_deg=7.0)], width=700.0, height=330.0)
    scene.put(**OutsideView(nose_cutoff_deg=7.0).items(**at))
    view = scene.view
    state = {"background": view.background, "frame": dict(view.frame), "shown": dict(view.shown)}
    state |= {"moved": {"n": view.shown["n"]}, "grabbed": {}, "grab_done": 0}
    script = str(SceneView._esm).replace("export default", "const make_view =")
    page.set_content(PAGE.format(css=style_sheet(), script=script, state=json.dumps(state)))
    page.wait_for_selector("body[data-drawn='yes'] .lk-svg path")
    shot = Image.open(io.BytesIO(page.locator(".lk-svg").screenshot())).convert("RGB")
    axes, frame = scene.axes("outside"), view.frame["axes"][0]["box"]
    scale = shot.width / scene.width

    def colour(right, up):
        (x0, x1), (y0, y1) = axes.x, axes.y
        x = frame[0] + (right - x0) / (x1 - x0) * frame[2]
        y = frame[1] + (y1 - up) / (y1 - y0) * frame[3]
        red, green, blue = shot.getpixel((round(x * scale), round(y * scale)))
        return f"#{red:02x}{green:02x}{blue:02x}"

    return colour


def test_right_wing_down_the_right_of_the_picture_is_ground(page_of_module):
    colour = picture(page_of_module, bank_deg=20.0, heading_deg=3.0, ball_deg=0.0)
    sky, land = theme.GROUNDS["sky"][0], theme.GROUNDS["land"][0]
    assert colour(17.0, 2.0) == land and colour(-17.0, -2.0) == sky
    colour = picture(page_of_module, bank_deg=-20.0, heading_deg=3.0, ball_deg=0.0)
    assert colour(17.0, -2.0) == sky and colour(-17.0, 2.0) == land


def test_nose_left_the_tower_is_right_and_the_ball_is_where_it_is_said(page_of_module):
    colour = picture(page_of_module, bank_deg=0.0, heading_deg=-6.0, ball_deg=4.0)
    assert colour(6.0, 2.0) == theme.ROLES["reference"].light
    assert colour(-6.0, 2.0) == theme.GROUNDS["sky"][0]
    assert colour(4.9, -14.6) == theme.ROLES["main"].light
    assert colour(-4.9, -14.6) == theme.GROUNDS["surface"][0]
