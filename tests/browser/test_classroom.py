"""A classroom as it is: hub, proxy and service, three accounts of the machine, one learner against another, one way.

One hub for all. Attackers are learners of the cohort, with everything that an account and a login of theirs gives.
"""

import json
import os
import subprocess
import sys
import time
import urllib.error
import zipfile
from io import BytesIO
from pathlib import Path

import pytest

from graders.classroom import hand_in
from graders.cohort.paths import Cohort
from tests.graders import classroom_served
from tests.graders.classroom_served import LATER, PASSWORD, Session, ask
from tests.graders.inbox.parcels import altered, answered, locked, nested, zeros, zipped

pytestmark = [pytest.mark.classroom, pytest.mark.slow]

BEAD = "amber/profile/04_bead-lag.ipynb"
SECRETS = ("cohort.key", "record.jsonl", "learners.csv", "cohort.toml", "handouts/amber.zip")


@pytest.fixture(scope="module")
def room():
    """The classroom."""
    with classroom_served.classroom() as served:
        yield served


@pytest.fixture(scope="module")
def at_work(room):
    """The classroom with amber's server running and a kernel in it."""
    served(room, "amber")
    kernel = ask(at(room, "amber", "api/kernels"), room.token("amber"), "POST", b"{}", Content_Type="application/json")
    assert kernel[0] == 201
    return room


def served(room, learner):
    """Start a learner's server, as the hub's page does, and wait until it answers."""
    name = room.accounts[learner]
    if ask(at(room, learner, "api/status"), room.token(learner))[0] == 200:
        return
    Session(room, learner).api("POST", f"/hub/api/users/{name}/server")
    over = time.monotonic() + 90
    while time.monotonic() < over:
        if ask(at(room, learner, "api/status"), room.token(learner))[0] == 200:
            return
        time.sleep(0.2)
    raise AssertionError(room.log()[-3000:])


def at(room, learner, path):
    return f"{room.url}/user/{room.accounts[learner]}/{path}"


def work(room, learner, words="time_constant = 5.0\n"):
    """A learner's handout of one exercise, with an answer in it."""
    return answered(Cohort(room.root), learner, words)


def sent(room, learner, content, **headers):
    """Hand something in with a learner's own token; return the status and the words."""
    status, _, body = ask(f"{room.service}hand-in", room.token(learner), "POST", content, **headers)
    return status, json.loads(body)


def kept(room, learner):
    """What is in a learner's part of the inbox."""
    return sorted(path.name for path in (room.inbox / learner).glob("[!.]*")) if room.inbox.exists() else []


def processes(room, learner):
    """The processes of an account: by number, the words that started each."""
    listed = subprocess.run(
        ["ps", "-ww", "-u", room.accounts[learner], "-o", "pid=,args="], capture_output=True, text=True, timeout=120
    )
    return {int(line.split()[0]): line for line in listed.stdout.splitlines()}


def own_port(room, learner):
    """The port at which a learner's server listens, past the proxy."""
    server = next(number for number, words in processes(room, learner).items() if "singleuser" in words)
    sockets = {os.readlink(entry.path) for entry in os.scandir(f"/proc/{server}/fd") if entry.is_symlink()}
    lines = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    mine = [line[1] for line in lines if line[3] == "0A" and f"socket:[{line[9]}]" in sockets]
    return int(mine[0].split(":")[1], 16)


def cohort_setting(room, old, new):
    path = room.root / "cohort.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))  # the file's owner stays


# ------------------------------------------------------------ one learner on another, by account of the machine


def test_another_learners_home_and_work_cannot_be_looked_into(at_work):
    home = at_work.home("amber")
    assert at_work.as_("amber", "ls", str(home / "rework-workbook/profile")).returncode == 0
    for place in ("", "rework-workbook", "rework-workbook/start.ipynb", ".jupyter-run"):
        found = at_work.as_("birch", "ls", str(home / place))
        assert found.returncode != 0, place
        assert "Permission denied" in found.stderr


def test_the_inbox_cannot_be_listed_read_or_written_by_a_learner(room):
    assert sent(room, "amber", zipped({BEAD: work(room, "amber")}))[0] == 200
    (file,) = kept(room, "amber")[-1:]
    for words in (["ls", str(room.inbox)], ["cat", str(room.inbox / "amber" / file)], ["touch", str(room.inbox / "x")]):
        assert room.as_("birch", *words).returncode != 0
        assert room.as_("amber", *words).returncode != 0
    assert (room.inbox / "amber" / file).stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("name", SECRETS)
def test_the_cohort_is_shut_to_learners(room, name):
    assert (room.root / name).is_file()
    assert room.as_("birch", "cat", str(room.root / name)).returncode != 0


def test_the_solutions_are_not_there_for_learners(room):
    assert room.as_("birch", "ls", str(classroom_served.ROOT / "solutions")).returncode != 0


def test_the_hubs_own_folder_with_its_secrets_is_roots(room):
    assert (room.folder / "state" / "cookie_secret").is_file()
    for learner in ("birch", "teacher"):
        assert room.as_(learner, "ls", str(room.folder / "state")).returncode != 0


def test_environments_with_tokens_in_them_cannot_be_read(at_work):
    servers = [number for number, words in processes(at_work, "amber").items() if "singleuser" in words]
    service = [number for number, words in processes(at_work, "teacher").items() if "classroom.service" in words]
    assert servers
    assert service
    for number in (*servers, *service):
        assert b"JUPYTERHUB_API_TOKEN" in Path(f"/proc/{number}/environ").read_bytes()
        assert at_work.as_("birch", "cat", f"/proc/{number}/environ").returncode != 0


def test_another_learners_processes_and_the_service_cannot_be_killed(at_work):
    for whose in ("amber", "teacher"):
        before = processes(at_work, whose)
        for number in before:
            assert at_work.as_("birch", "kill", "-9", str(number)).returncode != 0
        assert processes(at_work, whose) == before


def test_a_kernel_speaks_through_files_of_the_learners_own_and_not_through_ports(at_work):
    """On TCP it would send what it prints to whoever of the machine asks."""
    runtime = at_work.home("amber") / ".jupyter-run"
    kernels = [json.loads(path.read_text()) for path in runtime.glob("kernel-*.json")]
    assert kernels
    assert {kernel["transport"] for kernel in kernels} == {"ipc"}
    assert runtime.stat().st_mode & 0o077 == 0


def test_the_service_runs_as_the_instructor_and_not_as_root(room):
    assert any("classroom.service" in words for words in processes(room, "teacher").values())


# ------------------------------------------------------------ one learner on another, by what is asked

WHOSE = "amber"


def amber_in(reply):
    """Whether a reply holds anything that is amber's."""
    return reply[0] == 200 and (b"amber" in reply[2] or b"Amber" in reply[2] or b"amber" in _names(reply[2]))


def _names(content):
    try:
        return " ".join(zipfile.ZipFile(BytesIO(content)).namelist()).encode()
    except zipfile.BadZipFile:
        return b""


ASKED = {
    "by a parameter": "handout?learner=amber",
    "by a user's parameter": "handout?user={amber}&name={amber}&id=amber",
    "feedback by a parameter": "feedback?learner=amber",
    "feedback by a path": "feedback/amber/profile",
    "a path upwards": "handout/../amber",
    "a path upwards, encoded": "feedback/%2e%2e%2f%2e%2e%2fhandouts%2famber.zip",
    "a path upwards, twice encoded": "feedback/%252e%252e%252famber",
    "a backslash": "feedback/..%5c..%5chandouts%5camber.zip",
    "an absolute path": "feedback//etc/passwd",
    "a zero byte": "feedback/profile%00amber",
    "the archive's own name": "handout/amber.zip",
    "the record": "record.jsonl",
    "the inbox": "hand-in/amber",
}


@pytest.mark.parametrize("place", ["service", "direct"])
@pytest.mark.parametrize("path", ASKED.values(), ids=ASKED.keys())
def test_what_is_asked_names_nobody(room, path, place):
    url = getattr(room, place) + path.format(amber=room.accounts["amber"])
    assert not amber_in(ask(url, room.token("birch")))


NAMED = ("X-Forwarded-User", "Remote-User", "X-Remote-User", "X-JupyterHub-User", "X-Learner", "Forwarded")


@pytest.mark.parametrize("header", NAMED)
def test_a_header_names_nobody(room, header):
    reply = ask(f"{room.direct}handout", room.token("birch"), **{header: room.accounts["amber"]})
    assert reply[0] == 200
    assert b"birch/profile" in _names(reply[2])
    assert not amber_in(reply)
    assert ask(f"{room.direct}handout", **{header: room.accounts["amber"]})[0] == 401


@pytest.mark.parametrize("token", ["", "0" * 32, "null", "undefined", "../", "' or 1=1 --"])
@pytest.mark.parametrize("place", ["service", "direct"])
def test_without_a_true_token_there_is_nothing_through_the_proxy_or_past_it(room, token, place):
    url = getattr(room, place)
    for what in ("handout", "feedback", "feedback/profile"):
        status, _, body = ask(url + what, token)
        assert status in (401, 403)
        assert "does not know" in json.loads(body)["say"]
    assert ask(f"{url}handout?token={'0' * 32}")[0] == 401
    assert ask(f"{url}hand-in", token, "POST", zipped({BEAD: work(room, "amber")}))[0] in (401, 403)


@pytest.mark.parametrize("method", ["DELETE", "PUT", "PATCH", "OPTIONS", "TRACE"])
def test_no_other_method_does_anything(room, method):
    before = kept(room, "amber"), kept(room, "birch")
    for what in ("handout", "hand-in", "feedback", "feedback/profile", ""):
        assert ask(f"{room.service}{what}", room.token("birch"), method, b"x")[0] in (400, 404, 405)
    assert (kept(room, "amber"), kept(room, "birch")) == before


def test_a_get_hands_nothing_in_and_a_method_in_a_header_is_not_heard(room):
    assert ask(f"{room.service}hand-in", room.token("birch"))[0] == 405
    reply = ask(f"{room.service}handout", room.token("birch"), X_HTTP_Method_Override="DELETE")
    assert reply[0] == 200


def test_another_learners_server_is_shut_through_the_proxy_and_past_it(at_work):
    port = own_port(at_work, "amber")
    name = at_work.accounts["amber"]
    for url in (at(at_work, "amber", ""), f"http://127.0.0.1:{port}/user/{name}/"):
        for path in ("api/contents", "api/kernels", "files/start.ipynb", "api/contents/start.ipynb"):
            assert ask(url + path, at_work.token("amber"))[0] == 200
            assert ask(url + path, at_work.token("birch"))[0] in (302, 401, 403, 404)
            assert ask(url + path)[0] in (302, 401, 403, 404)
        assert ask(url + "api/contents/start.ipynb", at_work.token("birch"), "DELETE")[0] in (401, 403, 404)
    status, _, text = Session(at_work, "birch").get(at(at_work, "amber", "lab"))
    assert status in (403, 404)
    assert "jupyterlab" not in text


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "users/{amber}"),
        ("GET", "users"),
        ("POST", "users/{amber}/tokens"),
        ("GET", "users/{amber}/tokens"),
        ("DELETE", "users/{amber}/server"),
        ("POST", "users/{amber}/server"),
        ("DELETE", "users/{amber}"),
        ("PATCH", "users/{amber}"),
        ("POST", "shares/{amber}/"),
        ("GET", "proxy"),
        ("GET", "services"),
        ("GET", "groups"),
        ("POST", "shutdown"),
    ],
)
def test_the_hubs_own_doors_to_another_are_shut(at_work, method, path):
    url = f"{at_work.url}/hub/api/{path.format(amber=at_work.accounts['amber'])}"
    status, _, body = ask(url, at_work.token("birch"), method, b"{}" if method in ("POST", "PATCH") else None)
    assert status in (400, 403, 404, 405) or (status == 200 and at_work.accounts["amber"].encode() not in body)
    assert ask(at(at_work, "amber", "api/status"), at_work.token("amber"))[0] == 200


def test_the_proxys_own_door_is_shut(room):
    status, _, body = ask(f"http://127.0.0.1:{room.port + 2}/api/routes", room.token("birch"))
    assert status == 403
    assert b"/user/" not in body


def test_a_page_from_elsewhere_cannot_hand_in_by_a_browsers_cookies(room):
    """A cookie is sent by itself; a token is not."""
    session = Session(room, "birch")
    assert session.get(f"{room.service}feedback")[0] == 200
    before = kept(room, "birch")
    request = urllib.request.Request(f"{room.service}hand-in", zipped({BEAD: work(room, "birch")}), method="POST")
    with pytest.raises(urllib.error.HTTPError) as refused:
        session.opener.open(request)
    assert refused.value.code in (401, 403)
    assert kept(room, "birch") == before


@pytest.mark.parametrize("who", ["a wrong password", "an account that is no learner's", "a name in capitals"])
def test_who_is_no_learner_with_the_right_password_does_not_come_in(room, who):
    learner, password, name = {
        "a wrong password": ("amber", "guessed", str),
        "an account that is no learner's": ("teacher", PASSWORD, str),
        "a name in capitals": ("amber", PASSWORD, str.upper),
    }[who]
    with pytest.raises(urllib.error.HTTPError) as refused:
        Session(room, learner, password, name)
    assert refused.value.code == 403


# ------------------------------------------------------------ what is handed in


def test_another_learners_notebook_is_not_taken_and_said_so_at_once(room):
    before = kept(room, "birch"), kept(room, "amber")
    status, said = sent(room, "birch", zipped({BEAD: work(room, "amber")}))
    assert status == 422
    assert "another learner's handout" in said["say"]
    assert (kept(room, "birch"), kept(room, "amber")) == before


def test_what_names_another_learner_in_its_seal_or_is_of_another_cohort_is_not_taken(room):
    own = work(room, "birch")
    for forged in (
        altered(own, learner="amber"),
        altered(own, seal="0" * 32),
        altered(own, exercise="read-the-log"),
        altered(own, learner="zelkova"),
    ):
        status, said = sent(room, "birch", zipped({"x.ipynb": forged}))
        assert (status, "seal" in said["say"] or "not handed out" in said["say"]) == (422, True)


@pytest.mark.parametrize(
    "name", ["amber/profile/04_bead-lag.ipynb", "../../amber/x.ipynb", "/etc/x.ipynb", "..\\x.ipynb"]
)
def test_folders_in_a_parcel_lead_nowhere_and_name_nobody(room, name):
    before = kept(room, "amber"), sorted(path.name for path in room.folder.iterdir())
    status, _ = sent(room, "birch", zipped({name: work(room, "birch", f"time_constant = {len(name)}.5\n")}))
    assert status == 200
    with zipfile.ZipFile(
        max((room.inbox / "birch").glob("*.zip"), key=lambda path: path.stat().st_mtime_ns)
    ) as archive:
        assert archive.namelist() == ["birch/profile/04_bead-lag.ipynb"]
    assert (kept(room, "amber"), sorted(path.name for path in room.folder.iterdir())) == before


def test_the_sound_ones_of_a_parcel_are_taken_and_the_others_named(room):
    parcel = {"a.ipynb": work(room, "cedar"), "b.ipynb": work(room, "amber"), "c.ipynb": b"{", "d.ipynb": b"\xff"}
    status, said = sent(room, "cedar", zipped(parcel))
    assert status == 200
    assert "Taken: 1 exercise with 1 answer." in said["say"]
    assert "NOT taken (3):" in said["say"]


ROTTEN = {
    "nothing": (lambda: b"", "empty"),
    "no archive": (lambda: b"hello", "damaged"),
    "an archive of nothing": (lambda: zipped({}), "no notebook of your own"),
    "a bomb": (lambda: zeros(300_000_000), "too large"),
    "a bomb in a bomb": (lambda: nested(zeros(150_000_000), 3), "too"),
    "fifteen hundred members": (lambda: zipped({f"{place}.ipynb": b"" for place in range(1500)}), "more like these"),
    "locked": (lambda: locked(zipped({"x.ipynb": b"{}"})), "password"),
    "no notebook": (lambda: zipped({"x.pdf": b"%PDF"}), "no notebook of your own"),
    "surrogates": (
        lambda: zipped({"x.ipynb": b'{"metadata": {"rework_workbook": "\\ud800"}}'}),
        "Nothing was handed in",
    ),
}


@pytest.mark.parametrize("rotten", ROTTEN)
def test_rubbish_is_one_answer_in_words_and_nothing_is_kept(room, rotten):
    made, words = ROTTEN[rotten]
    before = kept(room, "cedar")
    status, said = sent(room, "cedar", made())
    assert status == 422
    assert words in said["say"]
    assert kept(room, "cedar") == before


def test_a_parcel_that_is_too_large_hears_so(room):
    status, said = sent(room, "cedar", b"0" * (hand_in.MOST_BYTES + 1))
    assert status == 413
    assert "at most 30 MB" in said["say"]


def test_the_same_twice_is_one_file_and_one_receipt(room):
    parcel = zipped({BEAD: work(room, "amber", "time_constant = 7.25\n")})
    (_, first), count = sent(room, "amber", parcel), len(kept(room, "amber"))
    status, again = sent(room, "amber", parcel)
    assert (status, again["digest"], len(kept(room, "amber"))) == (200, first["digest"], count)
    assert "Handed in before" in again["say"]


def test_an_emptier_one_after_a_fuller_one_displaces_nothing_and_is_told(room):
    sent(room, "amber", zipped({BEAD: work(room, "amber", "time_constant = 8.5\n")}))
    before = kept(room, "amber")
    status, said = sent(room, "amber", zipped({BEAD: (room.root / "handouts" / BEAD).read_bytes()}))
    assert status == 200
    assert "marking keeps the fuller file" in said["say"]
    assert set(before) < set(kept(room, "amber"))


@pytest.mark.parametrize("room_for", ["nothing", "the file and no receipt"])
def test_a_full_disk_keeps_nothing_half_and_says_so(room, room_for):
    place = str(room.inbox / "cedar")
    owner = room.accounts["teacher"]
    inside = ["nsenter", "--mount", f"--target={service_of(room)}"]
    mount = [*inside, "mount", "-t", "tmpfs", "-o", f"size=4k,mode=0700,uid={owner},gid={owner}", "none", place]
    (room.inbox / "cedar").mkdir(exist_ok=True)
    subprocess.run(mount, check=True, timeout=120)
    try:
        padding = "# " + os.urandom(6000).hex() if room_for == "nothing" else ""
        status, said = sent(room, "cedar", zipped({BEAD: work(room, "cedar", f"time_constant = 9.75\n{padding}")}))
        there = subprocess.run([*inside, "ls", "-A", place], capture_output=True, text=True, timeout=120).stdout
    finally:
        subprocess.run([*inside, "umount", place], check=True, timeout=120)
    assert status == 507
    assert "Keep your file" in said["say"]
    assert ".zip" not in there
    assert ".coming" not in there


def service_of(room):
    return next(number for number, words in processes(room, "teacher").items() if "classroom.service" in words)


def test_ones_own_rubbish_runs_out_and_nobody_elses_does(room):
    for _ in range(30):
        status, said = sent(room, "cedar", b"rubbish")
        if status == 429:
            break
    assert status == 429
    assert "hand in again in" in said["say"]
    assert sent(room, "birch", zipped({BEAD: work(room, "birch", "time_constant = 11.5\n")}))[0] == 200


# ------------------------------------------------------------ what is handed out and fed back


def test_a_learner_gets_the_own_handout_and_no_other(room):
    for learner in ("amber", "birch", "cedar"):
        status, headers, body = ask(f"{room.service}handout", room.token(learner))
        assert status == 200
        assert {name.split("/")[0] for name in zipfile.ZipFile(BytesIO(body)).namelist()} == {learner}
        assert headers["Cache-Control"] == "no-store"


def test_a_handout_that_is_not_made_is_said(room):
    path = room.root / "handouts" / "cedar.zip"
    path.rename(path.with_suffix(".away"))
    status, _, body = ask(f"{room.service}handout", room.token("cedar"))
    path.with_suffix(".away").rename(path)
    assert status == 404
    assert "No handout of yours" in json.loads(body)["say"]


def test_who_has_left_is_no_learner_of_the_classroom(room):
    roster = room.root / "learners.csv"
    text = roster.read_text()
    try:
        roster.write_text("".join(_gone(line) for line in text.splitlines(keepends=True)))
        assert ask(f"{room.service}handout", room.token("cedar"))[0] == 403
    finally:
        roster.write_text(text)
    assert ask(f"{room.service}handout", room.token("cedar"))[0] == 200


def test_who_is_added_to_the_list_while_the_classroom_runs_comes_in(room):
    """By the instructor's own commands, with nothing started again; before that the right password opens nothing."""
    with pytest.raises(urllib.error.HTTPError) as refused:
        Session(room, LATER)
    assert refused.value.code == 403
    roster = room.folder / "later.csv"
    roster.write_text(f"id,name,hub\n{LATER},Dahlia (invented),{room.accounts[LATER]}\n")
    handed = room.as_("teacher", sys.executable, "-m", "graders", "handout", str(roster), "--to", str(room.root))
    assert handed.returncode == 0, handed.stderr
    assert Session(room, LATER).landed.endswith("/hub/home")
    assert ask(f"{room.service}handout", room.token(LATER))[0] == 200


def _gone(line):
    cells = line.split(",")
    return ",".join([*cells[:2], "left", *cells[3:]]) if cells[0] == "cedar" else line


HOSTILE = (
    "<!DOCTYPE html><title>quiet</title><h1>Marks</h1><script>document.title='ran'</script>"
    "<img src=x onerror=\"document.title='ran'\"><a id=go href=\"javascript:document.title='ran'\">go</a>"
    "<form action=/hub/logout><button>out</button></form><iframe src=/hub/home></iframe>"
)


def test_feedback_before_its_release_is_not_there_and_after_it_is(room):
    page = room.root / "feedback_pages" / "birch" / "profile.html"
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text("<p>first marks</p>")
    classroom_served.give(room.root, room.accounts["teacher"])
    url = f"{room.service}feedback/profile"
    status, _, body = ask(url, room.token("birch"))
    assert status == 404
    assert "no feedback on this topic" in json.loads(body)["say"]
    cohort_setting(room, "released = []", 'released = ["profile"]')
    cohort_setting(room, "feedback_from = {}", "feedback_from = { profile = 2999-01-01T00:00:00 }")
    assert ask(url, room.token("birch"))[0] == 404
    cohort_setting(room, "feedback_from = { profile = 2999-01-01T00:00:00 }", "feedback_from = {}")
    assert b"first marks" in ask(url, room.token("birch"))[2]
    page.write_text("<p>marked anew</p>")
    assert b"marked anew" in ask(url, room.token("birch"))[2]
    assert ask(url, room.token("cedar"))[0] == 404
    cohort_setting(room, 'released = ["profile"]', "released = []")


def test_a_setting_that_cannot_be_read_gives_nobody_anything(room):
    cohort_setting(room, "released = []", 'released = ["profil"]')
    status, _, body = ask(f"{room.service}feedback/profile", room.token("birch"))
    cohort_setting(room, 'released = ["profil"]', "released = []")
    assert status == 500
    assert "profil" not in json.loads(body)["say"]


# ------------------------------------------------------------ the command


def test_a_port_that_is_taken_is_one_line(room):
    """The classroom that runs has all four."""
    refused = subprocess.run(
        classroom_served.command(room.folder, room.port, "--check"), capture_output=True, text=True, timeout=60
    )
    assert refused.returncode == 1
    assert f"port {room.port}, for the page, cannot be used" in refused.stderr


def test_a_cohort_that_others_may_look_into_is_not_opened(room):
    looked = classroom_served.command(room.folder, classroom_served.free_block(), "--check")
    room.root.chmod(0o755)
    refused = subprocess.run(looked, capture_output=True, text=True, timeout=60)
    room.root.chmod(0o700)
    assert refused.returncode == 1
    assert "other users of this machine can look into" in refused.stderr
    assert f"chmod 700 {room.root}" in refused.stderr


# ------------------------------------------------------------ the learner's way


@pytest.fixture
def window(browser, room):
    context = browser.new_context(viewport={"width": 1366, "height": 650})
    context.set_default_timeout(90_000)
    yield context
    context.close()


def logged_in(window, room, learner):
    tab = window.new_page()
    tab.goto(room.url)
    tab.get_by_label("Username:").fill(room.accounts[learner])
    tab.get_by_label("Password:").fill(PASSWORD)
    tab.get_by_role("button", name="Sign in").click()
    tab.locator(".rework-contents .classroom").wait_for()
    return tab


def not_saved_is_not_handed_in(tab, room, learner):
    """Ask to hand in while no page can be saved: it is told, and what was kept before is all that is kept."""
    from tests.browser.lesson_server import SEEN, no_save_succeeds

    before = kept(room, learner)
    with no_save_succeeds(tab):
        tab.locator(SEEN).get_by_role("button", name="Hand in").click()
        tab.locator(SEEN).get_by_role("status").filter(has_text="NOT handed in: a page could not be saved").wait_for()
    for _ in range(4):  # JupyterLab says why, once for each page
        tab.wait_for_timeout(500)
        for button in tab.get_by_role("dialog").get_by_role("button").all()[:1]:
            button.click()
    assert kept(room, learner) == before


@pytest.mark.browser
@pytest.mark.contained
def test_a_learners_way_from_login_to_feedback(window, room):
    """Log in, answer, check, hand in and read the receipt; the instructor marks and releases; read the feedback."""
    from tests.browser.lesson_server import CLEAN, SEEN, in_both_themes, violations

    tab = logged_in(window, room, "amber")
    assert in_both_themes(tab, ".rework-contents .classroom") == CLEAN
    tab.locator(f"{SEEN} details", has=tab.locator("a[data-path^='profile/']")).evaluate("topic => (topic.open = true)")
    tab.locator(f"{SEEN} li a[data-path='profile/04_bead-lag.ipynb']").click()
    field = tab.locator(SEEN).get_by_label("Answer to part 1", exact=True).get_by_role("textbox")
    field.fill("1.25 s")
    tab.keyboard.press("Enter")
    tab.locator(f"{SEEN} .rework-bar").get_by_role("status").filter(has_text="Part 1:").wait_for()
    tab.locator("#jp-main-dock-panel .lm-TabBar-tab", has_text="start.ipynb").click()
    not_saved_is_not_handed_in(tab, room, "amber")
    tab.locator(SEEN).get_by_role("button", name="Hand in").click()
    receipt = tab.locator(SEEN).get_by_role("status").filter(has_text="Digest of what is kept")
    receipt.wait_for()
    assert "Taken: 2 exercises with 1 answer." in receipt.inner_text()
    assert "byte for byte what is kept" in receipt.inner_text()
    digest = receipt.inner_text().split("(SHA-256): ")[1].split()[0]
    assert any(name.endswith(f"_{digest[:10]}.zip") for name in kept(room, "amber"))
    tab.locator(f"{SEEN} .classroom").evaluate("page => (page.dataset.old = true)")
    tab.locator("#jp-main-dock-panel .lm-TabBar-tab", has_text="04_bead-lag.ipynb").click()
    tab.locator("#jp-main-dock-panel .lm-TabBar-tab", has_text="start.ipynb").click()
    tab.locator(f"{SEEN} .classroom:not([data-old])").wait_for()  # the page is drawn anew
    assert digest in receipt.inner_text()

    cohort = str(room.root)
    marked = room.as_("teacher", sys.executable, "-m", "graders", "mark", cohort, str(room.inbox))
    assert marked.returncode == 0, marked.stdout + marked.stderr
    assert room.as_("teacher", sys.executable, "-m", "graders", "report", cohort).returncode == 0
    with window.expect_page() as opened:
        tab.locator(SEEN).get_by_role("button", name="My feedback").click()
    page = opened.value
    page.get_by_text("no feedback for you yet").wait_for()
    cohort_setting(room, "released = []", 'released = ["profile"]')
    page.reload()
    page.locator("nav a").wait_for()
    copy = window.new_page()  # in its sandbox no script runs, and axe is one
    copy.set_content(page.content())
    assert violations(copy, "body") == []
    page.locator("nav a").click()
    page.locator(".who", has_text="Amber (invented)").wait_for()
    assert "bead lags" in page.inner_text("body")
    cohort_setting(room, 'released = ["profile"]', "released = []")


@pytest.mark.browser
def test_nothing_runs_in_a_page_of_feedback_whatever_stands_in_it(window, room):
    page = room.root / "feedback_pages" / "cedar" / "profile.html"
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text(HOSTILE)
    classroom_served.give(room.root, room.accounts["teacher"])
    cohort_setting(room, "released = []", 'released = ["profile"]')
    tab = window.new_page()
    asked = []
    tab.goto(f"{room.service}feedback")
    tab.get_by_label("Username:").fill(room.accounts["cedar"])
    tab.get_by_label("Password:").fill(PASSWORD)
    tab.get_by_role("button", name="Sign in").click()
    tab.locator("nav a").click()
    tab.get_by_role("heading", name="Marks").wait_for()
    tab.on("request", lambda request: asked.append(request.url))
    tab.locator("#go").click()
    tab.get_by_role("button", name="out").click()
    tab.wait_for_timeout(300)
    assert tab.title() == "quiet"
    assert asked == []
    cohort_setting(room, 'released = ["profile"]', "released = []")
