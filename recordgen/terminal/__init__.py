"""Answers as text that reads well at 80 columns, and as JSON."""
