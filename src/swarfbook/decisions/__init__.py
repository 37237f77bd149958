"""Decisions: what is worked out of a book's records, one module a decision."""
