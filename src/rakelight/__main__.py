"""`python -m rakelight`."""

import sys

if __name__ == "__main__":
    try:
        from rakelight.cli import main
    except KeyboardInterrupt:  # stopped before anything was begun
        sys.exit(130)
    main()
