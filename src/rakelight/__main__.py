"""`python -m rakelight`."""

from rakelight.cli import main

if __name__ == "__main__":
    main()
