"""The rules of the second door, asked of its parts alone; test_table_door asks over a wire."""

from __future__ import annotations

import asyncio
from ipaddress import ip_address

import pytest
from starlette.responses import PlainTextResponse

from catalog.errors import UsageError
from cli.page.guard import is_same
from cli.page.table import code_throttle, invitations, private_addresses
from cli.page.table.admission import WARNING, Admission
from cli.page.table.code_throttle import LONGEST_PAUSE, SLIPS, CodeThrottle
from cli.page.table.devices import MAX_DEVICES, Device, Devices, kind_of
from cli.page.table.invitations import DIGITS, LASTS, Invitations
from cli.page.table.private_addresses import address_for, host_of, is_near, is_private
from cli.page.table.table_guard import TableGuard


class Clock:
    """A clock that is set by hand."""

    now = 1000.0

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


def test_a_code_is_good_once_and_for_ten_minutes(clock):
    codes = Invitations(clock)
    assert not codes.accept("", typed=True)
    first = codes.renew()
    assert len(first.code) == DIGITS
    assert first.code.isdecimal()
    assert first.spoken.replace(" ", "") == first.code
    assert len(first.token) == 22  # 128 bits
    assert codes.accept(first.spoken, typed=True)
    assert not codes.accept(first.code, typed=True)
    assert not codes.accept(first.token, typed=False)
    second = codes.renew()
    clock.now += LASTS - 1
    assert codes.standing[1] == 1
    clock.now += 1
    assert codes.standing is None
    assert not codes.accept(second.code, typed=True)
    third, fourth = codes.renew(), codes.renew()
    assert not codes.accept(third.token, typed=False)
    assert codes.accept(fourth.token, typed=False)
    fifth = codes.renew()
    codes.withdraw()
    assert not codes.accept(fifth.token, typed=False)


@pytest.mark.parametrize("way", ["{}{}{} {}{}{}", "{}-{}-{}-{}-{}-{}", " {}{}{}\u00a0{}{}{}\n"])
def test_a_code_may_be_typed_with_blanks_and_dashes(clock, way):
    codes = Invitations(clock)
    assert codes.accept(way.format(*codes.renew().code), typed=True)


def test_a_code_may_be_typed_in_the_digits_of_another_script(clock):
    codes = Invitations(clock)
    code = codes.renew().code
    assert codes.accept("".join(chr(0x0660 + int(digit)) for digit in code), typed=True)


def test_a_right_code_is_compared_as_a_wrong_one_is(clock, monkeypatch):
    """One comparison in constant time, whether a code stands, is right, or is of the other kind."""
    compared = []

    def counted(given, known):
        compared.append((len(given), len(known)))
        return is_same(given, known)

    monkeypatch.setattr(invitations, "is_same", counted)
    codes = Invitations(clock)
    said = [(codes.accept("123456", typed=True), codes.accept("x" * 22, typed=False))]
    now = codes.renew()
    wrong = f"{(int(now.code) + 1) % 10**DIGITS:0{DIGITS}}"
    said.append((codes.accept(wrong, typed=True), codes.accept("x" * 22, typed=False)))
    assert said == [(False, False)] * 2
    assert codes.accept(now.code, typed=True)
    assert compared == [(6, 6), (22, 22), (6, 6), (22, 22), (6, 6)]
    assert "compare_digest" in is_same.__code__.co_names


def guesses(throttle, clock, address, seconds, typed=True):
    """How many wrong codes can be tried from an address, as fast as it is let, in a time."""
    end, tried = clock.now + seconds, []
    while clock.now < end:
        clock.now += throttle.tried(address, lambda: tried.append(1), typed=typed)
    return len(tried)


def test_the_pauses_of_an_address_double_up_to_a_minute(clock):
    throttle = CodeThrottle(clock)
    pauses = []
    for _ in range(9):
        pauses.append(throttle.tried("10.0.0.7", lambda: False, typed=False))
        clock.now += pauses[-1]
    assert pauses == [1, 2, 4, 8, 16, 32, 60, 60, 60]
    assert throttle.tried("10.0.0.7", lambda: True) is None


def test_a_code_that_comes_too_soon_is_not_looked_at(clock):
    throttle = CodeThrottle(clock)
    assert throttle.tried("10.0.0.7", lambda: False) == 1
    asked = []
    assert throttle.tried("10.0.0.7", lambda: asked.append(1) or True) == 1
    assert asked == []
    assert throttle.tried("10.0.0.8", lambda: True) is None


def test_many_addresses_guess_no_faster_than_twenty_codes_while_one_lasts(clock):
    throttle = CodeThrottle(clock)
    end, tried, address = clock.now + LASTS, [], 0
    while clock.now < end:
        address += 1
        wait = throttle.tried(f"10.1.{address // 250}.{address % 250}", lambda: tried.append(1))
        if len(tried) > SLIPS:
            clock.now += wait
    assert len(tried) <= 20
    assert throttle.tried("10.9.9.8", lambda: False) == LONGEST_PAUSE
    assert throttle.tried("10.9.9.9", lambda: True) == LONGEST_PAUSE
    assert throttle.tried("10.9.9.9", lambda: True, typed=False) is None
    assert guesses(CodeThrottle(clock), clock, "10.0.0.7", LASTS) <= 20


def test_addresses_of_one_device_are_one_and_old_mistakes_are_forgotten(clock, monkeypatch):
    throttle = CodeThrottle(clock)
    throttle.tried("fd00::1", lambda: False)
    assert throttle.tried("fd00::1:2:3:4", lambda: True) == 1
    assert throttle.tried("fd00:0:0:1::1", lambda: True) is None
    monkeypatch.setattr(code_throttle, "MAX_ADDRESSES", 3)
    for n in range(5):
        throttle.tried(f"10.0.0.{n}", lambda: False)
        clock.now += LONGEST_PAUSE
    assert len(throttle._of) == 3
    clock.now += code_throttle.FORGET_AFTER + 1
    assert throttle.tried("10.0.0.4", lambda: False) == 1


@pytest.mark.parametrize(
    ("address", "private"),
    [
        # the first and last of each block: RFC 1918 section 3, RFC 4193 section 3.1, RFC 3927
        *(("10.0.0.0", True), ("10.255.255.255", True), ("172.16.0.0", True)),
        *(("172.31.255.255", True), ("192.168.0.0", True), ("192.168.255.255", True)),
        *(("169.254.0.0", True), ("169.254.255.255", True), ("fc00::", True)),
        *(("fdff:ffff:ffff:ffff:ffff:ffff:ffff:ffff", True), ("fe80::1", True)),
        *(("febf::1", True), ("9.255.255.255", False), ("11.0.0.0", False)),
        *(("172.15.255.255", False), ("172.32.0.0", False), ("192.167.255.255", False)),
        *(("192.169.0.0", False), ("169.255.0.0", False), ("fbff::", False), ("fe00::", False)),
        *(("fec0::", False), ("100.64.0.1", False), ("192.0.2.1", False), ("8.8.8.8", False)),
        *(("0.0.0.0", False), ("::", False), ("127.0.0.1", False), ("2001:db8::1", False)),
    ],
)
def test_private_is_what_the_standards_call_so(address, private):
    assert is_private(ip_address(address)) is private
    assert is_near(address) is (private or address == "127.0.0.1")


def test_nobody_is_near_without_an_address():
    assert not is_near("")
    assert not is_near("somewhere")
    assert is_near("fe80::1%eth0")


def test_the_way_out_of_this_machine_is_offered_first_and_no_other_kind(monkeypatch):
    class Own:
        def __init__(self, *addresses):
            self.ips = addresses
            self.ip = addresses[0] if addresses else None

    class One:
        def __init__(self, ip):
            self.ip = ip

    adapters = [
        Own(One("127.0.0.1"), One(("::1", 0, 0))),
        Own(One("172.17.0.1")),
        Own(One("8.8.4.4"), One("192.168.5.6"), One(("fe80::1", 0, 2)), One(("fd00::9", 0, 0))),
        Own(One("169.254.7.7")),
    ]
    monkeypatch.setattr("ifaddr.get_adapters", lambda: adapters)
    out = {"192.0.2.1": ip_address("192.168.5.6"), "2001:db8::1": None}
    monkeypatch.setattr(private_addresses, "_way_to", lambda far: (out[far[0]], far[0]))
    offered = [str(one) for one in private_addresses.offered_addresses()]
    assert offered == ["192.168.5.6", "172.17.0.1", "fd00::9", "169.254.7.7"]
    assert str(address_for(None)) == "192.168.5.6"
    with pytest.raises(UsageError, match="no address on a private network"):
        address_for(None, [])
    assert str(address_for("[fd00::9]")) == "fd00::9"
    assert str(address_for("127.0.0.2")) == "127.0.0.2"


def test_a_host_is_named_as_browsers_name_it():
    assert host_of(ip_address("192.168.1.5"), 7340) == "192.168.1.5:7340"
    assert host_of(ip_address("FD00:0::9"), 7340) == "[fd00::9]:7340"
    assert host_of(ip_address("10.0.0.1"), 80) == "10.0.0.1"


@pytest.mark.parametrize(
    ("agent", "kind"),
    [
        # as browsers say it (MDN, "Firefox user agent string reference"; "User-Agent header")
        ("Mozilla/5.0 (Android 13; Mobile; rv:109.0) Gecko/118.0 Firefox/118.0", "phone"),
        ("Mozilla/5.0 (Android 13; Tablet; rv:109.0) Gecko/118.0 Firefox/118.0", "tablet"),
        ("Mozilla/5.0 (Linux; Android 10; K) Chrome/124.0.0.0 Mobile Safari/537.36", "phone"),
        ("Mozilla/5.0 (Linux; Android 10; K) Chrome/124.0.0.0 Safari/537.36", "tablet"),
        ("Mozilla/5.0 (iPhone; CPU iPhone OS 17_4 like Mac OS X) Mobile/15E148 Safari", "phone"),
        ("Mozilla/5.0 (iPad; CPU OS 12_2 like Mac OS X) Mobile/15E148 Safari/604.1", "tablet"),
        ("Mozilla/5.0 (X11; Linux x86_64; rv:127.0) Gecko/20100101 Firefox/127.0", "computer"),
        ("Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:47.0) Firefox/47.0", "computer"),
        ("", "device"),
        ("x" * 10_000, "device"),
    ],
)
def test_the_kind_of_a_device_is_told_by_what_its_browser_says(agent, kind):
    assert kind_of(agent) == kind


def test_no_more_devices_are_in_than_may_be_and_a_code_is_not_wasted_on_one(clock):
    admission = Admission(clock)
    came = []
    admission.arrived = came.append
    for n in range(MAX_DEVICES):
        token = admission.invitations.renew().token
        assert isinstance(admission.enter(token, f"10.0.0.{n}", "", typed=False), Device)
    assert len(came) == MAX_DEVICES == len(list(admission.devices))
    token = admission.invitations.renew().token
    with pytest.raises(UsageError, match="8 devices are in"):
        admission.enter(token, "10.0.1.1", "", typed=False)
    admission.devices.end(came[0].id)
    assert admission.devices.known(came[0].cookie) is None
    assert isinstance(admission.enter(token, "10.0.1.1", "", typed=False), Device)
    admission.end()
    assert list(admission.devices) == []
    assert "not encrypted" in WARNING
    assert "own network" in WARNING


def test_who_asks_from_beyond_the_network_is_refused():
    """As when a router passes on what comes from the internet."""
    devices = Devices()
    cookie = devices.let_in("", "10.0.0.5").cookie
    guard = TableGuard(PlainTextResponse("let in"), devices, "10.0.0.1:7340", "c")

    def status(client, path="/api/start"):
        said = []

        async def send(message):
            said.append(message)

        headers = [(b"host", b"10.0.0.1:7340"), (b"cookie", f"c={cookie}".encode())]
        scope = {"type": "http", "method": "GET", "path": path, "query_string": b"",
                 "headers": headers, "client": client}  # fmt: skip
        asyncio.run(guard(scope, None, send))
        return said[0]["status"]

    assert status(("10.0.0.5", 5000)) == 200
    for client in (("8.8.8.8", 5000), ("2001:db8::7", 5000, 0, 0), ("", 0), None):
        assert status(client) == 403
        assert status(client, "/") == 403
