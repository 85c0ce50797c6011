"""One signature of a checklist, permit or trust file, verified as schemas/CHECKLIST.md says and by nothing else.

verify_by_the_page.py FILE PUBLIC-KEY.pem [NUMBER] [KIND] [ROLE]; exit 0 if it is in order, 3 if not. Needs openssl 3.
"""

import base64
import datetime
import hashlib
import json
import re
import subprocess
import sys
import tempfile
import unicodedata

UNSEEN = re.compile(
    "[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\x7f-\\x9f\\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180e\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u206f\u2800\u3164\ufeff\uffa0\ufff0-\ufffb\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e00ff"
    "\U000e01f0-\U000e0fff\ufdd0-\ufdef]|\\r(?!\\n)"
)


def unique(pairs):
    assert len({name for name, _ in pairs}) == len(pairs), "a name twice"
    return dict(pairs)


def narrow(value, level=1):
    assert level <= 32, "too deep"
    if isinstance(value, str):
        assert unicodedata.is_normalized("NFC", value) and not UNSEEN.search(value), "text that does not show"
        assert all(ord(c) & 0xFFFE != 0xFFFE for c in value), "no character"
    elif isinstance(value, dict):
        assert all(re.fullmatch(r"[ !#-\[\]-~]*", name) for name in value), "a key that is not ASCII"
        for inner in [*value, *value.values()]:
            narrow(inner, level + 1)
    elif isinstance(value, list):
        for inner in value:
            narrow(inner, level + 1)
    else:
        assert value is None or isinstance(value, bool) or type(value) is int and abs(value) < 2**53, "not a safe number"


def strict(text):
    data = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    assert base64.urlsafe_b64encode(data).rstrip(b"=").decode() == text, "base64url that is not strict"
    return data


def compact(value):
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def verify(file, key, number="0", kind="checklist", role="supervisor"):
    raw = open(file, "rb").read()
    assert len(raw) <= 1 << 20, "too large"
    content = json.loads(raw.decode(), object_pairs_hook=unique)
    member = "shop_trust" if kind == "trust" else kind
    assert raw.decode() == json.dumps(content, sort_keys=True, indent=2, ensure_ascii=False) + "\n", "not in exact form"
    assert list(content) == [member, "signatures"], "other members"
    narrow(content)
    seal = content["signatures"][int(number)]
    assert list(seal) == ["protected", "signature"], "a signature with other members"
    head, signature = strict(seal["protected"]), strict(seal["signature"])
    header = json.loads(head, object_pairs_hook=unique)
    assert compact(header) == head and list(header) == ["alg", "kid", "role", "signed_at", "typ"], "another header"
    assert (header["alg"], header["typ"], header["role"]) == ("Ed25519", f"fillward-{kind}+jws", role), "made for else"
    at = re.fullmatch(r"([0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:]{8})(\.[0-9]*[1-9])?(Z|[+-](?!00:00)[0-9]{2}:[0-9]{2})", header["signed_at"])
    datetime.datetime.strptime(at[1], "%Y-%m-%dT%H:%M:%S")
    der = base64.b64decode("".join(open(key, encoding="ascii").read().splitlines()[1:-1]))
    x = base64.urlsafe_b64encode(der[-32:]).rstrip(b"=").decode()
    print_of = hashlib.sha256(compact({"crv": "Ed25519", "kty": "OKP", "x": x})).digest()
    assert len(signature) == 64 and strict(header["kid"]) == print_of, "another key"
    payload = base64.urlsafe_b64encode(compact(content[member])).rstrip(b"=").decode()
    with tempfile.NamedTemporaryFile() as text, tempfile.NamedTemporaryFile() as seal_file:
        for handle, data in ((text, f"{seal['protected']}.{payload}".encode()), (seal_file, signature)):
            handle.write(data)
            handle.flush()
        command = ["openssl", "pkeyutl", "-verify", "-pubin", "-inkey", key, "-rawin", "-in", text.name, "-sigfile", seal_file.name]
        assert subprocess.run(command, capture_output=True, check=False).returncode == 0, "not signed by this key"


if __name__ == "__main__":
    try:
        verify(*sys.argv[1:])
    except (AssertionError, ValueError, KeyError, IndexError, TypeError, RecursionError) as fault:
        sys.exit(print("NOT IN ORDER:", fault) or 3)
    print("ALL IN ORDER")
