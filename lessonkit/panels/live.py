"""The live sentence: the result in words, after each change."""

from lessonkit.panels.text import set_text, text_block
from lessonkit.scenes import Scene


class LiveSentence:
    """Shows the result in words, under the scene or, where there is none, in a line of its own.

    Under a scene it travels in the same message as the picture, and a screen reader hears it
    after a moment of quiet rather than at every step of a drag.
    """

    def __init__(self, scene: Scene | None) -> None:
        self.scene = scene
        self.widget = None if scene else text_block(css="lk-sentence", alert=True)
        self.text = ""

    def show(self, text: str) -> None:
        """Show a sentence."""
        self.text = text
        if self.scene:
            self.scene.tell(sentence=text)
        else:
            set_text(self.widget, text)
