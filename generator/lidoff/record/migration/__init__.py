"""Records of an earlier format, brought to the present one step at a time."""
