"""``python -m grouper``: the command, where the folder of commands is not on the path, as often on Windows."""

from grouper.faces.cli.entry import main

main()
