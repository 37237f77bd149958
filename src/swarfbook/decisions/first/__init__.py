"""A book's first machine, cutter, material and recipe from what a person says of them in a few words."""
