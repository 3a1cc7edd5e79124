"""``python -m workbook``: the command ``workbook``, where its script is not on the path."""

from workbook.cli import main

if __name__ == "__main__":
    main(prog_name="python -m workbook")
