"""Answers in words, marked one page a question, names hidden, by a server on this machine alone."""
