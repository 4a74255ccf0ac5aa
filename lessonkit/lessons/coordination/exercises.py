"""The exercises of the lesson on coordination; texts in ``words/en/coordination.toml``.

Every answer comes from the models for the learner's airplane.
"""

from lessonkit.lessons.coordination import turn_questions

QUESTIONS = [
    *turn_questions.QUESTIONS,
]
