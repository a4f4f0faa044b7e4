"""Safety cautions, and the limits of a grade check: shown at call-out and printed on every sheet."""

from __future__ import annotations

from rodcall.i18n import phrase

NO_SURVEY = phrase(
    "A contractor's record of a grade check; no licensed survey. Local codes and licensed practice rule."
)

CAUTIONS = (
    phrase("Before the bucket: buried services found and marked by their owners (811 in the US)."),
    phrase("People out of the swing radius; eye contact; bucket grounded before anyone walks in."),
    phrase("Never look into the beam or aim it at people. Keep off edges and away from overhead lines."),
    NO_SURVEY,
)
"""29 CFR 1926.651(b), 1926.54, 1926.600; NIOSH 2004-107, in our own words."""
