"""The terminal program in a browser: a small server, and one process of the screen for each tab."""
