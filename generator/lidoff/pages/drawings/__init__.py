"""Drawings: pure geometry in frozen data; `drawings_html` and a template set it, and style sheets colour it."""
