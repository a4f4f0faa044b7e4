"""The helper's page: what the call-out shows, on a phone in the helper's pocket; no textual in here.

Nothing of it is loaded before the crew starts it. `server` is the only file that knows the web library, which comes
with the extra `rodcall[helper]`.
"""
