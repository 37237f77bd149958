"""The terminal program: the recipe as a sentence, the ladder under it, lists and questions over the page."""
