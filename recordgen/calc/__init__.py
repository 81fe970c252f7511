"""Screening calculations: one module a quantity."""
