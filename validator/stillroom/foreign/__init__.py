"""A table that somebody else wrote, read as it stands and held against what is published."""
