"""Feed the readers of texts with what coverage finds, until a time is up.

``python -m tests.fuzz.run SECONDS`` needs the extra ``fuzz`` of this project. Input that a reader fails on is
left in a file ``crash-...``.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

__all__ = ["main"]


def main() -> None:
    """Fuzz for the seconds given, ten minutes if none are."""
    import atheris

    with atheris.instrument_imports(include=["turnmodel", "tomllib"]):
        from tests.fuzz.readers import FILES, TEXTS, held_file, hold

    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 600
    readers = [(read, known, hold) for read, known in TEXTS.values()]
    filed = [(read, known, held_file) for read, known in FILES.values()]
    with tempfile.TemporaryDirectory() as home:
        corpus = Path(home) / "corpus"
        corpus.mkdir()
        for number, (_, known, _) in enumerate([*readers, *filed]):
            for k, text in enumerate(known):
                (corpus / f"{number}-{k}").write_bytes(bytes([number]) + text.encode())

        def one(data: bytes) -> None:
            """Give what follows the first byte to the reader of that number."""
            if not data:
                return
            number = data[0] % (len(readers) + len(filed))
            if number < len(readers):
                hold(readers[number][0], data[1:].decode("utf-8", "replace"))
            else:
                held_file(filed[number - len(readers)][0], data[1:], Path(home))

        limits = [f"-max_total_time={seconds}", "-max_len=4096", "-timeout=30"]
        atheris.Setup([sys.argv[0], *limits, str(corpus)], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
