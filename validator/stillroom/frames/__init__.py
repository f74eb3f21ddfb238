"""Frames: many questions at once, as a data frame, answered in the kind of frame they came in."""
