"""Entries -> frames -> tables, statistics and charts. pandas starts here."""
