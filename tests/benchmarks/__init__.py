"""Benchmarks, each a program that prints its figures; run from the top of the checkout on an idle machine.

    python -m tests.benchmarks.latency      key to painted cell and painted average, beside a DataTable
    python -m tests.benchmarks.start        start to first paint, beside a minimal Textual program
    python -m tests.benchmarks.fold         folding one more entry into a page
    python -m tests.benchmarks.busts        wrong readings caught against sound ones questioned
    python -m tests.benchmarks.grounds      questions and gross mistakes on every kind of ground, unit and size
    python -m tests.benchmarks.plausible    gross mistakes caught among the first shots of a pad
    python -m tests.benchmarks.drift        bumps and settling told, and remarks on tripods that stood still
    python -m tests.benchmarks.durable      an entry to the disk: its line in the journal, or the whole file
    python -m tests.benchmarks.big_book     opening and memory of 50,000 entries, the list of 5,000 jobs
    python -m tests.benchmarks.kill_nine    entries lost when a typed session is killed
    python -m tests.benchmarks.broken_files job files cut and changed in every way
    python -m tests.benchmarks.fuzz         lengths, lines of `enter` and job files that nobody would write

Times are of one machine on one day: the ratios are what counts. No test asserts a time.
"""
