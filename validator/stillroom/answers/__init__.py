"""Answers: from records to an answer or a refusal; needs nothing but the standard library."""
