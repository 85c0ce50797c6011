//! The shop at its desk, without a process: a storage in memory, a clock that stands still, bytes that are not random.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::OnceLock;

use fillward::checklist::trust::{self, Trust};
use fillward::desk::world::Trouble;
use fillward::desk::{
    Answers, By, Consent, Desk, Draft, FurtherOrder, GiveOrder, Hand, NamedBytes, Opened, Passage, PermitOrder,
    Permitted, Purpose, Refusal, SignOrder, Signed, TrustDraft, TrustOrder, TrustSigned, Trusting, Verified,
    VerifyOrder,
};
use fillward::units::Exact;
use fillward::vocabulary::Role;

use super::world::{Person, World};
use super::{ODILE, OWNER, PEOPLE, Papers, Place, SECOND, Shop, at, demo_papers, key};
use crate::common;

/// Nothing here is secret.
pub(crate) const WORDS: &str = "lantern copper meadow rain";
pub(crate) const RECORD: &str = "job.yaml";
pub(crate) const FILE: &str = "job.checklist.json";
pub(crate) const TRUST: &str = World::TRUST;

/// A key that no trust file of the shop names.
pub(crate) const MALLORY: u8 = 66;

/// The private keys of everybody, encrypted once: the rounds take their time.
pub(crate) fn private_keys() -> &'static [(u8, String)] {
    static KEYS: OnceLock<Vec<(u8, String)>> = OnceLock::new();
    KEYS.get_or_init(|| {
        let encrypted = |seed: u8| key(seed).to_encrypted_pem(WORDS.as_bytes(), &[seed; 16], [seed; 16]).unwrap();
        let seeds = PEOPLE.iter().map(|(seed, ..)| *seed).chain([MALLORY]);
        seeds.map(|seed| (seed, encrypted(seed).to_string())).collect()
    })
}

impl Place for World {
    fn papers() -> Papers {
        demo_papers()
    }

    fn put(&self, name: &str, content: &[u8]) {
        self.kept.lock().unwrap().insert(name.into(), content.to_owned());
    }
}

impl Shop {
    /// The shop at its desk, with a record, its trust file and everybody's key.
    pub(crate) fn at_desk(self) -> Shop<World> {
        let shop = self.at(World::new());
        for (seed, pem) in private_keys() {
            shop.put(&format!("{seed}.key.pem"), pem);
        }
        shop.put(RECORD, super::passing());
        shop.trust(|_| {});
        shop.remember(Some(accepted()));
        shop
    }
}

impl Shop<World> {
    pub(crate) fn desk(&self) -> Desk<'_> {
        Desk { storage: &self.place, clock: &self.place }
    }

    pub(crate) fn get(&self, name: &str) -> Option<Vec<u8>> {
        self.place.kept.lock().unwrap().get(Path::new(name)).cloned()
    }

    pub(crate) fn has(&self, name: &str) -> bool {
        self.get(name).is_some()
    }

    pub(crate) fn drop(&self, name: &str) {
        self.place.kept.lock().unwrap().remove(Path::new(name));
    }

    /// Lets the clock stand so many seconds after the demo instant.
    pub(crate) fn clock(&self, seconds: i128) {
        *self.place.now.lock().unwrap() =
            at(common::DEMO_AT).checked_add_seconds(Exact::new(seconds, 1).unwrap()).unwrap();
    }

    /// What the next write of this name is to meet; `memory` is what is remembered.
    pub(crate) fn trouble(&self, name: &str, what: Trouble) {
        *self.place.trouble.lock().unwrap() = Some((name.into(), what));
    }

    pub(crate) fn memory(&self) -> Option<Vec<u8>> {
        self.place.remembered.lock().unwrap().clone()
    }

    pub(crate) fn remember(&self, bytes: Option<Vec<u8>>) {
        *self.place.remembered.lock().unwrap() = bytes;
    }

    /// What keeps anything from being recalled and remembered, if something does.
    pub(crate) fn no_memory(&self, what: Option<Trouble>) {
        *self.place.no_memory.lock().unwrap() = what;
    }

    /// What others remember, each before this shop can.
    pub(crate) fn rival(&self, bytes: Vec<u8>) {
        self.place.rivals.lock().unwrap().push(bytes);
    }

    pub(crate) fn source(&self, name: &str) -> NamedBytes {
        self.desk().fetch(Path::new(name)).unwrap()
    }

    fn local(&self) -> Vec<NamedBytes> {
        let source =
            |(name, text): &(String, String)| NamedBytes { name: name.into(), bytes: text.clone().into_bytes() };
        self.local.iter().map(source).collect()
    }

    pub(crate) fn open(&self, purpose: Purpose) -> Result<Opened, Refusal> {
        self.open_at_least(purpose, 1)
    }

    pub(crate) fn open_at_least(&self, purpose: Purpose, at_least: i64) -> Result<Opened, Refusal> {
        let owners = self.owners.iter().map(|seed| key(*seed).public().clone()).collect();
        self.desk().open_trust(&Trusting { file: self.source(TRUST), owners, at_least, words: None }, purpose)
    }

    /// Opens it by the words that stand on a paper.
    pub(crate) fn open_by_paper(&self, purpose: Purpose, words: &str) -> Result<Opened, Refusal> {
        let owners = self.owners.iter().map(|seed| key(*seed).public().clone()).collect();
        let words = Some(words.to_owned());
        self.desk().open_trust(&Trusting { file: self.source(TRUST), owners, at_least: 1, words }, purpose)
    }

    fn opened(&self) -> Result<Trust, Refusal> {
        Ok(self.open(Purpose::Sign)?.trust)
    }

    /// What is asked for with the first signature on the record.
    pub(crate) fn order(&self) -> SignOrder {
        let (record, packs) = (self.source(RECORD), self.local());
        SignOrder {
            record,
            shop: None,
            packs,
            permits: Vec::new(),
            at: None,
            out: None,
            hold: false,
            passage: Passage::default(),
            before: Vec::new(),
        }
    }

    pub(crate) fn draft(&self, order: SignOrder) -> Result<Draft, Refusal> {
        self.desk().draft(order, self.opened()?)
    }

    /// Odile Varga signs what is asked for.
    pub(crate) fn sign(&self, change: impl FnOnce(&mut SignOrder)) -> Result<Signed, Refusal> {
        self.sign_by((ODILE, Role::Supervisor), change)
    }

    pub(crate) fn sign_by(&self, by: (u8, Role), change: impl FnOnce(&mut SignOrder)) -> Result<Signed, Refusal> {
        let mut order = self.order();
        change(&mut order);
        let draft = self.draft(order)?;
        with_hand(by, |hand| draft.sign(&self.desk(), hand, &Consent::Given))
    }

    pub(crate) fn countersign(&self, by: (u8, Role)) -> Result<Signed, Refusal> {
        self.countersign_beside(by, None)
    }

    pub(crate) fn countersign_beside(&self, by: (u8, Role), shop: Option<NamedBytes>) -> Result<Signed, Refusal> {
        let (checklist, record, packs) = (self.source(FILE), self.source(RECORD), self.local());
        let draft = self.desk().draft_further(
            FurtherOrder { checklist, records: vec![record], found: Vec::new(), shop, packs, before: Vec::new() },
            self.opened()?,
        )?;
        with_hand(by, |hand| draft.sign(&self.desk(), hand, &Consent::Given))
    }

    /// What is asked for with a permit for a rule, for an hour.
    pub(crate) fn permit_order(&self, rule: &str) -> PermitOrder {
        PermitOrder {
            shop: None,
            record: self.source(RECORD),
            packs: self.local(),
            rule: rule.to_owned(),
            subject: None,
            reason: "the fire warden's letter is on file".to_owned(),
            by: By::Permitter { asked_by: "Odile Varga".to_owned() },
            until: super::later(3600),
            passage: Passage::default(),
            out: Some("permit.json".into()),
        }
    }

    pub(crate) fn permit(&self, by: (u8, Role), order: &PermitOrder) -> Result<Permitted, Refusal> {
        let draft = self.desk().draft_permit(order.clone(), self.opened()?)?;
        with_hand(by, |hand| draft.sign(&self.desk(), hand, &Consent::Given))
    }

    /// Gives the permit that was asked for.
    pub(crate) fn give(&self, by: (u8, Role)) -> Result<Permitted, Refusal> {
        let order = GiveOrder {
            request: self.source("permit.json"),
            record: self.source(RECORD),
            shop: None,
            packs: self.local(),
        };
        let draft = self.desk().draft_given(order, self.opened()?)?;
        with_hand(by, |hand| draft.sign(&self.desk(), hand, &Consent::Given))
    }

    pub(crate) fn verify(&self, change: impl FnOnce(&mut VerifyOrder)) -> Result<Verified, Refusal> {
        self.verify_file(FILE, change)
    }

    pub(crate) fn verify_file(&self, file: &str, change: impl FnOnce(&mut VerifyOrder)) -> Result<Verified, Refusal> {
        let records = vec![self.source(RECORD)];
        let mut order = VerifyOrder {
            editions: Vec::new(),
            packs: self.local(),
            records,
            found: Vec::new(),
            shop: None,
            job: None,
            point: None,
            assemblies: Vec::new(),
            at: None,
            rejudge: true,
            before: Vec::new(),
            among: Vec::new(),
        };
        change(&mut order);
        let against = self.desk().against(order, self.open(Purpose::Look)?.trust)?;
        let seen = against.look_at(&self.source(file))?;
        Ok(self.desk().answer(&against, file.into(), seen))
    }

    /// What files come to that are asked about together, each with its own record beside it.
    pub(crate) fn answers(&self, files: &[(&str, &str)]) -> Answers<Refusal> {
        let seen = files.iter().map(|(file, record)| {
            self.put(RECORD, *record);
            let records = vec![self.source(RECORD)];
            let order = VerifyOrder { packs: self.local(), records, rejudge: true, ..VerifyOrder::default() };
            let against = self.desk().against(order, self.open(Purpose::Look).unwrap().trust).unwrap();
            ((*file).into(), against.look_at(&self.source(file)))
        });
        let seen = seen.collect();
        let order = VerifyOrder { packs: self.local(), ..VerifyOrder::default() };
        let against = self.desk().against(order, self.open(Purpose::Look).unwrap().trust).unwrap();
        self.desk().answers(&against, seen)
    }

    /// Has the owner with this key sign a trust file, as the shop's or as another.
    pub(crate) fn sign_trust(&self, seed: u8, body: &trust::TrustBody, out: &str) -> Result<TrustSigned, Refusal> {
        let source = NamedBytes { name: "trust.yaml".into(), bytes: serde_yaml::to_string(body).unwrap().into_bytes() };
        let draft = self.draft_trust(&source, out)?;
        let consent = Consent::Written(body.version.to_string());
        with_hand((seed, Role::Owner), |hand| draft.sign(&self.desk(), hand, &consent))
    }

    /// Proposes the trust file that an owner wrote.
    pub(crate) fn draft_trust(&self, source: &NamedBytes, out: &str) -> Result<TrustDraft, Refusal> {
        let document = source.document()?;
        let body = trust::TrustBody::from_document(&document)?;
        let (name, document) = (source.name.clone(), Some(document));
        self.desk().draft_trust(TrustOrder { body, name, document, out: out.into(), from: None })
    }
}

/// What an account remembers that has accepted the keys of the shop's owners, and has seen no trust file yet.
pub(crate) fn accepted() -> Vec<u8> {
    let kids = BTreeSet::from([OWNER, SECOND].map(|seed| key(seed).public().kid().to_owned()));
    let known = serde_json::json!({ "accepted": kids, "seen": {}, "trust_memory": 2 });
    (serde_json::to_string_pretty(&known).unwrap() + "\n").into_bytes()
}

/// Whoever holds this key, in this role.
pub(crate) fn with_hand<T>((seed, role): (u8, Role), act: impl FnOnce(&Hand<'_>) -> T) -> T {
    let name = format!("{seed}.key.pem");
    act(&Hand { key: Path::new(&name), role, passphrases: &Person(WORDS) })
}

/// The codes of what an act was refused for; other refusals by their own words.
#[track_caller]
pub(crate) fn refused<T: std::fmt::Debug>(outcome: Result<T, Refusal>) -> Vec<String> {
    fn codes(refusal: &Refusal) -> Vec<String> {
        match refusal {
            Refusal::Reasons(reasons) | Refusal::TrustOrder(reasons) | Refusal::Trust { reasons, .. } => {
                reasons.iter().map(|reason| reason.code().word().trim_start_matches("checklist/").to_owned()).collect()
            }
            Refusal::Invalid(faults) => {
                faults.iter().map(|fault| fault.code().word().trim_start_matches("checklist/").to_owned()).collect()
            }
            Refusal::AfterSigning(refusal) => [vec!["after signing".to_owned()], codes(refusal)].concat(),
            Refusal::Unfit(unfit) => vec![format!("{unfit:?}")],
            Refusal::Store(fault) => vec![format!("{:?}", fault.what)],
            other => vec![format!("{other:?}")],
        }
    }
    codes(&outcome.unwrap_err())
}

/// The words of a refusal for one reason.
pub(crate) fn said<T: std::fmt::Debug>(outcome: Result<T, Refusal>) -> String {
    match outcome {
        Err(Refusal::Reasons(reasons)) => reasons.iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}"),
    }
}
