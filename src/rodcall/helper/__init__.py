"""The helper's page: what the call-out shows, on a phone in the helper's pocket; no textual in here.

Nothing of it is loaded before the crew starts it. `server` is the only file that knows the web library, which comes
with the extra `rodcall[helper]`. What was decided:

- One logic. `view` makes what a phone shows from the summary, punch list, next up and read-back that the grid shows;
  the page's script lays it out. A view is sent whole: a phone that missed some has nothing to catch up.
- Turns. What the cab names has a number that is used up as soon as it names something else or writes anything. A phone
  latches it at the first key; another number by then is a refusal. That settles every race without a clock.
- Once. A reading keeps its id over lost connections; the answer to an id is given once and repeated.
- After the paint. A view is made 15 ms after a change, several changes as one; a key waits for nothing.
- The same nothing. Whatever is not exactly ours gets the same empty 404. Connections are accepted by our own loop at a
  bounded rate, so that a flood waits in the system and not in the program.
- Not encrypted. No browser trusts a certificate of a hotspot, and teaching crews to click warnings away is worse. Hence
  readings are off until the cab allows them.
"""
