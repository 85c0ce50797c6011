"""Signatures across tools, both ways: what the program signs, others verify; what others sign, the program verifies.

The others are jwcrypto and cryptography for Python, npm jose with Node, and openssl with jq. They share no code with
the program. The page for auditors is held to its word as well: its commands are taken from it and run.
"""

import json
import os
import re
import shutil
import subprocess

from cryptography.hazmat.primitives import serialization
from jwcrypto import jwk
from oracle import LONGEST_RUN, ROOT, SCHEMAS, Tally
from signing_shop import WORDS, Shop, b64, canonical, exact_file, unb64
from signing_tools import MAKERS, STOCK_TOOLS, VERIFIERS, by_cryptography, header, jose, keys, signed_by_cryptography

SIGNERS = ["odile", "tamsin"]
# How many single changes of a file every tool is asked about.
CHANGES = 60


def outwards(tally, shop, body, seals):
    """What the program signed, verified by the others, each signature with its own key and with no other."""
    for name, takes in VERIFIERS.items():
        problems = []
        for who, seal in zip(SIGNERS, seals, strict=True):
            fault = takes(shop, who, body, seal)
            problems += [f"{who}: {fault}"] if fault else []
        tally.check(f"{name} verifies both signatures of the program", problems)
        wrong = [who for who, seal in zip(SIGNERS, reversed(seals), strict=True) if not takes(shop, who, body, seal)]
        tally.check(f"{name} refuses a signature under another's key", wrong)
    general = jose(shop, action="general", public=shop.public("odile"), payload=b64(canonical(body)), seals=seals)
    tally.check("npm jose takes the general form whole", [general] if general else [])


def inwards(tally, shop, body):
    """What the others sign with a person's key, verified by the program."""
    heads = {who: header(shop, who) for who in SIGNERS}
    made = {name: [make(shop, who, body, heads[who]) for who in SIGNERS] for name, make in MAKERS.items()}
    for name, seals in made.items():
        ran = shop.verify("theirs.json", exact_file({"checklist": body, "signatures": seals}))
        tally.check(f"the program verifies what {name} signed", [] if ran.exit == 0 and not ran.codes else [ran])
        half = shop.verify("theirs.json", exact_file({"checklist": body, "signatures": seals[:1]}))
        due = half.exit == 1 and half.codes == ["too-few-signers"]
        tally.check(f"the program misses the second signature of {name}", [] if due else [half])
        stolen = [{**seals[0], "signature": seals[1]["signature"]}, seals[1]]
        ran = shop.verify("theirs.json", exact_file({"checklist": body, "signatures": stolen}))
        due = ran.exit == 3 and "changed" in ran.codes
        tally.check(f"the program refuses a signature of {name} moved to another", [] if due else [ran])
    # RFC 8032, section 5.1.6: the signature is a function of key and message, so all tools make the same one.
    first = made["jwcrypto"]
    tally.check("all tools make the same signatures", [name for name, seals in made.items() if seals != first])
    mixed = [made["npm jose"][0], made["openssl"][1]]
    ran = shop.verify("theirs.json", exact_file({"checklist": body, "signatures": mixed}))
    tally.check("two people sign with two tools", [] if ran.exit == 0 else [ran])


def refusals(tally, shop, body):
    """Files that a general library takes, or could be made to take, and the program never does."""
    head = header(shop, "odile")
    other_key = jwk.JWK.generate(kty="OKP", crv="Ed25519")
    cases = {
        "the older name of the algorithm": ({**head, "alg": "EdDSA"}, "algorithm"),
        "the type of another document": ({**head, "typ": "fillward-permit+jws"}, "other-kind"),
        "a key inside the header": ({**head, "jwk": json.loads(other_key.export_public())}, "header-member"),
        "an extension marked critical": ({**head, "crit": ["exp"], "exp": 1}, "header-member"),
        "a header in another order": (dict(reversed(head.items())), "header-not-exact"),
    }
    for name, (other, code) in cases.items():
        key = serialization.load_pem_private_key(shop.private("odile").encode("ascii"), WORDS.encode("ascii"))
        protected = b64(json.dumps(other, separators=(",", ":")).encode("ascii"))
        signature = key.sign(f"{protected}.{b64(canonical(body))}".encode("ascii"))
        seal = {"protected": protected, "signature": b64(signature)}
        fault = by_cryptography(shop, "odile", body, seal)
        ran = shop.verify("theirs.json", exact_file({"checklist": body, "signatures": [seal]}))
        problems = [f"control: {fault}"] if fault else []
        problems += [] if ran.exit == 3 and code in ran.codes else [ran]
        tally.check(f"the program refuses {name}", problems)


def changed_files(content):
    """The file with one byte changed, at places spread over all of it; only such as are still JSON of one shape."""
    usable = []
    for place in range(0, len(content), 7):
        changed = content[:place] + bytes([content[place] ^ 1]) + content[place + 1 :]
        try:
            value = json.loads(changed.decode("utf-8"))
            if value["checklist"] and all(set(seal) == {"protected", "signature"} for seal in value["signatures"]):
                usable.append((place, changed, value))
        except (ValueError, KeyError, TypeError):
            continue
    yield from usable[:: max(1, len(usable) // CHANGES)]
    # The signatures are a small part of the file, so that they are asked for by name.
    yield from [change for change in usable if change[0] > content.index(b'"signatures"')][::4]


def meaning(value):
    """What a file says: other spellings of base64 are the same bytes to most libraries."""
    return value["checklist"], [(unb64(seal["protected"]), unb64(seal["signature"])) for seal in value["signatures"]]


def flipped(tally, shop, content):
    """One changed byte: refused by the program, and by each of the others where it changes what was signed."""
    missed = {name: [] for name in [*VERIFIERS, "the program"]}
    count = 0
    original = meaning(json.loads(content))
    for place, changed, value in changed_files(content):
        count += 1
        if shop.verify("flipped.json", changed).exit != 3:
            missed["the program"].append(place)
        body, seals = value["checklist"], value["signatures"]
        for name, takes in VERIFIERS.items():
            # The others are asked for both signatures; an auditor needs both.
            both = zip(SIGNERS, seals, strict=True)
            if all(takes(shop, who, body, seal) is None for who, seal in both) and meaning(value) != original:
                missed[name].append(place)
    if count < CHANGES:
        missed["the program"].append(f"only {count} changes were made")
    for name, places in missed.items():
        tally.check(f"{name} refuses each of {count} files with one byte changed", places)


def forms(tally, shop, content):
    """The exact form, by stock tools: theirs and the program's are the same bytes."""
    ran = shop.command(["jq", "-S", ".", "both.checklist.json"])
    tally.check("jq prints the file as it is", [] if ran.out.encode() == content else ["another text"])
    same = exact_file(json.loads(content)) == content
    tally.check("Python prints the file as it is", [] if same else ["another text"])
    body = json.loads(content)["checklist"]
    ran = shop.command(["jq", "-cjS", ".checklist", "both.checklist.json"])
    tally.check("jq and Python give the same payload", [] if ran.out.encode() == canonical(body) else ["other bytes"])
    double = content.replace(b'\n    "job": ', b'\n    "job": "HT-0999",\n    "job": ', 1)
    ran = shop.verify("double.json", double)
    due = ran.exit == 3 and ran.codes == ["duplicate-key"]
    tally.check("a second job number is refused by the program", [] if due else [ran])
    ran = shop.command(["sh", STOCK_TOOLS, "double.json", shop.stem("odile") + ".pub.pem"])
    due = ran.exit == 3 and "exact form: NOT IN ORDER" in ran.out
    tally.check("a second job number is refused by stock tools", [] if due else [ran])


def weak_keys(tally, shop):
    """The same key, encrypted as another tool does it by itself: too few rounds, and the program says so."""
    opened = serialization.load_pem_private_key(shop.private("odile").encode("ascii"), WORDS.encode("ascii"))
    best = serialization.BestAvailableEncryption(WORDS.encode("ascii"))
    pkcs8 = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8)
    node = jose(shop, action="reencrypt", private=shop.private("odile"), passphrase=WORDS)
    files = {"cryptography": opened.private_bytes(*pkcs8, best), "node": node}
    for name, pem in files.items():
        shop.write("weak.pem", pem)
        key = ["--key", "weak.pem", "--passphrase-file", "words.txt"]
        ran = shop.fillward("sign", "job.yaml", "--yes", "--out", "weak.checklist.json", *key, *shop.trusting())
        due = ran.exit == 2 and ("rounds of PBKDF2" in ran.err or "in another way" in ran.err)
        tally.check(f"a key that {name} encrypted by its defaults is refused", [] if due else [ran])


def page_blocks():
    """The code blocks of the page for auditors, by language, in their order."""
    text = (SCHEMAS / "CHECKLIST.md").read_text(encoding="utf-8")
    return re.findall(r"^```(sh|python)\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def forged(shop, who, kind, content, **changes):
    """A file of one signature that is good, but whose header says something else than the file is good for."""
    value = json.loads(content)
    member = "shop_trust" if kind == "trust" else kind
    head = {**header(shop, who), "typ": f"fillward-{kind}+jws", **changes}
    return exact_file({member: value[member], "signatures": [signed_by_cryptography(shop, who, value[member], head)]})


def damaged(shop, who, kind, good):
    """Files that a reader of the page must be told of, by what is wrong with them."""
    other = "checklist" if kind == "permit" else "permit"
    return {
        "a changed signature": good.replace(b'"signature": "', b'"signature": "A', 1),
        "other white space": good.replace(b"\n", b"\n ", 1),
        "other line ends": good.replace(b"\n", b"\r\n"),
        "half a file": good[: len(good) // 2],
        "no file to speak of": b"",
        "the seal of another kind of file": forged(shop, who, kind, good, typ=f"fillward-{other}+jws"),
        "the older name of the algorithm": forged(shop, who, kind, good, alg="EdDSA"),
        "another key's thumbprint": forged(shop, who, kind, good, kid=header(shop, "owner" if who != "owner" else "odile")["kid"]),
        "another role": forged(shop, who, kind, good, role="auditor"),
        "a header with one member more": forged(shop, who, kind, good, crit=["exp"]),
    }


def page(tally, shop):
    """The commands of the page for auditors, run as they stand there, on good files and on bad ones."""
    blocks = page_blocks()
    kinds = {kind for kind, _ in blocks}
    tally.check("the page has commands and a program", [] if kinds == {"sh", "python"} else [kinds])
    first, last = blocks[0][1].rsplit("\n\n", 1)
    tally.check("the page defines its commands first", [] if last.startswith("verify_signature") else [last])
    shop.must("sign", "job.yaml", "--yes", *shop.with_key("odile"), *shop.trusting())
    good = shop.read("job.checklist.json")
    permitted = shop.with_permit("permitted/solvent.checklist.json")
    permit = exact_file(json.loads(permitted)["checklist"]["permits"][0])
    shutil.copytree(ROOT / "rules" / "tyre-fill", shop.path("tyre-fill"))
    whole = {
        **damaged(shop, "odile", "checklist", good),
        "a changed record": good.replace(b"pressure: 60 psi", b"pressure: 61 psi", 1),
        "a changed verdict": good.replace(b'"verdict": "PASS"', b'"verdict": "HOLD"', 1),
        "a second job number": good.replace(b'\n    "job": ', b'\n    "job": "HT-0999",\n    "job": ', 1),
    }

    def within(changed):
        """A checklist with another permit inside; whatever is no JSON cannot stand there."""
        value = json.loads(permitted)
        try:
            value["checklist"]["permits"][0] = json.loads(changed)
        except ValueError:
            return changed
        return exact_file(value)

    def inside():
        found = damaged(shop, "tamsin", "permit", permit)
        # Printed anew by the command of the page, white space of the permit means nothing.
        spaced = ("other white space", "other line ends")
        found = {what: within(changed) for what, changed in found.items() if what not in spaced}
        return {**found, "another reason": permitted.replace(b"on file", b"on fire")}

    trust = shop.read("trust.json")
    trusted = {
        **damaged(shop, "owner", "trust", trust),
        "another name": trust.replace(b"Odile Varga", b"Odile Vargo", 1),
    }
    # By what a block speaks of: the file, whose key and under which name, the good file and the bad ones.
    cases = {
        "*.yaml": ("job.checklist.json", "odile", "signer.pub.pem", good, {}),
        ".record": ("job.checklist.json", "odile", "signer.pub.pem", good, {"a changed record": whole["a changed record"]}),
        ".permits": ("job.checklist.json", "tamsin", "permitter.pub.pem", permitted, inside()),
        "trust.json": ("trust.json", "owner", "owner.pub.pem", trust, trusted),
        "": ("job.checklist.json", "odile", "signer.pub.pem", good, whole),
    }
    for number, (kind, text) in enumerate(blocks, 1):
        what = next(what for what in cases if what in text.rsplit("\n\n", 1)[-1] or what in text and number > 1)
        file, who, key, content, bad = cases[what]
        script = f"{first}\n{text}" if kind == "sh" and number > 1 else text
        name = f"block {number} of the page ({kind})"
        shop.write(key, shop.public(who))
        ran = run_block(shop, kind, script, file, content)
        told = ran.stdout.decode("utf-8", "replace")
        fault = ran.returncode != 0 or FAULT.search(told) or (what != "*.yaml" and not GOOD.search(told))
        tally.check(f"{name} takes a good file", [told, ran.stderr[-400:]] if fault else [])
        if what == "*.yaml":
            digest = shop.must("trust", "packs").out.split()[2]
            tally.check(f"{name} gives the digest of the pack", [] if digest in told else [told])
            continue
        taken = [bad_one for bad_one in bad if not refused(run_block(shop, kind, script, file, bad[bad_one]), kind)]
        tally.check(f"{name} refuses {len(bad)} bad files in words", taken)
        if what != ".record":
            shop.write(key, shop.public("tamsin" if who != "tamsin" else "odile"))
            ran = run_block(shop, kind, script, file, content)
            tally.check(f"{name} refuses another's key in words", [] if refused(ran, kind) else [ran.stdout])
    for what in ("the seal of another kind of file", "the older name of the algorithm", "another key's thumbprint"):
        shop.write("hostile.json", whole[what])
        ran = shop.command(["sh", STOCK_TOOLS, "hostile.json", shop.stem("odile") + ".pub.pem"])
        tally.check(f"the script with stock tools refuses {what}", [] if ran.exit == 3 and "NOT IN ORDER" in ran.out else [ran])


# What a check of the page says of a good file, and of a bad one.
GOOD = re.compile(r"SIGNATURE GOOD|all in order|the same")
FAULT = re.compile(r"NOT IN ORDER|DIFFERS")


def refused(ran, kind):
    """Whether a block refused a file, and said so: a program in Python says it by the error it ends with."""
    told = ran.stdout.decode("utf-8", "replace")
    spoke = FAULT.search(told) if kind == "sh" else ran.stderr
    return ran.returncode != 0 and spoke and not re.search("SIGNATURE GOOD|all in order", told)


def run_block(shop, kind, text, file, content):
    """Runs a block of the page in the folder of the shop, as it is when pasted: nothing stops at the first fault."""
    before = shop.read(file) if os.path.exists(shop.path(file)) else None
    shop.write(file, content)
    program = ["sh", "-c", text] if kind == "sh" else ["python3", "-c", text]
    ran = subprocess.run(program, cwd=shop.folder, capture_output=True, timeout=LONGEST_RUN, check=False)
    if before is not None:
        shop.write(file, before)
    return ran


def main():
    """Runs every check."""
    tally = Tally("signing")
    shop = Shop()
    for who in SIGNERS:
        tally.check(f"every tool opens the key of {who}", [name for name, same in keys(shop, who) if not same])
    content = shop.signed_by_two("both.checklist.json")
    value = json.loads(content)
    ran = shop.verify("both.checklist.json")
    tally.check("the program may start by its own file", [] if ran.exit == 0 else [ran])
    forms(tally, shop, content)
    outwards(tally, shop, value["checklist"], value["signatures"])
    inwards(tally, shop, value["checklist"])
    refusals(tally, shop, value["checklist"])
    flipped(tally, shop, content)
    weak_keys(tally, shop)
    page(tally, shop)
    tally.close()


main()
