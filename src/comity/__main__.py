"""Run ``python -m comity``."""

from comity.cli.main import main

if __name__ == "__main__":
    main()
