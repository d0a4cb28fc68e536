"""Results kept from run to run, under digests of all that they rest on; an odd file counts as missing."""
