"""Run: what happened at the stove, judged, and the season it belongs to."""
