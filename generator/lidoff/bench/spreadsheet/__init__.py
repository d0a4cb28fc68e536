"""Tables that people have already, as CSV or with tabs: cells with their places, and records from their rows."""
