// Verifies and makes signatures with npm `jose`, and reads private keys with Node itself.
//
// It is given one request as JSON on standard input and answers with one line of JSON. Payloads come in base64url.
import { readFileSync } from "node:fs";
import { createPrivateKey, createPublicKey } from "node:crypto";
import { calculateJwkThumbprint, exportJWK, importSPKI } from "jose";
import { FlattenedSign, flattenedVerify, GeneralSign, generalVerify } from "jose";

const request = JSON.parse(readFileSync(0, "utf8"));
const bytes = (text) => new Uint8Array(Buffer.from(text, "base64url"));
const only = { algorithms: ["Ed25519"] };

// The words of the fault, or null where the signature holds.
const fault = async (work) => {
  try {
    await work();
    return null;
  } catch (error) {
    return `${error.code ?? error.name}: ${error.message}`;
  }
};

const privateKey = () => createPrivateKey({ key: request.private, passphrase: request.passphrase });

const actions = {
  // Each signature by itself, with the payload put back in its place.
  async verify() {
    const key = await importSPKI(request.public, "Ed25519");
    const { payload } = request;
    return Promise.all(request.seals.map((seal) => fault(() => flattenedVerify({ ...seal, payload }, key, only))));
  },
  async general() {
    const key = await importSPKI(request.public, "Ed25519");
    return fault(() => generalVerify({ payload: request.payload, signatures: request.seals }, key, only));
  },
  async sign() {
    const one = new FlattenedSign(bytes(request.payload)).setProtectedHeader(request.header);
    const { protected: header, signature } = await one.sign(privateKey());
    const many = new GeneralSign(bytes(request.payload));
    many.addSignature(privateKey()).setProtectedHeader(request.header);
    const general = await many.sign();
    return { seal: { protected: header, signature }, general: general.signatures[0] };
  },
  async key() {
    const pem = createPublicKey(privateKey()).export({ type: "spki", format: "pem" });
    const thumbprint = await calculateJwkThumbprint(await exportJWK(await importSPKI(pem, "Ed25519")));
    return { pem, thumbprint };
  },
  // The same key encrypted as Node does it by itself.
  async reencrypt() {
    return privateKey().export({ type: "pkcs8", format: "pem", cipher: "aes-256-cbc", passphrase: request.passphrase });
  },
};

console.log(JSON.stringify(await actions[request.action]()));
