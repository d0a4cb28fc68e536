"""Lidoff: checked records of opened mains USB chargers, and the website made from them."""

__version__ = "0.1.0"
