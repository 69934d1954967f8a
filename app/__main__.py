"""`python -m firstcap.app` is `firstcap`."""

from firstcap.app.cli import main

if __name__ == "__main__":
    main()
