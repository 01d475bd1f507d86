"""`python -m oktocover`."""

from oktocover.cli import run

if __name__ == "__main__":
    run()
