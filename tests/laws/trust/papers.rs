//! The acts of signing and looking: checklists and permits, honest ones and made up ones.

use fillward::checklist::body::ChecklistBody;
use fillward::checklist::jws::Envelope;
use fillward::checklist::permit::Permit as SignedPermit;
use fillward::checklist::signing;
use fillward::desk::{
    Answer, By, Consent, Draft, FurtherOrder, PermitDraft, Purpose, Refusal, SignOrder, Signed, VerifyOrder,
};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Kind, Role, Verdict};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestCaseResult;
use serde_json::Value;

use super::acts::{Forgery, Tampering};
use super::model::{Meant, Paper, Permit, Signer, plus};
use super::play::{DAY, MINUTE, Play, name_of};
use crate::shop::counter::{RECORD, with_hand};
use crate::shop::{at, key};

/// Who signs, by key, and as what.
type Hand = (u8, Role);

fn point(air: bool) -> HoldPoint {
    if air { HoldPoint::BeforeAir } else { HoldPoint::BeforeFill }
}

/// A file with something changed in it, in exact form again.
fn changed(file: &[u8], change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut value: Value = serde_json::from_slice(file).unwrap();
    change(&mut value);
    (serde_json::to_string_pretty(&value).unwrap() + "\n").into_bytes()
}

fn seals(value: &mut Value) -> &mut Vec<Value> {
    value["signatures"].as_array_mut().unwrap()
}

impl Play {
    fn order(&self, permit: Option<Index>) -> (SignOrder, Option<Permit>) {
        let chosen = permit.filter(|_| !self.permits.is_empty()).map(|permit| permit.get(&self.permits));
        let mut order = self.counter.order();
        order.passage.point = point(self.model.record.air);
        order.out = Some(self.next_name().into());
        order.hold = true;
        order.permits = chosen.iter().map(|(name, _)| self.counter.source(name)).collect();
        (order, chosen.map(|(_, permit)| permit.clone()))
    }

    fn next_name(&self) -> String {
        format!("{}.checklist.json", self.model.papers.len())
    }

    /// The draft of a checklist of the record that lies there.
    fn draft(&mut self, permit: Option<Index>) -> Result<Option<(Draft, Option<Permit>)>, TestCaseError> {
        let Ok(opened) = self.open(Purpose::Sign)? else { return Ok(None) };
        let (order, permit) = self.order(permit);
        Ok(self.counter.desk().draft(order, opened.trust).ok().map(|draft| (draft, permit)))
    }

    /// Keeps a signed file and its paper.
    fn keep(
        &mut self,
        envelope: &Envelope,
        permit: Option<Permit>,
        signers: Vec<Signer>,
        (truthful, honest): (bool, bool),
    ) {
        let body: ChecklistBody = envelope.body().unwrap();
        let name = self.next_name();
        self.counter.put(&name, envelope.to_file().unwrap());
        let known = self.payloads.iter().position(|payload| payload == envelope.payload());
        let content = known.unwrap_or_else(|| {
            self.payloads.push(envelope.payload().to_owned());
            self.payloads.len() - 1
        });
        let (record, named) = (self.model.record, self.model.lies);
        let (judged, states) = (at(&body.judged_at), (body.job, body.hold_point));
        self.model.papers.push(Paper {
            name,
            record,
            states,
            judged,
            named,
            permit,
            signers,
            content,
            truthful,
            honest,
        });
    }

    /// Whether it is signed.
    pub(super) fn sign(&mut self, by: Hand, permit: Option<Index>, whole: bool) -> Result<bool, TestCaseError> {
        let Some((draft, permit)) = self.draft(permit)? else { return Ok(false) };
        let body = draft.proposal().body.clone();
        let now = draft.trust().no_earlier(self.model.now);
        prop_assert_eq!(at(&body.judged_at), now);
        let mut envelope = Envelope::new(Kind::Checklist, &body).unwrap();
        let done = if whole {
            let desk = self.counter.desk();
            let signed = with_hand(by, |hand| draft.sign(&desk, hand, &Consent::Given));
            let done = signed.as_ref().ok().map(|signed: &Signed| signed.report.may_start());
            if done.is_some() {
                let file = self.counter.get(&self.next_name()).unwrap();
                envelope = Envelope::read(Kind::Checklist, "signed", &file).unwrap();
            }
            done
        } else {
            signing::sign(&mut envelope, &body, &key(by.0), by.1, draft.trust(), now).ok().map(|()| false)
        };
        let Some(starts) = done else { return Ok(false) };
        let signer = Signer { seed: by.0, role: by.1, at: now, holds: true };
        self.keep(&envelope, permit, vec![signer], (true, true));
        let why = self.model.against(self.model.papers.last().unwrap(), Meant::default());
        prop_assert!(!starts || why.is_empty(), "signed, it may start, although {why:?}");
        Ok(true)
    }

    pub(super) fn countersign(&mut self, file: Index, by: Hand) -> TestCaseResult {
        if self.model.papers.is_empty() {
            return Ok(());
        }
        let Ok(opened) = self.open(Purpose::Sign)? else { return Ok(()) };
        let place = file.index(self.model.papers.len());
        let paper = self.model.papers[place].clone();
        let (checklist, record) = (self.counter.source(&paper.name), self.counter.source(RECORD));
        let bytes = checklist.bytes.clone();
        let order = FurtherOrder {
            checklist,
            records: vec![record],
            found: Vec::new(),
            shop: None,
            packs: self.counter.order().packs,
            before: Vec::new(),
        };
        let Ok(draft) = self.counter.desk().draft_further(order, opened.trust) else { return Ok(()) };
        let mut envelope = Envelope::read(Kind::Checklist, &paper.name, &bytes).unwrap();
        let now = draft.trust().no_earlier(self.model.now);
        let signed = signing::sign(&mut envelope, &draft.proposal().body, &key(by.0), by.1, draft.trust(), now);
        if signed.is_ok() {
            self.counter.put(&paper.name, envelope.to_file().unwrap());
            self.model.papers[place].signers.push(Signer { seed: by.0, role: by.1, at: now, holds: true });
        }
        self.verify(place, Meant::default())
    }

    pub(super) fn permit(&mut self, (by, role): Hand, asked_by: u8, minutes: u8) -> TestCaseResult {
        let Ok(opened) = self.open(Purpose::Sign)? else { return Ok(()) };
        let mut order = self.counter.permit_order("solvent-excess");
        order.by = By::Permitter { asked_by: name_of(asked_by).to_owned() };
        order.until = plus(self.model.now, MINUTE * i64::from(minutes));
        order.passage.point = point(self.model.record.air);
        let name = format!("{}.permit.json", self.permits.len());
        order.out = Some(name.clone().into());
        let drafted: Result<PermitDraft, Refusal> = self.counter.desk().draft_permit(order, opened.trust);
        let Ok(draft) = drafted else { return Ok(()) };
        let given = Signer { seed: by, role, at: draft.trust().no_earlier(self.model.now), holds: true };
        let mut permit = SignedPermit::new(draft.body()).unwrap();
        permit.sign(&key(by), role, given.at).unwrap();
        self.counter.put(&name, permit.envelope().to_file().unwrap());
        let permit = Permit { record: self.model.record, asked_by, given, until: permit.until() };
        self.permits.push((name, permit));
        Ok(())
    }

    /// A checklist of the record that lies there, altered by somebody who then signs it with a key, whatever the
    /// program says.
    pub(super) fn forge(&mut self, how: Forgery, (seed, role): Hand, ago: i16) -> TestCaseResult {
        let Some((draft, permit)) = self.draft(None)? else { return Ok(()) };
        let honest = draft.proposal().body.clone();
        let mut body = honest.clone();
        let mut dated_back = false;
        match how {
            Forgery::Nothing => {}
            Forgery::Verdict => {
                body.verdict = Verdict::Pass;
                let until = plus(at(&body.judged_at), 40 * MINUTE).to_record_text();
                body.valid_until.get_or_insert(until);
            }
            Forgery::LastsLonger => {
                body.valid_until = body.valid_until.map(|until| plus(at(&until), DAY).to_record_text());
            }
            Forgery::OtherJob => "HT-0313".clone_into(&mut body.job),
            Forgery::OtherPoint => body.hold_point = point(!self.model.record.air),
            Forgery::FewerRoles => body.required_roles = vec![Role::Supervisor],
            Forgery::OtherVersion => body.inputs.trust.version += if ago > 20 { -1 } else { 1 },
            Forgery::JudgedEarlier(minutes) => {
                body.judged_at = plus(at(&body.judged_at), -MINUTE * i64::from(minutes)).to_record_text();
                dated_back = true;
            }
        }
        let mut envelope = Envelope::new(Kind::Checklist, &body).unwrap();
        let when: Instant = plus(self.model.now, -MINUTE * i64::from(ago));
        envelope.sign(&key(seed), role, when).unwrap();
        self.keep(
            &envelope,
            permit,
            vec![Signer { seed, role, at: when, holds: true }],
            (dated_back || body == honest, false),
        );
        Ok(())
    }

    pub(super) fn tamper(&mut self, file: Index, how: Tampering) {
        let signed: Vec<&Paper> = self.model.papers.iter().filter(|paper| !paper.signers.is_empty()).collect();
        if signed.is_empty() {
            return;
        }
        let mut paper = (*file.get(&signed)).clone();
        let bytes = self.counter.get(&paper.name).unwrap();
        let bytes = match how {
            Tampering::DropSignature(first) => {
                let place = if first { 0 } else { paper.signers.len() - 1 };
                paper.signers.remove(place);
                changed(&bytes, |value| drop(seals(value).remove(place)))
            }
            Tampering::DoubleSignature => {
                paper.signers.push(paper.signers[0]);
                changed(&bytes, |value| {
                    let seal = seals(value)[0].clone();
                    seals(value).push(seal);
                })
            }
            Tampering::AddSignature(other) => {
                let other = other.get(&self.model.papers).clone();
                let from: Value = serde_json::from_slice(&self.counter.get(&other.name).unwrap()).unwrap();
                let Some(last) = other.signers.last() else { return };
                let holds = last.holds && other.content == paper.content;
                paper.signers.push(Signer { holds, ..*last });
                let seal = from["signatures"].as_array().unwrap().last().unwrap().clone();
                changed(&bytes, |value| seals(value).push(seal))
            }
            Tampering::Word => {
                paper.signers.iter_mut().for_each(|signer| signer.holds = false);
                let text = String::from_utf8(bytes).unwrap();
                text.replacen("60 psi", "61 psi", 1).into_bytes()
            }
        };
        paper.honest = false;
        paper.name = self.next_name();
        self.counter.put(&paper.name, bytes);
        self.model.papers.push(paper);
    }

    /// Somebody looks whether the fill may start by a paper: the law.
    pub(super) fn verify(&mut self, place: usize, meant: Meant) -> TestCaseResult {
        let Ok(opened) = self.open(Purpose::Look)? else { return Ok(()) };
        let paper = self.model.papers[place].clone();
        let (desk, file) = (self.counter.desk(), self.counter.source(&paper.name));
        let order = VerifyOrder {
            packs: self.counter.order().packs,
            records: vec![self.counter.source(RECORD)],
            job: meant.job.map(str::to_owned),
            point: meant.air.map(point),
            rejudge: true,
            ..VerifyOrder::default()
        };
        let against = desk.against(order, opened.trust).unwrap();
        let seen = against.look_at(&file).unwrap();
        let verified = desk.answer(&against, file.name, seen);
        let told: Vec<String> = verified.report.reasons().map(ToString::to_string).collect();
        let why = self.model.against(&paper, meant);
        let honest = paper.honest && self.model.is_of_one_row() && !self.murky;
        if verified.answer == Answer::MayStart {
            prop_assert!(why.is_empty(), "it may start, although {why:?}: {paper:?}");
            self.starts += 1;
        } else {
            self.tell(&why);
            prop_assert!(!honest || !why.is_empty(), "it may not start: {told:?}: {paper:?}");
        }
        if verified.answer == Answer::Doubtful && paper.honest {
            let why = self.model.may_be_doubted(&paper);
            prop_assert!(!why.is_empty(), "an honest file is doubted: {told:?}: {paper:?}");
        }
        Ok(())
    }
}
