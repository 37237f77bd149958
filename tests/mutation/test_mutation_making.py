"""The faults that mutation testing puts in: what is made of a small module, and that each is one fault."""

import ast
import math

import pytest
from making import mutants

SOURCE = '''"""Says 1 + 1."""
import numpy as np
LIMIT: float = 0.5
Array: TypeAlias = float | int

class Shape:
    slices: ClassVar[int] = 24

    def size(self, width: Literal[3], climb: bool = True) -> float:
        """Half of 2."""
        like = width + 0 * climb
        return chosen(np.less(like, LIMIT), -like, not_negative(like) ** 2)
'''


def made() -> set[tuple[str, str, str]]:
    return {(mutant.scope, mutant.before, mutant.after) for mutant in mutants("shapes", SOURCE)}


def test_each_slip_is_made():
    size = "Shape.size"
    assert made() == {
        ("LIMIT", "0.5", "0.505"),
        ("Shape.slices", "24", "25"),
        (size, "True", "False"),
        (size, "0", "1"),
        (size, "np.less(like, LIMIT)", "np.less_equal(like, LIMIT)"),
        (size, "np.less(like, LIMIT)", "np.greater_equal(like, LIMIT)"),
        (size, "-like", "like"),
        (size, "not_negative(like) ** 2", "not_negative(like) * 2"),
        (size, "not_negative(like)", "like"),
        (size, "2", "3"),
        (
            size,
            "chosen(np.less(like, LIMIT), -like, not_negative(like) ** 2)",
            "chosen(np.less(like, LIMIT), not_negative(like) ** 2, -like)",
        ),
    }


def test_a_fault_is_put_in_where_it_belongs_and_nowhere_else():
    for mutant in mutants("shapes", SOURCE):
        changed = mutant.applied_to(SOURCE)
        ast.parse(changed)
        before, after = SOURCE.splitlines(), changed.splitlines()
        differing = [
            number for number, pair in enumerate(zip(before, after, strict=True), 1) if len({*pair}) > 1
        ]
        assert differing == [mutant.line]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("a < b", ["a <= b", "a >= b"]),
        ("a == b", ["a != b"]),
        ("a and b", ["a or b"]),
        ("not a", ["a"]),
        ("a if b else c", ["a", "c"]),
        ("a % 3", ["a * 3", "4"]),
        ("np.sqrt(a)", ["a"]),
        ("math.sin(a)", ["math.cos(a)"]),
        ("max(a, b)", ["min(a, b)"]),
        ("'words'", []),
        ("0.0", ["1.0"]),
    ],
)
def test_an_expression_is_mistaken_for_these(text, faults):
    assert sorted(mutant.after for mutant in mutants("m", f"x = {text}\n")) == sorted(faults)


def test_a_number_is_off_by_a_hundredth():
    (mutant,) = mutants("m", "x = 2.5e-6\n")
    assert math.isclose(float(mutant.after), 2.525e-6)


def test_text_beyond_ascii_is_counted_rightly():
    (mutant,) = mutants("m", 'name = "Kegelstück"; x = 1.0\n')
    assert mutant.applied_to('name = "Kegelstück"; x = 1.0\n') == 'name = "Kegelstück"; x = (1.01)\n'
