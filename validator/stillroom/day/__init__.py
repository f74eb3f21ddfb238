"""Day: a canning day before it begins."""
