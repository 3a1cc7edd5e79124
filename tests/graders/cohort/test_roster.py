"""A list of learners as spreadsheets and nbgrader write it, or one line saying what to mend."""

import pytest

from graders.cohort import roster
from graders.cohort.roster import Learner
from graders.handout import handing_out
from tests.graders.cohorts import all_rows
from workbook.problems import Problem

TWO = [("a1", "Åsa Ek"), ("b2", "Bo, Jr")]
WAYS = {
    "plain": 'id,name\na1,Åsa Ek\nb2,"Bo, Jr"\n'.encode(),
    "byte order mark": b"\xef\xbb\xbf" + 'id,name\na1,Åsa Ek\nb2,"Bo, Jr"\n'.encode(),
    "semicolons": "id;name\na1;Åsa Ek\nb2;Bo, Jr\n".encode(),
    "tabs": "id\tname\na1\tÅsa Ek\nb2\tBo, Jr\n".encode(),
    "Windows line ends": 'id,name\r\na1,Åsa Ek\r\nb2,"Bo, Jr"\r\n'.encode(),
    "other columns and order": 'email,Name,ID\nx@y,Åsa Ek,a1\n,"Bo, Jr",b2\n'.encode(),
    "nbgrader's export": 'id,first_name,last_name,email,lms_user_id\na1,Åsa,Ek,,\nb2,"Bo, Jr",,,\n'.encode(),
    "letters with their accents apart": 'id,name\na1,A\u030asa Ek\nb2,"Bo, Jr"\n'.encode(),
    "empty lines": 'id,name\n\na1,Åsa Ek\n,,\nb2,"Bo, Jr"\n'.encode(),
    "old Macintosh line ends": 'id,name\ra1,Åsa Ek\rb2,"Bo, Jr"\r'.encode(),
    "an empty line first": b"\n" + 'id,name\na1,Åsa Ek\nb2,"Bo, Jr"\n'.encode(),
    "a first line that names the delimiter": "sep=;\r\nid;name\r\na1;Åsa Ek\r\nb2;Bo, Jr\r\n".encode(),
    "OneRoster's users.csv": (
        "sourcedId,status,dateLastModified,enabledUser,orgSourcedIds,role,username,userIds,givenName,familyName\n"
        "AE4A6BB3-8D97,active,2026-06-26,true,org1,student,a1,,Åsa,Ek\n"
        "AE4A6BB3-8D98,active,2026-06-26,true,org1,teacher,t1,,Tea,Cher\n"
        'AE4A6BB3-8D99,,,true,org1,student,b2,,"Bo, Jr",\n'
    ).encode(),
    "OneRoster's ids alone": 'sourcedId,givenName,familyName\na1,Åsa,Ek\nb2,"Bo, Jr",\n'.encode(),
    "spaces": 'id , name\n a1 , Åsa Ek \n b2 ,"Bo, Jr"\n'.encode(),
}


@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_writing_it_gives_the_same_learners(way, tmp_path):
    file = tmp_path / "roster.csv"
    file.write_bytes(WAYS[way])
    assert [(learner.id, learner.name) for learner in roster.read(file)] == TWO


def test_other_columns_are_kept_as_they_came(tmp_path):
    file = tmp_path / "roster.csv"
    file.write_text('Group;id;name;Note\nA;a1;Åsa Ek;"sits; left"\nB;b2;Bo;\n', encoding="utf-8")
    kept = roster.text_of([*roster.read(file), Learner("c3", "Cy")])
    assert kept.splitlines() == [
        "id,name,left,Group,Note",
        "a1,Åsa Ek,,A,sits; left",
        "b2,Bo,,B,",
        "c3,Cy,,,",
    ]
    file.write_text(kept, encoding="utf-8")
    assert roster.text_of(roster.read(file)) == kept


BAD = {
    "empty": (b"", "no list of learners"),
    "empty cells only": (b",,\n,,\n", "no list of learners"),
    "heads only": (b"id,name\n", "names no learners"),
    "no id column": (b"name\nAmber\n", "no column for the learner's id"),
    "an id missing": (b"id,name\na1,A\n,B\n", "line 3: no id"),
    "an id twice": (b"id,name\na1,A\nb2,B\na1,C\n", "line 4: the id 'a1' stands in line 2"),
    "an id twice but for case": (b"id,name\na1,A\nA1,B\n", "stands in line 2"),
    "a path": (b"id,name\n../x,A\n", "cannot be a folder's name"),
    "a hidden folder": (b"id,name\n.x,A\n", "cannot be a folder's name"),
    "a slash": (b"id,name\na/b,A\n", "cannot be a folder's name"),
    "an endless id": (b"id,name\n" + b"a" * 500 + b",A\n", "cannot be a folder's name"),
    "a name Windows keeps for itself": (b"id,name\ncon,A\n", "cannot be a folder's name"),
    "a field without end": (b'id,name\n"a1,' + b"A" * 200_000, "no CSV file that can be read"),
    "a quote without end, before another": (b'id,name\na1,"A\nb2,"B"\n', "no CSV file that can be read"),
    "a quote without end, at the end": (b'id,name\na1,A\nb2,"B\nc3,C\n', "no CSV file that can be read"),
    "a head twice": (b"id,name,Group,group\na1,A,x,y\n", "more than one column 'group'"),
    "Latin-1": ("id,name\na1,Åsa\n".encode("latin-1"), "not UTF-8"),
    "a spreadsheet": (b"PK\x03\x04\x00\x00\x00\x00", "no list of learners"),
}


@pytest.mark.parametrize("kind", BAD)
def test_a_bad_list_is_one_clear_line(kind, tmp_path):
    content, words = BAD[kind]
    file = tmp_path / "roster.csv"
    file.write_bytes(content)
    with pytest.raises(Problem) as refused:
        roster.read(file)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)
    assert refused.value.tip


def test_a_missing_list_is_one_clear_line(tmp_path):
    with pytest.raises(Problem, match="cannot be read: No such file"):
        roster.read(tmp_path / "nothing.csv")


def test_who_is_to_be_deleted_in_a_list_of_oneroster_left_and_its_own_id_is_kept(tmp_path):
    """Heads and words as 1EdTech, OneRoster 1.1 CSV Tables, users.csv, has them (read in texts that quote it)."""
    file = tmp_path / "users.csv"
    file.write_text("sourcedId,status,role,username,givenName,familyName\ng-1,tobedeleted,student,a1,Åsa,Ek\n")
    (one,) = roster.read(file)
    assert (one.id, one.name, one.left) == ("a1", "Åsa Ek", True)
    assert dict(one.others)["sourcedId"] == "g-1"
    file.write_text(roster.text_of([one]))
    assert roster.read(file) == [one]


def test_no_0_and_false_in_the_column_left_say_that_somebody_is_there(tmp_path):
    file = tmp_path / "list.csv"
    file.write_text("id,left\na1,no\na2,0\na3,False\na4,\na5,yes\na6,2026-03-02\n")
    assert [one.id for one in roster.read(file) if one.left] == ["a5", "a6"]


def test_who_left_is_kept_and_not_chased(fresh):
    handing_out.make([Learner("amber", "Amber", left=True)], fresh.root)
    kept = {learner.id: learner.left for learner in roster.read(fresh.roster)}
    assert kept["amber"]
    assert not kept["birch"]
    assert (fresh.handout("amber") / "profile").is_dir()
    rows = all_rows(fresh)
    assert "amber" not in {row.learner for row in rows}
    assert "birch" in {row.learner for row in rows}
