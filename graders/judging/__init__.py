"""Pure judging: answers go in; marks, findings and reasons come out. No files, no notebooks."""
