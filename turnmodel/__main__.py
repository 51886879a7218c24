"""Run the command line as ``python -m turnmodel``."""

from turnmodel.cli import main

__all__: list[str] = []

if __name__ == "__main__":
    main()
