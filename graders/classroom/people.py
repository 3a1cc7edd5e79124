"""Who a user of the hub is: the cohort's list says it, in the column ``hub`` where a name there differs from the id."""

from collections.abc import Iterable
from dataclasses import dataclass

from graders.cohort import roster
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from workbook.problems import Problem

HEAD = "hub"
TIP = "mend the column hub in learners.csv; without a name there, the id is the name, in small letters"


@dataclass(frozen=True)
class Seat:
    """A learner in the classroom: the name by which the hub knows them, and who that is."""

    hub: str
    learner: str
    name: str


def hub_name(learner: Learner) -> str:
    """Return the name by which the hub knows a learner. The hub writes all names in small letters.

    >>> hub_name(Learner("S-104", "Amber")), hub_name(Learner("S-104", "Amber", others=(("Hub", "Amber.W"),)))
    ('s-104', 'amber.w')
    """
    said = next((value for head, value in learner.others if roster.plain(head) == HEAD and value), learner.id)
    return said.lower()


def seated(people: Iterable[Learner], handed: Iterable[str]) -> dict[str, Seat]:
    """Return who sits in the classroom, by the hub's name: those who have a handout and have not left.

    Raises
    ------
    Problem
        For a name that cannot be an account's, and for one that two learners have.
    """
    with_handout, found = set(handed), dict[str, Seat]()
    for one in people:
        name = hub_name(one)
        if not roster.is_safe(name):
            raise Problem(f"learners.csv: {one.id} has the name {name!r} in the hub, which no account can have.", TIP)
        if name in found:
            raise Problem(f"learners.csv: {found[name].learner} and {one.id} have one name in the hub, {name!r}.", TIP)
        found[name] = Seat(name, one.id, one.name)
    gone = {hub_name(one) for one in people if one.left}
    return {name: seat for name, seat in found.items() if name not in gone and seat.learner in with_handout}


def of(cohort: Cohort, record: HandoutRecord) -> dict[str, Seat]:
    """Return who sits in a cohort's classroom, by the hub's name, or raise Problem."""
    return seated(roster.read(cohort.roster, may_be_empty=True), record.learners)
