"""Export: every table of a package with its types, keys and descriptions, in the forms that other programs read."""
