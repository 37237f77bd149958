"""swarfbook: a feeds-and-speeds recipe book with chip-load physics."""

__version__ = "0.1.0"
