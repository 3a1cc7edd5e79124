"""Mails ready to send: each learner's own file to that learner's own address, and nothing else; nothing is sent."""

import csv
import email
import io
import re
import zipfile
from datetime import UTC, datetime, timedelta
from email.policy import SMTP

import pytest
from click.testing import CliRunner

from graders import commands
from graders.cli import main
from graders.cohort.roster import Learner
from graders.handout import handing_out
from graders.marking import run
from graders.report import mails, pages
from tests.graders.cohorts import set_in
from workbook.problems import Problem

LIST = (
    "id;name;left;E-Mail\n"
    "amber;Ämber Łukasz;;amber@example.org\n"
    "birch;Birch;;\n"
    "cedar;Cedar;;not an address\n"
    "dahlia;Dahlia;left;dahlia@example.org\n"
    "elder;Elder;;elder@example.org, all@example.org\n"
    'fern;"Fern\nBcc: all@example.org";;fern@example.org\n'
)


@pytest.fixture
def listed(fresh):
    fresh.roster.write_text(LIST, encoding="utf-8")
    return fresh


def read(written):
    """Return the mails by learner, as a mail program reads them."""
    return {
        path.stem: email.message_from_bytes(path.read_bytes(), policy=SMTP) for path in written.folder.glob("*.eml")
    }


def test_each_mail_holds_its_learners_handout_and_goes_to_that_address_alone(listed):
    written = mails.write(listed, "handouts")
    found = read(written)
    assert set(found) == {"amber", "fern"}
    assert written.without_address == ("birch", "cedar", "elder")
    for learner, mail in found.items():
        assert mail["To"] == f"{learner}@example.org"
        assert not mail["Cc"]
        assert not mail["Bcc"]
        assert mail["X-Unsent"] == "1"
        (attached,) = mail.iter_attachments()
        assert attached.get_filename() == f"{learner}.zip"
        assert attached.get_content() == listed.handout_of(learner).read_bytes()
    assert "Hello Ämber Łukasz," in found["amber"].get_body().get_content()
    assert found["amber"]["Subject"] == "A cohort of the tests (invented): your exercises"


@pytest.mark.parametrize(
    "words",
    [
        "=?utf-8?q?evil=40b.org=2C_x?=@x.org",
        "x@=?utf-8?q?b.org=2C_evil=40b.org?=",
        "=?utf-8?b?ZXZpbEBiLm9yZywgeA==?=@x.org",
        "a@x.org, b@x.org",
        "a..b@x.org",
        "a@x.org\n",
    ],
)
def test_what_a_head_would_read_as_other_addresses_is_none(words):
    """Encoded words: RFC 2047, section 2, whose signs are all among those of an atom of RFC 5322."""
    assert mails.address(Learner("a1", "A", others=(("email", words),))) == ""
    assert mails.address(Learner("a1", "A", others=(("email", "o'neil+x=1@mail.x.org"),))) == "o'neil+x=1@mail.x.org"


def test_a_damaged_archive_is_one_clear_line_and_the_mails_of_before_stay(listed):
    pages.everything(listed)
    before = sorted(mails.write(listed, "feedback").folder.iterdir())
    (listed.root / "feedback_pages" / "fern.zip").write_bytes(b"PK\x03\x04 and no more")
    with pytest.raises(Problem, match=r"fern\.zip is damaged"):
        mails.write(listed, "feedback")
    assert sorted(before[0].parent.iterdir()) == before


def test_the_list_names_everyone_who_is_there_with_the_file(listed):
    written = mails.write(listed, "handouts")
    text = (written.folder / "list.csv").read_text(encoding="utf-8-sig")
    lines = list(csv.DictReader(io.StringIO(text), delimiter=";"))
    assert [line["id"] for line in lines] == ["amber", "birch", "cedar", "elder", "fern"]
    assert [line["email"] for line in lines] == ["amber@example.org", "", "", "", "fern@example.org"]
    assert all((listed.root / line["file"]).is_file() for line in lines)


def test_a_further_topic_goes_out_alone_and_mails_of_before_are_gone(listed):
    mails.write(listed, "handouts")
    handing_out.make([], listed.root, ("shorts",), exercises={"shorts": ("leads-off",)})
    listed.roster.write_text(LIST.replace("amber;Ämber Łukasz;;", "amber;Ämber Łukasz;left;"), encoding="utf-8")
    found = read(mails.write(listed, "handouts", ["shorts"]))
    assert set(found) == {"fern"}
    (attached,) = found["fern"].iter_attachments()
    assert attached.get_filename() == "fern+shorts.zip"
    assert "shorts" in found["fern"].get_body().get_content()


def test_feedback_is_held_back_until_its_time_by_topic_and_never_sent_before(listed):
    with pytest.raises(Problem, match="no file of feedback"):
        commands.write_mails(listed.root, "feedback")
    pages.everything(listed)
    mails.write(listed, "feedback")
    later = datetime.now(UTC) + timedelta(days=2)
    set_in(listed, "feedback_from = {}", f"feedback_from = {{ profile = {later:%Y-%m-%dT%H:%M:%SZ} }}")
    with pytest.raises(Problem, match="holds feedback on profile, which goes to learners later"):
        mails.write(listed, "feedback")
    pages.everything(listed)
    assert not (listed.root / "feedback_pages" / "amber.zip").exists()
    assert (listed.root / "feedback_pages" / "amber" / "profile.html").is_file()
    assert mails.write(listed, "feedback").mails == 0
    past = datetime.now(UTC) - timedelta(days=2)
    set_in(listed, f"{later:%Y-%m-%dT%H:%M:%SZ}", f"{past:%Y-%m-%dT%H:%M:%SZ}")
    pages.everything(listed)
    with zipfile.ZipFile(listed.root / "feedback_pages" / "amber.zip") as archive:
        assert archive.namelist() == ["amber/profile.html"]


def test_working_is_withheld_by_topic_for_good_or_until_a_time(fresh, pool):
    run.mark(fresh, pool, only=["amber"])
    page = fresh.root / "feedback_pages" / "amber" / "profile.html"
    shown = "show_working = true"
    for said, is_there in (
        (shown, True),
        ("show_working = { profile = false }", False),
        ("show_working = { profile = 2999-01-01T00:00:00 }", False),
        ("show_working = { profile = 2020-01-01T00:00:00 }", True),
        ("show_working = { shorts = false }", True),
    ):
        set_in(fresh, shown, said)
        shown = said
        pages.everything(fresh)
        assert ("One way to work it" in page.read_text(encoding="utf-8")) == is_there, said


def test_the_command_says_that_nothing_is_sent_and_who_has_no_address(listed):
    result = CliRunner().invoke(main, ["mails", str(listed.root), "handouts"])
    assert result.exit_code == 0, result.output
    assert "2 mails ready to send, none of them sent" in result.output
    assert re.search(r"CHECK  no e-mail address .*: birch, cedar, elder", result.output)
