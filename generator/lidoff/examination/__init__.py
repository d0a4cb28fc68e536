"""Record files -> what is known of each on its own: read, derived, checked, and kept for the next run."""
