"""One record with its figures -> the rows that tables take from it: each product counts for itself."""
