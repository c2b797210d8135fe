"""Benchmarks: ratios measured in one run. They print, and fail nothing by absolute time."""
