"""What a change of records means: facts, figures, findings, table cells and names that move between two revisions."""
