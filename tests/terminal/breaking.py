"""The program with a mistake in it: it breaks at the third reading, with a customer's name in its hands."""

SECRET = "Mrs Somebody of Elsewhere"
BREAKING = f"""
import sys
from rodcall.screens.shots import ShotScreen
def broken(self):
    customer = {SECRET!r}
    raise ZeroDivisionError(f"a reading of {{customer}}: -1-3/8")
real = ShotScreen.step_on
def step_on(self, after=None):
    real(self, after)
    if self.book.page.round.shots == 3:
        broken(self)
ShotScreen.step_on = step_on
sys.argv = ["rodcall", *sys.argv[1:]]
from rodcall.start import main
main()
"""
