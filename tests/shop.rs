//! The one shop of the tests: rules, keys, a trust file and signed checklists of demo jobs. It is set up in one way, by
//! its packs, and then put where a test needs it: at a desk without a process ([`counter`]), or into a folder where the
//! program is run
//! ([`folder`]). The seeds are plain numbers: nothing here is secret.

pub(crate) mod counter;
pub(crate) mod folder;
pub(crate) mod morning;
pub(crate) mod world;

use std::cell::Cell;

use fillward::checklist::Reason;
use fillward::checklist::body::{ChecklistBody, Making, ShopPart};
use fillward::checklist::filled::{Filled, all_filled};
use fillward::checklist::jws::Envelope;
use fillward::checklist::keys::SecretKey;
use fillward::checklist::lapse::holds_until;
use fillward::checklist::links::Links;
use fillward::checklist::packs::{self, PackPart, Packs};
use fillward::checklist::permit::{BoundPermit, Permit};
use fillward::checklist::signing::sign;
use fillward::checklist::trust::{self, Approval, Key, Person, Pins, SeenVersion, Trust};
use fillward::checklist::verify::{Intended, Question, Records, Verification, verify};
use fillward::document::Document;
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record::{self, shop};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Kind, Role};

use crate::common;

pub(crate) const AT: &str = common::DEMO_AT;
pub(crate) const ODILE: u8 = 1;
pub(crate) const WREN: u8 = 2;
pub(crate) const MAIRE: u8 = 3;
pub(crate) const OWNER: u8 = 4;
/// A second owner, where a trust file names one.
pub(crate) const SECOND: u8 = 5;

/// Everybody who has ever held a key of the shop: the seed, the name, the role.
pub(crate) const PEOPLE: [(u8, &str, Role); 8] = [
    (ODILE, "Odile Varga", Role::Supervisor),
    (WREN, "Wren Castellane", Role::Supervisor),
    (MAIRE, "Maire Lindqvist", Role::SafetyOfficer),
    (OWNER, "Ansel Prewitt-Okoro", Role::Owner),
    (SECOND, "Marit Osei", Role::Owner),
    (6, "Ivo Halloran", Role::Supervisor),
    (7, "Signe Abara", Role::Supervisor),
    (8, "Petra Lindqvist", Role::Supervisor),
];

pub(crate) fn at(text: &str) -> Instant {
    Instant::parse(text).unwrap()
}

/// The demo instant, and so many seconds later.
pub(crate) fn later(seconds: i128) -> Instant {
    at(AT).checked_add_seconds(fillward::units::Exact::new(seconds, 1).unwrap()).unwrap()
}

pub(crate) fn key(seed: u8) -> SecretKey {
    SecretKey::from_seed(&[seed; 32])
}

/// From when a key of the demo shop holds, and until when.
const KEYS_HOLD: [&str; 2] = ["2026-01-01T00:00:00-06:00", "2027-01-01T00:00:00-06:00"];

pub(crate) fn entry(seed: u8) -> Key {
    Key {
        public_key: key(seed).public().to_pem(),
        from: KEYS_HOLD[0].to_owned(),
        until: KEYS_HOLD[1].to_owned(),
        retired: None,
        revoked: None,
        once_signed: false,
    }
}

/// Somebody as the trust file has them.
pub(crate) fn person((seed, name, role): &(u8, &str, Role)) -> Person {
    Person { name: (*name).to_owned(), roles: vec![*role], former_roles: Vec::new(), keys: vec![entry(*seed)] }
}

/// The body with its packs approved by the signatures of those whom it names, as they would have given them.
pub(crate) fn sealed(body: &trust::TrustBody) -> trust::TrustBody {
    let mut body = body.clone();
    for pack in &mut body.packs {
        let (seed, ..) = PEOPLE.iter().find(|(_, name, _)| *name == pack.approved_by).unwrap();
        pack.sign(&body.shop, &key(*seed), at(&body.made_at)).unwrap();
    }
    body
}

/// The shop, and where it stands: nowhere, as long as nothing of it is kept or run.
pub(crate) struct Shop<P = ()> {
    pub(crate) set: PackSet,
    pub(crate) parts: Vec<PackPart>,
    /// The local packs that judge as well, each with the name of its file.
    pub(crate) local: Vec<(String, String)>,
    /// The owners known from paper.
    pub(crate) owners: Vec<u8>,
    pub(crate) place: P,
    /// How often the trust file was changed: each change makes a version of its own.
    changes: Cell<i64>,
}

/// When the papers of a shop are from, as files spell it, and how many of [`PEOPLE`] they name.
pub(crate) struct Papers {
    version: i64,
    people: usize,
    zone: String,
    made_at: String,
    ends_at: String,
    /// From when keys and approvals hold.
    keys: [String; 2],
    approved: String,
}

/// Where a shop stands: what is kept there, and the time that its papers go by.
pub(crate) trait Place {
    /// Its trust file.
    const TRUST: &'static str = "trust.json";

    fn papers() -> Papers;

    fn put(&self, name: &str, content: &[u8]);
}

/// Papers of the demo morning.
pub(crate) fn demo_papers() -> Papers {
    Papers {
        version: 3,
        people: 4,
        zone: common::DEMO_ZONE.to_owned(),
        made_at: "2026-02-01T08:00:00-06:00".to_owned(),
        ends_at: "2026-08-01T00:00:00-06:00".to_owned(),
        keys: KEYS_HOLD.map(str::to_owned),
        approved: "2026-02-01T00:00:00-06:00".to_owned(),
    }
}

/// A local pack by which both liquids need something of their own.
pub(crate) const YARD: &str = "pack: 1\nname: yard\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: 2026-03-04T09:30:00-06:00\n\
    rules:\n  no-dry-gas:\n    title: No dry gas lies on it\n    covers: each component\n    \
    demands: {component.moisture_guard.kind: {is: dry gas}}\n    why: It draws moisture.\n    put_right: Wait for it.\n    \
    source: {kind: local code, cite: invented for this test}\n    on_fault: hold\n    \
    permit: {by: safety-officer, longest: 8 h}\n    \
    examples: {passes: [{component.moisture_guard.kind: dry gas}], holds: [{component.moisture_guard.kind: none}]}\n";

impl Shop {
    /// The base pack alone.
    pub(crate) fn new() -> Self {
        Self::named(&[])
    }

    /// The base pack and local ones.
    pub(crate) fn with(texts: &[&str]) -> Self {
        Self::named(&texts.iter().map(|text| ("local.yaml", *text)).collect::<Vec<_>>())
    }

    /// The base pack and local ones, each by the name of its file, which is part of its digest.
    pub(crate) fn named(packs: &[(&str, &str)]) -> Self {
        let document = |(name, text): &(&str, &str)| Document::read(name, text.as_bytes()).unwrap();
        let set = PackSet::base().unwrap().with(packs.iter().map(document).collect()).unwrap();
        let owned = |(name, text): &(&str, &str)| ((*name).to_owned(), (*text).to_owned());
        Self { local: packs.iter().map(owned).collect(), ..Self::of(set) }
    }

    /// These packs alone.
    pub(crate) fn of(set: PackSet) -> Self {
        let parts = packs::parts(&set);
        Self { set, parts, local: Vec::new(), owners: vec![OWNER], place: (), changes: Cell::default() }
    }

    fn at<P>(self, place: P) -> Shop<P> {
        let Self { set, parts, local, owners, changes, place: () } = self;
        Shop { set, parts, local, owners, place, changes }
    }

    pub(crate) fn trust_body(&self) -> trust::TrustBody {
        self.body_of(demo_papers())
    }

    pub(crate) fn trust_file(body: &trust::TrustBody) -> Vec<u8> {
        let body = &sealed(body);
        let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
        envelope.sign(&key(OWNER), Role::Owner, at(&body.made_at)).unwrap();
        envelope.to_file().unwrap()
    }

    /// The owner, known from paper.
    pub(crate) fn pins() -> Pins {
        Pins { each: vec![key(OWNER).public().kid().to_owned()], ..Pins::default() }
    }

    pub(crate) fn trust(&self) -> Trust {
        Self::trusted(&self.trust_body())
    }

    pub(crate) fn trusted(body: &trust::TrustBody) -> Trust {
        Trust::open("trust.json", &Self::trust_file(body), &Self::pins()).unwrap()
    }

    /// A later version of the trust file, with what has changed since, as an account has it that has seen the one before.
    pub(crate) fn next(&self, body: &trust::TrustBody) -> Trust {
        let version = if body.version == 3 { 4 } else { body.version };
        let mut next = Self::trusted(&trust::TrustBody { version, ..body.clone() });
        let before = self.trust();
        let seen = SeenVersion { sha256: before.digest().to_owned(), made_at: before.made_at() };
        next.remember([(3, seen)].into());
        next
    }

    /// A checklist of a demo job, without signatures, with everything that can be chosen of it.
    pub(crate) fn make<'a>(&self, record: &str, change: impl FnOnce(&mut Choices<'a>)) -> (ChecklistBody, Envelope) {
        let bytes = record.as_bytes();
        let mut choices = Choices {
            at: at(AT),
            shop: None,
            point: HoldPoint::BeforeFill,
            rehearsal: false,
            permits: Vec::new(),
            required_roles: vec![Role::Supervisor],
            before: None,
            trust: self.trust(),
        };
        change(&mut choices);
        let written = Document::read("record.yaml", bytes).unwrap();
        let shop =
            choices.shop.map(|text| shop::Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap());
        let made = shop::expand(written, shop.as_ref(), &self.set, &common::demo_zone(), choices.at).unwrap();
        let job = record::read(&made.document, self.set.catalogue(), &common::demo_zone()).unwrap();
        let part =
            |(text, shop): (&str, &shop::Shop)| ShopPart::of("shop.yaml", text.as_bytes(), shop.part(&made.used));
        let bound: Vec<BoundPermit<'_>> = choices
            .permits
            .iter()
            .map(|permit| BoundPermit::new(permit, self.packs(), &job, &common::demo_zone(), choices.point))
            .collect();
        let scene = Scene::new(&self.set, &job, choices.at, &common::demo_zone()).at_hold_point(choices.point);
        let judgement = scene.judge();
        let making = Making {
            scene: &scene,
            judgement: &judgement,
            parts: &self.parts,
            record_name: "record.yaml",
            record: bytes,
            shop: choices.shop.zip(shop.as_ref()).map(part),
            permits: &bound,
            rehearsal: choices.rehearsal,
            valid_until: holds_until(self.packs(), &scene, &judgement, &bound),
            required_roles: &choices.required_roles,
            trust: &choices.trust,
            before: choices.before,
        };
        making.envelope().unwrap()
    }

    /// What a record says is filled.
    pub(crate) fn filled(&self, record: &str) -> Vec<Filled> {
        let document = Document::read("record.yaml", record.as_bytes()).unwrap();
        all_filled(&record::read(&document, self.set.catalogue(), &common::demo_zone()).unwrap())
    }

    /// The file of a demo job, signed by Odile Varga a minute after it was judged.
    pub(crate) fn signed(&self, record: &str) -> Vec<u8> {
        let (body, mut envelope) = self.make(record, |_| {});
        sign(&mut envelope, &body, &key(ODILE), Role::Supervisor, &self.trust(), later(60)).unwrap();
        envelope.to_file().unwrap()
    }

    /// Asked ten minutes after the judgement, with the record and the packs given.
    pub(crate) fn question<'a>(&'a self, trust: &'a Trust, record: &'a str) -> Question<'a> {
        Question {
            trust,
            at: later(600),
            present: None,
            chosen: false,
            meant: Intended::default(),
            records: Records::One(record.as_bytes()),
            packs: Some(self.packs()),
            old_edition: false,
            rejudge: true,
            shop: None,
            earlier: Links::NONE,
        }
    }

    pub(crate) fn verify(&self, file: &[u8], record: &str) -> Verification {
        verify("checklist.json", file, &self.question(&self.trust(), record))
    }
}

impl<P> Shop<P> {
    pub(crate) fn packs(&self) -> Packs<'_> {
        Packs { set: &self.set, parts: &self.parts }
    }

    /// What the trust file says, by papers of a time.
    fn body_of(&self, papers: Papers) -> trust::TrustBody {
        let Papers { version, people, zone, made_at, ends_at, keys: [from, until], approved } = papers;
        let approval = |part: &PackPart| Approval {
            name: part.name.clone(),
            edition: part.edition.clone(),
            sha256: part.sha256.clone(),
            approved_by: "Maire Lindqvist".to_owned(),
            required: true,
            from: approved.clone(),
            until: None,
            once_signed: false,
            shop: None,
            seal: None,
        };
        let mut people: Vec<Person> = PEOPLE[..people].iter().map(person).collect();
        for key in people.iter_mut().flat_map(|person| &mut person.keys) {
            (key.from, key.until) = (from.clone(), until.clone());
        }
        sealed(&trust::TrustBody {
            format: trust::FORMAT.to_owned(),
            shop: "Hollow Tarn".to_owned(),
            zone,
            version,
            made_at,
            ends_at,
            clock_anew: None,
            formerly: Vec::new(),
            owners_needed: 1,
            people,
            packs: self.parts.iter().map(approval).collect(),
        })
    }
}

impl<P: Place> Shop<P> {
    /// What the trust file says.
    pub(crate) fn trust_body(&self) -> trust::TrustBody {
        self.body_of(P::papers())
    }

    pub(crate) fn put(&self, name: &str, content: impl AsRef<[u8]>) {
        self.place.put(name, content.as_ref());
    }

    /// Replaces the trust file by another one, signed by the owner.
    pub(crate) fn trust(&self, change: impl FnOnce(&mut trust::TrustBody)) {
        let mut body = self.trust_body();
        body.version += self.changes.replace(self.changes.get() + 1);
        change(&mut body);
        self.put(P::TRUST, Shop::trust_file(&body));
    }
}

/// What can be chosen of a checklist.
pub(crate) struct Choices<'a> {
    pub(crate) at: Instant,
    pub(crate) point: HoldPoint,
    /// The text of the shop file that the record draws on.
    pub(crate) shop: Option<&'a str>,
    pub(crate) rehearsal: bool,
    pub(crate) permits: Vec<&'a Permit>,
    pub(crate) required_roles: Vec<Role>,
    pub(crate) before: Option<String>,
    pub(crate) trust: Trust,
}

pub(crate) fn passing() -> String {
    common::read("shared/demo/jobs/pass-loader-bias-used.yaml")
}

/// A record as it stood before air went in: nobody has seen its tyre seated yet.
pub(crate) fn before_air(record: &str) -> String {
    let lines = record.lines().filter(|line| !line.trim_start().starts_with("seated:"));
    lines.flat_map(|line| [line, "\n"]).collect()
}

pub(crate) fn held() -> String {
    common::read("shared/demo/jobs/hold-cold-material.yaml")
}

/// The codes of everything said against a file; whatever is said, it is a sentence, and so is what to do about it.
pub(crate) fn codes(report: &Verification) -> Vec<&'static str> {
    let said = |reason: &Reason| {
        for text in [reason.to_string(), reason.help().into_owned()] {
            assert!(text.split(' ').count() > 2 && !text.ends_with('.') && !text.contains("  "), "{reason:?}: {text}");
        }
        reason.code().word().trim_start_matches("checklist/")
    };
    report.reasons().map(said).collect()
}
