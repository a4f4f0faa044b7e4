"""The program with a mistake in it: it breaks at the third reading, with a customer's name in its hands."""

SECRET = "Mrs Somebody of Elsewhere"
BREAKING = f"""
import sys
from rodcall.tui.shot_grid.screen import ShotScreen
def broken(self):
    customer = {SECRET!r}
    raise ZeroDivisionError(f"a reading of {{customer}}: -1-3/8")
real = ShotScreen.acted
def acted(self, told, changes):
    real(self, told, changes)
    if self.session.book.page.round.shots == 3:
        broken(self)
ShotScreen.acted = acted
sys.argv = ["rodcall", *sys.argv[1:]]
from rodcall.start import main
main()
"""
