"""The guard in tests/conftest.py refuses other machines and allows this one."""

import socket

import pytest


def test_look_up_of_another_machine_is_refused() -> None:
    with pytest.raises(PermissionError, match="reached for the network"):
        socket.getaddrinfo("name.invalid", 80)


def test_connection_to_another_machine_is_refused() -> None:
    with socket.socket() as client, pytest.raises(PermissionError, match="reached for the network"):
        client.connect(("192.0.2.1", 80))  # RFC 5737: an address kept for documentation


def test_connection_to_this_machine_is_allowed() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname(), timeout=5).close()
