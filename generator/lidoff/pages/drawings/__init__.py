"""Drawings: pure geometry in frozen data; SVG templates set it, and style sheets colour it."""
