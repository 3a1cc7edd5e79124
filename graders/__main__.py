"""``python -m graders``: the command ``graders``, where its script is not on the path."""

from graders.cli import main

if __name__ == "__main__":
    main(prog_name="python -m graders")
