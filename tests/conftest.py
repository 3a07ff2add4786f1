"""Nothing in the tests reaches beyond this machine."""

import sys

_THIS_MACHINE = {"", "localhost", "127.0.0.1", "::1", "0.0.0.0", "::"}


def refuse_network(event: str, arguments: tuple) -> None:
    """Audit hook: refuse a look-up of, or a connection to, another machine."""
    if event == "socket.getaddrinfo":
        host = arguments[0]
    elif event == "socket.connect" and isinstance(arguments[1], tuple):
        host = arguments[1][0]
    else:
        return
    name = host.decode() if isinstance(host, bytes) else host
    if name is not None and name not in _THIS_MACHINE:
        raise PermissionError(f"a test reached for the network: {name}")


sys.addaudithook(refuse_network)
