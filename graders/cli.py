"""The instructor's door. Each command parses, calls one function and prints."""

import os
from pathlib import Path

import click

from workbook.command_group import Door, NumberRange


@click.group(
    cls=Door,
    stopped="What was finished is kept; run the same command to go on.",
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(package_name="rework-workbook", prog_name="graders")
def main():
    """Hand out exercises in own numbers, mark what comes back, and report."""


certificates = click.option(
    "--certificates",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    envvar="REWORK_CERTIFICATES",
    help="The folder of ca.pem, cert.pem and key.pem, for tls://; or set REWORK_CERTIFICATES.",
)


@main.command()
@click.option(
    "--to", "folder", type=click.Path(path_type=Path), help="The demo's folder; without, a new one in your home."
)
@click.option("--term", "whole_term", is_flag=True, help="A whole term: 24 learners, six weeks; takes some minutes.")
def demo(folder, whole_term):
    """Make a small invented cohort, from handout to report.

    Example: graders demo --to trial
    """
    if whole_term:
        from graders.demo import term

        term.run(folder)
        return
    from graders.demo import run

    run.run(folder)


@main.command()
@click.argument("roster", type=click.Path(path_type=Path))
@click.option("--to", "folder", type=click.Path(path_type=Path), required=True, help="The cohort's folder.")
@click.option("--topic", "topics", multiple=True, help="Hand out this topic only; may be given again.")
@click.option("--exercise", "exercises", multiple=True, help="Of its topic, hand out this one only: TOPIC/EXERCISE.")
@click.option("--title", default="", help="How pages name the cohort.")
@click.option("--only", help="With --again: the learner whose lost handout is written again.")
@click.option("--again", is_flag=True, help="Write a lost handout again, with the same numbers.")
def handout(roster, folder, topics, exercises, title, only, again):
    """Make a cohort's folder with a handout in own numbers for every learner of a CSV file.

    Example: graders handout learners.csv --to spring
    """
    from graders import commands

    if again != bool(only):
        raise click.UsageError("--again goes with --only LEARNER.")
    commands.hand_out(roster, folder, topics, title, only, exercises)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("came_in", metavar="[FROM]...", nargs=-1, type=click.Path(path_type=Path))
@click.option("--topic", "topics", multiple=True, help="Mark this topic only; may be given again.")
@click.option("--only", multiple=True, help="Mark this learner only; may be given again.")
@click.option("--trust-submissions", is_flag=True, help="Run uncontained: only for notebooks you wrote yourself.")
@click.option(
    "--fresh-numbers",
    type=click.Choice(["flag", "half", "zero"]),
    help="For this run, in place of what cohort.toml says.",
)
@click.option("--anew", is_flag=True, help="Mark everything anew, changed or not.")
@click.option("--received", metavar="TIME", help="When all of FROM came, as 2026-03-02T14:05; your local time.")
@click.option("--time-limit", type=NumberRange(1, 3600), help="Seconds one learner's topic may take.")
@click.option("--scheduler", metavar="ADDRESS", help="Run notebooks on the workers of a cluster: tls://host:port.")
@certificates
def mark(
    cohort,
    came_in,
    topics,
    only,
    trust_submissions,
    fresh_numbers,
    anew,
    received,
    time_limit,
    scheduler,
    certificates,
):
    """Mark what was submitted and is new or changed; file what came in FROM folders, files and archives first.

    Example: graders mark spring inbox --topic profile
    """
    from graders import commands
    from graders.runner.job import Limits

    if received is not None and not came_in:
        raise click.UsageError("--received goes with what came in FROM somewhere.")
    if scheduler and trust_submissions:
        raise click.UsageError("--trust-submissions goes without --scheduler: a cluster's workers have walls.")
    limits = Limits(topic_seconds=time_limit) if time_limit else Limits()
    when = None if received is None else commands.moment(received)
    pool = commands.cluster(scheduler, certificates) if scheduler else None
    commands.mark(cohort, topics, only, trust_submissions, came_in, limits, fresh_numbers, anew, when, pool)


@main.command()
@click.argument("scheduler", metavar="ADDRESS")
@certificates
@click.option(
    "--processes",
    type=click.IntRange(1, 512),
    default=os.cpu_count() or 1,
    help="How many run at once; without it, one for each core.",
)
def worker(scheduler, certificates, processes):
    """Run and judge notebooks on this machine for a cluster: it holds no key, no record and no marks.

    Example: graders worker tls://marking.example:8786 --certificates certificates
    """
    from graders import commands

    commands.work(scheduler, certificates, processes)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "place", metavar="LEARNER/TOPIC/EXERCISE", required=True, help="Whose work it is.")
@click.option("--received", metavar="TIME", help="When it came, as 2026-03-02T14:05; else by the file's clock.")
@click.option(
    "--although-sealed-for-another",
    is_flag=True,
    help="Take it although it has another learner's seal, or was accepted for another place before.",
)
def accept(cohort, file, place, received, although_sealed_for_another):
    """Take a notebook that was held for a learner's exercise, because you are certain whose it is.

    Example: graders accept spring spring/held/0a1b2c3d4e-bead-lag.ipynb --as amber/profile/bead-lag
    """
    from graders import commands

    when = None if received is None else commands.moment(received)
    commands.accept(cohort, file, place, when, although_sealed_for_another)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
def report(cohort):
    """Write the feedback pages and the cohort's report.

    Example: graders report spring
    """
    from graders import commands

    commands.report(cohort)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("kind", metavar="handouts|feedback")
@click.option("--topic", "topics", multiple=True, help="Of handouts, those of this topic; may be given again.")
def mails(cohort, kind, topics):
    """Write a mail for every learner, ready to send, and a list of id, e-mail and file. Nothing is sent.

    Example: graders mails spring handouts --topic shorts
    """
    from graders import commands

    if kind not in ("handouts", "feedback"):
        raise click.UsageError(f"{kind!r} cannot be sent: write handouts or feedback.")
    if topics and kind == "feedback":
        raise click.UsageError("--topic goes with handouts; what feedback is held back, cohort.toml says.")
    commands.write_mails(cohort, kind, topics)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("topic")
@click.option("--exercise", "exercises", multiple=True, help="Of the topic, this exercise only; may be given again.")
def paper(cohort, topic, exercises):
    """Write a topic's exercises to print, a sheet a learner in own numbers, and the key to them all.

    Example: graders paper spring joints --exercise corner-joint
    """
    from graders import commands

    commands.paper(cohort, topic, exercises)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("topic")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--received", metavar="TIME", help="When the papers were collected, as 2026-03-02T14:05; else now.")
@click.option("--only", multiple=True, help="Enter this learner's answers only; may be given again.")
@click.option("--by-part", is_flag=True, help="Ask all learners' answers to one part before the next.")
@click.option("--anew", is_flag=True, help="Ask also for what was entered; Enter keeps what stands.")
def enter(cohort, topic, file, received, only, by_part, anew):
    """Enter answers from paper, asked one by one or from a table FILE, and file them as handed in.

    Example: graders enter spring joints --received 2026-03-02T14:05
    """
    from graders import commands

    if file is not None and (by_part or anew):
        raise click.UsageError("--by-part and --anew go with answers that are asked for, not with a FILE.")
    when = None if received is None else commands.moment(received)
    commands.enter(cohort, topic, file, when, only, by_part, anew)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="The port to listen on; without it, a free one.")
@click.option("--no-browser", is_flag=True, help="Print the address only.")
def words(cohort, port, no_browser):
    """Mark answers in words in a browser: one page a question, names hidden, the model beside.

    Example: graders words spring
    """
    from graders import commands

    commands.words(cohort, port, not no_browser)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.option("--port", type=click.IntRange(1, 65532), default=8000, help="Where learners go; three more follow it.")
@click.option(
    "--address", default="127.0.0.1", help="The address to listen on; any but this machine's own needs a certificate."
)
@click.option("--certificate", type=click.Path(path_type=Path, exists=True, dir_okay=False), help="For https, in PEM.")
@click.option("--key", type=click.Path(path_type=Path, exists=True, dir_okay=False), help="The certificate's key.")
@click.option("--config", type=click.Path(path_type=Path), help="JupyterHub settings of your own, read after ours.")
@click.option(
    "--state", type=click.Path(path_type=Path), help="The hub's own folder; else in /var/lib/rework-classroom."
)
@click.option("--check", is_flag=True, help="Only look whether all is ready; start nothing.")
def classroom(cohort, port, address, certificate, key, config, state, check):
    """Start a hub in which each learner works under an account of this machine.

    Learners get their own handout, hand in and read feedback there. Root starts it; the cohort stays the instructor's.

    Example: graders classroom spring
    """
    from graders import commands

    if bool(certificate) != bool(key):
        raise click.UsageError("--certificate goes with --key.")
    tls = (certificate, key) if certificate else None
    commands.classroom(cohort, port, address, tls, config, state, check)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("learner")
@click.argument("exercise")
def why(cohort, learner, exercise):
    """Print the judge's reasons for one learner and exercise.

    Example: graders why spring amber bead-lag
    """
    from graders import commands

    commands.why(cohort, learner, exercise)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("file", type=click.Path(path_type=Path))
def anonymise(cohort, file):
    """Write a cohort's marks without persons into a new CSV file, to keep after the term.

    Example: graders anonymise spring spring-2026.csv
    """
    from graders import commands

    commands.anonymise(cohort, file)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("earlier", type=click.Path(path_type=Path))
def compare(cohort, earlier):
    """Lay a cohort beside an earlier one: another cohort's folder, or a file that graders anonymise wrote.

    Example: graders compare spring spring-2025.csv
    """
    from graders import commands

    commands.compare(cohort, earlier)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.argument("file", metavar="[FILE | FOLDER]", required=False, type=click.Path(path_type=Path))
def backup(cohort, file):
    """Write a cohort's key, record, work and marks, those by hand too, into one file.

    Without FILE a dated one beside the cohort's folder.

    Example: graders backup spring
    """
    from graders import commands

    commands.backup(cohort, file)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("cohort", type=click.Path(path_type=Path))
def restore(file, cohort):
    """Put a backup into a new folder, or into a cohort what is lost there; what is fuller there stands.

    Example: graders restore spring-2026-12-01-1800.zip spring
    """
    from graders import commands

    commands.restore(file, cohort)


@main.command()
@click.argument("topic")
@click.option("--exercise", help="Of the topic, this exercise only.")
def slips(topic, exercise):
    """List for an author the wrong numbers of one slip that no hand-written slip names, and those a band lets in.

    Example: graders slips profile --exercise bead-lag
    """
    from graders import commands

    commands.slips(topic, exercise)


@main.command()
@click.argument("exercises", metavar="TOPIC/EXERCISE...", nargs=-1)
@click.option("--draws", default=12, type=click.IntRange(2, 100), help="How many draws of own numbers to try.")
def floor(exercises, draws):
    """Print what answers without the method earn at most, by part, beside each exercise's floor.

    Example: graders floor intake/two-findings
    """
    from graders import commands

    commands.floor(exercises, draws)


@main.command()
@click.argument("cohort", type=click.Path(path_type=Path))
@click.option("--new", metavar="NAME", help="Write a first sheet of this name, a small exercise to change into yours.")
@click.option("--topic", help="With --new: the topic it is handed out with.")
@click.option("--draws", default=50, type=click.IntRange(12, 1000), help="How many sets of numbers to try.")
def sheets(cohort, new, topic, draws):
    """Check your own exercises, the Python files in a cohort's sheets folder, as the workbook's are checked.

    Example: graders sheets spring --new bench-lead --topic shorts
    """
    from graders import commands

    if bool(new) != bool(topic):
        raise click.UsageError("--new NAME goes with --topic TOPIC.")
    commands.check_sheets(cohort, new or "", topic or "", draws)


@main.command("print")
@click.option("--check", is_flag=True, help="Change nothing; fail if a printed notebook is out of date.")
@click.option("--sources", is_flag=True, help="Change nothing; list each part, what holds it, source and standing.")
@click.option("--editions", is_flag=True, help="Change nothing; list what the last release asked or judged otherwise.")
@click.option("--release", metavar="VERSION", help="Raise the package's version and print its table of editions too.")
def print_(check, sources, editions, release):
    """Print solutions/ and exercises/ from the sheets.

    Example: graders print
    """
    if sources:
        from graders.notebooks.sources import lines

        click.echo("\n".join(lines()))
        return
    from graders.notebooks import printer, releases
    from workbook import paths
    from workbook.problems import Problem

    tables = paths.clone_folder("tests") / "fixtures" / "editions"
    if editions:
        click.echo("\n".join(releases.lines(tables)))
        return
    folders = paths.clone_folder("solutions"), paths.clone_folder("exercises")
    changed = (printer.out_of_date if check else printer.print_all)(*folders)
    if check and changed:
        raise Problem(f"{len(changed)} printed notebooks differ, the first {changed[0].name}.", "run: graders print")
    click.echo("Printed notebooks are up to date." if check else f"{len(changed)} files changed.")
    if release and not check:
        path = releases.release(release, tables.parents[2] / "pyproject.toml", tables)
        click.echo(f"Version {release}: {path}. Commit it with pyproject.toml, and install again: pip install -e .")
