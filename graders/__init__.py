"""How answers to the Rework Workbook's exercises are judged."""
