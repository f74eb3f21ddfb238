"""Findings: a package that may be hostile, and what is wrong with it."""
