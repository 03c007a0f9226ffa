"""One file per kind of paper: what it needs, what it freezes, how it is laid out, what counts as a change."""
