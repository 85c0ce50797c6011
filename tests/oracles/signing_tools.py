"""Tools that sign and verify on their own: jwcrypto and cryptography for Python, npm jose with Node, and openssl with jq.

They share no code with the program. Each takes a shop, whose key is meant, the body and a header or a seal.
"""

import json
import os

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import serialization
from jwcrypto import jwk, jws
from oracle import ROOT
from signing_shop import PEOPLE, WORDS, b64, canonical, exact_file, stamp, unb64

STOCK_TOOLS = str(ROOT / "tests" / "checklist" / "stock-tools.sh")
ALGORITHMS = ["Ed25519"]


def jose(shop, **request):
    """Asks npm jose."""
    ran = shop.command(["node", os.environ["ORACLE_JOSE"]], json.dumps(request).encode("utf-8"))
    if ran.exit != 0:
        raise SystemExit(f"node cannot run the script for jose: {ran}")
    return json.loads(ran.out)


def by_cryptography(shop, who, body, seal):
    """Whether `cryptography` takes a signature over the header and the payload."""
    key = serialization.load_pem_public_key(shop.public(who).encode("ascii"))
    try:
        key.verify(unb64(seal["signature"]), f"{seal['protected']}.{b64(canonical(body))}".encode("ascii"))
    except (InvalidSignature, ValueError) as error:
        return repr(error)
    return None


def by_jwcrypto(shop, who, body, seal):
    """Whether `jwcrypto` takes a signature, the payload given beside the detached form (RFC 7515, appendix F)."""
    token = jws.JWS()
    token.allowed_algs = ALGORITHMS
    try:
        token.deserialize(json.dumps({"signatures": [seal]}))
        token.verify(jwk.JWK.from_pem(shop.public(who).encode("ascii")), detached_payload=canonical(body))
    except (jws.InvalidJWSObject, jws.InvalidJWSSignature, ValueError) as error:
        return repr(error)
    return None


def by_jose(shop, who, body, seal):
    """Whether npm jose takes a signature."""
    return jose(shop, action="verify", public=shop.public(who), payload=b64(canonical(body)), seals=[seal])[0]


def by_openssl(shop, who, body, seal):
    """Whether openssl takes a signature in a file that jq finds in exact form."""
    shop.write("stock.json", exact_file({"checklist": body, "signatures": [seal]}))
    signer = [shop.stem(who) + ".pub.pem", "0", "checklist", PEOPLE[who][1]]
    ran = shop.command(["sh", STOCK_TOOLS, "stock.json", *signer])
    good = ran.exit == 0 and "SIGNATURE GOOD" in ran.out
    return None if good else str(ran)


VERIFIERS = {"cryptography": by_cryptography, "jwcrypto": by_jwcrypto, "npm jose": by_jose, "openssl": by_openssl}


def keys(shop, who):
    """The private key file, opened by each tool, gives the public key file; the thumbprint is that of RFC 7638."""
    public, private = shop.public(who), shop.private(who)
    opened = serialization.load_pem_private_key(private.encode("ascii"), WORDS.encode("ascii"))
    spki = (serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo)
    yield "cryptography", opened.public_key().public_bytes(*spki).decode("ascii") == public
    key = jwk.JWK.from_pem(private.encode("ascii"), WORDS.encode("ascii"))
    yield "jwcrypto", key.export_to_pem().decode("ascii") == public
    found = jose(shop, action="key", private=private, passphrase=WORDS)
    yield "node", found["pem"] == public
    ran = shop.command(["openssl", "pkey", "-in", shop.stem(who) + ".key.pem", "-passin", "file:words.txt", "-pubout"])
    yield "openssl", ran.out == public
    shown = shop.must("key", "show", shop.stem(who) + ".pub.pem").out
    yield "thumbprint by jwcrypto", f"key id   {key.thumbprint()}\n" in shown
    yield "thumbprint by npm jose", f"key id   {found['thumbprint']}\n" in shown
    yield "thumbprint in hexadecimal", unb64(key.thumbprint()).hex() in shown.replace(" ", "")


def header(shop, who):
    """A protected header as the format describes it."""
    kid = jwk.JWK.from_pem(shop.public(who).encode("ascii")).thumbprint()
    role = PEOPLE[who][1]
    return {"alg": "Ed25519", "kid": kid, "role": role, "signed_at": stamp(), "typ": "fillward-checklist+jws"}


def signed_by_jwcrypto(shop, who, body, head):
    """A signature that jwcrypto makes."""
    token = jws.JWS(canonical(body))
    token.allowed_algs = ALGORITHMS
    key = jwk.JWK.from_pem(shop.private(who).encode("ascii"), WORDS.encode("ascii"))
    token.add_signature(key, None, protected=canonical(head).decode("ascii"))
    made = json.loads(token.serialize())
    return {"protected": made["protected"], "signature": made["signature"]}


def signed_by_cryptography(shop, who, body, head):
    """A signature that cryptography makes."""
    key = serialization.load_pem_private_key(shop.private(who).encode("ascii"), WORDS.encode("ascii"))
    protected = b64(canonical(head))
    return {"protected": protected, "signature": b64(key.sign(f"{protected}.{b64(canonical(body))}".encode("ascii")))}


def signed_by_jose(shop, who, body, head):
    """A signature that npm jose makes, in its flattened and its general form alike."""
    key = {"private": shop.private(who), "passphrase": WORDS}
    made = jose(shop, action="sign", **key, payload=b64(canonical(body)), header=head)
    if made["seal"] != made["general"]:
        raise SystemExit(f"npm jose signs in two ways: {made}")
    return made["seal"]


def signed_by_openssl(shop, who, body, head):
    """A signature that openssl makes."""
    protected = b64(canonical(head))
    shop.write("input", f"{protected}.{b64(canonical(body))}")
    key = ["-inkey", shop.stem(who) + ".key.pem", "-passin", "file:words.txt"]
    ran = shop.command(["openssl", "pkeyutl", "-sign", "-rawin", "-in", "input", "-out", "signature", *key])
    if ran.exit != 0:
        raise SystemExit(f"openssl cannot sign: {ran}")
    return {"protected": protected, "signature": b64(shop.read("signature"))}


MAKERS = {
    "jwcrypto": signed_by_jwcrypto,
    "cryptography": signed_by_cryptography,
    "npm jose": signed_by_jose,
    "openssl": signed_by_openssl,
}
