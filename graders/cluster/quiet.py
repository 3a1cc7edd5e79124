"""dask.distributed without its own words: what a person must know is said by us, in one line."""

import logging

SPEAKERS = ("distributed", "distributed.client", "tornado", "tornado.application", "asyncio")


def hush() -> None:
    """Let what dask.distributed would log go nowhere."""
    import distributed  # noqa: F401  it sets its loggers up as it is loaded

    for name in SPEAKERS:
        logger = logging.getLogger(name)
        logger.handlers[:] = [logging.NullHandler()]
        logger.propagate = False
