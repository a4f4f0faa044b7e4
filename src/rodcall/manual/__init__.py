"""The manual inside the package: pages of text, with the parts that the code knows better filled in from its tables."""

from __future__ import annotations

from rodcall.manual.book import ManualError, list_of_topics, page
from rodcall.manual.topics import Topic, topics

__all__ = ["ManualError", "Topic", "list_of_topics", "page", "topics"]
