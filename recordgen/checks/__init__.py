"""Findings: one module a check, one table of them."""
