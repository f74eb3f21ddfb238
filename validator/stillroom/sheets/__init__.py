"""Sheets: what people see, and the documents that programs read."""
