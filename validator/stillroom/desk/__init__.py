"""Desk: two versions of the data side by side."""
