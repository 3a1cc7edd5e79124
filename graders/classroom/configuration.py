"""What the hub is told: who may log in, how a learner's server starts, and our service beside it."""

import sys
from dataclasses import asdict, dataclass
from typing import Any

NAME = "classroom"
PREFIX = f"/services/{NAME}/"
SCOPE = f"access:services!service={NAME}"
LOOPBACK = "127.0.0.1"
PATIENCE = 180
"""Seconds in which a learner's server must answer: thirty may start at once on two cores."""


@dataclass(frozen=True)
class Room:
    """One classroom: everything that the hub's configuration is made of."""

    state: str
    cohort: str
    inbox: str
    instructor: str
    learners: tuple[str, ...]
    """Their names in the hub."""
    proxy: str
    address: str
    port: int
    certificate: str = ""
    key: str = ""

    @property
    def url(self) -> str:
        """Where learners go."""
        return f"http{'s' if self.certificate else ''}://{self.address}:{self.port}"

    @property
    def ports(self) -> dict[str, int]:
        """Return the ports of this machine: the one that learners go to, and three that are reached from here only."""
        return {what: self.port + place for place, what in enumerate(("page", "hub", "proxy", "service"))}

    @property
    def service_url(self) -> str:
        return f"http://{LOOPBACK}:{self.ports['service']}"


def fill(c: Any, room: Room) -> None:
    """Fill a JupyterHub configuration."""
    hub, state = c.JupyterHub, room.state
    hub.bind_url = room.url
    hub.ssl_cert, hub.ssl_key = room.certificate, room.key
    hub.hub_bind_url = f"http://{LOOPBACK}:{room.ports['hub']}"
    hub.db_url = f"sqlite:///{state}/hub.sqlite"
    hub.cookie_secret_file = f"{state}/cookie_secret"
    hub.pid_file = f"{state}/hub.pid"
    c.ConfigurableHTTPProxy.command = [room.proxy]
    c.ConfigurableHTTPProxy.api_url = f"http://{LOOPBACK}:{room.ports['proxy']}"
    c.ConfigurableHTTPProxy.pid_file = f"{state}/proxy.pid"

    hub.authenticator_class = "graders.classroom.letting_in.ByTheList"
    c.ByTheList.room = asdict(room)
    c.Authenticator.allowed_users = set(room.learners)
    c.Authenticator.admin_users = set[str]()
    c.Authenticator.delete_invalid_users = True

    hub.spawner_class = "localprocess"
    c.Spawner.cmd = [sys.executable, "-m", "graders.classroom.start"]
    c.Spawner.default_url = "/lab/tree/start.ipynb"
    c.Spawner.environment = {"REWORK_CLASSROOM": f"{room.service_url}{PREFIX}"}
    c.Spawner.start_timeout = c.Spawner.http_timeout = PATIENCE
    hub.tornado_settings = {"slow_spawn_timeout": 20}
    hub.concurrent_spawn_limit = 100

    hub.load_roles = [
        {"name": "user", "scopes": ["self", SCOPE]},
        {"name": "server", "scopes": ["users:activity!user", "access:servers!server", SCOPE]},
    ]
    hub.services = [
        {
            "name": NAME,
            "url": room.service_url,
            "command": [sys.executable, "-m", "graders.classroom.service"],
            "user": room.instructor,
            "environment": {"REWORK_COHORT": room.cohort, "REWORK_INBOX": room.inbox},
            "cwd": "/",
            "oauth_no_confirm": True,
            "display": False,
        }
    ]
