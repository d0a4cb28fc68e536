"""Mends that are safe to make without asking: what is meant is certain, and nothing is lost."""
