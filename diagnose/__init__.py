"""Needles Last: find the mechanical fault before the needle is turned."""

__version__ = "0.1.0"
