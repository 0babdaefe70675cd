"""Findings -> pictures. One file per chart; a chart computes nothing of the trade.

Every chart function takes findings and gives SVG to stand inline in a page, or None where there is nothing to draw.
It gives the chart twice, wide and narrow, side by side; `themes/notebook/charts.css` shows the one that fits its
`<figure class="chart">`. Beside each chart stands `…_rows`, the same numbers as a table.

The frame of a chart (grid, axes, ticks) is drawn by matplotlib, once for all charts that share it; the chart's own
points are then placed in it by the frame's own scale (see `frames`). Nothing here imports matplotlib at the top.
"""
