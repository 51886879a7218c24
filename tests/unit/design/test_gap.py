"""Named gaps and users, as a script gives them to a design."""

import pytest

from turnmodel import Design, Part, bar, cylinder, gap, joint
from turnmodel.errors import DesignFaults


def pins():
    """Two pins that stand end to end."""
    return [
        Part.turned(name, material="brass", stock=bar("8 mm"), outside=[cylinder(8, 20)])
        for name in ("first", "second")
    ]


def design(**given):
    """A design of the two pins."""
    first, second = pins()
    return Design(
        "pins",
        parts=[first, second],
        joints=[joint.seat(second.face("front"), first.face("back"))],
        **given,
    )


def test_a_gap_may_be_written_as_two_faces():
    """Two faces alone make a gap without bounds."""
    first, second = pins()
    made = design(gaps={"length": (first.face("front"), second.face("back"))})

    assert made.gaps["length"] == gap(first.face("front"), second.face("back"))


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"play": 3}, "gap 'play': must be two faces; write gap(face, face)"),
        (3, "gaps 3: must be names and gaps"),
    ],
)
def test_what_is_no_gap_is_told(given, message):
    """A gap that is none is one fault, with the way to write it."""
    with pytest.raises(DesignFaults) as caught:
        design(gaps=given)

    assert message in str(caught.value)


def test_a_gap_names_faces_that_are_there():
    """A face that its part does not have is told with those there are."""
    first, second = pins()
    with pytest.raises(DesignFaults) as caught:
        design(gaps={"play": gap(first.face("backs"), second.face("front"))})

    assert "there is no such face of first; did you mean 'back'?" in str(caught.value)


def test_the_bounds_of_a_gap_are_in_order():
    """A least above the most is a fault."""
    first, second = pins()
    with pytest.raises(DesignFaults) as caught:
        design(gaps={"play": gap(first.face("back"), second.face("front"), least=0.5, most=0.1)})

    assert "least 0.5 mm: is more than the most, 0.1 mm; change them round" in str(caught.value)


def test_users_are_adults_or_children():
    """Another word is told with the nearest."""
    with pytest.raises(DesignFaults) as caught:
        design(users="child")

    assert "users: 'child': must be 'adults' or 'children'; did you mean 'children'?" in str(caught.value)
