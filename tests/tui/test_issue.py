"""The proof page issues the certificate by its own key, and a photo is kept from the shot grid."""

from __future__ import annotations

from PIL import Image

from rodcall.book.model.entries import Issue
from rodcall.sheets.issue import issue
from rodcall.tui.app import RodcallApp
from tests.kit import a_book
from tests.tui.kit import SIZE, Crew, saved


def lines(app: RodcallApp) -> str:
    return "\n".join(line.plain for line in app.screen.lines(80))


async def test_the_proof_page_issues_by_its_own_key_and_says_why_not(tmp_path, home):
    file = saved(a_book("A1 -1"), tmp_path)
    written = []

    def export(job):
        written.append(job.book.entries[-1].kind)
        return ["written"]

    app = RodcallApp(file, export, certify=issue)
    async with app.run_test(size=SIZE) as pilot:
        crew = Crew(pilot, file.path)
        await crew.press("a", "enter")
        await pilot.app.workers.wait_for_complete()
        assert written == ["shot"], "Enter alone issues nothing"
        await crew.press("i")
        assert "set contractor_name in the settings" in lines(app)
        assert not any(isinstance(entry, Issue) for entry in file.book.entries)
        home.mkdir(exist_ok=True)
        (home / "settings.toml").write_text('contractor_name = "Fenwick Hollow Earthworks"\n', "utf-8")
        await crew.press("i")
        await pilot.app.workers.wait_for_complete()
        assert written == ["shot", "issue"], "the sheets are those of the certificate"
        await crew.press("i")
        assert "no new entry since the last certificate" in lines(app)
        assert sum(isinstance(entry, Issue) for entry in file.book.entries) == 1


async def test_a_photo_is_kept_from_the_shot_grid(tmp_path):
    Image.new("RGB", (9, 9)).save(tmp_path / "site.png")
    file = saved(a_book("A1 -1"), tmp_path)
    app = RodcallApp(file)
    async with app.run_test(size=SIZE) as pilot:
        crew = Crew(pilot, file.path)
        await crew.key("&", f"{tmp_path / 'site.png'} A1\n")
        assert file.book.entries[-1].kind == "photo"
        assert file.book.entries[-1].at == "A1"
    assert list(tmp_path.glob("pad.json.photo-*.png"))
