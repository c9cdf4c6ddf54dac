#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""access_test.py PROGRAM   the program seen from another computer: TLS, passwords, roles, and those who mean harm.

TLS and HTTP are Python's own (OpenSSL and http.client), from outside the project."""
import contextlib
import http.client
import json
import math
import os
import pathlib
import re
import socket
import ssl
import subprocess
import sys
import tempfile
import threading
import time
import unittest
import warnings

warnings.filterwarnings("ignore", category=DeprecationWarning)  # old TLS is asked for on purpose
PROGRAM = os.path.abspath(sys.argv.pop(1))
PASSWORD = "a sentence for the tests"
EVIL = "<img src=x onerror=alert(1)>"


def run(*words, given=None):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, input=given, timeout=60)


def note(text, by="AB"):
    letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    return {"v": 1, "id": "01M4QJJM" + "".join(letters[b % 32] for b in os.urandom(18)), "at": "2026-11-25T09:00:00.000Z",
            "written": "2026-11-25T09:00:00.000Z", "by": by, "device": "page", "kind": "note", "data": {"text": text}}


class Refuses(unittest.TestCase):
    """What does not start."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.data = self.folder.name

    def serve(self, *words):
        return run("serve", "--data", self.data, "--listen", "0.0.0.0:0", *words)

    def test_beyond_loopback_needs_tls_then_a_person_then_a_certificate_in_force(self):
        without = self.serve()
        self.assertEqual((without.returncode, without.stdout), (2, ""))
        self.assertIn("needs TLS", without.stderr)
        self.assertEqual(run("certificate", "--data", self.data, "--name", "lab-2.example").returncode, 0)
        nobody = self.serve()
        self.assertEqual(nobody.returncode, 2)
        self.assertIn("at least one account", nobody.stderr)
        run("people", "add", "AB", "--role", "operator", "--data", self.data)
        tls = pathlib.Path(self.data, "tls")
        swapped = self.serve("--tls-cert", tls / "server.pem", "--tls-key", tls / "authority-key.pem")
        self.assertNotEqual(swapped.returncode, 0)
        self.assertIn("another certificate", swapped.stderr)
        missing = self.serve("--tls-cert", tls / "none.pem", "--tls-key", tls / "server-key.pem")
        self.assertNotEqual(missing.returncode, 0)
        self.assertEqual(self.serve("--tls-cert", tls / "server.pem").returncode, 2)
        for half in (("--tls-cert", tls / "server.pem"), ("--tls-key", tls / "server-key.pem")):  # nor by halves on loopback
            half_given = run("serve", "--data", self.data, "--listen", "127.0.0.1:0", *half)
            self.assertEqual(half_given.returncode, 2, half)
            self.assertIn("only used together", half_given.stderr)

    def test_a_list_of_people_that_others_may_read(self):
        run("certificate", "--data", self.data, "--name", "lab-2.example")
        run("people", "add", "AB", "--role", "operator", "--data", self.data)
        os.chmod(pathlib.Path(self.data, "people"), 0o644)
        self.assertEqual(self.serve().returncode, 3)

    def test_a_data_folder_that_begins_with_a_certificate_or_a_person_is_the_owners_alone(self):
        for place, words in (("c", ("certificate", "--name", "lab-2.example")), ("p", ("people", "add", "AB", "--role", "reader"))):
            data = pathlib.Path(self.data, place)
            self.assertEqual(run(*words, "--data", data).returncode, 0)
            self.assertEqual(data.stat().st_mode & 0o777, 0o700)
            for file in data.rglob("*"):
                if "authority.pem" not in file.name and file.name != "server.pem":
                    self.assertEqual(file.stat().st_mode & 0o077, 0, file)

    def test_bad_names_roles_and_passwords(self):
        for words in (("people", "add", "A B", "--role", "reader"), ("people", "add", "AB", "--role", "king"),
                      ("people", "reset", "AB"), ("people", "remove", "AB"), ("certificate", "--name", "a b")):
            ended = run(*words, "--data", self.data)
            self.assertEqual((ended.returncode, ended.stdout), (1, ""), words)
            self.assertEqual(ended.stderr.count("\n"), 1)
        short = run("people", "add", "AB", "--role", "reader", "--password-from", "-", "--data", self.data, given="short\n")
        self.assertEqual(short.returncode, 1)


class Served(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.data = cls.folder.name
        run("certificate", "--data", cls.data, "--name", "lab-2.example", "--name", "127.0.0.1")
        for name, role in (("RD", "reader"), ("RC", "recorder"), ("OP", "operator"), ("AD", "administrator")):
            made = run("people", "add", name, "--role", role, "--password-from", "-", "--data", cls.data, given=PASSWORD)
            assert made.returncode == 0, made.stderr
        cls.server = subprocess.Popen([PROGRAM, "serve", "--data", cls.data, "--listen", "127.0.0.1:0", "--tls-cert",
                                       f"{cls.data}/tls/server.pem", "--tls-key", f"{cls.data}/tls/server-key.pem"],
                                      stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        cls.port = int(re.search(r":(\d+)/", cls.server.stdout.readline())[1])
        cls.trust = ssl.create_default_context(cafile=f"{cls.data}/tls/authority.pem")
        cls.cookies = {name: cls.come_in(name) for name in ("RD", "RC", "OP", "AD")}
        status, made = cls.ask("POST", "/api/cases", "OP", {"title": EVIL, "room": "1"})
        assert status == 200, made
        cls.case = made["id"]

    @classmethod
    def tearDownClass(cls):
        cls.server.terminate()
        cls.log = cls.server.communicate(timeout=20)[1]
        cls.folder.cleanup()
        for word in (PASSWORD, EVIL, "onerror", "secret remark", "Secretname"):
            assert word not in cls.log, word

    @classmethod
    def connect(cls):
        return http.client.HTTPSConnection("127.0.0.1", cls.port, context=cls.trust, timeout=30)

    @classmethod
    def reply(cls, method, path, headers=None, body=None):
        connection = cls.connect()
        try:
            connection.request(method, path, body=body, headers=headers or {})
            answer = connection.getresponse()
            return answer, answer.read()
        finally:
            connection.close()

    @classmethod
    def origin(cls):
        return f"https://127.0.0.1:{cls.port}"

    @classmethod
    def ask(cls, method, path, name=None, json_body=None, **headers):
        sent = {"Origin": cls.origin(), **headers}
        if name:
            sent["Cookie"] = cls.cookies[name]
        body = None
        if json_body is not None:
            sent["Content-Type"] = "application/json"
            body = json.dumps(json_body)
        answer, text = cls.reply(method, path, sent, body)
        return answer.status, json.loads(text) if text[:1] == b"{" else text

    @classmethod
    def come_in(cls, name, password=PASSWORD):
        answer, text = cls.reply("POST", "/api/login", {"Origin": cls.origin(), "Content-Type": "application/json"},
                                 json.dumps({"name": name, "password": password}))
        assert answer.status == 200, text
        return answer.getheader("Set-Cookie").split(";")[0]

    def tls(self):
        return self.trust.wrap_socket(socket.create_connection(("127.0.0.1", self.port), timeout=30), server_hostname="127.0.0.1")

    # --- Who may what
    def test_nobody_sees_anything_without_coming_in(self):
        for path in ("/api/cases", f"/api/cases/{self.case}", "/api/facts", "/api/events", "/api/lab", "/api/nowhere"):
            self.assertEqual(self.ask("GET", path)[0], 401, path)
        self.assertEqual(self.ask("POST", f"/api/cases/{self.case}/entries", None, {"entries": [note("x")]})[0], 401)
        self.assertEqual(self.ask("GET", "/api/me")[1], {"asks_for_passwords": True, "person": None})

    def test_each_role_may_what_it_may_and_no_more(self):
        entry = lambda: {"entries": [note("x")]}
        for name, reads, writes, opens, lab in (("RD", 200, 403, 403, 403), ("RC", 200, 200, 403, 403),
                                                ("OP", 200, 200, 200, 403), ("AD", 200, 200, 200, 400)):
            self.assertEqual(self.ask("GET", f"/api/cases/{self.case}", name)[0], reads, name)
            self.assertEqual(self.ask("POST", f"/api/cases/{self.case}/entries", name, entry())[0], writes, name)
            self.assertEqual(self.ask("POST", "/api/cases", name, {"title": "x"})[0], opens, name)
            self.assertEqual(self.ask("POST", "/api/lab/entries", name, {"nonsense": 1})[0], lab, name)
            self.assertEqual(self.ask("POST", "/api/assess", name, {"facts": {}})[0], 200, name)
            self.assertEqual(self.ask("POST", "/api/address", name, {})[0], 405, name)

    def test_a_wrong_name_and_a_wrong_password_are_told_alike(self):
        said = [self.ask("POST", "/api/login", None, {"name": name, "password": "not the right one"}) for name in ("RD", "ZZ")]
        self.assertEqual(said[0], said[1])
        self.assertEqual(said[0][0], 401)

    def test_who_leaves_is_out(self):
        self.cookies["again"] = self.come_in("RD")
        self.assertEqual(self.ask("GET", "/api/cases", "again")[0], 200)
        self.assertEqual(self.ask("POST", "/api/logout", "again", {})[0], 200)
        self.assertEqual(self.ask("GET", "/api/cases", "again")[0], 401)

    def test_the_record_of_access_names_people_and_cases_and_nothing_of_the_patient(self):
        self.ask("GET", f"/api/cases/{self.case}", "RC")
        self.ask("POST", f"/api/cases/{self.case}/entries", "RC", {"entries": [note("secret remark")]})
        self.ask("POST", "/api/login", None, {"name": PASSWORD, "password": "typed into the wrong field"})
        text = pathlib.Path(self.data, "access.log").read_text()
        self.assertRegex(text, rf"RC 127\.0\.0\.1 read {self.case}\n")
        self.assertRegex(text, rf"RC 127\.0\.0\.1 write /api/cases/{self.case}/entries\n")
        self.assertIn("unknown 127.0.0.1 login-refused -", text)
        for word in ("secret", "onerror", "sentence"):
            self.assertNotIn(word, text)

    def test_the_record_of_access_holds_every_way_to_see_or_change_something(self):
        self.cookies["fresh"] = self.come_in("RD")
        self.assertEqual(self.ask("POST", "/api/assess", "fresh", {"case": self.case, "facts": {}})[0], 200)
        self.ask("POST", "/api/cases", "OP", {"title": "y"})
        self.ask("POST", "/api/lab/entries", "AD", {"nonsense": 1})
        self.ask("POST", "/api/lab/entries", "RD", {"nonsense": 1})
        line = {"text": "act 285", "by": "OP"}
        self.assertEqual(self.ask("POST", f"/api/cases/{self.case}/log", "OP", line)[0], 200)  # a preview is no write
        half = {**line, "text": "hep"}  # a line that is being typed makes no sense yet, which is an answer; sent, it is refused
        self.assertEqual(self.ask("POST", f"/api/cases/{self.case}/log", "OP", half)[0], 400)
        found, said = self.ask("POST", f"/api/cases/{self.case}/log", "OP", {**half, "typing": True})
        self.assertEqual(found, 200)
        self.assertNotEqual(said["refused"]["what"], "")
        self.assertEqual(self.ask("POST", f"/api/cases/{self.case}/log", "RC", {**half, "typing": True, "write": True})[0], 400)
        self.assertEqual(self.ask("POST", f"/api/cases/{self.case}/log", "RC", {**line, "write": True})[0], 200)
        text = pathlib.Path(self.data, "access.log").read_text()
        after = text[text.rindex("RD 127.0.0.1 login reader"):]
        self.assertIn(f"RD 127.0.0.1 read {self.case}\n", after)
        self.assertIn("OP 127.0.0.1 write /api/cases\n", after)
        self.assertIn("AD 127.0.0.1 write-refused /api/lab/entries\n", after)
        self.assertIn("RD 127.0.0.1 refused /api/lab/entries\n", after)
        self.assertIn(f"RC 127.0.0.1 write /api/cases/{self.case}/log\n", after)
        self.assertNotIn("OP 127.0.0.1 write /api/cases/" + self.case + "/log", after)

    def test_no_path_of_the_documents_answers_before_somebody_came_in(self):
        """Every path that docs/wire.md names, read from its table, so that a new one is asked as well."""
        text = pathlib.Path(__file__).resolve().parents[3].joinpath("docs/wire.md").read_text()
        rows = re.findall(r"^\| `(GET|POST) (/[^`?]*)(?:\?[^`]*)?`", text, re.M)
        self.assertGreater(len(rows), 15)
        open_to_all = {("GET", "/healthz"), ("GET", "/api/version"), ("GET", "/api/me"), ("POST", "/api/login")}
        for method, path in rows:
            filled = re.sub(r"\{id\}", self.case, re.sub(r"\{hash\}", "a" * 64, path))
            filled = re.sub(r"\{[a-z]+\}", "0", filled)
            status, said = self.ask(method, filled, None, None if method == "GET" else {})
            if (method, path) in open_to_all:
                self.assertNotEqual(status, 401, path) if method == "GET" else None
            else:
                self.assertEqual(status, 401, (method, path, said))

    def test_the_door_tells_nothing_of_what_is_inside(self):
        self.assertEqual(self.ask("GET", "/api/version")[1], {"name": "fairlead", "version": "", "schema": ""})
        self.assertNotEqual(self.ask("GET", "/api/version", "RD")[1]["version"], "")
        _, page = self.reply("GET", "/", {"Accept-Encoding": "identity"})
        for word in (EVIL, self.case, "OP", "RC"):
            self.assertNotIn(word.encode(), page)
        there = self.ask("GET", f"/api/cases/{self.case}")
        self.assertEqual(there, self.ask("GET", "/api/cases/01ARZ3NDEKTSV4RRFFQ69G5FAV"))  # not even which cases exist
        answer, _ = self.reply("GET", "/")
        self.assertIsNone(answer.getheader("Server"))

    def test_a_cookie_is_only_ever_the_servers_choice(self):
        planted = "__Host-fairlead=" + "ab" * 32
        send = {"Origin": self.origin(), "Content-Type": "application/json"}
        body = json.dumps({"name": "RD", "password": PASSWORD})
        first, _ = self.reply("POST", "/api/login", {**send, "Cookie": planted}, body)
        line = first.getheader("Set-Cookie")
        self.assertRegex(line, r"^__Host-fairlead=[0-9a-f]{64}; HttpOnly; SameSite=Strict; Path=/; Secure$")
        given = line.split(";")[0]
        self.assertNotEqual(given, planted)
        self.assertEqual(self.reply("GET", "/api/cases", {"Cookie": planted})[0].status, 401)
        self.assertEqual(self.reply("GET", "/api/cases", {"Cookie": given})[0].status, 200)
        second, _ = self.reply("POST", "/api/login", {**send, "Cookie": given}, body)
        self.assertNotEqual(second.getheader("Set-Cookie"), line)
        self.assertEqual(self.reply("GET", "/api/cases", {"Cookie": given})[0].status, 401)  # the old one is no door
        refused, _ = self.reply("POST", "/api/login", send, json.dumps({"name": "RD", "password": "not the right one"}))
        self.assertIsNone(refused.getheader("Set-Cookie"))
        self.assertEqual(self.reply("GET", "/?start=" + "ab" * 32)[0].status, 403)

    def test_a_name_typed_into_an_address_is_in_no_record(self):
        for path in ("/api/cases/Secretname-Patient", "/api/images/Secretname/frames/0-1", "/api/Secretname"):
            self.ask("GET", path, "OP")
            self.ask("POST", path + "/entries", "RD", {"entries": [note("x")]})
        self.assertNotIn("Secretname", pathlib.Path(self.data, "access.log").read_text())

    # --- From elsewhere
    def test_another_sites_page_gets_nothing(self):
        entries = {"entries": [note("x")]}
        path = f"/api/cases/{self.case}/entries"
        for origin in ("https://evil.example", "null", f"http://127.0.0.1:{self.port}", f"https://127.0.0.1:{self.port}.evil.example"):
            self.assertEqual(self.ask("POST", path, "OP", entries, Origin=origin)[0], 403, origin)
            self.assertEqual(self.ask("GET", "/api/cases", "OP", Origin=origin)[0], 403, origin)
        unnamed, _ = self.reply("POST", path, {"Cookie": self.cookies["OP"], "Content-Type": "application/json"}, json.dumps(entries))
        self.assertEqual(unnamed.status, 403)
        form, _ = self.reply("POST", path, {"Cookie": self.cookies["OP"], "Content-Type": "text/plain", "Origin": self.origin()},
                             json.dumps(entries))
        self.assertEqual(form.status, 400)
        self.assertEqual(self.ask("GET", "/api/cases", "OP", Host="evil.example")[0], 403)

    def test_every_answer_carries_the_headers(self):
        for path in ("/", "/api/me", "/api/cases", "/nowhere"):
            answer, _ = self.reply("GET", path)
            self.assertIn("default-src 'self'", answer.getheader("Content-Security-Policy"), path)
            self.assertIn("frame-ancestors 'none'", answer.getheader("Content-Security-Policy"))
            self.assertEqual(answer.getheader("X-Content-Type-Options"), "nosniff")
            self.assertEqual(answer.getheader("Referrer-Policy"), "no-referrer")
            self.assertIn("max-age", answer.getheader("Strict-Transport-Security"))
            self.assertIsNone(answer.getheader("Access-Control-Allow-Origin"))

    def test_old_tls_and_plain_http_get_no_answer(self):
        old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        old.load_verify_locations(f"{self.data}/tls/authority.pem")
        old.minimum_version = ssl.TLSVersion.TLSv1
        old.maximum_version = ssl.TLSVersion.TLSv1_1
        old.set_ciphers("ALL:@SECLEVEL=0")
        with self.assertRaises((ssl.SSLError, ConnectionError)):
            old.wrap_socket(socket.create_connection(("127.0.0.1", self.port), timeout=10), server_hostname="127.0.0.1")
        with socket.create_connection(("127.0.0.1", self.port), timeout=10) as plain:
            plain.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            self.assertNotIn(b"HTTP/1.1", plain.recv(4096))
        strangers = ssl.create_default_context()
        with self.assertRaises(ssl.SSLCertVerificationError):
            strangers.wrap_socket(socket.create_connection(("127.0.0.1", self.port), timeout=10), server_hostname="127.0.0.1")

    # --- Hostile bytes
    def raw(self, head, body=b""):
        with self.tls() as wire:
            wire.settimeout(20)
            with contextlib.suppress(ConnectionError, ssl.SSLError):  # it may hang up before all is sent
                wire.sendall(head + body)
            got = b""
            while piece := wire.recv(65536):
                got += piece
                if b"\r\n\r\n" in got:
                    break
            return int(got[9:12]) if got[:5] == b"HTTP/" else 0

    def head(self, line, *more, name="OP"):
        lines = [line + " HTTP/1.1", f"Host: 127.0.0.1:{self.port}", f"Origin: {self.origin()}",
                 f"Cookie: {self.cookies[name]}", "Connection: close", *more]
        return ("\r\n".join(lines) + "\r\n\r\n").encode("latin-1")

    def test_no_path_leaves_the_page(self):
        for path in ("/../people", "/%2e%2e/people", "/..%2fpeople", "/assets/../../people", "//etc/passwd", "/%2fetc/passwd",
                     "/people", "/tls/server-key.pem", "/access.log", "/journal.sqlite", "/.%00./people", "/assets/%5c..%5cpeople"):
            self.assertIn(self.raw(self.head("GET " + path)), (400, 404), path)
        for path in ("/api/cases/..%2f..%2fpeople", "/api/images/..%2f..%2fpeople", "/api/cases/%00", "/api/cases/" + "A" * 5000):
            self.assertIn(self.raw(self.head("GET " + path)), (400, 404), path)

    def test_too_large_heads_and_bodies_are_refused_before_they_are_read(self):
        self.assertEqual(self.raw(self.head("GET /api/cases", "X: " + "a" * 20000)), 431)
        large = self.head(f"POST /api/cases/{self.case}/entries", "Content-Type: application/json", "Content-Length: 99999999")
        began = time.monotonic()
        self.assertEqual(self.raw(large, b"{"), 413)
        self.assertLess(time.monotonic() - began, 5)
        self.assertEqual(self.raw(large, b"x" * (4 << 20)), 413)  # a client that sends on still reads the answer
        for size in (2097152, 16385):  # whoever has not come in is given little memory
            self.assertEqual(self.raw(self.head("POST /api/login", "Content-Type: application/json", f"Content-Length: {size}")), 413)

    def test_bad_utf8_deep_nesting_and_broken_json_are_one_sentence(self):
        path = f"POST /api/cases/{self.case}/entries"
        good = json.dumps({"entries": [note("x")]}).encode()
        for body in (b"\xff\xfe{}", good.replace(b'"x"', b'"\xc3\x28"'), good.replace(b'"x"', b'"\\ud800"'), b"[" * 100000,
                     b'{"entries":' + b"[" * 40 + b"]" * 40 + b"}", b"{", b"", b"null", b'{"entries":[{}]}',
                     b'{"entries":[],"entries":[]}', b'{"entries":[1e999]}'):
            head = self.head(path, "Content-Type: application/json", f"Content-Length: {len(body)}")
            self.assertEqual(self.raw(head, body), 400, body[:40])

    def test_smuggled_and_doubled_lengths_are_refused(self):
        path = f"POST /api/cases/{self.case}/entries"
        both = self.head(path, "Content-Type: application/json", "Content-Length: 2", "Transfer-Encoding: chunked")
        self.assertIn(self.raw(both, b"0\r\n\r\n"), (400, 0))
        twice = self.head(path, "Content-Type: application/json", "Content-Length: 2", "Content-Length: 3")
        self.assertEqual(self.raw(twice, b"{}"), 400)

    def test_script_in_names_comes_back_as_text_of_json(self):
        self.ask("POST", f"/api/cases/{self.case}/entries", "OP", {"entries": [note(EVIL, by=EVIL[:12])]})
        answer, body = self.reply("GET", f"/api/cases/{self.case}", {"Cookie": self.cookies["OP"]})
        self.assertEqual(answer.getheader("Content-Type"), "application/json")
        self.assertEqual(json.loads(body)["case"]["title"], EVIL)
        status, said = self.ask("GET", "/api/cases/" + "%3Cscript%3E", "OP")
        self.assertEqual(status, 404)
        self.assertNotIn("<script>", json.dumps(said))

    def test_slow_clients_hold_up_nobody(self):
        silent = [socket.create_connection(("127.0.0.1", self.port), timeout=30) for _ in range(60)]  # never shake hands
        slow = [self.tls() for _ in range(20)]
        for wire in slow:
            wire.sendall(b"GET /api/cases HTTP/1.1\r\n")  # and never the rest
        drop = self.tls()  # a body that comes byte by byte has no more time than one that does not come
        drop.sendall(self.head(f"POST /api/cases/{self.case}/entries", "Content-Type: application/json", "Content-Length: 4000"))
        dripping = threading.Event()

        def drip():
            with contextlib.suppress(OSError):
                while not dripping.wait(0.5):
                    drop.sendall(b" ")

        dripper = threading.Thread(target=drip)
        dripper.start()
        try:
            began = time.monotonic()
            self.assertEqual(self.ask("GET", "/api/cases", "OP")[0], 200)
            self.assertLess(time.monotonic() - began, 5)
            for wire in (slow[0], silent[0], drop):
                wire.settimeout(20)
                with self.subTest(), contextlib.suppress(ConnectionError, ssl.SSLError):
                    while wire.recv(4096):
                        pass
            self.assertLess(time.monotonic() - began, 16)  # 10 s are given
        finally:
            dripping.set()
            dripper.join()
            for wire in [*silent, *slow, drop]:
                wire.close()


class Crowding(unittest.TestCase):
    """On a server of its own, which listens to other addresses."""

    def test_one_address_does_not_take_every_seat(self):
        own = "127.0.0.1"
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as route, contextlib.suppress(OSError):
            route.connect(("192.0.2.1", 9))  # sends nothing: which address this computer has for others
            own = route.getsockname()[0]
        if own.startswith("127."):
            self.skipTest("this computer has no address but loopback")
        with tempfile.TemporaryDirectory() as data:
            run("certificate", "--data", data, "--name", "127.0.0.1")
            run("people", "add", "AB", "--role", "operator", "--password-from", "-", "--data", data, given=PASSWORD)
            server = subprocess.Popen([PROGRAM, "serve", "--data", data, "--listen", "0.0.0.0:0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
            taken = []
            try:
                port = int(re.search(r":(\d+)/", server.stdout.readline())[1])
                taken = [socket.create_connection((own, port), timeout=5) for _ in range(140)]
                until = time.monotonic() + 8  # within the 10 s that a handshake has
                shut = 0
                while shut < 12 and time.monotonic() < until:
                    shut = sum(self.is_shut(wire) for wire in taken)
                    time.sleep(0.05)
                self.assertEqual(shut, 12)  # 128 are kept
                trust = ssl.create_default_context(cafile=f"{data}/tls/authority.pem")
                connection = http.client.HTTPSConnection("127.0.0.1", port, context=trust, timeout=30)
                connection.request("GET", "/healthz")
                self.assertEqual(connection.getresponse().status, 200)  # from another address
                connection.close()
            finally:
                for wire in taken:
                    wire.close()
                server.terminate()
                server.communicate(timeout=20)

    @staticmethod
    def is_shut(wire):
        wire.setblocking(False)
        try:
            return wire.recv(1) == b""
        except BlockingIOError:
            return False
        except ConnectionError:
            return True


class Guessing(unittest.TestCase):
    """On a server of its own, since an address that fails has to wait."""

    def test_guesses_have_to_wait(self):
        with tempfile.TemporaryDirectory() as data:
            run("certificate", "--data", data, "--name", "127.0.0.1")
            run("people", "add", "AB", "--role", "operator", "--password-from", "-", "--data", data, given=PASSWORD)
            server = subprocess.Popen([PROGRAM, "serve", "--data", data, "--listen", "127.0.0.1:0", "--tls-cert",
                                       f"{data}/tls/server.pem", "--tls-key", f"{data}/tls/server-key.pem"],
                                      stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
            try:
                port = int(re.search(r":(\d+)/", server.stdout.readline())[1])
                trust = ssl.create_default_context(cafile=f"{data}/tls/authority.pem")
                statuses = []

                def guess(password):
                    connection = http.client.HTTPSConnection("127.0.0.1", port, context=trust, timeout=30)
                    connection.request("POST", "/api/login", json.dumps({"name": "AB", "password": password}),
                                       {"Origin": f"https://127.0.0.1:{port}", "Content-Type": "application/json"})
                    answer = connection.getresponse()
                    answer.read()
                    statuses.append((answer.status, answer.getheader("Retry-After")))
                    connection.close()

                began = time.monotonic()
                together = [threading.Thread(target=guess, args=(f"guess number {i}",)) for i in range(16)]
                for each in together:
                    each.start()
                for each in together:
                    each.join()
                # Five are free; then one after 1 s, one after 2 s more, 4 s more: on a slow machine some of these pass too.
                tried = [status for status, _ in statuses].count(401)
                self.assertTrue(5 <= tried <= 5 + math.log2(2 + time.monotonic() - began), (statuses, began))
                self.assertGreaterEqual([status for status, _ in statuses].count(429), 1)
                self.assertTrue(all(int(wait) >= 1 for status, wait in statuses if status == 429))
                while int(statuses[-1][1] or 0) < 4:  # until the wait is long enough for a busy machine
                    guess("one guess more")
                guess(PASSWORD)
                self.assertEqual(statuses[-1][0], 429)  # the right one has to wait too
                time.sleep(int(statuses[-1][1]) + 1)
                guess(PASSWORD)
                self.assertEqual(statuses[-1][0], 200)
            finally:
                server.terminate()
                server.wait(20)
                server.stdout.close()


if __name__ == "__main__":
    unittest.main()
