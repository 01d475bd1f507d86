"""Computed facts: pure functions on plain values, each giving its work, a module a trade."""
