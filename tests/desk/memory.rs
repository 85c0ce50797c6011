//! What an account remembers of trust files, attacked: another file of the version in force, owner and file swapped
//! together, a clock set back, and whatever order of all that.

use std::collections::BTreeSet;

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{Revocation, TrustBody};
use fillward::desk::{Answer, Purpose, Refusal, Unfit, VerifyOrder};
use fillward::vocabulary::{Kind, Role};
use proptest::prelude::*;

use super::trust::{remembered, signed};
use crate::shop::counter::{FILE, MALLORY, TRUST, accepted, refused};
use crate::shop::world::World;
use crate::shop::{OWNER, SECOND, Shop, key, later, person};

const HOUR: i128 = 3600;
const YEAR: i128 = 365 * 24 * HOUR;

/// What keeps the signed checklist from starting a fill, looked at.
pub(super) fn bars(counter: &Shop<World>) -> Vec<&'static str> {
    let verified = counter.verify(|_| {}).unwrap();
    assert!(verified.report.faults.is_empty(), "{:?}", verified.report.faults);
    verified.report.bars.iter().map(|bar| bar.code().word().trim_start_matches("checklist/")).collect()
}

pub(super) fn signs(counter: &Shop<World>, out: &str) -> Result<bool, Refusal> {
    counter.sign(|order| order.out = Some(out.into())).map(|signed| signed.report.may_start())
}

/// A draft of version 4, made and signed before somebody's key was revoked in the version 4 that is in force.
#[test]
fn a_draft_of_the_version_in_force_is_not_taken_for_it() {
    let counter = Shop::new().at_desk();
    let theft = |body: &mut TrustBody| {
        let (at, why) = (body.made_at.clone(), "stolen".to_owned());
        body.people[0].keys[0].revoked = Some(Revocation { at, why });
    };
    counter.trust(|body| body.version = 4);
    let draft = counter.get(TRUST).unwrap();
    counter.trust(|body| {
        body.version = 4;
        theft(body);
    });
    assert_eq!(refused(signs(&counter, FILE)), ["key-revoked"]);
    counter.put(TRUST, draft);
    assert_eq!(refused(signs(&counter, FILE)), ["trust-twin"]);
    assert_eq!(refused(counter.open(Purpose::Look)), ["trust-twin"]);
    assert!(!counter.has(FILE));
}

/// Trust file and owner's key are swapped together: nobody has accepted that owner.
#[test]
fn an_owner_whom_nobody_accepted_starts_nothing() {
    let mut counter = Shop::new().at_desk();
    let mut theirs = counter.trust_body();
    theirs.people[3] = person(&(MALLORY, "Ansel Prewitt-Okoro", Role::Owner));
    let mut envelope = fillward::checklist::jws::Envelope::new(fillward::vocabulary::Kind::Trust, &theirs).unwrap();
    envelope.sign(&key(MALLORY), Role::Owner, crate::shop::at(&theirs.made_at)).unwrap();
    counter.put(TRUST, envelope.to_file().unwrap());
    counter.owners = vec![MALLORY];
    assert_eq!(refused(signs(&counter, FILE)), ["owner-not-accepted"]);
    // Looking is free, and says why nothing may start.
    assert!(counter.open(Purpose::Look).unwrap().trust.bars().any(|bar| bar.code().word().ends_with("not-accepted")));
    // Words that were read off a paper are those of the shop's own owner, not of this one.
    let (mallory, owner) = (key(MALLORY).public().clone(), key(OWNER).public().fingerprint_words());
    let words = counter.open(Purpose::Look).unwrap().trust.digest_in_words();
    let accept = |owner: String, words: String| {
        let owners = vec![(mallory.clone(), owner)];
        counter.desk().accept_owners(&fillward::desk::Acceptance { file: counter.source(TRUST), owners, words })
    };
    let other = accept(owner, words.clone());
    assert!(matches!(other, Err(Refusal::Unfit(Unfit::OtherOwnerWords { .. }))), "{other:?}");
    assert_eq!(refused(accept(mallory.fingerprint_words(), "lantern".to_owned())), ["trust-not-on-paper"]);
    assert_eq!(refused(signs(&counter, FILE)), ["owner-not-accepted"]);
    // By all the right words they are accepted, on this account.
    accept(mallory.fingerprint_words(), words).unwrap();
    assert!(signs(&counter, FILE).unwrap());
    counter.remember(Some(accepted()));
    assert_eq!(bars(&counter), ["owner-not-accepted"]);
}

/// Of a shop with two owners one of them is known on paper, and nothing is remembered: the paper tells one owner's own file.
#[test]
fn one_owner_of_two_makes_no_file_that_the_paper_bears_out() {
    let counter = Shop::new().at_desk();
    let mut both = counter.trust_body();
    (both.version, both.owners_needed) = (1, 2);
    both.people.push(person(&crate::shop::PEOPLE[4]));
    counter.drop(TRUST);
    for seed in [OWNER, SECOND] {
        counter.sign_trust(seed, &both, TRUST).unwrap();
    }
    let paper = counter.open(Purpose::Look).unwrap().trust.digest_in_words();
    counter.trust(|body| body.version = 5);
    counter.remember(None);
    let owners = vec![(key(OWNER).public().clone(), key(OWNER).public().fingerprint_words())];
    let solo = fillward::desk::Acceptance { file: counter.source(TRUST), owners, words: paper };
    assert_eq!(refused(counter.desk().accept_owners(&solo)), ["trust-not-on-paper"]);
    assert_eq!(refused(signs(&counter, FILE)), ["owner-not-accepted"]);
}

#[test]
fn a_clock_set_back_is_a_bar() {
    let counter = Shop::new().at_desk();
    assert!(signs(&counter, FILE).unwrap());
    counter.clock(HOUR);
    counter.open(Purpose::Look).unwrap();
    // A few minutes are what clocks of a shop differ by.
    for (seconds, due) in [(HOUR - 300, false), (HOUR - 301, true), (60, true)] {
        counter.clock(seconds);
        assert_eq!(bars(&counter).contains(&"clock-set-back"), due, "{seconds}");
        let opened = counter.open(Purpose::Sign);
        assert_eq!(opened.is_err(), due, "{seconds}");
        assert!(!due || refused(opened) == ["clock-set-back"]);
    }
    counter.clock(HOUR);
    counter.open(Purpose::Sign).unwrap();
    assert_eq!(remembered(&counter)["time"], later(HOUR).to_record_text());
}

/// The clock once stood a year ahead. An owner sets that aside with a version of the trust file, once.
#[test]
fn one_wrong_year_is_set_aside_by_an_owner() {
    let counter = Shop::new().at_desk();
    counter.trust(|body| {
        body.version = 4;
        body.ends_at = later(3 * YEAR).to_record_text();
    });
    counter.clock(YEAR);
    counter.open(Purpose::Look).unwrap();
    counter.clock(0);
    assert_eq!(refused(signs(&counter, FILE)), ["clock-set-back"]);
    // A new version alone sets nothing aside, and an owner's own machine asks for the same.
    let mut next = counter.trust_body();
    next.version = 5;
    next.ends_at = later(3 * YEAR).to_record_text();
    assert_eq!(refused(counter.sign_trust(OWNER, &next, TRUST)), ["clock-set-back"]);
    let anew = |body: &mut TrustBody, at| body.clock_anew = Some(crate::shop::later(at).to_record_text());
    next.made_at = later(0).to_record_text();
    anew(&mut next, 60);
    let early = counter.sign_trust(OWNER, &next, TRUST);
    assert_eq!(refused(early), ["trust-unsound"]);
    anew(&mut next, 0);
    counter.sign_trust(OWNER, &next, TRUST).unwrap();
    assert!(signs(&counter, FILE).unwrap());
    // From there the time counts as before, and the same act does not serve twice.
    counter.clock(HOUR);
    counter.open(Purpose::Look).unwrap();
    counter.clock(0);
    assert_eq!(bars(&counter), ["clock-set-back"]);
    next.version = 6;
    assert_eq!(refused(counter.sign_trust(OWNER, &next, TRUST)), ["clock-set-back"]);
    // Before the instant that it names nothing starts, either.
    counter.clock(-HOUR);
    assert!(counter.open(Purpose::Sign).is_err());
    let verified = counter.verify(|_| {}).unwrap();
    assert_ne!(verified.answer, Answer::MayStart);
}

/// One thing that happens in a shop, honest or not.
#[derive(Debug, Clone)]
enum Act {
    /// The owner signs the version after the last one that was made.
    Next,
    /// A file that was once made is put in the place of the trust file.
    PutBack(prop::sample::Index),
    /// The owner makes another file of a version that there is, elsewhere.
    Draft(prop::sample::Index),
    /// Somebody signs a job, or looks.
    Use(bool),
    /// Time goes on, or the clock is set back, by so many minutes.
    Clock(i16),
}

/// A version that somebody makes.
#[derive(Debug, Clone)]
struct Made {
    with_second: bool,
    needed: u16,
    signers: Vec<u8>,
    /// By how much its number is more than that of the one taken last.
    step: i64,
}

fn version() -> impl Strategy<Value = Made> {
    let signers = prop::sample::subsequence(vec![OWNER, SECOND], 0..=2);
    (any::<bool>(), 1_u16..3, signers, -1_i64..3).prop_map(|(with_second, needed, signers, step)| Made {
        with_second,
        needed,
        signers,
        step,
    })
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let act = prop_oneof![
        Just(Act::Next),
        any::<prop::sample::Index>().prop_map(Act::PutBack),
        any::<prop::sample::Index>().prop_map(Act::Draft),
        any::<bool>().prop_map(Act::Use),
        (-90_i16..90).prop_map(Act::Clock),
    ];
    prop::collection::vec(act, 1..24)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever happens in whatever order: what was superseded where this account could see it never serves again, of one
    /// version one file serves, an approval that a version taken no longer had comes back with none, the clock never serves
    /// behind what it has shown, and the memory never goes back.
    #[test]
    fn what_was_superseded_never_serves_again(acts in acts()) {
        let counter = Shop::new().at_desk();
        // Each with the draft whose approvals it has: those of a draft are signed anew.
        let mut files = vec![(3, counter.get(TRUST).unwrap(), 0)];
        let (mut in_force, mut ended) = (None, BTreeSet::new());
        // What this account has seen: the highest version and its file, and the latest time in minutes.
        let mut seen: Option<(i64, Vec<u8>)> = None;
        let (mut minute, mut latest) = (0_i128, i128::MIN);
        let mut drafts = 0_usize;
        for act in acts {
            let there = counter.get(TRUST).unwrap();
            match act {
                Act::Next => {
                    let version = files.iter().map(|(version, ..)| *version).max().unwrap() + 1;
                    let made_at = format!("2026-02-{version:02}T08:00:00-06:00");
                    counter.put(TRUST, signed(&TrustBody { version, made_at, ..counter.trust_body() }, &[OWNER]));
                    files.push((version, counter.get(TRUST).unwrap(), 0));
                }
                Act::PutBack(at) => counter.put(TRUST, &at.get(&files).1),
                Act::Draft(at) => {
                    drafts += 1;
                    let version = at.get(&files).0;
                    // Of the same shop: an owner's key is for one.
                    let made_at = format!("2026-02-{version:02}T09:{drafts:02}:00-06:00");
                    let body = TrustBody { version, made_at, ..counter.trust_body() };
                    files.push((version, Shop::trust_file(&body), drafts));
                }
                Act::Clock(by) => {
                    minute += i128::from(by);
                    counter.clock(minute * 60);
                }
                Act::Use(signs) => {
                    let purpose = if signs { Purpose::Sign } else { Purpose::Look };
                    let opened = counter.open(purpose);
                    let &(version, _, sealed) = files.iter().find(|(_, file, _)| *file == there).unwrap();
                    let superseded = seen.as_ref().is_some_and(|(known, file)| {
                        version < *known || version == *known && there != *file
                    });
                    let brings_back = ended.contains(&sealed);
                    let behind = minute + 5 < latest;
                    let serves = opened.as_ref().is_ok_and(|opened| opened.trust.bars().count() == 0);
                    prop_assert_eq!(serves, !superseded && !brings_back && !behind, "{:?} {} {} {}", purpose, version, minute, latest);
                    if !superseded && !brings_back {
                        ended.extend(in_force.replace(sealed).filter(|before| *before != sealed));
                        seen = Some((version, there));
                        latest = latest.max(minute);
                        let mark = remembered(&counter);
                        prop_assert_eq!(mark["version"].as_i64(), Some(version));
                        prop_assert_eq!(&mark["time"], &later(latest * 60).to_record_text());
                    }
                }
            }
        }
    }

    /// Whoever makes and signs versions in whatever order, with one owner or two: an account takes what is complete by
    /// itself, signed by the owner whom it knows, and by as many owners of the version that it took before as that
    /// asked for.
    #[test]
    fn owners_change_only_by_the_owners_before(versions in prop::collection::vec(version(), 1..16)) {
        let counter = Shop::new().at_desk();
        // What the account took last: the body, the owners, how many of them sign.
        let mut taken: Option<(TrustBody, Vec<u8>, usize)> = None;
        for Made { with_second, needed, signers, step } in versions {
            let mut body = counter.trust_body();
            body.version = (taken.as_ref().map_or(3, |(body, ..)| body.version) + step).max(1);
            body.owners_needed = needed;
            let mut owners = vec![OWNER];
            // Nobody vanishes: who is no owner any more is something else.
            let mut second = person(&crate::shop::PEOPLE[4]);
            if with_second {
                owners.push(SECOND);
            } else {
                second.roles = vec![Role::Auditor];
            }
            body.people.push(second);
            let mut envelope = Envelope::new(Kind::Trust, &body).unwrap();
            for seed in &signers {
                envelope.sign(&key(*seed), Role::Owner, crate::shop::at(&body.made_at)).unwrap();
            }
            counter.put(TRUST, envelope.to_file().unwrap());
            let needed = usize::from(needed);
            let whole = needed <= owners.len()
                && signers.len() >= needed
                && signers.contains(&OWNER)
                && signers.iter().all(|seed| owners.contains(seed));
            let follows = taken.as_ref().is_none_or(|(before, held, least)| {
                (body.version > before.version || body == *before)
                    && held.iter().filter(|seed| signers.contains(seed)).count() >= *least
            });
            let opened = counter.open(Purpose::Sign);
            prop_assert_eq!(opened.is_ok(), whole && follows, "{:?} after {:?}", signers, taken);
            if opened.is_ok() {
                taken = Some((body, owners, needed));
            }
        }
    }
}

/// An approval that had ended, or was left out, in a version that was seen does not come back by an owner's signature alone,
/// whatever program the owner signs with.
#[test]
fn an_ended_approval_does_not_come_back() {
    let counter = Shop::new().at_desk();
    let until = |day: Option<u8>| {
        let until = day.map(|day| format!("2026-07-{day:02}T00:00:00-05:00"));
        counter.trust(|body| body.packs[0].until = until);
    };
    until(Some(20));
    counter.open(Purpose::Look).unwrap();
    for later in [None, Some(21)] {
        until(later);
        assert_eq!(refused(counter.open(Purpose::Look)), ["trust-unsound"]);
        assert_eq!(refused(signs(&counter, FILE)), ["trust-unsound"]);
    }
    until(Some(19));
    assert!(signs(&counter, FILE).unwrap());
    until(Some(20));
    assert_eq!(refused(counter.open(Purpose::Look)), ["trust-unsound"]);
    counter.trust(|body| body.packs.clear());
    counter.open(Purpose::Look).unwrap();
    until(Some(19));
    assert_eq!(refused(counter.open(Purpose::Look)), ["trust-unsound"]);
    // With a new signature of the safety officer's.
    counter.trust(|body| body.made_at = "2026-02-01T09:00:00-06:00".to_owned());
    counter.open(Purpose::Look).unwrap();
}

/// The law: what this account has once told as over begins no second time on it, by whatever clock, also within the
/// minutes by which clocks may differ; neither is it signed anew as of then.
#[test]
fn what_is_over_begins_no_second_time() {
    // When the account looked last while it held, when it saw that it is over, and by how much the clock is set back then.
    for (held, over, back) in [(4700, 4801, 1), (4700, 4801, 120), (4795, 4801, 6), (4800, 4801, 1), (4790, 4830, 290)]
    {
        let counter = Shop::new().at_desk();
        counter.sign(|_| {}).unwrap();
        let looks = |seconds: i128| {
            counter.clock(seconds);
            let order = VerifyOrder { records: vec![counter.source("job.yaml")], ..VerifyOrder::default() };
            let desk = counter.desk();
            let against = desk.against(order, counter.open(Purpose::Look).unwrap().trust).unwrap();
            let seen = against.look_at(&counter.source(FILE)).unwrap();
            desk.answer(&against, FILE.into(), seen).answer
        };
        assert_eq!(looks(held), Answer::MayStart, "{held}");
        assert_eq!(looks(over), Answer::InOrder, "{over}");
        assert_eq!(looks(over - back), Answer::InOrder, "{held} {over} {back}");
        // A judgement made by that clock is one of the latest time seen.
        counter.clock(over - back);
        let signed = counter.draft(counter.order());
        let judged_at = signed.map(|draft| draft.proposal().body.judged_at.clone());
        assert_eq!(judged_at.unwrap(), later(over).to_record_text());
        // A minute later than seen it goes on by the clock.
        assert_eq!(looks(over + 60), Answer::InOrder);
    }
}
