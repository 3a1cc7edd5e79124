"""The kinds of part, a file a kind: how each is asked, answered, read, judged, carried on and practised."""
