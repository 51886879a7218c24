"""Laws of writing a value into a script's defaults."""

from __future__ import annotations

import ast

from hypothesis import given
from hypothesis import strategies as st

from turnmodel.watch.defaults import with_defaults

NUMBERS = st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(10**6), 10**6)
TEXTS = st.text(st.characters(blacklist_categories=("Cs", "Cc")), max_size=12)
VALUES = NUMBERS | TEXTS | st.booleans()
ENDS = st.sampled_from(["\n", "\r\n"])


@given(
    olds=st.lists(VALUES, min_size=1, max_size=4),
    new=VALUES,
    remark=TEXTS,
    end=ENDS,
    mark=st.sampled_from(["", "\ufeff"]),
    data=st.data(),
)
def test_all_bytes_outside_the_default_stay(
    olds: list[object], new: object, remark: str, end: str, mark: str, data: st.DataObject
) -> None:
    """The script before the default and after it is the same to the byte, and the default reads as asked."""
    chosen = data.draw(st.integers(0, len(olds) - 1))
    pieces = [f"{end}    ä{k}={old!r},  # {remark}" for k, old in enumerate(olds)]
    head, tail = f"{mark}# {remark}{end}def design(", f"{end}): ...  # {remark}{end}"
    lead, _, rest = pieces[chosen].partition("=")
    before = head + "".join(pieces[:chosen]) + lead + "="
    after = rest.removeprefix(repr(olds[chosen])) + "".join(pieces[chosen + 1 :]) + tail
    source = (before + repr(olds[chosen]) + after).encode()

    written = with_defaults(source, {f"ä{chosen}": new})  # type: ignore[dict-item]

    assert written.startswith(before.encode())
    assert written.endswith(after.encode())
    default = written[len(before.encode()) : len(written) - len(after.encode())].decode()
    assert ast.literal_eval(default) == new
