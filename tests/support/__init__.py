"""Helpers that more than one part of the tests uses."""
