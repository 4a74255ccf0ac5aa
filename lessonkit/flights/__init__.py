"""Recorded or computed motion against time, and its CSV form."""

from lessonkit.flights.csv_reading import read_recording, recording_from_text
from lessonkit.flights.csv_writing import recording_text, write_recording
from lessonkit.flights.from_history import recording_from_history
from lessonkit.flights.recording import Recording, RecordingError

__all__ = [
    "Recording",
    "RecordingError",
    "read_recording",
    "recording_from_history",
    "recording_from_text",
    "recording_text",
    "write_recording",
]
