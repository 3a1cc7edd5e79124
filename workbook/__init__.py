"""The Rework Workbook: what is taught. The numbers behind board-level rework, topic by topic."""
