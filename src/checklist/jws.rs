//! Signatures: JSON Web Signature (RFC 7515), general JSON serialisation, with the payload detached (appendix F).
//!
//! The payload is the readable body beside the signatures; what is signed is its canonical bytes. One algorithm is taken,
//! `Ed25519` (RFC 9864). The header is protected, in exact form and closed: the algorithm, the thumbprint of the key, the
//! kind of document, the role and the instant, and nothing else. This module must not know who holds a key.

use base64ct::{Base64UrlUnpadded, Encoding};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::canonical::{self, ExactText};
use super::content;
use super::keys::{PublicKey, SecretKey};
use super::reason::Reason;
use crate::document::{Code, Fault};
use crate::units::Instant;
use crate::vocabulary::{FileSort, Kind, Role, unseen};

/// The one algorithm, by its name in RFC 9864.
const ALGORITHM: &str = "Ed25519";
/// Characters of a thumbprint in base64url: 32 bytes.
const KID_CHARS: usize = 43;
/// Characters of a text in a header that a report quotes; the longest of ours has a third of it.
const MAX_QUOTED: usize = 80;
const SIGNATURES: &str = "signatures";
/// Signatures on one document; a shop has a handful of people.
const MAX_SIGNATURES: usize = 16;

/// A signature as it stands in the file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seal {
    /// The protected header in base64url.
    pub protected: String,
    /// The signature in base64url.
    pub signature: String,
}

/// The protected header; the fields stand in the order of their names, which is their order in the file.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Header<'a> {
    alg: &'a str,
    kid: &'a str,
    role: &'a str,
    signed_at: &'a str,
    typ: &'a str,
}

/// What a header says, once it is known to be in exact form.
#[derive(Debug, Clone)]
pub struct Signer {
    /// The thumbprint of the key.
    pub kid: String,
    /// The role claimed.
    pub role: Role,
    /// The instant claimed.
    pub at: Instant,
    signature: [u8; 64],
    place: usize,
}

impl Signer {}

/// A body with its signatures.
#[derive(Debug, Clone)]
pub struct Envelope {
    kind: Kind,
    payload: Vec<u8>,
    /// The payload in base64url, made once for all signatures.
    encoded: Vec<u8>,
    seals: Vec<Seal>,
}

impl Envelope {
    /// What kind of document it is.
    pub const fn kind(&self) -> Kind {
        self.kind
    }

    /// Puts a body into an envelope, as yet without signatures.
    ///
    /// # Errors
    /// If the body leaves the narrow profile, see [`canonical::read`].
    pub fn new(kind: Kind, body: &impl Serialize) -> Result<Self, Fault> {
        let (_, exact) = canonical::file(kind.word(), body)?;
        Ok(Self::of(kind, exact.bytes().to_vec(), Vec::new()))
    }

    fn of(kind: Kind, payload: Vec<u8>, seals: Vec<Seal>) -> Self {
        let mut encoded = Vec::new();
        canonical::base64url(&payload, &mut encoded);
        Self { kind, payload, encoded, seals }
    }

    /// Reads a file in exact form; says nothing yet of its signatures.
    ///
    /// # Errors
    /// As [`canonical::read`], and `checklist/not-a-checklist` and the like if the file is another document.
    pub fn read(kind: Kind, name: &str, bytes: &[u8]) -> Result<Self, Fault> {
        let exact = canonical::read(name, bytes).map_err(|fault| {
            // A file that does not even begin like one is another file, not a damaged one.
            let due = FileSort::Signed(kind).called();
            match FileSort::told_by(bytes).filter(|sort| *sort != FileSort::Signed(kind)) {
                Some(sort) => Fault::new(Code::ChecklistOtherDocument, format!("this is {}, not {due}", sort.called()))
                    .help(kind.which()),
                None if !bytes.starts_with(b"{") => {
                    Fault::new(fault.code(), format!("the file is not {due}: {fault}")).help(kind.which())
                }
                None => fault,
            }
        })?;
        Self::open(kind, &exact)
    }

    /// The envelope of a document inside another, such as a permit in a checklist.
    ///
    /// # Errors
    /// As [`Envelope::read`].
    pub fn nested(kind: Kind, value: &Value) -> Result<Self, Fault> {
        let (_, exact) = canonical::file(kind.word(), value)?;
        Self::open(kind, &exact)
    }

    fn open(kind: Kind, exact: &ExactText) -> Result<Self, Fault> {
        let other = || {
            let of = |found: &Kind| exact.names().eq([found.member(), SIGNATURES]);
            let (what, help) = match Kind::ALL.into_iter().find(of) {
                Some(found) => {
                    let [found, due] = [found, kind].map(|kind| FileSort::Signed(kind).called());
                    (format!("this is {found}, not {due}"), kind.which())
                }
                None => (
                    format!("the file is not {}", FileSort::Signed(kind).called()),
                    "give the file with exactly the members that its kind has; a member more or less is a fault",
                ),
            };
            Fault::new(Code::ChecklistOtherDocument, what).help(help)
        };
        if !exact.names().eq([kind.member(), SIGNATURES]) {
            return Err(other());
        }
        let (Some(payload), Some(seals)) = (exact.member(kind.member()), exact.member(SIGNATURES)) else {
            return Err(other());
        };
        let seals: Vec<Seal> = serde_json::from_slice(seals).map_err(|_| {
            let what = "`signatures` is not a list of signatures, each with the texts `protected` and `signature` and nothing else";
            Fault::new(Code::ChecklistSignaturesForm, what)
                .help("fetch the file again from where it was signed; a signature that was changed proves nothing")
        })?;
        if seals.len() > MAX_SIGNATURES {
            return Err(Fault::new(
                Code::ChecklistSignaturesForm,
                format!("the {} has more than {MAX_SIGNATURES} signatures", kind.word()),
            ));
        }
        Ok(Self::of(kind, payload.to_vec(), seals))
    }

    /// The canonical bytes of the body.
    pub fn payload(&self) -> &[u8] {
        &self.payload
    }

    /// The signatures as they stand in the file.
    pub fn seals(&self) -> &[Seal] {
        &self.seals
    }

    /// The body, typed.
    ///
    /// # Errors
    /// `checklist/content` if it does not have the members of its kind.
    pub fn body<T: DeserializeOwned>(&self) -> Result<T, Fault> {
        // What the types say is for the person who wrote them; the fault is told by the schema.
        serde_json::from_slice(&self.payload).map_err(|_| match self.whole() {
            Ok(file) => content::fault(self.kind, &file, &self.payload),
            Err(fault) => fault,
        })
    }

    /// Adds a signature.
    ///
    /// # Errors
    /// If the header cannot be written.
    pub fn sign(&mut self, key: &SecretKey, role: Role, at: Instant) -> Result<(), Fault> {
        let header = Header {
            alg: ALGORITHM,
            kid: key.public().kid(),
            role: role.word(),
            signed_at: &at.to_record_text(),
            typ: self.kind.typ(),
        };
        let protected = Base64UrlUnpadded::encode_string(&canonical::bytes(&header)?);
        let signature = key.sign(&self.signing_input(&protected));
        self.seals.push(Seal { protected, signature: Base64UrlUnpadded::encode_string(&signature) });
        Ok(())
    }

    /// What is signed: the header, a full stop, the body (RFC 7515, section 5.1).
    fn signing_input(&self, protected: &str) -> Vec<u8> {
        [protected.as_bytes(), b".", &self.encoded].concat()
    }

    /// The document as JSON values, for putting it inside another.
    ///
    /// # Errors
    /// Never for an envelope that was read or made here.
    pub fn to_value(&self) -> Result<Value, Fault> {
        let broken = |error: serde_json::Error| {
            Fault::new(Code::ChecklistNotJson, format!("the body has no JSON form: {error}"))
        };
        let mut members = Map::new();
        members.insert(self.kind.member().to_owned(), serde_json::from_slice(&self.payload).map_err(broken)?);
        members.insert(SIGNATURES.to_owned(), serde_json::to_value(&self.seals).map_err(broken)?);
        Ok(Value::Object(members))
    }

    /// The file in exact form.
    ///
    /// # Errors
    /// As [`canonical::file`].
    pub fn to_file(&self) -> Result<Vec<u8>, Fault> {
        Ok(canonical::print(self.kind.word(), &self.whole()?)?.0)
    }

    /// The canonical bytes of the whole document.
    fn whole(&self) -> Result<Vec<u8>, Fault> {
        // The body's bytes are canonical already and its name comes before `signatures`, so the parts make up the whole.
        let seals = canonical::bytes(&self.seals)?;
        let head = format!("{{\"{}\":", self.kind.member());
        let between = format!(",\"{SIGNATURES}\":");
        Ok([head.as_bytes(), &self.payload, between.as_bytes(), &seals, b"}"].concat())
    }

    /// Reads the header of each signature, strictly.
    pub fn signers(&self) -> Vec<Result<Signer, Reason>> {
        self.seals.iter().enumerate().map(|(index, seal)| self.signer(index + 1, seal)).collect()
    }

    fn signer(&self, place: usize, seal: &Seal) -> Result<Signer, Reason> {
        let inexact = || Reason::HeaderNotExact { place };
        let decoded = Base64UrlUnpadded::decode_vec(&seal.protected).map_err(|_| inexact())?;
        let Ok(header) = serde_json::from_slice::<Header<'_>>(&decoded) else {
            return Err(odd_header(&decoded, place));
        };
        if ![header.alg, header.kid, header.role, header.signed_at, header.typ].into_iter().all(quotable) {
            return Err(inexact());
        }
        if header.alg != ALGORITHM {
            return Err(Reason::Algorithm { place, found: header.alg.to_owned() });
        }
        if header.typ != self.kind.typ() {
            return Err(Reason::OtherKind { place, found: header.typ.to_owned(), due: self.kind });
        }
        // Written again it must give the same bytes: no white space, no other spelling.
        if serde_json::to_vec(&header).map_err(|_| inexact())? != decoded {
            return Err(inexact());
        }
        let Header { kid, role, signed_at, .. } = header;
        if !is_kid(kid) {
            return Err(inexact());
        }
        let at = instant(signed_at).ok_or_else(inexact)?;
        let role = Role::find(role).ok_or_else(inexact)?;
        let mut signature = [0_u8; 64];
        match Base64UrlUnpadded::decode(&seal.signature, &mut signature) {
            Ok(bytes) if bytes.len() == 64 => {}
            _ => return Err(Reason::SignatureForm { place }),
        }
        Ok(Signer { kid: kid.to_owned(), role, at, signature, place })
    }

    /// Whether `key` made this signature of this body. The header names the key by its thumbprint, so no other key serves.
    pub fn holds(&self, signer: &Signer, key: &PublicKey) -> bool {
        let Some(seal) = self.seals.get(signer.place - 1) else { return false };
        signer.kid == key.kid() && key.verifies(&self.signing_input(&seal.protected), &signer.signature)
    }
}

const HEADER: [&str; 5] = ["alg", "kid", "role", "signed_at", "typ"];

/// Why a header is not one of ours.
fn odd_header(decoded: &[u8], place: usize) -> Reason {
    let Ok(members) = serde_json::from_slice::<Map<String, Value>>(decoded) else {
        return Reason::HeaderNotExact { place };
    };
    let alg = members.get("alg").and_then(Value::as_str);
    let texts = members.values().filter_map(Value::as_str).chain(members.keys().map(String::as_str));
    if !texts.into_iter().all(quotable) {
        return Reason::HeaderNotExact { place };
    }
    if let Some(member) = members.keys().find(|name| !HEADER.contains(&name.as_str())) {
        return Reason::HeaderMember { place, member: member.clone() };
    }
    match alg.filter(|alg| *alg != ALGORITHM) {
        Some(found) => Reason::Algorithm { place, found: found.to_owned() },
        None => Reason::HeaderNotExact { place },
    }
}

/// Whether a text of a header that is not known to be ours may stand in a report.
fn quotable(text: &str) -> bool {
    text.chars().count() <= MAX_QUOTED && !text.chars().any(|c| matches!(c, '\n' | '\t') || unseen(c).is_some())
}

/// Whether a text has the form of a thumbprint.
pub fn is_kid(text: &str) -> bool {
    text.len() == KID_CHARS && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_'))
}

/// An instant in the one spelling that fillward writes.
pub(super) fn instant(text: &str) -> Option<Instant> {
    let instant = Instant::parse(text).ok()?;
    (instant.to_record_text() == text).then_some(instant)
}
