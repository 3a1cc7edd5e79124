"""Small messages from the kernel go out at once, so that a dragged control is answered without a pause."""

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """The server's ordinary connection between page and kernel, with nothing held back.

    A socket as it comes collects small messages until the last one is acknowledged, and the browser's machine
    acknowledges late on purpose: together about 40 ms before an answer that has long been computed is sent.
    """

    def connect(self):
        self.websocket_handler.set_nodelay(True)
        return super().connect()
