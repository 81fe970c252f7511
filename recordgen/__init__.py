"""Electrical building records as plain YAML, checked, computed and rendered as a site."""

__version__ = "0.1.0.dev0"
