"""`python -m intake` is the same as the console command."""

from intake.cli import main

main()
