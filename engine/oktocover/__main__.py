"""`python -m oktocover`."""

from oktocover.cli import main

main()
