"""One signature of a checklist, permit or trust file, verified as schemas/CHECKLIST.md says and by nothing else.

verify_by_the_page.py FILE PUBLIC-KEY.pem [NUMBER] [KIND] [ROLE]; exit 0 if it is in order, 3 if not, and 4 if it is one of
several signatures, of which each must be looked at. Needs openssl 3.
"""

import base64, datetime, hashlib, json, pathlib, re, subprocess, sys, tempfile, unicodedata  # noqa: E401

ODD = re.compile(  # what does not show, controls as JSON writes them, and a line at the 33rd level
    "(?m)[\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\u2800\u3164\ue000-\uf8ff\ufeff\uffa0"
    "\ufff0-\ufffc\ufdd0-\ufdef\U00016fe4\U0001bca0-\U0001bca3\U0001d159\U0001d173-\U0001d17a\U000e0000-\U000e00ff\U000e01f0-\U000e0fff\U000f0000-\U0010ffff"
    + "".join(chr(plane << 16 | last) for plane in range(17) for last in (0xFFFE, 0xFFFF)) + r"]|(?<!\\)(\\\\)*\\([ubf]|r(?!\\n))|^ {64}"
)
MEMBERS = {
    "checklist": "assemblies before figures findings format hold_point inputs job judged_at number permits program register rehearsal "
    "required_roles revision time_zone valid_until variations verdict",
    "permit": "asked_by evidence filled format hold_point job mark pack reason rule subject things time_zone title trust until",
    "trust": "ends_at format made_at owners_needed packs people shop version zone",
    "approval": "approved_by edition from name required sha256 shop",
}
INSTANT = (  # of the years 1990 to 2200, at most nine decimals, and an offset of at most 14 hours that is not zero
    r"((?:199\d|20\d\d|21\d\d|2200)(-\d\d){2}T\d\d(:\d\d){2})(\.\d{0,8}[1-9])?(Z|[+-](?!00:00)(0\d|1[0-3]):[0-5]\d|[+-]14:00)"
)


def whole(digits):
    assert abs(int(digits)) < 2**53, "a number that is not whole and safe"
    return int(digits)


def named(pairs):
    assert all(re.fullmatch(r"[ !#-\[\]-~]*", name) for name, _ in pairs), "a key that is not plain ASCII"
    return dict(pairs)


def compact(value):
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def url(data):
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def verify(file, key, number="0", kind="checklist", role="supervisor"):
    text, member = pathlib.Path(file).read_bytes().decode(), "shop_trust" if kind == "trust" else kind
    content = json.loads(text, parse_int=whole, parse_float=whole, parse_constant=whole, object_pairs_hook=named)
    assert text == json.dumps(content, sort_keys=True, indent=2, ensure_ascii=False) + "\n", "not in exact form"
    assert unicodedata.is_normalized("NFC", text) and "Cn" not in map(unicodedata.category, text), "odd text"
    assert not ODD.search(text) and len(text.encode()) <= 2**20, "text that does not show, or too much"
    seals, seal = content["signatures"], content["signatures"][int(number)]
    assert list(content) == [member, "signatures"] and all(list(each) == ["protected", "signature"] for each in seals), "other members"
    optional = {"clock_anew", "formerly"} if kind == "trust" else set()
    assert [name for name in content[member] if name not in optional] == MEMBERS[kind].split(), "other members of the content"
    heads = [json.loads(base64.urlsafe_b64decode(each["protected"] + "==")) for each in seals]
    assert len({each["kid"] for each in heads}) == len(heads), "one key twice"
    head, signature = (base64.urlsafe_b64decode(seal[name] + "==") for name in seal)
    assert [url(head), url(signature)] == list(seal.values()) and len(signature) == 64, "base64url that is not strict"
    at = re.fullmatch(INSTANT, json.loads(head)["signed_at"], re.ASCII)
    assert at and datetime.datetime.strptime(at[1], "%Y-%m-%dT%H:%M:%S"), "not an instant"
    public = base64.b64decode(pathlib.Path(key).read_text().split("-----")[2])[-32:]
    kid = hashlib.sha256(compact({"crv": "Ed25519", "kty": "OKP", "x": url(public)})).digest()
    due = {"alg": "Ed25519", "kid": url(kid), "role": role, "signed_at": at[0], "typ": f"fillward-{kind}+jws"}
    assert head == compact(due), "another header, or another key"
    with tempfile.NamedTemporaryFile() as signed, tempfile.NamedTemporaryFile() as by:
        pathlib.Path(signed.name).write_text(f"{seal['protected']}.{url(compact(content[member]))}")
        pathlib.Path(by.name).write_bytes(signature)
        command = f"openssl pkeyutl -verify -pubin -rawin -in {signed.name} -sigfile {by.name} -inkey".split()
        assert subprocess.run([*command, key], capture_output=True).returncode == 0, "not signed by this key"
    return len(seals)


try:
    count = verify(*sys.argv[1:])
except (AssertionError, OSError, ValueError, KeyError, IndexError, TypeError, RecursionError) as fault:
    sys.exit(print("NOT IN ORDER:", fault) or 3)
print("SIGNATURE GOOD. Not looked at: whose key it is, whether it was revoked, and what the rules say of the record.")
if count > 1:
    sys.exit(print(f"ONE OF {count} SIGNATURES LOOKED AT: one that is not in order makes the file doubtful; look at each.") or 4)
