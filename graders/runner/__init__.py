"""An untrusted notebook goes in, answers as plain data come out.

`contained.Contained` runs notebooks walled off, on Linux; `plain.Plain` runs trusted ones on an ordinary kernel,
anywhere. Both take and give the same plain data (`job`). What runs behind the wall is in `inside/`, and imports
nothing of `graders`, because `graders` is not there.
"""
