"""A page with every part of the look, for the tests alone."""
