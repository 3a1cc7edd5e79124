"""What was run in this kernel and when, oldest first. `workbook.kernel` writes it; other kernels leave it empty."""

cells: list[tuple[float, str]] = []
