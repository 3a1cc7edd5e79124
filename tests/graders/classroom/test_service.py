"""What the service does with a parcel whose sender hangs up."""

import asyncio
import io
import threading
from types import SimpleNamespace
from unittest import mock

import pytest
from tornado.httputil import HTTPHeaders, HTTPServerRequest, RequestStartLine

from graders.classroom.patience import Patience

service = pytest.importorskip("graders.classroom.service", reason="the hub is not installed", exc_type=ImportError)


def test_a_parcel_whose_sender_hangs_up_while_it_is_looked_at_is_looked_at_whole_and_alone():
    looking, go_on, read = threading.Event(), threading.Event(), []

    def take(learner, parcel):
        looking.set()
        go_on.wait(20)
        parcel.seek(0)
        read.append(parcel.read())
        return {"say": "Handed in."}

    async def handed_in():
        room = SimpleNamespace(patience=Patience(), lookers=None, take=take)
        line = RequestStartLine("POST", "/hand-in", "HTTP/1.1")
        sender = HTTPServerRequest(start_line=line, headers=HTTPHeaders(Host="here"), connection=mock.MagicMock())
        sender._body_future = asyncio.get_running_loop().create_future()  # as tornado gives a body that is streamed
        asked = service._HandIn(service.application(room, "/"), sender)
        asked.seat = SimpleNamespace(learner="amber")
        room.patience.begin("amber")
        asked.begun, asked.size, asked.parcel = True, 6, io.BytesIO()
        asked.parcel.write(b"parcel")
        post = asyncio.ensure_future(asked.post())
        await asyncio.to_thread(looking.wait, 20)
        asked.on_connection_close()
        busy = room.patience.begin("amber")
        go_on.set()
        await asyncio.wait([post], timeout=20)
        return busy, room.patience.begin("amber"), asked.parcel.closed

    busy, then, closed = asyncio.run(handed_in())
    assert read == [b"parcel"]
    assert (busy.split(".")[0], then, closed) == ("Another file of yours is being looked at", "", True)
