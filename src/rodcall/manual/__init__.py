"""The manual: pages of text, with tables filled in from the code."""

from __future__ import annotations

from rodcall.manual.book import ManualError, list_of_topics, page
from rodcall.manual.topics import Topic, topics

__all__ = ["ManualError", "Topic", "list_of_topics", "page", "topics"]
