"""Reports: decisions as text for people, the same words for the command line, the screen and paper."""
