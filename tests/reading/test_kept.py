"""Files kept as they were read: the same data and places, never stale, and nothing lost without them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from oktocover.reading import kept
from oktocover.reading.kept import FOLDER, read_yaml_group
from oktocover.reading.nodes import Document
from oktocover.reading.problems import InputProblems

TEXT = "rules:\n  a-rule: {title: A rule, limits: {most: 6 ft}}\n  other:\n    title: ½ in – or “more”\n    list: [1, ~, no]\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(FOLDER, str(tmp_path / "cache"))
    return tmp_path / "cache" / "oktocover"


def written(tmp_path: Path, text: str = TEXT, name: str = "rule.yaml") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def read(*paths: Path) -> list[Document]:
    found = read_yaml_group(paths, {path: path.name for path in paths})
    assert all(isinstance(one, Document) for one in found)
    return [one for one in found if isinstance(one, Document)]


def test_the_second_reading_has_the_same_data_and_places(folder: Path, tmp_path: Path) -> None:
    path = written(tmp_path)
    first, second = read(path)[0], read(path)[0]
    assert len(list(folder.iterdir())) == 1
    assert second._seen is None, "it was read from the kept file"
    assert (
        second.data
        == first.data
        == {
            "rules": {
                "a-rule": {"title": "A rule", "limits": {"most": "6 ft"}},
                "other": {"title": "½ in – or “more”", "list": ["1", None, "no"]},
            }
        }
    )
    for at in (("rules", "a-rule", "limits", "most"), ("rules", "other", "list", 1), ("nothing",)):
        assert second.place(at) == first.place(at)
        assert second.key_place(at) == first.key_place(at)
    assert second.line_text(2) == first.line_text(2)
    assert second.mended(("rules", "a-rule", "title"), "B") == first.mended(("rules", "a-rule", "title"), "B")


def test_an_edited_file_is_read_anew(folder: Path, tmp_path: Path) -> None:
    path = written(tmp_path)
    read(path)
    written(tmp_path, TEXT.replace("6 ft", "5 ft"))
    rules = read(path)[0].data["rules"]  # type: ignore[call-overload, index]
    assert rules["a-rule"]["limits"]["most"] == "5 ft"  # type: ignore[call-overload, index]


def test_another_version_of_the_reader_reads_anew(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path)
    read(path)
    monkeypatch.setattr(kept, "_reader", lambda: b"another")
    assert read(path)[0]._seen is not None


def test_the_order_of_the_files_counts(folder: Path, tmp_path: Path) -> None:
    one, other = written(tmp_path, "a: 1\n", "one.yaml"), written(tmp_path, "b: 2\n", "other.yaml")
    read(one, other)
    assert [document.data for document in read(other, one)] == [{"b": "2"}, {"a": "1"}]
    assert [document.file for document in read(one, other)] == ["one.yaml", "other.yaml"]


@pytest.mark.parametrize("harm", [b"", b"{", b"[]", b'{"a": 1}', b"\xff", b"[" * 100_000])
def test_a_spoilt_kept_file_costs_time_only(folder: Path, tmp_path: Path, harm: bytes) -> None:
    path = written(tmp_path)
    expected = read(path)[0].data
    next(folder.iterdir()).write_bytes(harm)
    assert read(path)[0].data == expected
    assert json.loads(next(folder.iterdir()).read_bytes()) == [expected], "and it is mended"


def test_what_is_wrong_is_never_kept(folder: Path, tmp_path: Path) -> None:
    good, bad, none = written(tmp_path), written(tmp_path, "a: 1\na: 2\n", "bad.yaml"), tmp_path / "none.yaml"
    for _ in range(2):
        found = read_yaml_group([good, bad, none], {})
        assert [type(one) for one in found] == [Document, InputProblems, InputProblems]
    assert not folder.exists()


def test_nothing_is_kept_where_nobody_may_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path)
    (tmp_path / "file").write_text("not a folder")
    monkeypatch.setenv(FOLDER, str(tmp_path / "file"))
    assert read(path)[0].data == read(path)[0].data
    monkeypatch.setenv(FOLDER, "none")
    assert read(path)[0]._seen is not None and read(path)[0]._seen is not None


def test_the_oldest_make_room(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept, "MOST_KEPT", 3)
    for number in range(6):
        read(written(tmp_path, f"a: {number}\n"))
    assert len(list(folder.iterdir())) == 3
