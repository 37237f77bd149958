"""The job sheet: one page to pin up at the machine, for the terminal, a browser and a printer."""
