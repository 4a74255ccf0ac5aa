"""What the questions of this lesson share."""

LESSON = "coordination"
