"""Findings -> pictures. One file per chart; a chart computes nothing of the trade.

Every chart function takes findings and gives a `Drawing`, or None where there is nothing to draw. Drawn, it stands in
a page twice, wide and narrow, side by side; `themes/notebook/charts.css` shows the one that fits its
`<figure class="chart">`. Beside each chart stands `…_rows`, the same numbers as a table.

What is on a chart is noted as plain data (`board`), and matplotlib draws all of it (`artists`): grid, axes, ticks,
points and texts. Only `artists`, `translate` and the picture of dots in `takeaway` import it.
"""
