"""Benchmarks, each a program that prints its figures; run from the top of the checkout on an idle machine.

    python -m tests.benchmarks.latency      key to painted cell and painted average, beside a DataTable
    python -m tests.benchmarks.start        start to first paint, beside a minimal Textual program
    python -m tests.benchmarks.fold         folding one more entry into a page

All take `--help`. Times are of one machine on one day: the ratios are what counts. No test asserts a time.
"""
