"""The terminal program: the recipe as a sentence, the ladder under it, lists and helpers over the page."""
