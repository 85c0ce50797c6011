//! Signing and verifying, against the library's own strict verification as the ceiling.

use std::fs;
use std::hint::black_box;
use std::thread;
use std::time::Instant as Clock;

use base64ct::{Base64UrlUnpadded, Encoding as _};
use fillward::checklist::body::Making;
use fillward::checklist::jws::Envelope;
use fillward::checklist::keys::{PublicKey, SecretKey};
use fillward::checklist::lapse::holds_until;
use fillward::checklist::links::Links;
use fillward::checklist::packs::{self, Packs};
use fillward::checklist::signing::sign;
use fillward::checklist::trust::{self, Approval, Key, Person, Pins, Trust};
use fillward::checklist::verify::{Intended, Question, Records, verify};
use fillward::document::Document;
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record;
use fillward::units::{Instant, Zone};
use fillward::vocabulary::Kind;
use fillward::vocabulary::Role;

use crate::{AT, JOB, Outcome, ZONE, contender, race, target};

/// Files that each thread verifies in the run on two threads.
const FILES: u32 = 400;
/// Rounds of that run.
const ROUNDS: usize = 15;

pub(crate) fn measure() -> Outcome<()> {
    let set = PackSet::base()?;
    let parts = packs::parts(&set);
    let (supervisor, owner) = (SecretKey::from_seed(&[1; 32]), SecretKey::from_seed(&[2; 32]));
    let trust = trust_file(&parts, &supervisor, &owner)?;
    let document = Document::read("job.yaml", JOB.as_bytes())?;
    let zone = Zone::find(ZONE)?;
    let job = record::read(&document, set.catalogue(), &zone)?;
    let at = Instant::parse(AT)?;
    let later = Instant::parse("2026-03-04T09:30:30-06:00")?;
    let scene = Scene::new(&set, &job, at, &zone);
    let judgement = scene.judge();
    let packs = Packs { set: &set, parts: &parts };
    let making = Making {
        scene: &scene,
        judgement: &judgement,
        parts: &parts,
        record: JOB.as_bytes(),
        record_name: "job.yaml",
        shop: None,
        permits: &[],
        rehearsal: false,
        valid_until: holds_until(packs, &scene, &judgement, &[]),
        required_roles: &[Role::Supervisor],
        trust: &trust,
        before: None,
    };
    let make = || -> Outcome<Vec<u8>> {
        let (body, mut envelope) = making.envelope()?;
        sign(&mut envelope, &body, &supervisor, Role::Supervisor, &trust, later)
            .map_err(|reasons| format!("{reasons:?}"))?;
        Ok(envelope.to_file()?)
    };
    let file = make()?;
    let signature = supervisor.sign(&file);
    let public = supervisor.public().clone();
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("job.checklist.json");
    fs::write(&path, &file)?;
    let question = |packs| Question {
        trust: &trust,
        at: later,
        present: None,
        chosen: false,
        meant: Intended::default(),
        records: Records::One(JOB.as_bytes()),
        packs,
        old_edition: false,
        rejudge: false,
        shop: None,
        earlier: Links::NONE,
    };
    let in_order =
        |packs| verify("job.checklist.json", &fs::read(&path).unwrap_or_default(), &question(packs)).in_order();
    if !in_order(None) || !in_order(Some(packs)) {
        return Err("the checklist that was just signed is not in order".into());
    }
    println!("\na checklist of {} bytes around a record of {} bytes", file.len(), JOB.len());
    if !by_the_book(&file, &public)? {
        return Err("the signature does not hold by the book".into());
    }
    let medians = race(
        "verifying one checklist of many",
        vec![
            contender("the ceiling: one strict verification of as many bytes", || {
                black_box(public.verifies(&file, &signature));
            }),
            contender("by the book: JSON, RFC 8785, one strict verification", || {
                black_box(by_the_book(&file, &public).is_ok());
            }),
            contender("read from disk and verified, the record inside not judged", || {
                black_box(in_order(None));
            }),
            contender("read from disk and verified, the record inside judged again", || {
                black_box(in_order(Some(packs)));
            }),
        ],
    );
    let by_the_book_times = |times: f64| medians.get(1).map_or(f64::NAN, |median| times * median);
    target("not judged, 1.6 times by the book", medians.get(2).copied(), by_the_book_times(1.6));
    target("judged again in 0.75 milliseconds", medians.get(3).copied(), 750_000.0);
    let medians = race(
        "signing one checklist, the key open and the job judged",
        vec![
            contender("content, signature and file", || {
                black_box(make().is_ok());
            }),
            contender("the signature alone", || {
                black_box(supervisor.sign(&file));
            }),
        ],
    );
    target("content, signature and file in 200 microseconds", medians.first().copied(), 200_000.0);
    two_threads(&|| black_box(public.verifies(&file, &signature)), &|| black_box(in_order(None)), &|| {
        black_box(in_order(Some(packs)))
    });
    Ok(())
}

/// What general libraries do for the same signature: the file read as JSON, its content brought to the form of RFC 8785 by
/// a published implementation, one strict verification. It asks for no exact form, no trust file and no instant.
fn by_the_book(file: &[u8], key: &PublicKey) -> Outcome<bool> {
    let value: serde_json::Value = serde_json::from_slice(file)?;
    let text = |pointer| value.pointer(pointer).and_then(serde_json::Value::as_str);
    let (Some(content), Some(protected), Some(signature)) =
        (value.get("checklist"), text("/signatures/0/protected"), text("/signatures/0/signature"))
    else {
        return Err("there is no signature".into());
    };
    let payload = Base64UrlUnpadded::encode_string(&serde_json_canonicalizer::to_vec(content)?);
    let signature: [u8; 64] = Base64UrlUnpadded::decode_vec(signature)?.try_into().map_err(|_| "a short signature")?;
    Ok(key.verifies(format!("{protected}.{payload}").as_bytes(), &signature))
}

/// The share of the ceiling that verifying files reaches on two threads, and the pace where each is judged again too.
fn two_threads(
    ceiling: &(dyn Fn() -> bool + Sync),
    files: &(dyn Fn() -> bool + Sync),
    judged: &(dyn Fn() -> bool + Sync),
) {
    let pace = |work: &(dyn Fn() -> bool + Sync)| {
        let start = Clock::now();
        thread::scope(|scope| {
            for _ in 0..2 {
                scope.spawn(|| (0..FILES).filter(|_| work()).count());
            }
        });
        2.0 * f64::from(FILES) / start.elapsed().as_secs_f64()
    };
    let mut rounds: Vec<(f64, f64)> = (0..ROUNDS).map(|_| (pace(ceiling), pace(files))).collect();
    rounds.sort_by(|a, b| (a.1 / a.0).total_cmp(&(b.1 / b.0)));
    let (ceiling, files) = rounds.get(ROUNDS / 2).copied().unwrap_or((f64::NAN, f64::NAN));
    println!(
        "\non two threads\n  strict verifications {ceiling:>10.0} a second\n  files from disk      {files:>10.0} a second"
    );
    println!(
        "  share of the ceiling {:.0} %; the target is 45 %, for files of about 6,000 bytes",
        100.0 * files / ceiling
    );
    println!("  files judged again   {:>10.0} a second, which is what `fillward verify` does", pace(judged));
}

fn trust_file(parts: &[packs::PackPart], supervisor: &SecretKey, owner: &SecretKey) -> Outcome<Trust> {
    let from = "2026-01-01T00:00:00-06:00";
    let person = |name: &str, role, key: &SecretKey| Person {
        name: name.to_owned(),
        roles: vec![role],
        former_roles: Vec::new(),
        keys: vec![Key {
            public_key: key.public().to_pem(),
            from: from.to_owned(),
            until: "2027-01-01T00:00:00-06:00".to_owned(),
            retired: None,
            revoked: None,
            once_signed: false,
        }],
    };
    let officer = SecretKey::from_seed(&[3; 32]);
    let signed_at = Instant::parse("2026-02-01T08:00:00-06:00")?;
    let approve = |part: &packs::PackPart| {
        let mut approval = Approval {
            name: part.name.clone(),
            edition: part.edition.clone(),
            sha256: part.sha256.clone(),
            approved_by: "Tamsin Brandt".to_owned(),
            required: true,
            from: from.to_owned(),
            until: None,
            once_signed: false,
            shop: None,
            seal: None,
        };
        approval.sign("a bench", &officer, signed_at).map(|()| approval)
    };
    let body = trust::TrustBody {
        format: trust::FORMAT.to_owned(),
        zone: ZONE.to_owned(),
        shop: "a bench".to_owned(),
        version: 1,
        made_at: "2026-02-01T08:00:00-06:00".to_owned(),
        ends_at: "2026-08-01T00:00:00-06:00".to_owned(),
        clock_anew: None,
        formerly: Vec::new(),
        owners_needed: 1,
        people: vec![
            person("Odile Varga", Role::Supervisor, supervisor),
            person("Tamsin Brandt", Role::SafetyOfficer, &officer),
            person("Marit Osei", Role::Owner, owner),
        ],
        packs: parts.iter().map(approve).collect::<Result<_, _>>()?,
    };
    let made_at = Instant::parse(&body.made_at)?;
    let mut envelope = Envelope::new(Kind::Trust, &body)?;
    envelope.sign(owner, Role::Owner, made_at)?;
    let pins = Pins { each: vec![owner.public().kid().to_owned()], ..Pins::default() };
    Ok(Trust::open("trust.json", &envelope.to_file()?, &pins).map_err(|reasons| format!("{reasons:?}"))?)
}
