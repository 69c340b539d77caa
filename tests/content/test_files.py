"""Which files are read: names, links, sizes, encodings."""

from pathlib import Path

import pytest

from generator.content import files
from generator.content.read import read_content
from tests.content.publication import FILES, find_problems_with, write_content

TEXT = FILES["guides/first-guide.md"]


@pytest.mark.parametrize(
    ("name", "better"),
    [
        ("Upper.md", "upper"),
        ("with space.md", "with-space"),
        ("under_score.md", "under-score"),
        ("double--hyphen.md", "double-hyphen"),
        ("-first.md", "first"),
        ("élan.md", "elan"),
        ("con.md", "con-bike"),
        ("a" * 100 + ".md", "a" * 80),
    ],
)
def test_a_name_that_cannot_be_an_address(tmp_path: Path, name: str, better: str) -> None:
    (problem,) = find_problems_with(tmp_path, f"guides/{name}", TEXT)

    assert problem.file == f"content/guides/{name}"
    assert problem.mend.endswith(f"such as {better}")


def test_other_files_and_folders_are_passed_over_with_a_warning(tmp_path: Path) -> None:
    root = write_content(
        tmp_path, **{"guides/notes.txt": "x", "guides/deeper/a.md": TEXT, "guides/.x": ""}
    )
    content, problems = read_content(root)

    assert content is not None
    assert len(content.guides) == 1
    assert [(problem.file, problem.severity) for problem in problems] == [
        ("content/guides/deeper", "warning"),
        ("content/guides/notes.txt", "warning"),
    ]


@pytest.mark.parametrize(
    ("link", "target"),
    [
        ("guides/linked.md", "outside.md"),
        ("glossary/linked.md", "outside.md"),
        ("changelog.md", "outside.md"),
        ("site.yaml", "outside.yaml"),
        ("routes/flat.csv", "outside.csv"),
        ("guides/circle.md", "content/guides/circle.md"),
        ("guides/nowhere.md", "content/nowhere/at/all.md"),
    ],
)
def test_links_out_of_the_folder_are_refused(tmp_path: Path, link: str, target: str) -> None:
    root = write_content(tmp_path, **{link: None})
    for ending, like in (("md", "changelog.md"), ("yaml", "site.yaml"), ("csv", "routes/flat.csv")):
        (root / f"outside.{ending}").write_text(FILES[like], "utf-8")
    (root / "content" / link).symlink_to(root / target)
    content, problems = read_content(root)

    assert content is None
    assert [problem.file for problem in problems] == [f"content/{link}"]


def test_a_linked_folder_is_refused(tmp_path: Path) -> None:
    root = write_content(tmp_path, **{"guides/first-guide.md": None})
    (root / "elsewhere").mkdir()
    (root / "elsewhere" / "a.md").write_text(TEXT, "utf-8")
    (root / "content" / "guides").symlink_to(root / "elsewhere")

    assert [problem.file for problem in read_content(root)[1]] == ["content/guides"]


def test_links_within_the_folder_are_fine(tmp_path: Path) -> None:
    root = write_content(tmp_path)
    (root / "content/guides/again.md").symlink_to(root / "content/guides/first-guide.md")
    content, problems = read_content(root)

    assert problems == []
    assert content is not None
    assert [guide.slug for guide in content.guides] == ["again", "first-guide"]


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    body = TEXT + "x" * files.LARGEST_TEXT
    (problem,) = find_problems_with(tmp_path, "guides/large.md", body)

    assert "larger than 256 KB" in problem.what


@pytest.mark.parametrize(
    ("raw", "line"),
    [(b"---\ntitle: \xff\n---\n", 2), ("---\n".encode("utf-16"), 1), (b"---\nt: a\x00b\n---\n", 2)],
)
def test_a_file_that_is_not_utf_8_text(tmp_path: Path, raw: bytes, line: int) -> None:
    root = write_content(tmp_path)
    (root / "content/guides/odd.md").write_bytes(raw)
    (problem,) = read_content(root)[1]

    assert (problem.file, problem.line) == ("content/guides/odd.md", line)


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
def test_line_ends_of_other_systems(tmp_path: Path, ends: str) -> None:
    root = write_content(tmp_path)
    raw = "\ufeff" + TEXT.replace("\n", ends)
    (root / "content/guides/first-guide.md").write_bytes(raw.encode())
    content, problems = read_content(root)

    assert problems == []
    assert content is not None
    assert content.guides[0].body == "Body of the guide.\n"


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("", 1),
        ("---\n", 1),
        ("---\ntitle: a\n", 1),
        ("---\n- a\n---\n", 2),
        ("---\n---\nbody", 2),
        ("---\ntitle: [a\n---\nbody", 2),
        ("---\ntitle: &a x\nsummary: *a\n---\n", 2),
        ("---\ntitle: !!python/object/apply:os.system [id]\nsummary: x\n---\n", 2),
        ("---\ntitle: a\ntitle: b\nsummary: c\n---\n", 3),
        ("text\n---\ntitle: a\n---\n", 1),
    ],
)
def test_front_matter_that_is_none(tmp_path: Path, words: str, line: int) -> None:
    problems = find_problems_with(tmp_path, "guides/odd.md", words)

    assert problems
    assert {problem.file for problem in problems} == {"content/guides/odd.md"}
    assert problems[0].line == line


def test_a_body_may_be_empty_and_may_hold_rules(tmp_path: Path) -> None:
    """A line --- further down is a rule of the text, not an end of the front matter."""
    head = "---\ntitle: A\nsummary: B\n---"
    root = write_content(
        tmp_path, **{"guides/empty.md": head, "guides/rule.md": head + "\na\n\n---\n\nb\n"}
    )
    content, problems = read_content(root)

    assert problems == []
    assert content is not None
    bodies = {guide.slug: guide.body for guide in content.guides}
    assert bodies["empty"] == "\n"
    assert bodies["rule"] == "a\n\n---\n\nb\n"
