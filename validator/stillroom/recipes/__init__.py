"""Recipes: how a food is prepared, as printed or for the jars asked for."""
