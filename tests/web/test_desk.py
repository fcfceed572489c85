"""What is read and written lies in the workspace, by plain names, and never over what the page does not know."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pages
import pytest

from optimiser.cli.starter_texts import DESIGN
from optimiser.files.question import read_question
from optimiser.text.diagnostics import BadInput
from optimiser.text.held import Held, full, holding
from optimiser.web.desk import Clash, Desk, Refused, desk_of, stamp_of


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A workspace with a goal file and a shelf."""
    (tmp_path / "shop").mkdir()
    return desk_of(pages.workshop(tmp_path / "shop"), "")


def saved(desk: Desk, **asked: Any) -> dict[str, Any]:
    """Save the text as it began."""
    start = desk.start()
    return desk.save({"text": start["text"], "stamp": start["stamp"], "name": desk.goal_file.name, **asked})


def test_the_workspace_is_where_the_inventory_is(desk: Desk) -> None:
    """A goal file in `goals/` beside `inventory/` has the folder of both for its workspace; one by itself has its own."""
    assert desk.workspace == desk.goal_file.parents[1]


def test_a_file_by_itself_has_its_own_folder(tmp_path: Path) -> None:
    """Without an inventory above, what lies beside the file is all there is, and the invented shelf stands in."""
    made = desk_of(tmp_path / "bar.yaml", "fats: []\n")
    assert made.workspace == tmp_path
    assert made.is_new
    assert made.start()["beside"] == {"kittiwake.yaml": "fats: []\n"}
    assert "shelf: kittiwake.yaml" in made.start()["text"]


def test_a_text_stands_for_its_file(desk: Desk) -> None:
    """What is sent is read in place of the file, which stays as it is."""
    before = desk.goal_file.read_bytes()
    text = desk.start()["text"].replace("at_least: 60}", "at_least: 57}")
    with holding(desk.held({"text": text})):
        limits = read_question(desk.goal_file).goals.goals
    assert next(one.value for one in limits if one.key == "hardness") == 57
    assert desk.goal_file.read_bytes() == before


@pytest.mark.parametrize(
    "name", ["../other.yaml", "/etc/other.yaml", "a/b.yaml", ".hidden.yaml", "bar.txt", "bar.yaml\0", "", None, 3]
)
def test_only_plain_names_are_written(desk: Desk, name: object) -> None:
    """Nothing is written under a path, a hidden name or another ending."""
    with pytest.raises(Refused):
        saved(desk, name=name)


def test_a_link_out_of_the_workspace_is_not_written_through(desk: Desk, tmp_path: Path) -> None:
    """A link that leads out is seen through: neither written nor read."""
    outside = tmp_path / "outside.yaml"
    outside.write_text("title: not yours\n", encoding="utf-8")
    (desk.goal_file.parent / "link.yaml").symlink_to(outside)
    with pytest.raises(Refused):
        saved(desk, name="link.yaml")
    with pytest.raises(Refused):
        desk.text("link.yaml")
    assert outside.read_text(encoding="utf-8") == "title: not yours\n"


@pytest.mark.parametrize("key", ["shelf", "near"])
def test_a_text_names_no_file_outside(desk: Desk, tmp_path: Path, key: str) -> None:
    """A shelf or a recipe outside of the workspace is not read, and the fault tells its line and nothing of what is in it."""
    outside = tmp_path / "secret.yaml"
    outside.write_text("fats: [{fat: the secret, price: 1 / kg}]\n", encoding="utf-8")
    lines = [line for line in desk.start()["text"].splitlines() if not line.startswith(f"{key}:")]
    text = "\n".join([f"{key}: {outside}", *lines])
    with holding(desk.held({"text": text})), pytest.raises(BadInput) as caught:
        read_question(desk.goal_file)
    told = str([(item.message, item.help) for item in caught.value.diagnostics])
    assert "outside of the workspace" in told
    assert "the secret" not in told


def test_files_that_the_goal_file_named_may_be_read(tmp_path: Path) -> None:
    """A shelf elsewhere that the file on the disk names was named by its maker."""
    other = tmp_path / "elsewhere"
    other.mkdir()
    goals = pages.workshop(other)
    alone = tmp_path / "alone"
    alone.mkdir()
    path = alone / "bar.yaml"
    text = goals.read_text(encoding="utf-8").replace("../inventory", "../elsewhere/inventory")
    path.write_text(text, encoding="utf-8")
    made = desk_of(path, "")
    with holding(made.held({"text": text})):
        assert read_question(path).shelf.fats


def test_outside_of_a_request_nothing_is_barred(tmp_path: Path) -> None:
    """What is held ends with the request."""
    path = tmp_path / "bar.yaml"
    with holding(Held({full(path): "title: x\n"}, tmp_path)):
        pass
    with pytest.raises(BadInput) as caught:
        read_question(path)
    assert caught.value.diagnostics[0].code == "no-such-file"


def test_saving_writes_to_the_letter(desk: Desk) -> None:
    """What is saved is the text; line ends of Windows stay such."""
    text = desk.start()["text"] + "# a last remark\n"
    told = saved(desk, text=text)
    assert desk.goal_file.read_text(encoding="utf-8") == text
    assert told == {"stamp": stamp_of(text.encode()), "name": desk.goal_file.name}
    desk.goal_file.write_bytes(text.replace("\n", "\r\n").encode())
    start = desk.start()
    saved(desk, text=start["text"] + "# more\n", stamp=start["stamp"])
    assert desk.goal_file.read_bytes() == (text + "# more\n").replace("\n", "\r\n").encode()


def test_what_was_changed_elsewhere_is_never_overwritten(desk: Desk) -> None:
    """Where another text lies than the page knows nothing is written, and that text is told."""
    start = desk.start()
    desk.goal_file.write_text("title: mine\n", encoding="utf-8")
    with pytest.raises(Clash) as caught:
        saved(desk, text=start["text"], stamp=start["stamp"])
    assert caught.value.text == "title: mine\n"
    assert desk.goal_file.read_text(encoding="utf-8") == "title: mine\n"
    saved(desk, text=start["text"], stamp=caught.value.stamp)
    assert desk.goal_file.read_text(encoding="utf-8") == start["text"]


def test_a_name_that_is_taken_is_not_written_over(desk: Desk) -> None:
    """Saving under the name of another file asks first, too."""
    other = desk.goal_file.with_name("other.yaml")
    other.write_text("title: other\n", encoding="utf-8")
    with pytest.raises(Clash):
        saved(desk, name="other.yaml", stamp="")
    assert other.read_text(encoding="utf-8") == "title: other\n"


def test_a_list_beside_is_written_once(desk: Desk) -> None:
    """A price list goes beside the goal file; another one of that name is never written over."""
    saved(desk, beside={"prices.csv": "fat,price\nolive oil,7.40 / kg\n"})
    path = desk.goal_file.with_name("prices.csv")
    assert path.read_text(encoding="utf-8").startswith("fat,price")
    start = desk.start()
    with pytest.raises(BadInput):
        saved(desk, stamp=start["stamp"], beside={"prices.csv": "fat,price\ncoconut oil,3 / kg\n"})
    assert "coconut" not in path.read_text(encoding="utf-8")


def test_looking_sees_saves_of_the_file_and_of_the_shelf(desk: Desk) -> None:
    """The stamp of the file tells its content; that of the others changes when the shelf is saved."""
    first = desk.look()
    assert desk.look() == first
    shelf = desk.workspace / "inventory" / "kittiwake.yaml"
    shelf.write_text(shelf.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    second = desk.look()
    assert second["stamp"] == first["stamp"]
    assert second["others"] != first["others"]
    desk.goal_file.unlink()
    assert desk.look()["stamp"] == ""


def test_designs_above_a_new_file_are_read(tmp_path: Path) -> None:
    """The maker's own designs and scales count from above, as they do for every command, though they lie outside."""
    (tmp_path / "designs").mkdir()
    (tmp_path / "designs" / "own.yaml").write_text(DESIGN, encoding="utf-8")
    folder = tmp_path / "shop"
    folder.mkdir()
    made = desk_of(folder / "bar.yaml", (pages.ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8"))
    assert made.workspace == folder
    start = made.start()
    text = start["text"].replace("batch:", "design: two-tone slab\nbatch:")
    with holding(made.held({"text": text, "beside": start["beside"]})):
        assert [one.name for one in read_question(made.goal_file).goals.techniques] == ["two-tone slab"]


def test_a_shelf_in_use_is_never_written_over(desk: Desk) -> None:
    """Goals are not saved over the shelf that they are met from, though the page knows what lies there, nor over another kind of file."""
    folder = desk.goal_file.parent
    shelf = (desk.workspace / "inventory" / "kittiwake.yaml").read_bytes()
    for name in ("own.yaml", "unused.yaml"):
        (folder / name).write_bytes(shelf)
    text = "shelf: own.yaml\ngoals: {hardness: {at_least: 50}}\n"
    with pytest.raises(BadInput, match="never written over"):
        saved(desk, text=text, name="own.yaml", stamp=stamp_of(shelf))
    with pytest.raises(Refused, match="is a shelf"):
        saved(desk, text=text, name="unused.yaml", stamp=stamp_of(shelf))
    assert (folder / "own.yaml").read_bytes() == (folder / "unused.yaml").read_bytes() == shelf


def test_goals_take_no_name_of_a_price_list(desk: Desk) -> None:
    """Neither a name that ends in .csv, nor that of a list that is written beside in the same step."""
    with pytest.raises(Refused):
        saved(desk, name="bar.csv", stamp="")
    with pytest.raises(Refused):
        saved(desk, name="mine.yaml", stamp="", beside={"mine.yaml": "fats: [{fat: olive oil, price: 3 / kg}]\n"})
    assert not desk.goal_file.with_name("bar.csv").exists()
    assert not desk.goal_file.with_name("mine.yaml").exists()


@pytest.mark.parametrize(
    ("there", "after"),
    [
        (b"\xef\xbb\xbftitle: a\ngoals: {}\n", b"\xef\xbb\xbftitle: a\n# new\ngoals: {}\n"),
        (b"title: a\r\ngoals: {}\r\n", b"title: a\r\n# new\r\ngoals: {}\r\n"),
        (b"title: a\r\ngoals: {}\n# last\r\n", b"title: a\r\n# new\r\ngoals: {}\n# last\r\n"),
        (b"title: a\rgoals: {}\r", b"title: a\r# new\rgoals: {}\r"),
        (b"title: a\r\ngoals: {}", b"title: a\r\n# new\r\ngoals: {}"),
        (b"title: a\n", b"title: a\n# new\n"),
    ],
)
def test_line_ends_and_the_byte_order_mark_stay(desk: Desk, there: bytes, after: bytes) -> None:
    """Lines that were there keep their ends, a new one takes the commonest, and a byte order mark stays in front."""
    desk.goal_file.write_bytes(there)
    start = desk.start()
    told = saved(desk, text=start["text"].replace("title: a\n", "title: a\n# new\n"), stamp=start["stamp"])
    assert desk.goal_file.read_bytes() == after
    assert told["stamp"] == desk.look()["stamp"]
