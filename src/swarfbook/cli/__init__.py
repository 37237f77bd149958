"""The command line: one face of the decisions; stdout is data, stderr is narration."""
