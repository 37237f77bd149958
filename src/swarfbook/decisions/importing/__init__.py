"""Records from tables of other programs: which column goes to which key, what is new, what differs."""
