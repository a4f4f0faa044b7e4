"""The target page: the chart of cut, fill and spare, the candidates, and slopes or a shape typed in."""
