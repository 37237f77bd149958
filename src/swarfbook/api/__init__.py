"""The third face beside command line and screen: the decisions as Python functions with results to work with.

`import swarfbook` gives all of it; the modules here are imported when a name of theirs is asked for.
"""
