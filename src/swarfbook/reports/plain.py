"""Text for printers, logs and screens that have letters and nothing else: ASCII in place of every sign."""

from __future__ import annotations

import re
import unicodedata

# Signs of one column become signs of one column, so that tables and rungs stay in line.
SIGNS = str.maketrans({
    "●": "o", "▲": "^", "◆": "@", "△": "^", "•": "*", "█": "#", "│": "|", "└": "+", "┘": "+", "┌": "+",
    "┐": "+", "├": "+", "┤": "+", "┬": "+", "┴": "+",
    "┃": "|", "┼": "+", "─": "-", "▸": ">", "µ": "u", "²": "2", "³": "3",
    "\u00a0": " ", "\u202f": " ", "\u2009": " ", "–": "-", "—": "-", "−": "-", "×": "x",
    "≥": ">", "≤": "<", "←": "<", "→": ">", "↑": "^", "↓": "v", "‘": "'", "’": "'", "“": '"', "”": '"',
    "ø": "o", "Ø": "O", "ß": "s", "…": ".", "±": "~",
})  # fmt: skip
# A quarter has two blanks after it on every scale, and gives them for its two more letters.
QUARTERS = {"¼": "1/4", "½": "1/2", "¾": "3/4"}


def plain(text: str) -> str:
    """Write a text in ASCII: no drawing, no accents; what has no likeness becomes a question mark."""
    for sign, letters in QUARTERS.items():
        text = re.sub(f"{sign} ? ?", letters, text)
    text = re.sub(r"(?<=[^\W\d_])·(?=[^\W\d_])", "*", text)
    text = re.sub("·{2,}", lambda dots: "." * len(dots[0]), text)
    text = re.sub(r" ?°", " deg", text).replace("·", "-").translate(SIGNS)
    letters = unicodedata.normalize("NFKD", text)
    letters = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return letters.encode("ascii", "replace").decode()
